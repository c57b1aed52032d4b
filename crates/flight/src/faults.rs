//! Channels that fail: frozen values, jumps of the position, a tumbled attitude, an airspeed that no
//! longer belongs to the motion. What is wrong is taken out and said.

use std::ops::Range;

use recording::{Quantity, Recording};

use crate::grid::Grid;
use crate::stats::Errors;

/// A stretch of a channel that is not to be used.
pub struct Fault {
    /// The channel.
    pub quantity: Quantity,
    /// Samples.
    pub span: Range<usize>,
    /// What the debrief says.
    pub words: String,
}

/// Shortest stretch of identical values that is a fault, s. Real sensors flicker within that.
const FROZEN_S: f64 = 25.0;
/// Fastest that a light aircraft moves over the ground, m/s.
const FASTEST_MPS: f64 = 160.0;
/// Speed over the ground beyond which it is not taxiing, m/s.
const FLYING_MPS: f64 = 25.0;

/// Looks at the channels as they were recorded.
pub fn screen(grid: &Grid<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    frozen(grid, &mut faults);
    jumps(grid, &mut faults);
    faults
}

/// Remarks for [`crate::Flight::remarks`].
pub fn remarks(grid: &Grid<'_>, faults: &[Fault]) -> Vec<(f64, f64, String)> {
    let time = |i: usize| grid.clock.time_s(i);
    faults
        .iter()
        .map(|fault| {
            (
                time(fault.span.start),
                time(fault.span.end),
                fault.words.clone(),
            )
        })
        .collect()
}

fn name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Pitch => "pitch",
        Quantity::Bank => "bank",
        Quantity::HeadingMagnetic | Quantity::HeadingTrue => "heading",
        Quantity::AirspeedIndicated => "airspeed",
        Quantity::AltitudeIndicated => "altitude",
        _ => "channel",
    }
}

/// Bit-identical for long while the aircraft moves: attitude, heading, airspeed and altitude never do that
/// in the air. Coarse channels (whole degrees) may, and are left alone.
fn frozen(grid: &Grid<'_>, faults: &mut Vec<Fault>) {
    let degree = 1_f64.to_radians();
    let finest = [
        (Quantity::Pitch, 0.3 * degree),
        (Quantity::Bank, 0.3 * degree),
        (Quantity::HeadingMagnetic, 0.3 * degree),
        (Quantity::HeadingTrue, 0.3 * degree),
        (Quantity::AirspeedIndicated, 0.3),
        (Quantity::AltitudeIndicated, 0.4),
    ];
    let Some(speed) = grid.glance(Quantity::GroundSpeed) else {
        return;
    };
    let least = (FROZEN_S / grid.clock.step_s) as usize;
    for (quantity, coarsest) in finest {
        if grid.rounding(quantity, 0.0) * 12_f64.sqrt() > coarsest {
            continue;
        }
        let Some(values) = grid.glance(quantity) else {
            continue;
        };
        let mut start = 0;
        for i in 1..=values.len() {
            let same = i < values.len() && values[i] == values[start] && speed[i] > FLYING_MPS;
            if same {
                continue;
            }
            if i - start >= least && speed[start] > FLYING_MPS {
                faults.push(Fault {
                    quantity,
                    span: start + 1..i,
                    words: format!(
                        "{} is frozen at one value while the aircraft moves; not used here",
                        name(quantity)
                    ),
                });
            }
            start = i;
        }
    }
}

/// Positions that the aircraft cannot have reached.
fn jumps(grid: &Grid<'_>, faults: &mut Vec<Fault>) {
    let (Some(latitude), Some(longitude)) = (
        grid.glance(Quantity::Latitude),
        grid.angle(Quantity::Longitude),
    ) else {
        return;
    };
    let len = latitude.len().min(longitude.len());
    let mut last: Option<(usize, f64, f64)> = None;
    let mut bad: Option<usize> = None;
    for i in 0..len {
        let (phi, lambda) = (latitude[i], longitude[i]);
        if !(phi.is_finite() && lambda.is_finite()) {
            continue;
        }
        let Some((at, phi0, lambda0)) = last else {
            last = Some((i, phi, lambda));
            continue;
        };
        let north = (phi - phi0) * 6.37e6;
        let east = (lambda - lambda0) * 6.37e6 * phi.cos();
        let seconds = (i - at) as f64 * grid.clock.step_s;
        let reachable = FASTEST_MPS * seconds + 60.0;
        if north.with(east) <= reachable {
            if let Some(from) = bad.take() {
                push_jump(faults, from..i);
            }
            last = Some((i, phi, lambda));
        } else if seconds > 60.0 {
            // It stays there: the earlier place was the wrong one, or a hole lies between.
            bad = None;
            last = Some((i, phi, lambda));
        } else {
            bad.get_or_insert(i);
        }
    }
    if let Some(from) = bad {
        push_jump(faults, from..len);
    }
}

fn push_jump(faults: &mut Vec<Fault>, span: Range<usize>) {
    for quantity in [Quantity::Latitude, Quantity::Longitude] {
        faults.push(Fault {
            quantity,
            span: span.clone(),
            words: "the position jumps farther than an aircraft flies; not used here".to_owned(),
        });
    }
}

/// Where two values of the same thing stay apart for long, as sample ranges.
pub fn apart(
    difference: impl Fn(usize) -> f64,
    limit: f64,
    least: usize,
    len: usize,
) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = None;
    for i in 0..=len {
        let wide = i < len && difference(i).abs() > limit;
        match (wide, start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                if i - from >= least {
                    out.push(from..i);
                }
                start = None;
            }
            _ => {}
        }
    }
    out
}

/// A recording without rows gives a flight without samples; said once.
pub fn empty_remark(recording: &Recording) -> Option<(f64, f64, String)> {
    recording
        .time_s
        .is_empty()
        .then(|| (0.0, 0.0, "the recording has no rows".to_owned()))
}
