//! The whole flight in pieces that meet: maneuvers, and between them the legs. Nothing is left over and nothing is
//! counted twice, whatever a person corrected.

use super::Leg;
use crate::features::Features;
use crate::{Direction, Maneuver};

/// A piece of the flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tile {
    /// Start, s: the end of the piece before.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// What it is.
    pub what: Piece,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// The maneuver at this place of the list.
    Maneuver(usize),
    /// Ordinary flying, by name and side; see [`Leg::name`].
    Leg(&'static str, Direction),
}

/// Shorter pieces of a leg go to the leg beside them, s.
const SLIVER_S: f64 = 2.0;

/// Legs over the whole flight: those that were found between maneuvers, and what the stretches of the maneuvers
/// would be without them, for the day that a person moves or removes one.
pub(crate) fn beneath(features: &Features, legs: &[Leg]) -> Vec<Leg> {
    let plain = super::legs(features, &[]);
    let mut all = legs.to_vec();
    let mut from_s = 0.0;
    for leg in legs {
        all.extend(cut(&plain, from_s, leg.start_s));
        from_s = leg.end_s;
    }
    all.extend(cut(&plain, from_s, features.end_s()));
    all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    all
}

/// Parts of legs between two times.
fn cut(legs: &[Leg], from_s: f64, to_s: f64) -> Vec<Leg> {
    let inside = legs.iter().map(|leg| Leg {
        start_s: leg.start_s.max(from_s),
        end_s: leg.end_s.min(to_s),
        ..*leg
    });
    inside.filter(|leg| leg.end_s > leg.start_s).collect()
}

/// The flight from 0 to `end_s`, cut: each moment belongs to the shortest maneuver that covers it, else to its leg.
/// `legs` are those of the whole flight. An end that is no positive number gives nothing.
#[must_use]
pub fn tiles(end_s: f64, maneuvers: &[Maneuver], legs: &[Leg]) -> Vec<Tile> {
    if !end_s.is_finite() || end_s <= 0.0 {
        return Vec::new();
    }
    let mut bounds: Vec<f64> = maneuvers
        .iter()
        .flat_map(|maneuver| [maneuver.start_s, maneuver.end_s])
        .chain([0.0, end_s])
        .filter(|at| (0.0..=end_s).contains(at))
        .collect();
    bounds.sort_by(f64::total_cmp);
    bounds.dedup();
    let mut tiles: Vec<Tile> = Vec::new();
    let mut gap_from_s = 0.0;
    for pair in bounds.windows(2) {
        let &[start_s, to_s] = pair else { continue };
        let Some(place) = shortest_over(maneuvers, 0.5 * (start_s + to_s)) else {
            continue;
        };
        fill(&mut tiles, legs, gap_from_s, start_s);
        gap_from_s = to_s;
        push(&mut tiles, start_s, to_s, Piece::Maneuver(place));
    }
    fill(&mut tiles, legs, gap_from_s, end_s);
    tiles
}

/// The shortest maneuver over a moment: a landing within a pattern is told as a landing.
fn shortest_over(maneuvers: &[Maneuver], at_s: f64) -> Option<usize> {
    let over = maneuvers
        .iter()
        .enumerate()
        .filter(|(_, maneuver)| maneuver.start_s < at_s && at_s < maneuver.end_s);
    over.min_by(|a, b| {
        let length = |maneuver: &Maneuver| maneuver.end_s - maneuver.start_s;
        length(a.1).total_cmp(&length(b.1))
    })
    .map(|(place, _)| place)
}

/// Fills a gap with the legs that lie there, without hole or sliver.
fn fill(tiles: &mut Vec<Tile>, legs: &[Leg], from_s: f64, to_s: f64) {
    if to_s <= from_s {
        return;
    }
    let mut inside = cut(legs, from_s, to_s);
    if inside.iter().any(|leg| leg.end_s - leg.start_s >= SLIVER_S) {
        inside.retain(|leg| leg.end_s - leg.start_s >= SLIVER_S);
    } else {
        inside.truncate(1);
    }
    let mut at_s = from_s;
    for (place, leg) in inside.iter().enumerate() {
        // Each reaches to the next one.
        let end_s = inside.get(place + 1).map_or(to_s, |next| next.start_s);
        push(tiles, at_s, end_s, Piece::Leg(leg.name, leg.direction));
        at_s = end_s;
    }
    if inside.is_empty() {
        let unknown = Piece::Leg("not recorded", Direction::None);
        push(tiles, from_s, to_s, unknown);
    }
}

fn push(tiles: &mut Vec<Tile>, start_s: f64, end_s: f64, what: Piece) {
    match tiles.last_mut() {
        Some(last) if last.what == what && last.end_s == start_s => last.end_s = end_s,
        _ if end_s > start_s => tiles.push(Tile {
            start_s,
            end_s,
            what,
        }),
        _ => {}
    }
}
