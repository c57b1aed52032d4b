//! From a span to a worked-out maneuver: exact bounds, phases, events and figures.
//!
//! The decoder says *what* was flown and about when; this stage looks again at that stretch, with the
//! definitions of each kind, and says when each thing happened, how sure that is, and how large the
//! figures are that the published standards ask for. SI and radians throughout; right and nose-up positive.

pub mod circle;
pub mod clearing_turns;
pub mod entry;
pub mod field;
pub mod flaps;
pub mod given;
pub mod ground;
pub mod line;
pub mod motion;
pub mod needed_bank;
pub mod pivotal;
pub mod point;
pub mod power;
pub mod pylons;
pub mod runway;
pub mod sheet;
pub mod slow_flight;
pub mod solve;
pub mod steep_turn;
pub mod turn;
pub mod turn_blocks;
pub mod turning;
pub mod wave;

pub use given::Given;

use crate::kinds::{Case, grammar};
use crate::{Maneuver, Span};
use aircraft::Aircraft;
use flight::Flight;

/// Works out one maneuver. `others` are the other spans of the flight, so that its bounds do not reach into
/// a neighbor. A kind without its own phases keeps the decoder's bounds.
#[must_use]
pub fn detail(flight: &Flight, aircraft: &Aircraft, span: &Span, others: &[Span]) -> Maneuver {
    detail_about(flight, aircraft, (span, others), None)
}

/// The same about a point, a line, pylons or corners that a person gave; kinds without such a thing do not look at it.
#[must_use]
pub fn detail_about(
    flight: &Flight,
    aircraft: &Aircraft,
    (span, others): (&Span, &[Span]),
    given: Option<&Given>,
) -> Maneuver {
    let sound = span.start_s.is_finite() && span.end_s.is_finite() && span.start_s < span.end_s;
    let last_s = flight.clock.time_s(flight.clock.len.saturating_sub(1));
    if flight.clock.len < 2 || !sound || span.end_s < 0.0 || span.start_s > last_s {
        return sheet::Sheet::new(span).finish();
    }
    let case = Case {
        flight,
        aircraft,
        span,
        others,
        given,
    };
    grammar(span.kind).map_or_else(
        || sheet::Sheet::new(span).finish(),
        |grammar| (grammar.detail)(&case),
    )
}
