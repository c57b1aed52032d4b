//! Room for a person's span among what was found.

use super::LEAST_S;
use crate::{Bounds, Kind, Maneuver, Span, phases};
use aircraft::Aircraft;
use flight::Flight;

/// Start and end clamped to the flight; `None` when nothing of them lies within.
pub(super) fn within(flight: &Flight, start_s: f64, end_s: f64) -> Option<(f64, f64)> {
    let last_s = flight.clock.time_s(flight.clock.len.saturating_sub(1));
    let sound = start_s.is_finite() && end_s.is_finite() && start_s < end_s && last_s.is_finite();
    if !sound || end_s <= 0.0 || start_s >= last_s {
        return None;
    }
    Some((start_s.max(0.0), end_s.min(last_s)))
}

/// The kinds that have a break.
pub(super) fn is_stall(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall
    )
}

/// The moment without which a maneuver is none: a stall's break, or its cue where it was recovered before.
pub(super) fn moment(maneuver: &Maneuver) -> Option<f64> {
    if !is_stall(maneuver.kind) {
        return None;
    }
    ["full_stall", "first_cue", "recovery_start"]
        .iter()
        .find_map(|name| maneuver.event(name))
        .map(|event| event.at_s)
}

/// Trims or drops what overlaps `start_s..end_s`.
pub(super) fn make(
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &mut Vec<Maneuver>,
    start_s: f64,
    end_s: f64,
) {
    let kept = std::mem::take(maneuvers).into_iter();
    *maneuvers = kept
        .filter_map(|maneuver| {
            let overlaps = maneuver.end_s > start_s && maneuver.start_s < end_s;
            if !overlaps {
                return Some(maneuver);
            }
            let (from_s, to_s) = rest(&maneuver, start_s, end_s)?;
            Some(trimmed(flight, aircraft, &maneuver, from_s, to_s))
        })
        .collect();
}

/// What a span leaves of a maneuver: the piece with its moment, else the longer one.
fn rest(maneuver: &Maneuver, start_s: f64, end_s: f64) -> Option<(f64, f64)> {
    let pieces = [
        (maneuver.start_s, start_s.min(maneuver.end_s)),
        (end_s.max(maneuver.start_s), maneuver.end_s),
    ];
    let left = pieces
        .into_iter()
        .filter(|(from_s, to_s)| to_s - from_s >= LEAST_S);
    match moment(maneuver) {
        Some(at_s) => left
            .into_iter()
            .find(|(from_s, to_s)| (*from_s..=*to_s).contains(&at_s)),
        None => left.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0))),
    }
}

/// The same maneuver between new bounds, worked out anew.
fn trimmed(
    flight: &Flight,
    aircraft: &Aircraft,
    maneuver: &Maneuver,
    start_s: f64,
    end_s: f64,
) -> Maneuver {
    let span = Span {
        kind: maneuver.kind,
        direction: maneuver.direction,
        start_s,
        end_s,
        score: 0.0,
        agreement: maneuver.agreement,
        anchor_s: moment(maneuver),
        bounds: Bounds::Given,
    };
    Maneuver {
        direction: maneuver.direction,
        confidence: maneuver.confidence,
        set_by: maneuver.set_by,
        ..phases::detail(flight, aircraft, &span, &[])
    }
}
