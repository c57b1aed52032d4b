//! JSON Schema of the parts of the record's values that the pipeline's crates define: what was briefed, corrections,
//! differences. The tests hold what is written here by hand against what those crates write and read.

use serde_json::{Map, Value, json};

/// JSON Schemas of what goes with the document and is no part of it: one difference between two debriefs, and what a
/// recovery is asked to be flown with.
#[must_use]
pub fn beside_the_document() -> [String; 2] {
    [
        schema_of::<debrief::Difference>(),
        schema_of::<debrief::WhatIfChange>(),
    ]
}

fn schema_of<T: schemars::JsonSchema>() -> String {
    let schema = schemars::generate::SchemaSettings::draft2020_12().into_generator();
    serde_json::to_string(&schema.into_root_schema_for::<T>()).unwrap_or_default()
}

/// Schemas of the types whose JSON is written by hand, so that nothing can derive them.
#[must_use]
pub fn hand_written() -> Map<String, Value> {
    let recovery = json!({
        "type": "string", "enum": ["full_stall", "first_indication"],
        "description": "Where a stall's recovery was to begin.",
    });
    let mut all = Map::new();
    all.insert("Recovery".to_owned(), recovery);
    all.insert("Asked".to_owned(), asked());
    all.insert("Briefed".to_owned(), briefed());
    all.insert("Runway".to_owned(), runway());
    all.insert("Was".to_owned(), was());
    all.insert("Correction".to_owned(), correction());
    all
}

fn asked() -> Value {
    json!({
        "type": "object",
        "description": "What was asked for in one maneuver, or in all of a kind.",
        "additionalProperties": false,
        "properties": {
            "kind": {"type": "string", "description": "The kind it is for; absent = any kind."},
            "number": {"type": "integer", "minimum": 1, "description": "Its number in the debrief, 1 = the first maneuver of the flight."},
            "nth": {"type": "integer", "minimum": 1, "description": "Which one of its kind, 1 = the first."},
            "at_s": {"type": "number", "description": "A time within it, s from the recording's first sample."},
            "variant": {"type": "string", "description": "The form that was asked for, e.g. short_field; plain = no particular one, whatever the recording shows."},
            "recovery": {"$ref": "#/components/schemas/Recovery"},
            "bank_deg": {"type": "number", "description": "Bank, degrees, unsigned."},
            "heading_deg": {"type": "number", "description": "Heading, degrees magnetic."},
            "speed_kias": {"type": "number", "description": "Airspeed, knots indicated."},
            "altitude_ft": {"type": "number", "description": "Altitude, feet by the altimeter."},
            "point_ft": {"type": "number", "description": "Where it was to touch down, feet beyond the runway's threshold."},
            "point": place("The point that turns were to be flown around: latitude and longitude, degrees."),
            "line": places(2, "Two places on the line that S-turns were to be flown across."),
            "pylons": places(2, "The two pylons, in any order."),
            "corners": places(4, "The corners of the field of a rectangular course, in order around it."),
        },
    })
}

fn place(words: &str) -> Value {
    json!({
        "type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2,
        "description": words,
    })
}

fn places(count: usize, words: &str) -> Value {
    json!({
        "type": "array", "items": place("Latitude and longitude, degrees, north and east positive."),
        "minItems": count, "maxItems": count, "description": words,
    })
}

fn briefed() -> Value {
    json!({
        "type": "object",
        "description": "Everything that was asked for on a flight (docs/briefed-file.md).",
        "additionalProperties": false,
        "properties": {
            "maneuver": {
                "type": "array", "items": {"$ref": "#/components/schemas/Asked"},
                "description": "What was asked for, one entry a maneuver or a kind.",
            },
            "recovery": {"$ref": "#/components/schemas/Recovery"},
            "runway": {
                "type": "array", "items": {"$ref": "#/components/schemas/Runway"},
                "description": "Runways that were used.",
            },
        },
    })
}

fn runway() -> Value {
    let end = json!({
        "type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2,
        "description": "One end: latitude and longitude, degrees, north and east positive.",
    });
    json!({
        "type": "object",
        "description": "A runway by its two ends; each landing shows which of them is its threshold.",
        "additionalProperties": false,
        "required": ["from", "to"],
        "properties": {
            "from": end,
            "to": end,
            "elevation_ft": {"type": "number", "description": "Feet above mean sea level."},
        },
    })
}

fn was() -> Value {
    json!({
        "type": "object",
        "description": "The maneuver that a correction speaks of: the one of this kind with the greatest overlap.",
        "additionalProperties": false,
        "required": ["kind", "start_s", "end_s"],
        "properties": {
            "kind": {"type": "string", "description": "Kind id."},
            "start_s": {"type": "number", "description": "Start, s from the recording's first sample."},
            "end_s": {"type": "number", "description": "End, s."},
        },
    })
}

fn correction() -> Value {
    json!({
        "description": "One correction of what was recognized (docs/corrections.md).",
        "oneOf": [
            {
                "type": "object",
                "description": "A maneuver is of this kind and lies here.",
                "additionalProperties": false,
                "required": ["do", "kind", "start_s", "end_s"],
                "properties": {
                    "do": {"type": "string", "enum": ["set"]},
                    "was": {
                        "oneOf": [{"type": "null"}, {"$ref": "#/components/schemas/Was"}],
                        "description": "The maneuver that it replaces; none = it was not found at all.",
                    },
                    "kind": {"type": "string", "description": "Kind id."},
                    "direction": {"type": ["string", "null"], "description": "Which way; none = as the flight shows."},
                    "start_s": {"type": "number", "description": "Start, s from the recording's first sample."},
                    "end_s": {"type": "number", "description": "End, s."},
                },
            },
            {
                "type": "object",
                "description": "There was no such maneuver.",
                "additionalProperties": false,
                "required": ["do", "was"],
                "properties": {
                    "do": {"type": "string", "enum": ["remove"]},
                    "was": {"$ref": "#/components/schemas/Was"},
                },
            },
        ],
    })
}
