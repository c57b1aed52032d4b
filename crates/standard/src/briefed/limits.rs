//! What an aircraft can be asked for, and the words when something else is written: the same for the file
//! and for JSON.

/// Limits of a number by its key, both included.
#[derive(Clone, Copy)]
pub(super) struct Limit {
    key: &'static str,
    low: f64,
    high: f64,
}

const fn limit(key: &'static str, low: f64, high: f64) -> Limit {
    Limit { key, low, high }
}

/// Eleven days: longer than any recording.
pub(super) const AT_S: Limit = limit("at_s", 0.0, 1e6);
pub(super) const BANK_DEG: Limit = limit("bank_deg", 0.0, 75.0);
pub(super) const HEADING_DEG: Limit = limit("heading_deg", 0.0, 360.0);
pub(super) const SPEED_KIAS: Limit = limit("speed_kias", 20.0, 400.0);
pub(super) const ALTITUDE_FT: Limit = limit("altitude_ft", -1500.0, 40000.0);
/// The longest runways are shorter than 18,000 ft.
pub(super) const POINT_FT: Limit = limit("point_ft", 0.0, 18000.0);
pub(super) const LATITUDE_DEG: Limit = limit("latitude", -90.0, 90.0);
pub(super) const LONGITUDE_DEG: Limit = limit("longitude", -180.0, 180.0);
pub(super) const ELEVATION_FT: Limit = limit("elevation_ft", -1500.0, 20000.0);
/// Shorter than this nothing lands on, longer than this no runway is, m.
pub(super) const LENGTH_M: (f64, f64) = (100.0, 6000.0);
/// Landmarks of a figure are no nearer to each other than this and no farther, m: what is nearer is one landmark, and a
/// figure of 10 km no trainer flies.
pub(super) const APART_M: (f64, f64) = (50.0, 10_000.0);
pub(super) const MEND_PLACES: &str = "write places as [latitude, longitude] in degrees, north and east positive: one for point, two for line and pylons, four in order around the field for corners";
pub(super) const MEND_NUMBERS: &str = "write latitude,longitude of one end, latitude,longitude of the other and, where it is known, the elevation in feet, with commas between";
pub(super) const MEND_RUNWAY: &str = "give the two ends as from = [latitude, longitude] and to = [latitude, longitude], in degrees, north and east positive";

pub(super) const MEND_NUMBER: &str = "correct the number";
pub(super) const COUNTING: &str = "counting starts at 1";
pub(super) const MEND_COUNTING: &str = "write 1 for the first";
pub(super) const MEND_RECOVERY: &str = "write full_stall or first_indication";
pub(super) const MEND_KIND: &str = "write the id of a maneuver, e.g. power_off_stall";

impl Limit {
    /// The number, or what is wrong with it.
    pub(super) fn checked(self, number: f64) -> Result<f64, String> {
        let Limit { key, low, high } = self;
        if (low..=high).contains(&number) {
            Ok(number)
        } else {
            Err(format!("{key} {number} is not {low} to {high}"))
        }
    }
}

pub(super) fn unknown_recovery(word: &str) -> String {
    format!("recovery '{word}' is not known")
}

pub(super) fn unknown_kind(word: &str) -> String {
    format!("kind '{word}' is not known")
}

/// The key of what a kind is flown about.
pub(super) fn reference_of(kind: maneuver::Kind) -> Option<&'static str> {
    use maneuver::Kind;
    match kind {
        Kind::TurnsAroundAPoint | Kind::SteepSpiral => Some("point"),
        Kind::STurns => Some("line"),
        Kind::EightsOnPylons => Some("pylons"),
        Kind::RectangularCourse => Some("corners"),
        _ => None,
    }
}
