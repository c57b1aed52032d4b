//! The model against closed forms: what must hold for any airplane, and within the same tolerances by every method of
//! integration.

mod support;

use air::atmosphere::RHO0_KGPM3;
use air::units::{G0_MPS2, MPS_PER_KT};
use dynamics::aero::{Airflow, Loads, loads};
use dynamics::figures::{figures, stall_speed_mps};
use dynamics::trim::{Path, Trimmed};
use dynamics::{Airframe, Flying, Method, State, Weather};
use std::f64::consts::{PI, SQRT_2};
use support::{METHODS, STEP_S, aloft, demo, even, glider, held, steady};

/// The air's forces where a flight stands.
fn forces(airframe: &Airframe, state: &State, found: &Trimmed) -> (Airflow, Loads) {
    let flow = Airflow::new(state.velocity_body(), state.rates(), RHO0_KGPM3, 10_000.0);
    let attached = [state.0[14], state.0[15]];
    let pull = airframe
        .propeller
        .pull(state.0[3], state.0[13], RHO0_KGPM3)
        .thrust_n;
    (
        flow,
        loads(airframe, &flow, &found.surfaces, attached, pull),
    )
}

/// Times and values of the extremes of a series, the turning point by a parabola.
fn extremes(values: &[f64], step_s: f64) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    for (at, three) in values.windows(3).enumerate() {
        let &[a, b, c] = three else { continue };
        if (b - a) * (c - b) < 0.0 {
            let bend = a - 2.0 * b + c;
            let off = 0.5 * (a - c) / bend;
            found.push(((at as f64 + 1.0 + off) * step_s, b - 0.25 * (a - c) * off));
        }
    }
    found
}

/// Period and damping ratio of the slow oscillation after a little too much speed.
fn phugoid(airframe: &Airframe, found: &Trimmed, method: Method) -> (f64, f64) {
    let weather = Weather::default();
    let mut flying = aloft(airframe, &weather, found, 1);
    flying.method = method;
    for axis in 3..6 {
        flying.state.0[axis] *= 1.03;
    }
    let speeds: Vec<f64> = (0..6000)
        .map(|_| {
            // Density must stay what it was: the forms know no atmosphere.
            flying.state.0[2] = 0.0;
            flying.step(&held(found), STEP_S).flow.tas_mps
        })
        .collect();
    let turns: Vec<(f64, f64)> = extremes(&speeds, STEP_S)
        .into_iter()
        .filter(|(t, _)| *t > 2.0)
        .collect();
    let [a, b, c, ..] = turns[..] else {
        panic!("no oscillation: {turns:?}")
    };
    // Logarithmic decrement of swings from extreme to extreme: δ = π ζ/√(1 − ζ²).
    let decrement = ((b.1 - a.1).abs() / (c.1 - b.1).abs()).ln();
    (c.0 - a.0, decrement / decrement.hypot(PI))
}

/// The forms leave out what the tail does in the slow pitching; they hold the better, the stiffer the airplane is.
fn stiff(mut airframe: Airframe) -> Airframe {
    airframe.pitch.alpha = -8.0;
    airframe.pitch.elevator = 6.0;
    airframe
}

#[test]
fn the_phugoid_has_lanchesters_period_and_damping() {
    // Lanchester, Aerodonetics (1908): angle of attack and thrust held, level: T = π√2 V/g, ζ = 1/(√2 L/D)
    // (Etkin & Reid 1996, 6.3).
    let mut airframe = stiff(even());
    // A propeller that pulls the same at every speed and washes nothing.
    airframe.propeller.thrust = [0.08, 0.0, 0.0];
    airframe.propeller.power = [0.04, 0.0, 0.0];
    airframe.propeller.inertia_kgm2 = 1e9;
    airframe.propeller.stream_on_tail = 0.0;
    airframe.wing.stream_lift = 0.0;
    (airframe.pitch.thrust, airframe.lateral.yaw_thrust) = (0.0, 0.0);
    for v in [45.0, 55.0] {
        let found = steady(&airframe, v, 0.0, Path::Angle(0.0)).expect("level flight");
        let (_, air) = forces(&airframe, &found.state, &found);
        let expected = PI * SQRT_2 * v / G0_MPS2;
        let wanted = 1.0 / (SQRT_2 * air.lift / air.drag);
        for method in METHODS {
            let (period, damping) = phugoid(&airframe, &found, method);
            println!(
                "{method:?}, {v} m/s: {period:.2} s ({expected:.2}), ζ {damping:.4} ({wanted:.4})"
            );
            assert!((period / expected - 1.0).abs() < 0.04);
            assert!((damping / wanted - 1.0).abs() < 0.08);
        }
    }
}

#[test]
fn the_phugoid_of_a_glide_is_damped_half_as_much_again() {
    // By hand from V̇ = −D/m − g sin γ, V γ̇ = L/m − g cos γ at the same lift coefficient: the weight's part along a
    // path that goes down damps too, 2ζω = 3 g sin|γ|/V, so ζ = 3/(2√2) D/L.
    let airframe = stiff(even());
    let found = steady(&airframe, 55.0, 0.0, Path::Throttle(0.0)).expect("a glide");
    let (_, air) = forces(&airframe, &found.state, &found);
    let expected = PI * SQRT_2 * 55.0 / G0_MPS2;
    let wanted = 3.0 / (2.0 * SQRT_2) * air.drag / air.lift;
    for method in METHODS {
        let (period, damping) = phugoid(&airframe, &found, method);
        println!("{method:?}: {period:.2} s ({expected:.2}), ζ {damping:.4} ({wanted:.4})");
        assert!((period / expected - 1.0).abs() < 0.04);
        assert!((damping / wanted - 1.0).abs() < 0.08);
    }
}

#[test]
fn the_short_period_is_that_of_its_derivatives() {
    // Two-state approximation (Etkin & Reid 1996, 6.3; Stevens & Lewis 2003, 4.2):
    // ω² = Zα Mq/V − Mα (1 + Zq/V), 2ζω = −(Zα/V + Mq + (1 + Zq/V) Mα̇).
    let airframe = even();
    let v = 55.0;
    let found = steady(&airframe, v, 0.0, Path::Throttle(0.0)).expect("a glide");
    let (_, air) = forces(&airframe, &found.state, &found);
    let (wing, pitch, body) = (&airframe.wing, &airframe.pitch, &airframe.inertia);
    let reach = 0.5 * RHO0_KGPM3 * v * v * wing.area_m2;
    let by_rate = 0.5 * wing.chord_m / v;
    let z_alpha = -reach * (wing.lift_slope + air.drag) / body.mass_kg / v;
    let z_rate = 1.0 - reach * wing.lift_pitch_rate * by_rate / body.mass_kg / v;
    let moment = reach * wing.chord_m / body.yy_kgm2;
    let (m_alpha, m_rate, m_alpha_rate) = (
        moment * pitch.alpha,
        moment * pitch.pitch_rate * by_rate,
        moment * pitch.alpha_rate * by_rate,
    );
    let stiff = z_alpha * m_rate - m_alpha * z_rate;
    let damp = -(z_alpha + m_rate + z_rate * m_alpha_rate);

    for method in METHODS {
        let (seen_stiff, seen_damp) = swing(&airframe, &found, v, method);
        println!(
            "{method:?}: ω {:.3} rad/s ({:.3}), 2ζω {seen_damp:.3} 1/s ({damp:.3})",
            seen_stiff.sqrt(),
            stiff.sqrt()
        );
        assert!((seen_stiff.sqrt() / stiff.sqrt() - 1.0).abs() < 0.05);
        assert!((seen_damp / damp - 1.0).abs() < 0.05);
    }
}

/// ω² and 2ζω of the pitching after a degree too much of angle of attack.
fn swing(airframe: &Airframe, found: &Trimmed, v: f64, method: Method) -> (f64, f64) {
    let weather = Weather::default();
    let mut flying = aloft(airframe, &weather, found, 1);
    flying.method = method;
    // A degree more of angle of attack, at the same speed.
    let alpha = found.alpha_rad + 1_f64.to_radians();
    (flying.state.0[3], flying.state.0[5]) = (v * alpha.cos(), v * alpha.sin());
    let rate: Vec<f64> = (0..150)
        .map(|_| {
            flying.step(&held(found), STEP_S);
            flying.state.0[11]
        })
        .collect();
    // q̈ + d q̇ + s q = 0 by least squares over the second and a half in which the speed hardly changes.
    let (mut n, mut sums) = ([[0.0; 2]; 2], [0.0; 2]);
    for three in rate.windows(3) {
        let &[a, b, c] = three else { continue };
        let (second, first) = ((a - 2.0 * b + c) / STEP_S.powi(2), 0.5 * (c - a) / STEP_S);
        for (row, x) in [first, b].into_iter().enumerate() {
            n[row][0] += x * first;
            n[row][1] += x * b;
            sums[row] -= x * second;
        }
    }
    let base = n[0][0] * n[1][1] - n[0][1] * n[1][0];
    let seen_damp = (sums[0] * n[1][1] - sums[1] * n[0][1]) / base;
    let seen_stiff = (n[0][0] * sums[1] - n[1][0] * sums[0]) / base;
    (seen_stiff, seen_damp)
}

#[test]
fn a_steady_turn_goes_by_its_bank() {
    // ω = g tan φ/V and n = 1/cos φ in a level coordinated turn (AFH, FAA-H-8083-3C, ch. 10; any textbook).
    let airframe = demo();
    // More than 45° takes more power at this speed than there is.
    for bank_deg in [15.0_f64, 30.0, 45.0] {
        let v = 55.0;
        let found = steady(&airframe, v, bank_deg, Path::Angle(0.0)).expect("a level turn");
        let bank = bank_deg.to_radians();
        let rate = G0_MPS2 * bank.tan() / v;
        let felt = found.felt.specific_force_g;
        let normal = felt.iter().map(|g| g * g).sum::<f64>().sqrt();
        println!(
            "{bank_deg}°: {:.5} rad/s ({rate:.5}), {normal:.4} g",
            found.turn_radps
        );
        assert!((found.turn_radps / rate - 1.0).abs() < 0.02);
        assert!((normal * bank.cos() - 1.0).abs() < 0.01);
    }
}

#[test]
fn the_turn_that_was_found_is_the_turn_that_is_flown() {
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 55.0, 45.0, Path::Angle(0.0)).expect("a level turn");
    for method in METHODS {
        let mut flying = aloft(&airframe, &weather, &found, 1);
        flying.method = method;
        for _ in 0..500 {
            flying.step(&held(&found), STEP_S);
        }
        let [_, _, heading] = flying.state.attitude();
        assert!((heading - 5.0 * found.turn_radps).abs() < 0.5_f64.to_radians());
        assert!(flying.state.height_m().abs() < 1.0);
    }
}

#[test]
fn a_glide_goes_down_by_drag_over_lift() {
    // tan γ = −D/L without thrust (any textbook): exact.
    let airframe = glider();
    for v in [32.0, 40.0, 55.0] {
        let found = steady(&airframe, v, 0.0, Path::Throttle(0.0)).expect("a glide");
        let (_, air) = forces(&airframe, &found.state, &found);
        assert!((found.path_rad.tan() + air.drag / air.lift).abs() < 1e-4);
    }
}

#[test]
fn a_climb_takes_the_thrust_that_drag_leaves() {
    // V sin γ = (T cos α − D) V/W (any textbook): exact; with cos α = 1 the usual (T − D) V/W.
    let airframe = demo();
    for v in [35.0, 40.0, 50.0] {
        let found = steady(&airframe, v, 0.0, Path::Throttle(1.0)).expect("a climb");
        let (flow, air) = forces(&airframe, &found.state, &found);
        let drag = flow.pressure_pa() * airframe.wing.area_m2 * air.drag;
        let weight = airframe.inertia.mass_kg * G0_MPS2;
        let exact = (found.felt.thrust_n * found.alpha_rad.cos() - drag) * v / weight;
        let usual = (found.felt.thrust_n - drag) * v / weight;
        let climb = v * found.path_rad.sin();
        println!("{v} m/s: {climb:.3} m/s ({exact:.3}, usual {usual:.3})");
        assert!((climb - exact).abs() < 0.01);
        assert!((climb / usual - 1.0).abs() < 0.10);
    }
}

#[test]
fn the_stall_speed_goes_with_the_root_of_the_load() {
    // VS(φ) = VS √n (AFH ch. 5). In a glide the wing carries n = cos γ/cos φ.
    let airframe = glider();
    let slowest = |bank_deg: f64| {
        let (critical, _) = airframe.critical(0.0);
        let possible = |v: f64| {
            steady(&airframe, v, bank_deg, Path::Throttle(0.0))
                .filter(|found| found.alpha_rad < critical)
        };
        let speeds = (0..600).map(|step| 22.0 + 0.05 * f64::from(step));
        speeds
            .into_iter()
            .find_map(|v| possible(v).map(|found| (v, found)))
    };
    let (level, straight) = slowest(0.0).expect("a slowest glide");
    let model = stall_speed_mps(&airframe, 0.0);
    println!("level {level:.2} m/s, by greatest lift {model:.2} m/s");
    // Elevator and rate of pitch carry a little; the file's stall speed is that of the wing alone.
    assert!((level / model - 1.0).abs() < 0.05);
    for bank_deg in [30.0_f64, 45.0] {
        let (banked, found) = slowest(bank_deg).expect("a slowest turn");
        let load = found.path_rad.cos() / bank_deg.to_radians().cos() / straight.path_rad.cos();
        println!(
            "{bank_deg}°: {banked:.2} m/s, {:.4} ({:.4})",
            banked / level,
            load.sqrt()
        );
        assert!((banked / level / load.sqrt() - 1.0).abs() < 0.03);
    }
}

#[test]
fn steady_flight_stays_steady() {
    let (airframe, weather) = (demo(), Weather::default());
    let found = steady(&airframe, 50.0, 0.0, Path::Angle(0.0)).expect("level flight");
    for method in METHODS {
        let mut flying = aloft(&airframe, &weather, &found, 1);
        flying.method = method;
        for _ in 0..1000 {
            flying.step(&held(&found), STEP_S);
        }
        let [_, _, down] = flying.state.velocity_ned();
        let [bank, ..] = flying.state.attitude();
        assert!(down.abs() < 0.05 && flying.state.height_m().abs() < 0.5);
        assert!(bank.abs() < 0.1_f64.to_radians());
    }
}

fn energy_j(airframe: &Airframe, flying: &Flying<'_>) -> f64 {
    let square = |v: [f64; 3]| v.iter().map(|x| x * x).sum::<f64>();
    let [_, q, _] = flying.state.rates();
    airframe.inertia.mass_kg
        * (0.5 * square(flying.state.velocity_body()) + G0_MPS2 * flying.state.height_m())
        + 0.5 * airframe.inertia.yy_kgm2 * q * q
}

#[test]
fn without_power_energy_is_lost_to_drag_alone() {
    // dE/dt = −D V in still air without thrust, wings level: first law of mechanics.
    let (airframe, weather) = (even(), Weather::default());
    let found = steady(&airframe, 45.0, 0.0, Path::Throttle(0.0)).expect("a glide");
    for method in METHODS {
        let mut flying = aloft(&airframe, &weather, &found, 1);
        flying.method = method;
        flying.state.0[2] = -1000.0;
        let mut hands = held(&found);
        let start = energy_j(&airframe, &flying);
        let mut lost = 0.0;
        for step in 0..4000 {
            let t = f64::from(step) * STEP_S;
            hands.elevator = found.surfaces.elevator + 0.1 * (0.7 * t).sin();
            let density = weather.density_kgpm3(flying.state.height_m());
            let body = flying.state.velocity_body();
            let flow = Airflow::new(body, flying.state.rates(), density, 10_000.0);
            let attached = [flying.state.0[14], flying.state.0[15]];
            let air = loads(&airframe, &flow, &flying.surfaces, attached, 0.0);
            lost += flow.pressure_pa() * airframe.wing.area_m2 * air.drag * flow.tas_mps * STEP_S;
            flying.step(&hands, STEP_S);
        }
        let change = start - energy_j(&airframe, &flying);
        println!("{method:?}: energy lost {change:.0} J, drag's work {lost:.0} J");
        assert!((change / lost - 1.0).abs() < 0.005);
    }
}

#[test]
fn the_engine_loses_power_with_height_as_published() {
    // Gagg & Ferrar, "Altitude Performance of Aircraft Engines Equipped with Gear-Driven Superchargers",
    // SAE Journal (1934): P/P₀ = 1.132 σ − 0.132; at 10,000 ft of the standard atmosphere (σ = 0.7385) 0.704.
    let mut engine = demo().engine;
    engine.friction = 0.0;
    let torque = |sigma: f64| engine.torque_nm(1.0, sigma * RHO0_KGPM3, engine.rated_radps);
    assert!((torque(0.7385) / torque(1.0) - 0.704).abs() < 0.001);
    assert!((torque(1.0) * engine.rated_radps / engine.rated_w - 1.0).abs() < 1e-9);
}

#[test]
fn near_the_ground_induced_drag_falls_as_published() {
    // McCormick 1995, eq. 4.50: φ = (16 h/b)²/(1 + (16 h/b)²); wing at a tenth of the span: 0.719.
    let airframe = glider();
    let surfaces = steady(&airframe, 40.0, 0.0, Path::Throttle(0.0))
        .expect("a glide")
        .surfaces;
    let at = |height_m: f64| {
        let body = [40.0 * 0.1_f64.cos(), 0.0, 40.0 * 0.1_f64.sin()];
        let flow = Airflow::new(body, [0.0; 3], RHO0_KGPM3, height_m);
        loads(&airframe, &flow, &surfaces, [1.0; 2], 0.0)
    };
    let (wing, elevator) = (&airframe.wing, surfaces.elevator);
    let induced = |air: &Loads| {
        let lift = air.lift - wing.lift_elevator * elevator;
        (air.drag - wing.drag_zero) / (wing.drag_lift * lift * lift)
    };
    let near = at(0.1 * wing.span_m - wing.height_m);
    let far = at(1000.0);
    println!("induced {:.4}", induced(&near) / induced(&far));
    assert!((induced(&near) / induced(&far) - 0.719).abs() < 0.005);
    assert!(near.lift > far.lift);
}

#[test]
fn the_demonstrations_figures_are_near_its_manual() {
    // data/aircraft/demo.toml, made calibrated by its own table: VS1 52.7 and VS0 48.3 KCAS, VX 64, VY 78, glide 67.
    let found = figures(&demo(), RHO0_KGPM3);
    let near = |seen_mps: f64, kt: f64| (seen_mps / MPS_PER_KT / kt - 1.0).abs() < 0.02;
    assert!(near(found.stall[0].1, 52.7) && near(found.stall[3].1, 48.3));
    assert!(near(found.best_angle.expect("climbs").0, 64.4));
    assert!(near(found.best_rate.expect("climbs").0, 78.1));
    assert!(near(found.best_glide.expect("glides").0, 67.3));
    assert!(found.best_angle.expect("climbs").0 < found.best_rate.expect("climbs").0);
}
