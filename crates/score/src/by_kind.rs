//! Counting by kind: for each kind of maneuver how many were found, how far off its bounds and events are, and how
//! its marks agree with truth. A criterion that truth has and no mark answers is counted, so that the gap is seen.

use crate::noise;
use crate::tally::Found;
use crate::truth::{TrueManeuver, Truth};
use debrief::ManeuverDebrief;
use standard::Verdict;
use std::collections::BTreeMap;

/// Counts of one kind in one group of flights.
#[derive(Default)]
pub struct Kind {
    pub found: Found,
    /// Errors of start and end, s.
    pub bounds: Vec<f64>,
    /// Errors of events by name, s; `None` = truth has it and we do not.
    pub events: BTreeMap<String, Vec<Option<f64>>>,
    pub agree: usize,
    pub disagree: usize,
    pub in_band: usize,
    pub too_close: usize,
    pub not_recorded: usize,
    pub for_instructor: usize,
    /// Criteria of truth that no mark answers, with how often.
    pub not_marked: BTreeMap<String, usize>,
}

/// Tasks that a certificate does not have: truth judges those maneuvers all the same. Source: the tables of
/// contents of FAA-S-ACS-6C (private) and FAA-S-ACS-7B (commercial).
const NO_TASK: [(&str, &[&str]); 2] = [
    (
        "private",
        &[
            "accelerated_stall",
            "chandelle",
            "lazy_eight",
            "steep_spiral",
            "eights_on_pylons",
            "power_off_180",
        ],
    ),
    (
        "commercial",
        &[
            "unusual_attitude_recovery",
            "straight_and_level",
            "constant_airspeed_climb",
            "constant_airspeed_descent",
            "turn_to_heading",
            "turns_around_a_point",
            "s_turns",
            "rectangular_course",
        ],
    ),
];

fn has_task(standard: &str, kind: &str) -> bool {
    NO_TASK
        .iter()
        .all(|(known, kinds)| *known != standard || !kinds.contains(&kind))
}

/// Name of an event of truth without its count (`corner_3` is the third `corner`), and which one it is.
pub fn counted(name: &str) -> (&str, usize) {
    // Angles count nothing: `point_180`.
    const MOST: usize = 20;
    match name.rsplit_once('_') {
        Some((base, digits)) => match digits.parse::<usize>() {
            Ok(nth @ 1..=MOST) => (base, nth - 1),
            _ => (name, 0),
        },
        None => (name, 0),
    }
}

/// When we say that an event of truth was, s from our first sample.
pub fn event_at(found: &ManeuverDebrief, name: &str) -> Option<f64> {
    let likely = || found.events.iter().filter(|event| event.probability >= 0.5);
    let (base, nth) = counted(name);
    likely()
        .find(|event| event.name == name)
        .or_else(|| likely().filter(|event| event.name == base).nth(nth))
        .map(|event| event.at_s)
}

impl Kind {
    /// Adds bounds and events of one that was found.
    pub fn times(&mut self, wanted: &TrueManeuver, found: &ManeuverDebrief, offset_s: f64) {
        self.bounds.push(found.start_s + offset_s - wanted.t_start);
        self.bounds.push(found.end_s + offset_s - wanted.t_end);
        for (name, at_s) in &wanted.phases {
            // The clearing turns are a maneuver of their own.
            if name.starts_with("clearing_turns") {
                continue;
            }
            let error = event_at(found, name).map(|ours| ours + offset_s - at_s);
            self.events
                .entry(counted(name).0.to_owned())
                .or_default()
                .push(error);
        }
    }

    /// Adds the marks of one that was found, under one standard.
    pub fn marks(
        &mut self,
        truth: &Truth,
        wanted: &TrueManeuver,
        found: &ManeuverDebrief,
        standard: &str,
    ) {
        let Some(verdicts) = wanted.verdict.get(standard) else {
            return;
        };
        if !has_task(standard, &wanted.kind) {
            return;
        }
        for (criterion, verdict) in verdicts {
            let Some(answer) = verdict.verdict.as_deref() else {
                continue;
            };
            let Some(mark) = found.marks.iter().find(|mark| mark.criterion == *criterion) else {
                *self.not_marked.entry(criterion.clone()).or_default() += 1;
                continue;
            };
            let decided = match mark.mark {
                Verdict::Met => "pass",
                Verdict::NotMet => "fail",
                Verdict::TooClose => {
                    self.too_close += 1;
                    continue;
                }
                Verdict::NotRecorded => {
                    self.not_recorded += 1;
                    continue;
                }
                Verdict::ForInstructor => {
                    self.for_instructor += 1;
                    continue;
                }
            };
            let near = verdict
                .margin
                .is_some_and(|margin| margin.abs() < noise::band(criterion, &truth.fit));
            if near {
                self.in_band += 1;
            } else if decided == answer {
                self.agree += 1;
            } else {
                self.disagree += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_told_from_angles() {
        assert_eq!(counted("corner_3"), ("corner", 2));
        assert_eq!(counted("point_180"), ("point_180", 0));
        assert_eq!(counted("flap_down_1"), ("flap_down", 0));
        assert_eq!(counted("touchdown"), ("touchdown", 0));
    }
}
