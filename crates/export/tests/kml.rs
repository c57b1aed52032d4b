//! KML against the rules of OGC KML 2.3.
//!
//! Published source: OGC 12-007r2, *OGC KML 2.3* (2015): namespace (abstract test 101), elements of a
//! feature in the order of `AbstractFeatureType`, coordinates as longitude, latitude, altitude, and as many
//! `when` as `coord` in a `Track`.

mod support;

use roxmltree::{Document, Node};
use support::{document, hole, nothing_found, whole};

const NS: &str = "http://www.opengis.net/kml/2.3";

/// Children in the order of the schema, those that we write (the rest of a type left out keeps the order).
fn order(parent: &str) -> &'static [&'static str] {
    match parent {
        "kml" => &["Document"],
        "Document" => &["name", "description", "Style*", "Placemark*", "Folder*"],
        "Folder" => &["name", "Placemark*"],
        "Placemark" => &[
            "name",
            "description",
            "TimeSpan",
            "styleUrl",
            "LineString",
            "Point",
            "MultiGeometry",
            "MultiTrack",
        ],
        "TimeSpan" => &["begin", "end"],
        "Style" => &["LineStyle"],
        "LineStyle" => &["color", "width"],
        "MultiGeometry" => &["LineString*", "Point*"],
        "LineString" | "Point" => &["altitudeMode", "coordinates"],
        "MultiTrack" => &["interpolate", "Track*"],
        "Track" => &["altitudeMode", "when*", "coord*"],
        _ => &[],
    }
}

fn check(node: Node<'_, '_>) {
    let name = node.tag_name().name();
    assert_eq!(node.tag_name().namespace(), Some(NS), "{name}");
    let order = order(name);
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
    match name {
        "coordinates" => positions(node.text().unwrap_or_default(), ','),
        "Track" => {
            let count = |name| {
                node.children()
                    .filter(|child| child.has_tag_name((NS, name)))
                    .count()
            };
            assert_eq!(count("when"), count("coord"));
            for coord in node
                .children()
                .filter(|child| child.has_tag_name((NS, "coord")))
            {
                positions(&coord.text().unwrap_or_default().replace(' ', ","), ',');
            }
        }
        "styleUrl" => {
            let target = node.text().unwrap_or_default().trim_start_matches('#');
            assert!(
                node.document()
                    .descendants()
                    .any(|other| other.attribute("id") == Some(target))
            );
        }
        _ => {}
    }
}

/// Longitude −180 to 180, latitude −90 to 90, altitude in m.
fn positions(text: &str, separator: char) {
    for position in text.split(' ') {
        let parts: Vec<f64> = position
            .split(separator)
            .map(|part| part.parse().unwrap())
            .collect();
        assert!(matches!(parts.len(), 2 | 3), "{position}");
        assert!(
            parts[0].abs() <= 180.0 && parts[1].abs() <= 90.0,
            "{position}"
        );
    }
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).expect("UTF-8")
}

#[test]
fn val_kml_follows_the_standard() {
    let mut flight = whole(120.0, 0.1);
    hole(&mut flight, 300, 420);
    let bytes = export::kml(&flight, &document());
    let tree = Document::parse(text(&bytes)).expect("well-formed XML");
    check(tree.root_element());
    let modes: Vec<_> = tree
        .descendants()
        .filter(|node| node.has_tag_name((NS, "altitudeMode")))
        .filter_map(|node| node.text())
        .collect();
    assert!(modes.len() > 4 && modes.iter().all(|mode| *mode == "absolute"));
    let folder = tree
        .descendants()
        .find(|node| node.has_tag_name((NS, "Folder")))
        .unwrap();
    let placemarks: Vec<_> = folder
        .children()
        .filter(|node| node.has_tag_name((NS, "Placemark")))
        .collect();
    assert_eq!(placemarks.len(), 2);
    let span = placemarks[0]
        .descendants()
        .find(|node| node.has_tag_name((NS, "begin")))
        .unwrap();
    assert_eq!(span.text(), Some("2025-05-08T20:17:34Z"));
}

/// The first point is where the flight began: 0.7 rad north, 1.8 rad west, 1,010 m up.
#[test]
fn val_kml_coordinates() {
    let bytes = export::kml(&whole(60.0, 0.1), &nothing_found());
    let tree = Document::parse(text(&bytes)).expect("well-formed XML");
    let line = tree
        .descendants()
        .find(|node| node.has_tag_name((NS, "coordinates")))
        .unwrap();
    let first = line.text().unwrap().split(' ').next().unwrap();
    assert_eq!(first, "-103.1324031,40.1070457,1010.00");
    assert_eq!(line.text().unwrap().split(' ').count(), 61);
}

#[test]
fn val_kml_without_position_time_or_height() {
    let mut flat = whole(30.0, 0.1);
    flat.start_unix_s = None;
    flat.height = None;
    flat.altitude = None;
    for flight in [
        flat,
        flight::Flight::empty(flight::Clock {
            step_s: 0.1,
            len: 0,
        }),
    ] {
        for document in [document(), nothing_found()] {
            let bytes = export::kml(&flight, &document);
            check(
                Document::parse(text(&bytes))
                    .expect("well-formed XML")
                    .root_element(),
            );
        }
    }
}
