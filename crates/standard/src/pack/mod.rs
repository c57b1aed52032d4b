//! A standards pack: one edition of one published document as data.
//!
//! Tasks, their skill elements by code, and for each element the criteria: what is measured, in what
//! part of the maneuver, against which target and tolerance, and where each number comes from. The
//! format is described in `docs/standards.md`; the packs lie in `data/standards/`.

mod embedded;
mod error;
mod extend;
mod own;
mod page;
mod read;
mod read_own;
mod schema;

pub use embedded::{EMBEDDED, pack};
pub use error::PackError;
pub(crate) use own::{FIGURES, NAMES};
pub use own::{OwnManeuver, Power, Primitive, Step};

use maneuver::{Kind, Maneuver};

/// From this chance on a form that the recording shows has its own task. Another task means other limits, so that
/// it takes more than being likely; assumed.
const SHOWN: f64 = 0.9;

/// Briefed: no particular form, whatever the recording shows.
pub const PLAIN: &str = "plain";

/// One edition of one published standard.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    /// Id, e.g. `faa-private`.
    pub id: String,
    /// Title for people.
    pub title: String,
    /// Full title of the document.
    pub document: String,
    /// Edition, e.g. `FAA-S-ACS-6C`.
    pub edition: String,
    /// Date of the edition, in words.
    pub date: String,
    /// Where the numbers stand.
    pub source: String,
    /// What counts as outside.
    pub policy: Policy,
    /// Tasks of the document that the pack leaves out.
    pub missing: Vec<Missing>,
    /// Tasks.
    pub tasks: Vec<Task>,
    /// Id of the pack that it extends; none = it stands alone.
    pub extends: Option<String>,
    /// Maneuvers of the school's own, found by their steps.
    pub own: Vec<OwnManeuver>,
}

/// A task of the document that the pack leaves out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Which, in words.
    pub task: String,
    /// Why.
    pub why: String,
}

impl Pack {
    /// Reads a pack from TOML; `name` is for messages.
    ///
    /// # Errors
    /// [`PackError`] with line, column and how to mend it.
    pub fn read(text: &str, name: &str) -> Result<Pack, PackError> {
        read::read(text, name)
    }

    /// The task of a kind of maneuver in no particular form, if the pack has one.
    #[must_use]
    pub fn task(&self, kind: Kind) -> Option<&Task> {
        self.form(kind, None)
    }

    /// The task for a maneuver: that of the form that was briefed, else of one that the recording shows, else
    /// the one for no particular form.
    ///
    /// `briefed` is an id of [`maneuver::VARIANTS`] or [`PLAIN`]. A briefed form that the pack has no task for
    /// is marked as none; what the recording shows does not count against what was asked for.
    #[must_use]
    pub fn task_for(&self, maneuver: &Maneuver, briefed: Option<&str>) -> Option<&Task> {
        let plain = || self.task(maneuver.kind);
        if let Some(briefed) = briefed {
            return self.form(maneuver.kind, Some(briefed)).or_else(plain);
        }
        let mut shown: Vec<&maneuver::Variant> = maneuver
            .variants
            .iter()
            .filter(|variant| variant.probability >= SHOWN)
            .collect();
        shown.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        shown
            .iter()
            .find_map(|variant| self.form(maneuver.kind, Some(variant.name)))
            .or_else(plain)
    }

    fn form(&self, kind: Kind, variant: Option<&str>) -> Option<&Task> {
        self.tasks
            .iter()
            .find(|task| task.kind == kind && task.variant == variant)
    }
}

/// What counts as outside a tolerance. The published standard fails *consistently exceeding* and *not
/// correcting promptly* and gives no seconds, so these are assumed numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Policy {
    /// A deviation counts once it was kept up this long, s.
    pub held_s: f64,
    /// An excursion shorter than this was promptly corrected, s.
    pub prompt_s: f64,
    /// So many promptly corrected excursions are forgiven.
    pub forgiven: usize,
}

/// One task of the standard.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Maneuver that the task is about.
    pub kind: Kind,
    /// Form that the task is for, an id of [`maneuver::VARIANTS`]; none = no particular one.
    pub variant: Option<&'static str>,
    /// Code, e.g. `PA.VII.B`.
    pub code: String,
    /// Title.
    pub title: String,
    /// Skill elements in order.
    pub elements: Vec<Element>,
}

/// One skill element.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// Code within the task, e.g. `S6`.
    pub code: String,
    /// What it asks for, in our words.
    pub skill: String,
    /// How it is marked; never empty.
    pub criteria: Vec<Criterion>,
}

/// What is measured for a criterion. Snake-case names in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Measure {
    Altitude,
    Airspeed,
    Heading,
    Bank,
    BankMax,
    RolloutHeading,
    EntryAirspeed,
    MinAltitudeAgl,
    ClearingTurns,
    OppositeDirection,
    RecoveryAfterFullStall,
    RecoveryAsSpecified,
    RecoveryPrompt,
    PowerPrompt,
    PowerPercent,
    NoSecondaryStall,
    NoStallWarning,
    Coordination,
    FlapExtensionSpeed,
    FlapsInSteps,
    FlapsRetracted,
    DescentEstablished,
    PitchUpSmooth,
    ClimbNotDelayed,
    /// A quantity along time, named by `series`.
    Series,
    /// A figure of the maneuver, named by `figure`, else by the criterion's own id.
    Figure,
    /// Only a person can judge it.
    Instructor,
}

impl Measure {
    /// Every measure with its name in a pack.
    pub const ALL: [(Measure, &'static str); 27] = [
        (Measure::Altitude, "altitude"),
        (Measure::Airspeed, "airspeed"),
        (Measure::Heading, "heading"),
        (Measure::Bank, "bank"),
        (Measure::BankMax, "bank_max_20"),
        (Measure::RolloutHeading, "rollout_heading"),
        (Measure::EntryAirspeed, "entry_airspeed"),
        (Measure::MinAltitudeAgl, "min_altitude_agl"),
        (Measure::ClearingTurns, "clearing_turns"),
        (Measure::OppositeDirection, "opposite_direction"),
        (Measure::RecoveryAfterFullStall, "recovery_after_full_stall"),
        (Measure::RecoveryAsSpecified, "recovery_as_specified"),
        (Measure::RecoveryPrompt, "recovery_prompt"),
        (Measure::PowerPrompt, "power_prompt"),
        (Measure::PowerPercent, "power_percent"),
        (Measure::NoSecondaryStall, "no_secondary_stall"),
        (Measure::NoStallWarning, "no_stall_warning"),
        (Measure::Coordination, "coordination"),
        (Measure::FlapExtensionSpeed, "flap_extension_speed"),
        (Measure::FlapsInSteps, "flaps_in_steps"),
        (Measure::FlapsRetracted, "flaps_retracted"),
        (Measure::DescentEstablished, "descent_established"),
        (Measure::PitchUpSmooth, "pitch_up_smooth"),
        (Measure::ClimbNotDelayed, "climb_not_delayed"),
        (Measure::Series, "series"),
        (Measure::Figure, "figure"),
        (Measure::Instructor, "instructor"),
    ];
}

/// What a deviation is measured from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// The limits are absolute.
    Absolute,
    /// What was briefed, else what was flown at the entry (then said to be assumed).
    Entry,
    /// What was briefed, else this number.
    Stated {
        /// In the criterion's unit.
        value: f64,
        /// Where it comes from.
        origin: LimitOrigin,
    },
    /// The slow-flight speed: briefed, else only as well as the stall speed tells.
    SlowFlight,
    /// What was briefed; where nobody said, the sheet asks.
    Briefed,
    /// What was briefed, else a speed of the aircraft's file.
    Speed(NamedSpeed),
    /// What was briefed, else a figure of the maneuver (then said to be assumed).
    Figure(&'static str),
}

/// A speed of the aircraft's file. Lower-case names in the pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum NamedSpeed {
    Vx,
    Vy,
    BestGlide,
    Approach,
    Rotate,
    Vs0,
    Vs1,
}

impl NamedSpeed {
    /// Every one with its name in a pack and its name for people.
    pub const ALL: [(NamedSpeed, &'static str, &'static str); 7] = [
        (NamedSpeed::Vx, "vx", "VX"),
        (NamedSpeed::Vy, "vy", "VY"),
        (NamedSpeed::BestGlide, "best_glide", "best glide speed"),
        (NamedSpeed::Approach, "approach", "approach speed"),
        (NamedSpeed::Rotate, "rotate", "rotation speed"),
        (NamedSpeed::Vs0, "vs0", "VS0"),
        (NamedSpeed::Vs1, "vs1", "VS1"),
    ];

    /// For people: `VY`.
    #[must_use]
    pub fn words(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(speed, _, _)| *speed == self)
            .map_or("", |(_, _, words)| words)
    }

    /// Indicated, m/s, where the file gives it.
    #[must_use]
    pub fn of(self, aircraft: &aircraft::Aircraft) -> Option<f64> {
        let speeds = &aircraft.speeds;
        match self {
            NamedSpeed::Vx => speeds.vx_mps,
            NamedSpeed::Vy => speeds.vy_mps,
            NamedSpeed::BestGlide => speeds.best_glide_mps,
            NamedSpeed::Approach => speeds.approach_mps,
            NamedSpeed::Rotate => speeds.rotate_mps,
            NamedSpeed::Vs0 => speeds.vs0_mps,
            NamedSpeed::Vs1 => speeds.vs1_mps,
        }
    }
}

/// A quantity along time that a pack may name. Snake-case names in the pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Channel {
    Altitude,
    HeightAboveGround,
    Airspeed,
    /// Without its sign.
    Bank,
    Heading,
    Pitch,
    LoadFactor,
    ClimbRate,
}

impl Channel {
    /// Every one with its name in a pack and its SI unit.
    pub const ALL: [(Channel, &'static str, &'static str); 8] = [
        (Channel::Altitude, "altitude", "m"),
        (Channel::HeightAboveGround, "height_above_ground", "m"),
        (Channel::Airspeed, "airspeed", "m/s"),
        (Channel::Bank, "bank", "rad"),
        (Channel::Heading, "heading", "rad"),
        (Channel::Pitch, "pitch", "rad"),
        (Channel::LoadFactor, "load_factor", "g"),
        (Channel::ClimbRate, "climb_rate", "m/s"),
    ];

    /// SI unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(channel, _, _)| *channel == self)
            .map_or("", |(_, _, unit)| unit)
    }
}

/// Which word of the briefing sets a criterion's target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum BriefedBy {
    Bank,
    Heading,
    Speed,
    Altitude,
    /// Where it was to touch down, beyond the threshold.
    Point,
}

/// Where a limit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitOrigin {
    /// The document gives the number.
    Published,
    /// The document gives none; the product's or the school's default.
    Assumed,
    /// The aircraft's file.
    AircraftFile,
    /// What was asked for on this flight.
    Briefed,
}

impl LimitOrigin {
    /// Id as the mark carries it.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            LimitOrigin::Published => "published",
            LimitOrigin::Assumed => "assumed",
            LimitOrigin::AircraftFile => "aircraft_file",
            LimitOrigin::Briefed => "briefed",
        }
    }
}

/// Limits that the aircraft's file sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitFrom {
    /// The pack's own numbers.
    Pack,
    /// Maneuvering speed at the weight.
    Va,
    /// Limit speed of the flap setting, else VFE.
    Flap,
    /// Never-exceed speed.
    Vne,
    /// Highest structural cruising speed.
    Vno,
}

/// Which way of flying a criterion is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Always.
    Always,
    /// Only wings-level ones.
    Straight,
    /// Only turning ones.
    Turning,
}

/// One criterion of an element.
#[derive(Clone, Debug, PartialEq)]
pub struct Criterion {
    /// Id that the mark carries, e.g. `heading`.
    pub id: String,
    /// What is measured.
    pub measure: Measure,
    /// In words.
    pub quantity: String,
    /// Unit of the limits.
    pub unit: String,
    /// What deviations count from.
    pub target: Target,
    /// Lowest permitted (from the target).
    pub low: Option<f64>,
    /// Highest permitted (from the target).
    pub high: Option<f64>,
    /// Limits from the aircraft's file.
    pub limit_from: LimitFrom,
    /// Figure that [`Measure::Figure`] takes.
    pub figure: &'static str,
    /// Quantity that [`Measure::Series`] takes.
    pub channel: Option<Channel>,
    /// Word of the briefing that sets the target of these two.
    pub briefed: Option<BriefedBy>,
    /// Straight or turning ones only.
    pub when: When,
    /// Events that bound the graded part; what they mean depends on the measure.
    pub window: Vec<String>,
    /// Where the limits come from.
    pub origin: LimitOrigin,
    /// What counts as outside.
    pub policy: Policy,
    /// A word to go with the mark.
    pub note: String,
}

impl Criterion {
    /// Half the width of a two-sided tolerance, the width of `0..high` of a one-sided one about a
    /// target; none where the limit is absolute and one-sided.
    #[must_use]
    pub fn tolerance(&self) -> Option<f64> {
        match (self.low, self.high, self.target) {
            (Some(low), Some(high), _) => Some(0.5 * (high - low)),
            (_, _, Target::Absolute | Target::SlowFlight) => None,
            (None, Some(high), _) => Some(high.abs()),
            (Some(low), None, _) => Some(low.abs()),
            (None, None, _) => None,
        }
    }
}
