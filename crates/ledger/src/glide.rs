//! Where the height of a glide went: the power-off 180.
//!
//! Along the air path dh = (T − D)/W ds − d(V²/2g). Every part of the drag is integrated by itself, so that the shares
//! add up by themselves; what the fitted airplane does not explain is said to be that (slip, rising and sinking air).

use crate::airplane::{Airplane, Moment};
use crate::flown::Flown;
use air::units::G0_MPS2;

/// Where the height went, m; they add up to the loss.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Glide {
    /// Height lost.
    pub lost_m: f64,
    /// Flown at best glide, wings level, clean, over the same way through the air.
    pub best_m: f64,
    /// Speed off best glide.
    pub speed_m: f64,
    /// Load of the turns.
    pub turns_m: f64,
    /// Flaps.
    pub flaps_m: f64,
    /// Power that was not off: negative, it carries.
    pub power_m: f64,
    /// Speed that was gained; negative: given up.
    pub kinetic_m: f64,
    /// The rest: slip, and air that rises or sinks.
    pub rest_m: f64,
    /// 1-σ of the rest, from gusts, m.
    pub rest_sigma_m: f64,
}

/// Shares out the height lost between two times.
#[must_use]
pub fn glide(flown: &Flown, airplane: &Airplane, from_s: f64, to_s: f64) -> Option<Glide> {
    let samples: Vec<_> = flown.span(from_s, to_s).collect();
    let (first, last) = (samples.first()?, samples.last()?);
    if last.t < first.t + 5.0 {
        return None;
    }
    let root = flown.about.density_root;
    // Drag is least where both its parts are equal (Anderson 1999, ch. 5).
    let u_best = (airplane.induced / airplane.parasite.max(1e-6)).powf(0.25);
    let level = |eas_mps: f64, load: f64, flap_rad: f64| Moment {
        eas_mps,
        load,
        flap_rad,
        thrust: 0.0,
    };
    let least = airplane.drag(&level(u_best * airplane.clean_stall_mps(), 1.0, 0.0));
    let mut out = Glide {
        lost_m: first.height - last.height,
        kinetic_m: (last.tas * last.tas - first.tas * first.tas) / (2.0 * G0_MPS2),
        ..Glide::default()
    };
    for pair in samples.windows(2) {
        let [a, b] = pair else { continue };
        let way = 0.5 * (a.tas + b.tas) * (b.t - a.t);
        let eas = a.tas * root;
        // Wings level a glide carries cos γ of the weight: what is above that is the turn's.
        let load = (a.load / a.path.cos().max(0.5)).clamp(0.5, 2.5);
        let straight = airplane.drag(&level(eas, 1.0, 0.0));
        let turning = airplane.drag(&level(eas, load, 0.0));
        let all = airplane.drag(&level(eas, load, a.flap));
        out.best_m += least * way;
        out.speed_m += (straight - least) * way;
        out.turns_m += (turning - straight) * way;
        out.flaps_m += (all - turning) * way;
        out.power_m -= airplane.thrust(eas, a.power) * way;
    }
    let told = out.best_m + out.speed_m + out.turns_m + out.flaps_m + out.power_m + out.kinetic_m;
    out.rest_m = out.lost_m - told;
    let lasted = last.t - first.t;
    // A vertical gust that keeps for ten seconds or so (low-altitude Dryden lengths at these speeds).
    out.rest_sigma_m = flown.about.gust_mps * (2.0 * 10.0 * lasted).sqrt() + 3.0;
    Some(out)
}
