//! What a criterion is measured on: one maneuver in its flight, and what was asked for.

use crate::briefed::{Asked, Recovery};
use crate::pack::{Criterion, LimitOrigin, When};
use aircraft::Aircraft;
use flight::{Flight, Origin, Series};
use maneuver::{Direction, Maneuver};

/// From this chance on an event is taken to have happened.
const HAPPENED: f64 = 0.5;

/// A moment of the maneuver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moment {
    pub at_s: f64,
    pub sigma_s: f64,
}

/// One maneuver with everything around it.
pub(crate) struct Context<'a> {
    pub flight: &'a Flight,
    pub aircraft: &'a Aircraft,
    pub maneuvers: &'a [Maneuver],
    pub index: usize,
    pub maneuver: &'a Maneuver,
    pub asked: Asked,
    pub recovery: (Recovery, LimitOrigin),
}

impl Context<'_> {
    /// An event that is more likely than not to have happened.
    pub fn event(&self, name: &str) -> Option<Moment> {
        let event = self
            .maneuver
            .events
            .iter()
            .find(|event| event.name == name && event.probability >= HAPPENED)?;
        // No recorder fixes a moment better than a tenth of a second.
        Some(Moment {
            at_s: event.at_s,
            sigma_s: event.sigma_s.max(0.1),
        })
    }

    /// A moment that a pack may name.
    pub fn moment(&self, name: &str) -> Option<Moment> {
        let plain = |at_s: f64| Some(Moment { at_s, sigma_s: 0.5 });
        if let Some(moment) = self.event(name) {
            return Some(moment);
        }
        match name {
            "start" | "setup_start" | "roll_in" => plain(self.maneuver.start_s),
            "end" | "wings_level" => plain(self.maneuver.end_s),
            "stall" => self.stall(),
            "stall_minus_5" => self.stall().map(|stall| Moment {
                at_s: stall.at_s - 5.0,
                ..stall
            }),
            "established" => plain(self.maneuver.phase("established")?.start_s),
            "recovery_input" => plain(self.maneuver.phase("established")?.end_s),
            "turned_30" => self.turned(30_f64.to_radians()),
            "bank_established" => self.turned(20_f64.to_radians()),
            "roll_out_start" => self.roll_out(),
            _ => None,
        }
    }

    /// The full stall, or where the recovery began when there was none. A wing that was not to stall is let
    /// off soon after its first cue, so a recovery that seems to begin much later does not count.
    pub fn stall(&self) -> Option<Moment> {
        const AFTER_CUE_S: f64 = 2.0;
        if let Some(full) = self.event("full_stall") {
            return Some(full);
        }
        match (self.event("recovery_start"), self.event("first_cue")) {
            (Some(recovery), Some(cue)) if recovery.at_s > cue.at_s + AFTER_CUE_S => Some(Moment {
                at_s: cue.at_s + 0.5 * AFTER_CUE_S,
                sigma_s: cue.sigma_s.hypot(0.5 * AFTER_CUE_S),
            }),
            (Some(recovery), _) => Some(recovery),
            (None, cue) => cue,
        }
    }

    /// When so much of the turn was done, from the roll-in.
    fn turned(&self, angle_rad: f64) -> Option<Moment> {
        let heading = self
            .flight
            .heading
            .as_ref()
            .or(self.flight.track.as_ref())?;
        let from = self.moment("roll_in")?.at_s;
        let (first, last) = self.samples(from, self.maneuver.end_s)?;
        let start = heading.at(first);
        let index = (first..=last).find(|index| (heading.at(*index) - start).abs() >= angle_rad)?;
        Some(Moment {
            at_s: self.flight.clock.time_s(index),
            sigma_s: 0.5,
        })
    }

    /// The last time that the bank was within a tenth of its median in the turn.
    fn roll_out(&self) -> Option<Moment> {
        let bank = self.flight.bank.as_ref()?;
        let (first, last) = self.samples(self.maneuver.start_s, self.maneuver.end_s)?;
        let mut all: Vec<f64> = (first..=last)
            .map(|index| bank.at(index).abs())
            .filter(|bank| bank.is_finite())
            .collect();
        all.sort_by(f64::total_cmp);
        let median = *all.get(all.len() / 2)?;
        let index = (first..=last)
            .rev()
            .find(|index| bank.at(*index).abs() >= 0.9 * median)?;
        Some(Moment {
            at_s: self.flight.clock.time_s(index),
            sigma_s: 0.5,
        })
    }

    /// First and last moment of a criterion's window.
    pub fn window(&self, criterion: &Criterion) -> Option<(f64, f64)> {
        let (first, last) = (criterion.window.first()?, criterion.window.last()?);
        let (from, to) = (self.moment(first)?.at_s, self.moment(last)?.at_s);
        (to >= from).then_some((from, to))
    }

    /// First and last sample of a span, clipped to the flight; `None` when it is empty.
    pub fn samples(&self, from_s: f64, to_s: f64) -> Option<(usize, usize)> {
        let clock = self.flight.clock;
        if clock.len == 0 || !from_s.is_finite() || !to_s.is_finite() || to_s < from_s {
            return None;
        }
        let first = (from_s / clock.step_s).ceil().max(0.0) as usize;
        let last = clock.index(to_s);
        if first <= last {
            Some((first, last))
        } else {
            Some((last, last))
        }
    }

    /// Values of a series in a span, NaN where nothing is known.
    pub fn slice(&self, series: &Series, from_s: f64, to_s: f64) -> Vec<f64> {
        let Some((first, last)) = self.samples(from_s, to_s) else {
            return Vec::new();
        };
        (first..=last)
            .map(|index| self.known(series, index))
            .collect()
    }

    /// A value, NaN in holes of the recording.
    pub fn known(&self, series: &Series, index: usize) -> f64 {
        if self.flight.known.get(index).copied().unwrap_or(true) {
            series.at(index)
        } else {
            f64::NAN
        }
    }

    /// Mean of the known values in a span.
    pub fn mean(&self, series: &Series, from_s: f64, to_s: f64) -> Option<f64> {
        mean(&self.slice(series, from_s, to_s))
    }

    /// Median 1-σ of a series in a span.
    pub fn sigma(&self, series: &Series, from_s: f64, to_s: f64) -> f64 {
        let Some((first, last)) = self.samples(from_s, to_s) else {
            return f64::NAN;
        };
        median((first..=last).map(|index| series.sigma_at(index)).collect()).unwrap_or(f64::NAN)
    }

    /// Whether it was flown turning.
    pub fn turning(&self) -> bool {
        matches!(
            self.maneuver.direction,
            Direction::Left | Direction::Right | Direction::LeftRight | Direction::RightLeft
        )
    }

    /// Whether a criterion is for this way of flying it.
    pub fn applies(&self, criterion: &Criterion) -> bool {
        match criterion.when {
            When::Always => true,
            When::Straight => !self.turning(),
            When::Turning => self.turning(),
        }
    }
}

/// Mean of the finite values.
pub(crate) fn mean(values: &[f64]) -> Option<f64> {
    let known: Vec<f64> = values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .collect();
    (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
}

/// Median of the finite values.
pub(crate) fn median(mut values: Vec<f64>) -> Option<f64> {
    values.retain(|value| value.is_finite());
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// The less certain of two origins.
pub(crate) fn weaker(a: Origin, b: Origin) -> Origin {
    a.max(b)
}

/// Id of an origin as the mark carries it.
pub(crate) fn origin_id(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "measured",
        Origin::Derived => "derived",
        Origin::Assumed => "assumed",
    }
}
