//! A maneuver as a value.

use flight::Origin;
use std::collections::BTreeMap;

/// Kinds of maneuver. The snake_case id of each is stable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Kind {
    ClearingTurns,
    SlowFlight,
    SteepTurn,
    PowerOffStall,
    PowerOnStall,
    AcceleratedStall,
    Chandelle,
    LazyEight,
    SteepSpiral,
    EightsOnPylons,
    TurnsAroundAPoint,
    STurns,
    RectangularCourse,
    EmergencyDescent,
    EngineOutApproach,
    ConstantAirspeedClimb,
    ConstantAirspeedDescent,
    TurnToHeading,
    StraightAndLevel,
    UnusualAttitudeRecovery,
    Takeoff,
    Landing,
    GoAround,
    PowerOff180,
    ForwardSlip,
    TrafficPattern,
}

impl Kind {
    /// Every kind with its id and its English name.
    pub const ALL: [(Kind, &'static str, &'static str); 26] = [
        (Kind::ClearingTurns, "clearing_turns", "Clearing turns"),
        (Kind::SlowFlight, "slow_flight", "Slow flight"),
        (Kind::SteepTurn, "steep_turn", "Steep turn"),
        (Kind::PowerOffStall, "power_off_stall", "Power-off stall"),
        (Kind::PowerOnStall, "power_on_stall", "Power-on stall"),
        (
            Kind::AcceleratedStall,
            "accelerated_stall",
            "Accelerated stall",
        ),
        (Kind::Chandelle, "chandelle", "Chandelle"),
        (Kind::LazyEight, "lazy_eight", "Lazy eight"),
        (Kind::SteepSpiral, "steep_spiral", "Steep spiral"),
        (Kind::EightsOnPylons, "eights_on_pylons", "Eights on pylons"),
        (
            Kind::TurnsAroundAPoint,
            "turns_around_a_point",
            "Turns around a point",
        ),
        (Kind::STurns, "s_turns", "S-turns"),
        (
            Kind::RectangularCourse,
            "rectangular_course",
            "Rectangular course",
        ),
        (
            Kind::EmergencyDescent,
            "emergency_descent",
            "Emergency descent",
        ),
        (
            Kind::EngineOutApproach,
            "engine_out_approach",
            "Engine-out approach",
        ),
        (
            Kind::ConstantAirspeedClimb,
            "constant_airspeed_climb",
            "Constant-airspeed climb",
        ),
        (
            Kind::ConstantAirspeedDescent,
            "constant_airspeed_descent",
            "Constant-airspeed descent",
        ),
        (Kind::TurnToHeading, "turn_to_heading", "Turn to a heading"),
        (
            Kind::StraightAndLevel,
            "straight_and_level",
            "Straight and level",
        ),
        (
            Kind::UnusualAttitudeRecovery,
            "unusual_attitude_recovery",
            "Unusual attitude recovery",
        ),
        (Kind::Takeoff, "takeoff", "Takeoff"),
        (Kind::Landing, "landing", "Landing"),
        (Kind::GoAround, "go_around", "Go-around"),
        (Kind::PowerOff180, "power_off_180", "Power-off 180"),
        (Kind::ForwardSlip, "forward_slip", "Forward slip"),
        (Kind::TrafficPattern, "traffic_pattern", "Traffic pattern"),
    ];
    /// Stable id.
    #[must_use]
    pub fn id(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _, _)| *kind == self)
            .map_or("", |(_, id, _)| id)
    }
    /// English name.
    #[must_use]
    pub fn title(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _, _)| *kind == self)
            .map_or("", |(_, _, title)| title)
    }
    /// Kind of an id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Kind> {
        Self::ALL
            .iter()
            .find(|(_, known, _)| *known == id)
            .map(|(kind, _, _)| *kind)
    }
}

/// Which way. Ids: `left`, `right`, `straight`, `left_right`, `right_left`, `none`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Direction {
    Left,
    Right,
    Straight,
    LeftRight,
    RightLeft,
    None,
}

impl Direction {
    /// Stable id.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Direction::Left => "left",
            Direction::Right => "right",
            Direction::Straight => "straight",
            Direction::LeftRight => "left_right",
            Direction::RightLeft => "right_left",
            Direction::None => "none",
        }
    }

    /// Direction of an id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Direction> {
        [
            Direction::Left,
            Direction::Right,
            Direction::Straight,
            Direction::LeftRight,
            Direction::RightLeft,
            Direction::None,
        ]
        .into_iter()
        .find(|direction| direction.id() == id)
    }
}

/// Who found it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Agreement {
    /// Decoder and rules agree.
    Both,
    /// Only the decoder.
    DecoderOnly,
    /// Only the rules.
    RulesOnly,
    /// Neither was asked: a person says so.
    Unasked,
}

/// Whose word the kind and the bounds of a maneuver are. Ids: `program`, `person`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetBy {
    /// The program found it.
    Program,
    /// A person set it; see [`crate::corrections`].
    Person,
}

impl SetBy {
    /// Stable id.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            SetBy::Program => "program",
            SetBy::Person => "person",
        }
    }
}

/// How exact the bounds of a span are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bounds {
    /// About right, as the decoder gives them: the true ones are looked for some seconds around.
    Sought,
    /// Exactly these: nothing outside belongs to the maneuver.
    Given,
}

/// A span that the decoder explains as one kind, before phases and events are worked out.
#[derive(Clone, Debug)]
pub struct Span {
    /// Kind.
    pub kind: Kind,
    /// Direction.
    pub direction: Direction,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Decoder's score (log-odds against filler).
    pub score: f64,
    /// Second opinion.
    pub agreement: Agreement,
    /// The defining moment if the kind has one (a stall's break, a touchdown), s.
    pub anchor_s: Option<f64>,
    /// How exact start and end are.
    pub bounds: Bounds,
}

/// A part of a maneuver.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Id, e.g. `setup`, `entry`, `established`, `recovery`, `climb`.
    pub name: &'static str,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// Something that happened at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Id as in the design, e.g. `full_stall`.
    pub name: &'static str,
    /// When, s.
    pub at_s: f64,
    /// 1-σ, s.
    pub sigma_s: f64,
    /// A figure that belongs to it.
    pub value: Option<Fact>,
    /// Origin of the event.
    pub origin: Origin,
    /// Chance that it happened at all, 0 to 1.
    pub probability: f64,
}

/// A number with what it takes to trust it, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fact {
    /// Value, SI.
    pub value: f64,
    /// SI unit: `m`, `m/s`, `rad`, `s`, `g`, `1`, …
    pub unit: &'static str,
    /// 1-σ, SI; NaN = not known.
    pub sigma: f64,
    /// Origin.
    pub origin: Origin,
}

/// In [`Maneuver::missing`]: the figure has no meaning in this one (wings level before the pull, nose high).
pub const DOES_NOT_APPLY: &str = "";

/// A form in which a maneuver was flown, as the recording shows it: `no_flap`, `cross_controlled`, ….
///
/// Forms are no kinds: a short-field landing is a landing, a stall entered with crossed controls is a stall. A
/// standard may have a task for one form (`variant` in the pack); [`crate::VARIANTS`] lists those that may be named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variant {
    /// Stable id, snake_case.
    pub name: &'static str,
    /// Chance that it was flown so, 0 to 1.
    pub probability: f64,
    /// What shows it, in words.
    pub why: &'static str,
}

/// A found maneuver.
#[derive(Clone, Debug)]
pub struct Maneuver {
    /// Kind.
    pub kind: Kind,
    /// Direction.
    pub direction: Direction,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// 0 to 1; shown in words until calibrated on real flights.
    pub confidence: f64,
    /// Second opinion.
    pub agreement: Agreement,
    /// Whose word kind and bounds are.
    pub set_by: SetBy,
    /// Parts in order.
    pub phases: Vec<Phase>,
    /// Moments in order of time.
    pub events: Vec<Event>,
    /// Figures by name; names carry no unit (`altitude_lost`, `entry_altitude`, `ias_at_stall`, …).
    pub facts: BTreeMap<&'static str, Fact>,
    /// Figures that could not be worked out, and why, in words: `the touchdown cannot be told at one sample a second`.
    pub missing: BTreeMap<&'static str, &'static str>,
    /// Forms in which it was flown.
    pub variants: Vec<Variant>,
}

impl Maneuver {
    /// The first event of a name.
    #[must_use]
    pub fn event(&self, name: &str) -> Option<&Event> {
        self.events.iter().find(|event| event.name == name)
    }
    /// A phase by name.
    #[must_use]
    pub fn phase(&self, name: &str) -> Option<&Phase> {
        self.phases.iter().find(|phase| phase.name == name)
    }
    /// A fact's value, NaN when absent.
    #[must_use]
    pub fn fact(&self, name: &str) -> f64 {
        self.facts.get(name).map_or(f64::NAN, |fact| fact.value)
    }
}
