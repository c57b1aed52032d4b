//! The first sign of the stall: the warning where recorded, else the angle of attack or the lift ratio.

use super::Moment;
use super::breaking::Breaking;
use super::entry::Entry;
use super::scene::Scene;
use crate::phases::flaps;
use flight::Origin;

/// Lift over greatest lift at the first cue.
const CUE_LIFT: f64 = 0.83;

/// The first cue of this stall.
pub fn find(scene: &Scene, entry: &Entry, breaking: &Breaking) -> Option<Moment> {
    let from = entry.pitch_up.at_s - 1.0;
    let to = breaking.full.at_s + 3.0;
    warning(scene, from, to)
        .or_else(|| by_angle(scene, from, to, breaking))
        .or_else(|| by_lift(scene, from, to))
}

/// A horn that sounds for a third of a second.
fn warning(scene: &Scene, from: f64, to: f64) -> Option<Moment> {
    let at = scene.motion.warning.first_held(from, to, 0.5, true, 0.3)?;
    Some(Moment::new(at, 0.3, Origin::Measured))
}

/// The angle at which the warning would sound: as the aircraft file has it for the flaps, else where the
/// lift curve, straight up to near the stall, has 83 % of its top.
fn by_angle(scene: &Scene, from: f64, to: f64, breaking: &Breaking) -> Option<Moment> {
    let (flap, _) = flaps::angle_at(scene.motion, breaking.full.at_s);
    let detents = scene.aircraft.flaps.iter();
    let near = detents.min_by(|a, b| {
        (a.angle_rad - flap)
            .abs()
            .total_cmp(&(b.angle_rad - flap).abs())
    });
    let level = near
        .filter(|_| flap.is_finite())
        .or_else(|| scene.aircraft.flaps.first())
        .and_then(|detent| detent.warning_aoa_rad)
        .unwrap_or(0.62 * scene.critical_rad);
    let aoa = scene.aoa.smooth(if scene.vane { 0.5 } else { 1.0 });
    let at = aoa.first_held(from, to, level, true, 0.5)?;
    let rate = aoa.rate(1.5).at(at).abs().max(0.2f64.to_radians());
    // Where the angle creeps, its error is a long time.
    let sigma = (scene.aoa_sigma_rad / rate).clamp(0.6, 5.0);
    Some(Moment::new(at, sigma, Origin::Derived))
}

fn by_lift(scene: &Scene, from: f64, to: f64) -> Option<Moment> {
    let ratio = scene.motion.lift_ratio.smooth(1.0);
    let at = ratio.first_held(from, to, CUE_LIFT, true, 0.5)?;
    Some(Moment::new(at, 1.5 * scene.air_factor(), Origin::Derived))
}
