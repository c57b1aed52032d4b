//! The airframe as the model needs it; [`crate::parse`] reads it from a file.

use crate::gear::Wheel;
use crate::propulsion::{Engine, Propeller};
use crate::stall::Separation;
use crate::state::Rates;

/// Wing: reference geometry, lift and drag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wing {
    /// Area, m².
    pub area_m2: f64,
    /// Span, m.
    pub span_m: f64,
    /// Mean aerodynamic chord, m.
    pub chord_m: f64,
    /// Height of the wing over the wheels, m.
    pub height_m: f64,
    /// Lift slope, 1/rad.
    pub lift_slope: f64,
    /// Angle of zero lift, flaps up, rad.
    pub zero_lift_rad: f64,
    /// Lift by pitch rate, on q c/2V.
    pub lift_pitch_rate: f64,
    /// Lift by elevator, at full travel.
    pub lift_elevator: f64,
    /// Share of lift that the slipstream adds for each unit of thrust coefficient.
    pub stream_lift: f64,
    /// Drag at zero lift, flaps up.
    pub drag_zero: f64,
    /// Drag by lift squared.
    pub drag_lift: f64,
    /// Drag that a wholly separated wing adds at 15°; it goes with sin².
    pub drag_separated: f64,
    /// Drag by sideslip squared, 1/rad².
    pub drag_sideslip: f64,
}

/// Pitching moment. Rates on q c/2V; elevator at full travel.
#[derive(Clone, Copy, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pitch {
    /// At zero angle of attack.
    pub zero: f64,
    /// By angle of attack, 1/rad.
    pub alpha: f64,
    /// By pitch rate, on q c/2V.
    pub pitch_rate: f64,
    /// By the rate of the angle of attack, on α̇ c/2V.
    pub alpha_rate: f64,
    /// By the elevator at full travel.
    pub elevator: f64,
    /// What separation adds, nose down negative: the break.
    pub separated: f64,
    /// By thrust coefficient.
    pub thrust: f64,
}

/// Side force, rolling and yawing moment. Rates on p b/2V, r b/2V; controls at full travel.
#[derive(Clone, Copy, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lateral {
    /// Side force by sideslip, 1/rad.
    pub side_beta: f64,
    /// Side force by yaw rate.
    pub side_yaw_rate: f64,
    /// Side force by rudder.
    pub side_rudder: f64,
    /// Roll by sideslip (the dihedral effect), 1/rad.
    pub roll_beta: f64,
    /// Roll by roll rate: the damping.
    pub roll_roll_rate: f64,
    /// Roll by yaw rate.
    pub roll_yaw_rate: f64,
    /// Roll by ailerons.
    pub roll_aileron: f64,
    /// Roll by rudder.
    pub roll_rudder: f64,
    /// Share of the ailerons' power that a wholly separated wing has lost.
    pub aileron_lost: f64,
    /// Yaw by sideslip (the weathercock), 1/rad.
    pub yaw_beta: f64,
    /// Yaw by roll rate.
    pub yaw_roll_rate: f64,
    /// Yaw by yaw rate: the damping.
    pub yaw_yaw_rate: f64,
    /// Yaw by ailerons, adverse negative.
    pub yaw_aileron: f64,
    /// Yaw by rudder.
    pub yaw_rudder: f64,
    /// Propeller's yaw by thrust coefficient, nose left negative (P-factor and the turning stream together).
    pub yaw_thrust: f64,
}

/// A flap detent and what it changes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Flap {
    /// Angle, rad.
    pub angle_rad: f64,
    /// Shift of the angle of zero lift, rad (negative: more lift).
    pub zero_lift_rad: f64,
    /// Shift of the angle of separation, rad.
    pub separation_rad: f64,
    /// Drag.
    pub drag: f64,
    /// Pitching moment.
    pub pitch: f64,
}

/// Mass and how it is spread.
#[derive(Clone, Copy, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inertia {
    /// Mass, kg.
    pub mass_kg: f64,
    /// About the forward axis, kg·m².
    pub xx_kgm2: f64,
    /// About the axis to the right, kg·m².
    pub yy_kgm2: f64,
    /// About the axis down, kg·m².
    pub zz_kgm2: f64,
    /// Product of inertia ∫xz dm, kg·m².
    pub xz_kgm2: f64,
}

/// All of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Airframe {
    /// Name.
    pub name: String,
    /// Mass and moments of inertia.
    pub inertia: Inertia,
    /// Wing.
    pub wing: Wing,
    /// Separation of the flow.
    pub separation: Separation,
    /// Pitching moment.
    pub pitch: Pitch,
    /// Side force, roll and yaw.
    pub lateral: Lateral,
    /// Flap detents, the first one up, by rising angle.
    pub flaps: Vec<Flap>,
    /// Engine.
    pub engine: Engine,
    /// Propeller.
    pub propeller: Propeller,
    /// Wheels.
    pub wheels: Vec<Wheel>,
    /// How fast the controls follow.
    pub rates: Rates,
    /// Angle of attack at which the warning sounds, before that of the greatest lift, rad.
    pub warning_before_rad: f64,
    /// Angle of attack of the greatest lift at each detent, worked out from the rest, rad.
    pub critical_rad: Vec<f64>,
}

impl Airframe {
    /// What a flap angle changes, between the detents in proportion.
    #[must_use]
    #[inline]
    pub fn flap(&self, angle_rad: f64) -> Flap {
        let mut low = Flap::default();
        for high in &self.flaps {
            if angle_rad <= high.angle_rad {
                let width = high.angle_rad - low.angle_rad;
                let share = if width > 0.0 {
                    (angle_rad - low.angle_rad) / width
                } else {
                    1.0
                };
                let mix = |a: f64, b: f64| a + share * (b - a);
                return Flap {
                    angle_rad,
                    zero_lift_rad: mix(low.zero_lift_rad, high.zero_lift_rad),
                    separation_rad: mix(low.separation_rad, high.separation_rad),
                    drag: mix(low.drag, high.drag),
                    pitch: mix(low.pitch, high.pitch),
                };
            }
            low = *high;
        }
        low
    }

    /// Static wing lift coefficient at an angle of attack, power off, coming from attached flow.
    #[must_use]
    pub fn static_lift(&self, alpha_rad: f64, flap_rad: f64) -> f64 {
        let flap = self.flap(flap_rad);
        let attached = self.separation.settled(alpha_rad, flap.separation_rad);
        let angle = alpha_rad - self.wing.zero_lift_rad - flap.zero_lift_rad;
        self.wing.lift_slope
            * angle
            * self
                .separation
                .kept(alpha_rad, attached, flap.separation_rad)
    }

    /// Angle of attack of the greatest lift for a flap angle, quickly: between the detents in proportion.
    #[must_use]
    pub fn critical_near(&self, flap_rad: f64) -> f64 {
        let mut low: Option<(f64, f64)> = None;
        for (flap, critical) in self.flaps.iter().zip(&self.critical_rad) {
            if flap_rad <= flap.angle_rad {
                let Some((angle, below)) = low else {
                    return *critical;
                };
                let share = (flap_rad - angle) / (flap.angle_rad - angle).max(1e-9);
                return below + share * (critical - below);
            }
            low = Some((flap.angle_rad, *critical));
        }
        low.map_or(0.27, |(_, critical)| critical)
    }

    /// Works out [`Airframe::critical_rad`] anew: after the wing, the flaps or the separation were changed.
    pub fn settle_critical(&mut self) {
        self.critical_rad = self
            .flaps
            .iter()
            .map(|flap| self.critical(flap.angle_rad).0)
            .collect();
    }

    /// Angle of attack of the greatest static lift before the break, and that lift coefficient.
    #[must_use]
    pub fn critical(&self, flap_rad: f64) -> (f64, f64) {
        let mut best = (0.0, f64::NEG_INFINITY);
        for step in 0..600 {
            let alpha = 0.0005 * f64::from(step) + 0.15;
            let lift = self.static_lift(alpha, flap_rad);
            if lift > best.1 {
                best = (alpha, lift);
            } else if lift < 0.995 * best.1 {
                // The break; what the outer wing may carry far beyond it, nobody flies by.
                break;
            }
        }
        best
    }
}
