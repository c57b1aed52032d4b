//! GPX 1.1 and 1.0 tracks.
//!
//! Source: GPX 1.1 schema (2004): points in `trk/trkseg/trkpt`, `lat` and `lon` in decimal degrees WGS 84,
//! `ele` in m, `time` in UTC, ISO 8601; a new `trkseg` marks lost reception. 1.0 has `speed` (m/s) and
//! `course` (degrees) in the point itself, 1.1 has them in extensions. Elements are known by their local
//! name, because namespaces' prefixes differ from writer to writer.

use quick_xml::events::{BytesStart, Event};

use crate::cell::{Cell, classify, trim};
use crate::civil::days_from_civil;
use crate::error::Cause;
use crate::head::Head;
use crate::report::Notes;
use crate::table::Table;

/// One point of a track; NaN where the file says nothing.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    pub elevation_m: f64,
    pub unix_s: f64,
    pub speed_mps: f64,
    pub course_deg: f64,
    pub hdop: f64,
    pub magvar_deg: f64,
}

/// Whether the bytes look like GPX.
pub fn is_gpx(bytes: &[u8]) -> bool {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    let head = head.trim_ascii_start();
    head.starts_with(b"<") && memchr::memmem::find(head, b"<gpx").is_some()
}

/// What a GPX file holds.
#[derive(Debug, Default)]
pub struct Track {
    pub version: String,
    pub names: Vec<(String, String)>,
    pub points: Vec<Point>,
    pub segments: usize,
    pub tracks: usize,
}

/// Reads all track points; a file that breaks off gives the points before.
pub fn read(bytes: &[u8], notes: &mut Notes) -> Result<Track, Cause> {
    let mut reader = quick_xml::Reader::from_reader(bytes);
    reader.config_mut().check_end_names = false;
    let mut state = State::default();
    loop {
        match reader.read_event() {
            Ok(Event::Eof) => break,
            Ok(event) => state.event(&event),
            Err(error) => {
                if state.track.points.is_empty() {
                    return Err(Cause::Gpx(error.to_string()));
                }
                let place = usize::try_from(reader.error_position()).unwrap_or(0);
                let line = 1 + memchr::memchr_iter(b'\n', bytes.get(..place).unwrap_or_default())
                    .count() as u64;
                notes.add(
                    line,
                    0,
                    format!("the XML breaks off ({error})"),
                    "the points before were kept",
                );
                break;
            }
        }
    }
    Ok(state.track)
}

/// Name and unit of a column, and where it stands in a point.
type Pick = (&'static str, &'static str, fn(&Point) -> f64);

/// A track as a table, so that the same rules read both.
pub fn table(track: Track) -> (Head, Table) {
    let mut head = Head {
        preamble: track.names,
        separator: 0,
        decimal: b'.',
        ..Head::default()
    };
    let pick: [Pick; 8] = [
        ("time", "s", |point| point.unix_s),
        ("lat", "deg", |point| point.latitude_deg),
        ("lon", "deg", |point| point.longitude_deg),
        ("gnss ele", "m", |point| point.elevation_m),
        ("ground speed", "m/s", |point| point.speed_mps),
        ("course", "deg", |point| point.course_deg),
        ("hdop", "", |point| point.hdop),
        ("magvar", "deg", |point| point.magvar_deg),
    ];
    let columns: Vec<(&str, &str, Vec<f64>)> = pick
        .into_iter()
        .map(|(name, unit, value)| {
            (
                name,
                unit,
                track.points.iter().map(value).collect::<Vec<f64>>(),
            )
        })
        .filter(|(.., values)| values.iter().any(|value| !value.is_nan()))
        .collect();
    head.names = columns
        .iter()
        .map(|(name, ..)| (*name).to_owned())
        .collect();
    head.units = columns
        .iter()
        .map(|(_, unit, _)| (*unit).to_owned())
        .collect();
    (head, Table::from_columns(columns))
}

#[derive(Default)]
struct State {
    track: Track,
    point: Option<Point>,
    text: String,
}

impl State {
    fn event(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(tag) => {
                self.text.clear();
                self.open(tag);
            }
            Event::Empty(tag) => {
                self.open(tag);
                if tag.local_name().as_ref() == "trkpt" {
                    self.close_point();
                }
            }
            Event::Text(text) => self.text.push_str(text),
            Event::CData(text) => self.text.push_str(text),
            Event::GeneralRef(name) => self.text.push_str(match name.as_ref() {
                "amp" => "&",
                "lt" => "<",
                "gt" => ">",
                "quot" => "\"",
                "apos" => "'",
                _ => "\u{fffd}",
            }),
            Event::End(tag) => self.close(tag.local_name().as_ref()),
            _ => {}
        }
    }

    fn open(&mut self, tag: &BytesStart<'_>) {
        match tag.local_name().as_ref() {
            "gpx" => self.track.version = attribute(tag, "version").unwrap_or_default(),
            "trk" => self.track.tracks += 1,
            "trkseg" => self.track.segments += 1,
            "trkpt" => {
                let degrees =
                    |name: &str| attribute(tag, name).map_or(f64::NAN, |text| number(&text));
                self.point = Some(Point {
                    latitude_deg: degrees("lat"),
                    longitude_deg: degrees("lon"),
                    elevation_m: f64::NAN,
                    unix_s: f64::NAN,
                    speed_mps: f64::NAN,
                    course_deg: f64::NAN,
                    hdop: f64::NAN,
                    magvar_deg: f64::NAN,
                });
            }
            _ => {}
        }
    }

    fn close(&mut self, name: &str) {
        if name == "trkpt" {
            self.close_point();
            return;
        }
        let text = self.text.trim();
        if let Some(point) = self.point.as_mut() {
            match name {
                "ele" => point.elevation_m = number(text),
                "time" => point.unix_s = time(text),
                "speed" => point.speed_mps = number(text),
                "course" => point.course_deg = number(text),
                "hdop" => point.hdop = number(text),
                "magvar" => point.magvar_deg = number(text),
                _ => {}
            }
        } else if matches!(name, "name" | "desc" | "time")
            && !text.is_empty()
            && self.track.names.len() < 50
        {
            self.track.names.push((name.to_owned(), text.to_owned()));
        }
        self.text.clear();
    }

    fn close_point(&mut self) {
        if let Some(point) = self.point.take() {
            self.track.points.push(point);
        }
        self.text.clear();
    }
}

fn attribute(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    tag.attributes()
        .with_checks(false)
        .flatten()
        .find(|attribute| attribute.key.local_name().as_ref() == name)
        .map(|attribute| attribute.value.into_owned())
}

fn number(text: &str) -> f64 {
    match classify(text.as_bytes(), b'.') {
        Cell::Number(value) => value,
        _ => f64::NAN,
    }
}

/// ISO 8601 to s since 1970; no offset means UTC, as the schema says.
fn time(text: &str) -> f64 {
    match classify(trim(text.as_bytes()), b'.') {
        Cell::DateTime([year, month, day], seconds, offset) =>
        {
            #[allow(clippy::cast_precision_loss)]
            days_from_civil(year - 10_000, month, day).map_or(f64::NAN, |days| {
                days as f64 * 86_400.0 + seconds - f64::from(offset.unwrap_or(0))
            })
        }
        _ => f64::NAN,
    }
}
