//! What is told of turns around a point, S-turns, rectangular courses, and eights on pylons.

use super::{Shown, Words, with_article};
use crate::findings::Case;
use crate::findings::table::{PRACTICE, Row};
use crate::words::{exact, with_sigma, with_unit};
use air::units::{M_PER_FT, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

/// The chapter on ground reference maneuvers.
const CHAPTER_7: &str = "Airplane Flying Handbook (FAA-H-8083-3C), chapter 7";
const POINT: &[&str] = &["turns_around_a_point"];
const LINE: &[&str] = &["s_turns"];
const PYLONS: &[&str] = &["eights_on_pylons"];
const LOW: &[&str] = &["turns_around_a_point", "s_turns", "rectangular_course"];

pub(crate) const WORDS: Words = Words {
    kinds: &[
        Kind::TurnsAroundAPoint,
        Kind::STurns,
        Kind::RectangularCourse,
        Kind::EightsOnPylons,
    ],
    opening,
    evidence,
    events: &[
        ("turn_1", "once around", &[Shown::Altitude, Shown::Speed]),
        ("turn_2", "twice around", &[Shown::Altitude, Shown::Speed]),
        (
            "turn_3",
            "three times around",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "turn_4",
            "four times around",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "crossing_1",
            "over the line",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_2",
            "over the line again",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_3",
            "over the line, the third time",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_4",
            "over the line, the fourth time",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_5",
            "over the line, the fifth time",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_6",
            "over the line, the sixth time",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_7",
            "over the line, the seventh time",
            &[Shown::Altitude, Shown::Bank],
        ),
        (
            "crossing_8",
            "over the line, the eighth time",
            &[Shown::Altitude, Shown::Bank],
        ),
        ("corner_1", "first corner", &[Shown::Altitude, Shown::Speed]),
        (
            "corner_2",
            "second corner",
            &[Shown::Altitude, Shown::Speed],
        ),
        ("corner_3", "third corner", &[Shown::Altitude, Shown::Speed]),
        (
            "corner_4",
            "fourth corner",
            &[Shown::Altitude, Shown::Speed],
        ),
        (
            "first_turn_end",
            "wings level behind the first pylon",
            &[Shown::Height, Shown::Speed],
        ),
        (
            "second_turn_start",
            "into the turn about the second pylon",
            &[Shown::Height, Shown::Speed],
        ),
    ],
    findings: FINDINGS,
    telling: &[
        "radius_variation",
        "track_on_legs",
        "pivotal_altitude",
        "crossing_square",
        "altitude",
        "airspeed",
    ],
};

const FINDINGS: &[Row] = &[
    Row {
        id: "no_wind_correction",
        criteria: &["wind_correction"],
        kinds: POINT,
        weight: 1.8,
        headline: "The circle drifted with the wind",
        advice: "Pick four landmarks around the point, a quarter of the circle apart, and cross each: steepen early as the wind comes behind you, shallow as it comes ahead",
        source: CHAPTER_7,
    },
    Row {
        id: "no_wind_correction",
        criteria: &["track_on_legs"],
        kinds: &["rectangular_course"],
        weight: 1.8,
        headline: "A leg did not lie along its side",
        advice: "Roll out of each corner onto the heading that already holds the wind, then watch a point far ahead on the side: if it moves, change the heading and keep it",
        source: CHAPTER_7,
    },
    Row {
        id: "radius_not_constant",
        criteria: &["radius_variation"],
        kinds: POINT,
        weight: 1.4,
        headline: "The distance from the point was not constant",
        advice: "Look at the point, then ahead, then at the point again, every few seconds, and change the bank before the distance has changed",
        source: CHAPTER_7,
    },
    Row {
        id: "radius_not_constant",
        criteria: &["radius_variation"],
        kinds: LINE,
        weight: 1.4,
        headline: "The half circles were not alike",
        advice: "Before you cross the line, choose where on the ground the half circle will be farthest and where it will end, and bank for those two places",
        source: CHAPTER_7,
    },
    Row {
        id: "bank_not_varied",
        criteria: &["bank_for_wind"],
        kinds: POINT,
        weight: 1.3,
        headline: "The bank was not varied with the ground speed",
        advice: "Steepest with the wind behind you, shallowest with the wind on the nose: say which comes next a quarter of the circle ahead",
        source: CHAPTER_7,
    },
    Row {
        id: "too_close",
        criteria: &["bank_max"],
        kinds: LOW,
        weight: 1.2,
        headline: "The figure was flown so near that the bank went past 45 degrees",
        advice: "Choose the distance on the downwind side: 45 degrees there is the most, and it becomes less everywhere else",
        source: CHAPTER_7,
    },
    Row {
        id: "not_entered_downwind",
        criteria: &["entry_downwind"],
        kinds: LOW,
        weight: 0.8,
        headline: "It was not entered downwind",
        advice: "Find the wind before you go down to the figure, from smoke, water or a full circle at one bank, and come to it with the wind behind you: the first bank is then the steepest",
        source: CHAPTER_7,
    },
    Row {
        id: "height_out_of_band",
        criteria: &["height_600_1000_agl"],
        kinds: LOW,
        weight: 1.6,
        headline: "It was not entered between 600 and 1,000 ft above ground",
        advice: "Add the elevation of the ground to 800 ft before you go there, and level off on that number",
        source: "the practical test standard",
    },
    Row {
        id: "reversal_off_line",
        criteria: &["reversal_over_line"],
        kinds: LINE,
        weight: 1.1,
        headline: "The wings did not come level over the line",
        advice: "Begin the roll so far ahead that the wings pass level as the line passes under you, and keep rolling",
        source: CHAPTER_7,
    },
    Row {
        id: "crossing_not_square",
        criteria: &["crossing_square"],
        kinds: LINE,
        weight: 1.0,
        headline: "The line was not crossed at a right angle",
        advice: "Watch the line come up along the wing: wing along the line as you cross means a square crossing, less crab for the wind",
        source: CHAPTER_7,
    },
    Row {
        id: "altitude_drift",
        criteria: &["altitude"],
        kinds: LOW,
        weight: 1.4,
        headline: "The altitude went out of its limits",
        advice: "More bank wants more back pressure, less bank less: move both together, and look at the altimeter each time the wind changes side",
        source: CHAPTER_7,
    },
    Row {
        id: "airspeed_drift",
        criteria: &["airspeed"],
        kinds: LOW,
        weight: 1.1,
        headline: "The airspeed went out of its limits",
        advice: "Judge the speed by the airspeed indicator and not by the ground: upwind looks slow and downwind fast at the same airspeed",
        source: CHAPTER_7,
    },
    Row {
        id: "uncoordinated",
        criteria: &["coordination"],
        kinds: LOW,
        weight: 1.2,
        headline: "The ball was out of the center",
        advice: "Let the bank move the nose around the figure; your feet only keep the ball centered",
        source: PRACTICE,
    },
    Row {
        id: "off_pivotal_altitude",
        criteria: &["pivotal_altitude"],
        kinds: PYLONS,
        weight: 1.6,
        headline: "The height was not the pivotal altitude",
        advice: "If the pylon moves ahead of the wing, go down toward it; if it falls behind, come up: forward, forward pressure; back, back pressure",
        source: CHAPTER_7,
    },
    Row {
        id: "pivotal_altitude_unknown",
        criteria: &["entry_pivotal_altitude"],
        kinds: PYLONS,
        weight: 1.2,
        headline: "It was entered far from the pivotal altitude",
        advice: "Square the ground speed in knots and divide by 11.3 before you begin: that is the height above the pylon",
        source: CHAPTER_7,
    },
    Row {
        id: "no_straight_run",
        criteria: &["straight_between"],
        kinds: PYLONS,
        weight: 0.9,
        headline: "There was no straight and level run between the pylons",
        advice: "Choose pylons a little farther apart, so that you can count to three with the wings level and hold the wind before the next one",
        source: CHAPTER_7,
    },
];

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    let feet = |name: &str| maneuver.fact(name) / M_PER_FT;
    match maneuver.kind {
        Kind::TurnsAroundAPoint => {
            let (turns, mean) = (maneuver.fact("turns"), feet("radius_mean"));
            let (least, most) = (feet("radius_least"), feet("radius_greatest"));
            if turns.is_finite() && mean.is_finite() && least.is_finite() && most.is_finite() {
                return format!(
                    "you flew {turns:.1} turns about a point, {} to {} from it{}",
                    with_unit(least, 15.0, "ft"),
                    with_unit(most, 15.0, "ft"),
                    reference(maneuver, "point", "point_east")
                );
            }
        }
        Kind::STurns => {
            let (halves, mean) = (maneuver.fact("halves"), feet("radius_mean"));
            if halves.is_finite() && mean.is_finite() {
                return format!(
                    "you flew {halves:.0} half circles of about {}{}",
                    with_unit(mean, 15.0, "ft"),
                    reference(maneuver, "line", "line_east")
                );
            }
        }
        Kind::RectangularCourse => {
            let off = maneuver.fact("track_on_legs").to_degrees();
            if off.is_finite() {
                return format!(
                    "you flew around a rectangle, at most {} off a side{}",
                    with_unit(off, 1.0, "deg"),
                    reference(maneuver, "field", "")
                );
            }
        }
        Kind::EightsOnPylons => {
            let (turns, off) = (maneuver.fact("turns"), feet("pivotal_error").abs());
            if turns.is_finite() && off.is_finite() {
                return format!(
                    "you flew {turns:.0} circles about pylons, at most {} from the pivotal altitude{}",
                    with_unit(off, 15.0, "ft"),
                    reference(maneuver, "pylons", "pylon_1_east")
                );
            }
        }
        _ => {}
    }
    format!("you flew {}", with_article(maneuver.kind))
}

/// Whether what it was flown about was given or found, and how well its place is known.
fn reference(one: &Maneuver, what: &str, place: &str) -> String {
    let place = one.facts.get(place);
    let sigma_ft = place.map_or(f64::NAN, |fact| fact.sigma / M_PER_FT);
    let found = if sigma_ft.is_finite() {
        let known = with_unit(sigma_ft, 10.0, "ft");
        format!("the {what} found from the path, known to about {known}")
    } else {
        format!("the {what} found from the path")
    };
    let off = one.fact("reference_off") / M_PER_FT;
    match one.facts.get("reference_given").map(|fact| fact.value) {
        Some(given) if given > 0.5 => format!(" (the {what} as given)"),
        Some(_) if off.is_finite() => format!(
            " ({found}; the one that was given is {} away and cannot be it)",
            with_unit(off, 50.0, "ft")
        ),
        Some(_) => format!(" ({found}; the path does not fit what was given)"),
        None if sigma_ft.is_finite() => format!(" ({found})"),
        None => String::new(),
    }
}

fn evidence(id: &str, mark: &Mark, case: &Case) -> Option<String> {
    let worst = mark.worst?;
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let one = case.maneuver;
    match (id, one.kind) {
        ("no_wind_correction", Kind::TurnsAroundAPoint) => {
            let moved = one.fact("drift_per_turn") / M_PER_FT;
            Some(format!(
                "its center moved {} downwind in each turn, {} of what the wind carries along{}",
                with_unit(moved, 20.0, "ft"),
                with_sigma(worst, sigma, "%"),
                wind(one)
            ))
        }
        ("no_wind_correction", Kind::RectangularCourse) => Some(format!(
            "the track was {} off the side{}{}",
            with_sigma(worst, sigma, "deg"),
            crab(one),
            wind(one)
        )),
        ("radius_not_constant", Kind::TurnsAroundAPoint) => {
            let feet = |name: &str| with_unit(one.fact(name) / M_PER_FT, 15.0, "ft");
            Some(format!(
                "the distance ran from {} to {}, a difference of {} of the mean; {} is the most (assumed){}",
                feet("radius_least"),
                feet("radius_greatest"),
                with_sigma(worst, sigma, "%"),
                exact(mark.high.unwrap_or(f64::NAN), "%"),
                steepest(one)
            ))
        }
        ("bank_not_varied", _) => Some(format!(
            "for each degree that the wind asked for the bank changed by {} of one; it had to run from {} to {}",
            with_sigma(worst, sigma, ""),
            degrees(one, "bank_needed_least"),
            degrees(one, "bank_needed_most")
        )),
        ("off_pivotal_altitude", _) => Some(format!(
            "you were {} {} the pivotal altitude, which ran from {} to {} above ground",
            with_sigma(worst.abs(), sigma, "ft"),
            if worst < 0.0 { "below" } else { "above" },
            with_unit(one.fact("pivotal_least") / M_PER_FT, 15.0, "ft"),
            with_unit(one.fact("pivotal_most") / M_PER_FT, 15.0, "ft")
        )),
        _ => None,
    }
}

fn degrees(one: &Maneuver, name: &str) -> String {
    with_unit(one.fact(name).to_degrees(), 1.0, "deg")
}

/// The wind in a subordinate clause, where it is known.
fn wind(one: &Maneuver) -> String {
    let (speed, from) = (one.fact("wind_speed"), one.fact("wind_from"));
    if speed.is_finite() && from.is_finite() {
        // From north is 360 to a pilot.
        let whole = (from.to_degrees().rem_euclid(360.0) - 0.5).rem_euclid(360.0) + 0.5;
        format!(
            "; the wind was {} from {whole:03.0}° true",
            with_unit(speed / MPS_PER_KT, 1.0, "kt")
        )
    } else {
        String::new()
    }
}

/// Where the bank was steepest, when that was not with the wind behind.
fn steepest(one: &Maneuver) -> String {
    let off = one.fact("steepest_off_downwind").to_degrees();
    if off.is_finite() && off.abs() > 40.0 {
        format!(
            "; the bank was steepest {} from downwind, where the ground speed is highest",
            with_unit(off.abs(), 10.0, "deg")
        )
    } else {
        String::new()
    }
}

fn crab(one: &Maneuver) -> String {
    let missing = one.fact("crab_missing").to_degrees();
    if missing.is_finite() && missing > 2.0 {
        format!(
            "; the nose was {} too little into the wind",
            with_unit(missing, 1.0, "deg")
        )
    } else {
        String::new()
    }
}
