//! Distances and directions on the WGS-84 ellipsoid, and a flat frame for one flight.
//!
//! - [`inverse`] and [`direct`]: geodesics by C. F. F. Karney, *Algorithms for geodesics*, J. Geodesy
//!   87, 2013, in the crate `geographiclib-rs`; exact to nanometers, about 1 µs each.
//! - [`LocalFrame`]: east, north and up in the plane that touches the ellipsoid at an origin, the exact
//!   rotation of the earth-centered coordinates, arranged so that nothing large is subtracted; about
//!   25 ns each. The plane is no map: a point d away lies d²/2R below it (8 m at 10 km,
//!   196 m at 50 km), and distances in it are short by d³/6R² (4 mm at 10 km, 0.5 m at 50 km).
//!
//! Latitude and longitude are geodetic, in rad; heights above the ellipsoid, in m; azimuths true, in
//! rad, clockwise from north in [0, 2π).
//! Constants: NGA.STND.0036, *World Geodetic System 1984*, 2014.

use geographiclib_rs::{DirectGeodesic as _, Geodesic, InverseGeodesic as _};

use crate::AirError;
use crate::units::{wrap_pi, wrap_tau};

/// Equatorial radius of WGS-84, m.
pub const EQUATORIAL_RADIUS_M: f64 = 6_378_137.0;
/// Flattening of WGS-84.
pub const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared.
const E2: f64 = FLATTENING * (2.0 - FLATTENING);

pub(crate) const HEIGHT_M_MIN: f64 = -1_000.0;
pub(crate) const HEIGHT_M_MAX: f64 = 100_000.0;

/// A place on the ellipsoid, rad.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Geodetic latitude, rad, north positive.
    pub latitude_rad: f64,
    /// Longitude, rad, east positive.
    pub longitude_rad: f64,
}

/// The shortest way between two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Length on the ellipsoid, m.
    pub distance_m: f64,
    /// Direction at the start, true, rad in [0, 2π).
    pub azimuth_rad: f64,
    /// Direction at the end, onward, true, rad in [0, 2π).
    pub final_azimuth_rad: f64,
}

/// Refuses what is not a position on Earth.
pub(crate) fn check_position(
    latitude_rad: f64,
    longitude_rad: f64,
    height_m: f64,
) -> Result<(), AirError> {
    let (latitude_deg, longitude_deg) = (latitude_rad.to_degrees(), longitude_rad.to_degrees());
    // A billionth of a degree for what the change of unit rounds off.
    if !(latitude_deg.abs() <= 90.0 + 1e-9 && (-180.0 - 1e-9..=360.0).contains(&longitude_deg)) {
        return Err(AirError::Position {
            latitude_deg,
            longitude_deg,
        });
    }
    if !(HEIGHT_M_MIN..=HEIGHT_M_MAX).contains(&height_m) {
        return Err(AirError::Height(height_m));
    }
    Ok(())
}

/// Distance and directions from one place to another.
///
/// # Errors
/// [`AirError::Position`] for a place that is not on Earth.
pub fn inverse(from: Place, to: Place) -> Result<Leg, AirError> {
    check_position(from.latitude_rad, from.longitude_rad, 0.0)?;
    check_position(to.latitude_rad, to.longitude_rad, 0.0)?;
    let (distance_m, first_deg, second_deg, _): (f64, f64, f64, f64) = Geodesic::wgs84().inverse(
        from.latitude_rad.to_degrees(),
        from.longitude_rad.to_degrees(),
        to.latitude_rad.to_degrees(),
        to.longitude_rad.to_degrees(),
    );
    Ok(Leg {
        distance_m,
        azimuth_rad: wrap_tau(first_deg.to_radians()),
        final_azimuth_rad: wrap_tau(second_deg.to_radians()),
    })
}

/// The place at a distance and direction from another.
///
/// # Errors
/// [`AirError::Position`] when the start is not on Earth or the answer is not a number.
pub fn direct(from: Place, azimuth_rad: f64, distance_m: f64) -> Result<Place, AirError> {
    check_position(from.latitude_rad, from.longitude_rad, 0.0)?;
    let (latitude_deg, longitude_deg): (f64, f64) = Geodesic::wgs84().direct(
        from.latitude_rad.to_degrees(),
        from.longitude_rad.to_degrees(),
        azimuth_rad.to_degrees(),
        distance_m,
    );
    let place = Place {
        latitude_rad: latitude_deg.to_radians(),
        longitude_rad: longitude_deg.to_radians(),
    };
    check_position(place.latitude_rad, place.longitude_rad, 0.0)?;
    Ok(place)
}

/// Radii of curvature at a latitude, m: along the meridian, and across it.
#[must_use]
pub fn radii_of_curvature_m(latitude_rad: f64) -> (f64, f64) {
    let sin = latitude_rad.sin();
    let w2 = 1.0 - E2 * sin * sin;
    let normal = EQUATORIAL_RADIUS_M / w2.sqrt();
    (normal * (1.0 - E2) / w2, normal)
}

/// East, north and up about an origin.
///
/// ```
/// use air::geodesy::{LocalFrame, Place};
/// let field = Place { latitude_rad: 0.7, longitude_rad: -1.8 };
/// let frame = LocalFrame::new(field, 1_600.0)?;
/// let [east, north, up] = frame.enu_m(0.7, -1.8, 1_700.0);
/// assert_eq!((east.abs() < 1e-9, north.abs() < 1e-9, up.round()), (true, true, 100.0));
/// # Ok::<(), air::AirError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LocalFrame {
    origin: Place,
    height_m: f64,
    sin_latitude: f64,
    cos_latitude: f64,
    normal_m: f64,
    meridian_m: f64,
}

impl LocalFrame {
    /// A frame with its origin at a place and height above the ellipsoid.
    ///
    /// # Errors
    /// [`AirError::Position`] and [`AirError::Height`].
    pub fn new(origin: Place, height_m: f64) -> Result<Self, AirError> {
        check_position(origin.latitude_rad, origin.longitude_rad, height_m)?;
        let (sin_latitude, cos_latitude) = origin.latitude_rad.sin_cos();
        let (meridian_m, normal_m) = radii_of_curvature_m(origin.latitude_rad);
        Ok(Self {
            origin,
            height_m,
            sin_latitude,
            cos_latitude,
            normal_m,
            meridian_m,
        })
    }

    /// The origin.
    #[must_use]
    pub fn origin(&self) -> Place {
        self.origin
    }

    /// Height of the origin above the ellipsoid, m.
    #[must_use]
    pub fn height_m(&self) -> f64 {
        self.height_m
    }

    /// East, north and up of a position, m. NaN in, NaN out.
    ///
    /// With φ = φ0 + Δφ, s = 1 − cos Δλ and N the normal radius at φ (n = N + h):
    ///
    /// - east = n·cos φ·sin Δλ
    /// - north = n·(sin Δφ + sin φ0·cos φ·s) − e²·cos φ0·(N·sin φ − N0·sin φ0)
    /// - up = n·(cos Δφ − cos φ0·cos φ·s) − n0 − e²·sin φ0·(N·sin φ − N0·sin φ0)
    ///
    /// Source: B. Hofmann-Wellenhof et al., *GNSS: Global Navigation Satellite Systems*, 2008, section
    /// 8.3 (coordinates and local-level frame), with the products of sines gathered by us.
    #[inline]
    #[must_use]
    pub fn enu_m(&self, latitude_rad: f64, longitude_rad: f64, height_m: f64) -> [f64; 3] {
        let (sin_dlat, one_less_cos_dlat) = small_sin_cos(latitude_rad - self.origin.latitude_rad);
        let (sin_dlon, one_less_cos_dlon) =
            small_sin_cos(wrap_pi(longitude_rad - self.origin.longitude_rad));
        let (s0, c0) = (self.sin_latitude, self.cos_latitude);
        let cos_dlat = 1.0 - one_less_cos_dlat;
        let sin_lat = s0 * cos_dlat + c0 * sin_dlat;
        let cos_lat = c0 * cos_dlat - s0 * sin_dlat;
        let normal = EQUATORIAL_RADIUS_M / (1.0 - E2 * sin_lat * sin_lat).sqrt();
        let radius = normal + height_m;
        let bulge = E2 * (normal * sin_lat - self.normal_m * s0);
        [
            radius * cos_lat * sin_dlon,
            radius * (sin_dlat + s0 * cos_lat * one_less_cos_dlon) - c0 * bulge,
            (normal - self.normal_m) + (height_m - self.height_m)
                - radius * (one_less_cos_dlat + c0 * cos_lat * one_less_cos_dlon)
                - s0 * bulge,
        ]
    }

    /// The place above or below which a point with this east and north lies at a height; the inverse
    /// of [`LocalFrame::enu_m`]. Good to a micrometer within 500 km; NaN when the point is farther
    /// out than the earth is wide.
    #[must_use]
    pub fn place(&self, east_m: f64, north_m: f64, height_m: f64) -> Place {
        let mut place = self.origin;
        // Newton's method with the radii of the current point; each step gains the square.
        for _ in 0..6 {
            let [east, north, _] = self.enu_m(place.latitude_rad, place.longitude_rad, height_m);
            let (de, dn) = (east_m - east, north_m - north);
            if de.abs().max(dn.abs()) < 1e-7 {
                break;
            }
            let latitude = place.latitude_rad;
            let dlon = place.longitude_rad - self.origin.longitude_rad;
            let (meridian, normal) = radii_of_curvature_m(latitude);
            let (meridian, parallel) = (meridian + height_m, (normal + height_m) * latitude.cos());
            let (sin, cos) = dlon.sin_cos();
            // Derivatives of (east, north) by meters along the meridian and the parallel there.
            let north_by_meridian =
                self.cos_latitude * latitude.cos() + self.sin_latitude * latitude.sin() * cos;
            let (east_by_meridian, north_by_parallel) =
                (-latitude.sin() * sin, self.sin_latitude * sin);
            let determinant = cos * north_by_meridian - east_by_meridian * north_by_parallel;
            let along = (cos * dn - north_by_parallel * de) / determinant;
            let across = (north_by_meridian * de - east_by_meridian * dn) / determinant;
            place.latitude_rad += along / meridian;
            place.longitude_rad += across / parallel;
        }
        place.longitude_rad = wrap_pi(place.longitude_rad);
        place
    }

    /// Radii of curvature at the origin, m: along the meridian and across it.
    #[must_use]
    pub fn radii_m(&self) -> (f64, f64) {
        (self.meridian_m, self.normal_m)
    }
}

/// Sine and one-less-cosine of an angle, by series while small: a flight spans a few degrees, and
/// 1 − cos of so little would lose half its digits.
#[inline]
fn small_sin_cos(angle_rad: f64) -> (f64, f64) {
    if angle_rad.abs() > 0.1 {
        let half = (0.5 * angle_rad).sin();
        return (angle_rad.sin(), 2.0 * half * half);
    }
    let x2 = angle_rad * angle_rad;
    // Taylor to x⁹ and x¹⁰: the next terms are below 3e-19 and 3e-21 at 0.1 rad.
    let sin =
        angle_rad * (1.0 - x2 / 6.0 * (1.0 - x2 / 20.0 * (1.0 - x2 / 42.0 * (1.0 - x2 / 72.0))));
    let one_less_cos =
        x2 / 2.0 * (1.0 - x2 / 12.0 * (1.0 - x2 / 30.0 * (1.0 - x2 / 56.0 * (1.0 - x2 / 90.0))));
    (sin, one_less_cos)
}
