//! Steady flight and steady turns: found by Newton's method in each library's own equations.

use crate::plant::outside;
use crate::support::demo;
use air::units::G0_MPS2;
use dynamics::outside::{Earth, Outside};
use dynamics::trim::{Path, Trimmed, Wanted, trim};
use dynamics::{Airframe, State, Surfaces, Weather};
use nalgebra::{SMatrix, SVector};

/// Height of all, m.
pub const HEIGHT_M: f64 = 1000.0;

/// What was found there.
#[derive(Clone, Copy, Debug)]
pub struct Found {
    pub state: State,
    pub surfaces: Surfaces,
    pub alpha: f64,
    pub turn: f64,
    pub load: f64,
}

/// Ours, at the height of the comparison.
pub fn ours(airframe: &Airframe, tas: f64, bank_deg: f64, flap_rad: f64, path: Path) -> Trimmed {
    let wanted = Wanted {
        tas_mps: tas,
        bank_rad: bank_deg.to_radians(),
        flap_rad,
        path,
        density_kgpm3: Weather::default().density_kgpm3(HEIGHT_M),
    };
    let mut found = trim(airframe, &wanted).expect("steady flight");
    found.state.0[2] = -HEIGHT_M;
    found
}

/// Theirs, from ours as a first guess: angle of attack, sideslip, surfaces, throttle or pitch, propeller, turn and both
/// attached shares, until nothing changes.
pub fn theirs(plant: &mut Outside, start: &Trimmed, path: Path) -> Found {
    let [bank, pitch, _] = start.state.attitude();
    let tas = start.felt.flow.tas_mps;
    let s = &start.surfaces;
    let place = |x: &SVector<f64, 10>| {
        let (alpha, beta) = (x[0], x[1]);
        let mut state = start.state;
        state.0[3] = tas * alpha.cos() * beta.cos();
        state.0[4] = tas * beta.sin();
        state.0[5] = tas * alpha.sin() * beta.cos();
        let (pitch, throttle) = match path {
            // The path is held: sin γ by alpha, beta, bank and pitch, turned to pitch by one step from ours.
            Path::Angle(angle) => (pitch_for(angle, alpha, beta, bank), x[5]),
            Path::Throttle(throttle) => (x[5], throttle),
        };
        state.set_attitude(bank, pitch, 0.0);
        state.0[10] = -x[7] * pitch.sin();
        state.0[11] = x[7] * bank.sin() * pitch.cos();
        state.0[12] = x[7] * bank.cos() * pitch.cos();
        state.0[13] = 100.0 * x[6];
        (state.0[14], state.0[15]) = (x[8], x[9]);
        let surfaces = Surfaces {
            elevator: x[2],
            aileron: x[3],
            rudder: x[4],
            throttle,
            ..start.surfaces
        };
        (state, surfaces)
    };
    let mut left = |x: &SVector<f64, 10>| {
        let (state, surfaces) = place(x);
        let told = plant.put(&state, &surfaces).expect("a state is set");
        let ([u, v, w], [p, q, r]) = (told.accel_mps2, told.turning_radps2);
        let side = told.specific_force_g[1] * G0_MPS2;
        let row = [
            u,
            v,
            w,
            p,
            q,
            r,
            told.spin_rate_radps2 / 100.0,
            side,
            told.tends_to[0] - x[8],
            told.tends_to[1] - x[9],
        ];
        (SVector::<f64, 10>::from(row), told)
    };
    let fifth = match path {
        Path::Angle(_) => s.throttle,
        Path::Throttle(_) => pitch,
    };
    let mut x = SVector::<f64, 10>::from([
        start.alpha_rad,
        start.felt.flow.beta_rad,
        s.elevator,
        s.aileron,
        s.rudder,
        fifth,
        start.state.0[13] / 100.0,
        start.turn_radps,
        start.state.0[14],
        start.state.0[15],
    ]);
    for _ in 0..8 {
        let (now, _) = left(&x);
        if now.norm() < 1e-7 {
            break;
        }
        let mut jacobian = SMatrix::<f64, 10, 10>::zeros();
        for column in 0..10 {
            let mut near = x;
            near[column] += 1e-5;
            jacobian.set_column(column, &((left(&near).0 - now) / 1e-5));
        }
        x -= jacobian.lu().solve(&now).expect("a step");
    }
    let (rest, told) = left(&x);
    assert!(rest.norm() < 1e-4, "not steady: {rest}");
    let (state, surfaces) = place(&x);
    Found {
        state,
        surfaces,
        alpha: x[0],
        turn: x[7],
        load: -told.specific_force_g[2],
    }
}

/// Stevens & Lewis 2003, eq. 3.6-3.
fn pitch_for(path: f64, alpha: f64, beta: f64, bank: f64) -> f64 {
    let a = alpha.cos() * beta.cos();
    let b = bank.sin() * beta.sin() + bank.cos() * alpha.sin() * beta.cos();
    let s = path.sin();
    ((a * b + s * (a * a - s * s + b * b).max(0.0).sqrt()) / (a * a - s * s)).atan()
}

#[test]
fn val_trim_is_the_same() {
    // Asked for: 0.1° of angle of attack, 0.01 of the elevator's and the throttle's travel, over the round earth too.
    let airframe = demo();
    for earth in [Earth::Flat, Earth::Round] {
        let Some(mut plant) = outside("trim", &airframe, earth) else {
            return;
        };
        for (tas, detent) in [
            (33.0, 0),
            (38.0, 0),
            (46.0, 0),
            (55.0, 0),
            (32.0, 1),
            (31.0, 2),
            (30.0, 3),
            (36.0, 3),
        ] {
            let flap = airframe.flaps[detent].angle_rad;
            let a = ours(&airframe, tas, 0.0, flap, Path::Angle(0.0));
            let b = theirs(&mut plant, &a, Path::Angle(0.0));
            let alpha = (b.alpha - a.alpha_rad).to_degrees();
            let elevator = b.surfaces.elevator - a.surfaces.elevator;
            let throttle = b.surfaces.throttle - a.surfaces.throttle;
            println!(
                "{earth:?} {tas} m/s, flaps {:.0}°: {:.2}°, elevator {:.3}, throttle {:.3}; off by {alpha:+.3}°, {elevator:+.4}, {throttle:+.4}",
                flap.to_degrees(),
                a.alpha_rad.to_degrees(),
                a.surfaces.elevator,
                a.surfaces.throttle
            );
            assert!(alpha.abs() < 0.1 && elevator.abs() < 0.01 && throttle.abs() < 0.01);
        }
    }
}

#[test]
fn val_steady_turns_have_the_same_rate_and_load() {
    // Asked for: 1 % of the rate of turn, 0.5 % of the load. At 60° full power does not hold the height: throttle given.
    let airframe = demo();
    for earth in [Earth::Flat, Earth::Round] {
        let Some(mut plant) = outside("turns", &airframe, earth) else {
            return;
        };
        for (bank, path) in [
            (30.0, Path::Angle(0.0)),
            (45.0, Path::Angle(0.0)),
            (60.0, Path::Throttle(1.0)),
        ] {
            let a = ours(&airframe, 50.0, bank, 0.0, path);
            let b = theirs(&mut plant, &a, path);
            let load = -a.felt.specific_force_g[2];
            let (rate, more) = (b.turn / a.turn_radps - 1.0, b.load / load - 1.0);
            println!(
                "{earth:?} {bank}°: {:.2}°/s at {load:.3} g; off by {:+.3} %, {:+.3} %",
                a.turn_radps.to_degrees(),
                100.0 * rate,
                100.0 * more
            );
            assert!(rate.abs() < 0.01 && more.abs() < 0.005);
        }
    }
}
