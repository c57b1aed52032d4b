//! The airframe file (TOML, schema `proofwing-airframe-1`; every entry is explained in
//! `docs/flight-model.md`): units in the names, checked for what would make the motion meaningless.

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
    check(&file, text, name)?;
    Ok(file.into())
}

/// Where a key stands, for messages about its number.
fn place(text: &str, section: &str, key: &str) -> Place {
    let from = text.find(section).unwrap_or(0);
    let at = text
        .get(from..)
        .and_then(|rest| rest.find(&format!("\n{key}")))
        .map_or(from, |offset| from + offset + 1);
    Place::of(text, at)
}

fn check(file: &File, text: &str, name: &str) -> Result<(), Problem> {
    let wrong = |section: &str, key: &str, what: String, mend: &str| Problem {
        file: name.to_owned(),
        place: place(text, section, key),
        what,
        mend: mend.to_owned(),
    };
    if file.schema != SCHEMA {
        let what = format!("schema = \"{}\" is not one that can be read", file.schema);
        return Err(wrong(
            "schema",
            "schema",
            what,
            &format!("write schema = \"{SCHEMA}\""),
        ));
    }
    let above_zero = [
        ("[inertia]", "mass_kg", file.inertia.mass_kg),
        ("[inertia]", "xx_kgm2", file.inertia.xx_kgm2),
        ("[inertia]", "yy_kgm2", file.inertia.yy_kgm2),
        ("[inertia]", "zz_kgm2", file.inertia.zz_kgm2),
        ("[wing]", "area_m2", file.wing.area_m2),
        ("[wing]", "span_m", file.wing.span_m),
        ("[wing]", "chord_m", file.wing.chord_m),
        ("[wing]", "lift_slope", file.wing.lift_slope),
        ("[wing]", "drag_zero", file.wing.drag_zero),
        ("[separation]", "half_deg", file.separation.half_deg),
        (
            "[separation]",
            "sharpness_per_rad",
            file.separation.sharpness_per_rad,
        ),
        ("[separation]", "lag_s", file.separation.lag_s),
        ("[engine]", "rated_power_kw", file.engine.rated_power_kw),
        ("[engine]", "rated_speed_rpm", file.engine.rated_speed_rpm),
        ("[propeller]", "diameter_m", file.propeller.diameter_m),
        ("[propeller]", "inertia_kgm2", file.propeller.inertia_kgm2),
        ("[controls]", "surface_per_s", file.controls.surface_per_s),
        ("[controls]", "throttle_per_s", file.controls.throttle_per_s),
        ("[controls]", "flap_deg_per_s", file.controls.flap_deg_per_s),
    ];
    for (section, key, value) in above_zero {
        if !(value.is_finite() && value > 0.0) {
            let what = format!("{key} = {value} cannot be");
            return Err(wrong(section, key, what, "write a number above zero"));
        }
    }
    let settles = [
        ("[pitch]", "alpha", file.pitch.alpha),
        ("[pitch]", "pitch_rate", file.pitch.pitch_rate),
        ("[lateral]", "roll_roll_rate", file.lateral.roll_roll_rate),
        ("[lateral]", "yaw_yaw_rate", file.lateral.yaw_yaw_rate),
    ];
    for (section, key, value) in settles {
        if !(value.is_finite() && value < 0.0) {
            let what = format!("{key} = {value} would make the airplane run away");
            return Err(wrong(section, key, what, "write a number below zero"));
        }
    }
    if file.inertia.xz_kgm2.powi(2) >= file.inertia.xx_kgm2 * file.inertia.zz_kgm2 {
        let what = "xz_kgm2 is more than any body can have".to_owned();
        return Err(wrong(
            "[inertia]",
            "xz_kgm2",
            what,
            "its square must stay below xx times zz",
        ));
    }
    let rising = file
        .flap
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a.angle_deg < b.angle_deg));
    let clean = file.flap.first().is_some_and(|flap| flap.angle_deg == 0.0);
    if !(rising && clean) {
        let what = "the flap detents do not rise from 0".to_owned();
        return Err(wrong(
            "[[flap]]",
            "angle_deg",
            what,
            "begin with angle_deg = 0 and list them by rising angle",
        ));
    }
    Ok(())
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
        airframe.critical_rad = airframe
            .flaps
            .iter()
            .map(|flap| airframe.critical(flap.angle_rad).0)
            .collect();
        airframe
    }
}
