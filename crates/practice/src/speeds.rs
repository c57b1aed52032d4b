//! Speeds that the pilot flies by.

use air::atmosphere::RHO0_KGPM3;
use air::units::MPS_PER_KT;
use dynamics::Airframe;
use dynamics::figures::{figures, stall_speed_mps};

/// Indicated (here: calibrated) speeds, m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Speeds {
    /// Stall, landing flap.
    pub vs0: f64,
    /// Stall, flaps up.
    pub vs1: f64,
    /// Rotation.
    pub rotate: f64,
    /// Best angle of climb.
    pub vx: f64,
    /// Best rate of climb.
    pub vy: f64,
    /// Best glide.
    pub glide: f64,
    /// Approach.
    pub approach: f64,
    /// Greatest with flaps.
    pub vfe: f64,
    /// Maneuvering.
    pub va: f64,
    /// Cruise between the maneuvers.
    pub cruise: f64,
}

impl Speeds {
    /// From the stall speeds of the model; the others in the proportions usual for trainers (common practice, no
    /// source: 1.3 VS0 on approach, VA = VS1 √n by 14 CFR 23.335(c) as amended to 1996, n = 3.8 of the normal category).
    #[must_use]
    pub fn of(airframe: &Airframe) -> Speeds {
        let full = airframe.flaps.last().map_or(0.0, |flap| flap.angle_rad);
        let (vs1, vs0) = (
            stall_speed_mps(airframe, 0.0),
            stall_speed_mps(airframe, full),
        );
        let round = |v: f64| (v / MPS_PER_KT).round() * MPS_PER_KT;
        Speeds {
            vs0,
            vs1,
            rotate: round(1.08 * vs1),
            vx: round(1.22 * vs1),
            vy: round(1.46 * vs1),
            glide: round(1.30 * vs1),
            approach: round(1.35 * vs0),
            vfe: round(1.75 * vs1),
            va: round(3.8_f64.sqrt() * vs1),
            cruise: round(1.85 * vs1),
        }
    }

    /// The same, but best climb and best glide as the model gives them, at sea level in the standard atmosphere. It takes
    /// some tenths of a second.
    #[must_use]
    pub fn by_model(airframe: &Airframe) -> Speeds {
        let usual = Speeds::of(airframe);
        let found = figures(airframe, RHO0_KGPM3);
        let or = |figure: Option<(f64, f64)>, otherwise: f64| figure.map_or(otherwise, |(v, _)| v);
        let whole = |v: f64| (v / MPS_PER_KT).round() * MPS_PER_KT;
        Speeds {
            vx: whole(or(found.best_angle, usual.vx)),
            vy: whole(or(found.best_rate, usual.vy)),
            glide: whole(or(found.best_glide, usual.glide)),
            ..usual
        }
    }
}
