//! How well the words of a header name a quantity.

use crate::Quantity;
use crate::vocabulary::{Dimension, NameRule, Unit, VOCABULARY};
use crate::words::HeaderWords;

/// Points of one rule: its weight less what is left over in the name; `None` when it does not apply.
#[allow(clippy::cast_precision_loss)]
fn name_score(words: &[(&[u16], f64)], rule: &NameRule) -> Option<f64> {
    // A bit a word; names of more words than that have no meaning that is listed.
    let mut used = 0_u32;
    for concept in &rule.concepts {
        let index = words
            .iter()
            .take(32)
            .enumerate()
            .position(|(index, (concepts, _))| {
                used & (1 << index) == 0 && concepts.contains(concept)
            })?;
        used |= 1 << index;
    }
    let left: f64 = words
        .iter()
        .enumerate()
        .filter(|(index, _)| *index >= 32 || used & (1 << index) == 0)
        .map(|(_, (_, cost))| cost)
        .sum();
    let score = rule.weight + 0.3 * (rule.concepts.len() as f64 - 1.0) - left;
    (score > 0.5).then_some(score)
}

/// What a word costs that the rule does not need.
fn left_over(word: &str) -> f64 {
    if word.bytes().all(|byte| byte.is_ascii_digit()) {
        0.3
    } else if VOCABULARY.means(word, "not_here") {
        4.0
    } else if ["position", "pilot", "attitude", "utc"]
        .iter()
        .any(|filler| VOCABULARY.means(word, filler))
    {
        0.3
    } else if VOCABULARY.concepts_of(word).is_empty() {
        0.7
    } else {
        2.0
    }
}

/// Candidates of a column by its words and its written unit, best first.
pub fn by_words(words: &HeaderWords) -> Vec<(Quantity, Option<Unit>, f64)> {
    let mut out: Vec<(Quantity, Option<Unit>, f64)> = Vec::new();
    let mut readings: Vec<(&[String], Option<&Unit>)> = vec![(&words.words, words.unit.as_ref())];
    if let Some((unit, take)) = &words.trailing_unit
        && let Some(rest) = words.words.get(..words.words.len().saturating_sub(*take))
    {
        readings.push((rest, Some(unit)));
    }
    for (words, unit) in readings {
        let words: Vec<(&[u16], f64)> = words
            .iter()
            .map(|word| (VOCABULARY.concepts_of(word), left_over(word)))
            .collect();
        for rule in &VOCABULARY.names {
            let Some(mut score) = name_score(&words, rule) else {
                continue;
            };
            let unit = match unit {
                Some(unit) if fits(unit, rule.quantity.dimension()) => {
                    score += 0.5;
                    Some(unit.clone())
                }
                Some(_) => {
                    score -= 3.0;
                    None
                }
                None => None,
            };
            match out
                .iter_mut()
                .find(|(quantity, ..)| *quantity == rule.quantity)
            {
                Some(known) if known.2 < score => *known = (rule.quantity, unit, score),
                Some(_) => {}
                None => out.push((rule.quantity, unit, score)),
            }
        }
    }
    out.retain(|(.., score)| *score > 0.0);
    out.sort_by(|a, b| b.2.total_cmp(&a.2));
    out
}

/// Whether a unit can be the unit of a quantity of this dimension.
pub fn fits(unit: &Unit, dimension: Dimension) -> bool {
    unit.dimension == dimension
        || matches!(
            (dimension, unit.dimension),
            (Dimension::Flag, Dimension::Ratio | Dimension::Flag)
                | (Dimension::Ratio, Dimension::Flag | Dimension::Angle)
        )
        || dimension == Dimension::Other
}
