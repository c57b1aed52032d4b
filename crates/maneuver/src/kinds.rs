//! The kinds of maneuver, one file each: what it is made of, what bounds it, its limits with their
//! reason, which way it goes. **Adding a kind is one new file and one line in [`TABLE`].**
//!
//! Where a limit has no source of its own it is wide and argued from physics or from how the maneuver is
//! described in the Airplane Flying Handbook (FAA-H-8083-3C) and the airman certification standards
//! (FAA-S-ACS-6C private, FAA-S-ACS-7B commercial).

mod accelerated_stall;
mod chandelle;
mod clearing_turns;
mod eights_on_pylons;
mod emergency_descent;
mod fillers;
mod forward_slip;
mod go_around;
mod landing;
mod lazy_eight;
mod power_off_180;
mod power_off_stall;
mod power_on_stall;
mod rectangular_course;
mod s_turns;
mod setup;
mod slow_flight;
pub(crate) mod stall_signature;
mod steep_spiral;
mod steep_turn;
mod takeoff;
mod turns_around_a_point;
mod unusual_attitude_recovery;

use crate::decode::{Candidate, Label};
use crate::features::Features;
use crate::{Direction, Kind};
use air::units::{M_PER_FT, MPS_PER_FPM};

/// How one kind takes part in the decoding.
#[derive(Clone, Copy)]
pub struct Grammar {
    /// The kind; `None` for the look-alikes of ordinary flying.
    pub kind: Option<Kind>,
    /// Proposes every segment that could be one.
    pub propose: fn(&Features, &mut Vec<Candidate>),
}

const fn row(kind: Kind, propose: fn(&Features, &mut Vec<Candidate>)) -> Grammar {
    Grammar {
        kind: Some(kind),
        propose,
    }
}

/// Every kind that competes.
pub const TABLE: [Grammar; 21] = [
    row(Kind::ClearingTurns, clearing_turns::propose),
    row(Kind::SlowFlight, slow_flight::propose),
    row(Kind::SteepTurn, steep_turn::propose),
    row(Kind::PowerOffStall, power_off_stall::propose),
    row(Kind::PowerOnStall, power_on_stall::propose),
    row(Kind::AcceleratedStall, accelerated_stall::propose),
    row(Kind::Chandelle, chandelle::propose),
    row(Kind::LazyEight, lazy_eight::propose),
    row(Kind::SteepSpiral, steep_spiral::propose),
    row(Kind::EightsOnPylons, eights_on_pylons::propose),
    row(Kind::TurnsAroundAPoint, turns_around_a_point::propose),
    row(Kind::STurns, s_turns::propose),
    row(Kind::RectangularCourse, rectangular_course::propose),
    row(Kind::EmergencyDescent, emergency_descent::propose),
    row(
        Kind::UnusualAttitudeRecovery,
        unusual_attitude_recovery::propose,
    ),
    row(Kind::Takeoff, takeoff::propose),
    row(Kind::Landing, landing::propose),
    row(Kind::GoAround, go_around::propose),
    row(Kind::PowerOff180, power_off_180::propose),
    row(Kind::ForwardSlip, forward_slip::propose),
    Grammar {
        kind: None,
        propose: fillers::propose,
    },
];

/// Everything that every kind proposes.
#[must_use]
pub fn proposals(features: &Features) -> Vec<Candidate> {
    let mut all = Vec::new();
    for grammar in &TABLE {
        (grammar.propose)(features, &mut all);
    }
    all
}

/// What it says for `next` that `last` came `gap_s` before it. Small: a habit of schools, no law.
#[must_use]
pub fn context(last: &Candidate, next: &Candidate, gap_s: f64) -> f64 {
    let (Label::Maneuver(a), Label::Maneuver(b)) = (last.label, next.label) else {
        return 0.0;
    };
    match (a, b) {
        (Kind::ClearingTurns, Kind::ClearingTurns) => 0.0,
        // Clear the area, then begin: within half a minute.
        (Kind::ClearingTurns, _) if gap_s < 30.0 => 0.3,
        // The second of a pair goes the other way.
        (Kind::SteepTurn, Kind::SteepTurn) if last.direction != next.direction => 0.5,
        _ => 0.0,
    }
}

/// Degrees to radians, for limits.
pub(crate) const fn deg(degrees: f64) -> f64 {
    degrees * std::f64::consts::PI / 180.0
}
/// Feet to meters.
pub(crate) const fn ft(feet: f64) -> f64 {
    feet * M_PER_FT
}
/// Feet a minute to meters a second.
pub(crate) const fn fpm(feet_per_minute: f64) -> f64 {
    feet_per_minute * MPS_PER_FPM
}

/// Left or right by the sign of a turn.
pub(crate) fn side(turned_rad: f64) -> Direction {
    if turned_rad > 0.0 {
        Direction::Right
    } else {
        Direction::Left
    }
}
/// Two halves by the sign of the first.
pub(crate) fn pair(first_rad: f64) -> Direction {
    if first_rad > 0.0 {
        Direction::RightLeft
    } else {
        Direction::LeftRight
    }
}
/// The longest share of a segment that may lie in a hole of the recording.
pub(crate) const MOST_UNKNOWN: f64 = 0.1;
