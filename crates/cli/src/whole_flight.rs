//! What could have hurt, and how the time was spent: the first lines of the summary.

use crate::layout::wrapped;
use crate::summary::clock;
use clap::builder::styling::{AnsiColor, Style};
use debrief::Debrief;
use std::fmt::Write as _;

const BOLD: Style = Style::new().bold();
const BEYOND: Style = AnsiColor::Red.on_default();

/// Safety events, the gravest first, and what could not be watched.
pub fn safety(out: &mut String, debrief: &Debrief) {
    let _ = writeln!(out, "\n{BOLD}Safety{BOLD:#}");
    if debrief.safety.is_empty() {
        let _ = writeln!(out, "  nothing beyond a limit, as far as it was watched");
    }
    for event in &debrief.safety {
        let number = event
            .maneuver
            .map_or(String::new(), |number| format!(", in {number}"));
        let sure = if event.sure { "" } else { ", probably" };
        let _ = writeln!(
            out,
            "  {} {BEYOND}{}{sure}{BEYOND:#}{number}",
            clock(debrief, event.start_s),
            event.headline
        );
        wrapped(out, "      ", "      ", &event.words);
        wrapped(out, "      ", "      ", &format!("Limit: {}", event.source));
    }
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in &debrief.safety_not_watched {
        match reasons.iter_mut().find(|(why, _)| *why == one.why) {
            Some((_, names)) => names.push(&one.headline),
            None => reasons.push((&one.why, vec![&one.headline])),
        }
    }
    for (why, names) in reasons {
        let words = format!("Not watched, as {why}: {}", names.join("; "));
        wrapped(out, "  ", "      ", &words);
    }
}

/// How the time was spent, in one paragraph; the sum is the flight.
pub fn times(out: &mut String, debrief: &Debrief) {
    let times = &debrief.lesson.times;
    if times.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{BOLD}The whole flight{BOLD:#}");
    let each: Vec<String> = times
        .iter()
        .map(|time| format!("{} {}", time.group, minutes(time.seconds)))
        .collect();
    let sum: f64 = times.iter().map(|time| time.seconds).sum();
    let words = format!("{}; together {} min:s", each.join(", "), minutes(sum));
    wrapped(out, "  ", "  ", &words);
}

/// `14:02`, minutes and seconds.
fn minutes(seconds: f64) -> String {
    let whole = seconds.max(0.0).round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}
