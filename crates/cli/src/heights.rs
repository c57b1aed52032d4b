//! Where the height of each stall went: one line a maneuver, the shares adding up to the loss.

use crate::layout::wrapped;
use clap::builder::styling::Style;
use debrief::{Debrief, HeightLedger, ManeuverDebrief};
use std::fmt::Write as _;

const BOLD: Style = Style::new().bold();

/// The block of the summary; nothing where no maneuver has a ledger.
pub fn block(out: &mut String, debrief: &Debrief) {
    let told: Vec<(&ManeuverDebrief, String)> = debrief
        .maneuvers
        .iter()
        .filter_map(|one| Some((one, words(one.height_ledger.as_ref()?)?)))
        .collect();
    if told.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{BOLD}Where the height went, ft{BOLD:#}");
    for (maneuver, words) in told {
        wrapped(out, &format!("{:>3} ", maneuver.number), "      ", &words);
    }
}

/// `lost 265 ft: any recovery 147 ± 32, kept stalled 96 ± 31, power late 27 ± 22`; to the lowest point.
fn words(ledger: &HeightLedger) -> Option<String> {
    if let Some(why) = &ledger.why_not {
        return Some(format!("not told: {why}"));
    }
    let reading = ledger.readings.first()?;
    let whole = reading.whole_feet()?;
    let share = |name: &str, feet: i64, sigma: Option<f64>| {
        let sigma = sigma
            .filter(|sigma| sigma.is_finite() && *sigma >= 0.5)
            .map_or(String::new(), |sigma| format!(" ± {sigma:.0}"));
        let helped = if feet < 0 && name != reading.any_title {
            " (helped)"
        } else {
            ""
        };
        format!("{name} {feet}{sigma}{helped}")
    };
    let mut parts = vec![share(
        &reading.any_title,
        whole.any,
        reading.any_recovery.sigma,
    )];
    for (line, feet) in reading.lines.iter().zip(&whole.lines) {
        // What cannot be told from nothing either way is not praised.
        let mut words = share(&line.title, *feet, line.cost.sigma);
        let [_, high] = line.interval_ft;
        if high >= 0.0 {
            words = words.replace(" (helped)", " (perhaps helped)");
        }
        parts.push(words);
    }
    let verb = if whole.lost < 0 { "gained" } else { "lost" };
    Some(format!(
        "{verb} {} ft: {}",
        whole.lost.abs(),
        parts.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use debrief::{FactDebrief, LedgerLine, LedgerReading};

    fn feet(value: f64, sigma: f64) -> FactDebrief {
        FactDebrief {
            value,
            unit: "ft".to_owned(),
            sigma: Some(sigma),
            origin: "derived".to_owned(),
        }
    }

    #[test]
    fn regress_a_line_adds_up_and_says_what_helped() {
        let line =
            |title: &str, value, sigma| LedgerLine::new("x", title, feet(value, sigma), None);
        let ledger = HeightLedger {
            why_not: None,
            readings: vec![LedgerReading {
                name: "lowest_point".to_owned(),
                title: "to the lowest point".to_owned(),
                seconds: 13.0,
                lost: feet(264.6, 3.0),
                any_recovery: feet(147.2, 31.7),
                any_title: "any recovery".to_owned(),
                lines: vec![
                    line("kept stalled", 95.5, 30.7),
                    line("power late", 27.4, 21.8),
                    line("flaps left down", -5.5, 26.3),
                ],
            }],
            ..HeightLedger::missing("")
        };
        assert_eq!(
            words(&ledger).as_deref(),
            Some(
                "lost 265 ft: any recovery 147 ± 32, kept stalled 96 ± 31, power late 27 ± 22, flaps left down -5 ± 26 (perhaps helped)"
            )
        );
        let missing = HeightLedger::missing("the recovery was not seen");
        assert_eq!(
            words(&missing).as_deref(),
            Some("not told: the recovery was not seen")
        );
    }
}
