//! Inferred flaps on flights made here, whose flaps are known: a point mass with a straight load line,
//! a quadratic drag polar and thrust that falls with speed, flown through a speed and power schedule.
//! Its constants are not those that the inference expects.

use aircraft::{Aircraft, Detent};
use flight::{Air, Clock, Fit, Flaps, Flight, Origin, Series, Sigma, flaps};

const DEG: f64 = std::f64::consts::PI / 180.0;
const KT: f64 = 1852.0 / 3600.0;
const G: f64 = 9.80665;
const VS1: f64 = 52.0 * KT;
const ANGLES: [f64; 4] = [0.0, 12.0 * DEG, 22.0 * DEG, 35.0 * DEG];
/// Offset of the angle of attack and added drag over weight at VS1, by detent.
const OFFSET: [f64; 4] = [0.0, -1.6 * DEG, -2.5 * DEG, -3.4 * DEG];
const DRAG: [f64; 4] = [0.0, 0.006, 0.014, 0.026];

/// Even noise from a fixed seed, so that a test gives the same every time.
struct Noise(u64);

impl Noise {
    fn normal(&mut self) -> f64 {
        let mut uniform = || {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1_u64 << 53) as f64
        };
        (0..12).map(|_| uniform()).sum::<f64>() - 6.0
    }
}

fn trainer() -> Aircraft {
    let mut aircraft = Aircraft {
        name: "test".to_owned(),
        ..Aircraft::default()
    };
    aircraft.speeds.vs1_mps = Some(VS1);
    aircraft.speeds.vs0_mps = Some(47.0 * KT);
    aircraft.speeds.vfe_mps = Some(90.0 * KT);
    aircraft.flaps = ANGLES
        .iter()
        .map(|&angle_rad| Detent {
            angle_rad,
            ..Detent::default()
        })
        .collect();
    aircraft.completed()
}

/// What was flown: the flight, the flap angle at each sample, lever movements (s, detent after).
struct Flown {
    flight: Flight,
    /// What a vane would have written, and an accelerometer that feels the same gusts.
    vane: Option<Series>,
    vane_load: Option<Series>,
    angle_rad: Vec<f64>,
    lever: Vec<(f64, usize, usize)>,
}

/// Speed (kt), power and lever detent from a time on.
fn schedule() -> Vec<(f64, f64, f64, usize)> {
    let mut points = vec![(0.0, 102.0, 0.65, 0)];
    let mut t = 150.0;
    for round in 0..3 {
        let stay = 50.0 + 25.0 * f64::from(round);
        for (dt, speed, power, detent) in [
            (20.0, 84.0, 0.25, 0),
            (7.0, 78.0, 0.25, 1),
            (8.0, 70.0, 0.3, 2),
            (9.0, 65.0, 0.4, 3),
            (stay, 65.0, 0.45, 3),
            (12.0, 67.0, 1.0, 2),
            (9.0, 70.0, 1.0, 1),
            (8.0, 76.0, 1.0, 0),
            (60.0, 78.0, 1.0, 0),
            (40.0, 104.0, 0.7, 0),
            (90.0, 100.0, 0.6, 0),
            (40.0, 70.0, 0.35, 0),
            (40.0, 96.0, 0.8, 0),
        ] {
            points.push((t, speed, power, detent));
            t += dt;
        }
    }
    points.push((t, 100.0, 0.65, 0));
    points.push((t + 120.0, 100.0, 0.65, 0));
    points
}

/// Flies the schedule at 1 Hz through vertical gusts of `gust_mps` (1-σ, a few seconds long).
fn fly(gust_mps: f64, tailwind_mps: f64) -> Flown {
    let points = schedule();
    let len = points[points.len() - 1].0 as usize;
    let mut noise = Noise(7);
    // Speed and power run into each target with a lag; the flaps travel at 6 deg/s.
    let (mut speed, mut power, mut flap, mut gust) = (points[0].1 * KT, 0.65, 0.0, 0.0);
    let mut lever = Vec::new();
    let (mut speeds, mut powers, mut flaps, mut gusts) = (vec![], vec![], vec![], vec![]);
    let mut before = 0;
    for t in 0..len {
        let now = points
            .iter()
            .rev()
            .find(|p| p.0 <= t as f64)
            .copied()
            .unwrap_or(points[0]);
        if now.3 != before {
            lever.push((now.0, before, now.3));
            before = now.3;
        }
        speed += (now.1 * KT - speed).clamp(-0.9, 0.9) * 0.35;
        power += (now.2 - power) * 0.5;
        flap += (ANGLES[now.3] - flap).clamp(-6.0 * DEG, 6.0 * DEG);
        gust = 0.75 * gust + gust_mps * (1.0_f64 - 0.75 * 0.75).sqrt() * noise.normal();
        speeds.push(speed);
        powers.push(power);
        flaps.push(flap);
        gusts.push(gust);
    }
    let path = paths(&speeds, &powers, &flaps);
    let level = |values: Vec<f64>| {
        Some(Series {
            values,
            sigma: Sigma::Constant(0.1),
            origin: Origin::Measured,
        })
    };
    let mut flight = blank(len);
    let load: Vec<f64> = (0..len)
        .map(|t| {
            let turn = (path[(t + 1).min(len - 1)] - path[t.saturating_sub(1)]) / 2.0;
            path[t].cos() + speeds[t] * turn / G
        })
        .collect();
    let mut sampled = |f: &dyn Fn(usize) -> f64, sigma: f64| -> Vec<f64> {
        (0..len).map(|t| f(t) + sigma * noise.normal()).collect()
    };
    let alpha = |t: usize| {
        -2.0 * DEG + 15.0 * DEG * load[t] * (VS1 / speeds[t]).powi(2) + between(&OFFSET, flaps[t])
    };
    flight.pitch = level(sampled(&|t| path[t] + alpha(t), 0.12 * DEG));
    flight.bank = level(sampled(&|_| 0.0, 0.1 * DEG));
    flight.ias = level(sampled(&|t| speeds[t], 0.15));
    flight.tas = flight.ias.clone();
    flight.climb = level(sampled(&|t| speeds[t] * path[t].sin() + gusts[t], 0.12));
    flight.ground_speed = level(sampled(&|t| speeds[t] * path[t].cos() + tailwind_mps, 0.06));
    flight.track = level(vec![0.4; len]);
    flight.heading = level(vec![0.4; len]);
    flight.load = level(sampled(&|t| load[t], 0.02));
    flight.engine_speed = level(sampled(&|t| 262.0 * (0.35 + 0.65 * powers[t]), 1.0));
    flight.fuel_flow = level(sampled(&|t| 1e-5 * powers[t], 1e-7));
    // A gust turns the vane, and lifts by the slope of the load line.
    let gust_rad = |t: usize| gusts[t] / speeds[t];
    let lifted = |t: usize| gust_rad(t) / (15.0 * DEG) * (speeds[t] / VS1).powi(2);
    let vane = level(sampled(&|t| alpha(t) + gust_rad(t) + 1.0 * DEG, 0.2 * DEG));
    let vane_load = level(sampled(&|t| load[t] + lifted(t), 0.02));
    Flown {
        vane,
        vane_load,
        flight,
        angle_rad: flaps,
        lever,
    }
}

/// Air path angle from the balance of thrust, drag and acceleration.
fn paths(speeds: &[f64], powers: &[f64], flaps: &[f64]) -> Vec<f64> {
    let raw: Vec<f64> = (0..speeds.len())
        .map(|t| {
            let u = speeds[t] / VS1;
            let rate = (speeds[(t + 1).min(speeds.len() - 1)] - speeds[t.saturating_sub(1)]) / 2.0;
            let thrust = powers[t] * 0.36 / (0.5 + 0.7 * u);
            let drag = 0.024 * u * u + 0.06 / (u * u) + between(&DRAG, flaps[t]) * u * u;
            (thrust - drag - rate / G).clamp(-0.3, 0.3)
        })
        .collect();
    // A pilot smooths what the balance would jerk.
    (0..raw.len())
        .map(|t| {
            let span = t.saturating_sub(2)..(t + 3).min(raw.len());
            let count = span.len() as f64;
            raw[span].iter().sum::<f64>() / count
        })
        .collect()
}

fn between(at_detents: &[f64; 4], flap: f64) -> f64 {
    let k = (1..3).find(|&k| flap < ANGLES[k]).unwrap_or(3);
    let share = (flap - ANGLES[k - 1]) / (ANGLES[k] - ANGLES[k - 1]);
    at_detents[k - 1] + share * (at_detents[k] - at_detents[k - 1])
}

fn blank(len: usize) -> Flight {
    Flight {
        name: "test".to_owned(),
        known: vec![true; len],
        fit: Fit::Panel,
        air: Air::Calm,
        gust_mps: f64::NAN,
        origin_latitude_rad: 0.0,
        origin_longitude_rad: 0.0,
        variation_rad: 0.0,
        power_state: Vec::new(),
        on_ground: vec![false; len],
        remarks: Vec::new(),
        ..Flight::empty(Clock { step_s: 1.0, len })
    }
}

fn infer(flown: &Flown) -> Flaps {
    flaps::infer(&flown.flight, &trainer()).expect("attitude and air data are there")
}

/// Found within 3 s, and reported ones without a lever movement.
fn score(flown: &Flown, flaps: &Flaps) -> (usize, usize) {
    let mut left: Vec<_> = flaps
        .steps
        .iter()
        .filter(|s| s.probability >= 0.8)
        .collect();
    let mut found = 0;
    for (at, from, to) in &flown.lever {
        let near = left
            .iter()
            .position(|s| (s.at_s - at).abs() <= 3.0 && (s.to_rad > s.from_rad) == (to > from));
        if let Some(near) = near {
            left.remove(near);
            found += 1;
        }
    }
    (found, left.len())
}

/// Goal of the project: 0.8 of the steps within 3 s in calm air, few false ones.
#[test]
fn prop_steps_and_state_in_calm_air() {
    let flown = fly(0.05, 4.0);
    let flaps = infer(&flown);
    let (found, wrong) = score(&flown, &flaps);
    assert!(
        found * 10 >= flown.lever.len() * 8,
        "found {found} of {:?} in {:#?}",
        flown.lever,
        flaps
            .steps
            .iter()
            .map(|s| (s.at_s, s.from_rad / DEG, s.probability))
            .collect::<Vec<_>>()
    );
    assert!(wrong <= 1, "{wrong} false steps");
    let wrong = (0..flaps.out.len())
        .filter(|&i| (flaps.out[i] > 0.5) != (flown.angle_rad[i] > 6.0 * DEG))
        .count();
    assert!(
        wrong * 50 < flaps.out.len(),
        "clean or out is wrong in {wrong} of {}",
        flaps.out.len()
    );
}

/// Out or clean survives gusts of a meter a second, because the force along the body does not see them.
#[test]
fn prop_state_in_light_air() {
    let flown = fly(0.8, -6.0);
    let flaps = infer(&flown);
    let known = (0..flaps.out.len()).filter(|&i| flaps.out[i].is_finite());
    let (right, all) = known.fold((0, 0), |(right, all), i| {
        (
            right + usize::from((flaps.out[i] > 0.5) == (flown.angle_rad[i] > 6.0 * DEG)),
            all + 1,
        )
    });
    assert!(
        all * 2 > flaps.out.len(),
        "known in {all} of {}",
        flaps.out.len()
    );
    assert!(right * 20 >= all * 19, "right in {right} of {all}");
}

/// In rough air nobody is told that the flaps are in, and no step is reported.
#[test]
fn prop_rough_air_is_unknown_not_clean() {
    let flown = fly(3.0, 0.0);
    let flaps = infer(&flown);
    let clean = flaps.out.iter().filter(|p| **p < 0.5).count();
    assert!(
        clean * 50 < flaps.out.len(),
        "clean was said in {clean} of {}",
        flaps.out.len()
    );
    assert!(flaps.steps.iter().all(|s| s.probability < 0.8) || flaps.steps.len() <= 1);
}

/// A vane and an accelerometer feel the same gust, so that rough air (moderate by MIL-F-8785C, 1.5 m/s)
/// does not matter to them.
#[test]
fn prop_a_vane_tells_in_rough_air() {
    let mut flown = fly(1.5, 0.0);
    assert_eq!(score(&flown, &infer(&flown)).0, 0);
    flown.flight.aoa = flown.vane.take();
    flown.flight.load = flown.vane_load.take();
    let flaps = infer(&flown);
    let (found, wrong) = score(&flown, &flaps);
    let all = flown.lever.len();
    assert!(found * 2 >= all, "found {found} of {all}");
    assert!(wrong <= 2, "{wrong} false steps");
    let wrong = (0..flaps.out.len())
        .filter(|&i| (flaps.out[i] > 0.5) != (flown.angle_rad[i] > 6.0 * DEG))
        .count();
    assert!(wrong * 20 < flaps.out.len(), "wrong in {wrong}");
}

/// A vane that is stuck is passed over.
#[test]
fn prop_a_stuck_vane_changes_nothing() {
    let mut flown = fly(0.05, 4.0);
    let without = infer(&flown);
    let mut stuck = flown.vane.take().expect("made above");
    stuck.values.fill(0.05);
    flown.flight.aoa = Some(stuck);
    assert_eq!(infer(&flown).steps, without.steps);
}

/// A steady wind changes nothing.
#[test]
fn prop_wind_does_not_matter() {
    let (still, windy) = (infer(&fly(0.05, 0.0)), infer(&fly(0.05, 15.0)));
    assert_eq!(still.steps.len(), windy.steps.len());
    for (a, b) in still.steps.iter().zip(&windy.steps) {
        assert!((a.at_s - b.at_s).abs() < 0.5, "{} {}", a.at_s, b.at_s);
    }
}

#[test]
fn prop_recorded_flaps_are_untouched() {
    let mut flown = fly(0.05, 0.0);
    let recorded = Flaps {
        angle: Series {
            values: flown.angle_rad.clone(),
            sigma: Sigma::Constant(0.01),
            origin: Origin::Measured,
        },
        out: vec![0.25; flown.angle_rad.len()],
        steps: Vec::new(),
    };
    flown.flight.flaps = Some(recorded.clone());
    assert_eq!(infer(&flown), recorded);
}

#[test]
fn prop_no_flaps_is_clean() {
    let flown = fly(3.0, 0.0);
    let mut aircraft = trainer();
    aircraft.flaps.truncate(1);
    let flaps = flaps::infer(&flown.flight, &aircraft).expect("known without any data");
    assert!(flaps.steps.is_empty() && flaps.out.iter().all(|p| *p == 0.0));
    assert!(flaps.angle.values.iter().all(|a| *a == 0.0));
}

#[test]
fn prop_nothing_without_attitude_air_data_or_detents() {
    let whole = fly(0.05, 0.0).flight;
    let without = |change: fn(&mut Flight)| {
        let mut flight = whole.clone();
        change(&mut flight);
        flaps::infer(&flight, &trainer())
    };
    assert!(without(|f| f.pitch = None).is_none());
    assert!(without(|f| f.ias = None).is_none());
    assert!(without(|f| f.clock.len = 0).is_none());
    assert!(flaps::infer(&whole, &Aircraft::default()).is_none());
}

/// Holes, empty engine figures and a short flight give an answer or none, never a panic.
#[test]
fn prop_bad_input_is_survived() {
    let mut flight = fly(0.05, 0.0).flight;
    for i in 300..360 {
        flight.known[i] = false;
        let holed = [
            &mut flight.pitch,
            &mut flight.ias,
            &mut flight.load,
            &mut flight.fuel_flow,
        ];
        for series in holed.into_iter().flatten() {
            series.values[i] = f64::NAN;
        }
    }
    flight.track = None;
    flight.engine_speed = None;
    let flaps = flaps::infer(&flight, &trainer()).expect("most of it is there");
    assert_eq!(flaps.out.len(), flight.clock.len);
    for len in [1, 2, 7, 40] {
        let mut short = flight.clone();
        short.clock.len = len;
        let _ = flaps::infer(&short, &trainer());
    }
}

/// On the ground nothing is said.
#[test]
fn prop_ground_is_silent() {
    let mut flown = fly(0.05, 0.0);
    flown.flight.on_ground[..100].fill(true);
    let flaps = infer(&flown);
    assert!(flaps.out[..100].iter().all(|p| p.is_nan()));
    assert!(flaps.steps.iter().all(|s| s.at_s >= 99.0));
}

/// What the flaps do is learned from a flight that recorded them.
#[test]
fn prop_learns_what_flaps_do() {
    let mut flown = fly(0.05, 0.0);
    let angle = Series {
        values: flown.angle_rad.clone(),
        sigma: Sigma::Constant(0.01),
        origin: Origin::Measured,
    };
    flown.flight.flaps = Some(Flaps {
        angle,
        out: Vec::new(),
        steps: Vec::new(),
    });
    let learned = flaps::learn(&flown.flight, &trainer()).expect("flaps are recorded");
    assert_eq!(learned.len(), 3);
    for (k, one) in learned.iter().enumerate() {
        let off = (one.aoa_offset_rad - OFFSET[k + 1]) / DEG;
        assert!(off.abs() < 0.5, "detent {}: off by {off:.2} deg", k + 1);
        assert!((one.drag_offset - DRAG[k + 1]).abs() < 0.012, "{one:?}");
    }
}
