//! The physics against values from outside: printed tables, official test values, other libraries.
//!
//! The tables in `tests/data` name their source by row or at the head of the file. Tolerances are
//! argued from the last digit that the source prints.

mod table;

mod airspeed;
mod atmosphere;
mod geodesy;
mod magnetic;
mod stall_and_energy;
mod turns;
mod units;
mod wind;

/// Fails, with both numbers, when `actual` is not within `tolerance` of `expected`, NaN included.
#[track_caller]
fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{what}: {actual} is not {expected} ± {tolerance}"
    );
}

/// The largest of a series of errors, so that a table can be judged as a whole.
fn worst(errors: impl Iterator<Item = f64>) -> f64 {
    errors.map(f64::abs).fold(0.0, |worst, error| {
        if error.is_nan() {
            f64::INFINITY
        } else {
            worst.max(error)
        }
    })
}
