//! The short simulation: a point that carries speed, path and height, with the load factor as the pilot's control.
//!
//! V̇ = g((T − D)/W − sin γ + ε), γ̇ = g/V (n cos φ − cos γ), ḣ = V sin γ, classical equations of a point mass (B.
//! Etkin, L. Reid, *Dynamics of Flight*, 3rd ed. 1996, ch. 7); ε is what the recording showed beyond the fitted
//! airplane at that moment: the same air and the same small errors go into every run.

use crate::actions::{Actions, Climb};
use crate::airplane::{Airplane, Moment, turning};
use air::units::G0_MPS2;

/// Step, s.
pub const STEP_S: f64 = 0.05;
/// A run catches up with the speed that was flown in about this time, s.
const CATCH_S: f64 = 5.0;
/// A pull grows with the speed at its beginning, up to this.
const FASTER: f64 = 1.3;
/// A climb speed is sought over about this time, s.
const SEEK_S: f64 = 8.0;
/// Share of the power left that climbs while the speed is still coming.
const HEIGHT_SHARE: f64 = 0.3;

/// Where a run begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// s.
    pub t: f64,
    /// Height, m.
    pub height: f64,
    /// True airspeed, m/s.
    pub tas: f64,
    /// Path, rad.
    pub path: f64,
}

/// One moment of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// s.
    pub t: f64,
    /// Height, m.
    pub height: f64,
    /// True airspeed, m/s.
    pub tas: f64,
    /// Path, rad.
    pub path: f64,
}

/// A run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Run {
    /// Every tenth of a second.
    pub steps: Vec<Step>,
}

impl Run {
    /// Lowest height, m.
    #[must_use]
    pub fn lowest(&self) -> Option<Step> {
        self.steps
            .iter()
            .copied()
            .min_by(|a, b| a.height.total_cmp(&b.height))
    }

    /// The moment nearest to a time.
    #[must_use]
    pub fn at(&self, t: f64) -> Option<Step> {
        self.steps
            .iter()
            .copied()
            .min_by(|a, b| (a.t - t).abs().total_cmp(&(b.t - t).abs()))
    }
}

/// What is the same for every run of one recovery.
pub struct Air<'a> {
    /// Equivalent over true airspeed.
    pub density_root: f64,
    /// Excess beyond the model, by time.
    pub beyond: &'a dyn Fn(f64) -> f64,
    /// How much of that is rising air, by time: a path meant through the air is so much higher over the ground.
    pub rising: &'a dyn Fn(f64) -> f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Stage {
    Unload,
    Dive,
    Pull,
    Climb,
}

/// Flies the actions.
#[must_use]
pub fn run(
    airplane: &Airplane,
    air: &Air<'_>,
    start: &Start,
    actions: &Actions,
    until_s: f64,
) -> Run {
    let mut now = Step {
        t: start.t,
        height: start.height,
        tas: start.tas,
        path: start.path,
    };
    let mut stage = Stage::Unload;
    // The same hand pulls more load out of more speed.
    let mut faster = 1.0;
    let mut out = Run::default();
    let mut next = start.t;
    while now.t <= until_s + 1e-9 {
        if now.t + 1e-9 >= next {
            out.steps.push(now);
            next += 0.1;
        }
        let eas = now.tas * air.density_root;
        let (thrust, flap) = (actions.power.at(now.t), actions.flaps.at(now.t));
        let bank = actions.bank.at(now.t);
        let upright = bank.cos().max(0.3);

        let fast = eas >= actions.style.pull_at * airplane.flap(flap).0;
        let limit = actions.style.lift_used * airplane.greatest_load(eas, flap);
        let moment = |load: f64| Moment {
            eas_mps: eas,
            load,
            flap_rad: flap,
            thrust,
        };
        let level = airplane.excess(&moment(now.path.cos()));
        let aim = aim(actions, now.t, eas, level + (air.beyond)(now.t));
        if stage != Stage::Pull {
            let pulled_at = actions.style.pull_at * airplane.flap(flap).0;
            faster = (eas / pulled_at).clamp(1.0, FASTER);
        }
        let steepest = actions.style.steepest_rad + (air.rising)(now.t);
        stage = match stage {
            Stage::Unload if fast && now.t > start.t + 0.4 => Stage::Pull,
            Stage::Unload if now.path <= steepest => Stage::Dive,
            Stage::Dive if fast => Stage::Pull,
            Stage::Pull if now.path >= aim => Stage::Climb,
            other => other,
        };
        let load = match stage {
            Stage::Unload => actions.style.unload_load,
            Stage::Dive => now.path.cos() / upright,
            Stage::Pull => actions.style.pull_load * faster,
            Stage::Climb => ((now.path.cos() + now.tas / G0_MPS2 * (aim - now.path) / 0.8)
                / upright)
                .clamp(0.7, actions.style.pull_load.max(1.2)),
        }
        .min(limit);
        let excess = airplane.excess(&moment(load)) + (air.beyond)(now.t);
        let rate = turning(load, bank, now.path, now.tas);
        // Half a step of the speed is enough: the forces change over seconds.
        now.height += now.tas * (now.path + 0.5 * rate * STEP_S).sin() * STEP_S;
        now.tas = (now.tas + G0_MPS2 * (excess - now.path.sin()) * STEP_S).max(8.0);
        now.path = (now.path + rate * STEP_S).clamp(-1.4, 1.4);
        now.t += STEP_S;
    }
    out
}

/// The path that the climb asks for.
fn aim(actions: &Actions, t: f64, eas: f64, excess: f64) -> f64 {
    let faster = match &actions.climb {
        Climb::As(course) => {
            let rate = (course.at(t + 0.5) - course.at(t - 0.5)).clamp(-4.0, 4.0);
            rate + ((course.at(t) - eas) / CATCH_S).clamp(-1.5, 1.5)
        }
        Climb::Hold(speed) => ((speed - eas) / SEEK_S).clamp(-1.5, 1.5),
    };
    let sine = excess - faster / G0_MPS2;
    // Out of a recovery the nose is held up while the speed comes: what is there to climb with is shared.
    let sine = match &actions.climb {
        Climb::As(_) => sine,
        Climb::Hold(_) => sine.max(HEIGHT_SHARE * excess.max(0.0) + excess.min(0.0)),
    };
    sine.clamp(-0.3, 0.3).asin()
}
