//! The kinds of maneuver, one file each: what it is made of, what bounds it, its limits with their
//! reason, which way it goes, and at the end its row: how it is proposed, how it is worked out, and what a
//! standard may ask of it. **Adding a kind is one new file and its line in [`TABLE`].**
//!
//! Where a limit has no source of its own it is wide and argued from physics or from how the maneuver is
//! described in the Airplane Flying Handbook (FAA-H-8083-3C) and the airman certification standards
//! (FAA-S-ACS-6C private, FAA-S-ACS-7B commercial).

mod accelerated_stall;
mod basic_instrument;
mod chandelle;
mod clearing_turns;
mod eights_on_pylons;
mod emergency_descent;
mod engine_out_approach;
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
mod traffic_pattern;
mod turns_around_a_point;
mod unusual_attitude_recovery;

use crate::decode::{Candidate, Label};
use crate::features::Features;
use crate::phases::Given;
use crate::phases::sheet::Sheet;
use crate::{Direction, Kind, Maneuver, Span};
use air::units::{M_PER_FT, MPS_PER_FPM};
use aircraft::Aircraft;
use flight::Flight;

/// What a span is worked out from.
#[derive(Clone, Copy)]
pub struct Case<'a> {
    /// The flight.
    pub flight: &'a Flight,
    /// The aircraft's file.
    pub aircraft: &'a Aircraft,
    /// What the decoder found, or a person gave.
    pub span: &'a Span,
    /// The flight's other spans: bounds do not reach into a neighbor.
    pub others: &'a [Span],
    /// What it was flown about, where a person gave it.
    pub given: Option<&'a Given>,
}

/// A figure that a kind works out: its name among the facts, its SI unit, and what it is in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Name in [`Maneuver::facts`].
    pub name: &'static str,
    /// SI unit: `m`, `m/s`, `rad`, `s`, `g`, `1`.
    pub unit: &'static str,
    /// For people.
    pub words: &'static str,
}

/// Short for a row of a kind's figures.
pub(crate) const fn figure(name: &'static str, unit: &'static str, words: &'static str) -> Figure {
    Figure { name, unit, words }
}

/// How one kind takes part: in the decoding, in what is worked out, in what a standard may ask of it.
#[derive(Clone, Copy)]
pub struct Grammar {
    /// The kind; `None` for the look-alikes of ordinary flying.
    pub kind: Option<Kind>,
    /// Proposes every segment that could be one.
    pub propose: fn(&Features, &mut Vec<Candidate>),
    /// Works out bounds, phases, events and figures.
    pub detail: fn(&Case) -> Maneuver,
    /// Events by which a standard may bound what it grades.
    pub moments: &'static [&'static str],
    /// Figures that a standard may put a limit on.
    pub figures: &'static [Figure],
}

impl Grammar {
    /// Says how a span of the kind is worked out, and what that gives.
    const fn worked_out(
        mut self,
        detail: fn(&Case) -> Maneuver,
        moments: &'static [&'static str],
        figures: &'static [Figure],
    ) -> Grammar {
        self.detail = detail;
        self.moments = moments;
        self.figures = figures;
        self
    }
}

const fn row(kind: Kind, propose: fn(&Features, &mut Vec<Candidate>)) -> Grammar {
    Grammar {
        kind: Some(kind),
        propose,
        detail: as_found,
        moments: &[],
        figures: &[],
    }
}

/// The decoder's bounds and nothing else.
fn as_found(case: &Case) -> Maneuver {
    Sheet::new(case.span).finish()
}

/// The row of a kind.
#[must_use]
pub fn grammar(kind: Kind) -> Option<&'static Grammar> {
    TABLE.iter().find(|grammar| grammar.kind == Some(kind))
}

/// Every kind, and last the look-alikes of ordinary flying.
pub const TABLE: &[Grammar] = &[
    clearing_turns::ROW,
    slow_flight::ROW,
    steep_turn::ROW,
    power_off_stall::ROW,
    power_on_stall::ROW,
    accelerated_stall::ROW,
    chandelle::ROW,
    lazy_eight::ROW,
    steep_spiral::ROW,
    eights_on_pylons::ROW,
    turns_around_a_point::ROW,
    s_turns::ROW,
    rectangular_course::ROW,
    emergency_descent::ROW,
    engine_out_approach::ROW,
    unusual_attitude_recovery::ROW,
    takeoff::ROW,
    landing::ROW,
    go_around::ROW,
    power_off_180::ROW,
    forward_slip::ROW,
    traffic_pattern::ROW,
    basic_instrument::STRAIGHT,
    basic_instrument::CLIMB,
    basic_instrument::DESCENT,
    basic_instrument::TURN,
    fillers::ROW,
];

/// Everything that every kind proposes.
#[must_use]
pub fn proposals(features: &Features) -> Vec<Candidate> {
    let mut all = Vec::new();
    for grammar in TABLE {
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
