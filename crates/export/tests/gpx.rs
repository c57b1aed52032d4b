//! GPX against the rules of its schema, and read back by our own reader.
//!
//! Published source: GPX 1.1 schema, <http://www.topografix.com/GPX/1/1/gpx.xsd> (2004). Its complex types
//! are sequences: "elements must appear in this order".

mod support;

use recording::{Quantity, ReadOptions};
use roxmltree::{Document, Node};
use support::{document, hole, nothing_found, whole};

const NS: &str = "http://www.topografix.com/GPX/1/1";

/// Children that the schema allows, in its order; `*` = any number of them.
fn allowed(parent: &str) -> &'static [&'static str] {
    match parent {
        "gpx" => &["metadata", "wpt*", "rte*", "trk*", "extensions"],
        "metadata" => &[
            "name",
            "desc",
            "author",
            "copyright",
            "link*",
            "time",
            "keywords",
            "bounds",
            "extensions",
        ],
        "wpt" | "trkpt" => &[
            "ele",
            "time",
            "magvar",
            "geoidheight",
            "name",
            "cmt",
            "desc",
            "src",
            "link*",
            "sym",
            "type",
            "fix",
            "sat",
            "hdop",
            "vdop",
            "pdop",
            "ageofdgpsdata",
            "dgpsid",
            "extensions",
        ],
        "trk" => &[
            "name",
            "cmt",
            "desc",
            "src",
            "link*",
            "number",
            "type",
            "extensions",
            "trkseg*",
        ],
        "trkseg" => &["trkpt*", "extensions"],
        _ => &[],
    }
}

/// Checks one element and everything in it as the schema would.
fn check(node: Node<'_, '_>) {
    let name = node.tag_name().name();
    assert_eq!(node.tag_name().namespace(), Some(NS), "{name}");
    if name == "extensions" {
        // extensionsType: any element of another namespace, processContents="lax".
        for child in node.children().filter(Node::is_element) {
            assert_ne!(child.tag_name().namespace(), Some(NS));
        }
        return;
    }
    let order = allowed(name);
    let mut place = 0;
    for child in node.children().filter(Node::is_element) {
        let child_name = child.tag_name().name();
        let at = order[place..]
            .iter()
            .position(|known| known.trim_end_matches('*') == child_name)
            .unwrap_or_else(|| panic!("{child_name} stands wrongly in {name}"));
        place += at + usize::from(!order[place + at].ends_with('*'));
        check(child);
    }
    simple_types(node, name);
}

/// latitudeType −90 to 90, longitudeType −180 to below 180, xsd:decimal, xsd:dateTime in UTC.
fn simple_types(node: Node<'_, '_>, name: &str) {
    let decimal = |text: &str| {
        assert!(
            !text.contains(['e', 'E', 'N', 'i']),
            "{text} is no xsd:decimal"
        );
        text.trim()
            .parse::<f64>()
            .unwrap_or_else(|_| panic!("{text} is no number"))
    };
    if matches!(name, "wpt" | "trkpt") {
        let latitude = decimal(node.attribute("lat").expect("lat is required"));
        let longitude = decimal(node.attribute("lon").expect("lon is required"));
        assert!((-90.0..=90.0).contains(&latitude) && (-180.0..180.0).contains(&longitude));
    }
    let text = node.text().unwrap_or_default();
    match name {
        "ele" => assert!(decimal(text).is_finite()),
        "time" => {
            assert!(
                text.ends_with('Z') && text.len() >= 20 && text.as_bytes()[10] == b'T',
                "{text}"
            );
        }
        "gpx" => {
            assert_eq!(node.attribute("version"), Some("1.1"));
            assert!(node.attribute("creator").is_some());
        }
        _ => {}
    }
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

#[test]
fn val_gpx_follows_the_schema() {
    let mut flight = whole(120.0, 0.1);
    hole(&mut flight, 300, 420);
    let bytes = export::gpx(&flight, &document());
    let tree = Document::parse(text(&bytes)).expect("well-formed XML");
    check(tree.root_element());
    let count = |name: &str| {
        tree.descendants()
            .filter(|node| node.has_tag_name((NS, name)))
            .count()
    };
    assert_eq!((count("trk"), count("trkseg"), count("wpt")), (1, 2, 2));
    let names: Vec<_> = tree
        .descendants()
        .filter(|node| node.has_tag_name((NS, "wpt")))
        .filter_map(|node| {
            node.children()
                .find(|child| child.has_tag_name((NS, "name")))?
                .text()
        })
        .collect();
    assert_eq!(
        names,
        ["1. Maneuver <1> & \"more\"", "2. Maneuver <2> & \"more\""]
    );
}

#[test]
fn val_gpx_without_position_or_time_follows_the_schema() {
    let mut flight = whole(30.0, 0.1);
    flight.start_unix_s = None;
    flight.height = None;
    flight.altitude = None;
    for flight in [
        flight,
        flight::Flight::empty(flight::Clock {
            step_s: 0.1,
            len: 0,
        }),
    ] {
        for document in [document(), nothing_found()] {
            let bytes = export::gpx(&flight, &document);
            check(
                Document::parse(text(&bytes))
                    .expect("well-formed XML")
                    .root_element(),
            );
        }
    }
}

/// What leaves comes back: our own reader finds every written point at its time and place, to the rounding
/// of the file (a millimeter of latitude, a centimeter of height, a millisecond).
#[test]
fn prop_gpx_round_trip() {
    let mut flight = whole(300.0, 0.1);
    hole(&mut flight, 1_000, 1_400);
    let bytes = export::gpx(&flight, &document());
    let read = recording::read("path.gpx", &bytes, &ReadOptions::default()).expect("our own file");
    let recording = &read.recordings[0];
    // A point each second and the last of each stretch: 100 + 161, and 99.9 s.
    assert_eq!(recording.time_s.len(), 100 + 161 + 1);
    let values = |quantity| {
        recording
            .values(quantity)
            .unwrap_or_else(|| panic!("{quantity:?}"))
    };
    let (latitude, longitude) = (values(Quantity::Latitude), values(Quantity::Longitude));
    let (height, speed) = (
        values(Quantity::AltitudeGnss),
        values(Quantity::GroundSpeed),
    );
    let (meridian, normal) = air::geodesy::radii_of_curvature_m(0.7);
    let offset_s = recording.start_unix_s.unwrap() - flight.start_unix_s.unwrap();
    for (row, time_s) in recording.time_s.iter().enumerate() {
        let at = flight.clock.index(time_s + offset_s);
        assert!((flight.clock.time_s(at) - time_s - offset_s).abs() < 2e-3);
        let north = flight.north.as_ref().unwrap().at(at);
        let east = flight.east.as_ref().unwrap().at(at);
        assert!(((latitude[row] - 0.7) * meridian - north).abs() < 0.01);
        assert!(((longitude[row] + 1.8) * normal * 0.7_f64.cos() - east).abs() < 0.01);
        assert!((height[row] - flight.height.as_ref().unwrap().at(at)).abs() < 0.01);
        assert!((speed[row] - 45.0).abs() < 1e-2);
    }
}

/// The antimeridian: longitudes stay in −180 to below 180.
#[test]
fn val_gpx_across_the_date_line() {
    let mut flight = whole(60.0, 0.5);
    flight.origin_longitude_rad = 179.999_f64.to_radians();
    let bytes = export::gpx(&flight, &document());
    check(
        Document::parse(text(&bytes))
            .expect("well-formed XML")
            .root_element(),
    );
}
