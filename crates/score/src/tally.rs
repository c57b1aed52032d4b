//! Counting: what was found, when, and how it was marked, against truth.

use crate::by_kind::{self, Kind};
use crate::noise;
use crate::truth::{TrueManeuver, Truth};
use debrief::{Debrief, ManeuverDebrief};
use standard::Verdict;
use std::collections::BTreeMap;

/// Counts of one group of flights (an instrument fit).
#[derive(Default)]
pub struct Tally {
    pub flights: usize,
    pub hours: f64,
    pub kinds: BTreeMap<String, Found>,
    pub by_kind: BTreeMap<String, Kind>,
    pub start: Vec<f64>,
    pub end: Vec<f64>,
    pub events: BTreeMap<String, Vec<f64>>,
    pub altitude_lost_ft: Vec<f64>,
    pub criteria: BTreeMap<String, Marks>,
    pub findings: BTreeMap<String, Findings>,
    pub full_or_cue: [[usize; 3]; 2],
    pub problems: Vec<String>,
}

/// Recognition counts of a kind.
#[derive(Default, Clone, Copy)]
pub struct Found {
    pub truth: usize,
    pub found: usize,
    pub false_ones: usize,
}

/// Mark counts of a criterion.
#[derive(Default, Clone)]
pub struct Marks {
    pub agree: usize,
    pub disagree: usize,
    pub agree_near: usize,
    pub disagree_near: usize,
    pub too_close: usize,
    pub not_recorded: usize,
    pub for_instructor: usize,
    pub missing: usize,
    pub inside_95: usize,
    pub intervals: usize,
}

/// Findings counts of an id.
#[derive(Default, Clone, Copy)]
pub struct Findings {
    pub owed: usize,
    pub owed_decided: usize,
    pub raised: usize,
    pub raised_of_owed: usize,
    pub right: usize,
}

fn overlap_counts(truth: &TrueManeuver, found: &ManeuverDebrief, offset_s: f64) -> bool {
    let (start, end) = (found.start_s + offset_s, found.end_s + offset_s);
    let shared = truth.t_end.min(end) - truth.t_start.max(start);
    shared >= 0.5 * (truth.t_end - truth.t_start) && shared >= 0.5 * (end - start)
}

/// Which found maneuver answers which true one (each at most once).
fn pair(truth: &Truth, debrief: &Debrief, offset_s: f64) -> Vec<Option<usize>> {
    let mut taken = vec![false; debrief.maneuvers.len()];
    truth
        .maneuvers
        .iter()
        .map(|wanted| {
            let hit = debrief
                .maneuvers
                .iter()
                .enumerate()
                .position(|(index, found)| {
                    !taken[index]
                        && found.kind == wanted.kind
                        && overlap_counts(wanted, found, offset_s)
                });
            if let Some(index) = hit {
                taken[index] = true;
            }
            hit
        })
        .collect()
}

impl Tally {
    /// Adds recognition, times and marks of one flight under one standard (`private`, `commercial`).
    pub fn add(
        &mut self,
        truth: &Truth,
        debrief: &Debrief,
        offset_s: f64,
        standard: &str,
        first: bool,
    ) {
        let pairs = pair(truth, debrief, offset_s);
        if first {
            self.flights += 1;
            self.hours += truth.duration_s / 3600.0;
            self.recognition(truth, debrief, offset_s, &pairs);
            for (kind, found) in &self.kinds {
                self.by_kind.entry(kind.clone()).or_default().found = *found;
            }
        }
        for (wanted, hit) in truth.maneuvers.iter().zip(&pairs) {
            let Some(found) = hit.and_then(|index| debrief.maneuvers.get(index)) else {
                continue;
            };
            if first {
                self.times(truth, wanted, found, offset_s);
            }
            self.marks(truth, wanted, found, standard);
            if !wanted.optional {
                let kind = self.by_kind.entry(wanted.kind.clone()).or_default();
                kind.marks(truth, wanted, found, standard);
                if first {
                    kind.times(wanted, found, offset_s);
                }
            }
            self.findings(truth, wanted, found, standard);
        }
    }

    fn recognition(
        &mut self,
        truth: &Truth,
        debrief: &Debrief,
        offset_s: f64,
        pairs: &[Option<usize>],
    ) {
        for (wanted, hit) in truth.maneuvers.iter().zip(pairs) {
            if wanted.optional {
                continue;
            }
            let kind = self.kinds.entry(wanted.kind.clone()).or_default();
            kind.truth += 1;
            kind.found += usize::from(hit.is_some());
            if hit.is_none() {
                self.problems.push(format!(
                    "{} missed {} {:.0}-{:.0} s",
                    truth.flight, wanted.kind, wanted.t_start, wanted.t_end
                ));
            }
        }
        for (index, found) in debrief.maneuvers.iter().enumerate() {
            if pairs.contains(&Some(index)) {
                continue;
            }
            let beside_optional = truth.maneuvers.iter().any(|wanted| {
                wanted.optional
                    && found.start_s + offset_s < wanted.t_end
                    && found.end_s + offset_s > wanted.t_start
            });
            if beside_optional {
                continue;
            }
            self.kinds.entry(found.kind.clone()).or_default().false_ones += 1;
            self.problems.push(format!(
                "{} false {} {:.0}-{:.0} s",
                truth.flight,
                found.kind,
                found.start_s + offset_s,
                found.end_s + offset_s
            ));
        }
    }

    fn times(
        &mut self,
        truth: &Truth,
        wanted: &TrueManeuver,
        found: &ManeuverDebrief,
        offset_s: f64,
    ) {
        self.start.push(found.start_s + offset_s - wanted.t_start);
        self.end.push(found.end_s + offset_s - wanted.t_end);
        for (name, at_s) in &wanted.phases {
            if let Some(ours) = by_kind::event_at(found, name) {
                self.events
                    .entry(by_kind::counted(name).0.to_owned())
                    .or_default()
                    .push(ours + offset_s - at_s);
            }
        }
        if wanted.kind.ends_with("_stall") {
            let truly_full = usize::from(wanted.phases.contains_key("full_stall"));
            let answer = found
                .facts
                .get("full_stall_probability")
                .map_or(0.5, |fact| fact.value);
            let column = if answer >= 0.95 {
                2
            } else if answer <= 0.05 {
                0
            } else {
                1
            };
            self.full_or_cue[truly_full][column] += 1;
            if truly_full == 0 && column == 2 {
                self.problems.push(format!(
                    "{} cue recovery called full at {:.0} s",
                    truth.flight, wanted.t_start
                ));
            }
            if let (Some(true_ft), Some(fact)) = (
                wanted.extreme("altitude_lost_ft"),
                found.facts.get("altitude_lost_ft"),
            ) {
                self.altitude_lost_ft.push(fact.value - true_ft);
            }
        }
    }

    fn marks(
        &mut self,
        truth: &Truth,
        wanted: &TrueManeuver,
        found: &ManeuverDebrief,
        standard: &str,
    ) {
        let Some(verdicts) = wanted.verdict.get(standard) else {
            return;
        };
        if !found.marked {
            return;
        }
        for (criterion, verdict) in verdicts {
            let Some(answer) = verdict.verdict.as_deref() else {
                continue;
            };
            let counts = self.criteria.entry(criterion.clone()).or_default();
            let Some(mark) = found.marks.iter().find(|mark| mark.criterion == *criterion) else {
                counts.missing += 1;
                continue;
            };
            let agree = match mark.mark {
                Verdict::Met => answer == "pass",
                Verdict::NotMet => answer == "fail",
                Verdict::TooClose => {
                    counts.too_close += 1;
                    continue;
                }
                Verdict::NotRecorded => {
                    counts.not_recorded += 1;
                    continue;
                }
                Verdict::ForInstructor => {
                    counts.for_instructor += 1;
                    continue;
                }
            };
            let near = verdict
                .margin
                .is_some_and(|margin| margin.abs() < noise::band(criterion, &truth.fit));
            match (agree, near) {
                (true, false) => counts.agree += 1,
                (false, false) => {
                    counts.disagree += 1;
                    self.problems.push(format!(
                        "{} {} at {:.0} s, {standard} {criterion}: truth {answer} ({:?}, {}), we {:?} worst {:?} ± {:?} {}",
                        truth.flight, wanted.kind, wanted.t_start, verdict.value, verdict.limit, mark.mark, mark.worst, mark.sigma, mark.note
                    ));
                }
                (true, true) => counts.agree_near += 1,
                (false, true) => counts.disagree_near += 1,
            }
            if let (Some(worst), Some(sigma), Some(value)) = (mark.worst, mark.sigma, verdict.value)
            {
                let deviation = mark.target.map_or(worst, |target| worst - target);
                let error = (worst - value)
                    .abs()
                    .min((deviation - value).abs())
                    .min((deviation.abs() - value.abs()).abs());
                counts.intervals += 1;
                counts.inside_95 += usize::from(error <= 1.96 * sigma);
            }
        }
    }

    fn findings(
        &mut self,
        truth: &Truth,
        wanted: &TrueManeuver,
        found: &ManeuverDebrief,
        standard: &str,
    ) {
        if !found.marked || wanted.verdict.get(standard).is_none_or(BTreeMap::is_empty) {
            return;
        }
        for error in &wanted.injected_errors {
            let Some((_, id, _)) = noise::ERRORS
                .iter()
                .find(|(injected, _, _)| injected == error)
            else {
                continue;
            };
            if !noise::broke_a_limit(error, wanted, standard, &truth.fit) {
                continue;
            }
            let counts = self.findings.entry((*id).to_owned()).or_default();
            counts.owed += 1;
            let raised = found.findings.iter().any(|finding| finding.id == *id);
            counts.raised_of_owed += usize::from(raised);
            // A fault whose marks say `not_recorded` or `too_close` cannot be told of honestly.
            let decidable = noise::criteria(id).iter().any(|criterion| {
                found.marks.iter().any(|mark| {
                    mark.criterion == *criterion
                        && matches!(mark.mark, Verdict::Met | Verdict::NotMet)
                })
            });
            if raised || decidable || noise::criteria(id).is_empty() {
                counts.owed_decided += 1;
            }
            if !raised {
                self.problems.push(format!(
                    "{} {} at {:.0} s, {standard}: no finding {id}",
                    truth.flight, wanted.kind, wanted.t_start
                ));
            }
        }
        for finding in &found.findings {
            if noise::not_applicable(&finding.id, wanted, standard) {
                continue;
            }
            let related = noise::ERRORS.iter().filter(|(_, id, _)| *id == finding.id);
            let right = related.clone().any(|(injected, _, criteria)| {
                wanted.injected_errors.iter().any(|error| error == injected)
                    || criteria
                        .iter()
                        .any(|criterion| noise::failed(wanted, standard, criterion))
                    || (*injected == "wing_drop"
                        && noise::broke_a_limit(injected, wanted, standard, &truth.fit))
            });
            let counts = self.findings.entry(finding.id.clone()).or_default();
            counts.raised += 1;
            counts.right += usize::from(right);
            if !right {
                self.problems.push(format!(
                    "{} {} at {:.0} s, {standard}: finding {} without its fault: {}",
                    truth.flight, wanted.kind, wanted.t_start, finding.id, finding.evidence
                ));
            }
        }
    }
}
