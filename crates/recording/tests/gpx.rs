//! GPX 1.1 and 1.0.
//!
//! Outside truth: the GPX 1.1 schema (topografix.com/GPX/1/1, 2004): `lat`/`lon` decimal degrees WGS 84,
//! `ele` m, `time` UTC by ISO 8601 with fractions allowed, a new `trkseg` when reception was lost, and
//! `magvar` a legal child of a point.

mod support;

use recording::{Quantity, ReadOptions};
use support::{read, values};

const OPEN: &str = "<?xml version=\"1.0\"?>\n<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" creator=\"x\">\n<metadata><time>2025-06-01T09:00:00Z</time></metadata><wpt lat=\"1\" lon=\"2\"/>\n<trk><name>A &amp; B</name><trkseg>\n";

fn points(range: std::ops::Range<u32>, inner: &str) -> String {
    range
        .map(|s| format!("<trkpt lat=\"{:.6}\" lon=\"-81.5\"><ele>{}</ele><time>2025-06-01T10:{:02}:{:02}Z</time>{inner}</trkpt>\n", 28.0 + f64::from(s) * 0.0004, 900 + s, s / 60, s % 60))
        .collect()
}

fn gpx(inner: &str) -> String {
    format!("{OPEN}{inner}</trkseg></trk></gpx>")
}

#[test]
fn val_schema_units_and_time() {
    let read = read(&gpx(&points(0..30, "<magvar>5.5</magvar>")));
    let recording = &read.recordings[0];
    assert_eq!(read.report.format, "GPX 1.1");
    assert_eq!(recording.start_unix_s, Some(1_748_772_000.0));
    assert!((values(recording, Quantity::Latitude)[0] - 28_f64.to_radians()).abs() < 1e-12);
    assert!((values(recording, Quantity::AltitudeGnss)[29] - 929.0).abs() < 1e-9);
    assert!(
        (values(recording, Quantity::MagneticVariation)[0] - 5.5_f64.to_radians()).abs() < 1e-12
    );
    assert!(
        recording
            .preamble
            .iter()
            .any(|(key, value)| key == "name" && value == "A & B"),
        "{:?}",
        recording.preamble
    );
}

#[test]
fn speed_and_course_in_extensions_and_in_the_point() {
    // 0.0004° of latitude in a second are 44.5 m/s due north.
    let extended = points(
        0..60,
        "<extensions><ns3:TrackPointExtension><ns3:speed>44.5</ns3:speed><ns3:course>0.5</ns3:course></ns3:TrackPointExtension></extensions>",
    );
    let plain = points(0..60, "<course>0.5</course><speed>44.5</speed>");
    for inner in [extended, plain] {
        let read = read(&gpx(&inner));
        assert!((values(&read.recordings[0], Quantity::GroundSpeed)[3] - 44.5).abs() < 1e-9);
        assert!(
            (values(&read.recordings[0], Quantity::TrackTrue)[3] - 0.5_f64.to_radians()).abs()
                < 1e-9
        );
    }
}

#[test]
fn segments_offsets_and_missing_times() {
    let two = gpx(&format!(
        "{}</trkseg><trkseg>{}",
        points(0..30, ""),
        points(50..80, "")
    ));
    let here = read(&two);
    assert_eq!(here.recordings[0].time_s.len(), 60);
    assert_eq!(here.recordings[0].account.gaps, [(29.0, 50.0)]);
    let offset = read(&gpx(&points(0..30, "")
        .replace("10:00:", "12:00:")
        .replace("Z<", "+02:00<")));
    assert_eq!(offset.recordings[0].start_unix_s, Some(1_748_772_000.0));
    let hole = gpx(&points(0..30, "").replace("<time>2025-06-01T10:00:07Z</time>", ""));
    assert_eq!(read(&hole).recordings[0].time_s.len(), 30);
    let none: String = gpx(&(0..5)
        .map(|s| format!("<trkpt lat=\"28.{s}\" lon=\"1\"/>"))
        .collect::<String>());
    let error = recording::read("x.gpx", none.as_bytes(), &ReadOptions::default()).unwrap_err();
    assert!(error.to_string().contains("time"), "{error}");
}

#[test]
fn empty_elements_and_a_broken_end() {
    let empty = read(&gpx(&(points(0..30, "")
        + "<trkpt lat=\"28.1\" lon=\"-81.5\"><ele/><time>2025-06-01T10:01:00Z</time></trkpt></trkseg><trkseg>")));
    assert_eq!(empty.recordings[0].time_s.len(), 31);
    let text = gpx(&points(0..30, ""));
    let cut = &text[..text.len() - 200];
    assert!(read(cut).recordings[0].time_s.len() >= 28);
    let odd = text.replace("<ele>915</ele>", "<ele>915</wrong>&bad;<");
    let read = read(&odd);
    assert!(read.recordings[0].time_s.len() >= 14);
    assert!(
        recording::read(
            "x.gpx",
            b"<?xml version=\"1.0\"?><gpx version=\"1.1\"></gpx>",
            &ReadOptions::default()
        )
        .is_err()
    );
}
