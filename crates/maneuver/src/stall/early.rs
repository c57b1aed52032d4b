//! A recovery that was begun at the cue, before a later and deeper break.
//!
//! A pilot may unload at the cue, pull again and then stall: the later break falls farther and looks like
//! *the* stall, but it is a secondary one. What tells is the first unloading: nose and angle of attack go
//! down together, well short of the critical angle, and the nose comes up again afterward.

use super::Moment;
use super::breaking::Breaking;
use super::scene::Scene;
use flight::Origin;

/// Fall of the nose that is an unloading, rad: 1.5°, more than a pilot's hand wanders; and of the angle of
/// attack with it, rad.
const NOSE_RAD: f64 = 1.5 * std::f64::consts::PI / 180.0;
const ANGLE_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;
/// Within this time, s.
const WITHIN_S: f64 = 2.5;
/// Short of the critical angle by at least this share of it.
const SHORT_OF: f64 = 0.12;

/// The unloading between the cue and the break, if there was one.
pub fn unloading(scene: &Scene, breaking: &Breaking, cue: Option<&Moment>) -> Option<Moment> {
    // Without a known critical angle, in gusts, or in a steep turn, nose and angle move for other reasons.
    let knows = scene.critical_known && (scene.vane || scene.angle_is_sound());
    if !knows || scene.accelerated() {
        return None;
    }
    let cue = cue?;
    let pitch = scene.motion.pitch.smooth(0.3);
    let aoa = scene.aoa.smooth(0.5);
    let sure = scene.air_factor();
    let until = breaking.full.at_s - 1.5;
    let mut at = cue.at_s - 0.5 * cue.sigma_s.min(2.0);
    while at < until {
        let (low_at, low) = pitch.lowest(at, at + WITHIN_S)?;
        let (_, angle_low) = aoa.lowest(at, at + WITHIN_S)?;
        let nose = pitch.at(at) - low;
        let angle = aoa.at(at) - angle_low;
        if nose >= NOSE_RAD * sure && angle >= (ANGLE_RAD * sure).max(1.5 * scene.aoa_sigma_rad) {
            let (_, most) = aoa.highest(cue.at_s - 3.0, at + 0.5)?;
            let short = most < scene.critical_rad * (1.0 - SHORT_OF);
            // Up again by the same amount before the break, or it is the break's own beginning.
            let again = pitch
                .highest(low_at, breaking.full.at_s + 1.0)
                .map_or(f64::NAN, |(_, again)| again);
            let pulled = again - low >= NOSE_RAD * sure;
            if short && pulled {
                let (peak_at, _) = pitch.highest(at, low_at)?;
                return Some(Moment::new(peak_at, 0.5 * sure, Origin::Derived));
            }
            return None;
        }
        at += 0.1;
    }
    None
}
