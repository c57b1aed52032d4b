//! One measurement for each criterion.

mod aim;
mod clearing;
mod coordination;
mod figure;
mod flaps;
mod height;
mod line;
mod power;
mod series;
mod slow_flight;
mod slow_speed;
mod stall;
mod turn;

use crate::context::Context;
use crate::draft;
use crate::model::Mark;
use crate::pack::{Criterion, Measure};

/// A fully marked criterion; `None` when it does not apply to this one (a bank limit in a straight
/// stall, promptness of a recovery from a stall that was not to be).
pub(crate) fn mark(context: &Context, element: &str, criterion: &Criterion) -> Option<Mark> {
    let pointless = criterion.measure == Measure::Figure
        && context.maneuver.missing.get(criterion.figure) == Some(&maneuver::DOES_NOT_APPLY);
    if !context.applies(criterion) || pointless {
        return None;
    }
    let blank = draft::blank(context, element, criterion);
    let mark = match criterion.measure {
        Measure::Altitude if slow(context) => slow_flight::altitude(context, criterion, blank),
        Measure::Heading if slow(context) => slow_flight::heading(context, criterion, blank),
        Measure::Airspeed if slow(context) => slow_speed::airspeed(context, criterion, blank),
        Measure::Bank if slow(context) => slow_flight::bank(context, criterion, blank),
        Measure::Altitude => line::altitude(context, criterion, blank),
        Measure::Airspeed => line::airspeed(context, criterion, blank),
        Measure::Heading => line::heading(context, criterion, blank),
        Measure::Bank => line::bank(context, criterion, blank),
        Measure::BankMax => line::bank_max(context, criterion, blank),
        Measure::RolloutHeading => turn::rollout_heading(context, criterion, blank),
        Measure::EntryAirspeed => turn::entry_airspeed(context, blank),
        Measure::OppositeDirection => turn::opposite_direction(context, blank),
        Measure::MinAltitudeAgl => height::lowest(context, criterion, blank),
        Measure::ClearingTurns => clearing::turns(context, blank),
        Measure::RecoveryAfterFullStall => stall::after_full_stall(context, blank),
        Measure::RecoveryAsSpecified => stall::as_specified(context, blank),
        Measure::RecoveryPrompt => return stall::prompt(context, blank),
        Measure::NoSecondaryStall => stall::no_secondary(context, blank),
        Measure::PitchUpSmooth => stall::pitch_up(context, blank),
        Measure::DescentEstablished => stall::descent(context, blank),
        Measure::ClimbNotDelayed => stall::climb(context, blank),
        Measure::PowerPrompt => power::prompt(context, blank),
        Measure::PowerPercent => power::percent(context, blank),
        Measure::NoStallWarning => slow_speed::no_warning(context, criterion, blank),
        Measure::Coordination => coordination::ball(context, criterion, blank),
        Measure::FlapExtensionSpeed => return flaps::extension_speed(context, criterion, blank),
        Measure::FlapsInSteps => return flaps::in_steps(context, blank),
        Measure::FlapsRetracted => return flaps::retracted(context, blank),
        Measure::Series => series::series(context, criterion, blank),
        Measure::Figure => figure::figure(context, criterion, blank),
        Measure::Instructor => draft::for_instructor(blank, &criterion.note),
    };
    Some(mark)
}

fn slow(context: &Context) -> bool {
    context.maneuver.kind == maneuver::Kind::SlowFlight
}
