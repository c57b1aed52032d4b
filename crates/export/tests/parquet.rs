//! Parquet: read back by the library's own reader, which knows nothing of how it was written.

mod support;

use ::parquet::data_type::AsBytes;
use ::parquet::file::reader::{FileReader, SerializedFileReader};
use ::parquet::record::{Field, Row};
use support::{document, hole, whole};

fn open(bytes: Vec<u8>) -> (Vec<Row>, serde_json::Value, serde_json::Value) {
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).expect("a Parquet file");
    let pairs = reader
        .metadata()
        .file_metadata()
        .key_value_metadata()
        .expect("metadata")
        .clone();
    let json = |key: &str| {
        let pair = pairs
            .iter()
            .find(|pair| pair.key == key)
            .expect("the key is there");
        serde_json::from_str(pair.value.as_deref().unwrap()).expect("JSON")
    };
    let rows = reader
        .get_row_iter(None)
        .expect("rows")
        .map(|row| row.expect("a row"))
        .collect();
    (rows, json("proofwing"), json("columns"))
}

fn field<'a>(row: &'a Row, name: &str) -> &'a Field {
    row.get_column_iter()
        .find(|(known, _)| known.as_str() == name)
        .map(|(_, field)| field)
        .unwrap_or_else(|| panic!("{name} is there"))
}

fn float(row: &Row, name: &str) -> f64 {
    match field(row, name) {
        Field::Float(value) => f64::from(*value),
        Field::Double(value) => *value,
        other => panic!("{name} is {other:?}"),
    }
}

#[test]
fn prop_parquet_round_trip() {
    let mut flight = whole(120.0, 0.1);
    hole(&mut flight, 50, 60);
    let bytes = export::parquet(&flight, &document()).expect("written");
    assert_eq!(&bytes.as_bytes()[..4], b"PAR1");
    let (rows, whole, columns) = open(bytes);
    assert_eq!(rows.len(), flight.clock.len);
    assert_eq!(whole["schema"], "proofwing/flight/1");
    for (index, row) in rows.iter().enumerate() {
        assert_eq!(float(row, "time_s"), flight.clock.time_s(index));
        if (50..60).contains(&index) {
            assert!(matches!(field(row, "ias_kt"), Field::Null));
            assert!(matches!(field(row, "latitude_deg"), Field::Null));
            continue;
        }
        let ias = flight.ias.as_ref().unwrap().at(index) * 3600.0 / 1852.0;
        assert!((float(row, "ias_kt") - ias).abs() < 1e-4);
        let altitude = flight.altitude.as_ref().unwrap();
        assert!((float(row, "altitude_ft") - altitude.at(index) / 0.3048).abs() < 1e-2);
        assert!((float(row, "altitude_ft_sigma") - altitude.sigma_at(index) / 0.3048).abs() < 1e-4);
        let want = flight.heading.as_ref().unwrap().at(index) - 0.15;
        let got = float(row, "heading_magnetic_deg").to_radians();
        assert!(air::units::wrap_pi(got - want).abs() < 1e-6);
    }
    assert!(matches!(field(&rows[0], "maneuver"), Field::Null));
    assert!(matches!(field(&rows[120], "maneuver"), Field::Int(1)));
    assert!(matches!(field(&rows[120], "phase"), Field::Str(phase) if phase == "entry"));
    assert!(matches!(
        field(&rows[10], "utc"),
        Field::TimestampMillis(1_746_735_445_000)
    ));
    assert_eq!(columns["ias_kt"]["unit"], "kt");
    assert_eq!(columns["ias_kt"]["origin"], "measured");
    assert!((columns["ias_kt"]["sigma"].as_f64().unwrap() - 0.6 * 3600.0 / 1852.0).abs() < 1e-9);
    assert_eq!(columns["altitude_ft"]["sigma_column"], "altitude_ft_sigma");
}

/// Every column of the file is described, and nothing else is.
#[test]
fn prop_parquet_describes_every_column() {
    let bytes = export::parquet(&whole(10.0, 0.1), &document()).expect("written");
    let (rows, _, columns) = open(bytes);
    let mut names: Vec<&String> = rows[0].get_column_iter().map(|(name, _)| name).collect();
    names.sort();
    let described: Vec<&String> = columns.as_object().unwrap().keys().collect();
    assert_eq!(names, described);
    assert!(
        columns
            .as_object()
            .unwrap()
            .values()
            .all(|column| column["unit"].is_string())
    );
}
