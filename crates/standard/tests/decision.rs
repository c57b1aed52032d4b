//! The decision rule against published guard-band figures, and laws it must keep.

use proptest::prelude::*;
use standard::Verdict;
use standard::decide::{GUARD_SIGMAS, normal_cdf, verdict, within};

/// Table of the standard normal distribution, as printed in any statistics table (here NIST/SEMATECH
/// e-Handbook of Statistical Methods, 1.3.6.7.1): Φ(1.645) = 0.95, Φ(1.96) = 0.975, Φ(1) = 0.84134.
#[test]
fn val_normal_table() {
    for (x, expected) in [
        (0.0, 0.5),
        (1.0, 0.841_34),
        (1.645, 0.950_02),
        (1.96, 0.975_00),
        (2.576, 0.995_00),
        (-1.0, 0.158_66),
        (-3.0, 0.001_35),
    ] {
        assert!(
            (normal_cdf(x) - expected).abs() < 1e-5,
            "{x}: {}",
            normal_cdf(x)
        );
    }
    assert!((normal_cdf(GUARD_SIGMAS) - 0.95).abs() < 1e-6);
}

/// ILAC-G8:09/2019: without a guard band a value on the limit is accepted wrongly with
/// probability up to 50 %; with a guard band of the expanded uncertainty U (1.96 σ at 95 %) below 2.5 %.
#[test]
fn val_ilac_guard_bands() {
    let (limit, sigma) = (100.0, 12.0);
    assert!((within(limit, limit, None, Some(limit), sigma) - 0.5).abs() < 1e-6);
    let guarded = limit - 1.96 * sigma;
    assert!(1.0 - within(guarded, guarded, None, Some(limit), sigma) < 0.025_01);
}

/// JCGM 106:2012 (from memory): for a one-sided limit acceptance at a conformance probability of 0.95 means a
/// guard band of 1.645 σ. With ±100 ft and σ = 12 ft a mark is decided up to 80 ft and from 120 ft on.
#[test]
fn val_jcgm_example() {
    let mark = |feet: f64| verdict(within(feet, feet, Some(-100.0), Some(100.0), 12.0));
    assert_eq!(mark(80.0), Verdict::Met);
    assert_eq!(mark(81.0), Verdict::TooClose);
    assert_eq!(mark(-80.0), Verdict::Met);
    assert_eq!(mark(100.0), Verdict::TooClose);
    assert_eq!(mark(119.0), Verdict::TooClose);
    assert_eq!(mark(120.0), Verdict::NotMet);
    assert_eq!(mark(-120.0), Verdict::NotMet);
}

#[test]
fn nothing_measured_decides_nothing() {
    assert!(within(f64::NAN, 1.0, None, Some(2.0), 0.1).is_nan());
    assert!(within(0.0, 1.0, None, Some(2.0), f64::NAN).is_nan());
    assert_eq!(verdict(f64::NAN), Verdict::TooClose);
}

proptest! {
    /// A probability is one; wider limits never make it smaller; mirrored data give the same answer.
    #[test]
    fn prop_within(low in -50.0..50.0_f64, span in 0.0..80.0_f64, limit in 1.0..60.0_f64, sigma in 0.01..30.0_f64) {
        let high = low + span;
        let p = within(low, high, Some(-limit), Some(limit), sigma);
        prop_assert!((0.0..=1.0).contains(&p));
        prop_assert!(within(low, high, Some(-limit - 1.0), Some(limit + 1.0), sigma) >= p - 1e-6);
        let mirrored = within(-high, -low, Some(-limit), Some(limit), sigma);
        prop_assert!((mirrored - p).abs() < 1e-6);
        // More deviation never helps.
        prop_assert!(within(low, high + 1.0, Some(-limit), Some(limit), sigma) <= p + 1e-6);
    }
}
