//! A maneuver of the school's own: steps that each are a primitive of flying, and what is marked in them.

use super::{Element, Measure};
use maneuver::kinds::Figure;

/// What a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Primitive {
    /// Wings level, neither climbing nor descending.
    Level,
    /// Wings level.
    Climb,
    /// Wings level.
    Descend,
    /// Wings level, airspeed rising.
    Accelerate,
    /// Wings level, airspeed falling.
    Decelerate,
    TurnLeft,
    TurnRight,
    PowerIdle,
    PowerPartial,
    PowerFull,
}

impl Primitive {
    /// Every one with its name in a pack.
    pub const ALL: [(Primitive, &'static str); 10] = [
        (Primitive::Level, "level"),
        (Primitive::Climb, "climb"),
        (Primitive::Descend, "descend"),
        (Primitive::Accelerate, "accelerate"),
        (Primitive::Decelerate, "decelerate"),
        (Primitive::TurnLeft, "turn_left"),
        (Primitive::TurnRight, "turn_right"),
        (Primitive::PowerIdle, "power_idle"),
        (Primitive::PowerPartial, "power_partial"),
        (Primitive::PowerFull, "power_full"),
    ];

    /// Whether it is a turn.
    #[must_use]
    pub fn turn(self) -> bool {
        matches!(self, Primitive::TurnLeft | Primitive::TurnRight)
    }
}

/// Power in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Power {
    Idle,
    Partial,
    Full,
}

/// One step. Bounds in SI; an absent one does not matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it is called in the debrief: `climb_out`, else `step_3`.
    pub name: String,
    /// What it is.
    pub primitive: Primitive,
    /// Shortest, s.
    pub min_s: f64,
    /// Longest, s.
    pub max_s: Option<f64>,
    /// Heading turned, without sign, rad.
    pub turned_rad: Option<(f64, f64)>,
    /// Bank held, without sign, rad.
    pub bank_rad: Option<(f64, f64)>,
    /// Height gained or lost, without sign, m.
    pub height_m: Option<(f64, f64)>,
    /// Power besides.
    pub power: Option<Power>,
}

/// A maneuver of the school's own.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnManeuver {
    /// Id, e.g. `school_box`: the debrief's kind and the code of its marks.
    pub id: String,
    /// Title.
    pub title: String,
    /// Steps in order, two at least.
    pub steps: Vec<Step>,
    /// What is marked. Windows and figures name the steps by number, as marking knows them.
    pub elements: Vec<Element>,
}

/// Names that marking knows a step by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StepNames {
    pub start: &'static str,
    pub end: &'static str,
    /// In the order of [`FIGURES`].
    pub figures: [Figure; 5],
}

/// Figures of a step, as a pack names them.
pub(crate) const FIGURES: [&str; 5] = ["seconds", "turned", "bank", "height_change", "airspeed"];

/// Measures that a maneuver of the school's own may be marked by.
pub(super) const MEASURES: [Measure; 5] = [
    Measure::Series,
    Measure::Figure,
    Measure::MinAltitudeAgl,
    Measure::Coordination,
    Measure::Instructor,
];

const fn figure(name: &'static str, unit: &'static str, words: &'static str) -> Figure {
    Figure { name, unit, words }
}

macro_rules! names {
    ($($number:literal),*) => {
        [$(StepNames {
            start: concat!("step_", $number),
            end: concat!("step_", $number, "_end"),
            figures: [
                figure(concat!("step_", $number, "_seconds"), "s", "length"),
                figure(concat!("step_", $number, "_turned"), "rad", "heading turned, without sign"),
                figure(concat!("step_", $number, "_bank"), "rad", "median bank, without sign"),
                figure(concat!("step_", $number, "_height_change"), "m", "height gained"),
                figure(concat!("step_", $number, "_airspeed"), "m/s", "mean airspeed"),
            ],
        }),*]
    };
}

/// The names of every step that there may be.
pub(crate) const NAMES: [StepNames; 12] = names!(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12);
