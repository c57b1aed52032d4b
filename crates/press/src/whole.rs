//! The whole flight in a few lines: what could have hurt, first, and how the time was spent.

use crate::flow::{Flow, Tag, paragraph};
use crate::frame::SHEET_WIDTH;
use crate::print::{self, BODY, BOLD, LEADING, SECOND};
use crate::svg::Drawing;
use crate::words::Watch;
use debrief::{Debrief, SafetyDebrief};

/// Said where nothing was found.
pub(crate) const NOTHING: &str = "nothing beyond a limit, as far as it was watched";

/// Headline of an event, with its maneuver and how sure it is.
pub(crate) fn headline(event: &SafetyDebrief) -> String {
    let sure = if event.sure { "" } else { ", probably" };
    let within = event
        .maneuver
        .map_or(String::new(), |number| format!(", in {number}"));
    format!("{}{sure}{within}", event.headline)
}

/// What was measured and whose limit it was.
pub(crate) fn evidence(event: &SafetyDebrief) -> String {
    format!("{} Limit: {}.", event.words, event.source)
}

/// What could not be watched, each reason once: `no bank was recorded: bank beyond 60°, …`.
pub(crate) fn not_watched(debrief: &Debrief) -> Vec<String> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in &debrief.safety_not_watched {
        match reasons.iter_mut().find(|(why, _)| *why == one.why) {
            Some((_, names)) => names.push(&one.headline),
            None => reasons.push((&one.why, vec![&one.headline])),
        }
    }
    let told = reasons.into_iter();
    told.map(|(why, names)| format!("{} ({why})", names.join(", ")))
        .collect()
}

/// How the time was spent: `stalls 14:02, … ; together 41:30 min:s`; empty in documents that do not say.
pub(crate) fn times(debrief: &Debrief) -> String {
    let times = &debrief.lesson.times;
    if times.is_empty() {
        return String::new();
    }
    let each: Vec<String> = times
        .iter()
        .map(|time| format!("{} {}", time.group, minutes(time.seconds)))
        .collect();
    let sum: f64 = times.iter().map(|time| time.seconds).sum();
    format!("{}; together {} min:s", each.join(", "), minutes(sum))
}

fn minutes(seconds: f64) -> String {
    let whole = seconds.max(0.0).round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Safety on paper: a compact list under the title.
pub(crate) fn put_safety(flow: &mut Flow, debrief: &Debrief, watch: Watch) {
    if debrief.safety.is_empty() {
        let runs = [(BOLD, "Safety"), (BODY, NOTHING)];
        flow.part(Tag::Paragraph, paragraph(&runs, SHEET_WIDTH, LEADING));
    } else {
        flow.part(Tag::Heading3, print::part_title("Safety"));
    }
    for event in &debrief.safety {
        let mut line = Drawing::new(SHEET_WIDTH, 0.0);
        let (head, words) = (headline(event), evidence(event));
        let time = paragraph(&[(SECOND, &watch.hms(event.start_s))], 70.0, LEADING);
        line.place(&time, 0.0, 0.0);
        let told = paragraph(
            &[(BOLD, &format!("{head}.")), (BODY, &words)],
            SHEET_WIDTH - 74.0,
            LEADING,
        );
        line.place(&told, 74.0, 0.0);
        line.height = told.height + 2.0;
        flow.part(Tag::Paragraph, line);
    }
    let unseen = not_watched(debrief).join("; ");
    if !unseen.is_empty() {
        let runs = [(SECOND, "Not watched:"), (SECOND, unseen.as_str())];
        flow.part(Tag::Paragraph, paragraph(&runs, SHEET_WIDTH, LEADING));
    }
}

/// How the time was spent, on paper.
pub(crate) fn put_times(flow: &mut Flow, debrief: &Debrief) {
    let words = times(debrief);
    if !words.is_empty() {
        flow.space(4.0);
        let runs = [(BOLD, "The whole flight"), (BODY, words.as_str())];
        flow.part(Tag::Paragraph, paragraph(&runs, SHEET_WIDTH, LEADING));
    }
}
