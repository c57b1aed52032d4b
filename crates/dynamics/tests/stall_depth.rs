//! How the flow leaves the wing and comes back, against what follows from the equations by hand.

mod support;

use dynamics::stall::Separation;
use dynamics::trim::Path;
use dynamics::{Airframe, Controls, Weather};
use support::{STEP_S, aloft, even, held, steady};

const FLOW: Separation = Separation {
    half_rad: 0.3,
    sharpness_per_rad: 22.0,
    hysteresis_rad: 0.15,
    lag_s: 0.1,
    lead_s: 0.0,
    uneven_rad: 0.0,
    lever: 0.1,
    part: 0.5,
};

/// The angle at which the flow crosses half when the angle creeps from one end to the other.
fn crosses(flow: &Separation, up: bool) -> f64 {
    let (from, to, mut attached) = if up { (0.0, 0.5, 1.0) } else { (0.5, 0.0, 0.0) };
    for step in 0..20_000 {
        let angle = from + (to - from) * f64::from(step) / 20_000.0;
        for _ in 0..40 {
            attached += 0.3 * (flow.tends_to(angle, 0.0, attached, 0.0, 0.0) - attached);
        }
        if (attached < 0.5) == up {
            return angle;
        }
    }
    f64::NAN
}

#[test]
fn the_loop_is_as_wide_as_the_folds_say() {
    // X = ½(1 − u), u = tanh(a(α − α* + h(1 − X))) folds where ½ a h (1 − u²) = 1, so at u₀ = √(1 − 2/(a h)):
    // width h u₀ − (2/a) artanh u₀, worked out by hand from Goman & Khrabrov's equation; no fold for a h < 2.
    let (a, h) = (FLOW.sharpness_per_rad, FLOW.hysteresis_rad);
    let u = (1.0 - 2.0 / (a * h)).sqrt();
    let expected = h * u - 2.0 / a * u.atanh();
    let width = crosses(&FLOW, true) - crosses(&FLOW, false);
    println!(
        "loop {:.3}° ({:.3}°)",
        width.to_degrees(),
        expected.to_degrees()
    );
    assert!((width - expected).abs() < 0.05_f64.to_radians());

    let tame = Separation {
        hysteresis_rad: 1.8 / a,
        ..FLOW
    };
    let width = crosses(&tame, true) - crosses(&tame, false);
    assert!(
        width.abs() < 0.05_f64.to_radians(),
        "{}",
        width.to_degrees()
    );
}

#[test]
fn the_flow_lags_by_its_time_constant() {
    // First-order lag: after τ₁ it has gone 1 − 1/e of the way (τ₂ = 0, no hysteresis).
    let flow = Separation {
        hysteresis_rad: 0.0,
        ..FLOW
    };
    let (mut attached, step) = (1.0, 1e-5);
    for _ in 0..(flow.lag_s / step) as usize {
        attached += step * flow.rate(0.6, 0.0, attached, 0.0, 0.0);
    }
    assert!((attached - (-1.0_f64).exp()).abs() < 1e-3, "{attached}");
}

/// Pulls from a glide into a stall, hands and feet off; calls `look` with bank and the angle of attack.
fn pull(airframe: &Airframe, mut look: impl FnMut(f64, f64, &dynamics::State)) {
    let weather = Weather::default();
    let found = steady(airframe, 32.0, 0.0, Path::Throttle(0.0)).expect("a glide");
    let mut flying = aloft(airframe, &weather, &found, 1);
    let mut hands: Controls = held(&found);
    (hands.aileron, hands.rudder) = (0.0, 0.0);
    for _ in 0..1500 {
        hands.elevator = (hands.elevator + 0.15 * STEP_S).min(1.0);
        let felt = flying.step(&hands, STEP_S);
        let [bank, ..] = flying.state.attitude();
        look(bank, felt.flow.alpha_rad, &flying.state);
    }
}

#[test]
fn an_even_airplane_without_torque_stays_even() {
    // Mirror symmetry: nothing can choose a side.
    let mut airframe = even();
    airframe.lateral.yaw_thrust = 0.0;
    let (mut worst, mut most) = (0.0_f64, 0.0_f64);
    pull(&airframe, |bank, alpha, state| {
        let [p, _, r] = state.rates();
        worst = worst.max(bank.abs()).max(p.abs()).max(r.abs());
        most = most.max(alpha);
    });
    assert!(most > airframe.critical(0.0).0, "it stalled: {most}");
    assert!(worst < 1e-9, "{worst}");
}

#[test]
fn the_wing_that_lets_go_first_drops() {
    // AFH ch. 5: the wing that stalls first loses lift and drops.
    for (uneven_deg, side) in [(1.0_f64, -1.0), (-1.0, 1.0)] {
        let mut airframe = even();
        airframe.separation.uneven_rad = uneven_deg.to_radians();
        let (critical, _) = airframe.critical(0.0);
        let (mut dropped, mut stalled) = (0.0_f64, false);
        pull(&airframe, |bank, alpha, _| {
            stalled |= alpha > critical;
            if stalled && dropped.abs() < 0.1 {
                dropped = bank;
            }
        });
        println!("uneven by {uneven_deg}°: bank {:.1}°", dropped.to_degrees());
        assert!(dropped * side > 3_f64.to_radians(), "{dropped}");
    }
}
