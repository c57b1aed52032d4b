//! Nothing panics and everything stays readable: no samples, one sample, nothing but NaN, wild numbers.

mod support;

use flight::{Clock, Flight, Origin, Sigma};
use proptest::prelude::*;
use support::{aircraft, document, nothing_found, whole};

/// Every export of a flight, each looked at by somebody else's reader.
fn all(flight: &Flight) {
    let read = export::series::read(&export::series(flight, &aircraft())).expect("a series");
    assert_eq!(read.header.len, flight.clock.len);
    for document in [document(), nothing_found()] {
        for xml in [
            export::kml(flight, &document),
            export::gpx(flight, &document),
        ] {
            let text = std::str::from_utf8(&xml).expect("UTF-8");
            assert!(!text.contains("NaN") && !text.contains(">inf<"), "{text}");
            roxmltree::Document::parse(text).expect("well-formed XML");
        }
        let table = export::csv(flight, &document);
        let text = std::str::from_utf8(&table).expect("UTF-8");
        assert_eq!(text.matches("\r\n").count(), flight.clock.len + 1);
        assert!(!text.contains("NaN") && !text.contains("inf,"));
        let packed = export::parquet(flight, &document).expect("Parquet");
        use ::parquet::file::reader::{FileReader, SerializedFileReader};
        let reader = SerializedFileReader::new(bytes::Bytes::from(packed)).expect("a Parquet file");
        assert_eq!(
            reader.metadata().file_metadata().num_rows(),
            flight.clock.len as i64
        );
    }
}

/// A flight whose every series holds one value, with lists that may be shorter or longer than its clock.
fn wild(len: usize, step_s: f64, value: f64, sigma: f64, listed: usize) -> Flight {
    let mut flight = whole(1.0, 0.5);
    flight.clock = Clock { step_s, len };
    for series in [
        &mut flight.east,
        &mut flight.north,
        &mut flight.altitude,
        &mut flight.height,
        &mut flight.track,
        &mut flight.ias,
        &mut flight.heading,
        &mut flight.lift_ratio,
        &mut flight.wind_east,
        &mut flight.wind_north,
        &mut flight.ground_speed,
        &mut flight.temperature,
    ] {
        *series = Some(flight::Series {
            values: vec![value; listed],
            sigma: Sigma::Each(vec![sigma as f32; listed]),
            origin: Origin::Derived,
        });
    }
    flight.known = vec![true; listed];
    flight
}

#[test]
fn prop_edges() {
    for len in [0, 1, 2] {
        let clock = Clock { step_s: 0.1, len };
        all(&Flight::empty(clock));
        all(&wild(len, 0.1, f64::NAN, f64::NAN, len));
        all(&wild(len, 0.1, 1.0, 0.1, 0));
    }
    all(&whole(0.0, 0.1));
}

#[test]
fn prop_a_pole_has_no_east() {
    let mut flight = whole(20.0, 0.1);
    flight.origin_latitude_rad = std::f64::consts::FRAC_PI_2;
    all(&flight);
    flight.origin_latitude_rad = f64::NAN;
    all(&flight);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn prop_wild_numbers(
        len in 0_usize..40,
        listed in 0_usize..60,
        step_s in prop_oneof![Just(0.1), Just(1.0), Just(0.0), Just(f64::NAN), Just(-1.0), Just(1e300)],
        value in prop_oneof![any::<f64>(), -1e4..1e4],
        sigma in prop_oneof![any::<f64>(), 0.0..10.0],
        start in prop_oneof![Just(None), any::<f64>().prop_map(Some), (0.0..2e9).prop_map(Some)],
        name in ".{0,40}",
    ) {
        let mut flight = wild(len, step_s, value, sigma, listed);
        flight.start_unix_s = start;
        flight.name = name;
        flight.variation_rad = value;
        all(&flight);
    }

    #[test]
    fn prop_names_are_safe(name in any::<String>()) {
        let safe = export::safe_name(&name);
        prop_assert!(safe.is_ascii() && !safe.is_empty() && safe.len() <= 201);
        prop_assert!(!safe.starts_with('/') && safe.split('/').all(|part| !part.is_empty() && part != ".."));
        prop_assert_eq!(export::safe_name(&safe), safe.clone());
    }
}
