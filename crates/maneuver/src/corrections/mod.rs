//! A person's corrections of what was recognized: this was another kind, it began earlier, it is missing,
//! it was none. The person's word is final; see `docs/corrections.md`.
//!
//! [`apply`] takes the maneuvers that the program found and gives those that stand. Nothing is searched
//! anew: what a person did not touch stays as it was found, to the last digit.

mod direction;
mod room;

use crate::{Agreement, Bounds, Direction, Kind, Maneuver, SetBy, Span, phases};
use aircraft::Aircraft;
use flight::Flight;
use serde::{Deserialize, Serialize};

/// Shorter than this nothing is a maneuver, s: the shortest kinds (a recovery, a stall's break and its
/// recovery) take longer, and what a neighbor leaves of one is no longer that maneuver.
pub const LEAST_S: f64 = 5.0;

/// Overlap with which a maneuver is the one that a correction means, as a share of the shorter of the two.
const SAME: f64 = 0.5;

/// One correction. As JSON `{"do": "set", "was": …, "kind": …, "direction": …, "start_s": …, "end_s": …}` or
/// `{"do": "remove", "was": …}`.
///
/// ```
/// let text = r#"{"do":"set","was":null,"kind":"steep_turn","direction":"left","start_s":100,"end_s":140}"#;
/// let correction: maneuver::Correction = serde_json::from_str(text)?;
/// assert!(matches!(correction, maneuver::Correction::Set { was: None, .. }));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
pub enum Correction {
    /// A maneuver is of this kind and lies here.
    Set {
        /// The maneuver that it replaces; none = it was not found at all.
        #[serde(default)]
        was: Option<Was>,
        /// Kind.
        kind: Kind,
        /// Which way; none = as the flight shows.
        #[serde(default)]
        direction: Option<Direction>,
        /// Start, s from the recording's first sample.
        start_s: f64,
        /// End, s.
        end_s: f64,
    },
    /// There was no such maneuver.
    Remove {
        /// The maneuver that goes.
        was: Was,
    },
}

/// The maneuver that a correction speaks of: the one of this kind with the greatest overlap.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Was {
    /// Kind.
    pub kind: Kind,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// What became of one correction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Done as asked.
    Applied,
    /// What it was to replace is not there; the person's maneuver stands all the same.
    Added,
    /// What it was to remove is not there; nothing was done.
    NoMatch,
    /// Start and end are no span within the flight; nothing was done.
    OutsideFlight,
    /// Less than [`LEAST_S`]; nothing was done.
    TooShort,
}

impl Outcome {
    /// Whether the correction did anything.
    #[must_use]
    pub fn took_hold(self) -> bool {
        matches!(self, Outcome::Applied | Outcome::Added)
    }

    /// For people: what is wrong and how to mend it; empty when nothing is.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Applied => "",
            Outcome::Added => {
                "the maneuver that this was to replace is not there now; yours was added"
            }
            Outcome::NoMatch => {
                "the maneuver that this was to remove is not there; look at the list again"
            }
            Outcome::OutsideFlight => {
                "start and end do not lie within the flight; set the start before the end, both within it"
            }
            Outcome::TooShort => "this is shorter than 5 s; set start and end further apart",
        }
    }
}

/// The maneuvers that stand, and what became of each correction.
#[derive(Clone, Debug)]
pub struct Corrected {
    /// In order of time.
    pub maneuvers: Vec<Maneuver>,
    /// One for each correction, in their order.
    pub outcomes: Vec<Outcome>,
}

/// Applies corrections in their order, each to what those before it left.
///
/// A span that a person sets wins over what it overlaps: a neighbor is trimmed, and dropped when less than
/// [`LEAST_S`] of it remain or when it was a stall and its break now belongs to the person's span. Phases,
/// events and figures of every maneuver with new bounds are worked out anew, within them and nowhere else.
/// A maneuver that shows nothing of its kind is still given, with the parts that are there.
#[must_use]
pub fn apply(
    flight: &Flight,
    aircraft: &Aircraft,
    found: &[Maneuver],
    corrections: &[Correction],
) -> Corrected {
    let mut maneuvers = found.to_vec();
    let outcomes = corrections
        .iter()
        .map(|correction| match correction {
            Correction::Remove { was } => remove(&mut maneuvers, was),
            Correction::Set {
                was,
                kind,
                direction,
                start_s,
                end_s,
            } => {
                let asked = (*kind, *direction);
                set(
                    flight,
                    aircraft,
                    &mut maneuvers,
                    was.as_ref(),
                    asked,
                    (*start_s, *end_s),
                )
            }
        })
        .collect();
    Corrected {
        maneuvers,
        outcomes,
    }
}

fn remove(maneuvers: &mut Vec<Maneuver>, was: &Was) -> Outcome {
    match meant(maneuvers, was) {
        Some(index) => {
            maneuvers.remove(index);
            Outcome::Applied
        }
        None => Outcome::NoMatch,
    }
}

fn set(
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &mut Vec<Maneuver>,
    was: Option<&Was>,
    (kind, direction): (Kind, Option<Direction>),
    (start_s, end_s): (f64, f64),
) -> Outcome {
    let Some((start_s, end_s)) = room::within(flight, start_s, end_s) else {
        return Outcome::OutsideFlight;
    };
    if end_s - start_s < LEAST_S {
        return Outcome::TooShort;
    }
    let index = was.and_then(|was| meant(maneuvers, was));
    // The moment that the program saw, if it still lies within: it is surer than looking for it again.
    let old = index.map(|index| maneuvers.remove(index));
    let seen = old
        .iter()
        .chain(maneuvers.iter())
        .find_map(|maneuver| room::moment(maneuver).filter(|at| (start_s..=end_s).contains(at)));
    let anchor_s = seen.filter(|_| room::is_stall(kind));
    room::make(flight, aircraft, maneuvers, start_s, end_s);
    let span = Span {
        kind,
        direction: direction
            .unwrap_or_else(|| direction::of(flight, kind, (start_s, end_s), anchor_s)),
        start_s,
        end_s,
        score: 0.0,
        agreement: Agreement::Unasked,
        anchor_s,
        bounds: Bounds::Given,
    };
    let mut maneuver = phases::detail(flight, aircraft, &span, &[]);
    maneuver.direction = direction.unwrap_or(maneuver.direction);
    maneuver.confidence = 1.0;
    maneuver.set_by = SetBy::Person;
    maneuvers.push(maneuver);
    maneuvers.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    match (was, index) {
        (Some(_), None) => Outcome::Added,
        _ => Outcome::Applied,
    }
}

/// The maneuver that is meant: same kind, greatest share in common, at least half of the shorter.
fn meant(maneuvers: &[Maneuver], was: &Was) -> Option<usize> {
    let share = |maneuver: &Maneuver| {
        let common = maneuver.end_s.min(was.end_s) - maneuver.start_s.max(was.start_s);
        let shorter = (maneuver.end_s - maneuver.start_s).min(was.end_s - was.start_s);
        let whole = maneuver.end_s.max(was.end_s) - maneuver.start_s.min(was.start_s);
        (common > 0.0 && common >= SAME * shorter && whole > 0.0).then(|| common / whole)
    };
    maneuvers
        .iter()
        .enumerate()
        .filter(|(_, maneuver)| maneuver.kind == was.kind)
        .filter_map(|(index, maneuver)| Some((index, share(maneuver)?)))
        // Of two alike the first: `max_by` would take the last.
        .rev()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(index, _)| index)
}
