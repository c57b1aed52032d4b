//! The tables by kind.

use crate::by_kind::Kind;
use crate::report::spread;
use crate::tally::Tally;
use std::collections::{BTreeMap, BTreeSet};

/// Every kind of any fit, by name.
fn names(fits: &BTreeMap<String, Tally>) -> BTreeSet<&String> {
    fits.values()
        .flat_map(|tally| tally.by_kind.keys())
        .collect()
}

/// `1.20/3.40`, or a dash.
fn median_p90(errors: &[f64]) -> String {
    if errors.is_empty() {
        return "-".to_owned();
    }
    let (median, p90) = spread(errors);
    format!("{median:.1}/{p90:.1}")
}

/// What was found and how it was marked, one line for each kind and fit: 99 characters wide.
pub fn marks(fits: &BTreeMap<String, Tally>) {
    println!(
        "\nBY KIND AND FIT (bounds: median/90th percentile of start and end, s; marks: private and commercial,\n\
         agree and dis(agree) outside the noise band; n.m. = truth has the criterion and no mark answers it)"
    );
    println!(
        "{:<26}{:<8}{:>10}{:>11}{:>7}{:>5}{:>6}{:>7}{:>6}{:>7}{:>6}",
        "kind", "fit", "found", "bounds", "agree", "dis", "band", "close", "n.r.", "instr.", "n.m."
    );
    for name in names(fits) {
        for (fit, tally) in fits {
            if let Some(kind) = tally.by_kind.get(name) {
                println!("{name:<26}{}", row(fit, kind));
            }
        }
    }
    println!("\nNOT MARKED, by kind");
    for name in names(fits) {
        let mut missing: BTreeMap<&String, usize> = BTreeMap::new();
        for kind in fits.values().filter_map(|tally| tally.by_kind.get(name)) {
            for (criterion, count) in &kind.not_marked {
                *missing.entry(criterion).or_default() += count;
            }
        }
        if !missing.is_empty() {
            let words: Vec<String> = missing
                .iter()
                .map(|(criterion, count)| format!("{criterion} {count}"))
                .collect();
            println!("  {name:<26}{}", words.join(", "));
        }
    }
}

fn row(fit: &str, kind: &Kind) -> String {
    let found = kind.found;
    let not_marked: usize = kind.not_marked.values().sum();
    format!(
        "{fit:<8}{:>10}{:>11}{:>7}{:>5}{:>6}{:>7}{:>6}{:>7}{:>6}",
        format!("{}/{} +{}", found.found, found.truth, found.false_ones),
        median_p90(&kind.bounds),
        kind.agree,
        kind.disagree,
        kind.in_band,
        kind.too_close,
        kind.not_recorded,
        kind.for_instructor,
        not_marked
    )
}

/// Events by kind: 99 characters wide with four fits.
pub fn events(fits: &BTreeMap<String, Tally>) {
    println!(
        "\nEVENTS BY KIND, s: median/90th percentile of the absolute error, events found of those in the maneuvers found"
    );
    println!(
        "{:<23}{}",
        "",
        fits.keys()
            .map(|fit| format!("{fit:>19}"))
            .collect::<String>()
    );
    for name in names(fits) {
        let kinds = || fits.values().map(|tally| tally.by_kind.get(name));
        let events: BTreeSet<&String> = kinds()
            .flatten()
            .flat_map(|kind| kind.events.keys())
            .collect();
        if events.is_empty() {
            continue;
        }
        println!("{name}");
        for event in events {
            let cells: String = kinds()
                .map(|kind| {
                    let all = kind.and_then(|kind| kind.events.get(event));
                    format!("{:>19}", all.map_or("-".to_owned(), |all| cell(all)))
                })
                .collect();
            println!("  {event:<21}{cells}");
        }
    }
}

fn cell(all: &[Option<f64>]) -> String {
    let errors: Vec<f64> = all.iter().flatten().copied().collect();
    format!("{} {}/{}", median_p90(&errors), errors.len(), all.len())
}
