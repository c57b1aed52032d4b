//! The reconstructed flight as a value.
//!
//! Frames: local east-north-up at the first fix. Signs: pitch nose up, bank right, heading and track
//! clockwise from true north unless a name says magnetic. Airspeeds are in the aircraft's own
//! *indicated* frame unless the name says true.

/// Where a number comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// The recorder wrote it (smoothed).
    Measured,
    /// Computed from measured ones by physics.
    Derived,
    /// Rests on something nobody recorded or said.
    Assumed,
}

/// 1-σ of a series.
#[derive(Clone, Debug, PartialEq)]
pub enum Sigma {
    /// The same everywhere.
    Constant(f64),
    /// One for each sample.
    Each(Vec<f32>),
}

/// One quantity on the flight's time base.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// SI; NaN where unknown.
    pub values: Vec<f64>,
    /// 1-σ of a single value, SI (slow biases included).
    pub sigma: Sigma,
    /// Origin.
    pub origin: Origin,
}

impl Series {
    /// Value at a sample, NaN outside.
    #[must_use]
    pub fn at(&self, index: usize) -> f64 {
        self.values.get(index).copied().unwrap_or(f64::NAN)
    }
    /// 1-σ at a sample.
    #[must_use]
    pub fn sigma_at(&self, index: usize) -> f64 {
        match &self.sigma {
            Sigma::Constant(sigma) => *sigma,
            Sigma::Each(all) => all.get(index).map_or(f64::NAN, |sigma| f64::from(*sigma)),
        }
    }
}

/// Even time base: sample `i` is at `i * step_s` seconds from the recording's first sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock {
    /// Seconds between samples.
    pub step_s: f64,
    /// Number of samples.
    pub len: usize,
}

impl Clock {
    /// Time of a sample, s.
    #[must_use]
    pub fn time_s(&self, index: usize) -> f64 {
        index as f64 * self.step_s
    }
    /// Nearest sample to a time, clamped.
    #[must_use]
    pub fn index(&self, time_s: f64) -> usize {
        let last = self.len.saturating_sub(1);
        if time_s.is_nan() || time_s <= 0.0 {
            0
        } else {
            ((time_s / self.step_s).round() as usize).min(last)
        }
    }
}

/// How the air was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Air {
    /// No gusts to speak of.
    Calm,
    /// Light turbulence.
    Light,
    /// Moderate or more: angle of attack and flap inference make no claim.
    Rough,
}

/// Power, as far as engine figures, energy or the throttle show it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PowerState {
    /// Closed.
    Idle,
    /// Between.
    Partial,
    /// As good as all there is.
    Full,
    /// Cannot tell.
    Unknown,
}

/// What the recorder carries, in four words for tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Air data, attitude, engine, and flaps or controls.
    Rich,
    /// Air data and attitude.
    Panel,
    /// GNSS and attitude.
    GnssAttitude,
    /// GNSS only.
    Gnss,
    /// Anything else (air data without position, …).
    Sparse,
}

/// A flap movement, recorded or inferred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlapStep {
    /// When the lever moved, s.
    pub at_s: f64,
    /// 1-σ of the time.
    pub sigma_s: f64,
    /// From, rad.
    pub from_rad: f64,
    /// To, rad.
    pub to_rad: f64,
    /// Chance that it happened at all, 0 to 1 (1 = recorded).
    pub probability: f64,
    /// Measured or derived.
    pub origin: Origin,
}

/// Flap position over the flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Flaps {
    /// Most likely angle, rad; NaN where unknown.
    pub angle: Series,
    /// Chance that the flaps are out (not in the first detent), per sample; NaN = unknown.
    pub out: Vec<f32>,
    /// Steps in order.
    pub steps: Vec<FlapStep>,
}

/// One reconstructed flight. Every `Option` is absent when the recorder cannot support it.
#[derive(Clone, Debug)]
pub struct Flight {
    /// File name or the like.
    pub name: String,
    /// UTC of sample 0, seconds since 1970.
    pub start_unix_s: Option<f64>,
    /// Time base.
    pub clock: Clock,
    /// `false` in holes of the recording and where nothing is known.
    pub known: Vec<bool>,
    /// What the recorder carries.
    pub fit: Fit,
    /// How rough the air was over the whole flight.
    pub air: Air,
    /// Vertical-gust strength that the verdict rests on, m/s (NaN = not estimated).
    pub gust_mps: f64,
    /// Latitude of the local frame's origin, rad.
    pub origin_latitude_rad: f64,
    /// Longitude of the origin, rad.
    pub origin_longitude_rad: f64,
    /// Magnetic variation used, rad, east positive.
    pub variation_rad: f64,
    /// East of the origin, m.
    pub east: Option<Series>,
    /// North of the origin, m.
    pub north: Option<Series>,
    /// The altitude the pilot flew by, m: indicated where recorded, else GNSS. Lag removed.
    pub altitude: Option<Series>,
    /// Height above mean sea level as well as it is known, m.
    pub height: Option<Series>,
    /// Height above terrain, m.
    pub agl: Option<Series>,
    /// Climb rate, m/s.
    pub climb: Option<Series>,
    /// Ground speed, m/s.
    pub ground_speed: Option<Series>,
    /// Track over the ground, true, rad, unwrapped (continuous).
    pub track: Option<Series>,
    /// Indicated airspeed, m/s, lag removed; derived from GNSS and wind where no pitot was recorded.
    pub ias: Option<Series>,
    /// True airspeed, m/s.
    pub tas: Option<Series>,
    /// Rate of change of true airspeed, m/s².
    pub tas_rate: Option<Series>,
    /// Heading, true, rad, unwrapped. Derived from the air-relative path where not recorded.
    pub heading: Option<Series>,
    /// Air-relative direction of flight, true, rad, unwrapped (wind removed).
    pub air_track: Option<Series>,
    /// Rate of turn through the air, rad/s, right positive.
    pub turn_rate: Option<Series>,
    /// Pitch, rad.
    pub pitch: Option<Series>,
    /// Bank, rad; from coordinated flight where not recorded.
    pub bank: Option<Series>,
    /// Load factor along the lift, g.
    pub load: Option<Series>,
    /// Lateral load, g.
    pub lateral: Option<Series>,
    /// Air-relative flight-path angle, rad.
    pub path: Option<Series>,
    /// Angle of attack, rad (vane where recorded, else pitch minus path).
    pub aoa: Option<Series>,
    /// Lift over the greatest lift, n·(Vs/V)² with the stall speed of the flap setting: 1 = stall.
    pub lift_ratio: Option<Series>,
    /// Lift coefficient, where wing area and mass are known.
    pub lift_coefficient: Option<Series>,
    /// Wind from west to east, m/s.
    pub wind_east: Option<Series>,
    /// Wind from south to north, m/s.
    pub wind_north: Option<Series>,
    /// Vertical speed of the air, up, m/s.
    pub updraft: Option<Series>,
    /// Specific energy h + V²/2g, m.
    pub energy: Option<Series>,
    /// Rate of change of specific energy, m/s.
    pub excess_power: Option<Series>,
    /// Engine speed, rad/s.
    pub engine_speed: Option<Series>,
    /// Power as a share of rated (of what is available, where rated is not known), 0 to 1.
    pub power: Option<Series>,
    /// Power class per sample.
    pub power_state: Vec<PowerState>,
    /// Stall warning, 0 or 1.
    pub stall_warning: Option<Series>,
    /// Flap position.
    pub flaps: Option<Flaps>,
    /// Elevator, share of travel, nose up positive.
    pub elevator: Option<Series>,
    /// Aileron, share of travel, right positive.
    pub aileron: Option<Series>,
    /// Rudder, share of travel, right positive.
    pub rudder: Option<Series>,
    /// Pitch trim, share of travel, nose up positive.
    pub trim: Option<Series>,
    /// Throttle lever, 0 to 1.
    pub throttle: Option<Series>,
    /// Manifold pressure, Pa.
    pub manifold_pressure: Option<Series>,
    /// Fuel flow, m³/s.
    pub fuel_flow: Option<Series>,
    /// Outside air temperature, K.
    pub temperature: Option<Series>,
    /// On the ground, per sample, where it can be told.
    pub on_ground: Vec<bool>,
    /// Channel faults and other things the debrief must say: start s, end s, words.
    pub remarks: Vec<(f64, f64, String)>,
}

impl Flight {
    /// A flight of which nothing is known but its time base.
    #[must_use]
    pub fn empty(clock: Clock) -> Self {
        let len = clock.len;
        Self {
            name: String::new(),
            start_unix_s: None,
            clock,
            known: vec![true; len],
            fit: Fit::Sparse,
            air: Air::Light,
            gust_mps: f64::NAN,
            origin_latitude_rad: 0.0,
            origin_longitude_rad: 0.0,
            variation_rad: 0.0,
            east: None,
            north: None,
            altitude: None,
            height: None,
            agl: None,
            climb: None,
            ground_speed: None,
            track: None,
            ias: None,
            tas: None,
            tas_rate: None,
            heading: None,
            air_track: None,
            turn_rate: None,
            pitch: None,
            bank: None,
            load: None,
            lateral: None,
            path: None,
            aoa: None,
            lift_ratio: None,
            lift_coefficient: None,
            wind_east: None,
            wind_north: None,
            updraft: None,
            energy: None,
            excess_power: None,
            engine_speed: None,
            power: None,
            power_state: vec![PowerState::Unknown; len],
            stall_warning: None,
            flaps: None,
            elevator: None,
            aileron: None,
            rudder: None,
            trim: None,
            throttle: None,
            manifold_pressure: None,
            fuel_flow: None,
            temperature: None,
            on_ground: vec![false; len],
            remarks: Vec::new(),
        }
    }
}

/// What the caller knows besides the recording.
#[derive(Clone, Copy, Debug, Default)]
pub struct Surroundings {
    /// Terrain elevation of the practice area, m above mean sea level.
    pub terrain_m: Option<f64>,
}
