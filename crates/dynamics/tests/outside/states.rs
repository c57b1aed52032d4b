//! The same state, the same surfaces: the same accelerations. The sharpest check of all, term by term.

use crate::plant::outside;
use crate::support::demo;
use dynamics::model::{Around, rates};
use dynamics::outside::Earth;
use dynamics::weather::Gust;
use dynamics::{State, Surfaces, Weather};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

/// Anywhere a trainer can get to, and past the stall.
fn anywhere(dice: &mut Pcg64) -> (State, Surfaces) {
    let mut within = |low: f64, high: f64| dice.random_range(low..high);
    let speed = within(22.0, 65.0);
    let (alpha, beta) = (within(-0.1, 0.5), within(-0.2, 0.2));
    let mut state = State::level(within(3.0, 2500.0), 0.0, speed);
    state.0[3] = speed * alpha.cos() * beta.cos();
    state.0[4] = speed * beta.sin();
    state.0[5] = speed * alpha.sin() * beta.cos();
    state.set_attitude(within(-1.2, 1.2), within(-0.6, 0.6), within(0.0, 6.2));
    for axis in 10..13 {
        state.0[axis] = within(-0.6, 0.6);
    }
    state.0[13] = within(60.0, 290.0);
    (state.0[14], state.0[15]) = (within(0.0, 1.0), within(0.0, 1.0));
    let surfaces = Surfaces {
        elevator: within(-1.0, 1.0),
        aileron: within(-1.0, 1.0),
        rudder: within(-1.0, 1.0),
        throttle: within(0.0, 1.0),
        flap_rad: within(0.0, 0.698),
        brakes: 0.0,
    };
    (state, surfaces)
}

/// Largest differences over many states: along, about (m/s², rad/s²), of the propeller (rad/s²), of what the attached
/// share tends to.
fn worst(earth: Earth) -> Option<[f64; 4]> {
    let airframe = demo();
    let mut theirs = outside("states", &airframe, earth)?;
    let mut dice = Pcg64::seed_from_u64(11);
    let mut worst = [0.0_f64; 4];
    for _ in 0..300 {
        let (state, surfaces) = anywhere(&mut dice);
        let told = theirs.put(&state, &surfaces).expect("a state is set");
        if told.on_ground {
            continue;
        }
        let around = Around {
            wind: [0.0; 3],
            gust: Gust::default(),
            density_kgpm3: told.density_kgpm3,
            ground_m: 0.0,
        };
        let (row, felt) = rates(&airframe, &state, &surfaces, &around);
        for axis in 0..3 {
            worst[0] = worst[0].max((row[3 + axis] - told.accel_mps2[axis]).abs());
            worst[1] = worst[1].max((row[10 + axis] - told.turning_radps2[axis]).abs());
        }
        worst[2] = worst[2].max((row[13] - told.spin_rate_radps2).abs());
        for half in 0..2 {
            let ours = row[14 + half] * airframe.separation.lag_s + state.0[14 + half];
            worst[3] = worst[3].max((ours - told.tends_to[half]).abs());
        }
        assert!((felt.flow.alpha_rad - told.alpha_rad).abs() < 1e-6);
        // Its own standard atmosphere: geometric height there, the same number as geopotential here, 1 m at 2,500 m.
        let density = Weather::default().density_kgpm3(state.height_m());
        assert!((told.density_kgpm3 / density - 1.0).abs() < 1e-3);
        assert!((felt.flow.beta_rad - told.beta_rad).abs() < 1e-6);
    }
    Some(worst)
}

#[test]
fn val_the_same_state_gives_the_same_accelerations() {
    // Over a flat, still earth only rounding and the library's constants (slug, pound) are left.
    let Some([along, about, spin, share]) = worst(Earth::Flat) else {
        return;
    };
    println!(
        "flat: {along:.1e} m/s², {about:.1e} rad/s², propeller {spin:.1e} rad/s², share {share:.1e}"
    );
    assert!(along < 1e-3 && about < 1e-3 && spin < 1e-2 && share < 1e-3);
}

#[test]
fn val_the_round_turning_earth_adds_hundredths() {
    // 2 Ω V = 0.0095 m/s² at 65 m/s; gravity at 45° is 9.8062 at sea level and 0.0077 less 2,500 m up (WGS 84), to ours 9.8067.
    let Some([along, about, ..]) = worst(Earth::Round) else {
        return;
    };
    println!("round: {along:.1e} m/s², {about:.1e} rad/s²");
    assert!(along < 0.03 && about < 2e-3);
}
