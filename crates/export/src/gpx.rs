//! GPX 1.1: the path as one track, a segment for each unbroken stretch, a waypoint where each maneuver
//! begins. Schema: `http://www.topografix.com/GPX/1/1/gpx.xsd` (2004); its elements stand in its order.
//!
//! Speed and course are no part of GPX 1.1's points; they stand in `extensions`, in a namespace of their own.

use std::fmt::Write as _;

use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;

use crate::path::{Point, stretches};
use crate::xml::escaped;

/// Namespace of the two extensions.
const EXTENSIONS: &str = "urn:proofwing:gpx:1";

pub(crate) fn write(flight: &Flight, debrief: &Debrief) -> String {
    let stretches = stretches(flight, f64::NEG_INFINITY, f64::INFINITY);
    let mut out = String::new();
    out.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    // Writing to a String cannot fail, here and below.
    let _ = writeln!(
        out,
        "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:p=\"{EXTENSIONS}\" \
         xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" \
         xsi:schemaLocation=\"http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd\" \
         version=\"1.1\" creator=\"Proofwing\">"
    );
    metadata(&mut out, flight, debrief, &stretches);
    for maneuver in &debrief.maneuvers {
        waypoint(&mut out, flight, maneuver);
    }
    if !stretches.is_empty() {
        let _ = writeln!(out, "<trk>\n<name>{}</name>", escaped(&flight.name));
        for stretch in &stretches {
            out.push_str("<trkseg>\n");
            for point in stretch {
                track_point(&mut out, flight, point);
            }
            out.push_str("</trkseg>\n");
        }
        out.push_str("</trk>\n");
    }
    out.push_str("</gpx>\n");
    out
}

fn metadata(out: &mut String, flight: &Flight, debrief: &Debrief, stretches: &[Vec<Point>]) {
    let _ = write!(
        out,
        "<metadata>\n<name>{}</name>\n<desc>{}</desc>\n",
        escaped(&flight.name),
        escaped(&debrief.caution),
    );
    let mut edges = [
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    ];
    for point in stretches.iter().flatten() {
        let (latitude, longitude) = (point.place.latitude_deg, point.place.longitude_deg);
        edges = [
            edges[0].min(latitude),
            edges[1].min(longitude),
            edges[2].max(latitude),
            edges[3].max(longitude),
        ];
    }
    if edges.iter().all(|edge| edge.is_finite()) {
        let [south, west, north, east] = edges;
        let _ = writeln!(
            out,
            "<bounds minlat=\"{south:.7}\" minlon=\"{west:.7}\" maxlat=\"{north:.7}\" maxlon=\"{east:.7}\"/>"
        );
    }
    out.push_str("</metadata>\n");
}

/// Where a maneuver begins, or the first known place in it.
fn waypoint(out: &mut String, flight: &Flight, maneuver: &ManeuverDebrief) {
    let stretches = stretches(flight, maneuver.start_s, maneuver.end_s);
    let Some(point) = stretches.first().and_then(|stretch| stretch.first()) else {
        return;
    };
    open(out, "wpt", point);
    let title = format!("{}. {}", maneuver.number, maneuver.title);
    let _ = writeln!(out, "<name>{}</name>", escaped(&title));
    if !maneuver.verdict_line.is_empty() {
        let _ = writeln!(out, "<desc>{}</desc>", escaped(&maneuver.verdict_line));
    }
    let _ = writeln!(out, "<type>{}</type>\n</wpt>", escaped(&maneuver.kind));
}

fn track_point(out: &mut String, flight: &Flight, point: &Point) {
    open(out, "trkpt", point);
    let known = |series: &Option<flight::Series>| {
        let value = series.as_ref()?.at(point.index);
        value.is_finite().then_some(value)
    };
    let speed = known(&flight.ground_speed).map(|speed| speed.max(0.0));
    let course = known(&flight.track).map(|track| air::units::wrap_tau(track).to_degrees());
    if speed.is_some() || course.is_some() {
        out.push_str("<extensions>");
        if let Some(speed) = speed {
            let _ = write!(out, "<p:speed>{speed:.3}</p:speed>");
        }
        if let Some(course) = course {
            let _ = write!(out, "<p:course>{course:.2}</p:course>");
        }
        out.push_str("</extensions>");
    }
    out.push_str("</trkpt>\n");
}

fn open(out: &mut String, name: &str, point: &Point) {
    let _ = write!(
        out,
        "<{name} lat=\"{:.8}\" lon=\"{:.8}\">",
        point.place.latitude_deg, point.place.longitude_deg
    );
    if let Some(elevation) = point.elevation_m {
        let _ = write!(out, "<ele>{elevation:.2}</ele>");
    }
    if let Some(time) = &point.time {
        let _ = write!(out, "<time>{time}</time>");
    }
}
