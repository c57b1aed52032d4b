//! Reading one table of the file entry by entry, with everything odd put into the report.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::suggest;
use crate::place::{Notice, Place, Problem};

/// A unit that an entry may be written in: the end of its name, and SI per unit.
pub(crate) type Unit = (&'static str, f64);

/// What one number of the file may be.
pub(crate) struct Quantity {
    /// Name without its unit.
    pub stem: &'static str,
    /// Units it may be written in; the first is the one that messages suggest.
    pub units: &'static [Unit],
    /// Lowest and highest sensible value, SI.
    pub range: (f64, f64),
}

/// Where an entry stands and how it was spelled, for messages that concern two entries.
#[derive(Clone, Debug)]
pub(crate) struct Spot {
    pub place: Place,
    pub key: String,
}

/// Everything that reading finds.
pub(crate) struct Report<'t> {
    file: String,
    text: &'t str,
    pub problems: Vec<Problem>,
    pub notices: Vec<Notice>,
    /// Lines that the TOML parser refused; what else they say is not to be trusted.
    pub broken_lines: Vec<usize>,
    spots: BTreeMap<String, Spot>,
}

impl<'t> Report<'t> {
    pub fn new(file: &str, text: &'t str) -> Self {
        Self {
            file: file.to_owned(),
            text,
            problems: Vec::new(),
            notices: Vec::new(),
            broken_lines: Vec::new(),
            spots: BTreeMap::new(),
        }
    }

    pub fn place(&self, offset: usize) -> Place {
        Place::of(self.text, offset)
    }

    pub fn problem(&mut self, place: Place, what: impl Into<String>, mend: impl Into<String>) {
        let problem = Problem {
            file: self.file.clone(),
            place,
            what: what.into(),
            mend: mend.into(),
        };
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }

    pub fn notice(
        &mut self,
        place: Option<Place>,
        what: impl Into<String>,
        mend: impl Into<String>,
        criteria: &[&'static str],
    ) {
        self.notices.push(Notice {
            file: self.file.clone(),
            place,
            what: what.into(),
            mend: mend.into(),
            criteria: criteria.to_vec(),
        });
    }

    /// Where the entry of that path (`speeds.vs0`, `flaps.1.limit`) stands; the top when it does not.
    pub fn spot(&self, path: &str) -> Spot {
        self.spots.get(path).cloned().unwrap_or_else(|| Spot {
            place: Place { line: 1, column: 1 },
            key: path.rsplit('.').next().unwrap_or(path).to_owned(),
        })
    }

    pub fn remember(&mut self, path: String, place: Place, key: &str) {
        self.spots.insert(
            path,
            Spot {
                place,
                key: key.to_owned(),
            },
        );
    }
}

/// One table of the file while it is read.
pub(crate) struct Section<'a, 'i> {
    /// `speeds`, `flaps.0` …: the path that spots are remembered under; empty at the top.
    path: String,
    /// As a person would say it: `the entries of [speeds]`.
    label: String,
    table: &'a DeTable<'i>,
    known: Vec<String>,
}

impl<'a, 'i> Section<'a, 'i> {
    pub fn new(path: &str, label: &str, table: &'a DeTable<'i>) -> Self {
        Self {
            path: path.to_owned(),
            label: label.to_owned(),
            table,
            known: Vec::new(),
        }
    }

    fn find(&self, report: &Report<'_>, key: &str) -> Option<(Place, &'a DeValue<'i>)> {
        let (name, value) = self.table.iter().find(|(name, _)| name.get_ref() == key)?;
        let place = report.place(name.span().start);
        (!report.broken_lines.contains(&place.line)).then_some((place, value.get_ref()))
    }

    fn child_path(&self, name: &str) -> String {
        if self.path.is_empty() {
            name.to_owned()
        } else {
            format!("{}.{name}", self.path)
        }
    }

    /// A number in SI, from whichever of its units the file uses.
    pub fn number(&mut self, report: &mut Report<'_>, quantity: &Quantity) -> Option<f64> {
        let mut found: Option<(f64, Place, String)> = None;
        for (unit, si_per_unit) in quantity.units {
            let key = format!("{}_{unit}", quantity.stem);
            self.known.push(key.clone());
            let Some((place, value)) = self.find(report, &key) else {
                continue;
            };
            if let Some((_, earlier, other)) = &found {
                report.problem(
                    place,
                    format!(
                        "{key} says again what {other} says on line {}",
                        earlier.line
                    ),
                    "keep one of the two",
                );
                continue;
            }
            let Some(number) = plain_number(report, place, &key, value) else {
                continue;
            };
            let si = number * si_per_unit;
            let (low, high) = quantity.range;
            if !(low..=high).contains(&si) {
                report.problem(
                    place,
                    format!(
                        "{key} = {number} is not {} to {}",
                        rounded(low / si_per_unit),
                        rounded(high / si_per_unit)
                    ),
                    format!("check the number and its unit ({unit})"),
                );
                continue;
            }
            found = Some((si, place, key));
        }
        let (si, place, key) = found?;
        report.remember(self.child_path(quantity.stem), place, &key);
        Some(si)
    }

    /// Whether the file has an entry of that name, readable or not.
    pub fn has(&self, key: &str) -> bool {
        self.table.iter().any(|(name, _)| name.get_ref() == key)
    }

    /// Where the section begins.
    pub fn place(&self, report: &Report<'_>) -> Place {
        report.spot(&self.path).place
    }

    /// A piece of text.
    pub fn text(&mut self, report: &mut Report<'_>, key: &str) -> Option<(String, Place)> {
        self.known.push(key.to_owned());
        let (place, value) = self.find(report, key)?;
        let Some(text) = value.as_str() else {
            report.problem(
                place,
                format!("{key} is {}, not text", kind_of(value)),
                format!("put it in quotes: {key} = \"…\""),
            );
            return None;
        };
        report.remember(self.child_path(key), place, key);
        Some((text.to_owned(), place))
    }

    /// A table under this one, such as `[speeds]`.
    pub fn child(&mut self, report: &mut Report<'_>, key: &str) -> Option<Section<'a, 'i>> {
        self.known.push(key.to_owned());
        let (place, value) = self.find(report, key)?;
        let Some(table) = value.as_table() else {
            report.problem(
                place,
                format!("{key} is {}, not a section", kind_of(value)),
                format!("write its entries below a line that says [{key}]"),
            );
            return None;
        };
        report.remember(self.child_path(key), place, key);
        Some(Section::new(
            &self.child_path(key),
            &format!("the entries of [{key}]"),
            table,
        ))
    }

    /// Repeated tables, such as `[[flaps]]`, in the order of the file. `None` when absent.
    pub fn children(&mut self, report: &mut Report<'_>, key: &str) -> Option<Vec<Section<'a, 'i>>> {
        self.known.push(key.to_owned());
        let (place, value) = self.find(report, key)?;
        let list = value.as_array().map(|array| {
            array
                .iter()
                .map(|item| (item.span().start, item.get_ref().as_table()))
                .collect::<Vec<_>>()
        });
        let mend =
            format!("begin each of them with a line that says [[{key}]], in double brackets");
        let Some(list) = list else {
            report.problem(
                place,
                format!("{key} is {}, not a list", kind_of(value)),
                mend,
            );
            return None;
        };
        report.remember(self.child_path(key), place, key);
        let mut sections = Vec::new();
        for (number, (offset, table)) in list.into_iter().enumerate() {
            let at = report.place(offset);
            let Some(table) = table else {
                report.problem(
                    at,
                    format!("{key} has an item without entries"),
                    mend.clone(),
                );
                continue;
            };
            let path = self.child_path(&format!("{key}.{number}"));
            report.remember(path.clone(), at, key);
            sections.push(Section::new(
                &path,
                &format!("the entries of [[{key}]] number {}", number + 1),
                table,
            ));
        }
        Some(sections)
    }

    /// Tells what was written but never asked for. `elsewhere` gives the section where a name belongs.
    pub fn finish(self, report: &mut Report<'_>, elsewhere: impl Fn(&str) -> Option<&'static str>) {
        for (name, _) in self.table {
            let key = name.get_ref();
            let place = report.place(name.span().start);
            if self.known.iter().any(|known| known == key)
                || report.broken_lines.contains(&place.line)
            {
                continue;
            }
            let what = format!("{key} is not one of {}", self.label);
            if let Some(section) = elsewhere(key) {
                report.problem(place, what, format!("move it below {section}"));
            } else if let Some(meant) = suggest::nearest(key, &self.known) {
                report.problem(place, what, format!("did you mean {meant}?"));
            } else {
                report.notice(
                    Some(place),
                    format!("{what} and is not used"),
                    "remove it, or make it a comment with #",
                    &[],
                );
            }
        }
    }
}

fn plain_number(
    report: &mut Report<'_>,
    place: Place,
    key: &str,
    value: &DeValue<'_>,
) -> Option<f64> {
    let number = match value {
        DeValue::Integer(digits) => i64::from_str_radix(digits.as_str(), digits.radix())
            .ok()
            .map(|whole| whole as f64),
        DeValue::Float(digits) => digits.as_str().parse::<f64>().ok(),
        _ => None,
    };
    match number {
        Some(number) if number.is_finite() => Some(number),
        Some(_) => {
            report.problem(
                place,
                format!("{key} is not a finite number"),
                "write the number from the manual, or remove the line",
            );
            None
        }
        None => {
            report.problem(
                place,
                format!("{key} is {}, not a number", kind_of(value)),
                format!("write the bare number, for example {key} = 50.5; its unit is in the name"),
            );
            None
        }
    }
}

fn kind_of(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text in quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a section",
    }
}

/// A limit as a person would write it: three figures, no trailing zeros.
fn rounded(value: f64) -> String {
    let size = value.abs();
    let digits = if size >= 100.0 || size == 0.0 {
        0
    } else if size >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
