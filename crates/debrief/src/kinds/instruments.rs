//! What is told of basic instrument work, upsets and emergency descents.

use super::{Shown, Words, with_article};
use crate::findings::Case;
use crate::findings::table::{PRACTICE, Row};
use crate::words::{with_sigma, with_unit};
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

/// The chapter on emergencies.
const CHAPTER_18: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 18";
const BASIC: &[&str] = &[
    "straight_and_level",
    "constant_airspeed_climb",
    "constant_airspeed_descent",
    "turn_to_heading",
];

pub(crate) const WORDS: Words = Words {
    kinds: &[
        Kind::EmergencyDescent,
        Kind::UnusualAttitudeRecovery,
        Kind::StraightAndLevel,
        Kind::ConstantAirspeedClimb,
        Kind::ConstantAirspeedDescent,
        Kind::TurnToHeading,
    ],
    opening,
    evidence,
    events: &[
        (
            "descent_start",
            "the nose went down",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "descent_established",
            "descent established",
            &[Shown::Sink, Shown::Speed, Shown::Bank],
        ),
        ("speed_established", "the speed was there", &[Shown::Speed]),
        (
            "level_off_start",
            "level-off begun",
            &[Shown::Altitude, Shown::Speed],
        ),
        ("level", "level again", &[Shown::Altitude, Shown::Speed]),
        (
            "recovery_start",
            "the upset at its worst",
            &[Shown::Sink, Shown::Speed, Shown::Bank],
        ),
        ("pull", "the pull", &[Shown::Speed, Shown::Bank]),
        ("power_changed", "power off", &[Shown::Speed]),
    ],
    findings: FINDINGS,
    telling: &[
        "airspeed",
        "bank",
        "level_off",
        "roll_before_pull",
        "altitude",
        "heading",
    ],
};

const FINDINGS: &[Row] = &[
    Row {
        id: "bank_out_of_limits",
        criteria: &["bank"],
        kinds: &["emergency_descent"],
        weight: 1.3,
        headline: "The bank was outside 30 to 45 degrees",
        advice: "Roll in as the nose goes down and set the bank by the cowling: the turn keeps the load positive and shows what is below",
        source: CHAPTER_18,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: &["emergency_descent"],
        weight: 1.3,
        headline: "The airspeed left its band in the descent",
        advice: "Set the pitch for the speed, wait for it, and trim; the limit of the flaps or the gear out comes first",
        source: CHAPTER_18,
    },
    Row {
        id: "level_off_missed",
        criteria: &["level_off"],
        kinds: &["emergency_descent"],
        weight: 1.2,
        headline: "The level-off missed its altitude",
        advice: "Begin the level-off a tenth of the rate of descent before the altitude: 200 ft ahead at 2,000 ft a minute",
        source: PRACTICE,
    },
    Row {
        id: "past_vne",
        criteria: &["vne"],
        kinds: &[],
        weight: 3.0,
        headline: "The airspeed passed VNE",
        advice: "Have the aircraft looked at before the next flight, and tell the chief instructor today",
        source: "the aircraft's flight manual",
    },
    Row {
        id: "pulled_before_rolling",
        criteria: &["roll_before_pull"],
        kinds: &["unusual_attitude_recovery"],
        weight: 2.0,
        headline: "The pull came before the wings were level",
        advice: "Say it as you do it: power off, wings level, then the nose",
        source: PRACTICE,
    },
    Row {
        id: "altitude_drift",
        criteria: &["altitude", "level_off_altitude"],
        kinds: BASIC,
        weight: 1.2,
        headline: "The altitude went out of its limits",
        advice: "Make a small pitch change as soon as the altimeter moves, and take half of it out as it comes back",
        source: PRACTICE,
    },
    Row {
        id: "heading_wander",
        criteria: &["heading"],
        kinds: BASIC,
        weight: 1.1,
        headline: "The heading wandered",
        advice: "Bank no more than the degrees that you are off, and look at the heading in every scan",
        source: PRACTICE,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: BASIC,
        weight: 1.1,
        headline: "The airspeed went out of its limits",
        advice: "Set the pitch and the power that you know give the speed, then wait before you change anything",
        source: PRACTICE,
    },
    Row {
        id: "rollout_off_heading",
        criteria: &["rollout_heading"],
        kinds: BASIC,
        weight: 1.1,
        headline: "The roll-out missed its heading",
        advice: "Begin the roll-out half the bank angle before the heading",
        source: PRACTICE,
    },
];

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    match maneuver.kind {
        Kind::EmergencyDescent => {
            let sink = maneuver.fact("sink_mean") / MPS_PER_FPM;
            let fast = maneuver.fact("fastest_held") / MPS_PER_KT;
            if sink.is_finite() && fast.is_finite() {
                return format!(
                    "you came down at {}, at up to {}",
                    with_unit(sink, 50.0, "ft/min"),
                    with_unit(fast, 1.0, "kt")
                );
            }
        }
        Kind::UnusualAttitudeRecovery => {
            let seconds = maneuver.fact("seconds_to_level");
            let feet = maneuver.fact("altitude_change") / M_PER_FT;
            if seconds.is_finite() && feet.is_finite() {
                let way = if feet < 0.0 { "lost" } else { "gained" };
                return format!(
                    "you were level again after {} and {way} {}",
                    with_unit(seconds, 1.2, "s"),
                    with_unit(feet.abs(), 8.0, "ft")
                );
            }
        }
        _ => {}
    }
    format!("you flew {}", with_article(maneuver.kind))
}

fn evidence(id: &str, mark: &Mark, _: &Case) -> Option<String> {
    let worst = mark.worst?;
    match id {
        "pulled_before_rolling" => Some(format!(
            "the pull began {} before the wings were level",
            with_sigma(-worst, mark.sigma.unwrap_or(f64::NAN), "s")
        )),
        _ => None,
    }
}
