//! What was kept up, and excursions.

use proptest::prelude::*;
use standard::held::{excursions, held, roughness};

#[test]
fn a_spike_is_not_kept_up() {
    let mut values = vec![0.0; 40];
    values[10] = 50.0;
    values[20..25].fill(30.0);
    let kept = held(&values, 5).unwrap();
    assert_eq!(kept.high, 30.0);
    assert_eq!(kept.high_at, 22);
    assert_eq!(kept.low, 0.0);
    assert_eq!(held(&values, 1).unwrap().high, 50.0);
}

#[test]
fn unknown_samples_break_a_stretch() {
    let nan = f64::NAN;
    let kept = held(&[9.0, 9.0, nan, 9.0, 9.0, nan, 1.0, 1.0, 1.0], 3).unwrap();
    assert_eq!(kept.high, 1.0);
    assert!(held(&[nan, nan], 1).is_none());
    assert!(held(&[], 4).is_none());
    // Nothing is as long as asked: the longest known stretch counts as a whole.
    assert_eq!(held(&[2.0, 4.0], 10).unwrap().high, 2.0);
}

#[test]
fn excursions_are_counted() {
    let values = [0.0, 12.0, 12.0, 0.0, -11.0, f64::NAN, 11.0, 11.0, 11.0];
    let counted = excursions(&values, Some(-10.0), Some(10.0), 3);
    assert_eq!(
        (
            counted.count,
            counted.lasting,
            counted.samples,
            counted.longest
        ),
        (3, 1, 6, 3)
    );
}

/// White noise of a known deviation on a slope and a parabola: the estimate finds the noise (±15 % for
/// 2,000 values), not the motion. Noise: sums of twelve uniform numbers from a linear congruential
/// generator (Numerical Recipes, 2nd ed., section 7.1).
#[test]
fn val_roughness_of_known_noise() {
    let mut state = 1_u32;
    let mut uniform = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state) / f64::from(u32::MAX)
    };
    let values: Vec<f64> = (0..2_000)
        .map(|index| {
            let noise: f64 = (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
            let time = f64::from(index);
            3.0 * noise + 0.7 * time + 0.001 * time * time
        })
        .collect();
    let estimate = roughness(&values);
    assert!((estimate / 3.0 - 1.0).abs() < 0.15, "{estimate}");
    assert_eq!(roughness(&[1.0, 2.0]), 0.0);
}

proptest! {
    /// What was kept up longer is never more; shifting the values shifts it.
    #[test]
    fn prop_held(values in prop::collection::vec(-100.0..100.0_f64, 1..60), length in 1..20_usize, shift in -50.0..50.0_f64) {
        let short = held(&values, length).unwrap();
        let long = held(&values, length + 1).unwrap();
        prop_assert!(long.high <= short.high && long.low >= short.low);
        let moved: Vec<f64> = values.iter().map(|value| value + shift).collect();
        prop_assert!((held(&moved, length).unwrap().high - short.high - shift).abs() < 1e-9);
        let peak = values.iter().copied().fold(f64::MIN, f64::max);
        prop_assert!(short.high <= peak);
    }
}
