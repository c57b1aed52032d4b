//! The bank that a circle over the ground needs in the wind, against the bank that was flown.
//!
//! tan φ = V_g² / (g · R · cos crab): the lift leaned over bends the path over the ground, and only its part across
//! the track does so (closed form; FAA-H-8083-3C, chapter 7, says it in words: steepest where the ground speed is
//! highest). Coordinated flight at a steady airspeed.

use super::ground::{ALIKE_S, Ground};
use super::motion::Motion;
use super::sheet::{Sheet, poorer};
use super::solve::Normal;
use air::units::G0_MPS2;
use flight::Origin;

/// A swing of the bank that is needed but smaller than this cannot be flown on purpose, rad (2°).
const LEAST_SWING_RAD: f64 = 0.035;

/// The bank that a circle of this radius needs, rad; NaN where the ground speed is not known.
#[must_use]
pub fn needed_rad(ground_mps: f64, radius_m: f64, crab_rad: f64) -> f64 {
    (ground_mps * ground_mps / (G0_MPS2 * radius_m.max(1.0) * crab_rad.cos().max(0.2))).atan()
}

/// Writes how bank was needed and how it was flown about a circle of `radius_m`; `sign` is the side of the turn.
pub fn write(
    motion: &Motion,
    ground: &Ground,
    (sign, radius_m): (f64, f64),
    (from_s, to_s): (f64, f64),
    sheet: &mut Sheet,
) {
    let flown = motion.bank.map(|bank| sign * bank).smooth(3.0);
    let (bank_sigma, bank_origin) = motion.bank_quality(0.5 * (from_s + to_s));
    if let (Some((_, least)), Some((_, most))) =
        (flown.lowest(from_s, to_s), flown.highest(from_s, to_s))
    {
        sheet.fact("bank_least", least, "rad", bank_sigma, bank_origin);
        sheet.fact("bank_most", most, "rad", bank_sigma, bank_origin);
    }
    let Some(wind) = ground.wind else {
        for name in ["bank_needed_least", "bank_needed_most", "bank_follows"] {
            sheet.missing(name, "the wind is not known");
        }
        return;
    };
    if !wind.is_felt() {
        // One bank is then right all the way round.
        sheet.does_not_apply("bank_follows");
        return;
    }
    let needed: Vec<(f64, f64)> = ground
        .speed
        .between(from_s, to_s)
        .map(|(time_s, speed)| (time_s, needed_rad(speed, radius_m, ground.crab(time_s))))
        .filter(|(_, needed)| needed.is_finite())
        .collect();
    let origin = poorer(ground.origin, Origin::Derived);
    // Twice the share of the ground speed's error, at the tangent of the bank.
    let sigma = 2.0 * wind.sigma_mps.hypot(0.5) / 45.0 * 0.5;
    let least = needed
        .iter()
        .map(|(_, bank)| *bank)
        .fold(f64::NAN, f64::min);
    let most = needed
        .iter()
        .map(|(_, bank)| *bank)
        .fold(f64::NAN, f64::max);
    sheet.fact("bank_needed_least", least, "rad", sigma, origin);
    sheet.fact("bank_needed_most", most, "rad", sigma, origin);
    let swing = 0.5 * (most - least);
    if swing < LEAST_SWING_RAD {
        sheet.does_not_apply("bank_follows");
        sheet.does_not_apply("steepest_off_downwind");
        return;
    }
    let (mut follows, mut around) = (Normal::<2>::default(), Normal::<3>::default());
    let middle = needed.iter().map(|(_, bank)| bank).sum::<f64>() / needed.len().max(1) as f64;
    for (time_s, needed) in &needed {
        let flown = flown.at(*time_s);
        if !flown.is_finite() {
            continue;
        }
        follows.add([1.0, needed - middle], flown, 1.0);
        let off = ground.track.at(*time_s) - wind.downwind_rad();
        around.add([1.0, off.cos(), off.sin()], flown, 1.0);
    }
    let alike = (ALIKE_S / motion.flight.clock.step_s.max(1e-3)).max(1.0);
    // Handling moves the bank by some three degrees.
    let handling = 0.05_f64.hypot(bank_sigma);
    if let Some((answer, variance)) = follows.solved() {
        let sigma = handling * (variance[1] * alike).sqrt();
        let origin = poorer(bank_origin, origin);
        sheet.fact("bank_follows", answer[1], "1", sigma.hypot(0.1), origin);
    }
    if let Some((answer, variance)) = around.solved() {
        let flown_swing = answer[1].hypot(answer[2]);
        let sigma = handling * (variance[1] * alike).sqrt() / flown_swing.max(1e-6);
        // A bank that was not varied was steepest nowhere.
        if sigma < 0.5 {
            let off = answer[2].atan2(answer[1]);
            let origin = poorer(bank_origin, origin);
            let sigma = sigma.hypot(wind.direction_sigma_rad());
            sheet.fact("steepest_off_downwind", off, "rad", sigma, origin);
        } else {
            sheet.missing("steepest_off_downwind", "the bank was hardly varied");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::needed_rad;
    use air::units::MPS_PER_KT;

    /// 95 kt through the air, 400 m, 20 kt of wind: 21° upwind, 42° downwind (closed form, worked by hand), and a
    /// standard figure: 100 kt and 45° give a radius of V²/(11.26 tan φ) = 888 ft (FAA-H-8083-25, chapter 5).
    #[test]
    fn val_bank_of_a_circle_over_the_ground() {
        for (kt, degrees) in [(75.0, 20.8), (115.0, 41.7)] {
            let found = needed_rad(kt * MPS_PER_KT, 400.0, 0.0).to_degrees();
            assert!((found - degrees).abs() < 0.2, "{found}");
        }
        let found = needed_rad(100.0 * MPS_PER_KT, 888.0 * 0.3048, 0.0).to_degrees();
        assert!((found - 45.0).abs() < 0.3, "{found}");
    }
}
