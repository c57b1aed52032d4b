//! What is told of takeoffs, landings and what belongs to them.
//!
//! The handbook has takeoffs in chapter 6, the traffic pattern in chapter 8, approaches, landings and go-arounds in
//! chapter 9 (FAA-H-8083-3C).

use super::{Shown, Words, with_article};
use crate::findings::Case;
use crate::findings::table::{PRACTICE, Row};
use crate::words::{exact, with_sigma, with_unit};
use air::units::{M_PER_FT, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

const CHAPTER_6: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 6";
const CHAPTER_8: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 8";
const CHAPTER_9: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 9";
const LANDINGS: &[&str] = &["landing", "power_off_180"];
const CLIMBS: &[&str] = &["takeoff", "go_around"];

pub(crate) const WORDS: Words = Words {
    kinds: &[
        Kind::Takeoff,
        Kind::Landing,
        Kind::GoAround,
        Kind::PowerOff180,
        Kind::ForwardSlip,
        Kind::TrafficPattern,
    ],
    opening,
    evidence,
    events: &[
        ("power_up", "power up", &[]),
        ("rotate", "rotation", &[Shown::Speed]),
        ("lift_off", "lift-off", &[Shown::Speed]),
        ("obstacle_height", "50 ft above the runway", &[Shown::Speed]),
        ("climb_steady", "the climb was steady", &[Shown::Speed]),
        (
            "downwind_abeam",
            "abeam the touchdown",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "abeam",
            "abeam the touchdown",
            &[Shown::Altitude, Shown::Speed],
        ),
        ("base", "turn to base", &[Shown::Altitude, Shown::Speed]),
        (
            "final_turn",
            "turn to final",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "final",
            "on final",
            &[Shown::Altitude, Shown::Speed, Shown::Sink],
        ),
        ("approach_end", "end of the approach", &[Shown::Speed]),
        ("flare", "the flare", &[Shown::Speed, Shown::Sink]),
        ("touchdown", "touchdown", &[Shown::Speed]),
        ("bounce", "touched again after a bounce", &[Shown::Speed]),
        ("roll_out_end", "end of the roll", &[]),
        (
            "decision",
            "power for the go-around",
            &[Shown::Altitude, Shown::Speed],
        ),
        ("full_power", "full power", &[Shown::Speed]),
        ("lowest", "the lowest point", &[Shown::Altitude]),
        (
            "slip_start",
            "the slip began",
            &[Shown::Altitude, Shown::Bank],
        ),
        ("slip_end", "the slip ended", &[Shown::Altitude]),
        ("level_start", "level", &[Shown::Altitude, Shown::Speed]),
        ("level_end", "the level part ended", &[Shown::Altitude]),
    ],
    findings: FINDINGS,
    telling: &[
        "touchdown_point",
        "approach_airspeed",
        "climb_airspeed",
        "touchdown_sink",
        "side_drift",
        "heading_on_roll",
        "full_power_prompt",
        "altitude",
    ],
};

const FINDINGS: &[Row] = &[
    Row {
        id: "hard_touchdown",
        criteria: &["touchdown_sink"],
        kinds: LANDINGS,
        weight: 2.2,
        headline: "The touchdown was hard",
        advice: "Look to the far end of the runway as the round-out begins, and let the nose rise so that the sink is all but gone when the wheels touch",
        source: CHAPTER_9,
    },
    Row {
        id: "porpoised",
        criteria: &["bounces"],
        kinds: LANDINGS,
        weight: 2.4,
        headline: "It bounced again and again",
        advice: "Each push after a bounce makes the next one harder: hold the landing attitude, bring in all the power and go around on the first one that does not settle",
        source: CHAPTER_9,
    },
    Row {
        id: "high_on_approach",
        criteria: &["path_at_half_mile"],
        kinds: LANDINGS,
        weight: 1.3,
        headline: "It was high half a mile out",
        advice: "Where you turn final decides it: begin the descent abeam, look at the height again at the turn to base, and take off power there and not on final",
        source: CHAPTER_9,
    },
    Row {
        id: "low_on_approach",
        criteria: &["path_at_half_mile"],
        kinds: LANDINGS,
        weight: 2.0,
        headline: "It was low half a mile out and came in flat",
        advice: "When the runway looks flat and the aiming point moves up, add power at once and fly level until the picture is right again",
        source: CHAPTER_9,
    },
    Row {
        id: "nose_not_held_off",
        criteria: &["nose_held_off"],
        kinds: &["landing"],
        weight: 1.2,
        headline: "The nose wheel came down early for a soft field",
        advice: "After the main wheels touch keep the stick coming back as the speed falls, with a little power, until it is against its stop",
        source: CHAPTER_9,
    },
    Row {
        id: "left_ground_effect_early",
        criteria: &["ground_effect"],
        kinds: &["takeoff"],
        weight: 1.8,
        headline: "It left ground effect too slow",
        advice: "As the wheels come off lower the nose a little and hold it just above the ground until VX is there, then let it climb",
        source: CHAPTER_6,
    },
    Row {
        id: "late_go_around",
        criteria: &["go_around_in_time"],
        kinds: &["go_around"],
        weight: 2.0,
        headline: "The go-around came late",
        advice: "Say the limit aloud before final: not settled at 500 feet means around. The first word is power, not one more correction",
        source: CHAPTER_9,
    },
    Row {
        id: "bounced",
        criteria: &["bounces"],
        kinds: LANDINGS,
        weight: 2.0,
        headline: "It bounced",
        advice: "After a bounce hold the landing attitude and let it settle, with a little power if it is high; after a big one go around. Do not push",
        source: CHAPTER_9,
    },
    Row {
        id: "flat_touchdown",
        criteria: &["main_wheels_first"],
        kinds: LANDINGS,
        weight: 2.0,
        headline: "It touched nose-low",
        advice: "Keep the wheels a foot off as long as you can: the nose has to be up before the speed is gone, so that the main wheels touch first",
        source: CHAPTER_9,
    },
    Row {
        id: "side_drift",
        criteria: &["side_drift"],
        kinds: LANDINGS,
        weight: 1.8,
        headline: "It touched drifting or not lined up",
        advice: "In the last 50 feet hold the nose along the runway with the feet, and stop the drift with the lower wing",
        source: CHAPTER_9,
    },
    Row {
        id: "unstable_approach",
        criteria: &["sink_on_final"],
        kinds: LANDINGS,
        weight: 1.8,
        headline: "The approach was not stabilized",
        advice: "At 500 feet ask: speed, path, power, flaps, lined up? If one of them is not there, go around and set it up again on downwind",
        source: CHAPTER_9,
    },
    Row {
        id: "fast_approach",
        criteria: &["approach_airspeed"],
        kinds: LANDINGS,
        weight: 1.6,
        headline: "The final was fast",
        advice: "Pitch for the speed and power for the path: trim for the approach speed as soon as you are on final, and read it aloud at 300, 200 and 100 feet",
        source: CHAPTER_9,
    },
    Row {
        id: "slow_approach",
        criteria: &["approach_airspeed"],
        kinds: LANDINGS,
        weight: 2.2,
        headline: "The final was slow",
        advice: "When you are low the hand goes to the throttle first: the nose stays where it holds the speed, and power brings the path back",
        source: CHAPTER_9,
    },
    Row {
        id: "long_touchdown",
        criteria: &["touchdown_point"],
        kinds: LANDINGS,
        weight: 1.4,
        headline: "The touchdown was long",
        advice: "Choose an aiming point two stripes before the touchdown point and keep it still in the windshield: if it moves down you are high, if it moves up you are low",
        source: CHAPTER_9,
    },
    Row {
        id: "short_touchdown",
        criteria: &["touchdown_point"],
        kinds: LANDINGS,
        weight: 1.8,
        headline: "The touchdown was short of the point",
        advice: "Keep the aiming point still in the windshield: when it moves up, add power at once and not the elevator",
        source: CHAPTER_9,
    },
    Row {
        id: "floated",
        criteria: &["float_time"],
        kinds: LANDINGS,
        weight: 1.1,
        headline: "It floated",
        advice: "The speed that it floats away is the speed that was too much on final: take it off before the threshold",
        source: CHAPTER_9,
    },
    Row {
        id: "power_used",
        criteria: &["power_stays_closed"],
        kinds: &["power_off_180"],
        weight: 1.4,
        headline: "Power was used to reach the point",
        advice: "Turn to base by the wind and the height, not by habit: early when there is wind, and keep flaps and slip for the end",
        source: CHAPTER_9,
    },
    Row {
        id: "climb_speed_not_held",
        criteria: &["climb_airspeed"],
        kinds: CLIMBS,
        weight: 1.5,
        headline: "The climb speed was not held",
        advice: "Set the pitch attitude for VY by the horizon, wait for the speed to settle, and only then correct by a little",
        source: CHAPTER_6,
    },
    Row {
        id: "lift_off_off_speed",
        criteria: &["lift_off_airspeed"],
        kinds: &["takeoff"],
        weight: 1.4,
        headline: "The lift-off was not at its speed",
        advice: "Say the rotation speed aloud before the roll, read the airspeed alive, and bring the nose up at that number",
        source: CHAPTER_6,
    },
    Row {
        id: "obstacle_speed_not_held",
        criteria: &["obstacle_airspeed"],
        kinds: &["takeoff"],
        weight: 1.6,
        headline: "The obstacle speed was not held to 50 ft",
        advice: "Set the pitch attitude for the obstacle speed as the wheels leave the ground, and lower the nose for VY only when the obstacle is behind you",
        source: CHAPTER_6,
    },
    Row {
        id: "swung_on_roll",
        criteria: &["heading_on_roll"],
        kinds: &["takeoff"],
        weight: 1.4,
        headline: "The nose swung on the takeoff roll",
        advice: "Bring the power up over a slow count of three, and let the right foot go with it; heels on the floor",
        source: CHAPTER_6,
    },
    Row {
        id: "drifted_after_lift_off",
        criteria: &["drift_in_climb"],
        kinds: &["takeoff"],
        weight: 1.0,
        headline: "The climb drifted off the runway's line",
        advice: "Once clear of the ground turn into the wind by a few degrees, and look back at the runway on the way up",
        source: CHAPTER_6,
    },
    Row {
        id: "late_full_power",
        criteria: &["full_power_prompt"],
        kinds: &["go_around"],
        weight: 1.8,
        headline: "Full power came late in the go-around",
        advice: "The word is power: all of it in one smooth motion, then the pitch, then the flaps",
        source: CHAPTER_9,
    },
    Row {
        id: "flaps_up_early",
        criteria: &["flaps_after_climb"],
        kinds: &["go_around"],
        weight: 1.8,
        headline: "Flaps came up before it climbed",
        advice: "Wait until the altimeter shows a climb before the first step, and let the speed build before the next",
        source: CHAPTER_9,
    },
    Row {
        id: "flaps_left_down",
        criteria: &["flaps_retracted"],
        kinds: &["go_around"],
        weight: 1.2,
        headline: "Flaps were still out at the end",
        advice: "Positive climb, first step; VX, second step; VY, the last: say each aloud",
        source: CHAPTER_9,
    },
    Row {
        id: "slip_turned",
        criteria: &["track_in_slip"],
        kinds: &["forward_slip"],
        weight: 1.3,
        headline: "The track turned in the slip",
        advice: "Set the bank, then hold the path with the opposite rudder: the line over the ground is straight while the nose points aside",
        source: CHAPTER_9,
    },
    Row {
        id: "pattern_altitude_drift",
        criteria: &["altitude"],
        kinds: &["traffic_pattern"],
        weight: 1.3,
        headline: "The pattern altitude was not held",
        advice: "Level off by pitch first, power after, and trim: then one look at the altimeter on each leg",
        source: CHAPTER_8,
    },
    Row {
        id: "pattern_airspeed_drift",
        criteria: &["airspeed"],
        kinds: &["traffic_pattern"],
        weight: 1.1,
        headline: "The airspeed wandered in the pattern",
        advice: "Know the power setting that holds the pattern speed, and set it before you look",
        source: PRACTICE,
    },
];

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    let feet = |name: &str, sigma_ft: f64| {
        let value = maneuver.fact(name) / M_PER_FT;
        value.is_finite().then(|| with_unit(value, sigma_ft, "ft"))
    };
    let knots = |name: &str| {
        let value = maneuver.fact(name) / MPS_PER_KT;
        value.is_finite().then(|| with_unit(value, 1.0, "kt"))
    };
    let sentence = match maneuver.kind {
        Kind::Takeoff => match (knots("lift_off_ias"), knots("ias_climbing")) {
            (Some(off), Some(climb)) => {
                Some(format!("you lifted off at {off} and climbed at {climb}"))
            }
            (Some(off), None) => Some(format!("you lifted off at {off}")),
            _ => None,
        },
        Kind::Landing | Kind::PowerOff180 => {
            match (knots("approach_ias"), knots("touchdown_ias")) {
                (Some(approach), Some(down)) => Some(format!(
                    "you came down final at {approach} and touched at {down}"
                )),
                _ => None,
            }
        }
        Kind::GoAround => feet("height_lost", 20.0).map(|lost| {
            let climbed =
                knots("ias_climbing").map_or(String::new(), |climb| format!(" at {climb}"));
            format!("you lost {lost} after the power came and climbed away{climbed}")
        }),
        Kind::ForwardSlip => {
            let bank = maneuver.fact("bank_held").to_degrees();
            let lost = feet("height_lost", 20.0);
            lost.filter(|_| bank.is_finite()).map(|lost| {
                format!(
                    "you held {} of bank and lost {lost}",
                    with_unit(bank.abs(), 1.0, "deg")
                )
            })
        }
        _ => None,
    };
    sentence.unwrap_or_else(|| format!("you flew {}", with_article(maneuver.kind)))
}

fn evidence(id: &str, mark: &Mark, case: &Case) -> Option<String> {
    let worst = mark.worst?;
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let off = worst - mark.target.unwrap_or(0.0);
    match id {
        "fast_approach" | "slow_approach" | "climb_speed_not_held" | "lift_off_off_speed" => {
            Some(format!(
                "you were {} {} ({} were asked for)",
                with_sigma(off.abs(), sigma, &mark.unit),
                if off < 0.0 { "slow" } else { "fast" },
                exact(mark.target?.round(), &mark.unit)
            ))
        }
        "long_touchdown" | "short_touchdown" => Some(format!(
            "you touched {} {} the point",
            with_sigma(off.abs(), sigma, &mark.unit),
            if off < 0.0 { "short of" } else { "beyond" }
        )),
        "high_on_approach" | "low_on_approach" => {
            let height = case.maneuver.fact("gate_height") / M_PER_FT;
            Some(format!(
                "half a mile out you were {} above the runway, which took a path of {}",
                with_unit(height, 10.0, "ft"),
                with_sigma(worst, sigma, &mark.unit)
            ))
        }
        "side_drift" => Some(format!(
            "the path went {} to the {} of the nose",
            with_sigma(worst.abs(), sigma, &mark.unit),
            crate::words::side(worst)
        )),
        "flat_touchdown" => Some(format!(
            "the nose was {} below where it rolled on three wheels",
            with_sigma(worst.abs(), sigma, &mark.unit)
        )),
        "bounced" | "porpoised" => {
            let height = case.maneuver.fact("bounce_height") / M_PER_FT;
            let high = if height.is_finite() {
                format!(", up to {}", with_unit(height, 3.0, "ft"))
            } else {
                String::new()
            };
            let times = if worst < 1.5 {
                "once more".to_owned()
            } else {
                format!("{worst:.0} times more")
            };
            Some(format!("the wheels touched {times}{high}"))
        }
        _ => None,
    }
}
