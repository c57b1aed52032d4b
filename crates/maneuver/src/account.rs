//! Every second of the flight accounted for: what lies between the maneuvers, by name.
//!
//! Climbs, descents, turns to a heading and straight-and-level flight cannot be told from ordinary flying by
//! the recording alone: whether one of them was *set* as a task, only the lesson's plan knows. They are legs
//! here and never maneuvers of [`crate::find`].

mod tiles;

pub(crate) use tiles::beneath;
pub use tiles::{Piece, Tile, tiles};

use crate::decode::Candidate;
use crate::features::Features;
use crate::kinds::{deg, fpm};
use crate::{Direction, Kind, Span};

/// One leg of ordinary flying.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// What it would be if it had been set as a task; `None` on the ground, in holes of the recording and
    /// for named look-alikes.
    pub kind: Option<Kind>,
    /// For people: `turn`, `climb`, `descent`, `level`, `on the ground`, `not recorded`, `zoom climb`, …; in a circuit
    /// `upwind`, `crosswind`, `downwind`, `base`, `final`.
    pub name: &'static str,
    /// Which way.
    pub direction: Direction,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// The whole flight: maneuvers and the legs between them, together without gap or overlap.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// Maneuvers in order.
    pub spans: Vec<Span>,
    /// Legs in order.
    pub legs: Vec<Leg>,
}

/// Shorter pieces go to their neighbor, s.
const LEAST_S: f64 = 4.0;

/// The legs between chosen segments.
pub(crate) fn legs(features: &Features, chosen: &[Candidate]) -> Vec<Leg> {
    let mut legs = Vec::new();
    let mut from_s = 0.0;
    for segment in chosen {
        fill(features, from_s, segment.start_s, &mut legs);
        if let crate::decode::Label::Filler(name) = segment.label {
            let (start_s, end_s) = (segment.start_s, segment.end_s);
            legs.push(Leg {
                kind: None,
                name,
                direction: Direction::None,
                start_s,
                end_s,
            });
        }
        from_s = segment.end_s;
    }
    fill(features, from_s, features.end_s(), &mut legs);
    circuits(features, chosen, &mut legs);
    legs
}

/// The longest way from the end of a takeoff to the approach that is still a circuit, s: a wide pattern at 70 kt with
/// an extended downwind takes three or four minutes (common practice, no source).
const CIRCUIT_S: f64 = 360.0;

/// Between a takeoff and the landing or go-around that follows it, the straight legs get their names of the
/// traffic pattern (FAA-H-8083-3C, chapter 8).
fn circuits(features: &Features, chosen: &[Candidate], legs: &mut [Leg]) {
    for pair in chosen.windows(2) {
        let [out, back] = pair else { continue };
        let arrives = matches!(
            back.kind(),
            Some(Kind::Landing | Kind::PowerOff180 | Kind::GoAround)
        );
        let gap_s = back.start_s - out.end_s;
        let Some(off_s) = out.anchor_s.filter(|_| out.kind() == Some(Kind::Takeoff)) else {
            continue;
        };
        if arrives && gap_s > 0.0 && gap_s < CIRCUIT_S {
            let course = features.at(&features.heading, off_s);
            let from = legs.partition_point(|leg| leg.start_s < out.end_s - 1e-6);
            let to = legs.partition_point(|leg| leg.start_s < back.start_s - 1e-6);
            circuit(features, course, legs.get_mut(from..to).unwrap_or_default());
        }
    }
}

/// Names the legs of one circuit by their direction against the runway; without a downwind it is none.
fn circuit(features: &Features, course_rad: f64, legs: &mut [Leg]) {
    let off = |leg: &Leg| {
        let heading = features.at(&features.heading, 0.5 * (leg.start_s + leg.end_s));
        air::units::wrap_pi(heading - course_rad).abs()
    };
    let straight = |leg: &Leg| {
        leg.direction == Direction::Straight && leg.kind.is_some() && off(leg).is_finite()
    };
    if !legs
        .iter()
        .any(|leg| straight(leg) && off(leg) > deg(135.0))
    {
        return;
    }
    let mut past_downwind = false;
    for leg in legs {
        if !straight(leg) {
            continue;
        }
        let off = off(leg);
        leg.name = if off > deg(135.0) {
            past_downwind = true;
            "downwind"
        } else if off > deg(45.0) {
            if past_downwind { "base" } else { "crosswind" }
        } else if past_downwind {
            "final"
        } else {
            "upwind"
        };
    }
}

/// Cuts a gap at its turns; what is left goes by its climb rate.
fn fill(features: &Features, from_s: f64, to_s: f64, legs: &mut Vec<Leg>) {
    let mut at_s = from_s;
    for turn in &features.turns {
        let (start_s, end_s) = (turn.start_s.max(at_s), turn.end_s.min(to_s));
        if end_s - start_s < LEAST_S || turn.turned_rad.abs() < deg(25.0) {
            continue;
        }
        straight(features, at_s, start_s, legs);
        let (kind, name) = (Some(Kind::TurnToHeading), "turn");
        legs.push(Leg {
            kind,
            name,
            direction: crate::kinds::side(turn.turned_rad),
            start_s,
            end_s,
        });
        at_s = end_s;
    }
    straight(features, at_s, to_s, legs);
}

/// Cuts a straight piece where climb, level and descent change, by the mean of 8 s.
fn straight(features: &Features, from_s: f64, to_s: f64, legs: &mut Vec<Leg>) {
    let mut t = from_s;
    while t < to_s {
        let end_s = if to_s - t < 12.0 { to_s } else { t + 8.0 };
        let (kind, name) = name(features, t, end_s);
        match legs.last_mut() {
            Some(last) if last.name == name && last.end_s == t => last.end_s = end_s,
            Some(last) if end_s - t < LEAST_S && last.end_s == t => last.end_s = end_s,
            _ => legs.push(Leg {
                kind,
                name,
                direction: Direction::Straight,
                start_s: t,
                end_s,
            }),
        }
        t = end_s;
    }
}

fn name(features: &Features, from_s: f64, to_s: f64) -> (Option<Kind>, &'static str) {
    let window = features.window(from_s, to_s);
    let inside = window.from..(window.to + 1).min(features.len);
    let ground = features
        .on_ground
        .get(inside)
        .unwrap_or(&[])
        .iter()
        .filter(|g| **g)
        .count();
    if window.unknown() > 0.5 {
        return (None, "not recorded");
    }
    if ground * 2 > window.to - window.from + 1 {
        return (None, "on the ground");
    }
    let climb = window.mean_climb();
    if climb > fpm(200.0) {
        (Some(Kind::ConstantAirspeedClimb), "climb")
    } else if climb < -fpm(200.0) {
        (Some(Kind::ConstantAirspeedDescent), "descent")
    } else {
        (Some(Kind::StraightAndLevel), "level")
    }
}
