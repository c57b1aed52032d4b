//! What could have hurt, in words: first on every page.

use crate::convert::{self, tidy};
use crate::document::{NotWatchedDebrief, SafetyDebrief};
use crate::words::{exact, number, sentence, side, suffix, with_sigma, with_unit};
use maneuver::Fact;
use maneuver::safety::{NotWatched, Safety, SafetyEvent};

/// How a kind of event is told.
struct Row {
    id: &'static str,
    /// Short headline, without a full stop.
    headline: &'static str,
    /// What is measured.
    quantity: &'static str,
    /// What the limit is called.
    limit: &'static str,
    /// `above` or `below`.
    way: &'static str,
}

const fn row(
    id: &'static str,
    headline: &'static str,
    quantity: &'static str,
    way: &'static str,
    limit: &'static str,
) -> Row {
    Row {
        id,
        headline,
        quantity,
        limit,
        way,
    }
}

const ROWS: [Row; 16] = [
    row(
        "spin_entry",
        "The start of a spin",
        "the nose swung within 3 s by",
        "above",
        "what a wing that flies can turn",
    ),
    row(
        "load_above_limit",
        "Load factor above the limit of the structure",
        "load factor",
        "above",
        "the limit",
    ),
    row(
        "load_below_limit",
        "Negative load beyond the limit of the structure",
        "load factor",
        "below",
        "the limit",
    ),
    row("above_vne", "Faster than VNE", "airspeed", "above", "VNE"),
    row(
        "slow_turn_low",
        "A slow turn near the ground",
        "airspeed",
        "below",
        "1.2 of the stall speed at that bank",
    ),
    row(
        "sink_near_ground",
        "Sinking fast near the ground",
        "sink",
        "above",
        "the usual limit below 500 ft",
    ),
    row(
        "slow_on_final",
        "A slow approach was continued",
        "airspeed",
        "below",
        "1.15 of the stall speed",
    ),
    row(
        "banked_on_final",
        "A steep turn on short final was continued",
        "bank",
        "above",
        "the usual limit below 300 ft",
    ),
    row(
        "fast_on_final",
        "A fast approach was continued",
        "airspeed",
        "above",
        "the approach speed and 20 kt",
    ),
    row(
        "below_minimum_height",
        "Flown below its least height",
        "lowest height above ground",
        "below",
        "the least for this maneuver",
    ),
    row(
        "full_deflection_above_va",
        "A control at its stop above VA",
        "airspeed",
        "above",
        "VA",
    ),
    row(
        "flaps_above_vfe",
        "Flaps out above their limit speed",
        "airspeed",
        "above",
        "the limit of that setting",
    ),
    row(
        "bank_beyond_60",
        "Bank beyond 60°",
        "bank",
        "above",
        "the angle of the parachute rule",
    ),
    row(
        "pitch_above_30",
        "Nose more than 30° up",
        "pitch up",
        "above",
        "the angle of the parachute rule",
    ),
    row(
        "pitch_below_minus_30",
        "Nose more than 30° down",
        "pitch down",
        "above",
        "the angle of the parachute rule",
    ),
    row(
        "above_vno_in_rough_air",
        "Faster than VNO in rough air",
        "airspeed",
        "above",
        "VNO",
    ),
];

fn row_of(id: &str) -> Option<&'static Row> {
    ROWS.iter().find(|row| row.id == id)
}

/// Events for the document, and what was not watched.
pub(crate) fn safety(found: &Safety) -> (Vec<SafetyDebrief>, Vec<NotWatchedDebrief>) {
    let events = found.events.iter().filter_map(event).collect();
    let not_watched = found.not_watched.iter().map(not_watched).collect();
    (events, not_watched)
}

fn not_watched(one: &NotWatched) -> NotWatchedDebrief {
    NotWatchedDebrief {
        id: one.id.to_owned(),
        headline: row_of(one.id).map_or(one.id, |row| row.headline).to_owned(),
        why: one.why.to_owned(),
    }
}

fn event(event: &SafetyEvent) -> Option<SafetyDebrief> {
    let row = row_of(event.id)?;
    let (_, value) = convert::fact(event.id, &event.value)?;
    let limit = Fact {
        value: event.limit,
        ..event.value
    };
    let limit = convert::fact(event.id, &limit)?.1.value;
    let seconds = event.end_s - event.start_s;
    // An angle is told without its sign and with its side.
    let angle = value.unit == "deg";
    let (shown, least) = if angle {
        (value.value.abs(), limit.abs())
    } else {
        (value.value, limit)
    };
    let sided = matches!(
        event.id,
        "bank_beyond_60" | "banked_on_final" | "spin_entry"
    );
    let side = if sided {
        format!(" {}", side(value.value))
    } else {
        String::new()
    };
    let sigma = value.sigma.unwrap_or(f64::NAN);
    let lasted = if seconds >= 0.5 && event.id != "spin_entry" {
        format!(", for {}", with_unit(seconds, 1.0, "s"))
    } else {
        String::new()
    };
    // A limit that was worked out is no rounder than the measurement; a published one is exact.
    let whole = (least - least.round()).abs() < 1e-3;
    let limit_words = if whole {
        exact(least.round(), &value.unit)
    } else if value.unit == "g" {
        exact((least * 100.0).round() / 100.0, "g")
    } else {
        format!("{}{}", number(least, 1.0), suffix(&value.unit))
    };
    let doubt = if event.sure {
        ""
    } else {
        "; probably so, the measurement leaves doubt"
    };
    let words = sentence(&format!(
        "{} {}{side}, {} {} ({limit_words}){lasted}{doubt}",
        row.quantity,
        with_sigma(shown, sigma, &value.unit),
        row.way,
        row.limit,
    ));
    Some(SafetyDebrief {
        id: event.id.to_owned(),
        headline: row.headline.to_owned(),
        words,
        sure: event.sure,
        start_s: tidy(event.start_s),
        end_s: tidy(event.end_s),
        at_s: tidy(event.at_s),
        value,
        limit,
        limit_origin: event.limit_origin.id().to_owned(),
        source: event.source.to_owned(),
        maneuver: event.maneuver.map(|place| place + 1),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_every_kind_of_event_has_words() {
        let ids: Vec<&str> = maneuver::safety::ids().collect();
        assert!(ids.iter().all(|id| row_of(id).is_some()), "{ids:?}");
        assert_eq!(ids.len(), ROWS.len());
    }
}
