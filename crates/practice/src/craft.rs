//! The aircraft file of an airframe: what the debrief is told of what was flown.

use crate::speeds::Speeds;
use aircraft::{Aircraft, Detent, Engine, Limits, Mass, Propeller};
use dynamics::Airframe;
use dynamics::figures::stall_speed_mps;

/// VNO and VNE over VS1: those of the demonstration's aircraft file, whose figures a model of the motion cannot give
/// (assumed).
const VNO: f64 = 2.45;
/// Never exceed.
const VNE: f64 = 2.85;

/// The aircraft as its manual would have it; the recorders show calibrated airspeed, so that indicated is calibrated.
#[must_use]
pub fn aircraft(airframe: &Airframe, speeds: &Speeds) -> Aircraft {
    let flaps = airframe.flaps.iter().zip(&airframe.critical_rad);
    let detents = flaps.enumerate().map(|(index, (flap, critical))| Detent {
        angle_rad: flap.angle_rad,
        limit_mps: (index > 0).then_some(speeds.vfe),
        stall_mps: Some(stall_speed_mps(airframe, flap.angle_rad)),
        warning_aoa_rad: Some(critical - airframe.warning_before_rad),
        ..Detent::default()
    });
    Aircraft {
        name: airframe.name.clone(),
        description: "flown by the flight model: no real aircraft".to_owned(),
        speeds: aircraft::Speeds {
            vs0_mps: Some(speeds.vs0),
            vs1_mps: Some(speeds.vs1),
            vx_mps: Some(speeds.vx),
            vy_mps: Some(speeds.vy),
            va_mps: Some(speeds.va),
            vfe_mps: Some(speeds.vfe),
            vno_mps: Some(VNO * speeds.vs1),
            vne_mps: Some(VNE * speeds.vs1),
            best_glide_mps: Some(speeds.glide),
            approach_mps: Some(speeds.approach),
            rotate_mps: Some(speeds.rotate),
        },
        flaps: detents.collect(),
        mass: Mass {
            reference_kg: Some(airframe.inertia.mass_kg),
            ..Mass::default()
        },
        limits: Limits::default(),
        engine: Engine {
            rated_power_w: Some(airframe.engine.rated_w),
            rated_speed_radps: Some(airframe.engine.rated_radps),
            propeller: Propeller::FixedPitch,
            ..Engine::default()
        },
        wing_area_m2: Some(airframe.wing.area_m2),
        wing_span_m: Some(airframe.wing.span_m),
        critical_aoa_rad: airframe.critical_rad.first().copied(),
        ..Aircraft::default()
    }
}
