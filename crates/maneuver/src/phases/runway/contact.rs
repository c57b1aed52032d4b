//! When the wheels touched, and how often.
//!
//! Two witnesses. The *height* above the strip falls to nothing: as sure as the altitude is, divided by the
//! sink. The *load* shows the blow: a sample well above its neighbors while the height is next to nothing. A low
//! flare that balloons comes down to nothing twice without a blow at the first; a bounce has the blow.

use super::strip::Strip;
use crate::phases::motion::Motion;
use crate::phases::wave::Wave;
use flight::{Fit, Origin};

/// A blow of the wheels stands this far above the median of the seconds about it, g. The firmest flare of a
/// light airplane takes a second and more, so it does not stand out like that (common practice, no source).
const BLOW_G: f64 = 0.25;
/// How long before the moment that the decoder saw the wheels may have touched, and after, s: a float with
/// the height of a flare takes that long.
const BEFORE_S: f64 = 20.0;
const AFTER_S: f64 = 4.0;

/// A receiver's own filter holds its height back by a second or so, s (common practice, no source).
const RECEIVER_S: f64 = 1.0;

/// The moment of touchdown and what followed.
pub struct Touchdown {
    /// When, s.
    pub at_s: f64,
    /// 1-σ, s.
    pub sigma_s: f64,
    /// `Measured` when the load shows the blow.
    pub origin: Origin,
    /// Later contacts and how high it was in between, m (NaN where only the load shows it).
    pub bounces: Vec<(f64, f64)>,
    /// Whether a hop of a second would show.
    pub hops_show: bool,
}

/// Finds the touchdown near a moment that is about right. `None` when no altitude tells.
pub fn touchdown(
    motion: &Motion,
    strip: &Strip,
    about_s: f64,
    roll_end_s: f64,
) -> Option<Touchdown> {
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let step_s = height.step_s();
    if step_s <= 0.0 {
        return None;
    }
    let near = strip.near_m();
    let from_s = height
        .last_beyond(about_s - 60.0, about_s, 5.0 * near, true)
        .unwrap_or(about_s)
        .min(about_s - BEFORE_S);
    let to_s = (about_s + AFTER_S).min(roll_end_s);
    let arrivals = arrivals(&height, near, from_s, to_s + 6.0);
    let blows = blows(motion, &height, near + 1.5, from_s, to_s + 6.0);
    let (at_s, sigma_s, origin) = match (blows.first(), arrivals.first(), arrivals.last()) {
        (Some(blow), first, _) => {
            let own = 0.2_f64.hypot(0.3 * step_s);
            // Down to nothing well before the first blow: a flare that ballooned, or a contact too soft to show.
            let before = first.map_or(0.0, |one| (blow - one.down_s - 1.5).max(0.0));
            (
                blow - 0.15,
                own.hypot(0.3 * before.min(10.0)),
                Origin::Measured,
            )
        }
        (None, Some(first), Some(last)) => {
            let sink = -motion.climb.median(first.down_s - 2.0, first.down_s);
            let sink = if sink.is_finite() {
                sink.clamp(0.4, 3.0)
            } else {
                0.6
            };
            let later = (near / sink).min(2.0);
            let held_back = match motion.flight.fit {
                Fit::Rich | Fit::Panel | Fit::Sparse => 0.0,
                Fit::GnssAttitude | Fit::Gnss => RECEIVER_S,
            };
            // The flare eases the sink: the rest of the way may take half as long again.
            let own = (strip.height_sigma_m / sink)
                .hypot(0.4 * step_s)
                .hypot(0.3)
                .hypot(0.5 * later)
                .hypot(held_back);
            let between = (last.down_s - first.down_s).clamp(0.0, 8.0);
            let origin = Origin::Derived;
            (first.down_s + later, own.hypot(0.5 * between), origin)
        }
        _ => (about_s, 3.0, Origin::Derived),
    };
    let load_tells = measured(motion) && motion.load.step_s() <= 0.25;
    Some(Touchdown {
        at_s,
        sigma_s,
        origin,
        bounces: bounces(
            &arrivals,
            &blows,
            (&height, near + 0.8 * strip.height_sigma_m),
            at_s,
            load_tells.then_some(motion),
        ),
        hops_show: load_tells,
    })
}

fn measured(motion: &Motion) -> bool {
    motion
        .flight
        .load
        .as_ref()
        .is_some_and(|load| load.origin == Origin::Measured)
}

/// A coming down to next to nothing.
struct Arrival {
    up_s: f64,
    down_s: f64,
}

/// Each time that the height comes down to `near`.
fn arrivals(height: &Wave, near: f64, from_s: f64, to_s: f64) -> Vec<Arrival> {
    let mut all = Vec::new();
    let mut at_s = from_s;
    while let Some(up_s) = height.first_beyond(at_s, to_s, near, true) {
        let Some(down_s) = height.first_beyond(up_s + 1e-3, to_s, near, false) else {
            break;
        };
        all.push(Arrival { up_s, down_s });
        at_s = down_s + 1e-3;
    }
    all
}

/// Samples of the load that stand out while the height is next to nothing.
fn blows(motion: &Motion, height: &Wave, low: f64, from_s: f64, to_s: f64) -> Vec<f64> {
    if !measured(motion) {
        return Vec::new();
    }
    let mut all: Vec<f64> = Vec::new();
    for (at_s, load) in motion.load.samples(from_s, to_s) {
        let over = load - motion.load.median(at_s - 2.0, at_s + 2.0);
        let stands = over >= BLOW_G && height.at(at_s) < low;
        // One blow shakes the gear for some tenths of a second.
        if stands && all.last().is_none_or(|last| at_s - last > 0.8) {
            all.push(at_s);
        }
    }
    all
}

/// Contacts after the first: seen by the height (higher than `least`), else, where the load is recorded fast enough, by a blow after
/// the wings carried less than the weight.
fn bounces(
    arrivals: &[Arrival],
    blows: &[f64],
    (height, least): (&Wave, f64),
    touchdown_s: f64,
    load: Option<&Motion>,
) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = arrivals
        .iter()
        .filter(|one| one.down_s > touchdown_s + 0.8)
        .map(|one| {
            let top = height.highest(one.up_s.max(touchdown_s), one.down_s);
            (one.down_s, top.map_or(f64::NAN, |(_, top)| top))
        })
        // Less is the noise of the altitude.
        .filter(|(_, top)| *top >= least)
        .collect();
    for blow in blows.iter().filter(|blow| **blow > touchdown_s + 0.8) {
        let known = all.iter().any(|(at_s, _)| (at_s - blow).abs() < 1.5);
        let light = load.is_some_and(|motion| {
            motion
                .load
                .lowest(touchdown_s + 0.2, *blow)
                .is_some_and(|(_, least)| least < 0.85)
        });
        if light && !known {
            all.push((*blow, f64::NAN));
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}
