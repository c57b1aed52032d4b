//! Speeds for the mass, load factor and flap setting at hand.
//!
//! From lift = n·W at the maximum lift coefficient, in the same configuration:
//!
//! - stall speed Vs = Vs_ref · √(n · m / m_ref)
//! - maneuvering speed VA = VA_ref · √(m / m_ref)
//!
//! Source: FAA-H-8083-25C, *Pilot's Handbook of Aeronautical Knowledge*, ch. 5, "Load Factors and
//! Stalling Speeds". Both are relations of *calibrated* airspeed. Where the file has a calibration
//! table the indicated speed is calibrated, scaled, and turned back; without one the indicated speed
//! is scaled itself. For an indicator that is off by δ the shortcut errs by δ·(√(n·m/m_ref) − 1):
//! with δ = 5 kt and 15 % less mass, 0.4 kt; with δ = 5 kt at 2 g, 2 kt.
//!
//! Between two detents with a known stall speed, 1/Vs² (that is, the maximum lift coefficient) is
//! taken to grow straight with flap angle. Real flaps give more of it in the first half of the
//! travel, so such a speed is marked [`Basis::Interpolated`] with a 1-σ of a quarter of the
//! difference between the two neighbors (judgment, no source).

use air::stall;

use crate::{Aircraft, CalibrationPoint, Detent};

/// Where a figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The file says it.
    Stated,
    /// Between two that the file says.
    Interpolated,
}

/// A speed with where it came from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// Indicated airspeed, m/s.
    pub value_mps: f64,
    /// 1-σ of what the basis adds, m/s; zero for a stated figure.
    pub sigma_mps: f64,
    /// Where it comes from.
    pub basis: Basis,
}

impl Figure {
    const fn stated(value_mps: f64) -> Self {
        Self {
            value_mps,
            sigma_mps: 0.0,
            basis: Basis::Stated,
        }
    }
}

impl Aircraft {
    /// Fills in what the file says in another place: VS1 is the stall speed of the first detent, VS0
    /// and VFE belong to the last, and an aircraft without flaps stalls at one speed. Sorts nothing.
    #[must_use]
    pub fn completed(mut self) -> Self {
        let Aircraft { speeds, flaps, .. } = &mut self;
        if let Some(clean) = flaps.first_mut() {
            clean.stall_mps = clean.stall_mps.or(speeds.vs1_mps);
            speeds.vs1_mps = speeds.vs1_mps.or(clean.stall_mps);
        }
        if let [only] = flaps.as_mut_slice() {
            only.stall_mps = only.stall_mps.or(speeds.vs0_mps);
            speeds.vs1_mps = speeds.vs1_mps.or(only.stall_mps);
            speeds.vs0_mps = speeds.vs0_mps.or(only.stall_mps);
        } else if let Some(full) = flaps.last_mut() {
            full.stall_mps = full.stall_mps.or(speeds.vs0_mps);
            speeds.vs0_mps = speeds.vs0_mps.or(full.stall_mps);
            full.limit_mps = full.limit_mps.or(speeds.vfe_mps);
            speeds.vfe_mps = speeds.vfe_mps.or(full.limit_mps);
        }
        self
    }

    /// Mass to reckon with, kg: the one of the day, else the reference mass of the speeds, else the
    /// highest permitted. `None` when the file says none.
    #[must_use]
    pub fn mass_in_use_kg(&self) -> Option<f64> {
        self.mass.actual_kg.or(self.reference_mass_kg())
    }

    /// Mass that the published speeds are for, kg; manuals print them at the highest mass, so that
    /// stands in when the file does not say.
    #[must_use]
    pub fn reference_mass_kg(&self) -> Option<f64> {
        self.mass.reference_kg.or(self.mass.maximum_kg)
    }

    /// Flaps up: the first detent.
    #[must_use]
    pub fn clean_detent(&self) -> Option<&Detent> {
        self.flaps.first()
    }

    /// Full flap: the last detent, of an aircraft that has flaps.
    #[must_use]
    pub fn full_detent(&self) -> Option<&Detent> {
        if self.flaps.len() > 1 {
            self.flaps.last()
        } else {
            None
        }
    }

    /// Whether the aircraft has flaps; `None` when the file does not say.
    #[must_use]
    pub fn has_flaps(&self) -> Option<bool> {
        match self.flaps.len() {
            0 => None,
            count => Some(count > 1),
        }
    }

    /// The detent nearest to a flap angle, as its place in `flaps`.
    #[must_use]
    pub fn nearest_detent(&self, angle_rad: f64) -> Option<usize> {
        if !angle_rad.is_finite() {
            return None;
        }
        let distance = |detent: &Detent| (detent.angle_rad - angle_rad).abs();
        (0..self.flaps.len())
            .min_by(|a, b| distance(&self.flaps[*a]).total_cmp(&distance(&self.flaps[*b])))
    }

    /// Highest indicated speed for a detent, m/s. One that the file leaves out is under VFE, which a
    /// manual without a limit for each setting means for all of them. `None` for flaps up.
    #[must_use]
    pub fn flap_limit_mps(&self, detent: usize) -> Option<f64> {
        if detent == 0 {
            return None;
        }
        let entry = self.flaps.get(detent)?;
        entry.limit_mps.or(self.speeds.vfe_mps)
    }

    /// Stall speed of a detent at the reference mass and 1 g, indicated.
    #[must_use]
    pub fn stall_speed(&self, detent: usize) -> Option<Figure> {
        let entry = self.flaps.get(detent)?;
        if let Some(stated) = entry.stall_mps {
            return Some(Figure::stated(stated));
        }
        let below = self.flaps[..detent].iter().rev().find_map(known_stall)?;
        let above = self.flaps[detent + 1..].iter().find_map(known_stall)?;
        let share = (entry.angle_rad - below.0) / (above.0 - below.0);
        if !(0.0..=1.0).contains(&share) {
            return None;
        }
        let inverse = |speed: f64| 1.0 / (speed * speed);
        let value = inverse(below.1) + share * (inverse(above.1) - inverse(below.1));
        Some(Figure {
            value_mps: value.sqrt().recip(),
            sigma_mps: (below.1 - above.1).abs() / 4.0,
            basis: Basis::Interpolated,
        })
    }

    /// Stall speed of a detent for a load factor at the mass in use, indicated. Without any mass in
    /// the file the published speed is taken as it stands.
    ///
    /// `None` also for a load factor that is negative or not a number: an unloaded wing has no such
    /// speed.
    #[must_use]
    pub fn stall_speed_at(&self, detent: usize, load_factor: f64) -> Option<Figure> {
        let ratio = self.mass_ratio() * load_factor;
        let figure = self.stall_speed(detent)?;
        let angle = self.flaps.get(detent)?.angle_rad;
        let value_mps = self.scaled(figure.value_mps, ratio, angle)?;
        Some(Figure {
            value_mps,
            ..figure
        })
    }

    /// Maneuvering speed at the mass in use, indicated, m/s.
    #[must_use]
    pub fn va_mps(&self) -> Option<f64> {
        let clean = self.clean_detent().map_or(0.0, |detent| detent.angle_rad);
        self.scaled(self.speeds.va_mps?, self.mass_ratio(), clean)
    }

    /// Mass in use over reference mass; 1 when the file has too little to say.
    #[must_use]
    pub fn mass_ratio(&self) -> f64 {
        match (self.mass_in_use_kg(), self.reference_mass_kg()) {
            (Some(mass), Some(reference)) if mass > 0.0 && reference > 0.0 => mass / reference,
            _ => 1.0,
        }
    }

    /// Calibrated airspeed from indicated, m/s, by the file's table; without a table the same speed.
    ///
    /// Straight between two pairs; below the first the correction stays. Above the last it fades as
    /// 1/V: the part of the position error that comes with angle of attack is a pressure k·CL·q,
    /// which is constant in level flight, and a constant pressure error is a speed error of k'/V.
    #[must_use]
    pub fn calibrated_mps(&self, indicated_mps: f64, flap_angle_rad: f64) -> f64 {
        let pick = |pair: &CalibrationPoint| (pair.indicated_mps, pair.calibrated_mps);
        match self.neighbors(flap_angle_rad, indicated_mps, pick) {
            (Some(end), None) => indicated_mps + fading(end) / indicated_mps,
            inside => indicated_mps + correction(inside, indicated_mps),
        }
    }

    /// Indicated airspeed from calibrated, m/s; the inverse of [`Aircraft::calibrated_mps`].
    #[must_use]
    pub fn indicated_mps(&self, calibrated_mps: f64, flap_angle_rad: f64) -> f64 {
        let pick = |pair: &CalibrationPoint| (pair.calibrated_mps, pair.indicated_mps);
        match self.neighbors(flap_angle_rad, calibrated_mps, pick) {
            // c = i + k/i, so i² − c·i + k = 0, of which the larger root is the speed.
            (Some(end), None) => {
                let constant = fading((end.1, end.0));
                let root = (calibrated_mps * calibrated_mps - 4.0 * constant)
                    .max(0.0)
                    .sqrt();
                0.5 * (calibrated_mps + root)
            }
            inside => calibrated_mps + correction(inside, calibrated_mps),
        }
    }

    fn scaled(&self, indicated_mps: f64, ratio: f64, flap_angle_rad: f64) -> Option<f64> {
        let calibrated = self.calibrated_mps(indicated_mps, flap_angle_rad);
        let scaled = stall::scaled_speed_mps(calibrated, ratio)?;
        Some(self.indicated_mps(scaled, flap_angle_rad))
    }

    /// The pairs next below (or at) and above a speed, among those of the nearest flap angle that the
    /// table has and those for any setting. Runs once a sample, so nothing is collected.
    fn neighbors(
        &self,
        flap_angle_rad: f64,
        speed: f64,
        pick: impl Fn(&CalibrationPoint) -> Pair,
    ) -> (Option<Pair>, Option<Pair>) {
        let distance = |angle: f64| (angle - flap_angle_rad).abs();
        let nearest = self
            .calibration
            .iter()
            .filter_map(|pair| pair.flap_angle_rad)
            .min_by(|a, b| distance(*a).total_cmp(&distance(*b)));
        let (mut below, mut above): (Option<Pair>, Option<Pair>) = (None, None);
        for point in &self.calibration {
            if point.flap_angle_rad.is_some() && point.flap_angle_rad != nearest {
                continue;
            }
            let pair = pick(point);
            if pair.0 <= speed {
                if below.is_none_or(|best| pair.0 > best.0) {
                    below = Some(pair);
                }
            } else if above.is_none_or(|best| pair.0 < best.0) {
                above = Some(pair);
            }
        }
        (below, above)
    }
}

/// A speed of the table and its counterpart, m/s.
type Pair = (f64, f64);

fn known_stall(detent: &Detent) -> Option<(f64, f64)> {
    detent.stall_mps.map(|speed| (detent.angle_rad, speed))
}

/// The k of the correction k/V beyond the last pair (indicated, calibrated).
fn fading(end: Pair) -> f64 {
    (end.1 - end.0) * end.0
}

/// What to add to `speed`: straight between two pairs, held outside one.
fn correction(neighbors: (Option<Pair>, Option<Pair>), speed: f64) -> f64 {
    let offset = |pair: Pair| pair.1 - pair.0;
    match neighbors {
        (Some(low), Some(high)) => {
            let share = (speed - low.0) / (high.0 - low.0);
            offset(low) + share * (offset(high) - offset(low))
        }
        (Some(one), None) | (None, Some(one)) => offset(one),
        (None, None) => 0.0,
    }
}
