use air::energy::*;
use air::stall::*;
use air::units::{M_PER_FT, MPS_PER_KT};
use proptest::prelude::*;

use crate::assert_near;

/// FAA-H-8083-25C, ch. 5, "Load Factors and Stalling Speeds": a 50-kt stall is 100 kt at 4 g and
/// 150 kt at 9 g. The other rows by the square root, computed apart from this code, to 0.01 kt.
#[test]
fn val_stall_speed_and_load_factor() {
    for (load, knots) in [
        (1.0, 50.0),
        (1.5, 61.24),
        (2.0, 70.71),
        (3.0, 86.60),
        (3.8, 97.47),
        (4.0, 100.0),
        (4.4, 104.88),
        (6.0, 122.47),
        (9.0, 150.0),
    ] {
        assert_near(
            scaled_speed_mps(50.0, load).unwrap(),
            knots,
            0.006,
            "stall speed",
        );
    }
    // The Airplane Flying Handbook: a 60-kt stall becomes nearly 85 kt at 60° of bank.
    let load = air::turn::load_factor(60_f64.to_radians(), 0.0);
    assert_near(
        scaled_speed_mps(60.0, load).unwrap(),
        84.85,
        0.006,
        "60° bank",
    );
}

/// Maneuvering speed by weight: two printed answers (a teaching text, 97.9 kt; a navigation exam bank,
/// 154 kt), and the rule of thumb (half the percentage of the weight, 103.89 kt), which the root meets
/// within a knot.
#[test]
fn val_maneuvering_speed_by_weight() {
    assert_near(
        scaled_speed_mps(105.0, 2_000.0 / 2_300.0).unwrap(),
        97.9,
        0.06,
        "2,000 of 2,300 lb",
    );
    assert_near(
        scaled_speed_mps(181.0, 4.1 / 5.7).unwrap(),
        154.0,
        0.6,
        "4.1 of 5.7 t",
    );
    assert_near(
        scaled_speed_mps(112.0, 1_850.0 / 2_150.0).unwrap(),
        103.89,
        1.0,
        "rule of thumb",
    );
    for (weight, knots) in [
        (1_600.0, 83.17),
        (2_000.0, 92.99),
        (2_400.0, 101.86),
        (2_550.0, 105.0),
    ] {
        assert_near(
            scaled_speed_mps(105.0, weight / 2_550.0).unwrap(),
            knots,
            0.006,
            "VA",
        );
    }
}

/// CL/CLmax by V/Vs, computed apart from this code; at 1.3 Vs and 53.72° of bank the wing stalls.
#[test]
fn val_lift_share() {
    for (ratio, share) in [
        (1.0, 1.0),
        (1.05, 0.9070),
        (1.1, 0.8264),
        (1.2, 0.6944),
        (1.5, 0.4444),
    ] {
        assert_near(lift_share(ratio * 48.0, 48.0, 1.0), share, 6e-5, "share");
    }
    let load = air::turn::load_factor(53.72_f64.to_radians(), 0.0);
    assert_near(lift_share(1.3, 1.0, load), 1.0, 2e-4, "53.72°");
}

/// FAA-H-8083-3C, ch. 4, figure 4-6 (formula); figures computed apart from this code, to 0.01 ft.
#[test]
fn val_specific_energy() {
    for (knots, kinetic, height) in [
        (60.0, 159.37, 500.0),
        (100.0, 442.70, 3_000.0),
        (120.0, 637.49, 5_000.0),
    ] {
        let tas = knots * MPS_PER_KT;
        // The handbook's g of 32.174 ft/s² is 2e-6 low.
        assert_near(
            kinetic_height_m(tas) / M_PER_FT,
            kinetic,
            0.007,
            "kinetic height",
        );
        let energy = specific_energy_m(height * M_PER_FT, tas) / M_PER_FT;
        assert_near(energy, height + kinetic, 0.007, "specific energy");
    }
}

#[test]
fn no_stall_speed_for_an_unloaded_wing() {
    assert_eq!(scaled_speed_mps(50.0, -0.1), None);
    assert_eq!(scaled_speed_mps(50.0, f64::NAN), None);
    assert_eq!(scaled_speed_mps(f64::NAN, 1.0), None);
    assert_eq!(scaled_speed_mps(50.0, 0.0), Some(0.0));
    assert!(speed_after_climb_mps(10.0, 1e3).is_nan());
}

proptest! {
    /// At the stall speed of any lift, all of the lift coefficient is in use.
    #[test]
    fn prop_stall_speed_uses_all_lift(stall in 15.0..60.0_f64, ratio in 0.1..6.0_f64) {
        let speed = scaled_speed_mps(stall, ratio).unwrap();
        prop_assert!((lift_share(speed, stall, ratio) - 1.0).abs() < 1e-12);
    }

    /// A zoom keeps the energy; its rate is the difference over a short time.
    #[test]
    fn prop_energy_is_kept_and_its_rate_is_its_slope(
        tas in 30.0..100.0_f64, climbed in -200.0..40.0_f64, climb in -10.0..10.0_f64, a in -3.0..3.0_f64,
    ) {
        let after = speed_after_climb_mps(tas, climbed);
        prop_assert!((specific_energy_m(climbed, after) - specific_energy_m(0.0, tas)).abs() < 1e-9);
        let dt = 1e-4;
        let slope = (specific_energy_m(climb * dt, tas + a * dt) - specific_energy_m(-climb * dt, tas - a * dt)) / (2.0 * dt);
        prop_assert!((specific_power_mps(climb, tas, a) - slope).abs() < 1e-6);
    }
}
