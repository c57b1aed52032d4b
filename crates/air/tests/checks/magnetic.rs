use air::AirError;
use air::magnetic::*;
use air::units::wrap_pi;

use crate::table::{Row, rows};

const TABLE: &str = include_str!("../data/magnetic.csv");

fn ours(row: &Row) -> Variation {
    let year = row.number("decimal_year").floor();
    // 2027.5 is the middle of the year: the 183rd day of 365.
    let day = 1 + ((row.number("decimal_year") - year) * 365.0).round() as u16;
    variation(
        row.number("lat_deg").to_radians(),
        row.number("lon_deg").to_radians(),
        row.number("height_km_above_WGS84") * 1000.0,
        year as i32,
        day,
    )
    .unwrap()
}

fn off(value_rad: f64, degrees: f64) -> f64 {
    wrap_pi(value_rad - degrees.to_radians()).to_degrees().abs()
}

/// The 100 test values that NCEI publishes with WMM2025 (December 2024), printed to 0.01°. Allowed:
/// half of the last digit, and 0.006° that the crate's 32-bit arithmetic costs near the poles.
#[test]
fn val_official_wmm2025_values() {
    let official: Vec<Row> = rows(TABLE, 108)
        .into_iter()
        .filter(|row| row.text("source").starts_with("seen"))
        .collect();
    assert_eq!(official.len(), 100);
    for row in &official {
        let found = ours(row);
        let here = format!("{}, {}", row.text("lat_deg"), row.text("lon_deg"));
        let error = off(found.value_rad, row.number("D_deg"));
        assert!(error < 0.005 + 0.006, "{here}: {error}°");
        assert!(
            off(found.dip_rad, row.number("I_deg")) < 0.005 + 0.001,
            "{here}"
        );
    }
}

/// Eight everyday places by the Python library pygeomag 1.1.0, printed to 0.001°.
#[test]
fn val_everyday_places() {
    let mut count = 0;
    for row in rows(TABLE, 108) {
        if row.text("source").starts_with("computed") {
            count += 1;
            let found = ours(&row);
            assert!(
                off(found.value_rad, row.number("other_D_deg")) < 0.001,
                "{}",
                row.text("source")
            );
            // The model's own 1-σ at middle latitudes: some tenths of a degree, never none.
            assert!(
                (0.2..1.0).contains(&found.sigma_rad.to_degrees()),
                "{found:?}"
            );
        }
    }
    assert_eq!(count, 8);
}

#[test]
fn says_which_dates_it_covers() {
    for (year, day) in [
        (2019, 365),
        (2030, 1),
        (2026, 0),
        (2026, 366),
        (i32::MAX, 1),
        (i32::MIN, 1),
    ] {
        let error = variation(0.7, -1.8, 0.0, year, day).unwrap_err();
        assert_eq!(
            error,
            AirError::MagneticDate {
                year,
                day_of_year: day
            }
        );
        assert!(error.to_string().contains("(2020 to 2029)"), "{error}");
    }
    for (year, day) in [(2020, 1), (2024, 366), (2025, 1), (2029, 365)] {
        assert!(variation(0.7, -1.8, 0.0, year, day).is_ok(), "{year} {day}");
    }
    assert!(matches!(
        variation(1.6, 0.0, 0.0, 2026, 1),
        Err(AirError::Position { .. })
    ));
    assert!(matches!(
        variation(f64::NAN, 0.0, 0.0, 2026, 1),
        Err(AirError::Position { .. })
    ));
    assert!(matches!(
        variation(0.7, 0.0, -5e3, 2026, 1),
        Err(AirError::Height(_))
    ));
}

/// The poles and the date line are places like others, and 190° east is 170° west.
#[test]
fn edges_of_the_map_are_no_edges() {
    for (lat, lon) in [
        (90.0, 0.0),
        (-90.0, 180.0),
        (0.0, 180.0),
        (0.0, -180.0),
        (10.0, 360.0),
    ] {
        assert!(
            variation(f64::to_radians(lat), f64::to_radians(lon), 0.0, 2026, 1).is_ok(),
            "{lat} {lon}"
        );
    }
    let east = variation(0.5, 190_f64.to_radians(), 0.0, 2026, 1).unwrap();
    let west = variation(0.5, (-170_f64).to_radians(), 0.0, 2026, 1).unwrap();
    assert!((east.value_rad - west.value_rad).abs() < 1e-5);
}

/// Calendar facts: 2026 is common, 2028 leap, 2100 not (Gregorian rule).
#[test]
fn val_day_of_year() {
    assert_eq!(day_of_year(2026, 3, 1), Some(60));
    assert_eq!(day_of_year(2028, 3, 1), Some(61));
    assert_eq!(day_of_year(2100, 2, 29), None);
    assert_eq!(day_of_year(2026, 13, 1), None);
    assert_eq!(day_of_year(2026, 4, 31), None);
}
