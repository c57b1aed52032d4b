//! What can be flown: for each kind the entries that it takes and the faults that it can have.

use crate::faults::Fault;
use Fault as F;

/// Where the airplane has to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// Standing on the runway.
    Runway,
    /// In the traffic pattern, and in the air after it.
    Pattern,
    /// In the traffic pattern, and on the runway after it.
    ToRunway,
    /// In the practice area.
    Area,
}

/// One kind of maneuver.
#[derive(Clone, Copy, Debug)]
pub struct KindRow {
    /// Id as the debrief has it.
    pub id: &'static str,
    /// Entries that it takes, beside `kind`, `faults` and, in the practice area, `height_ft`.
    pub keys: &'static [&'static str],
    /// Faults that it can have.
    pub faults: &'static [Fault],
    /// Where it is flown.
    pub at: Where,
    /// Whether clearing turns belong before it.
    pub clears: bool,
    /// Least height above the ground at which it is to be completed, ft (FAA-S-ACS-6C, 7B; 0 = none).
    pub least_ft: f64,
    /// Entry height above the field, when nobody writes one, ft.
    pub height_ft: f64,
    /// It cannot be told from ordinary flying.
    pub optional: bool,
}

const fn area(
    id: &'static str,
    keys: &'static [&'static str],
    faults: &'static [Fault],
    least_ft: f64,
    height_ft: f64,
) -> KindRow {
    KindRow {
        id,
        keys,
        faults,
        at: Where::Area,
        clears: true,
        least_ft,
        height_ft,
        optional: false,
    }
}

const fn unclear(mut row: KindRow) -> KindRow {
    row.clears = false;
    row
}

const fn instrument(mut row: KindRow) -> KindRow {
    row.clears = false;
    row.optional = true;
    row
}

const fn circuit(
    id: &'static str,
    at: Where,
    keys: &'static [&'static str],
    faults: &'static [Fault],
) -> KindRow {
    KindRow {
        id,
        keys,
        faults,
        at,
        clears: false,
        least_ft: 0.0,
        height_ft: 1000.0,
        optional: false,
    }
}

const GROUND: &[Fault] = &[
    F::BelowMinimumHeight,
    F::AltitudeDrift,
    F::AirspeedDrift,
    F::NoWindCorrection,
    F::Uncoordinated,
];

/// Every kind, in the debrief's order.
#[rustfmt::skip]
pub const KINDS: [KindRow; 26] = [
    unclear(area(
        "clearing_turns",
        &[],
        &[F::AltitudeDrift, F::AirspeedDrift, F::BankOutOfLimits, F::Uncoordinated],
        0.0,
        3000.0,
    )),
    area(
        "slow_flight",
        &["seconds", "speed_kias", "flaps_deg", "turn_deg", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::NotTrimmed, F::AltitudeDrift, F::AirspeedDrift,
            F::BankOutOfLimits, F::HeadingWander, F::Uncoordinated,
        ],
        1500.0,
        3000.0,
    ),
    area(
        "steep_turn",
        &["direction", "bank_deg", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::AltitudeDrift, F::AirspeedDrift,
            F::BankOutOfLimits, F::RolloutOffHeading, F::Uncoordinated,
        ],
        1500.0,
        3000.0,
    ),
    area(
        "power_off_stall",
        &[
            "direction",
            "bank_deg",
            "flaps_deg",
            "seconds",
            "recovery",
            "clearing",
        ],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::NotEstablished, F::BankOutOfLimits,
            F::HeadingWander, F::FlapsAboveVfe, F::PitchedUpAbruptly, F::RecoveredBeforeFullStall,
            F::StallHeld, F::LateFullPower, F::FlapsRetractedTogether, F::FlapsLeftDown, F::ClimbedLate,
            F::SecondaryStall, F::Uncoordinated, F::WingDrop, F::UnloadedTooFar,
        ],
        1500.0,
        3000.0,
    ),
    area(
        "power_on_stall",
        &["direction", "bank_deg", "flaps_deg", "recovery", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::BankOutOfLimits, F::HeadingWander,
            F::PitchedUpAbruptly, F::RecoveredBeforeFullStall, F::StallHeld, F::LateFullPower,
            F::ClimbedLate, F::SecondaryStall, F::Uncoordinated, F::WingDrop, F::WeakPower,
            F::UnloadedTooFar,
        ],
        1500.0,
        3000.0,
    ),
    area(
        "accelerated_stall",
        &["direction", "bank_deg", "recovery", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::BankOutOfLimits, F::StallHeld, F::LateFullPower,
            F::ClimbedLate, F::SecondaryStall, F::Uncoordinated, F::WingDrop, F::UnloadedTooFar,
        ],
        3000.0,
        4000.0,
    ),
    area(
        "chandelle",
        &["direction", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::BankOutOfLimits, F::RolloutOffHeading,
            F::Uncoordinated,
        ],
        1500.0,
        3000.0,
    ),
    area(
        "lazy_eight",
        &["direction", "clearing"],
        &[F::NoClearingTurns, F::BelowMinimumHeight, F::BankOutOfLimits, F::Uncoordinated],
        1500.0,
        3000.0,
    ),
    area(
        "steep_spiral",
        &["direction", "turns", "clearing"],
        &[
            F::NoClearingTurns, F::BelowMinimumHeight, F::AirspeedDrift, F::BankOutOfLimits,
            F::Uncoordinated,
        ],
        1500.0,
        4500.0,
    ),
    unclear(area(
        "eights_on_pylons",
        &["direction", "distance_ft"],
        &[F::AltitudeDrift, F::Uncoordinated],
        0.0,
        0.0,
    )),
    unclear(area(
        "turns_around_a_point",
        &["direction", "turns", "radius_ft", "speed_kias"],
        GROUND,
        600.0,
        800.0,
    )),
    unclear(area(
        "s_turns",
        &["direction", "turns", "radius_ft", "speed_kias"],
        GROUND,
        600.0,
        800.0,
    )),
    unclear(area(
        "rectangular_course",
        &["direction", "speed_kias"],
        GROUND,
        600.0,
        800.0,
    )),
    area(
        "emergency_descent",
        &["direction", "speed_kias", "to_height_ft", "clearing"],
        &[F::NoClearingTurns, F::AirspeedDrift, F::BankOutOfLimits, F::Uncoordinated],
        0.0,
        4000.0,
    ),
    unclear(area(
        "engine_out_approach",
        &["direction", "speed_kias", "to_height_ft"],
        &[F::AirspeedDrift, F::Uncoordinated],
        0.0,
        2500.0,
    )),
    instrument(area(
        "constant_airspeed_climb",
        &["speed_kias", "to_height_ft"],
        &[F::AirspeedDrift, F::HeadingWander, F::Uncoordinated],
        0.0,
        2500.0,
    )),
    instrument(area(
        "constant_airspeed_descent",
        &["speed_kias", "to_height_ft"],
        &[F::AirspeedDrift, F::HeadingWander, F::Uncoordinated],
        0.0,
        3500.0,
    )),
    instrument(area(
        "turn_to_heading",
        &["direction", "heading_deg", "bank_deg"],
        &[
            F::AltitudeDrift, F::AirspeedDrift, F::BankOutOfLimits, F::RolloutOffHeading, F::Uncoordinated,
        ],
        0.0,
        3000.0,
    )),
    instrument(area(
        "straight_and_level",
        &["seconds", "speed_kias"],
        &[F::AltitudeDrift, F::AirspeedDrift, F::HeadingWander, F::Uncoordinated],
        0.0,
        3000.0,
    )),
    unclear(area(
        "unusual_attitude_recovery",
        &["attitude", "direction"],
        &[F::PulledBeforeRolling, F::LateFullPower],
        0.0,
        3500.0,
    )),
    circuit(
        "takeoff",
        Where::Runway,
        &["form", "speed_kias"],
        &[
            F::AirspeedDrift, F::HeadingWander, F::Uncoordinated, F::ObstacleSpeedNotHeld, F::LeftGroundEffectEarly,
        ],
    ),
    circuit(
        "landing",
        Where::ToRunway,
        &["form", "direction", "speed_kias", "flaps_deg", "point_ft"],
        &[F::FastApproach, F::FlapsAboveVfe, F::Uncoordinated, F::LongTouchdown, F::NoseNotHeldOff],
    ),
    circuit(
        "go_around",
        Where::Pattern,
        &["direction", "at_height_ft"],
        &[
            F::LateFullPower, F::AirspeedDrift, F::HeadingWander, F::FlapsRetractedTogether,
            F::FlapsLeftDown, F::ClimbedLate,
        ],
    ),
    circuit(
        "power_off_180",
        Where::ToRunway,
        &["direction", "point_ft"],
        &[F::FastApproach],
    ),
    circuit(
        "forward_slip",
        Where::ToRunway,
        &["direction", "bank_deg", "point_ft"],
        &[F::FastApproach],
    ),
    KindRow {
        optional: true,
        ..circuit(
            "traffic_pattern",
            Where::Pattern,
            &["direction", "speed_kias"],
            &[F::AltitudeDrift, F::AirspeedDrift, F::NoWindCorrection, F::Uncoordinated],
        )
    },
];

/// Ordinary flying, with the entries that each takes.
pub const LEGS: [(&str, &[&str]); 4] = [
    ("cruise", &["seconds", "speed_kias"]),
    ("turn", &["direction", "turn_deg", "bank_deg"]),
    ("climb", &["to_height_ft", "speed_kias"]),
    ("descend", &["to_height_ft", "speed_kias"]),
];

/// The row of a kind.
#[must_use]
pub fn kind(id: &str) -> Option<&'static KindRow> {
    KINDS.iter().find(|row| row.id == id)
}
