use air::units::*;
use proptest::prelude::*;

use crate::assert_near;

/// Exact factors by definition. NIST Special Publication 811, 2008, appendix B.8 (foot, nautical mile,
/// knot, mile, pound, inch of mercury 3.386 389 E+03 conventional, horsepower 550 ft·lbf/s
/// 7.456 999 E+02, gallon 3.785 412 E−03), to the digits printed there (from memory).
#[test]
fn val_factors_of_the_guide() {
    assert_eq!(M_PER_FT, 0.3048);
    assert_eq!(M_PER_NM, 1852.0);
    assert_near(MPS_PER_KT, 5.144_444e-1, 6e-8, "knot");
    assert_near(MPS_PER_FPM, 5.08e-3, 1e-15, "foot a minute");
    assert_near(MPS_PER_KMH, 2.777_778e-1, 6e-8, "kilometer an hour");
    assert_near(MPS_PER_MPH, 4.4704e-1, 1e-15, "mile an hour");
    assert_near(KG_PER_LB, 4.535_924e-1, 6e-8, "pound");
    assert_near(PA_PER_INHG, 3.386_389e3, 6e-4, "inch of mercury");
    assert_near(W_PER_HP, 7.456_999e2, 6e-5, "horsepower");
    assert_near(
        W_PER_HP,
        550.0 * 0.3048 * 0.453_592_37 * 9.806_65,
        1e-9,
        "550 ft·lbf/s",
    );
    assert_near(M3PS_PER_GPH * 3600.0, 3.785_412e-3, 6e-10, "US gallon");
    assert_near(M3PS_PER_LPH * 3.6e6, 1.0, 1e-12, "liter an hour");
    assert_eq!((G0_MPS2, K_AT_0_C, PA_PER_HPA), (9.806_65, 273.15, 100.0));
    // The standard pressure is 29.92 inHg on every altimeter.
    assert_near(101_325.0 / PA_PER_INHG, 29.92, 0.005, "standard pressure");
}

#[test]
fn wraps_at_the_edges() {
    use std::f64::consts::{PI, TAU};
    assert_eq!(wrap_pi(PI), PI);
    assert_eq!(wrap_pi(-PI), PI);
    assert_eq!(wrap_tau(-1e-300), 0.0);
    assert_eq!(wrap_tau(TAU), 0.0);
    assert!(wrap_pi(f64::NAN).is_nan() && wrap_tau(f64::INFINITY).is_nan());
}

proptest! {
    #[test]
    fn prop_wraps_keep_the_direction(angle in -1e4..1e4_f64) {
        let (pi, tau) = (wrap_pi(angle), wrap_tau(angle));
        prop_assert!(pi > -std::f64::consts::PI && pi <= std::f64::consts::PI);
        prop_assert!((0.0..std::f64::consts::TAU).contains(&tau));
        for wrapped in [pi, tau] {
            prop_assert!((wrapped.sin() - angle.sin()).abs() < 1e-9);
            prop_assert!((wrapped.cos() - angle.cos()).abs() < 1e-9);
        }
    }
}
