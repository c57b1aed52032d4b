//! What was flown, ten times a second, and what it was.

use crate::pilot::Seen;
use dynamics::{Controls, Surfaces};
use std::collections::BTreeMap;

/// One moment.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// What is seen.
    pub seen: Seen,
    /// The pilot's inputs.
    pub controls: Controls,
    /// Where the surfaces are.
    pub surfaces: Surfaces,
    /// Propeller, rad/s.
    pub spin_radps: f64,
    /// Power as a share of the rated power.
    pub power_share: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Outside air, K.
    pub temperature_k: f64,
    /// The stall warning sounds.
    pub warning: bool,
    /// Lift coefficient.
    pub lift: f64,
}

/// One maneuver as it was flown: the truth.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flown {
    /// Kind, as in the debrief.
    pub kind: &'static str,
    /// Direction.
    pub direction: Option<&'static str>,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Moments by name, s.
    pub moments: BTreeMap<String, f64>,
    /// What the pilot was told to do wrong.
    pub faults: Vec<&'static str>,
    /// What was asked for, by name.
    pub asked: BTreeMap<&'static str, f64>,
    /// Words that were asked for.
    pub words: BTreeMap<&'static str, &'static str>,
    /// Other numbers that were asked for, in the unit that the name in the truth file has.
    pub numbers: BTreeMap<&'static str, f64>,
    /// It cannot be told from ordinary flying: not counted either way.
    pub optional: bool,
}

impl Flown {
    /// Begins one.
    #[must_use]
    pub fn new(kind: &'static str, start_s: f64) -> Flown {
        Flown {
            kind,
            start_s,
            ..Flown::default()
        }
    }

    /// A moment happened.
    pub fn moment(&mut self, name: impl Into<String>, at_s: f64) {
        self.moments.entry(name.into()).or_insert(at_s);
    }
}

/// The whole flight.
#[derive(Clone, Debug, Default)]
pub struct Log {
    /// Moments, ten a second.
    pub samples: Vec<Sample>,
    /// Maneuvers in order.
    pub flown: Vec<Flown>,
    /// Ordinary flying that the script asked for.
    pub fillers: Vec<Flown>,
}
