use air::AirError;
use air::geodesy::*;
use air::units::wrap_pi;
use proptest::prelude::*;

use crate::{assert_near, table::rows};

const TABLE: &str = include_str!("../data/geodesy.csv");

fn place(latitude_deg: f64, longitude_deg: f64) -> Place {
    Place {
        latitude_rad: latitude_deg.to_radians(),
        longitude_rad: longitude_deg.to_radians(),
    }
}

/// 20 legs by the Python library geographiclib 2.1 and 8 lines of C. F. F. Karney's test set for
/// geodesics (2010). Positions print 1e-9° (0.11 mm), distances 0.1 mm; the direction of a short leg
/// is as uncertain as the positions are against its length.
#[test]
fn val_inverse_and_direct() {
    let mut farthest_sphere = 0.0_f64;
    for row in rows(TABLE, 28) {
        let name = row.text("case");
        let from = place(row.number("lat1_deg"), row.number("lon1_deg"));
        let to = place(row.number("lat2_deg"), row.number("lon2_deg"));
        let distance = row.number("distance_m");
        let leg = inverse(from, to).unwrap();
        assert_near(leg.distance_m, distance, 2e-4, name);
        let angle = (2e-4 / distance).to_degrees() + 1e-6;
        let off = |ours: f64, column| {
            wrap_pi(ours - row.number(column).to_radians())
                .to_degrees()
                .abs()
        };
        assert!(off(leg.azimuth_rad, "azi1_deg") < angle, "{name}");
        assert!(off(leg.final_azimuth_rad, "azi2_deg") < angle, "{name}");
        let there = direct(from, leg.azimuth_rad, leg.distance_m).unwrap();
        assert!(inverse(there, to).unwrap().distance_m < 1e-7, "{name}");
        if row.has("haversine_R6371008.8_m") {
            let sphere = row.number("haversine_R6371008.8_m") / distance - 1.0;
            farthest_sphere = farthest_sphere.max(sphere.abs());
        }
    }
    // The rows can tell an ellipsoid from a sphere, else they would prove little.
    assert!(farthest_sphere > 0.004, "{farthest_sphere}");
}

/// Meridian and normal radii at the equator and the pole in closed form: a(1−e²), a, and a²/b.
/// Numbers: NGA.STND.0036 (b = 6,356,752.3142 m; polar radius of curvature 6,399,593.6258 m).
#[test]
fn val_radii_of_curvature() {
    let (meridian, normal) = radii_of_curvature_m(0.0);
    assert_near(normal, 6_378_137.0, 1e-6, "normal at the equator");
    assert_near(
        meridian,
        6_356_752.314_2_f64.powi(2) / 6_378_137.0,
        1e-3,
        "meridian there",
    );
    let (meridian, normal) = radii_of_curvature_m(std::f64::consts::FRAC_PI_2);
    assert_near(meridian, 6_399_593.625_8, 1e-3, "meridian at the pole");
    assert_near(normal, 6_399_593.625_8, 1e-3, "normal at the pole");
}

/// The textbook's way: earth-centered coordinates of both points, difference, rotation.
fn enu_by_rotation(origin: Place, height0_m: f64, to: Place, height_m: f64) -> [f64; 3] {
    let (a, f) = (6_378_137.0, 1.0 / 298.257_223_563);
    let e2 = f * (2.0 - f);
    let cartesian = |p: Place, h: f64| {
        let (s, c) = p.latitude_rad.sin_cos();
        let n = a / (1.0 - e2 * s * s).sqrt();
        let (sl, cl) = p.longitude_rad.sin_cos();
        [(n + h) * c * cl, (n + h) * c * sl, (n * (1.0 - e2) + h) * s]
    };
    let (from, to) = (cartesian(origin, height0_m), cartesian(to, height_m));
    let [dx, dy, dz] = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
    let (s, c) = origin.latitude_rad.sin_cos();
    let (sl, cl) = origin.longitude_rad.sin_cos();
    [
        -sl * dx + cl * dy,
        -s * cl * dx - s * sl * dy + c * dz,
        c * cl * dx + c * sl * dy + s * dz,
    ]
}

/// A leg of the same table in the local frame: north and east make its length and direction, less the
/// shortening d³/6R² of a plane.
#[test]
fn val_local_frame_against_geodesics() {
    for row in rows(TABLE, 28) {
        let name = row.text("case");
        let distance = row.number("distance_m");
        if distance > 100_000.0 {
            continue;
        }
        let from = place(row.number("lat1_deg"), row.number("lon1_deg"));
        let to = place(row.number("lat2_deg"), row.number("lon2_deg"));
        let frame = LocalFrame::new(from, 0.0).unwrap();
        let [east, north, up] = frame.enu_m(to.latitude_rad, to.longitude_rad, 0.0);
        let short = distance.powi(3) / (6.0 * 6_371e3_f64.powi(2));
        assert_near(
            east.hypot(north) + short,
            distance,
            2e-4 + 0.02 * short,
            name,
        );
        let off = wrap_pi(east.atan2(north) - row.number("azi1_deg").to_radians()).abs();
        assert!(off < 3e-4 / distance + 1e-6, "{name}: {off}");
        let drop = distance * distance / (2.0 * 6_371e3);
        assert_near(-up, drop, 0.01 * drop + 1e-3, name);
    }
}

#[test]
fn refuses_what_is_not_on_earth() {
    let here = place(40.0, -105.0);
    for bad in [
        place(91.0, 0.0),
        place(0.0, 361.0),
        place(f64::NAN, 0.0),
        place(0.0, -181.0),
    ] {
        assert!(matches!(inverse(here, bad), Err(AirError::Position { .. })));
        assert!(matches!(
            direct(bad, 0.0, 1.0),
            Err(AirError::Position { .. })
        ));
        assert!(matches!(
            LocalFrame::new(bad, 0.0),
            Err(AirError::Position { .. })
        ));
    }
    assert!(matches!(
        LocalFrame::new(here, 1e6),
        Err(AirError::Height(_))
    ));
    assert!(direct(here, f64::NAN, 1.0).is_err());
    let frame = LocalFrame::new(here, 0.0).unwrap();
    assert!(frame.enu_m(f64::NAN, 0.0, 0.0)[0].is_nan());
}

proptest! {
    #[test]
    fn prop_local_frame_is_the_rotation(
        lat in -89.0..89.0_f64, lon in -180.0..180.0_f64, h0 in -400.0..5_000.0_f64,
        dlat in -20.0..20.0_f64, dlon in -20.0..20.0_f64, h in -400.0..10_000.0_f64,
    ) {
        let origin = place(lat, lon);
        let frame = LocalFrame::new(origin, h0).unwrap();
        for scale in [1.0, 1e-2, 1e-4] {
            let to = place((lat + dlat * scale).clamp(-90.0, 90.0), lon + dlon * scale);
            let ours = frame.enu_m(to.latitude_rad, to.longitude_rad, h);
            let theirs = enu_by_rotation(origin, h0, to, h);
            for (a, b) in ours.iter().zip(theirs) {
                // The rotation subtracts numbers of 6e6 m: it holds some nanometers itself.
                prop_assert!((a - b).abs() < 2e-8, "{ours:?} {theirs:?}");
            }
        }
    }

    #[test]
    fn prop_local_frame_and_place_are_inverse(
        lat in -80.0..80.0_f64, lon in -180.0..180.0_f64, h0 in 0.0..3_000.0_f64,
        east in -350e3..350e3_f64, north in -350e3..350e3_f64, h in 0.0..5_000.0_f64,
    ) {
        let frame = LocalFrame::new(place(lat, lon), h0).unwrap();
        let found = frame.place(east, north, h);
        let [e, n, _] = frame.enu_m(found.latitude_rad, found.longitude_rad, h);
        prop_assert!((e - east).abs() < 1e-6 && (n - north).abs() < 1e-6, "{e} {n}");
        prop_assert!(found.longitude_rad.abs() <= std::f64::consts::PI);
    }

    #[test]
    fn prop_direct_and_inverse_close(
        lat in -80.0..80.0_f64, lon in -180.0..180.0_f64, azimuth in 0.0..std::f64::consts::TAU, d in 1.0..500e3_f64,
    ) {
        let from = place(lat, lon);
        let leg = inverse(from, direct(from, azimuth, d).unwrap()).unwrap();
        prop_assert!((leg.distance_m - d).abs() < 1e-6);
        prop_assert!(wrap_pi(leg.azimuth_rad - azimuth).abs() < 1e-7 + 1e-8 / d);
    }
}

/// Across the date line the frame stays small.
#[test]
fn date_line_is_no_edge() {
    let frame = LocalFrame::new(place(-17.0, 179.99), 0.0).unwrap();
    let [east, _, _] = frame.enu_m((-17_f64).to_radians(), (-179.99_f64).to_radians(), 0.0);
    assert_near(east, 2_130.0, 5.0, "0.02° of longitude at 17° south");
}
