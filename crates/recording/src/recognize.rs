//! What each column measures.

use crate::Quantity;
use crate::table::{Kind, Table};
use crate::vocabulary::{Dimension, NameRule, Unit, VOCABULARY};
use crate::words::{HeaderWords, split_header};

/// What a column was taken for.
#[derive(Clone, Debug)]
pub struct Taken {
    /// What it measures.
    pub quantity: Quantity,
    /// Its unit.
    pub unit: Unit,
    /// `written`, `by the numbers`, `map`.
    pub unit_origin: &'static str,
    /// Points for this reading.
    pub score: f64,
    /// Why, in words.
    pub because: String,
}

/// How well the words of a header name a quantity: the rule's weight less what is left over.
pub fn name_score(words: &[String], rule: &NameRule) -> Option<f64> {
    let mut used = vec![false; words.len()];
    for &concept in &rule.concepts {
        let index = words.iter().enumerate().position(|(index, word)| {
            used.get(index) == Some(&false) && VOCABULARY.concepts_of(word).contains(&concept)
        })?;
        if let Some(slot) = used.get_mut(index) {
            *slot = true;
        }
    }
    let mut score = rule.weight + 0.3 * (rule.concepts.len() as f64 - 1.0);
    for (word, _) in words.iter().zip(&used).filter(|(_, used)| !**used) {
        score -= if word.bytes().all(|byte| byte.is_ascii_digit()) {
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
        };
    }
    (score > 0.5).then_some(score)
}

/// Candidates of one column by its words alone, best first.
pub fn by_words(words: &HeaderWords) -> Vec<(Quantity, Option<Unit>, f64)> {
    let mut out: Vec<(Quantity, Option<Unit>, f64)> = Vec::new();
    let mut readings: Vec<(&[String], Option<&Unit>)> = vec![(&words.words, words.unit.as_ref())];
    if let Some((unit, take)) = &words.trailing_unit
        && let Some(rest) = words.words.get(..words.words.len().saturating_sub(*take))
    {
        readings.push((rest, Some(unit)));
    }
    for (words, unit) in readings {
        for rule in &VOCABULARY.names {
            let Some(mut score) = name_score(words, rule) else {
                continue;
            };
            let dimension = rule.quantity.dimension();
            let unit = match unit {
                Some(unit) if fits(unit, dimension) => {
                    score += 1.5;
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

/// Takes every column for something.
pub fn recognize(table: &Table, clock_columns: &[usize]) -> Vec<Option<Taken>> {
    let words: Vec<HeaderWords> = table
        .columns
        .iter()
        .map(|column| split_header(&column.name, &column.unit_cell))
        .collect();
    let mut taken: Vec<Option<Taken>> = vec![None; table.columns.len()];
    let mut all: Vec<(f64, usize, Quantity, Option<Unit>)> = Vec::new();
    for (index, (column, words)) in table.columns.iter().zip(&words).enumerate() {
        if clock_columns.contains(&index) || column.kind != Kind::Number {
            continue;
        }
        for (quantity, unit, score) in by_words(words) {
            all.push((score, index, quantity, unit));
        }
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (score, index, quantity, unit) in all {
        let Some(slot) = taken.get_mut(index).filter(|slot| slot.is_none()) else {
            continue;
        };
        let default = VOCABULARY.units_of(quantity.dimension()).next();
        let Some(unit) = unit.or_else(|| default.cloned()) else {
            continue;
        };
        *slot = Some(Taken {
            quantity,
            unit,
            unit_origin: "written",
            score,
            because: "by its name".to_owned(),
        });
    }
    altitude_without_air_data(&mut taken);
    taken
}

/// A recorder without airspeed and altimeter setting has no static port: its plain "altitude" is the
/// satellites'.
fn altitude_without_air_data(taken: &mut [Option<Taken>]) {
    let has = |wanted: &[Quantity]| {
        taken
            .iter()
            .flatten()
            .any(|known| wanted.contains(&known.quantity))
    };
    let air_data = has(&[
        Quantity::AirspeedIndicated,
        Quantity::AirspeedCalibrated,
        Quantity::AirspeedTrue,
        Quantity::AltimeterSetting,
        Quantity::AltitudePressure,
        Quantity::AltitudeGnss,
    ]);
    if air_data {
        return;
    }
    for known in taken.iter_mut().flatten() {
        if known.quantity == Quantity::AltitudeIndicated && known.score < 5.5 {
            known.quantity = Quantity::AltitudeGnss;
        }
    }
}
