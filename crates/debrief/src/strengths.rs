//! Strengths, told as facts: what was well inside its limit, most telling first, at most three.

use crate::document::Finding;
use crate::kinds;
use crate::words::{sentence, with_sigma, with_unit};
use maneuver::Maneuver;
use standard::{Mark, Verdict};

/// Criteria worth a word, most telling first, and what to call the id.
const TELLING: [&str; 12] = [
    "recovery_prompt",
    "heading",
    "bank",
    "altitude",
    "airspeed",
    "rollout_heading",
    "power_prompt",
    "coordination",
    "flaps_in_steps",
    "climb_not_delayed",
    "pitch_up_smooth",
    "descent_established",
];
/// Share of the tolerance that counts as well inside.
const WELL_INSIDE: f64 = 0.5;
/// More than this would be a list, not praise.
const MOST: usize = 3;

/// Strengths of a maneuver.
pub(crate) fn strengths(maneuver: &Maneuver, marks: &[Mark]) -> Vec<Finding> {
    TELLING
        .iter()
        .chain(kinds::words_of(maneuver.kind).map_or(&[][..], |words| words.telling))
        .filter_map(|criterion| marks.iter().find(|mark| mark.criterion == *criterion))
        .filter(|mark| mark.mark == Verdict::Met && well_inside(mark))
        .filter_map(|mark| strength(maneuver, mark))
        .take(MOST)
        .collect()
}

/// Share of the tolerance that was used, from the middle of the band.
fn well_inside(mark: &Mark) -> bool {
    let Some(worst) = mark.worst else {
        return mark.criterion == "flaps_in_steps";
    };
    let share = match (mark.low, mark.high, mark.target) {
        (Some(low), Some(high), Some(target)) if high > target && target > low => {
            if worst >= target {
                (worst - target) / (high - target)
            } else {
                (target - worst) / (target - low)
            }
        }
        (Some(low), Some(high), _) => (2.0 * worst - low - high).abs() / (high - low),
        (None, Some(high), Some(target)) => (worst - target) / (high - target).abs().max(1e-9),
        (None, Some(high), None) => worst / high.abs().max(1e-9),
        (Some(low), None, _) => 2.0 * low / worst.max(1e-9) * WELL_INSIDE,
        (None, None, _) => 1.0,
    };
    share <= WELL_INSIDE || mark.criterion == "flaps_in_steps"
}

fn strength(maneuver: &Maneuver, mark: &Mark) -> Option<Finding> {
    let worst = mark.worst.unwrap_or(f64::NAN);
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let off = (worst - mark.target.unwrap_or(0.0)).abs();
    let within = || with_unit(off.max(sigma), sigma, &mark.unit);
    let text = match mark.criterion.as_str() {
        "recovery_prompt" => format!(
            "you began the recovery {} after the stall",
            with_unit(worst.max(0.0), sigma, "s")
        ),
        "heading" => format!("you kept the heading within {}", within()),
        "bank" => format!(
            "you kept the bank within {} of {}",
            within(),
            with_unit(mark.target?, f64::NAN, "deg")
        ),
        "altitude" => format!("you kept the altitude within {}", within()),
        "airspeed" => format!("you kept the airspeed within {}", within()),
        "rollout_heading" => format!("you rolled out within {} of the entry heading", within()),
        "power_prompt" if worst <= 0.0 => "full power was in before the recovery began".to_owned(),
        "power_prompt" => format!(
            "full power was in {} after the recovery began",
            with_unit(worst, sigma, "s")
        ),
        "coordination" => "the ball stayed in the center".to_owned(),
        "flaps_in_steps" => format!("the flaps came up in {}", mark.note),
        "climb_not_delayed" => "you climbed as soon as the speed allowed".to_owned(),
        "pitch_up_smooth" => format!(
            "the nose came up smoothly, {} at most",
            with_unit(worst, sigma, "deg/s")
        ),
        "descent_established" => format!(
            "{} of steady descent came before the pull",
            with_unit(worst, sigma, "s")
        ),
        _ if kinds::is_telling(maneuver.kind, &mark.criterion) => {
            format!("{} was well inside its limit", mark.quantity)
        }
        _ => return None,
    };
    // A negative duration is an order, which the headline has told.
    let told = mark.worst.filter(|worst| mark.unit != "s" || *worst > 0.0);
    let evidence = told.map_or(String::new(), |worst| {
        sentence(&format!(
            "{}: {}",
            mark.quantity,
            with_sigma(worst, sigma, &mark.unit)
        ))
    });
    Some(Finding {
        id: mark.criterion.clone(),
        headline: sentence(&text).trim_end_matches('.').to_owned(),
        evidence,
        at_s: mark.at_s.unwrap_or(maneuver.start_s),
        until_s: None,
        size: mark.worst,
        unit: mark.unit.clone(),
        sigma: mark.sigma,
        cost_ft: None,
        advice: String::new(),
        source: String::new(),
        criteria: vec![mark.criterion.clone()],
        probability: mark.probability.unwrap_or(1.0),
    })
}
