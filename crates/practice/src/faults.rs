//! What a pilot can be told to do wrong, by the ids of the debrief's findings, each with its unit and its range.

/// A fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Fault {
    NoClearingTurns,
    BelowMinimumHeight,
    NotEstablished,
    NotTrimmed,
    AltitudeDrift,
    AirspeedDrift,
    BankOutOfLimits,
    HeadingWander,
    RolloutOffHeading,
    FlapsAboveVfe,
    PitchedUpAbruptly,
    RecoveredBeforeFullStall,
    StallHeld,
    LateFullPower,
    FlapsRetractedTogether,
    FlapsLeftDown,
    ClimbedLate,
    SecondaryStall,
    Uncoordinated,
    WingDrop,
    WeakPower,
    PulledBeforeRolling,
    NoWindCorrection,
    FastApproach,
    UnloadedTooFar,
    ObstacleSpeedNotHeld,
    LeftGroundEffectEarly,
    LongTouchdown,
    NoseNotHeldOff,
}

/// How a fault is called and measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaultRow {
    /// Which one.
    pub fault: Fault,
    /// Id of the finding.
    pub id: &'static str,
    /// How the truth files call it.
    pub truth: &'static str,
    /// Unit of its size; empty where there is none: it is done or not.
    pub unit: &'static str,
    /// What one unit is in SI.
    pub si: f64,
    /// Least and greatest size, in its unit.
    pub range: (f64, f64),
    /// Size when none is written, in its unit.
    pub usual: f64,
    /// What its size means.
    pub means: &'static str,
}

const FT: f64 = air::units::M_PER_FT;
const KT: f64 = air::units::MPS_PER_KT;
const DEG: f64 = std::f64::consts::PI / 180.0;

#[allow(clippy::too_many_arguments)]
const fn row(
    fault: Fault,
    id: &'static str,
    truth: &'static str,
    unit: &'static str,
    si: f64,
    range: (f64, f64),
    usual: f64,
    means: &'static str,
) -> FaultRow {
    FaultRow {
        fault,
        id,
        truth,
        unit,
        si,
        range,
        usual,
        means,
    }
}

/// One that is done or not.
const fn plain(
    fault: Fault,
    id: &'static str,
    truth: &'static str,
    means: &'static str,
) -> FaultRow {
    row(fault, id, truth, "", 1.0, (1.0, 1.0), 1.0, means)
}

use Fault as F;

/// Every fault, in the order of the debrief's table.
#[rustfmt::skip]
pub const ALL: [FaultRow; 29] = [
    plain(F::NoClearingTurns, "no_clearing_turns", "no_clearing_turns", "no clearing turns before it"),
    row(F::BelowMinimumHeight, "below_minimum_height", "below_min_height", "ft", FT, (50.0, 1000.0), 300.0,
        "how far below the least height it is completed"),
    row(F::NotEstablished, "not_established", "not_established", "s", 1.0, (0.0, 4.0), 0.0,
        "seconds of descent before the throttle is closed"),
    plain(F::NotTrimmed, "not_trimmed", "not_trimmed", "the stick force is held by hand"),
    row(F::AltitudeDrift, "altitude_drift", "altitude_drift", "ft", FT, (-600.0, 600.0), 200.0,
        "what the altitude drifts to, + high"),
    row(F::AirspeedDrift, "airspeed_drift", "airspeed_drift", "kt", KT, (-30.0, 40.0), 15.0,
        "what the airspeed drifts to, + fast"),
    row(F::BankOutOfLimits, "bank_out_of_limits", "bank_over", "deg", DEG, (-30.0, 25.0), 10.0,
        "bank beyond what was asked for, - too little"),
    row(F::HeadingWander, "heading_wander", "heading_wander", "deg", DEG, (5.0, 45.0), 20.0,
        "how far the heading goes to either side"),
    row(F::RolloutOffHeading, "rollout_off_heading", "rollout_off", "deg", DEG, (-60.0, 60.0), 20.0,
        "rolls out past the heading, - before it"),
    row(F::FlapsAboveVfe, "flaps_above_vfe", "flap_overspeed", "kt", KT, (1.0, 20.0), 5.0,
        "first flap this much above VFE"),
    row(F::PitchedUpAbruptly, "pitched_up_abruptly", "aggressive_pitch", "deg/s", DEG, (5.0, 15.0), 8.0,
        "rate of the pull into the stall"),
    plain(F::RecoveredBeforeFullStall, "recovered_before_full_stall", "recover_at_cue",
        "recovers at the first indication, though a full stall was asked for"),
    row(F::StallHeld, "stall_held", "held_too_long", "s", 1.0, (1.0, 8.0), 3.0, "held in the full stall this long"),
    row(F::LateFullPower, "late_full_power", "late_power", "s", 1.0, (1.0, 15.0), 4.0,
        "full power this long after the recovery began"),
    plain(F::FlapsRetractedTogether, "flaps_retracted_together", "flaps_all_at_once", "flaps up in one step"),
    plain(F::FlapsLeftDown, "flaps_left_down", "flaps_left_down", "flaps stay where they are"),
    row(F::ClimbedLate, "climbed_late", "level_accelerate", "s", 1.0, (2.0, 30.0), 8.0,
        "held level this long before the climb"),
    plain(F::SecondaryStall, "secondary_stall", "secondary_stall", "pulled into a second stall"),
    row(F::Uncoordinated, "uncoordinated", "uncoordinated", "g", 1.0, (-0.15, 0.15), 0.08,
        "lateral g that the feet let stand, + felt to the right"),
    row(F::WingDrop, "wing_drop", "wing_drop", "% pedal", 0.01, (-100.0, 100.0), -50.0,
        "rudder kicked in at the break, + right: that wing drops"),
    row(F::WeakPower, "weak_power", "weak_power", "%", 0.01, (10.0, 70.0), 50.0,
        "throttle missing from full in the entry"),
    row(F::PulledBeforeRolling, "pulled_before_rolling", "pull_before_roll", "s", 1.0, (1.0, 6.0), 3.0,
        "pulls this long before it rolls level"),
    row(F::NoWindCorrection, "no_wind_correction", "no_wind_correction", "%", 0.01, (10.0, 100.0), 100.0,
        "share of the wind correction that is missing"),
    row(F::FastApproach, "fast_approach", "fast_approach", "kt", KT, (5.0, 25.0), 12.0,
        "final approach this much above the speed asked for"),
    row(F::UnloadedTooFar, "unloaded_too_far", "unloaded_too_far", "deg", DEG, (3.0, 20.0), 8.0,
        "nose lower than the recovery needs"),
    row(F::ObstacleSpeedNotHeld, "obstacle_speed_not_held", "obstacle_speed", "kt", KT, (-6.0, 25.0), 15.0,
        "speed to 50 ft off the obstacle speed, + fast"),
    row(F::LeftGroundEffectEarly, "left_ground_effect_early", "left_ground_effect", "kt", KT, (5.0, 10.0), 10.0,
        "how far below VX it climbs out of ground effect"),
    row(F::LongTouchdown, "long_touchdown", "long_touchdown", "ft", FT, (100.0, 1500.0), 600.0,
        "how far beyond the point it is aimed"),
    plain(F::NoseNotHeldOff, "nose_not_held_off", "nose_not_held_off", "the nose comes down with the main wheels"),
];

impl Fault {
    /// Its line of the table.
    #[must_use]
    pub fn row(self) -> &'static FaultRow {
        // Every fault stands there: a test looks.
        ALL.iter().find(|row| row.fault == self).unwrap_or(&ALL[0])
    }

    /// The fault of an id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Fault> {
        ALL.iter().find(|row| row.id == id).map(|row| row.fault)
    }
}

/// The faults of one maneuver with their sizes in SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faults(pub Vec<(Fault, f64)>);

impl Faults {
    /// Size of a fault, SI; none when it is not among them.
    #[must_use]
    pub fn size(&self, fault: Fault) -> Option<f64> {
        self.0
            .iter()
            .find(|(known, _)| *known == fault)
            .map(|(_, size)| *size)
    }

    /// Whether it is among them.
    #[must_use]
    pub fn has(&self, fault: Fault) -> bool {
        self.size(fault).is_some()
    }

    /// Size, or zero.
    #[must_use]
    pub fn or_zero(&self, fault: Fault) -> f64 {
        self.size(fault).unwrap_or(0.0)
    }

    /// What the truth file calls them.
    #[must_use]
    pub fn truth(&self) -> Vec<&'static str> {
        self.0
            .iter()
            .map(|(fault, size)| match fault {
                Fault::BankOutOfLimits if *size < 0.0 => "bank_under",
                _ => fault.row().truth,
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fault_has_its_line_and_its_usual_size_is_in_range() {
        for row in &ALL {
            assert_eq!(row.fault.row().id, row.id);
            assert_eq!(Fault::from_id(row.id), Some(row.fault));
            assert!(
                (row.range.0..=row.range.1).contains(&row.usual),
                "{}",
                row.id
            );
        }
        let mut ids: Vec<&str> = ALL.iter().map(|row| row.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), ALL.len());
    }
}
