//! What changed from one debrief of a flight to another: after a correction, another standard, another
//! program; or since it was signed. Each difference has a sentence for a page to list.
//!
//! Only what a person reads counts: a number that is shown with the same digits has not changed. The program's
//! version alone is no difference.

mod head;
mod marks;
mod matching;
mod words;

pub use matching::matched;

use crate::document::{Debrief, Finding, ManeuverDebrief};
use crate::words::{exact, sentence};
use serde::{Deserialize, Serialize};
use words::{Times, recovery};

/// A boundary that moved by less has not moved for a person, s.
const MOVED_S: f64 = 1.0;

/// One difference between two debriefs of the same flight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Difference {
    /// Title and time of the maneuver (as it is now, or as it was when it is gone); none = the whole flight.
    pub maneuver: Option<String>,
    /// Its start, s, by the same rule.
    pub start_s: Option<f64>,
    /// What changed. Of the flight: `standard`, `aircraft`, `speed`. Of a maneuver: `added`, `removed`, `kind`,
    /// `direction`, `start`, `end`, `set_by`, `task`, `recovery`, `mark` (another answer), `value` (the same answer,
    /// another worst value), `limit`, `criterion_added`, `criterion_removed`, `finding_added`,
    /// `finding_removed`.
    pub what: String,
    /// Element code of a mark, as it is now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub element: Option<String>,
    /// Criterion of a mark; id of a finding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub criterion: Option<String>,
    /// What it was, in words with numbers and units; empty when it was not there.
    pub before: String,
    /// What it is; empty when it is gone.
    pub after: String,
    /// All of it in one sentence.
    pub sentence: String,
}

/// Everything that a person would see differently, in the order of the debrief.
#[must_use]
pub fn differences(old: &Debrief, new: &Debrief) -> Vec<Difference> {
    let mut all = head::differences(old, new);
    for pair in matched(old, new) {
        let (was, is) = (
            pair.0.and_then(|index| old.maneuvers.get(index)),
            pair.1.and_then(|index| new.maneuvers.get(index)),
        );
        match (was, is) {
            (Some(was), Some(is)) => both(was, is, Times::of(new), &mut all),
            (None, Some(is)) => all.push(alone("added", is, Times::of(new))),
            (Some(was), None) => all.push(alone("removed", was, Times::of(old))),
            (None, None) => {}
        }
    }
    all
}

/// A maneuver's name in a list, and the differences that are said of it.
pub(super) struct About<'a> {
    name: String,
    start_s: f64,
    times: Times<'a>,
}

impl About<'_> {
    /// `rest` follows the maneuver's name in the sentence.
    fn difference(&self, what: &str, before: String, after: String, rest: &str) -> Difference {
        Difference {
            maneuver: Some(self.name.clone()),
            start_s: Some(self.start_s),
            what: what.to_owned(),
            element: None,
            criterion: None,
            before,
            after,
            sentence: sentence(&format!("{}: {rest}", self.name)),
        }
    }

    /// A plain change from one thing to another.
    fn changed(&self, what: &str, name: &str, before: String, after: String) -> Option<Difference> {
        let rest = format!("{name} was {before}, now {after}");
        (before != after).then(|| self.difference(what, before, after, &rest))
    }
}

fn about<'a>(maneuver: &ManeuverDebrief, times: Times<'a>) -> About<'a> {
    About {
        name: format!("{}, {}", maneuver.title, times.at(maneuver.start_s)),
        start_s: maneuver.start_s,
        times,
    }
}

fn alone(what: &str, maneuver: &ManeuverDebrief, times: Times<'_>) -> Difference {
    let about = about(maneuver, times);
    let text = format!("{} to {}", about.name, about.times.at(maneuver.end_s));
    if what == "removed" {
        about.difference(what, text, String::new(), "no longer in the list")
    } else {
        let rest = if maneuver.set_by == "person" {
            "new in the list, set by a person"
        } else {
            "new in the list"
        };
        about.difference(what, String::new(), text, rest)
    }
}

fn both(was: &ManeuverDebrief, is: &ManeuverDebrief, times: Times<'_>, all: &mut Vec<Difference>) {
    let about = about(is, times);
    if was.kind == is.kind {
        all.extend(about.changed(
            "direction",
            "direction",
            was.direction.replace('_', " then "),
            is.direction.replace('_', " then "),
        ));
    } else {
        let rest = format!("before, this was listed as {}", was.title);
        let (before, after) = (was.title.clone(), is.title.clone());
        all.push(about.difference("kind", before, after, &rest));
    }
    all.extend(moved(&about, "start", was.start_s, is.start_s));
    all.extend(moved(&about, "end", was.end_s, is.end_s));
    if was.set_by != is.set_by {
        let by_person = is.set_by == "person";
        let words = |person: bool| match person {
            true => "set by a person".to_owned(),
            false => "as the program found it".to_owned(),
        };
        let (before, after) = (words(!by_person), words(by_person));
        let rest = format!("now {after}");
        all.push(about.difference("set_by", before, after, &rest));
    }
    if was.task != is.task {
        all.push(task(&about, was.task.as_deref(), is.task.as_deref()));
    }
    if let (Some(before), Some(after)) = (&was.specified_recovery, &is.specified_recovery) {
        all.extend(about.changed(
            "recovery",
            "the recovery asked for",
            recovery(before),
            recovery(after),
        ));
    }
    // Where one of them has no task, the task says it all.
    if was.task.is_some() && is.task.is_some() {
        marks::differences(&about, was, is, all);
    }
    findings(&about, was, is, all);
}

fn task(about: &About<'_>, was: Option<&str>, is: Option<&str>) -> Difference {
    let rest = match (was, is) {
        (Some(was), Some(is)) => format!("marked by {is} now, by {was} before"),
        (None, Some(is)) => format!("marked by {is} now, not at all before"),
        (Some(was), None) => format!("not marked now, by {was} before"),
        (None, None) => "not marked".to_owned(),
    };
    let words = |code: Option<&str>| code.unwrap_or_default().to_owned();
    about.difference("task", words(was), words(is), &rest)
}

fn moved(about: &About<'_>, what: &str, before_s: f64, after_s: f64) -> Option<Difference> {
    let by_s = after_s - before_s;
    if by_s.abs() <= MOVED_S {
        return None;
    }
    let way = if by_s < 0.0 { "earlier" } else { "later" };
    let amount = exact((10.0 * by_s.abs()).round() / 10.0, "s");
    let rest = format!("{what}s {amount} {way}");
    let (before, after) = (about.times.exact(before_s), about.times.exact(after_s));
    Some(about.difference(what, before, after, &rest))
}

fn findings(
    about: &About<'_>,
    was: &ManeuverDebrief,
    is: &ManeuverDebrief,
    all: &mut Vec<Difference>,
) {
    let lacks = |maneuver: &ManeuverDebrief, finding: &Finding| {
        maneuver.findings.iter().all(|known| known.id != finding.id)
    };
    let words = |finding: &Finding| {
        [finding.headline.as_str(), finding.evidence.as_str()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .map(sentence)
            .collect::<Vec<_>>()
            .join(" ")
    };
    for finding in is.findings.iter().filter(|finding| lacks(was, finding)) {
        let rest = format!("new finding: {}", words(finding));
        let one = about.difference("finding_added", String::new(), words(finding), &rest);
        all.push(with_id(one, finding));
    }
    for finding in was.findings.iter().filter(|finding| lacks(is, finding)) {
        let rest = format!("no longer found: {}", words(finding));
        let one = about.difference("finding_removed", words(finding), String::new(), &rest);
        all.push(with_id(one, finding));
    }
}

fn with_id(difference: Difference, finding: &Finding) -> Difference {
    Difference {
        criterion: Some(finding.id.clone()),
        ..difference
    }
}
