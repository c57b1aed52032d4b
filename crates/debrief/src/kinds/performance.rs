//! What is told of chandelles, lazy eights, steep spirals.

use super::{Shown, Words, with_article};
use crate::findings::Case;
use crate::findings::table::{CHAPTER_10, PRACTICE, Row};
use crate::words::{with_sigma, with_unit};
use air::units::{M_PER_FT, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

pub(crate) const WORDS: Words = Words {
    kinds: &[Kind::Chandelle, Kind::LazyEight, Kind::SteepSpiral],
    opening,
    evidence,
    events: &[
        (
            "ninety_point",
            "the 90° point",
            &[Shown::Altitude, Shown::Speed, Shown::Bank],
        ),
        ("point_45", "45° turned", &[Shown::Altitude, Shown::Speed]),
        (
            "point_90",
            "90° turned",
            &[Shown::Altitude, Shown::Speed, Shown::Bank],
        ),
        ("point_135", "135° turned", &[Shown::Altitude, Shown::Speed]),
        (
            "point_180",
            "180° turned, wings level",
            &[Shown::Altitude, Shown::Speed, Shown::Heading],
        ),
    ],
    findings: FINDINGS,
    telling: &[
        "rollout_heading",
        "heading_at_180",
        "altitude_at_180",
        "airspeed_at_180",
        "airspeed",
        "final_airspeed",
        "bank_first_half",
        "bank_max",
    ],
};

const FINDINGS: &[Row] = &[
    Row {
        id: "rollout_off_heading",
        criteria: &["rollout_heading"],
        kinds: &["chandelle", "steep_spiral"],
        weight: 1.2,
        headline: "The roll-out missed its heading",
        advice: "Pick the landmark for the roll-out before you roll in, and give the turn your eyes for the last 45 degrees",
        source: CHAPTER_10,
    },
    Row {
        id: "bank_off_in_first_half",
        criteria: &["bank_first_half", "bank_constant"],
        kinds: &["chandelle"],
        weight: 1.2,
        headline: "The bank of the first half was not the 30 degrees asked for",
        advice: "Set the bank first and hold it with small aileron to the 90-degree point: it wants to grow as the speed falls",
        source: CHAPTER_10,
    },
    Row {
        id: "pitch_wandered",
        criteria: &["pitch_constant"],
        kinds: &["chandelle"],
        weight: 1.0,
        headline: "The pitch wandered in the second half",
        advice: "From the 90-degree point hold the nose where it is while the bank comes off: the back pressure grows to keep it there",
        source: CHAPTER_10,
    },
    Row {
        id: "speed_at_the_end",
        criteria: &["final_airspeed"],
        kinds: &["chandelle"],
        weight: 1.2,
        headline: "The last speed was not just above the stall",
        advice: "Aim for the first sound of the stall warning at the 180-degree point; if it comes early, the nose went up too fast",
        source: CHAPTER_10,
    },
    Row {
        id: "flown_flat",
        criteria: &["altitude_gain"],
        kinds: &["chandelle"],
        weight: 1.3,
        headline: "It turned without climbing",
        advice: "As soon as the bank is set bring the nose up and the power in together, up to the 90-degree point",
        source: CHAPTER_10,
    },
    Row {
        id: "altitude_off_at_180",
        criteria: &["altitude_at_180"],
        kinds: &["lazy_eight"],
        weight: 1.3,
        headline: "The 180-degree points were not at the entry altitude",
        advice: "Let as much height go in the second half as you took in the first: if you come out low, bring the nose up sooner after the 90-degree point",
        source: CHAPTER_10,
    },
    Row {
        id: "airspeed_off_at_180",
        criteria: &["airspeed_at_180"],
        kinds: &["lazy_eight"],
        weight: 1.2,
        headline: "The 180-degree points were not at the entry airspeed",
        advice: "Set the power so that height and speed come back together, and then leave it alone",
        source: CHAPTER_10,
    },
    Row {
        id: "heading_off_at_180",
        criteria: &["heading_at_180"],
        kinds: &["lazy_eight"],
        weight: 1.2,
        headline: "The 180-degree points missed their heading",
        advice: "Pick landmarks at 45, 90 and 135 degrees before you begin, and slow or quicken the roll to meet each one",
        source: CHAPTER_10,
    },
    Row {
        id: "bank_out_of_limits",
        criteria: &["bank_max"],
        kinds: &["lazy_eight", "steep_spiral", "eights_on_pylons"],
        weight: 1.4,
        headline: "The bank went past its limit",
        advice: "Watch the bank where the ground speed is highest: that is where it has to be steepest, and where it runs away",
        source: CHAPTER_10,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: &["steep_spiral"],
        weight: 1.3,
        headline: "The airspeed left its band in the spiral",
        advice: "Change the pitch with every change of bank: a little up as the bank comes off, a little down as it goes on",
        source: CHAPTER_10,
    },
    Row {
        id: "too_few_turns",
        criteria: &["turns"],
        kinds: &["steep_spiral"],
        weight: 1.0,
        headline: "There were fewer than three turns",
        advice: "Begin high enough, and count the turns aloud as the entry landmark comes by",
        source: "the practical test standard",
    },
    Row {
        id: "uncoordinated",
        criteria: &["coordination"],
        kinds: &[
            "chandelle",
            "lazy_eight",
            "steep_spiral",
            "eights_on_pylons",
        ],
        weight: 1.1,
        headline: "The ball was out of the center",
        advice: "As the speed falls with the power in, your right foot has more and more to do: feel for the seat, then look at the ball",
        source: PRACTICE,
    },
];

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    let feet = |name: &str| maneuver.fact(name) / M_PER_FT;
    match maneuver.kind {
        Kind::Chandelle => {
            let turned = 180.0 + maneuver.fact("rollout_error").to_degrees();
            let (gained, last) = (
                feet("altitude_gain"),
                maneuver.fact("final_ias") / MPS_PER_KT,
            );
            if turned.is_finite() && gained.is_finite() && last.is_finite() {
                return format!(
                    "you turned {}, gained {} and ended at {}",
                    with_unit(turned, 1.0, "deg"),
                    with_unit(gained, 8.0, "ft"),
                    with_unit(last, 1.0, "kt")
                );
            }
        }
        Kind::LazyEight => {
            let tops = [("left", feet("top_left")), ("right", feet("top_right"))];
            let told: Vec<String> = tops
                .into_iter()
                .filter(|(_, top)| top.is_finite())
                .map(|(side, top)| format!("{} to the {side}", with_unit(top, 8.0, "ft")))
                .collect();
            if !told.is_empty() {
                return format!("you rose {}", told.join(" and "));
            }
        }
        Kind::SteepSpiral => {
            let (turns, lost) = (maneuver.fact("turns"), feet("altitude_lost"));
            if turns.is_finite() && lost.is_finite() {
                return format!(
                    "you made {turns:.1} turns and lost {}",
                    with_unit(lost, 15.0, "ft")
                );
            }
        }
        _ => {}
    }
    format!("you flew {}", with_article(maneuver.kind))
}

fn evidence(id: &str, mark: &Mark, _: &Case) -> Option<String> {
    let worst = mark.worst?;
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let off = with_sigma(worst.abs(), sigma, &mark.unit);
    match id {
        "rollout_off_heading" if mark.target.is_none() => Some(format!(
            "you came out {off} {} 180 degrees",
            if worst < 0.0 { "short of" } else { "past" }
        )),
        "altitude_off_at_180" => Some(format!(
            "a 180-degree point was {off} {} than the entry",
            if worst < 0.0 { "lower" } else { "higher" }
        )),
        "airspeed_off_at_180" => Some(format!(
            "a 180-degree point was {off} {} than the entry",
            if worst < 0.0 { "slower" } else { "faster" }
        )),
        "heading_off_at_180" => Some(format!(
            "a 180-degree point was {off} {} its heading",
            if worst < 0.0 { "short of" } else { "past" }
        )),
        _ => None,
    }
}
