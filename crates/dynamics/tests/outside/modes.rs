//! Short period and phugoid, each flown from its own steady flight and read off in the same way.

use crate::plant::{Fly, Ours, STEP_S, Seen, Theirs, outside};
use crate::steady::{ours, theirs};
use crate::support::demo;
use dynamics::outside::Earth;
use dynamics::trim::Path;
use dynamics::{Controls, State, Surfaces, Weather};
use nalgebra::{Matrix2, Vector2};

/// Period, s, and damping ratio.
#[derive(Clone, Copy, Debug)]
struct Mode {
    period: f64,
    damping: f64,
}

fn held(surfaces: &Surfaces) -> Controls {
    Controls {
        elevator: surfaces.elevator,
        aileron: surfaces.aileron,
        rudder: surfaces.rudder,
        throttle: surfaces.throttle,
        flap_rad: surfaces.flap_rad,
        ..Controls::default()
    }
}

/// After a pull of 0.2 s, angle of attack and pitch rate follow x' = A x: A by least squares, its eigenvalue the mode.
fn short_period(plant: &mut dyn Fly, state: &State, surfaces: &Surfaces) -> Mode {
    plant.begin(state, surfaces);
    let hands = held(surfaces);
    let alpha = {
        let [u, _, w] = state.velocity_body();
        w.atan2(u)
    };
    let mut rows: Vec<Vector2<f64>> = Vec::new();
    for count in 0..260 {
        let mut controls = hands;
        if count < 24 {
            controls.elevator += 0.10;
        }
        let seen = plant.step(&controls);
        if count >= 40 {
            rows.push(Vector2::new(seen.alpha - alpha, seen.pitch_rate));
        }
    }
    // Ten frames ahead: rounding and the frame by which either is late weigh less.
    let ahead = 10;
    let (mut cross, mut square) = (Matrix2::zeros(), Matrix2::zeros());
    for pair in rows.windows(ahead + 1) {
        cross += pair[ahead] * pair[0].transpose();
        square += pair[0] * pair[0].transpose();
    }
    let a: Matrix2<f64> = cross * square.try_inverse().expect("it moved");
    let (half, det) = (0.5 * a.trace(), a.determinant());
    let turn = (det - half * half).max(0.0).sqrt().atan2(half);
    let time = ahead as f64 * STEP_S;
    let (real, imaginary) = (0.5 * det.ln() / time, turn / time);
    Mode {
        period: std::f64::consts::TAU / imaginary,
        damping: -real / real.hypot(imaginary),
    }
}

/// From 3 m/s too fast, hands held: times and sizes of the speed's first crests.
fn phugoid(plant: &mut dyn Fly, state: &State, surfaces: &Surfaces) -> Mode {
    let mut fast = *state;
    let [u, v, w] = state.velocity_body();
    let more = 1.0 + 3.0 / (u * u + v * v + w * w).sqrt();
    for axis in 3..6 {
        fast.0[axis] *= more;
    }
    plant.begin(&fast, surfaces);
    let mut controls = held(surfaces);
    let mut row: Vec<Seen> = vec![plant.step(&controls)];
    let mut turns: Vec<(f64, f64)> = Vec::new();
    while row.len() < (110.0 / STEP_S) as usize && turns.len() < 4 {
        // Wings held level: the spiral is not what is looked at.
        let now = row[row.len() - 1];
        controls.aileron = surfaces.aileron - 0.5 * now.bank;
        row.push(plant.step(&controls));
        let Some([a, b, c]) = row.last_chunk::<3>().filter(|_| now.t > 1.0) else {
            continue;
        };
        if (b.tas - a.tas) * (c.tas - b.tas) < 0.0 {
            let bend = a.tas - 2.0 * b.tas + c.tas;
            let at = 0.5 * (a.tas - c.tas) / bend;
            turns.push((b.t + at * STEP_S, b.tas - 0.25 * (a.tas - c.tas) * at));
        }
    }
    assert!(turns.len() == 4, "{turns:?}");
    // Three extremes in a row give two swings that share a middle.
    let swing = |i: usize| (turns[i].1 - turns[i + 1].1).abs();
    let decay = (swing(0) / swing(2)).ln();
    Mode {
        period: turns[2].0 - turns[0].0,
        damping: decay / decay.hypot(std::f64::consts::TAU),
    }
}

/// A mode of ours and of theirs at a speed and a flap detent.
type Read = fn(&mut dyn Fly, &State, &Surfaces) -> Mode;

fn both(name: &str, earth: Earth, read: Read, period: f64, damping: f64) {
    let (airframe, weather) = (demo(), Weather::default());
    let Some(mut plant) = outside(name, &airframe, earth) else {
        return;
    };
    for (tas, detent) in [(36.0, 0), (45.0, 0), (55.0, 0), (34.0, 3)] {
        let flap = airframe.flaps[detent].angle_rad;
        let found = ours(&airframe, tas, 0.0, flap, Path::Angle(0.0));
        let there = theirs(&mut plant, &found, Path::Angle(0.0));
        let a = read(
            &mut Ours::new(&airframe, &weather),
            &found.state,
            &found.surfaces,
        );
        let mut outer = Theirs(plant, 0.0);
        let b = read(&mut outer, &there.state, &there.surfaces);
        plant = outer.0;
        println!(
            "{name} {earth:?} {tas} m/s, flaps {:.0}°: ours {:.2} s, damping {:.3}; theirs {:.2} s, {:.3}",
            flap.to_degrees(),
            a.period,
            a.damping,
            b.period,
            b.damping
        );
        assert!((b.period / a.period - 1.0).abs() < period, "{a:?} {b:?}");
        assert!((b.damping - a.damping).abs() < damping, "{a:?} {b:?}");
    }
}

#[test]
fn val_the_short_period_is_the_same() {
    // Asked for: 3 % of the period, 0.03 of the damping ratio (their angle's rate is a frame old).
    both("short-period", Earth::Flat, short_period, 0.03, 0.03);
    both("short-period", Earth::Round, short_period, 0.03, 0.03);
}

#[test]
fn val_the_phugoid_is_the_same() {
    // Asked for: 1 % and 0.005; over the round earth 2 %.
    both("phugoid", Earth::Flat, phugoid, 0.01, 0.005);
    both("phugoid", Earth::Round, phugoid, 0.02, 0.005);
}
