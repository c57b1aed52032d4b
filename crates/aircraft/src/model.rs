//! The aircraft as a value; reading it from a file is `file`.

/// One aircraft, SI. `None` means the file does not say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aircraft {
    /// Name of the type as the school writes it.
    pub name: String,
    /// One line for people.
    pub description: String,
    /// Speeds, indicated, at the reference mass.
    pub speeds: Speeds,
    /// Flap detents in order of angle, the first is flaps up (angle 0). One entry: no flaps. Empty: unknown.
    pub flaps: Vec<Detent>,
    /// Masses.
    pub mass: Mass,
    /// Load factors that the structure is approved for.
    pub limits: Limits,
    /// Engine and propeller.
    pub engine: Engine,
    /// Wing area, m².
    pub wing_area_m2: Option<f64>,
    /// Wing span, m.
    pub wing_span_m: Option<f64>,
    /// Angle of attack at the stall, rad, clean.
    pub critical_aoa_rad: Option<f64>,
    /// Indicated against calibrated airspeed, in the order of the file. Empty: taken as equal.
    pub calibration: Vec<CalibrationPoint>,
    /// What is known of the recorder's manners.
    pub recorder: RecorderQuirks,
}

impl Aircraft {
    /// An aircraft of which nothing is known.
    #[must_use]
    pub fn unknown() -> Self {
        Self {
            name: "unknown aircraft".to_owned(),
            ..Self::default()
        }
    }
}

/// One pair of the manual's airspeed calibration table.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CalibrationPoint {
    /// What the indicator shows, m/s.
    pub indicated_mps: f64,
    /// The calibrated airspeed then, m/s.
    pub calibrated_mps: f64,
    /// Flap angle the pair is for, rad. `None`: any.
    pub flap_angle_rad: Option<f64>,
}

/// Indicated airspeeds at the reference mass, m/s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Speeds {
    /// Stall, landing configuration.
    pub vs0_mps: Option<f64>,
    /// Stall, clean.
    pub vs1_mps: Option<f64>,
    /// Best angle of climb.
    pub vx_mps: Option<f64>,
    /// Best rate of climb.
    pub vy_mps: Option<f64>,
    /// Maneuvering speed at the reference mass.
    pub va_mps: Option<f64>,
    /// Flaps extended, full flap.
    pub vfe_mps: Option<f64>,
    /// Maximum structural cruising.
    pub vno_mps: Option<f64>,
    /// Never exceed.
    pub vne_mps: Option<f64>,
    /// Best glide.
    pub best_glide_mps: Option<f64>,
    /// Final approach.
    pub approach_mps: Option<f64>,
    /// Rotation.
    pub rotate_mps: Option<f64>,
}

/// One flap setting.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Detent {
    /// Flap angle, rad.
    pub angle_rad: f64,
    /// Highest speed for this setting, indicated, m/s.
    pub limit_mps: Option<f64>,
    /// Stall speed in this setting at the reference mass, indicated, m/s.
    pub stall_mps: Option<f64>,
    /// Angle of attack at which the stall warning sounds, rad.
    pub warning_aoa_rad: Option<f64>,
    /// Change of the angle of attack at the same lift against flaps up, rad (negative), where learned.
    pub aoa_offset_rad: Option<f64>,
    /// Added drag coefficient relative to flaps up, where learned (D/(qS) as a fraction of the clean lift scale).
    pub drag_offset: Option<f64>,
}

/// Masses, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mass {
    /// Mass at which the speeds above are published.
    pub reference_kg: Option<f64>,
    /// Mass on the day, when someone said so; else the reference mass is used.
    pub actual_kg: Option<f64>,
    /// Highest permitted.
    pub maximum_kg: Option<f64>,
    /// Empty.
    pub empty_kg: Option<f64>,
}

/// How the propeller turns rpm into power.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Propeller {
    /// Not said.
    #[default]
    Unknown,
    /// Fixed pitch: rpm follows power and airspeed.
    FixedPitch,
    /// Constant speed: rpm is governed, manifold pressure shows the power.
    ConstantSpeed,
}

/// Limit load factors, g.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Positive, flaps up.
    pub load_max_g: Option<f64>,
    /// Negative, below zero.
    pub load_min_g: Option<f64>,
}

/// Engine and propeller.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Engine {
    /// Rated power, W.
    pub rated_power_w: Option<f64>,
    /// Rated speed, rad/s of the crankshaft.
    pub rated_speed_radps: Option<f64>,
    /// Idle speed in flight, rad/s.
    pub idle_speed_radps: Option<f64>,
    /// Propeller.
    pub propeller: Propeller,
}

/// Known manners of the recorder in this aircraft.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RecorderQuirks {
    /// Lag of the pitot-static system, s.
    pub pitot_lag_s: Option<f64>,
    /// Lag of the recorded vertical speed, s.
    pub vertical_speed_lag_s: Option<f64>,
    /// Added to recorded pitch to get the true one, rad.
    pub pitch_offset_rad: Option<f64>,
    /// Added to recorded bank, rad.
    pub bank_offset_rad: Option<f64>,
}
