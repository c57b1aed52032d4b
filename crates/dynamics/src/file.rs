//! The airframe file (TOML, schema `proofwing-airframe-1`; every entry is explained in
//! `docs/flight-model.md`): units in the names, checked for what would make the motion meaningless.

mod check;

use crate::airframe::{Airframe, Flap, Inertia, Lateral, Pitch, Wing};
use crate::gear::Wheel;
use crate::propulsion::{Engine, Propeller};
use crate::stall::Separation;
use crate::state::Rates;
use aircraft::{Place, Problem};
use serde::Deserialize;
use std::f64::consts::TAU;

/// The schema that is read.
pub const SCHEMA: &str = "proofwing-airframe-1";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    schema: String,
    name: String,
    inertia: Inertia,
    wing: WingFile,
    separation: SeparationFile,
    pitch: Pitch,
    lateral: Lateral,
    flap: Vec<FlapFile>,
    engine: EngineFile,
    propeller: PropellerFile,
    controls: ControlsFile,
    #[serde(default)]
    wheel: Vec<WheelFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WingFile {
    area_m2: f64,
    span_m: f64,
    chord_m: f64,
    height_m: f64,
    lift_slope: f64,
    zero_lift_deg: f64,
    lift_pitch_rate: f64,
    lift_elevator: f64,
    stream_lift: f64,
    drag_zero: f64,
    drag_lift: f64,
    drag_separated: f64,
    drag_sideslip: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SeparationFile {
    half_deg: f64,
    sharpness_per_rad: f64,
    hysteresis_deg: f64,
    lag_s: f64,
    lead_s: f64,
    uneven_deg: f64,
    lever: f64,
    part: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FlapFile {
    angle_deg: f64,
    #[serde(default)]
    zero_lift_deg: f64,
    #[serde(default)]
    separation_deg: f64,
    #[serde(default)]
    drag: f64,
    #[serde(default)]
    pitch: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EngineFile {
    rated_power_kw: f64,
    rated_speed_rpm: f64,
    friction: f64,
    idle: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PropellerFile {
    diameter_m: f64,
    inertia_kgm2: f64,
    thrust: [f64; 3],
    power: [f64; 3],
    stream_on_tail: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ControlsFile {
    surface_per_s: f64,
    throttle_per_s: f64,
    flap_deg_per_s: f64,
    warning_before_deg: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WheelFile {
    at_m: [f64; 3],
    spring_npm: f64,
    damper_nspm: f64,
    #[serde(default)]
    steers: bool,
    #[serde(default)]
    brakes: bool,
}

/// Reads an airframe file; `name` is how messages call it.
///
/// # Errors
/// What is wrong, where, and how to mend it: no TOML, a name that is missing or unknown, a number that makes no
/// sense.
pub fn parse(text: &str, name: &str) -> Result<Airframe, Problem> {
    let file: File = toml::from_str(text).map_err(|error| Problem {
        file: name.to_owned(),
        place: Place::of(text, error.span().map_or(0, |span| span.start)),
        what: error.message().to_owned(),
        mend: "see docs/flight-model.md for the names and their units".to_owned(),
    })?;
    check::check(&file, text, name)?;
    Ok(file.into())
}

impl From<File> for Airframe {
    fn from(file: File) -> Airframe {
        let deg = f64::to_radians;
        let wing = file.wing;
        let separation = file.separation;
        let mut airframe = Airframe {
            name: file.name,
            inertia: file.inertia,
            wing: Wing {
                area_m2: wing.area_m2,
                span_m: wing.span_m,
                chord_m: wing.chord_m,
                height_m: wing.height_m,
                lift_slope: wing.lift_slope,
                zero_lift_rad: deg(wing.zero_lift_deg),
                lift_pitch_rate: wing.lift_pitch_rate,
                lift_elevator: wing.lift_elevator,
                stream_lift: wing.stream_lift,
                drag_zero: wing.drag_zero,
                drag_lift: wing.drag_lift,
                drag_separated: wing.drag_separated,
                drag_sideslip: wing.drag_sideslip,
            },
            separation: Separation {
                half_rad: deg(separation.half_deg),
                sharpness_per_rad: separation.sharpness_per_rad,
                hysteresis_rad: deg(separation.hysteresis_deg),
                lag_s: separation.lag_s,
                lead_s: separation.lead_s,
                uneven_rad: deg(separation.uneven_deg),
                lever: separation.lever,
                part: separation.part,
            },
            pitch: file.pitch,
            lateral: file.lateral,
            flaps: file
                .flap
                .iter()
                .map(|flap| Flap {
                    angle_rad: deg(flap.angle_deg),
                    zero_lift_rad: deg(flap.zero_lift_deg),
                    separation_rad: deg(flap.separation_deg),
                    drag: flap.drag,
                    pitch: flap.pitch,
                })
                .collect(),
            engine: Engine {
                rated_w: 1000.0 * file.engine.rated_power_kw,
                rated_radps: file.engine.rated_speed_rpm * TAU / 60.0,
                friction: file.engine.friction,
                idle: file.engine.idle,
            },
            propeller: Propeller {
                diameter_m: file.propeller.diameter_m,
                inertia_kgm2: file.propeller.inertia_kgm2,
                thrust: file.propeller.thrust,
                power: file.propeller.power,
                stream_on_tail: file.propeller.stream_on_tail,
            },
            wheels: file
                .wheel
                .iter()
                .map(|wheel| Wheel {
                    at_m: wheel.at_m,
                    spring_npm: wheel.spring_npm,
                    damper_nspm: wheel.damper_nspm,
                    steers: wheel.steers,
                    brakes: wheel.brakes,
                })
                .collect(),
            rates: Rates {
                surface_per_s: file.controls.surface_per_s,
                throttle_per_s: file.controls.throttle_per_s,
                flap_radps: deg(file.controls.flap_deg_per_s),
            },
            warning_before_rad: deg(file.controls.warning_before_deg),
            critical_rad: Vec::new(),
        };
        airframe.settle_critical();
        airframe
    }
}
