//! Findings: what went wrong, when, by how much, and one thing to try.
//!
//! Most follow from marks: a finding is raised when its criterion broke a limit with confidence. Two have
//! no criterion of their own and argue their threshold where they are measured: a wing drop and a trim
//! that was left alone.

mod evidence;
pub(crate) mod table;
mod trim;
mod wing_drop;

use crate::convert::tidy;
use crate::document::Finding;
use crate::head::RecordingHead;
use aircraft::Aircraft;
use flight::Flight;
use maneuver::Maneuver;
use standard::{Mark, TaskMarks, Verdict};
use table::Row;

/// What findings are looked for in.
pub(crate) struct Case<'a> {
    pub recording: &'a RecordingHead,
    pub flight: &'a Flight,
    pub aircraft: &'a Aircraft,
    pub maneuver: &'a Maneuver,
    pub marks: &'a TaskMarks,
}

/// All findings of a maneuver, worst first.
pub(crate) fn findings(case: &Case) -> Vec<Finding> {
    let kind = case.maneuver.kind.id();
    let rows = table::rows().filter(|row| table::for_kind(row, kind));
    let mut found: Vec<(f64, Finding)> = rows
        .filter_map(|row| from_marks(case, row))
        .map(|finding| weighed(kind, finding))
        .collect();
    found.extend(wing_drop::find(case).map(|finding| weighed(kind, finding)));
    found.extend(trim::find(case).map(|finding| weighed(kind, finding)));
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found
        .into_iter()
        .map(|(_, finding)| tidied(finding))
        .collect()
}

/// Without digits that nobody measured.
fn tidied(mut finding: Finding) -> Finding {
    finding.size = finding.size.filter(|size| size.is_finite()).map(tidy);
    finding.sigma = finding.sigma.filter(|sigma| sigma.is_finite()).map(tidy);
    finding.at_s = tidy(finding.at_s);
    finding.probability = tidy(finding.probability);
    finding
}

/// The finding of a row when one of its criteria broke its limit.
fn from_marks(case: &Case, row: &'static Row) -> Option<Finding> {
    let mark = row
        .criteria
        .iter()
        .filter_map(|criterion| {
            case.marks
                .marks
                .iter()
                .find(|mark| mark.criterion == *criterion)
        })
        .find(|mark| mark.mark == Verdict::NotMet && tells(row, mark, case.marks))?;
    let (size, unit) = evidence::size(mark);
    Some(Finding {
        id: row.id.to_owned(),
        headline: row.headline.to_owned(),
        evidence: evidence::words(row.id, mark, case),
        at_s: mark.at_s.unwrap_or(case.maneuver.start_s),
        until_s: None,
        size,
        unit,
        sigma: mark.sigma,
        cost_ft: None,
        advice: row.advice.to_owned(),
        source: row.source.to_owned(),
        criteria: row
            .criteria
            .iter()
            .map(|criterion| (*criterion).to_owned())
            .collect(),
        probability: tidy(1.0 - mark.probability.unwrap_or(0.05)),
    })
}

/// `recovery_as_specified` is broken in two ways that are two findings: begun too early, or not before
/// the full stall that was not asked for.
fn tells(row: &Row, mark: &Mark, marks: &TaskMarks) -> bool {
    let over = || mark.worst > mark.high;
    match row.id {
        // Two ways out of one band are two findings.
        "fast_approach" | "fast_glide" | "high_on_approach" | "long_touchdown" => return over(),
        "slow_approach" | "slow_glide" | "low_on_approach" | "short_touchdown" => return !over(),
        "porpoised" => return mark.worst > Some(1.5),
        "bounced" => return mark.worst <= Some(1.5),
        _ => {}
    }
    if mark.criterion != "recovery_as_specified" {
        return true;
    }
    let full = matches!(marks.recovery, Some((standard::Recovery::FullStall, _)));
    (row.id == "recovered_before_full_stall") == full
}

/// Order: weight of the row, times how far beyond the limit (in tolerances, at most three), times how sure.
fn weighed(kind: &str, finding: Finding) -> (f64, Finding) {
    let weight = table::row(&finding.id, kind).map_or(1.0, |row| row.weight);
    let beyond = evidence::beyond(&finding).clamp(0.2, 3.0);
    (weight * (1.0 + beyond) * finding.probability, finding)
}

/// A finding that has no mark behind it.
pub(crate) fn plain(
    row_id: &str,
    kind: &str,
    evidence: String,
    at_s: f64,
    probability: f64,
) -> Option<Finding> {
    let row = table::row(row_id, kind)?;
    Some(Finding {
        id: row.id.to_owned(),
        headline: row.headline.to_owned(),
        evidence,
        at_s,
        until_s: None,
        size: None,
        unit: String::new(),
        sigma: None,
        cost_ft: None,
        advice: row.advice.to_owned(),
        source: row.source.to_owned(),
        criteria: row
            .criteria
            .iter()
            .map(|criterion| (*criterion).to_owned())
            .collect(),
        probability,
    })
}
