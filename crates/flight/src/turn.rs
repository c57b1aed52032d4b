//! Bank from coordinated flight, and angles of the air-relative path.

use crate::stats::Errors;

/// Angle of (east, north) from north, clockwise, made continuous; NaN while slower than `least_mps`.
pub fn direction(east: &[f64], north: &[f64], least_mps: f64) -> Vec<f64> {
    let mut out: Vec<f64> = east
        .iter()
        .zip(north)
        .map(|(east, north)| {
            if east.with(*north) >= least_mps {
                east.atan2(*north)
            } else {
                f64::NAN
            }
        })
        .collect();
    crate::grid::unwrap(&mut out);
    out
}

/// Bank of a coordinated turn, rad: the lift carries the weight and bends the path.
///
/// `across_mps2` is the horizontal acceleration to the right of the path, `up_mps2` the vertical one.
/// Source: FAA-H-8083-25C ch. 5, "Forces in Turns", with the vertical acceleration kept.
pub fn coordinated_bank_rad(across_mps2: f64, up_mps2: f64) -> f64 {
    across_mps2.atan2((air::units::G0_MPS2 + up_mps2).max(0.5))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAA-H-8083-25C ch. 5, "Load Factors in Steep Turns": a level turn at 60° of bank takes 2 g, so the
    /// sideways acceleration is √3 g.
    #[test]
    fn val_a_level_turn_pulled_sideways_by_root_three_g_is_at_60_degrees() {
        let across = 3_f64.sqrt() * air::units::G0_MPS2;
        assert!((coordinated_bank_rad(across, 0.0).to_degrees() - 60.0).abs() < 1e-9);
        assert!((coordinated_bank_rad(-across, 0.0).to_degrees() + 60.0).abs() < 1e-9);
    }
}
