//! How the flow leaves the wing and comes back.
//!
//! One number for each half of the wing, the share `X` of the chord over which the flow is attached
//! (Goman & Khrabrov, "State-Space Representation of Aerodynamic Characteristics of an Aircraft at High
//! Angles of Attack", *J. Aircraft* 31(5), 1994; with Kirchhoff's lift as in Fischenberg, AIAA 95-3438):
//!
//! τ₁ Ẋ + X = X₀(α − τ₂ α̇),  X₀ = ½(1 − tanh(a(α − α* + h(1 − X)))),  C_L = C_Lα ((1 + √X)/2)² (α − α₀)
//!
//! τ₂ lets a brisk pull reach more lift before the break (dynamic), `h` lets the flow come back only at a
//! smaller angle than it left at (static hysteresis, where a h > 2; below that the two ways are only nearer to each other).

/// Constants of the separation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Separation {
    /// Angle at which half of the chord is separated, flaps up, rad.
    pub half_rad: f64,
    /// Sharpness `a`, 1/rad.
    pub sharpness_per_rad: f64,
    /// Hysteresis `h`, rad.
    pub hysteresis_rad: f64,
    /// Lag τ₁, s.
    pub lag_s: f64,
    /// Lead of the angle's rate τ₂, s.
    pub lead_s: f64,
    /// By how much the left half lets go before the right one, rad: the wing that drops.
    pub uneven_rad: f64,
    /// Where the part that lets go acts, as a share of the span from the middle. The farther in, the tamer: a wing
    /// that lets go at its root keeps ailerons and roll damping.
    pub lever: f64,
    /// Share of the wing that lets go there; the rest follows 10° later.
    pub part: f64,
}

/// How much later the outer wing lets go: the twist and the gentler load of a wing built to stall at its root
/// first (AFH, FAA-H-8083-3C, ch. 5, describes why; the size is assumed), rad.
pub(crate) const OUTER_LATER_RAD: f64 = 0.175;

/// Share of the attached lift that is left.
#[must_use]
#[inline]
pub fn lift_share(attached: f64) -> f64 {
    let root = 0.5 * (1.0 + attached.clamp(0.0, 1.0).sqrt());
    root * root
}

/// ½(1 − tanh x), written with one exponential: 1/(1 + e²ˣ). It is worked out sixteen times a step.
#[inline]
fn left_of(x: f64) -> f64 {
    1.0 / (1.0 + (2.0 * x).exp())
}

impl Separation {
    /// Share of the attached lift that a half of the wing keeps: the part that lets go by its state, the rest by
    /// where it settles at the angle.
    #[must_use]
    #[inline]
    pub fn kept(&self, alpha_rad: f64, attached: f64, shift_rad: f64) -> f64 {
        let over = alpha_rad - self.half_rad - shift_rad - OUTER_LATER_RAD;
        let outer = left_of(0.6 * self.sharpness_per_rad * over);
        self.part * lift_share(attached) + (1.0 - self.part) * lift_share(outer)
    }

    /// The attached share that a half of the wing tends to. `side` −1 left, +1 right; `shift_rad` what flaps add.
    #[must_use]
    #[inline]
    pub fn tends_to(
        &self,
        alpha_rad: f64,
        alpha_rate: f64,
        attached: f64,
        shift_rad: f64,
        side: f64,
    ) -> f64 {
        let half = self.half_rad + shift_rad + 0.5 * side * self.uneven_rad;
        let over =
            alpha_rad - self.lead_s * alpha_rate - half + self.hysteresis_rad * (1.0 - attached);
        left_of(self.sharpness_per_rad * over)
    }

    /// Its rate, 1/s.
    #[must_use]
    #[inline]
    pub fn rate(
        &self,
        alpha_rad: f64,
        alpha_rate: f64,
        attached: f64,
        shift_rad: f64,
        side: f64,
    ) -> f64 {
        let goal = self.tends_to(alpha_rad, alpha_rate, attached, shift_rad, side);
        (goal - attached) / self.lag_s
    }

    /// Where it settles at a steady angle, coming from attached flow.
    #[must_use]
    pub fn settled(&self, alpha_rad: f64, shift_rad: f64) -> f64 {
        let mut attached = 1.0;
        for _ in 0..200 {
            attached += 0.2 * (self.tends_to(alpha_rad, 0.0, attached, shift_rad, 0.0) - attached);
        }
        attached
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GENTLE: Separation = Separation {
        half_rad: 0.3,
        sharpness_per_rad: 24.0,
        hysteresis_rad: 0.1,
        lag_s: 0.15,
        lead_s: 0.1,
        uneven_rad: 0.0,
        lever: 0.1,
        part: 0.5,
    };

    #[test]
    fn one_exponential_is_the_hyperbolic_tangent() {
        // tanh x = 1 − 2/(e²ˣ + 1), an identity; at the ends the exponential overflows or vanishes.
        for step in -400..=400 {
            let x = 0.1 * f64::from(step);
            assert!((left_of(x) - 0.5 * (1.0 - x.tanh())).abs() < 1e-15, "{x}");
        }
        assert_eq!((left_of(1e4), left_of(-1e4)), (0.0, 1.0));
    }

    #[test]
    fn kirchhoff_gives_all_attached_and_a_quarter_apart() {
        // Kirchhoff's plate: ((1 + √X)/2)², one at X = 1 and a quarter at X = 0.
        assert_eq!(lift_share(1.0), 1.0);
        assert_eq!(lift_share(0.0), 0.25);
    }

    #[test]
    fn the_flow_comes_back_at_a_smaller_angle_than_it_left_at() {
        let fall = |from: f64, to: f64, start: f64| {
            let (mut attached, mut angle) = (start, from);
            let step = (to - from) / 4000.0;
            for _ in 0..4000 {
                angle += step;
                attached += 0.01 / GENTLE.lag_s
                    * (GENTLE.tends_to(angle, 0.0, attached, 0.0, 0.0) - attached);
                if (attached - 0.5) * (start - 0.5) < 0.0 {
                    return angle;
                }
            }
            f64::NAN
        };
        let leaves = fall(0.1, 0.5, 1.0);
        let returns = fall(0.5, 0.1, 0.0);
        assert!(leaves - returns > 0.01, "{leaves} {returns}");
    }
}
