//! Evidence as a sum of log-odds.
//!
//! Limits are soft: a figure inside its range costs nothing, outside it costs as a Gaussian tail does.
//! A figure that the recorder cannot give (NaN) neither helps nor hurts.

/// A running sum of log-odds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evidence {
    total: f64,
}

impl Evidence {
    /// Starts from how unlikely ordinary flying is to compose the figure by accident: the more parts a
    /// figure has, the larger.
    #[must_use]
    pub fn base(log_odds: f64) -> Evidence {
        Evidence { total: log_odds }
    }
    /// Inside `low..=high` free, outside −½(distance/σ)², without a floor: for what defines the kind.
    #[must_use]
    pub fn within(self, x: f64, low: f64, high: f64, sigma: f64) -> Evidence {
        self.plus(-0.5 * (outside(x, low, high) / sigma).powi(2))
    }
    /// The same but never worse than `−floor`: for habits that a real pilot may break.
    #[must_use]
    pub fn mostly(self, x: f64, low: f64, high: f64, sigma: f64, floor: f64) -> Evidence {
        self.plus((-0.5 * (outside(x, low, high) / sigma).powi(2)).max(-floor))
    }
    /// Log-normal duration, never harder than σ = 0.45: durations are what transfers least between
    /// schools and aircraft.
    #[must_use]
    pub fn lasting(self, seconds: f64, median_s: f64, sigma_log: f64) -> Evidence {
        let z = (seconds.max(0.1) / median_s).ln() / sigma_log.max(0.45);
        self.plus(-0.5 * z * z)
    }
    /// Straight-line log-odds: `against` at `x0`, `favor` at `x1`, clamped there.
    #[must_use]
    pub fn ramp(self, x: f64, x0: f64, against: f64, x1: f64, favor: f64) -> Evidence {
        let share = ((x - x0) / (x1 - x0)).clamp(0.0, 1.0);
        self.plus(against + share * (favor - against))
    }
    /// Adds a term; NaN adds nothing.
    #[must_use]
    pub fn plus(self, log_odds: f64) -> Evidence {
        Evidence {
            total: self.total + if log_odds.is_nan() { 0.0 } else { log_odds },
        }
    }
    /// The sum.
    #[must_use]
    pub fn total(self) -> f64 {
        self.total
    }
}

fn outside(x: f64, low: f64, high: f64) -> f64 {
    (low - x).max(x - high).max(0.0) + if x.is_nan() { f64::NAN } else { 0.0 }
}
