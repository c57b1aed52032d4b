//! What was flown around one recovery, on an even time base.

/// One moment.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sample {
    /// s from the flight's first sample.
    pub t: f64,
    /// Height, m.
    pub height: f64,
    /// True airspeed, m/s.
    pub tas: f64,
    /// Angle of the path through the air, rad.
    pub path: f64,
    /// Load factor, from the turning of the path.
    pub load: f64,
    /// Bank, rad.
    pub bank: f64,
    /// Power between idle and full, 0 to 1.
    pub power: f64,
    /// Flap angle, rad; 0 where nobody knows.
    pub flap: f64,
    /// Vertical speed of the air, up, m/s, where it is known.
    pub air: Option<f64>,
}

/// What holds for the whole stretch.
#[derive(Clone, Copy, Debug)]
pub struct About {
    /// √ of the density over that at sea level: equivalent over true airspeed.
    pub density_root: f64,
    /// Whether the flaps are known (recorded, or inferred with some certainty).
    pub flaps_known: bool,
    /// 1-σ of a height difference over the stretch, m.
    pub height_sigma_m: f64,
    /// 1-σ of a speed, m/s.
    pub speed_sigma_mps: f64,
    /// Strength of vertical gusts, m/s.
    pub gust_mps: f64,
    /// The vertical speed of the air is known in a stall too: a vane was recorded.
    pub air_in_stall: bool,
}

/// A stretch of a flight.
#[derive(Clone, Debug)]
pub struct Flown {
    /// Samples, evenly spaced.
    pub samples: Vec<Sample>,
    /// What holds for all of it.
    pub about: About,
}

/// Step of the time base, s.
pub const STEP_S: f64 = 0.1;

impl Flown {
    /// From heights, airspeeds, banks, power and flaps every [`STEP_S`]; path and load follow from them. `None` where a
    /// value is no number.
    #[must_use]
    pub fn new(mut samples: Vec<Sample>, about: About) -> Option<Flown> {
        let whole = samples.len() > 30
            && samples.iter().all(|s| {
                [s.t, s.height, s.tas, s.bank, s.power, s.flap]
                    .iter()
                    .all(|v| v.is_finite())
                    && s.tas > 5.0
            });
        if !whole {
            return None;
        }
        shape(&mut samples);
        Some(Flown { samples, about })
    }

    /// The sample nearest to a time.
    #[must_use]
    pub fn at(&self, t: f64) -> Sample {
        let first = self.samples.first().map_or(0.0, |s| s.t);
        let place = ((t - first) / STEP_S).round().max(0.0) as usize;
        self.samples
            .get(place)
            .or(self.samples.last())
            .copied()
            .unwrap_or_default()
    }

    /// Samples from one time to another.
    pub fn span(&self, from: f64, to: f64) -> impl Iterator<Item = &Sample> {
        self.samples
            .iter()
            .filter(move |s| s.t >= from - 1e-6 && s.t <= to + 1e-6)
    }

    /// The last time, s.
    #[must_use]
    pub fn end_s(&self) -> f64 {
        self.samples.last().map_or(0.0, |s| s.t)
    }
}

/// Path and load factor from height and airspeed.
fn shape(samples: &mut [Sample]) {
    let climb = slope(samples, |s| s.height, 0.5);
    for (sample, climb) in samples.iter_mut().zip(&climb) {
        sample.path = (climb / sample.tas).clamp(-0.95, 0.95).asin();
    }
    let turning = slope(samples, |s| s.path, 0.5);
    for (sample, rate) in samples.iter_mut().zip(&turning) {
        let upward = sample.path.cos() + rate * sample.tas / air::units::G0_MPS2;
        sample.load = upward / sample.bank.cos().max(0.3);
    }
}

/// Slope of the best line through ± `half` s.
pub(crate) fn slope(samples: &[Sample], value: impl Fn(&Sample) -> f64, half: f64) -> Vec<f64> {
    let reach = (half / STEP_S).round() as usize;
    (0..samples.len())
        .map(|k| {
            let part = &samples[k.saturating_sub(reach)..(k + reach + 1).min(samples.len())];
            let n = part.len() as f64;
            let (t0, v0) = part
                .iter()
                .fold((0.0, 0.0), |(t, v), s| (t + s.t / n, v + value(s) / n));
            let (top, bottom) = part.iter().fold((0.0, 1e-9), |(a, b), s| {
                (
                    a + (s.t - t0) * (value(s) - v0),
                    b + (s.t - t0) * (s.t - t0),
                )
            });
            top / bottom
        })
        .collect()
}
