//! The words of the trade, read from `vocabulary.txt`: units, words and names.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::Quantity;

/// The kind of a unit: only units of a quantity's own kind can be its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// rad.
    Angle,
    /// m.
    Length,
    /// m/s.
    Speed,
    /// rad/s of the airframe.
    Rate,
    /// g.
    Load,
    /// Pa.
    Pressure,
    /// K.
    Temperature,
    /// rad/s of the engine.
    Revs,
    /// m³/s.
    Flow,
    /// Share of a full range.
    Ratio,
    /// 0 or 1.
    Flag,
    /// s.
    Time,
    /// Nothing that a quantity here is measured in.
    Other,
}

/// A unit: SI = written × factor + offset.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Short name, as in `--map CHANNEL=COLUMN:UNIT`.
    pub id: String,
    /// What it measures.
    pub dimension: Dimension,
    /// SI per unit.
    pub factor: f64,
    /// SI at zero of the unit.
    pub offset: f64,
}

/// One way to name a quantity.
pub struct NameRule {
    /// What it names.
    pub quantity: Quantity,
    /// How telling the name is.
    pub weight: f64,
    /// The concepts that must all be there.
    pub concepts: Vec<u16>,
}

/// The whole table.
pub struct Vocabulary {
    units: Vec<Unit>,
    unit_by_spelling: HashMap<String, usize>,
    concepts: Vec<String>,
    concepts_by_word: HashMap<String, Vec<u16>>,
    /// Every way to name a quantity.
    pub names: Vec<NameRule>,
}

/// The table that is built in.
pub static VOCABULARY: LazyLock<Vocabulary> =
    LazyLock::new(|| Vocabulary::parse(include_str!("vocabulary.txt")));

impl Vocabulary {
    fn parse(text: &str) -> Self {
        let mut table = Self {
            units: Vec::new(),
            unit_by_spelling: HashMap::new(),
            concepts: Vec::new(),
            concepts_by_word: HashMap::new(),
            names: Vec::new(),
        };
        for line in text.lines() {
            let line = line.trim();
            let Some((head, tail)) = line.split_once('=') else {
                continue;
            };
            let mut head = head.split_whitespace();
            match head.next() {
                Some("unit") => table.add_unit(head.collect::<Vec<_>>().as_slice(), tail),
                Some("word") => {
                    let concept = table.concept_for(head.next().unwrap_or_default());
                    for word in tail.split_whitespace() {
                        let known = table.concepts_by_word.entry(fold(word)).or_default();
                        if !known.contains(&concept) {
                            known.push(concept);
                        }
                    }
                }
                Some("name") => table.add_name(head.collect::<Vec<_>>().as_slice(), tail),
                _ => {}
            }
        }
        table
    }

    fn add_unit(&mut self, head: &[&str], spellings: &str) {
        let &[id, dimension, factor, offset] = head else {
            return;
        };
        let (Some(dimension), Ok(factor), Ok(offset)) = (
            Dimension::from_id(dimension),
            factor.parse(),
            offset.parse(),
        ) else {
            return;
        };
        let index = self.units.len();
        self.units.push(Unit {
            id: id.to_owned(),
            dimension,
            factor,
            offset,
        });
        for spelling in spellings.split('|') {
            self.unit_by_spelling
                .entry(fold_unit(spelling))
                .or_insert(index);
        }
        self.unit_by_spelling.entry(fold_unit(id)).or_insert(index);
    }

    fn add_name(&mut self, head: &[&str], concepts: &str) {
        let &[quantity, weight] = head else { return };
        let (Some(quantity), Ok(weight)) = (Quantity::from_id(quantity), weight.parse()) else {
            return;
        };
        let concepts = concepts
            .split_whitespace()
            .map(|word| self.concept_for(word))
            .collect();
        self.names.push(NameRule {
            quantity,
            weight,
            concepts,
        });
    }

    fn concept_for(&mut self, name: &str) -> u16 {
        let index = self
            .concepts
            .iter()
            .position(|known| known == name)
            .unwrap_or_else(|| {
                self.concepts.push(name.to_owned());
                self.concepts.len() - 1
            });
        u16::try_from(index).unwrap_or(u16::MAX)
    }

    /// The unit with this spelling, if it is one.
    pub fn unit(&self, spelling: &str) -> Option<&Unit> {
        let folded = fold_unit(spelling);
        self.unit_by_spelling
            .get(&folded)
            .and_then(|&index| self.units.get(index))
    }

    /// What a folded word can mean.
    pub fn concepts_of(&self, word: &str) -> &[u16] {
        self.concepts_by_word.get(word).map_or(&[], Vec::as_slice)
    }

    /// Whether a folded word means `concept`.
    pub fn means(&self, word: &str, concept: &str) -> bool {
        self.concepts_of(word).iter().any(|&index| {
            self.concepts
                .get(usize::from(index))
                .is_some_and(|name| name == concept)
        })
    }
}

impl Dimension {
    fn from_id(id: &str) -> Option<Self> {
        Some(match id {
            "angle" => Self::Angle,
            "length" => Self::Length,
            "speed" => Self::Speed,
            "rate" => Self::Rate,
            "load" => Self::Load,
            "pressure" => Self::Pressure,
            "temperature" => Self::Temperature,
            "revs" => Self::Revs,
            "flow" => Self::Flow,
            "ratio" => Self::Ratio,
            "flag" => Self::Flag,
            "time" => Self::Time,
            "other" => Self::Other,
            _ => return None,
        })
    }
}

/// Lower case, accents off, German letters spelled out, so that spellings compare.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars().flat_map(char::to_lowercase) {
        match letter {
            'ä' => out.push_str("ae"),
            'ö' => out.push_str("oe"),
            'ü' => out.push_str("ue"),
            'ß' => out.push_str("ss"),
            'é' | 'è' | 'ê' | 'ë' => out.push('e'),
            'á' | 'à' | 'â' | 'ã' => out.push('a'),
            'í' | 'ì' | 'î' | 'ï' => out.push('i'),
            'ó' | 'ò' | 'ô' | 'õ' => out.push('o'),
            'ú' | 'ù' | 'û' => out.push('u'),
            'ç' => out.push('c'),
            'ñ' => out.push('n'),
            other => out.push(other),
        }
    }
    out
}

/// Like [`fold`], and without blanks and dots; degree and micro signs are spelled out.
fn fold_unit(text: &str) -> String {
    fold(text)
        .replace(['°', 'º', '˚'], "deg")
        .replace(['µ', 'μ'], "u")
        .replace('²', "2")
        .replace(['^', '·'], "")
        .chars()
        .filter(|letter| !letter.is_whitespace() && *letter != '_')
        .collect::<String>()
        .trim_end_matches('.')
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every line of the table is understood, so that a typing slip in the data is seen.
    #[test]
    fn prop_no_line_of_the_table_is_lost() {
        let text = include_str!("vocabulary.txt");
        let count = |kind: &str| text.lines().filter(|line| line.starts_with(kind)).count();
        assert_eq!(VOCABULARY.units.len(), count("unit "));
        assert_eq!(VOCABULARY.names.len(), count("name "));
        for rule in &VOCABULARY.names {
            for &concept in &rule.concepts {
                assert!(
                    VOCABULARY
                        .concepts_by_word
                        .values()
                        .any(|list| list.contains(&concept)),
                    "no word for {:?}",
                    VOCABULARY.concepts.get(usize::from(concept))
                );
            }
        }
    }

    /// Factors against the definitions: international foot and nautical mile (1959, 1929), conventional
    /// inch of mercury (ISO 80000-4 / NIST SP 811, appendix B.8), US gallon of 231 cubic inches.
    #[test]
    fn val_unit_factors_are_the_published_ones() {
        for (spelling, factor) in [
            ("ft/min", 0.3048 / 60.0),
            ("KT", 1852.0 / 3600.0),
            ("inHg", 3386.389),
            ("gal/h", 231.0 * 0.0254_f64.powi(3) / 3600.0),
            ("°", std::f64::consts::PI / 180.0),
            ("m/s²", 1.0 / 9.80665),
        ] {
            let unit = VOCABULARY.unit(spelling).unwrap();
            assert!((unit.factor / factor - 1.0).abs() < 1e-6, "{spelling}");
        }
        let fahrenheit = VOCABULARY.unit("°F").unwrap();
        assert!((212.0 * fahrenheit.factor + fahrenheit.offset - 373.15).abs() < 1e-9);
    }
}
