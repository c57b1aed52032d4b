//! OGC KML 2.3 (OGC 12-007r2): the path as lines, the same with its times as a track, and a folder with a
//! line for every maneuver. Altitudes are absolute, m above mean sea level, as the standard takes them.
//!
//! Lines (`LineString`, `TimeSpan`) are what every reader of any KML draws. The timed track is the
//! standard's own `Track` in a `MultiTrack`, in the namespace of KML 2.3, for the readers that play it.

use std::fmt::Write as _;

use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;

use crate::path::{Point, instant, stretches};
use crate::xml::escaped;

/// The page's ink for the path and its blue for maneuvers (alpha, blue, green, red, as KML writes colors);
/// they differ in width too.
const STYLES: &str = "<Style id=\"path\"><LineStyle><color>ff26211c</color><width>2</width></LineStyle></Style>\n\
    <Style id=\"maneuver\"><LineStyle><color>ff774b1f</color><width>5</width></LineStyle></Style>\n";

pub(crate) fn write(flight: &Flight, debrief: &Debrief) -> String {
    let whole = stretches(flight, f64::NEG_INFINITY, f64::INFINITY);
    let mut out = String::new();
    out.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    // Writing to a String cannot fail, here and below.
    let _ = write!(
        out,
        "<kml xmlns=\"http://www.opengis.net/kml/2.3\" version=\"2.3\">\n<Document>\n<name>{}</name>\n\
         <description>{}</description>\n{STYLES}",
        escaped(&flight.name),
        escaped(&debrief.caution),
    );
    if !whole.is_empty() {
        out.push_str("<Placemark>\n<name>Path</name>\n");
        span(&mut out, flight, ends(&whole, flight));
        out.push_str("<styleUrl>#path</styleUrl>\n");
        lines(&mut out, &whole);
        out.push_str("</Placemark>\n");
        timed(&mut out, &whole);
    }
    out.push_str("<Folder>\n<name>Maneuvers</name>\n");
    for maneuver in &debrief.maneuvers {
        placemark(&mut out, flight, maneuver);
    }
    out.push_str("</Folder>\n</Document>\n</kml>\n");
    out
}

fn ends(stretches: &[Vec<Point>], flight: &Flight) -> (f64, f64) {
    let mut points = stretches.iter().flatten();
    let first = points.next().map_or(0, |point| point.index);
    let last = points.last().map_or(first, |point| point.index);
    (flight.clock.time_s(first), flight.clock.time_s(last))
}

fn placemark(out: &mut String, flight: &Flight, maneuver: &ManeuverDebrief) {
    let stretches = stretches(flight, maneuver.start_s, maneuver.end_s);
    let title = format!("{}. {}", maneuver.number, maneuver.title);
    let _ = writeln!(out, "<Placemark>\n<name>{}</name>", escaped(&title));
    let words = [&maneuver.verdict_line, &maneuver.change_line];
    let words: Vec<&str> = words
        .into_iter()
        .filter(|line| !line.is_empty())
        .map(String::as_str)
        .collect();
    if !words.is_empty() {
        let text = words.join("\n");
        let _ = writeln!(out, "<description>{}</description>", escaped(&text));
    }
    span(out, flight, (maneuver.start_s, maneuver.end_s));
    out.push_str("<styleUrl>#maneuver</styleUrl>\n");
    lines(out, &stretches);
    out.push_str("</Placemark>\n");
}

fn span(out: &mut String, flight: &Flight, (from_s, to_s): (f64, f64)) {
    if let (Some(begin), Some(end)) = (instant(flight, from_s), instant(flight, to_s)) {
        let _ = writeln!(
            out,
            "<TimeSpan><begin>{begin}</begin><end>{end}</end></TimeSpan>"
        );
    }
}

/// One line for each stretch; a line needs two points, a single fix is drawn as a point.
fn lines(out: &mut String, stretches: &[Vec<Point>]) {
    match stretches {
        [] => {}
        [one] => line(out, one),
        several => {
            out.push_str("<MultiGeometry>\n");
            for stretch in several {
                line(out, stretch);
            }
            out.push_str("</MultiGeometry>\n");
        }
    }
}

fn line(out: &mut String, stretch: &[Point]) {
    let points = drawn(stretch);
    let name = if points.len() > 1 {
        "LineString"
    } else {
        "Point"
    };
    let _ = write!(out, "<{name}>{}<coordinates>", mode(stretch));
    for (index, point) in points.iter().enumerate() {
        if index > 0 {
            out.push(' ');
        }
        position(out, point, ',');
    }
    let _ = writeln!(out, "</coordinates></{name}>");
}

/// The track with its times, where they are known: as many `when` as `coord`, in the same order.
fn timed(out: &mut String, stretches: &[Vec<Point>]) {
    if stretches.iter().flatten().any(|point| point.time.is_none()) {
        return;
    }
    out.push_str(
        "<Placemark>\n<name>Path with times</name>\n<styleUrl>#path</styleUrl>\n<MultiTrack>\n\
         <interpolate>0</interpolate>\n",
    );
    for stretch in stretches {
        let points = drawn(stretch);
        let _ = writeln!(out, "<Track>{}", mode(stretch));
        for point in &points {
            let _ = writeln!(
                out,
                "<when>{}</when>",
                point.time.as_deref().unwrap_or_default()
            );
        }
        for point in &points {
            out.push_str("<coord>");
            position(out, point, ' ');
            out.push_str("</coord>\n");
        }
        out.push_str("</Track>\n");
    }
    out.push_str("</MultiTrack>\n</Placemark>\n");
}

/// Whether any height of a stretch is known.
fn has_height(stretch: &[Point]) -> bool {
    stretch.iter().any(|point| point.elevation_m.is_some())
}

/// The points of a stretch that can be drawn: among heights, one without would fall to the sea.
fn drawn(stretch: &[Point]) -> Vec<&Point> {
    let height = has_height(stretch);
    let keep = |point: &&Point| point.elevation_m.is_some() == height;
    stretch.iter().filter(keep).collect()
}

/// Without any height the path lies on the ground.
fn mode(stretch: &[Point]) -> &'static str {
    if has_height(stretch) {
        "<altitudeMode>absolute</altitudeMode>"
    } else {
        "<altitudeMode>clampToGround</altitudeMode>"
    }
}

fn position(out: &mut String, point: &Point, separator: char) {
    let _ = write!(
        out,
        "{:.7}{separator}{:.7}",
        point.place.longitude_deg, point.place.latitude_deg
    );
    if let Some(elevation) = point.elevation_m {
        let _ = write!(out, "{separator}{elevation:.2}");
    }
}
