//! Full stall or recovery at the first cue: how sure one can be.
//!
//! Three answers are wanted: yes, no, cannot tell. Each sign adds its log-odds within wide limits, so that
//! no single one decides, except a recorded angle of attack against the critical one, which is the
//! definition itself.

use super::Moment;
use super::breaking::Breaking;
use super::scene::Scene;
use flight::Origin;

/// Chance that the stall was full, 0 to 1.
pub fn full_stall(scene: &Scene, breaking: &Breaking, cue: Option<&Moment>) -> f64 {
    if scene.vane && scene.critical_known && breaking.aoa_max.1.is_finite() {
        return by_vane(scene, breaking);
    }
    let widen = scene.air_factor();
    let mut odds = 0.0;
    // Evidence against a full stall may weigh more than evidence for it: `least` is its limit.
    let mut add_between = |value: f64, middle: f64, scale: f64, least: f64, most: f64| {
        if value.is_finite() {
            odds += ((value - middle) / scale).clamp(-least, most);
        }
    };
    // Angle of attack reached, as a share of the critical one. Recoveries at the cue turn back near 0.6
    // to 0.8 of it; a full stall overshoots it.
    let share = breaking.aoa_max.1 / scene.critical_rad;
    let doubt = (scene.aoa_sigma_rad / scene.critical_rad).max(0.05);
    let most = if scene.critical_known { 3.0 } else { 1.5 };
    // A wing that never came near its critical angle did not stall, however the nose came down: with the
    // path through the air measured and the flaps known, that overrules the other signs together.
    let least = if scene.critical_known && scene.angle_is_sound() {
        7.0
    } else {
        most
    };
    add_between(share, 0.92, doubt, least, most);
    let mut add = |value, middle, scale, most| add_between(value, middle, scale, most, most);
    // A nose that falls by itself leaves the wing behind: the angle goes on growing, for the path falls
    // faster. A nose that is pushed down takes the angle down with it at once. No bias enters a difference.
    // Nose and load: a full stall drops both without being asked; a gentle recovery moves them less. In a steep turn the
    // nose follows the bank.
    if !scene.accelerated() {
        add(angle_while_falling(scene, breaking), 0.8, 0.8 * widen, 2.0);
        add(breaking.nose_fall_rad.to_degrees(), 6.5, 1.6 * widen, 1.5);
    }
    add(breaking.load_dip_g, 0.17, 0.08 * widen, 0.7);
    add(breaking.lift_ratio_max, 0.93, 0.07 * widen, 1.5);
    // Time from the cue to the nose falling: a pilot who recovers at the cue does so within a second.
    if let Some(cue) = cue.filter(|cue| cue.origin != Origin::Assumed) {
        let (at, _) = breaking.pitch_peak;
        add(at - cue.at_s, 1.2, 1.0f64.max(cue.sigma_s), 1.0);
    }
    1.0 / (1.0 + (-odds).exp())
}

/// Chance that the wing had stalled by a time, from the angle of attack alone.
pub fn stalled_by(scene: &Scene, at_s: f64) -> f64 {
    let most = scene
        .aoa
        .highest(at_s - 5.0, at_s)
        .map_or(f64::NAN, |(_, most)| most);
    odds_of_angle(scene, most)
}

/// Chance that an angle of attack was past the critical one, by its error.
fn odds_of_angle(scene: &Scene, aoa_rad: f64) -> f64 {
    let odds = ((aoa_rad - scene.critical_rad) / scene.aoa_sigma_rad).clamp(-5.0, 5.0);
    1.0 / (1.0 + (-1.7 * odds).exp())
}

/// Growth of the angle of attack from the highest pitch until the nose is 1.5° (or 3°) below it, deg.
fn angle_while_falling(scene: &Scene, breaking: &Breaking) -> f64 {
    let pitch = scene.motion.pitch.smooth(0.3);
    let aoa = scene.aoa.smooth(0.4);
    let (peak_at, peak) = breaking.pitch_peak;
    let growth = |fall_deg: f64| {
        let level = peak - fall_deg.to_radians();
        let at = pitch.first_beyond(peak_at, peak_at + 6.0, level, false)?;
        Some((aoa.at(at) - aoa.at(peak_at)).to_degrees())
    };
    let grown = [growth(1.5), growth(3.0)].into_iter().flatten();
    grown.fold(f64::NAN, f64::max)
}

/// With a vane: past the critical angle by more than its error, held for a third of a second. Within that
/// error the nose decides: one that falls by itself leaves the angle growing, one that is pushed does not.
fn by_vane(scene: &Scene, breaking: &Breaking) -> f64 {
    let chance = odds_of_angle(scene, breaking.aoa_max.1);
    let over = (breaking.aoa_max.1 - scene.critical_rad) / scene.aoa_sigma_rad;
    let open = (1.0 - 0.5 * over.abs()).max(0.0);
    if open <= 0.0 || scene.accelerated() {
        return chance;
    }
    let widen = scene.air_factor();
    let grown = (angle_while_falling(scene, breaking) - 0.8) / (0.8 * widen);
    let fall = (breaking.nose_fall_rad.to_degrees() - 6.5) / (1.6 * widen);
    let signs = [grown.clamp(-2.0, 2.0), fall.clamp(-1.5, 1.5)];
    let signs: f64 = signs.into_iter().filter(|odds| odds.is_finite()).sum();
    let odds = (chance / (1.0 - chance)).ln() + open * signs;
    1.0 / (1.0 + (-odds).exp())
}
