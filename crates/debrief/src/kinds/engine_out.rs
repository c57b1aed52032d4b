//! What is told of engine-out approaches.
//!
//! The handbook has emergency approaches in chapter 9 and chapter 18 (FAA-H-8083-3C).

use super::{Shown, Words, with_article};
use crate::findings::Case;
use crate::findings::table::Row;
use crate::words::{exact, with_sigma, with_unit};
use air::units::{M_PER_FT, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

const CHAPTER_9: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 9";
const CHAPTER_18: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 18";
const KINDS: &[&str] = &["engine_out_approach"];

pub(crate) const WORDS: Words = Words {
    kinds: &[Kind::EngineOutApproach],
    opening,
    evidence,
    events: &[
        ("idle", "power closed", &[Shown::Altitude, Shown::Speed]),
        (
            "glide_established",
            "the glide speed was there",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "glide_end",
            "made ready to land",
            &[Shown::Height, Shown::Speed, Shown::Sink],
        ),
        ("recovery", "power again", &[Shown::Height, Shown::Speed]),
        ("lowest", "the lowest point", &[Shown::Altitude]),
        ("touchdown", "touchdown", &[Shown::Speed]),
    ],
    findings: FINDINGS,
    telling: &["glide_airspeed"],
};

const FINDINGS: &[Row] = &[
    Row {
        id: "slow_glide",
        criteria: &["glide_airspeed"],
        kinds: KINDS,
        weight: 1.8,
        headline: "The glide was slow",
        advice: "When the place looks too far, leave the nose where it holds the glide speed: below it the airplane sinks more and goes less far. Change the plan, not the pitch",
        source: CHAPTER_9,
    },
    Row {
        id: "fast_glide",
        criteria: &["glide_airspeed"],
        kinds: KINDS,
        weight: 1.5,
        headline: "The glide was fast",
        advice: "Hold the height while the speed comes down to the glide, set the attitude for it and trim: then both hands and eyes are free for the field and the checklist",
        source: CHAPTER_18,
    },
    Row {
        id: "power_used",
        criteria: &["power_stays_closed"],
        kinds: KINDS,
        weight: 1.3,
        headline: "Power was used in the glide",
        advice: "Clear the engine with a short burst and close it again: with power the exercise does not show whether the place was within reach",
        source: CHAPTER_18,
    },
];

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    let knots = maneuver.fact("glide_ias") / MPS_PER_KT;
    let seconds = maneuver.fact("seconds_to_glide");
    if !(knots.is_finite() && seconds.is_finite()) {
        return format!("you flew {}", with_article(maneuver.kind));
    }
    let height = maneuver.fact("recovery_agl") / M_PER_FT;
    let end = if maneuver.event("touchdown").is_some() {
        ", to a landing".to_owned()
    } else if height.is_finite() {
        format!(
            ", and took the power again {} above the ground",
            with_unit(height, 30.0, "ft")
        )
    } else {
        String::new()
    };
    format!(
        "{} after the power was closed you had the glide, held {}{end}",
        with_unit(seconds, 1.5, "s"),
        with_unit(knots, 1.0, "kt")
    )
}

fn evidence(id: &str, mark: &Mark, _: &Case) -> Option<String> {
    let off = mark.worst? - mark.target?;
    match id {
        "slow_glide" | "fast_glide" => Some(format!(
            "you were {} {} than the best glide speed ({})",
            with_sigma(off.abs(), mark.sigma.unwrap_or(f64::NAN), &mark.unit),
            if off < 0.0 { "slower" } else { "faster" },
            exact(mark.target?.round(), &mark.unit)
        )),
        _ => None,
    }
}
