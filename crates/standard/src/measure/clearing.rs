//! Clearing turns before a task. Looking out is not in a recording; the turns are.

use crate::context::Context;
use crate::draft;
use crate::model::Mark;
use flight::Origin;
use maneuver::Kind;

/// A pair of clearing turns takes about 40 s and the task follows at once (common practice, no source):
/// a recording that shows a whole minute before the task would show them.
const SEEN_S: f64 = 60.0;

/// Turns of a pair follow each other within this, s (common practice, no source).
const PAIR_S: f64 = 120.0;

/// Chance that turns which were flown were not found, where a heading or a path shows them.
const OVERLOOKED: f64 = 0.03;

/// Whether clearing turns were flown within the criterion's seconds before the task, or before the first
/// of several turns that belong together.
pub(super) fn turns(context: &Context, mark: Mark) -> Mark {
    let limit_s = mark.high.unwrap_or(120.0);
    let flight = context.flight;
    let directed = flight.heading.is_some() || flight.track.is_some();
    if !directed && flight.bank.is_none() {
        return draft::not_recorded(mark, "neither heading, track nor bank was recorded");
    }
    let start_s = first_of_series(context);
    let nearest = context
        .maneuvers
        .iter()
        .filter(|other| other.kind == Kind::ClearingTurns && other.start_s < start_s)
        .max_by(|a, b| a.end_s.total_cmp(&b.end_s));
    let mut mark = mark;
    mark.high = None;
    "".clone_into(&mut mark.unit);
    if let Some(turns) = nearest {
        let gap_s = (start_s - turns.end_s).max(0.0);
        if served_another(context, turns.end_s, start_s) {
            let note = format!("the last ones, {gap_s:.0} s before, were for another maneuver");
            return draft::chance(mark, OVERLOOKED, Some(start_s), Origin::Derived, &note);
        }
        if gap_s <= limit_s {
            let note = format!("they ended {gap_s:.0} s before");
            return draft::chance(
                mark,
                found(turns.confidence),
                Some(turns.start_s),
                Origin::Derived,
                &note,
            );
        }
        if gap_s <= 1.25 * limit_s {
            let note = format!("the last ones ended {gap_s:.0} s before");
            return draft::chance(mark, 0.5, Some(turns.start_s), Origin::Derived, &note);
        }
    }
    // Turns that were found by their bank count; that none were flown only a heading or a path can show.
    if !directed {
        return draft::not_recorded(mark, "neither heading nor track was recorded");
    }
    if start_s < SEEN_S {
        let note = format!("the recording begins {start_s:.0} s before the task");
        return draft::not_recorded(mark, &note);
    }
    let note = format!("none found in the {:.0} s before", limit_s.min(start_s));
    draft::chance(mark, OVERLOOKED, Some(start_s), Origin::Derived, &note)
}

/// A turn pattern that the decoder prefers to everything else is rarely something else.
fn found(confidence: f64) -> f64 {
    if confidence >= 0.5 {
        confidence.max(0.96)
    } else {
        confidence
    }
}

/// Start of the first of a row of steep turns that belong together: one clearing serves a pair.
fn first_of_series(context: &Context) -> f64 {
    let mut start_s = context.maneuver.start_s;
    if context.maneuver.kind != Kind::SteepTurn {
        return start_s;
    }
    for earlier in context.maneuvers.iter().take(context.index).rev() {
        if earlier.kind != Kind::SteepTurn || start_s - earlier.end_s > PAIR_S {
            break;
        }
        start_s = earlier.start_s;
    }
    start_s
}

/// Whether another maneuver lies between the clearing turns and the task: each has its own clearing
/// (common practice, no source). Ordinary climbs, descents and turns in between change nothing.
fn served_another(context: &Context, from_s: f64, to_s: f64) -> bool {
    let training = |kind: Kind| {
        !matches!(
            kind,
            Kind::ClearingTurns
                | Kind::ConstantAirspeedClimb
                | Kind::ConstantAirspeedDescent
                | Kind::TurnToHeading
                | Kind::StraightAndLevel
        )
    };
    context.maneuvers.iter().any(|other| {
        training(other.kind) && other.start_s >= from_s - 5.0 && other.start_s < to_s - 1.0
    })
}
