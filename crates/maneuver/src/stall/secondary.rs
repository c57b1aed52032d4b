//! A second stall in the recovery: past the critical angle again.

use super::Moment;
use super::breaking::Breaking;
use super::recovery::Recovery;
use super::scene::Scene;
use flight::Origin;

/// A secondary stall, or how little speaks for one.
#[derive(Clone, Copy, Debug)]
pub struct Secondary {
    /// Chance that there was one, 0 to 1; NaN when nothing can tell.
    pub probability: f64,
    /// When.
    pub moment: Option<Moment>,
}

/// Looks for one from half a second after unloading until the climb is settled.
pub fn find(scene: &Scene, breaking: &Breaking, recovery: &Recovery) -> Secondary {
    let from = recovery.start.at_s + 0.4;
    let settled = recovery
        .positive_climb
        .map_or(from + 20.0, |climb| climb.at_s + 12.0);
    let to = settled.min(from + 40.0).min(scene.motion.to_s);
    // The angle has to come down first, else it is still the same stall.
    let low = scene.critical_rad - 1f64.to_radians();
    let Some(down) = scene.aoa.first_beyond(from - 0.3, to, low, false) else {
        return Secondary {
            probability: f64::NAN,
            moment: None,
        };
    };
    if scene.vane && scene.critical_known {
        return by_vane(scene, down, to);
    }
    by_estimate(scene, breaking, down, to)
}

fn by_vane(scene: &Scene, from: f64, to: f64) -> Secondary {
    let Some((top_at, top)) = scene.aoa.highest(from, to) else {
        return Secondary {
            probability: f64::NAN,
            moment: None,
        };
    };
    let odds = ((top - scene.critical_rad) / (0.6 * scene.aoa_sigma_rad)).clamp(-6.0, 6.0);
    let probability = 1.0 / (1.0 + (-odds).exp());
    let at = scene
        .aoa
        .first_beyond(from, to, scene.critical_rad, true)
        .unwrap_or(top_at);
    Secondary {
        probability,
        moment: Some(Moment::new(at, 0.3, Origin::Measured)),
    }
}

fn by_estimate(scene: &Scene, breaking: &Breaking, from: f64, to: f64) -> Secondary {
    let Some((top_at, top)) = scene.aoa.smooth(0.5).highest(from, to) else {
        return Secondary {
            probability: f64::NAN,
            moment: None,
        };
    };
    // Where the angle cannot be held against the critical one, the greatest that this flight showed in the
    // first stall is the better yardstick: both have the same error.
    let yardstick = if scene.critical_known && scene.angle_is_sound() {
        scene.critical_rad
    } else {
        scene.critical_rad.max(0.85 * breaking.aoa_max.1)
    };
    let doubt = scene.aoa_sigma_rad.max(1f64.to_radians());
    let mut odds = ((top - yardstick) / doubt).clamp(-3.0, 3.0) - 0.7;
    // An angle that is on its way down from the stall, or does not come up again by more than its own error, is no second.
    let least = scene
        .aoa
        .smooth(0.5)
        .lowest(from, top_at)
        .map_or(f64::NAN, |(_, low)| low);
    odds += ((top - least - 2.0 * doubt) / doubt).clamp(-3.0, 0.0);
    // A second fall of the nose after that angle.
    let pitch = scene.motion.pitch.smooth(0.5);
    let peak = pitch
        .highest(top_at - 1.5, top_at + 0.5)
        .map_or(f64::NAN, |(_, p)| p);
    let fall = peak
        - pitch
            .lowest(top_at, top_at + 2.5)
            .map_or(f64::NAN, |(_, p)| p);
    if fall.is_finite() {
        odds += ((fall.to_degrees() - 4.0) / 1.5).clamp(-1.5, 1.5);
    }
    let probability = 1.0 / (1.0 + (-odds).exp());
    Secondary {
        probability,
        moment: Some(Moment::new(top_at - 0.5, 0.8, Origin::Derived)),
    }
}
