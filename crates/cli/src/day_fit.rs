//! The aircraft as flown: one line a figure, beside the aircraft file's.

use crate::layout::wrapped;
use crate::summary::number;
use clap::builder::styling::Style;
use debrief::Debrief;
use std::fmt::Write as _;

const BOLD: Style = Style::new().bold();

/// The block of the summary.
pub fn block(out: &mut String, debrief: &Debrief) {
    let Some(fit) = &debrief.fit_of_the_day else {
        return;
    };
    let _ = writeln!(out, "\n{BOLD}The aircraft as flown{BOLD:#}");
    for row in fit.shown() {
        let flown = row
            .flown
            .map_or(String::new(), |value| number(value, row.sigma, &row.unit));
        let file = row.file.map_or(String::new(), |value| {
            format!("aircraft file {value:.0} {}", row.unit)
        });
        let line = format!("  {:<40}{flown:<18}{file}", row.name);
        let _ = writeln!(out, "{}", line.trim_end());
    }
    for words in &fit.words {
        wrapped(out, "  ", "  ", words);
    }
    let missing = fit.not_shown();
    if !missing.is_empty() {
        let words = format!("Not shown: {}.", missing.join("; "));
        wrapped(out, "  ", "      ", &words);
    }
    wrapped(out, "  ", "  ", &fit.caution);
}
