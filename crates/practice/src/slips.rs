//! What a hand does wrong for as long as a maneuver lasts, whatever the maneuver asks for.

use crate::faults::{Fault, Faults};
use crate::goal::{Goal, Nose, Power, Wings};
use std::f64::consts::TAU;

/// Sizes, SI; all zero: nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Slips {
    /// Since when, s.
    pub since_s: f64,
    /// What the height drifts to, m.
    pub height_m: f64,
    /// What the airspeed drifts to, m/s.
    pub speed_mps: f64,
    /// Bank beyond the asked one, rad.
    pub bank_rad: f64,
    /// How far the heading swings, rad.
    pub heading_rad: f64,
    /// Lateral load that the feet let stand, g.
    pub ball_g: f64,
}

/// A drift grows over so many seconds: a short maneuver shall see it whole.
const GROWS_S: f64 = 10.0;
/// A heading swings there and back in so many.
const SWING_S: f64 = 36.0;

impl Slips {
    /// Those among the faults of a maneuver that begins now.
    #[must_use]
    pub fn of(faults: &Faults, since_s: f64) -> Slips {
        Slips {
            since_s,
            height_m: faults.or_zero(Fault::AltitudeDrift),
            speed_mps: faults.or_zero(Fault::AirspeedDrift),
            bank_rad: faults.or_zero(Fault::BankOutOfLimits),
            heading_rad: faults.or_zero(Fault::HeadingWander),
            ball_g: faults.or_zero(Fault::Uncoordinated),
        }
    }

    /// What is flown instead of a goal.
    #[must_use]
    pub fn spoil(&self, mut goal: Goal, t: f64) -> Goal {
        if *self == Slips::default() {
            return goal;
        }
        let since = t - self.since_s;
        let grown = (since / GROWS_S).clamp(0.0, 1.0);
        goal.nose = match goal.nose {
            Nose::Height(height) => Nose::Height(height + grown * self.height_m),
            Nose::Speed(speed) => Nose::Speed(speed + grown * self.speed_mps),
            other => other,
        };
        goal.power = match goal.power {
            Power::Height(height) => Power::Height(height + grown * self.height_m),
            Power::Speed(speed) => Power::Speed(speed + grown * self.speed_mps),
            other => other,
        };
        goal.wings = match goal.wings {
            // A few degrees are a correction, not a bank that was asked for.
            Wings::Bank(bank) if bank.abs() > 0.15 => {
                Wings::Bank(bank + bank.signum() * self.bank_rad)
            }
            Wings::Heading(heading) => {
                Wings::Heading(heading + self.heading_rad * (TAU * since / SWING_S).sin())
            }
            other => other,
        };
        goal
    }
}
