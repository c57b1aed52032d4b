//! What Parquet's own types cannot say, as JSON for its key-value metadata.

use debrief::Debrief;
use flight::Flight;
use serde_json::{Map, Value, json};

use crate::column::{Column, Spread, origin_id};
use crate::{place, time};

/// Schema id of the file.
const SCHEMA: &str = "proofwing/flight/1";

/// The flight as a whole.
pub(super) fn flight(flight: &Flight, debrief: &Debrief) -> String {
    let origin = place::Places::of(flight).map(|_| {
        json!({
            "latitude_deg": flight.origin_latitude_rad.to_degrees(),
            "longitude_deg": flight.origin_longitude_rad.to_degrees(),
        })
    });
    json!({
        "schema": SCHEMA,
        "program": debrief.program,
        "caution": debrief.caution,
        "recording": flight.name,
        "start_utc": flight.start_unix_s.and_then(time::utc),
        "step_s": flight.clock.step_s,
        "origin": origin,
        "variation_deg": flight.variation_rad.to_degrees(),
        "aircraft": debrief.aircraft.name,
        "standard": debrief.standard.id,
    })
    .to_string()
}

/// Every column by its name.
pub(super) fn columns(columns: &[Column<'_>]) -> String {
    let mut all: Map<String, Value> = columns
        .iter()
        .flat_map(|column| {
            let id = column.table_id();
            let sigma_id = column.varies().then(|| format!("{id}_sigma"));
            let constant = match column.spread {
                Spread::Constant(sigma) if sigma.is_finite() => Some(sigma),
                _ => None,
            };
            let own = (
                id.to_owned(),
                json!({
                    "title": column.title,
                    "unit": column.unit.word(),
                    "origin": origin_id(column.origin),
                    "sigma": constant,
                    "sigma_column": sigma_id,
                }),
            );
            let sigma = sigma_id.map(|name| {
                let title = format!("1-σ of {id}");
                (
                    name,
                    json!({"title": title, "unit": column.unit.word(), "origin": "derived"}),
                )
            });
            std::iter::once(own).chain(sigma)
        })
        .collect();
    let plain = [
        ("time_s", "Seconds since the first sample", "s"),
        ("utc", "Time, UTC", "ms since 1970"),
        ("latitude_deg", "Latitude, WGS-84", "deg"),
        ("longitude_deg", "Longitude, WGS-84", "deg"),
        ("maneuver", "Number of the maneuver in the debrief", "1"),
        ("maneuver_kind", "Kind of the maneuver", "id"),
        ("phase", "Phase of the maneuver", "id"),
    ];
    for (name, title, unit) in plain {
        all.insert(
            name.to_owned(),
            json!({"title": title, "unit": unit, "origin": "derived"}),
        );
    }
    Value::Object(all).to_string()
}
