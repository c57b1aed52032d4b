//! Steep turns: entry speed, roll-out heading, the turn the other way.

use super::line;
use crate::context::Context;
use crate::draft::{self, Number};
use crate::instrument;
use crate::model::{Mark, Ribbon, RibbonStyle};
use crate::pack::{Criterion, LimitOrigin};
use air::units::MPS_PER_KT;
use flight::Origin;
use maneuver::Direction;

/// Heading at wings level against the entry heading, degrees magnetic.
pub(super) fn rollout_heading(context: &Context, criterion: &Criterion, mut mark: Mark) -> Mark {
    let Some((series, words)) = line::heading_series(context) else {
        return draft::not_recorded(mark, "no heading was recorded");
    };
    let (Some(roll_in), Some(level)) = (context.moment("roll_in"), context.moment("wings_level"))
    else {
        return draft::not_recorded(mark, "the turn's ends were not found");
    };
    let entry = context.mean(series, roll_in.at_s - 2.0, roll_in.at_s);
    let exit = context.mean(series, level.at_s, level.at_s + 1.0);
    let (Some(entry), Some(exit)) = (entry, exit) else {
        return draft::not_recorded(mark, "no heading was recorded here");
    };
    let turned = (exit - entry).to_degrees();
    // Whole turns out; what is left is the error, positive past the entry heading the way of the turn.
    let error = turned.abs() - 360.0 * (turned.abs() / 360.0).round().max(1.0);
    let noise = context.sigma(series, roll_in.at_s, level.at_s).to_degrees() * line::DRIFT;
    // The bank comes off at about 10 degrees a second, the heading follows with the tangent of the bank:
    // half a second of a turn that is nearly over.
    let rate = end_rate_dps(context, level.at_s);
    let sigma = noise.hypot(0.5 * rate).hypot(0.8);
    let entry_deg = (entry - context.flight.variation_rad)
        .to_degrees()
        .rem_euclid(360.0);
    let signed = if turned < 0.0 { -error } else { error };
    mark.target = Some(entry_deg);
    mark.low = criterion.low.map(|low| entry_deg + low);
    mark.high = criterion.high.map(|high| entry_deg + high);
    if criterion.origin == LimitOrigin::Published {
        LimitOrigin::Assumed.id().clone_into(&mut mark.limit_origin);
    }
    if criterion
        .tolerance()
        .is_some_and(|tolerance| sigma.is_nan() || sigma > 0.5 * tolerance)
    {
        return draft::not_recorded(mark, "heading is not known well enough here");
    }
    let number = Number {
        value: entry_deg + signed,
        sigma,
        at_s: level.at_s,
        note: words.to_owned(),
    };
    let mut mark = draft::number(mark, &number, series.origin);
    mark.ribbon = criterion
        .tolerance()
        .map(|tolerance| moment(level.at_s, signed / tolerance, sigma / tolerance));
    mark
}

/// A single dot at a time, in units of the tolerance.
pub(super) fn moment(at_s: f64, deviation: f64, sigma: f64) -> Ribbon {
    Ribbon {
        start_s: at_s,
        step_s: 1.0,
        graded_from_s: at_s,
        graded_to_s: at_s,
        deviation: vec![Some(deviation as f32)],
        sigma: sigma as f32,
        style: RibbonStyle::Moments,
        moments_s: vec![at_s],
    }
}

/// How fast the heading still turned at the end, degrees a second.
fn end_rate_dps(context: &Context, at_s: f64) -> f64 {
    let Some(heading) = &context.flight.heading else {
        return 2.0;
    };
    let before = context.mean(heading, at_s - 1.0, at_s);
    let after = context.mean(heading, at_s, at_s + 1.0);
    match (before, after) {
        (Some(before), Some(after)) => (after - before).to_degrees().abs().min(10.0),
        _ => 2.0,
    }
}

/// Entry speed against the maneuvering speed at the weight, kt.
pub(super) fn entry_airspeed(context: &Context, mut mark: Mark) -> Mark {
    let Some(series) = &context.flight.ias else {
        return draft::not_recorded(mark, "no airspeed was recorded");
    };
    let Some(limit) = context.aircraft.va_mps() else {
        return draft::not_recorded(mark, "the aircraft file gives no VA");
    };
    let Some(roll_in) = context.moment("roll_in") else {
        return draft::not_recorded(mark, "the roll-in was not found");
    };
    mark.high = Some(limit / MPS_PER_KT);
    LimitOrigin::AircraftFile
        .id()
        .clone_into(&mut mark.limit_origin);
    let weighed = context.aircraft.mass.actual_kg.is_some();
    let note = if weighed {
        "VA at the weight of the day"
    } else {
        "VA at the file's weight; a lighter aircraft has a lower one"
    };
    // VA goes with the root of the weight: a tenth of the weight, half of that of the speed.
    let weight_sigma = if weighed { 0.01 } else { 0.03 } * limit / MPS_PER_KT;
    let value = line::at_entry(context, series, roll_in.at_s).unwrap_or(f64::NAN) / MPS_PER_KT;
    let smoothed = context.sigma(series, roll_in.at_s - 1.0, roll_in.at_s);
    let sigma = instrument::airspeed_kt(series, smoothed).hypot(weight_sigma);
    draft::number(
        mark,
        &Number {
            value,
            sigma,
            at_s: roll_in.at_s,
            note: note.to_owned(),
        },
        series.origin,
    )
}

/// Whether a turn the other way was flown right before or after.
pub(super) fn opposite_direction(context: &Context, mark: Mark) -> Mark {
    let limit_s = mark.high.unwrap_or(120.0);
    let this = context.maneuver;
    let opposite = |direction: Direction| {
        matches!(
            (this.direction, direction),
            (Direction::Left, Direction::Right) | (Direction::Right, Direction::Left)
        )
    };
    let other = context.maneuvers.iter().find(|other| {
        other.kind == this.kind
            && opposite(other.direction)
            && (other.start_s - this.end_s).max(this.start_s - other.end_s) <= limit_s
    });
    match other {
        Some(other) => {
            let gap = (other.start_s - this.end_s)
                .max(this.start_s - other.end_s)
                .max(0.0);
            let note = format!("the other one is {gap:.0} s away");
            draft::chance(
                mark,
                other.confidence.max(0.95),
                Some(other.start_s),
                Origin::Derived,
                &note,
            )
        }
        None => draft::for_instructor(
            mark,
            "no turn the other way was found within two minutes; was it asked for?",
        ),
    }
}
