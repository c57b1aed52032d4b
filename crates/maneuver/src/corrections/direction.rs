//! Which way a maneuver went, from the flight, where the person did not say.
//!
//! The same rules as the kinds use when they are found: stalls by the bank flown into them, turns by their
//! net turn, maneuvers of two halves by the first.

use super::room::is_stall;
use crate::kinds::{deg, pair, side};
use crate::phases::wave::Wave;
use crate::{Direction, Kind};
use flight::Flight;

/// Bank of a stall that is still straight ahead, rad: as in `kinds::stall_signature`.
const STRAIGHT_RAD: f64 = deg(8.0);
/// A stall's entry, before its break, s: as in `kinds::stall_signature`.
const ENTRY_S: (f64, f64) = (11.0, 1.0);
/// Net turn with which an approach has a side, rad: as in `kinds::landing`.
const PATTERN_RAD: f64 = deg(60.0);
/// Net turn with which an emergency descent is a turning one, rad: as in `kinds::emergency_descent`.
const DESCENT_RAD: f64 = deg(45.0);
/// Bank that is a turn and not wandering, rad.
const TURN_RAD: f64 = deg(10.0);

/// The direction of a span of a kind; `anchor_s` is its defining moment, if that is known.
pub(super) fn of(
    flight: &Flight,
    kind: Kind,
    (start_s, end_s): (f64, f64),
    anchor_s: Option<f64>,
) -> Direction {
    let bank = Wave::cut_option(flight, flight.bank.as_ref(), start_s, end_s);
    let net = || net_turn(flight, &bank, start_s, end_s);
    match kind {
        kind if is_stall(kind) => {
            let at_s = anchor_s.unwrap_or_else(|| slowest(flight, start_s, end_s));
            let flown = bank.median(at_s - ENTRY_S.0, at_s - ENTRY_S.1);
            // One in a steep turn always has a side.
            if flown.is_nan() || (flown.abs() < STRAIGHT_RAD && kind != Kind::AcceleratedStall) {
                Direction::Straight
            } else {
                side(flown)
            }
        }
        Kind::ClearingTurns | Kind::STurns | Kind::LazyEight | Kind::EightsOnPylons => {
            first_turn(&bank, start_s, end_s).map_or(Direction::None, pair)
        }
        Kind::SteepTurn
        | Kind::Chandelle
        | Kind::SteepSpiral
        | Kind::TurnsAroundAPoint
        | Kind::RectangularCourse
        | Kind::TurnToHeading => sided(net(), 0.0, Direction::None),
        Kind::EmergencyDescent => sided(net(), DESCENT_RAD, Direction::Straight),
        Kind::Landing | Kind::PowerOff180 | Kind::TrafficPattern => {
            sided(net(), PATTERN_RAD, Direction::Straight)
        }
        // The side of a slip is the lowered wing's.
        Kind::ForwardSlip => sided(bank.median(start_s, end_s), 0.0, Direction::None),
        Kind::StraightAndLevel => Direction::Straight,
        Kind::SlowFlight
        | Kind::ConstantAirspeedClimb
        | Kind::ConstantAirspeedDescent
        | Kind::UnusualAttitudeRecovery
        | Kind::EngineOutApproach
        | Kind::Takeoff
        | Kind::GoAround => Direction::None,
        // The guard above has taken these.
        Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall => Direction::Straight,
    }
}

fn sided(angle_rad: f64, least_rad: f64, else_way: Direction) -> Direction {
    if angle_rad.is_finite() && angle_rad.abs() > least_rad {
        side(angle_rad)
    } else {
        else_way
    }
}

/// Turned from start to end, rad, right positive; without a heading the mean bank, which has its sign.
fn net_turn(flight: &Flight, bank: &Wave, start_s: f64, end_s: f64) -> f64 {
    let heading = flight.heading.as_ref().or(flight.air_track.as_ref());
    let heading = Wave::cut_option(flight, heading, start_s, end_s).unwrapped();
    let turned = heading.at(end_s) - heading.at(start_s);
    if turned.is_finite() {
        turned
    } else {
        bank.mean(start_s, end_s)
    }
}

/// Bank of the first turn, rad.
fn first_turn(bank: &Wave, start_s: f64, end_s: f64) -> Option<f64> {
    let at_s = bank
        .map(f64::abs)
        .first_held(start_s, end_s, TURN_RAD, true, 3.0)?;
    Some(bank.mean(at_s, at_s + 3.0)).filter(|bank| bank.is_finite())
}

/// About when a stall was that nobody saw: the lowest airspeed, else the middle.
fn slowest(flight: &Flight, start_s: f64, end_s: f64) -> f64 {
    Wave::cut_option(flight, flight.ias.as_ref(), start_s, end_s)
        .smooth(1.0)
        .lowest(start_s, end_s)
        .map_or(0.5 * (start_s + end_s), |(at_s, _)| at_s)
}
