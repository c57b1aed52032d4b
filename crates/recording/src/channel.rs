//! What a recording is once it is understood.

use serde::Serialize;

/// One flight's worth of samples (a file with several power cycles gives several).
#[derive(Clone, Debug, Default)]
pub struct Recording {
    /// File name or the like, for messages.
    pub name: String,
    /// UTC of the first sample, seconds since 1970, when the file tells.
    pub start_unix_s: Option<f64>,
    /// Seconds since the first sample, strictly increasing, one per kept row.
    pub time_s: Vec<f64>,
    /// Understood channels, each as long as `time_s`.
    pub channels: Vec<Channel>,
    /// Median interval between samples, s.
    pub interval_s: f64,
    /// `key, value` lines found before the table.
    pub preamble: Vec<(String, String)>,
    /// What was wrong, and what became of it.
    pub account: Account,
}

impl Recording {
    /// The best channel for a quantity (the first listed: the reader puts its choice first).
    #[must_use]
    pub fn channel(&self, quantity: Quantity) -> Option<&Channel> {
        self.channels
            .iter()
            .find(|channel| channel.quantity == quantity)
    }
    /// Values of a quantity, SI, NaN where the recorder wrote none.
    #[must_use]
    pub fn values(&self, quantity: Quantity) -> Option<&[f64]> {
        self.channel(quantity)
            .map(|channel| channel.values.as_slice())
    }
}

/// One understood column.
#[derive(Clone, Debug)]
pub struct Channel {
    /// What it measures.
    pub quantity: Quantity,
    /// Column name as the file has it.
    pub column: String,
    /// Unit as it was read, e.g. `kt`.
    pub unit: String,
    /// SI values (angles rad, see [`Quantity`]); NaN = no value.
    pub values: Vec<f64>,
    /// Smallest step between different values, SI: the rounding of the recorder.
    pub resolution: f64,
    /// Why we think so, in words a person can check.
    pub because: String,
    /// 0 to 1.
    pub confidence: f64,
}

/// What a channel measures. Units in SI: m, m/s, rad, rad/s, Pa, K, m/s² is *not* used for load: load
/// factors are in g (1 = level flight). Control positions, throttle and power are fractions (−1..1, 0..1).
/// Signs: pitch nose up, bank right, elevator and trim nose up, aileron right wing down, rudder right,
/// lateral load as the body feels it (positive: pushed to the right), normal load +1 in level flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Quantity {
    Latitude,
    Longitude,
    /// Indicated (altimeter-set) altitude, m.
    AltitudeIndicated,
    /// Pressure altitude (1013.25 hPa), m.
    AltitudePressure,
    /// GNSS altitude, m.
    AltitudeGnss,
    /// Altimeter setting, Pa.
    AltimeterSetting,
    AirspeedIndicated,
    AirspeedCalibrated,
    AirspeedTrue,
    GroundSpeed,
    VerticalSpeed,
    Pitch,
    Bank,
    HeadingMagnetic,
    HeadingTrue,
    TrackTrue,
    TrackMagnetic,
    PitchRate,
    RollRate,
    YawRate,
    AngleOfAttack,
    Sideslip,
    /// 0 or 1.
    StallWarning,
    LoadNormal,
    LoadLateral,
    LoadLongitudinal,
    /// rad.
    Flap,
    /// 0 up, 1 down.
    Gear,
    Elevator,
    Aileron,
    Rudder,
    PitchTrim,
    Throttle,
    /// rad/s.
    EngineSpeed,
    /// Pa.
    ManifoldPressure,
    /// m³/s.
    FuelFlow,
    /// Share of rated power.
    PowerShare,
    /// K.
    OutsideAirTemperature,
    WindSpeed,
    WindDirectionFrom,
    /// rad, east positive.
    MagneticVariation,
    /// Horizontal dilution or error, as written.
    FixQuality,
    /// Understood to be a number but of no use here.
    Other,
}

/// What was wrong with the file, each with its place; nothing is lost without a line here.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Account {
    /// Rows kept.
    pub rows_kept: usize,
    /// Odd things in order of place.
    pub notes: Vec<Note>,
    /// Notes beyond the list's limit, counted only.
    pub notes_dropped: usize,
    /// Holes in time, seconds from the first sample: start, end.
    pub gaps: Vec<(f64, f64)>,
}

/// One odd thing.
#[derive(Clone, Debug, Serialize)]
pub struct Note {
    /// 1-based line in the file (point number in GPX); 0 = the file as a whole.
    pub line: u64,
    /// 1-based column of the table, 0 = the whole line.
    pub column: u32,
    /// What was found.
    pub what: String,
    /// What was done about it, and how to mend it.
    pub done: String,
}
