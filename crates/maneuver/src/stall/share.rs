//! Power at the stall as a share of all the power there was.

use crate::phases::motion::Motion;
use flight::{Flight, Origin, PowerState, Series};

/// Near this height the engine gives the same, m (2,000 ft: some 6 % of it; common practice, no source).
const NEAR_M: f64 = 2000.0 * air::units::M_PER_FT;
/// Less than this of rated power is no full power, whatever the highest seen.
const LEAST: f64 = 0.2;

/// Power at the stall.
#[derive(Clone, Copy, Debug)]
pub struct Share {
    /// As a share of rated power.
    pub of_rated: f64,
    /// 1-σ of that.
    pub reading_sigma: f64,
    /// Origin of that.
    pub reading_origin: Origin,
    /// As a share of the power available at this height, 1-σ and origin: `Assumed` where the engine was
    /// never known to give all of it and the highest seen stands for it.
    pub of_available: Option<(f64, f64, Origin)>,
}

/// The power that was set. Gauges and fuel flow lag, so a stall that follows at once shows it only at its
/// end: the larger of the medians before and at the stall.
pub fn at_stall(motion: &Motion, stall_s: f64) -> Option<Share> {
    let series = motion.flight.power.as_ref()?;
    let (sigma, origin) = motion.quality(Some(series), stall_s);
    let before = motion.power.median(stall_s - 3.0, stall_s - 0.5);
    let at = motion.power.median(stall_s - 0.5, stall_s + 0.5);
    let of_rated = [before, at]
        .into_iter()
        .filter(|share| share.is_finite())
        .reduce(f64::max)?;
    let single = if sigma.is_finite() { sigma } else { 0.05 };
    let of_available = available(motion.flight, series, stall_s).map(|(most, known)| {
        let origin = if known {
            Origin::Derived.max(origin)
        } else {
            Origin::Assumed
        };
        // Both powers come from the same gauges: most of what these have wrong cancels in the share.
        let sigma = (0.6 * single).max(0.04) / most;
        ((of_rated / most).clamp(0.0, 1.0), sigma, origin)
    });
    Some(Share {
        of_rated,
        reading_sigma: sigma,
        reading_origin: origin,
        of_available,
    })
}

/// The most power seen near this height, as a share of rated, and whether the engine was known to be at
/// full power then.
fn available(flight: &Flight, power: &Series, at_s: f64) -> Option<(f64, bool)> {
    let clock = flight.clock;
    let altitude = flight.altitude.as_ref().or(flight.height.as_ref());
    let here = altitude.map_or(f64::NAN, |series| series.at(clock.index(at_s)));
    let near = |index: &usize| {
        let apart = altitude.map_or(0.0, |series| (series.at(*index) - here).abs());
        let known = flight.known.get(*index).copied().unwrap_or(true);
        known && (apart.is_nan() || apart <= NEAR_M) && power.at(*index).is_finite()
    };
    let every = (clock.len / 4_000).max(1);
    let all: Vec<usize> = (0..clock.len).step_by(every).filter(near).collect();
    let sorted = |indices: &mut dyn Iterator<Item = usize>| {
        let mut values: Vec<f64> = indices.map(|index| power.at(index)).collect();
        values.sort_by(f64::total_cmp);
        values
    };
    let is_full = |index: &usize| flight.power_state.get(*index) == Some(&PowerState::Full);
    let full = sorted(&mut all.iter().copied().filter(is_full));
    if let Some(level) = full.get(full.len() / 2).filter(|level| **level > LEAST) {
        return Some((*level, true));
    }
    // The highest fiftieth is left out: a gauge overshoots.
    let values = sorted(&mut all.iter().copied());
    let top = *values.get(values.len().saturating_sub(1 + values.len() / 50))?;
    (top > LEAST).then_some((top, false))
}
