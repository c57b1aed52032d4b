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
    warning(scene, from, to).or_else(|| {
        let by_angle = by_angle(scene, from, to, breaking);
        if scene.vane {
            return by_angle;
        }
        both(by_angle, by_lift(scene, from, to))
    })
}

/// Two estimates as one, each counting by its σ.
fn both(a: Option<Moment>, b: Option<Moment>) -> Option<Moment> {
    let (Some(first), Some(second)) = (a, b) else {
        return a.or(b);
    };
    let (wa, wb) = (first.sigma_s.powi(-2), second.sigma_s.powi(-2));
    let at = (wa * first.at_s + wb * second.at_s) / (wa + wb);
    // Where they disagree by more than their errors, the error is larger than thought.
    let sigma = (wa + wb)
        .powf(-0.5)
        .max(0.5 * (first.at_s - second.at_s).abs());
    Some(Moment::new(at, sigma, Origin::Derived))
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

/// The lift ratio at 83 %: the definition, from speed and load factor. Its error is some hundredths, for
/// weight, flap setting and the pitot's own error are not known better.
fn by_lift(scene: &Scene, from: f64, to: f64) -> Option<Moment> {
    let ratio = scene.motion.lift_ratio.smooth(1.0);
    let at = ratio.first_held(from, to, CUE_LIFT, true, 0.5)?;
    let rate = ratio.rate(2.0).at(at).abs().max(0.015);
    let sigma = (0.05 / rate).clamp(0.6, 4.0) * scene.air_factor();
    Some(Moment::new(at, sigma, Origin::Derived))
}
