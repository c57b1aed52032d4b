//! A lesson as a short TOML file: where it begins, the weather, the pilot, and what is flown one after the other, each
//! well or with faults of a size. Every entry is explained in `docs/practice-flights.md`.

mod day;
mod fly;
mod hands;
mod maneuvers;
mod read;
mod reader;
mod table;

pub use fly::{Flight, default_airframe};
pub use table::{KINDS, KindRow, LEGS, Where};

use crate::faults::Faults;
use crate::maneuvers::field::Form;
use crate::recorder::{Field, Fit};
use crate::runway::Runway;
use air::geodesy::Place as Where2d;
use aircraft::{Place, Problem};
use dynamics::{Airframe, Weather};
use jiff::Timestamp;

/// The schema that is read.
pub const SCHEMA: &str = "proofwing-script-1";

/// One lesson.
#[derive(Clone, Debug)]
pub struct Script {
    /// Name of the lesson.
    pub name: String,
    /// Airframe file, as written: relative to the script. None: the demonstration's.
    pub airframe: Option<String>,
    /// Recorder, when the script names one.
    pub recorder: Option<Fit>,
    /// Begins in the air, or standing on the runway.
    pub start: Start,
    /// Time of the start.
    pub time: Timestamp,
    /// Threshold of the runway: the reference point.
    pub place: Where2d,
    /// Elevation of the field, m.
    pub elevation_m: f64,
    /// The runway.
    pub runway: Runway,
    /// The air.
    pub weather: Weather,
    /// Altimeter setting of the day, Pa.
    pub setting_pa: f64,
    /// Wind at the field: from, rad true, and speed, m/s.
    pub wind: (f64, f64),
    /// How much the hand wanders.
    pub wander: f64,
    /// What is flown.
    pub tasks: Vec<Task>,
    file: String,
}

/// Where a lesson begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// Level: height above the field, m; indicated airspeed, m/s, cruise when none; heading, rad true.
    Air {
        /// Height, m.
        height: f64,
        /// Airspeed, m/s.
        speed: Option<f64>,
        /// Heading, rad.
        heading: f64,
    },
    /// Standing at the threshold.
    Runway,
}

/// One thing to fly, SI; what is not written is as usual.
#[derive(Clone, Debug, Default)]
pub struct Task {
    /// Kind of maneuver; none: ordinary flying.
    pub kind: Option<&'static str>,
    /// Ordinary flying.
    pub leg: Option<&'static str>,
    /// −1 left, 0 straight, +1 right.
    pub side: Option<f64>,
    /// Bank, rad.
    pub bank: Option<f64>,
    /// Flap angle, rad.
    pub flaps: Option<f64>,
    /// Time, s.
    pub seconds: Option<f64>,
    /// Indicated airspeed, m/s.
    pub speed: Option<f64>,
    /// Entry height above the field, m.
    pub height: Option<f64>,
    /// Height to go to, m.
    pub to_height: Option<f64>,
    /// Height of a decision, m.
    pub at_height: Option<f64>,
    /// Heading, rad true.
    pub heading: Option<f64>,
    /// Turns, or halves of them.
    pub turns: Option<f64>,
    /// Angle of a turn, rad.
    pub turn: Option<f64>,
    /// Radius over the ground or distance of a pylon, m.
    pub radius: Option<f64>,
    /// Where to touch down past the threshold, m.
    pub point: Option<f64>,
    /// Recovery at the first indication.
    pub at_cue: bool,
    /// What the runway asks of a takeoff or a landing.
    pub form: Form,
    /// Nose low instead of high.
    pub nose_low: bool,
    /// Clearing turns before it.
    pub clearing: Option<bool>,
    /// What is done wrong.
    pub faults: Faults,
    /// Where it stands in the script.
    pub at: Place,
    /// Where its flap angle stands.
    pub flaps_at: Place,
}

impl Script {
    /// Reads a script; `name` is how messages call the file.
    ///
    /// # Errors
    /// What is wrong, where, and how to mend it: the first thing only.
    pub fn parse(text: &str, name: &str) -> Result<Script, Problem> {
        read::read(text, name)
    }

    /// Flies the lesson, the same for the same seed.
    ///
    /// # Errors
    /// What cannot be flown with this airframe: a flap angle that it has no detent for, a speed that it cannot hold.
    pub fn fly(&self, airframe: &Airframe, fit: Fit, seed: u64) -> Result<Flight, Problem> {
        fly::fly(self, airframe, fit, seed)
    }

    /// Where and when a recorder aboard writes, for recorders other than those of [`Script::fly`].
    #[must_use]
    pub fn field(&self) -> Field {
        fly::field(self)
    }

    fn problem(&self, place: Place, what: String, mend: &str) -> Problem {
        Problem {
            file: self.file.clone(),
            place,
            what,
            mend: mend.to_owned(),
        }
    }
}
