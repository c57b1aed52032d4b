//! A quantity along time that the pack names, in a window of the maneuver.

use super::{aim, line};
use crate::context::Context;
use crate::draft::{self, Aim, Line};
use crate::instrument;
use crate::model::Mark;
use crate::pack::{Channel, Criterion, LimitOrigin, Target};
use crate::units;
use air::units::MPS_PER_KT;
use flight::{Origin, Series};

/// Marks a quantity in the window: the worst that was kept up for the policy's time.
pub(super) fn series(context: &Context, criterion: &Criterion, mut mark: Mark) -> Mark {
    let Some(channel) = criterion.channel else {
        return draft::not_recorded(mark, "the pack names no quantity");
    };
    let Some(recorded) = recorded(context, channel) else {
        return draft::not_recorded(mark, why(channel));
    };
    let Some(per_unit) = units::per_unit(channel.unit(), &criterion.unit) else {
        return draft::not_recorded(mark, "the quantity is not measured in this unit");
    };
    let Some(window) = context.window(criterion) else {
        return draft::not_recorded(mark, "the part to be graded was not found");
    };
    if let Err(why) = aim::limit(context, criterion, per_unit, &mut mark) {
        return draft::not_recorded(mark, why);
    }
    let Some(mut line) = line::drawn(context, recorded, per_unit, window) else {
        return draft::not_recorded(mark, "nothing was recorded here");
    };
    quality(context, channel, recorded, per_unit, &mut line);
    if criterion.target == Target::Entry && recorded.origin == Origin::Measured {
        // A difference keeps a part of what the instrument has wrong; a compass has that taken off already.
        line.slow_sigma *= if channel == Channel::Heading {
            1.0
        } else {
            line::DRIFT
        };
    }
    let entry = entry(context, criterion, channel, recorded, per_unit, window.0);
    if channel == Channel::Bank {
        line.values.iter_mut().for_each(|bank| *bank = bank.abs());
    }
    match aim::aim(context, criterion, per_unit, entry) {
        Ok(found) => line.aim = found,
        Err(none) => return none.answer(mark),
    }
    if channel == Channel::Heading {
        magnetic(context, &mut line);
    }
    let limits = Criterion {
        low: mark.low.filter(|_| line.aim.is_none()).or(criterion.low),
        high: mark.high.filter(|_| line.aim.is_none()).or(criterion.high),
        ..criterion.clone()
    };
    draft::line(mark, &limits, &line)
}

fn recorded<'a>(context: &'a Context, channel: Channel) -> Option<&'a Series> {
    let flight = context.flight;
    match channel {
        Channel::Altitude => flight.altitude.as_ref().or(flight.height.as_ref()),
        Channel::HeightAboveGround => flight.agl.as_ref(),
        Channel::Airspeed => flight.ias.as_ref(),
        Channel::Bank => flight.bank.as_ref(),
        Channel::Heading => line::heading_series(context).map(|(series, _)| series),
        Channel::Pitch => flight.pitch.as_ref(),
        Channel::LoadFactor => flight.load.as_ref(),
        Channel::ClimbRate => flight.climb.as_ref(),
    }
}

fn why(channel: Channel) -> &'static str {
    match channel {
        Channel::Altitude => "no altitude was recorded",
        Channel::HeightAboveGround => "the height above ground is not known: give the terrain",
        Channel::Airspeed => "no airspeed was recorded, and the wind is not known",
        Channel::Bank => "no bank was recorded",
        Channel::Heading => "no heading was recorded",
        Channel::Pitch => "no pitch was recorded",
        Channel::LoadFactor => "no load factor was recorded",
        Channel::ClimbRate => "no climb rate was recorded",
    }
}

/// What the instrument has wrong all the time, and what of it is left in a difference from the entry.
fn quality(context: &Context, channel: Channel, recorded: &Series, per_unit: f64, line: &mut Line) {
    let smoothed = line.slow_sigma * per_unit;
    line.slow_sigma = match channel {
        Channel::Airspeed => instrument::airspeed_kt(recorded, smoothed) * MPS_PER_KT / per_unit,
        Channel::Bank => instrument::bank_deg(context, smoothed).to_radians() / per_unit,
        Channel::Heading => {
            line::heading_sigma_deg(recorded, smoothed.to_degrees()).to_radians() / per_unit
        }
        _ => line.slow_sigma,
    };
    if recorded.origin != Origin::Measured {
        line.note = match channel {
            Channel::Airspeed => "airspeed from ground speed and wind",
            Channel::Bank => "bank from the curve of the path",
            Channel::Heading => "heading from track and wind",
            _ => "",
        }
        .to_owned();
    }
}

/// The value flown at the beginning, where deviations count from it.
fn entry(
    context: &Context,
    criterion: &Criterion,
    channel: Channel,
    recorded: &Series,
    per_unit: f64,
    at_s: f64,
) -> Option<Aim> {
    if criterion.target != Target::Entry {
        return None;
    }
    let value = line::at_entry(context, recorded, at_s)? / per_unit;
    // Half the rounding of the instrument and a second of a slow change: what an entry is known to.
    let sigma = match channel {
        Channel::Altitude | Channel::HeightAboveGround => 0.9,
        Channel::Airspeed => 0.7 * MPS_PER_KT,
        Channel::Heading | Channel::Bank | Channel::Pitch => 1.5_f64.to_radians(),
        Channel::LoadFactor => 0.02,
        Channel::ClimbRate => 0.3,
    } / per_unit;
    Some(Aim {
        value,
        sigma,
        origin: LimitOrigin::Assumed,
    })
}

/// Headings are briefed magnetic; the curve runs on past 360 near its target, so that it never jumps.
fn magnetic(context: &Context, line: &mut Line) {
    let offset = context.flight.variation_rad.to_degrees();
    let from_entry = line
        .aim
        .is_some_and(|aim| aim.origin == LimitOrigin::Assumed);
    let Some(aim) = &mut line.aim else { return };
    if from_entry {
        aim.value -= offset;
    }
    let near = line
        .values
        .iter()
        .zip(&line.graded)
        .find(|(value, graded)| **graded && value.is_finite())
        .map_or(0.0, |(value, _)| value - offset);
    let turns = 360.0 * ((near - aim.value) / 360.0).round();
    for value in &mut line.values {
        *value -= offset + turns;
    }
}
