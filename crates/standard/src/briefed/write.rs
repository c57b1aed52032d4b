//! Writing the file. Ids and numbers only: nothing needs escaping.

use super::{Asked, Briefed, LatLon};
use std::fmt::Write as _;

pub(super) fn toml(briefed: &Briefed) -> String {
    let mut text = String::new();
    if let Some(recovery) = briefed.recovery {
        line(&mut text, "recovery", Some(quoted(recovery.id())));
    }
    for runway in &briefed.runways {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str("[[runway]]\n");
        line(&mut text, "from", Some(pair(runway.from)));
        line(&mut text, "to", Some(pair(runway.to)));
        line(&mut text, "elevation_ft", runway.elevation_ft);
    }
    for entry in &briefed.entries {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str("[[maneuver]]\n");
        asked(&mut text, entry);
    }
    text
}

fn asked(text: &mut String, entry: &Asked) {
    line(text, "kind", entry.kind.map(|kind| quoted(kind.id())));
    line(text, "number", entry.number);
    line(text, "nth", entry.nth);
    line(text, "at_s", entry.at_s);
    line(text, "variant", entry.variant.map(quoted));
    let recovery = entry.recovery.map(|recovery| quoted(recovery.id()));
    line(text, "recovery", recovery);
    line(text, "bank_deg", entry.bank_deg);
    line(text, "heading_deg", entry.heading_deg);
    line(text, "speed_kias", entry.speed_kias);
    line(text, "altitude_ft", entry.altitude_ft);
    line(text, "point_ft", entry.point_ft);
    line(text, "point", entry.point.map(pair));
    line(text, "line", entry.line.map(list));
    line(text, "pylons", entry.pylons.map(list));
    line(text, "corners", entry.corners.map(list));
}

fn pair([latitude, longitude]: [f64; 2]) -> String {
    format!("[{latitude}, {longitude}]")
}

fn list<const N: usize>(places: [LatLon; N]) -> String {
    format!("[{}]", places.map(pair).join(", "))
}

fn quoted(id: &str) -> String {
    format!("\"{id}\"")
}

fn line(text: &mut String, key: &str, value: Option<impl std::fmt::Display>) {
    if let Some(value) = value {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{key} = {value}");
    }
}
