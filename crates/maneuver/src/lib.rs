//! From a [`flight::Flight`] to the maneuvers flown in it: kind, direction, phases, events, facts and
//! confidence.
//!
//! Two ways, independent of each other: the decoder ([`decode`]) explains the whole flight at once and is
//! the judge; the state machines of [`rules`] look for each kind alone and are the second opinion.

mod account;
mod confidence;
pub mod corrections;
pub mod decode;
pub mod features;
mod ids;
pub mod kinds;
mod model;
pub mod phases;
pub mod reference;
pub mod rules;
pub mod runway;
pub mod safety;
pub mod stall;
mod variants;

pub use account::{Explanation, Leg, Piece, Tile, tiles};
pub use confidence::confidence;
pub use corrections::Correction;
pub use model::*;
pub use reference::Reference;
pub use runway::Runway;
pub use variants::*;

use aircraft::Aircraft;
use features::Features;
use flight::Flight;

/// The maneuvers of a flight as spans: they do not overlap, and come in order of time.
#[must_use]
pub fn find(flight: &Flight, aircraft: &Aircraft) -> Vec<Span> {
    find_in(&Features::new(flight, aircraft))
}

/// The maneuvers of a flight with their phases, events and facts.
#[must_use]
pub fn maneuvers(flight: &Flight, aircraft: &Aircraft) -> Vec<Maneuver> {
    found(flight, aircraft).maneuvers
}

/// What was found in a flight.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Maneuvers with their phases, events and facts, in order of time.
    pub maneuvers: Vec<Maneuver>,
    /// Ordinary flying over the whole flight, under the maneuvers too; see [`tiles()`].
    pub legs: Vec<Leg>,
}

/// The maneuvers of a flight, and what lies between and under them.
#[must_use]
pub fn found(flight: &Flight, aircraft: &Aircraft) -> Found {
    let features = Features::new(flight, aircraft);
    let Explanation { spans, legs } = explain_in(&features);
    let detail = |span: &Span| Maneuver {
        confidence: confidence(span),
        agreement: span.agreement,
        ..phases::detail(flight, aircraft, span, &spans)
    };
    Found {
        maneuvers: spans.iter().map(detail).collect(),
        legs: account::beneath(&features, &legs),
    }
}

/// The same from features that are already there.
#[must_use]
pub fn find_in(features: &Features) -> Vec<Span> {
    explain_in(features).spans
}

/// The whole flight, every second of it: the maneuvers and what lies between them.
#[must_use]
pub fn explain(flight: &Flight, aircraft: &Aircraft) -> Explanation {
    explain_in(&Features::new(flight, aircraft))
}

fn explain_in(features: &Features) -> Explanation {
    let chosen = decode::best(kinds::proposals(features));
    let opinion = rules::opinions(features);
    let spans = chosen.iter().filter_map(|candidate| {
        let kind = candidate.kind()?;
        Some(Span {
            kind,
            direction: candidate.direction,
            start_s: candidate.start_s,
            end_s: candidate.end_s,
            score: candidate.score,
            agreement: rules::agreement(&opinion, candidate, kind),
            anchor_s: candidate.anchor_s,
            bounds: Bounds::Sought,
        })
    });
    Explanation {
        spans: spans.collect(),
        legs: account::legs(features, &chosen),
    }
}
