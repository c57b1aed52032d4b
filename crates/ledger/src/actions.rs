//! What a pilot does in a recovery, in the few numbers that decide about height.

/// The wing is unloaded, the nose goes down, the airplane gains speed, is pulled out and climbs.
#[derive(Clone, Debug, PartialEq)]
pub struct Actions {
    /// How it is unloaded and pulled out.
    pub style: Style,
    /// Share of thrust at work over time.
    pub power: Course,
    /// Flap angle over time, rad.
    pub flaps: Course,
    /// Bank over time, rad: what is banked does not hold the path up.
    pub bank: Course,
    /// How the climb is flown.
    pub climb: Climb,
}

/// From the stall to the pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Load factor while the path steepens.
    pub unload_load: f64,
    /// Steepest path meant, rad (negative).
    pub steepest_rad: f64,
    /// Airspeed over the stall speed at which the pull begins.
    pub pull_at: f64,
    /// Load factor of the pull.
    pub pull_load: f64,
    /// Share of the wing's greatest lift that the pull goes up to; above 1 where the propeller's stream helps.
    pub lift_used: f64,
}

/// After the pull.
#[derive(Clone, Debug, PartialEq)]
pub enum Climb {
    /// The airspeed follows a course, equivalent, m/s; what power is left climbs.
    As(Course),
    /// A speed is sought, equivalent, m/s, and held.
    Hold(f64),
}

/// A quantity over time, evenly sampled, held at both ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Time of the first value, s.
    pub first_s: f64,
    /// Step, s.
    pub step_s: f64,
    /// Values.
    pub values: Vec<f64>,
}

impl Course {
    /// Value at a time, straight between samples.
    #[must_use]
    pub fn at(&self, t: f64) -> f64 {
        let place = ((t - self.first_s) / self.step_s).max(0.0);
        let low = place.floor() as usize;
        let last = self.values.last().copied().unwrap_or(0.0);
        match (self.values.get(low), self.values.get(low + 1)) {
            (Some(a), Some(b)) => a + (place - low as f64) * (b - a),
            (Some(a), None) => *a,
            _ => last,
        }
    }

    /// The same times with other values.
    #[must_use]
    pub fn map(&self, mut value: impl FnMut(f64, f64) -> f64) -> Course {
        Course {
            values: self
                .values
                .iter()
                .enumerate()
                .map(|(k, v)| value(self.first_s + k as f64 * self.step_s, *v))
                .collect(),
            ..self.clone()
        }
    }

    /// The last time, s.
    #[must_use]
    pub fn last_s(&self) -> f64 {
        self.first_s + self.values.len().saturating_sub(1) as f64 * self.step_s
    }
}
