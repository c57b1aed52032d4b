//! The tables that `make score` prints.

use crate::kind_table;
use crate::tally::{Findings, Found, Marks, Tally};
use std::collections::BTreeMap;

const FIVE: [&str; 5] = [
    "clearing_turns",
    "slow_flight",
    "steep_turn",
    "power_off_stall",
    "power_on_stall",
];

/// Median and 90th percentile of absolute values.
pub fn spread(errors: &[f64]) -> (f64, f64) {
    let mut sizes: Vec<f64> = errors.iter().map(|error| error.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let pick = |share: f64| {
        let index = ((sizes.len().saturating_sub(1)) as f64 * share).round() as usize;
        sizes.get(index).copied().unwrap_or(f64::NAN)
    };
    (pick(0.5), pick(0.9))
}

fn ratio(part: usize, whole: usize) -> String {
    if whole == 0 {
        "   -  ".to_owned()
    } else {
        format!("{:6.3}", part as f64 / whole as f64)
    }
}

fn sum_found<'a>(kinds: impl Iterator<Item = (&'a String, &'a Found)>) -> Found {
    kinds.fold(Found::default(), |mut sum, (_, kind)| {
        sum.truth += kind.truth;
        sum.found += kind.found;
        sum.false_ones += kind.false_ones;
        sum
    })
}

/// Prints everything, by instrument fit.
pub fn print(fits: &BTreeMap<String, Tally>) {
    recognition(fits);
    times(fits);
    kind_table::marks(fits);
    kind_table::events(fits);
    marks(fits);
    findings(fits);
}

fn recognition(fits: &BTreeMap<String, Tally>) {
    println!("MANEUVERS FOUND (same kind, overlap at least half of both)");
    println!(
        "{:<10}{:>8}{:>8}{:>18}{:>8}{:>8}{:>10}",
        "fit", "flights", "hours", "found/truth+false", "recall", "prec.", "false/h"
    );
    for (fit, tally) in fits {
        for (label, only_five) in [("five kinds", true), ("all kinds", false)] {
            let found = sum_found(
                tally
                    .kinds
                    .iter()
                    .filter(|(kind, _)| !only_five || FIVE.contains(&kind.as_str())),
            );
            println!(
                "{:<10}{:>8}{:>8.1}{:>18}{:>8}{:>8}{:>10.2}  {label}",
                fit,
                tally.flights,
                tally.hours,
                format!("{}/{} +{}", found.found, found.truth, found.false_ones),
                ratio(found.found, found.truth),
                ratio(found.found, found.found + found.false_ones),
                found.false_ones as f64 / tally.hours
            );
        }
    }
    let mut names: Vec<&String> = fits.values().flat_map(|tally| tally.kinds.keys()).collect();
    names.sort();
    names.dedup();
    println!(
        "\n{:<28}{}",
        "by kind",
        fits.keys()
            .map(|fit| format!("{fit:>14}"))
            .collect::<String>()
    );
    for name in names {
        let cells: String = fits
            .values()
            .map(|tally| {
                tally
                    .kinds
                    .get(name)
                    .map_or(format!("{:>14}", "-"), |kind| {
                        format!(
                            "{:>14}",
                            format!("{}/{} +{}", kind.found, kind.truth, kind.false_ones)
                        )
                    })
            })
            .collect();
        println!("{name:<28}{cells}");
    }
}

fn times(fits: &BTreeMap<String, Tally>) {
    println!("\nTIMES, s: median / 90th percentile of the absolute error (count)");
    let mut names: Vec<&String> = fits
        .values()
        .flat_map(|tally| tally.events.keys())
        .collect();
    names.sort();
    names.dedup();
    println!(
        "{:<22}{}",
        "",
        fits.keys()
            .map(|fit| format!("{fit:>20}"))
            .collect::<String>()
    );
    let row = |name: &str, pick: &dyn Fn(&Tally) -> Vec<f64>| {
        let cells: String = fits
            .values()
            .map(|tally| {
                let errors = pick(tally);
                let (median, p90) = spread(&errors);
                if errors.is_empty() {
                    format!("{:>20}", "-")
                } else {
                    format!(
                        "{:>20}",
                        format!("{median:.2} / {p90:.2} ({})", errors.len())
                    )
                }
            })
            .collect();
        println!("{name:<22}{cells}");
    };
    row("start", &|tally| tally.start.clone());
    row("end", &|tally| tally.end.clone());
    for name in names {
        row(name, &|tally| {
            tally.events.get(name).cloned().unwrap_or_default()
        });
    }
    row("height lost, ft", &|tally| tally.altitude_lost_ft.clone());
    println!("\nFULL STALL OR CUE (called cue / cannot tell / called full)");
    for (fit, tally) in fits {
        let [cue, full] = tally.full_or_cue;
        println!("{fit:<10} truly a cue recovery {cue:?}   truly full {full:?}");
    }
}

fn marks(fits: &BTreeMap<String, Tally>) {
    println!(
        "\nMARKS, private and commercial together; outside the noise band; 95 = share of truths inside the 95 % interval of the worst"
    );
    for (fit, tally) in fits {
        println!(
            "{:<28}{:>8}{:>9}{:>9}{:>10}{:>9}{:>9}{:>8}{:>7}",
            fit, "agree", "disagree", "in band", "too close", "not rec.", "instr.", "missing", "95"
        );
        let mut sum = Marks::default();
        for (criterion, counts) in &tally.criteria {
            mark_row(criterion, counts);
            sum = add(sum, counts);
        }
        mark_row("all", &sum);
        let decided = sum.agree + sum.disagree;
        let asked = decided + sum.agree_near + sum.disagree_near + sum.too_close;
        println!(
            "  agreement {} of {decided} decided; too close {} of {asked}\n",
            ratio(sum.agree, decided),
            ratio(sum.too_close, asked)
        );
    }
}

fn add(mut sum: Marks, counts: &Marks) -> Marks {
    sum.agree += counts.agree;
    sum.disagree += counts.disagree;
    sum.agree_near += counts.agree_near;
    sum.disagree_near += counts.disagree_near;
    sum.too_close += counts.too_close;
    sum.not_recorded += counts.not_recorded;
    sum.for_instructor += counts.for_instructor;
    sum.missing += counts.missing;
    sum.inside_95 += counts.inside_95;
    sum.intervals += counts.intervals;
    sum
}

fn mark_row(name: &str, counts: &Marks) {
    println!(
        "  {name:<26}{:>8}{:>9}{:>9}{:>10}{:>9}{:>9}{:>8}{:>7}",
        counts.agree,
        counts.disagree,
        format!("{}-{}", counts.agree_near, counts.disagree_near),
        counts.too_close,
        counts.not_recorded,
        counts.for_instructor,
        counts.missing,
        ratio(counts.inside_95, counts.intervals)
    );
}

fn findings(fits: &BTreeMap<String, Tally>) {
    println!(
        "FINDINGS against injected errors whose motion broke a limit (raised of owed; right of raised)"
    );
    for (fit, tally) in fits {
        let mut sum = Findings::default();
        for (id, counts) in &tally.findings {
            println!(
                "  {fit:<10}{id:<32}{:>10}{:>10}",
                format!("{}/{}", counts.raised_of_owed, counts.owed),
                format!("{}/{}", counts.right, counts.raised)
            );
            sum.owed += counts.owed;
            sum.owed_decided += counts.owed_decided;
            sum.raised += counts.raised;
            sum.raised_of_owed += counts.raised_of_owed;
            sum.right += counts.right;
        }
        println!(
            "  {fit:<10}{:<8}recall {} (of those whose marks were decided {}) precision {}",
            "all",
            ratio(sum.raised_of_owed, sum.owed),
            ratio(sum.raised_of_owed, sum.owed_decided),
            ratio(sum.right, sum.raised)
        );
    }
}
