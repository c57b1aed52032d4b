//! The law, and the fit as a value.
//!
//! Everything is per unit weight and scaled by the calibrated stall speed flaps up, u = V/VS1, so that neither wing
//! area nor mass is needed:
//!
//! - excess along the path: ḣ/V + V̇/g = T/W − D/W, with ḣ the climb and V the true airspeed (energy law;
//!   Anderson, *Aircraft Performance and Design*, 1999, eq. 5.81, from memory)
//! - D/W = A u² + B n²/u² + d_k u²: the parabolic polar; the flaps of detent k add drag
//! - T/W = s T_full + (1 − s) T_idle, s the share of thrust
//! - T_full = t₀ + t_σ (Φ − 1) + t₁ v + t₂ v², v = u − 1.5, Φ = 1.132 σ − 0.132 (Gagg & Ferrar, *SAE Journal*, 1934), σ the
//!   density ratio. Over the speeds of training this is what both kinds of propeller do: fixed pitch E Φ − F ρ V² (Lowry,
//!   *J. Aircraft* 32, 1995, from memory), so that t_σ = E, a fifth to a half more than t₀; and constant speed η P/V, which at
//!   one calibrated speed goes with Φ √σ ≈ 1 + 1.44 (Φ − 1)
//! - T_idle = i₀ + i_σ (Φ − 1) − w u²: a propeller that the air turns is drag, and grows as drag does; an idling engine
//!   breathes the day's air, too
//!
//! A flight shows the sum A + w and never its parts. The part of the propeller is *assumed*, [`WINDMILL`]; the
//! excess, and every speed that hangs on it, is the same whatever is assumed.

use crate::lift::LiftLine;
use crate::linear::Square;
use crate::regress::Belief;
use crate::speeds::Speed;
use rand::Rng;
use rand_distr::{Distribution, StandardNormal};

/// Share of the drag at no lift, throttle closed, that is the propeller's (assumed: a windmilling propeller adds a tenth to a fifth; from memory).
pub const WINDMILL: f64 = 0.15;
/// What the law itself is wrong by, as a slope over one stall speed, 1-σ: no airplane is a parabola and a bent line. A
/// twentieth of the drag, which is near 0.15 of the weight (judgment: thrust tilts with the nose, polars bend).
pub const FORM: f64 = 0.0075;
/// Where the thrust law is expanded, in stall speeds: near the best rate of climb.
pub const MIDDLE: f64 = 1.5;

/// Places of the parameters.
pub(crate) const T0: usize = 0;
pub(crate) const T1: usize = 1;
pub(crate) const T2: usize = 2;
/// Drag at no lift with the throttle closed: A + w.
pub(crate) const G: usize = 3;
pub(crate) const B: usize = 4;
pub(crate) const I0: usize = 5;
/// How thrust bends over the recorded share of power.
pub(crate) const BEND: usize = 6;
/// How full and idle thrust go with density.
pub(crate) const T_DENSITY: usize = 7;
pub(crate) const I_DENSITY: usize = 8;
/// Drag of the detents from the second on.
pub(crate) const FLAPS: usize = 9;

/// Power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Power {
    /// Throttle closed.
    Idle,
    /// Share of the thrust that full power adds to idle here, 0 to 1.
    Share(f64),
    /// Share of power as a flight records it (`Flight::power`), 0 to 1.
    Recorded(f64),
}

/// A moment of flight, as far as the law asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Calibrated airspeed, m/s.
    pub cas_mps: f64,
    /// True airspeed, m/s. The law is in calibrated speed; it is here for what uses the excess as a climb.
    pub tas_mps: f64,
    /// Load factor.
    pub load_factor: f64,
    /// Flap angle, rad.
    pub flap_rad: f64,
    /// Power.
    pub power: Power,
    /// Density over that of standard sea level.
    pub density_ratio: f64,
}

/// What the flight had to say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Support {
    /// Whether the flight says anything of drag and thrust at all.
    pub drag: bool,
    /// Why not, in words.
    pub why_not: Option<&'static str>,
    /// Usable flight, s.
    pub usable_s: f64,
    /// Of that with the throttle closed and flaps up, s.
    pub idle_s: f64,
    /// Of that at full power and flaps up, s.
    pub full_s: f64,
    /// Independent samples that this was worth.
    pub effective: f64,
    /// 1-σ of one sample of the excess (four seconds).
    pub noise: f64,
    /// Power-off stalls used.
    pub stalls: usize,
    /// Earlier flights of the aircraft used.
    pub earlier: usize,
    /// Earlier flights that were given and not used, because another aircraft file lies behind them.
    pub left_out: usize,
    /// In words, for people.
    pub words: Vec<String>,
}

/// What a flight says of its aircraft: posterior means and covariance, the scales, and what supports it.
#[derive(Clone, Debug, PartialEq)]
pub struct DayFit {
    /// Calibrated stall speed flaps up that speeds are scaled by, m/s: the aircraft file's at the mass of the day. Not a result.
    pub vs1_cas_mps: f64,
    /// Flap detents, rad, flaps up first.
    pub detents_rad: Vec<f64>,
    /// Density of the day over that of standard sea level, in the middle of the flight.
    pub density_ratio: f64,
    /// Drag and thrust: t₀, t₁, t₂, A + w, B, i₀, the bend of thrust over recorded power, t_σ, i_σ,
    /// then d of each detent from the second on.
    pub law: Belief,
    /// Stall speed by detent at 1 g, power off, calibrated, m/s.
    pub stall: Belief,
    /// Angle of attack by lift.
    pub lift: Option<LiftLine>,
    /// What supports it.
    pub support: Support,
    pub(crate) speeds: Vec<Speed>,
    pub(crate) own: Option<(Square, Vec<f64>)>,
    pub(crate) own_stall: Option<(Square, Vec<f64>)>,
}

/// Φ: full power left at a density ratio.
pub(crate) fn lapse(density_ratio: f64) -> f64 {
    (1.132 * density_ratio - 0.132).max(0.0)
}

/// What multiplies the parameters.
pub(crate) struct Basis<'a> {
    pub detents_rad: &'a [f64],
    /// Thrust of full power over idle that bends with the share; from the round before.
    pub bent: f64,
}

impl Basis<'_> {
    /// At u, load factor, flap angle, share, recorded or not, and density ratio.
    pub fn row(
        &self,
        u: f64,
        n: f64,
        flap_rad: f64,
        share: f64,
        recorded: bool,
        sigma: f64,
    ) -> Vec<f64> {
        let mut x = self.thrust(u, share, recorded, sigma);
        for (slot, drag) in x.iter_mut().zip(self.drag(u, n, flap_rad)) {
            *slot -= drag;
        }
        x
    }

    /// Of the thrust alone.
    pub fn thrust(&self, u: f64, share: f64, recorded: bool, sigma: f64) -> Vec<f64> {
        let mut x = vec![0.0; FLAPS + self.detents_rad.len().saturating_sub(1)];
        let (v, less) = (u - MIDDLE, lapse(sigma) - 1.0);
        let bend = if recorded {
            share * (1.0 - share) * self.bent
        } else {
            0.0
        };
        let own = [
            share,
            share * v,
            share * v * v,
            -(1.0 - share) * WINDMILL * u * u,
            0.0,
            1.0 - share,
            bend,
            share * less,
            (1.0 - share) * less,
        ];
        for (slot, value) in x.iter_mut().zip(own) {
            *slot = value;
        }
        x
    }

    /// Of the drag alone.
    pub fn drag(&self, u: f64, n: f64, flap_rad: f64) -> Vec<f64> {
        let mut x = vec![0.0; FLAPS + self.detents_rad.len().saturating_sub(1)];
        if let Some(slot) = x.get_mut(G) {
            *slot = (1.0 - WINDMILL) * u * u;
        }
        if let Some(slot) = x.get_mut(B) {
            *slot = n * n / (u * u);
        }
        for (detent, share) in shares(self.detents_rad, flap_rad) {
            if let Some(slot) = detent.checked_sub(1).and_then(|k| x.get_mut(FLAPS + k)) {
                *slot += share * u * u;
            }
        }
        x
    }
}

/// The detents on both sides of a flap angle and the share of each.
pub(crate) fn shares(detents_rad: &[f64], flap_rad: f64) -> [(usize, f64); 2] {
    let last = detents_rad.len().saturating_sub(1);
    let above = detents_rad
        .partition_point(|angle| *angle < flap_rad)
        .min(last);
    let below = above.saturating_sub(1);
    match (detents_rad.get(below), detents_rad.get(above)) {
        (Some(a), Some(b)) if b > a && flap_rad < *b => {
            let share = ((flap_rad - a) / (b - a)).clamp(0.0, 1.0);
            [(below, 1.0 - share), (above, share)]
        }
        _ => [(above, 1.0), (above, 0.0)],
    }
}

impl DayFit {
    pub(crate) fn basis(&self) -> Basis<'_> {
        Basis {
            detents_rad: &self.detents_rad,
            bent: 0.0,
        }
    }

    /// (T − D)/W along the path in attached flow, in g: climb angle (sine) when steady. The climb is this times the true airspeed.
    #[must_use]
    pub fn excess(&self, p: &Point) -> f64 {
        crate::linear::dot(&self.row(p), &self.law.mean)
    }

    /// 1-σ of [`DayFit::excess`], with what the law itself is wrong by ([`FORM`]).
    #[must_use]
    pub fn excess_sigma(&self, p: &Point) -> f64 {
        let form = FORM * (self.u(p) - MIDDLE).abs().max(0.25);
        self.law.sigma(&self.row(p)).hypot(form)
    }

    /// Thrust over weight. What is the propeller's at idle is assumed ([`WINDMILL`]): with the drag it makes the excess.
    #[must_use]
    pub fn thrust(&self, p: &Point) -> f64 {
        let x = self
            .basis()
            .thrust(self.u(p), self.share(p), false, p.density_ratio);
        crate::linear::dot(&x, &self.law.mean)
    }

    /// 1-σ of [`DayFit::thrust`].
    #[must_use]
    pub fn thrust_sigma(&self, p: &Point) -> f64 {
        self.law.sigma(
            &self
                .basis()
                .thrust(self.u(p), self.share(p), false, p.density_ratio),
        )
    }

    /// Drag over weight, the propeller's not counted.
    #[must_use]
    pub fn drag(&self, p: &Point) -> f64 {
        crate::linear::dot(
            &self.basis().drag(self.u(p), p.load_factor, p.flap_rad),
            &self.law.mean,
        )
    }

    /// 1-σ of [`DayFit::drag`].
    #[must_use]
    pub fn drag_sigma(&self, p: &Point) -> f64 {
        self.law
            .sigma(&self.basis().drag(self.u(p), p.load_factor, p.flap_rad))
    }

    /// Share of the thrust between idle and full that a recorded share of power gives.
    #[must_use]
    pub fn thrust_share(&self, recorded: f64) -> f64 {
        let s = recorded.clamp(0.0, 1.0);
        let bend = self.law.mean.get(BEND).copied().unwrap_or(0.0);
        (s + bend * s * (1.0 - s)).clamp(0.0, 1.0)
    }

    /// Calibrated stall speed at 1 g, power off, and its 1-σ, m/s; between detents in proportion to the angle.
    #[must_use]
    pub fn stall_cas_mps(&self, flap_rad: f64) -> (f64, f64) {
        let mut x = vec![0.0; self.detents_rad.len()];
        for (detent, share) in shares(&self.detents_rad, flap_rad) {
            if let Some(slot) = x.get_mut(detent) {
                *slot += share;
            }
        }
        (
            crate::linear::dot(&x, &self.stall.mean),
            self.stall.sigma(&x),
        )
    }

    /// Angle of attack at no lift, rad, and its slope over λ = n/u², throttle closed. `None` where the flight does not show it.
    #[must_use]
    pub fn lift_line(&self, flap_rad: f64) -> Option<(f64, f64)> {
        self.lift
            .as_ref()
            .map(|lift| lift.at(&self.detents_rad, flap_rad))
    }

    /// The same fit with drag, thrust and stall speeds drawn from what is believed of them. The rows of
    /// [`DayFit::speeds`] and the support stay those of the fit.
    #[must_use]
    pub fn draw(&self, rng: &mut impl Rng) -> DayFit {
        DayFit {
            law: drawn(&self.law, rng),
            stall: drawn(&self.stall, rng),
            ..self.clone()
        }
    }

    /// Stall speeds, best speeds and what goes with them, as flown and as the aircraft file has them. Best speeds as flown are learned
    /// without the file's, so that the two can be compared; [`DayFit::excess`] knows both.
    #[must_use]
    pub fn speeds(&self) -> Vec<Speed> {
        self.speeds.clone()
    }

    fn u(&self, p: &Point) -> f64 {
        // Below half the stall speed the law means nothing; above it stays finite.
        (p.cas_mps / self.vs1_cas_mps).clamp(0.5, 6.0)
    }

    fn share(&self, p: &Point) -> f64 {
        match p.power {
            Power::Idle => 0.0,
            Power::Share(share) => share.clamp(0.0, 1.1),
            Power::Recorded(share) => self.thrust_share(share),
        }
    }

    fn row(&self, p: &Point) -> Vec<f64> {
        self.basis().row(
            self.u(p),
            p.load_factor,
            p.flap_rad,
            self.share(p),
            false,
            p.density_ratio,
        )
    }
}

fn drawn(belief: &Belief, rng: &mut impl Rng) -> Belief {
    let random: Vec<f64> = belief
        .mean
        .iter()
        .map(|_| StandardNormal.sample(rng))
        .collect();
    let moved = belief.cov.root().times(&random);
    Belief {
        mean: belief
            .mean
            .iter()
            .zip(moved)
            .map(|(mean, off)| mean + off)
            .collect(),
        cov: belief.cov.clone(),
    }
}
