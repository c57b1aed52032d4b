//! The pivotal altitude, and the pylons that the wing pointed at.
//!
//! At the height V_g²/g above the pylon the line along the lateral axis stays on it whatever the bank (closed form:
//! tan φ = V_g²/(g·d) and tan φ = h/d; in knots and feet V_g²/11.3, FAA-H-8083-3C, chapter 7). It rises and falls
//! with the ground speed.

use super::ground::{ALIKE_S, Ground};
use super::motion::Motion;
use super::sheet::{Sheet, poorer};
use super::solve::Normal;
use super::turn_blocks::Block;
use air::units::G0_MPS2;
use flight::Origin;

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;
/// A pivotal altitude that moved by less than this asks for no correction, m (60 ft).
const LEAST_RANGE_M: f64 = 18.0;

/// The pivotal altitude, m above the pylon.
#[must_use]
pub fn altitude_m(ground_mps: f64) -> f64 {
    ground_mps * ground_mps / G0_MPS2
}

/// Writes the height against the pivotal altitude in the judged stretches, and whether it followed it.
pub fn write(
    motion: &Motion,
    ground: &Ground,
    entry_s: f64,
    judged: &[(f64, f64)],
    sheet: &mut Sheet,
) {
    if !motion.agl.is_known() {
        for name in ["pivotal_error", "entry_pivotal_error", "height_follows"] {
            sheet.missing(
                name,
                "the height above ground is not known: give the terrain",
            );
        }
        return;
    }
    let pivotal = ground.speed.map(altitude_m);
    let error = motion.agl.minus(&pivotal);
    let (agl_sigma, agl_origin) = motion.quality(motion.flight.agl.as_ref(), entry_s);
    let origin = poorer(poorer(agl_origin, ground.origin), Origin::Derived);
    let middle = ground.speed.mean(
        judged.first().map_or(entry_s, |(from_s, _)| *from_s),
        judged.last().map_or(entry_s, |(_, to_s)| *to_s),
    );
    // A ground speed out of positions is known to half a meter a second.
    let sigma = agl_sigma.hypot(2.0 * middle * 0.5 / G0_MPS2);
    let mut worst = f64::NAN;
    for (from_s, to_s) in judged {
        if let Some((low, high)) = error.held(*from_s, *to_s, HOLD_S) {
            for one in [low, high] {
                if worst.is_nan() || one.abs() > worst.abs() {
                    worst = one;
                }
            }
        }
    }
    sheet.fact("pivotal_error", worst, "m", sigma, origin);
    let entry = error.mean(entry_s - 2.5, entry_s + 0.5);
    sheet.fact("entry_pivotal_error", entry, "m", sigma, origin);
    let all: Vec<(f64, f64)> = judged
        .iter()
        .flat_map(|(from_s, to_s)| pivotal.between(*from_s, *to_s))
        .map(|(time_s, pivotal)| (pivotal, motion.agl.at(time_s)))
        .filter(|(_, agl)| agl.is_finite())
        .collect();
    let least = all
        .iter()
        .map(|(pivotal, _)| *pivotal)
        .fold(f64::NAN, f64::min);
    let most = all
        .iter()
        .map(|(pivotal, _)| *pivotal)
        .fold(f64::NAN, f64::max);
    sheet.fact("pivotal_least", least, "m", sigma, origin);
    sheet.fact("pivotal_most", most, "m", sigma, origin);
    if most - least < LEAST_RANGE_M {
        sheet.does_not_apply("height_follows");
        return;
    }
    let center = all.iter().map(|(pivotal, _)| pivotal).sum::<f64>() / all.len().max(1) as f64;
    let mut normal = Normal::<2>::default();
    for (pivotal, agl) in &all {
        normal.add([1.0, pivotal - center], *agl, 1.0);
    }
    let alike = (ALIKE_S / motion.flight.clock.step_s.max(1e-3)).max(1.0);
    if let Some((answer, variance)) = normal.solved() {
        // Heights are held to some ten meters whatever is asked for.
        let sigma = 10.0 * (variance[1] * alike).sqrt();
        sheet.fact("height_follows", answer[1], "1", sigma, origin);
    }
}

/// Names of the two pylons: those of the first turn and of the second.
const NAMES: [[&str; 2]; 2] = [
    ["pylon_1_east", "pylon_1_north"],
    ["pylon_2_east", "pylon_2_north"],
];

/// Writes the two places on the ground that the lateral axis pointed at: height over the tangent of the bank, at
/// right angles to the nose. Medians over every turn about the same pylon.
pub fn pylons(motion: &Motion, ground: &Ground, turns: &[Block], sheet: &mut Sheet) {
    for (place, names) in NAMES.into_iter().enumerate() {
        let (mut east, mut north) = (Vec::new(), Vec::new());
        for turn in turns.iter().skip(place).step_by(2) {
            for (time_s, bank) in motion.bank.between(turn.start_s + 3.0, turn.end_s - 3.0) {
                let bank = bank * turn.sign();
                let across = motion.heading.at(time_s) + turn.sign() * std::f64::consts::FRAC_PI_2;
                let far = motion.agl.at(time_s) / bank.tan();
                let (x, y) = ground.at(time_s);
                // Nearly level the line meets the ground nowhere.
                if bank > 0.17 && far.is_finite() && x.is_finite() && across.is_finite() {
                    east.push(x + far * across.sin());
                    north.push(y + far * across.cos());
                }
            }
        }
        let (Some((x, sx)), Some((y, sy))) = (median(east), median(north)) else {
            for name in names {
                sheet.missing(
                    name,
                    "the height above ground is not known, or the turn was too flat",
                );
            }
            continue;
        };
        let (_, bank_origin) = motion.bank_quality(turns.first().map_or(0.0, |turn| turn.start_s));
        let origin = poorer(bank_origin, Origin::Derived);
        // A bank that reads a degree wrong moves it by some twenty meters.
        let sigma = |spread: f64| spread.hypot(20.0);
        for ((name, value), spread) in names.into_iter().zip([x, y]).zip([sx, sy]) {
            sheet.fact(name, value, "m", sigma(spread), origin);
        }
    }
}

/// Median and its 1-σ by the middle half of the values; a turn holds some four separate looks.
fn median(mut values: Vec<f64>) -> Option<(f64, f64)> {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        values
            .get(((values.len().saturating_sub(1)) as f64 * share).round() as usize)
            .copied()
    };
    let (low, middle, high) = (at(0.25)?, at(0.5)?, at(0.75)?);
    Some((middle, 0.74 * (high - low) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::altitude_m;
    use air::units::{M_PER_FT, MPS_PER_KT};

    /// FAA-H-8083-3C, chapter 7 (from memory): ground speed in knots squared over 11.3 is the pivotal altitude in
    /// feet above ground: 100 kt 885 ft, 80 kt 566 ft.
    #[test]
    fn val_the_handbook_figure() {
        for kt in [80.0_f64, 100.0, 120.0] {
            let found = altitude_m(kt * MPS_PER_KT) / M_PER_FT;
            assert!((found - kt * kt / 11.3).abs() < 0.005 * found, "{found}");
        }
    }
}
