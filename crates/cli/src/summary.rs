//! The debrief as text for an 80-column terminal: one line a maneuver, then the marks that are not
//! `met`, then the findings, worst first.

use crate::day_fit;
use crate::heights;
use crate::layout::wrapped;
use crate::whole_flight;
use clap::builder::styling::{AnsiColor, Style};
use debrief::{Debrief, FactDebrief, ManeuverDebrief};
use standard::{Mark, Verdict};
use std::fmt::Write as _;

const BOLD: Style = Style::new().bold();
const BEYOND: Style = AnsiColor::Red.on_default();
const DIM: Style = Style::new().dimmed();

/// The whole summary, with styles that the output stream strips when it is not a terminal.
#[must_use]
pub fn text(debrief: &Debrief) -> String {
    let mut out = String::new();
    header(&mut out, debrief);
    whole_flight::safety(&mut out, debrief);
    whole_flight::times(&mut out, debrief);
    list(&mut out, debrief);
    open_marks(&mut out, debrief);
    findings(&mut out, debrief);
    heights::block(&mut out, debrief);
    day_fit::block(&mut out, debrief);
    let _ = writeln!(out);
    wrapped(&mut out, "", "", &debrief.caution);
    out
}

fn header(out: &mut String, debrief: &Debrief) {
    let recording = &debrief.recording;
    let _ = writeln!(out, "{BOLD}{}{BOLD:#}", recording.name);
    let minutes = recording.duration_s / 60.0;
    let holes = match recording.gaps.len() {
        0 => "no gaps".to_owned(),
        1 => "1 gap".to_owned(),
        many => format!("{many} gaps"),
    };
    wrapped(
        out,
        "  ",
        "  ",
        &format!(
            "{}, a sample every {} s, {minutes:.0} min, {holes}; aircraft {}",
            fit_words(&recording.fit),
            trimmed(recording.interval_s),
            debrief.aircraft.name
        ),
    );
    wrapped(
        out,
        "  ",
        "  ",
        &format!("{}, {}", debrief.standard.title, debrief.standard.edition),
    );
    let wind = match (debrief.flight.wind_from_deg, debrief.flight.wind_kt) {
        (Some(from), Some(speed)) => {
            let sigma = debrief
                .flight
                .wind_sigma_kt
                .map_or(String::new(), |sigma| format!(" ± {sigma:.0}"));
            format!(", wind {from:03.0}° {speed:.0}{sigma} kt")
        }
        _ => String::new(),
    };
    wrapped(
        out,
        "  ",
        "  ",
        &format!("air {}{wind}", debrief.flight.air),
    );
    for remark in recording
        .notes
        .iter()
        .take(3)
        .chain(debrief.flight.remarks.iter().take(3))
    {
        wrapped(out, "  ", "    ", remark);
    }
}

fn list(out: &mut String, debrief: &Debrief) {
    let time = if debrief.recording.start_utc.is_some() {
        "UTC"
    } else {
        "min:s"
    };
    let _ = writeln!(
        out,
        "\n{BOLD}  # {time:<8}  {:<31}{:>8}{:>6}{:>5}{:>14}{BOLD:#}",
        "Maneuver", "not met", "close", "met", "height lost"
    );
    if debrief.maneuvers.is_empty() {
        let _ = writeln!(out, "  none found");
    }
    for maneuver in &debrief.maneuvers {
        let title: String = maneuver.title.chars().take(31).collect();
        let _ = write!(
            out,
            "{:>3} {}  {title:<31}",
            maneuver.number,
            clock(debrief, maneuver.start_s)
        );
        let _ = writeln!(out, "{}", counts(maneuver).trim_end());
    }
}

/// How many elements got which answer, and the height lost, as columns.
fn counts(maneuver: &ManeuverDebrief) -> String {
    if !maneuver.marked {
        return format!("{DIM}  found, not marked{DIM:#}");
    }
    let count = |verdict| {
        let number = maneuver
            .marks
            .iter()
            .filter(|mark| mark.mark == verdict)
            .count();
        if number == 0 {
            "-".to_owned()
        } else {
            number.to_string()
        }
    };
    let lost = maneuver
        .facts
        .get("altitude_lost_ft")
        .map_or(String::new(), figure);
    format!(
        "{BEYOND}{:>8}{BEYOND:#}{:>6}{:>5}{lost:>14}",
        count(Verdict::NotMet),
        count(Verdict::TooClose),
        count(Verdict::Met)
    )
}

fn open_marks(out: &mut String, debrief: &Debrief) {
    let groups = [
        (Verdict::NotMet, "Not met"),
        (Verdict::TooClose, "Too close to call"),
        (Verdict::NotRecorded, "Not recorded"),
        (Verdict::ForInstructor, "For the instructor"),
    ];
    for (verdict, title) in groups {
        let mut lines: Vec<(String, Vec<String>)> = Vec::new();
        for maneuver in debrief.maneuvers.iter().filter(|maneuver| maneuver.marked) {
            for mark in maneuver.marks.iter().filter(|mark| mark.mark == verdict) {
                let words = mark_words(mark, verdict);
                // What a person judges, or the recorder lacks, repeats from maneuver to maneuver.
                match lines.iter_mut().find(|(known, _)| *known == words) {
                    Some((_, numbers)) => numbers.push(maneuver.number.to_string()),
                    None => lines.push((words, vec![maneuver.number.to_string()])),
                }
            }
        }
        if lines.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\n{BOLD}{title}{BOLD:#}");
        for (words, numbers) in lines {
            wrapped(
                out,
                "  ",
                "      ",
                &format!("{}: {words}", numbers.join(", ")),
            );
        }
    }
}

fn mark_words(mark: &Mark, verdict: Verdict) -> String {
    let mut words = format!("{} {}", mark.element, mark.quantity);
    let measured = matches!(verdict, Verdict::NotMet | Verdict::TooClose);
    if let (true, Some(worst)) = (measured, mark.worst) {
        let _ = write!(words, ", {}", number(worst, mark.sigma, &mark.unit));
        let _ = write!(words, "{}", limits(mark));
    }
    if !mark.note.is_empty() {
        let _ = write!(words, "; {}", mark.note);
    }
    words
}

/// The limits, with no more digits than the measurement has: a heading that was inferred to a
/// hundredth of a degree is not known to one.
fn limits(mark: &Mark) -> String {
    let unit = unit_words(&mark.unit);
    let digits = mark.sigma.map_or(2, digits);
    let show = |limit: f64| trim(format!("{limit:.digits$}"));
    match (mark.low, mark.high) {
        (Some(low), Some(high)) => format!(" (limits {} to {}{unit})", show(low), show(high)),
        (Some(low), None) => format!(" (at least {}{unit})", show(low)),
        (None, Some(high)) => format!(" (at most {}{unit})", show(high)),
        (None, None) => String::new(),
    }
}

fn findings(out: &mut String, debrief: &Debrief) {
    let any = debrief
        .maneuvers
        .iter()
        .any(|maneuver| !maneuver.findings.is_empty());
    if !any {
        return;
    }
    let _ = writeln!(
        out,
        "\n{BOLD}Findings, worst first in each maneuver{BOLD:#}"
    );
    for maneuver in &debrief.maneuvers {
        for finding in &maneuver.findings {
            let _ = writeln!(
                out,
                "  {}  {} {BOLD}{}{BOLD:#}",
                maneuver.number,
                clock(debrief, finding.at_s),
                finding.headline
            );
            wrapped(out, "      ", "      ", &finding.evidence);
            wrapped(
                out,
                "      ",
                "      ",
                &format!("Try: {} ({})", finding.advice, finding.source),
            );
        }
    }
}

/// UTC clock time of a moment, or minutes and seconds from the start where the date is not known.
#[must_use]
pub fn clock(debrief: &Debrief, at_s: f64) -> String {
    let start = debrief
        .recording
        .start_utc
        .as_deref()
        .and_then(|text| text.parse::<jiff::Timestamp>().ok());
    match start {
        Some(start) => {
            let second = start.as_second() + at_s.round() as i64;
            let day = second.rem_euclid(86_400);
            format!("{:02}:{:02}:{:02}", day / 3600, day / 60 % 60, day % 60)
        }
        None => {
            let whole = at_s.max(0.0).round() as u64;
            format!("{:>5}:{:02}", whole / 60, whole % 60)
        }
    }
}

fn figure(fact: &FactDebrief) -> String {
    number(fact.value, fact.sigma, &fact.unit)
}

/// A number that shows no more digits than its σ supports.
pub fn number(value: f64, sigma: Option<f64>, unit: &str) -> String {
    let unit = unit_words(unit);
    match sigma.filter(|sigma| sigma.is_finite() && *sigma > 0.0) {
        Some(sigma) => {
            let digits = digits(sigma);
            format!("{value:.digits$} ± {sigma:.digits$}{unit}")
        }
        None => format!("{}{unit}", trimmed(value)),
    }
}

fn unit_words(unit: &str) -> String {
    match unit {
        "" | "1" => String::new(),
        "deg" => "°".to_owned(),
        "deg/s" => "°/s".to_owned(),
        other => format!(" {other}"),
    }
}

/// Decimals that a σ of this size leaves worth printing.
fn digits(sigma: f64) -> usize {
    if sigma >= 1.0 {
        0
    } else if sigma >= 0.1 {
        1
    } else if sigma >= 0.01 {
        2
    } else {
        3
    }
}

fn trimmed(value: f64) -> String {
    trim(format!("{value:.2}"))
}

fn trim(text: String) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn fit_words(fit: &str) -> &'static str {
    match fit {
        "rich" => "air data, attitude, engine, flaps and controls",
        "panel" => "air data, attitude and engine; no flaps or controls",
        "gnss_attitude" => "GNSS and attitude, no air data",
        "gnss" => "GNSS only",
        _ => "a sparse recording",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regress_digits_follow_sigma() {
        assert_eq!(number(26.37, Some(2.1), "deg"), "26 ± 2°");
        assert_eq!(number(0.0549, Some(0.008), "g"), "0.055 ± 0.008 g");
        assert_eq!(number(1.43, Some(0.21), "s"), "1.4 ± 0.2 s");
    }
}
