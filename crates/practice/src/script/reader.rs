//! Reading a TOML table by hand, so that whatever is wrong is told with its line, its column and how to mend it.

use aircraft::{Place, Problem};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The file that messages are about.
#[derive(Clone, Copy)]
pub(super) struct Page<'a> {
    pub text: &'a str,
    pub name: &'a str,
}

impl Page<'_> {
    pub fn problem(&self, at: usize, what: String, mend: &str) -> Problem {
        Problem {
            file: self.name.to_owned(),
            place: self.place(at),
            what,
            mend: mend.to_owned(),
        }
    }

    pub fn place(&self, at: usize) -> Place {
        Place::of(self.text, at)
    }
}

/// Least and greatest of a number, and its unit.
#[derive(Clone, Copy)]
pub(super) struct Range(pub f64, pub f64, pub &'static str);

/// One table of the file.
pub(super) struct Section<'p, 'a> {
    pub page: Page<'p>,
    pub table: &'p DeTable<'a>,
    /// How messages call it.
    pub called: String,
    /// Where it begins.
    pub at: usize,
}

impl<'p, 'a> Section<'p, 'a> {
    fn get(&self, key: &str) -> Option<&'p Spanned<DeValue<'a>>> {
        self.table.get(key)
    }

    /// Where the value of a key stands; the section's own place when it is not written.
    pub fn place(&self, key: &str) -> usize {
        self.get(key).map_or(self.at, |value| value.span().start)
    }

    /// Whether a key is written.
    pub fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Refuses what is not among the keys.
    pub fn only(&self, keys: &[&str]) -> Result<(), Problem> {
        for (key, _) in self.table {
            let name: &str = key.get_ref();
            if !keys.contains(&name) {
                let what = format!("'{name}' is no entry of {}", self.called);
                let mend = if keys.is_empty() {
                    "take it out: there are none".to_owned()
                } else {
                    format!("take it out or write one of {}", keys.join(", "))
                };
                return Err(self.page.problem(key.span().start, what, &mend));
            }
        }
        Ok(())
    }

    /// A number within a range.
    pub fn number(&self, key: &str, range: Range) -> Result<Option<f64>, Problem> {
        let Some(value) = self.get(key) else {
            return Ok(None);
        };
        let Range(least, most, unit) = range;
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        let mend = format!("write a number from {least} to {most}{unit}");
        let number = match value.get_ref() {
            DeValue::Integer(integer) => integer.to_string().parse::<f64>().ok(),
            DeValue::Float(float) => float.as_str().replace('_', "").parse::<f64>().ok(),
            _ => None,
        };
        let written = self.page.text.get(value.span()).unwrap_or_default();
        match number {
            Some(number) if (least..=most).contains(&number) => Ok(Some(number)),
            Some(_) => {
                let what = format!("{key} = {written} is out of range");
                Err(self.page.problem(value.span().start, what, &mend))
            }
            None => {
                let what = format!("{key} = {written} is no number");
                Err(self.page.problem(value.span().start, what, &mend))
            }
        }
    }

    /// A text.
    pub fn text(&self, key: &str) -> Result<Option<&'p str>, Problem> {
        match self.get(key).map(|value| (value.get_ref(), value.span())) {
            None => Ok(None),
            Some((DeValue::String(text), _)) => Ok(Some(text)),
            Some((_, span)) => {
                let written = self.page.text.get(span.clone()).unwrap_or_default();
                let what = format!("{key} = {written} is no text");
                Err(self
                    .page
                    .problem(span.start, what, "write it in quotation marks"))
            }
        }
    }

    /// One of some words.
    pub fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Result<Option<T>, Problem> {
        let Some(text) = self.text(key)? else {
            return Ok(None);
        };
        let found = words.iter().find(|(word, _)| *word == text);
        found.map(|(_, meant)| Some(*meant)).ok_or_else(|| {
            let known: Vec<String> = words
                .iter()
                .map(|(word, _)| format!("\"{word}\""))
                .collect();
            let what = format!("{key} = \"{text}\" is not known");
            let mend = format!("write one of {}", known.join(", "));
            self.page.problem(self.place(key), what, &mend)
        })
    }

    /// True or false.
    pub fn flag(&self, key: &str) -> Result<Option<bool>, Problem> {
        match self.get(key).map(|value| (value.get_ref(), value.span())) {
            None => Ok(None),
            Some((DeValue::Boolean(flag), _)) => Ok(Some(*flag)),
            Some((_, span)) => {
                let written = self.page.text.get(span.clone()).unwrap_or_default();
                let what = format!("{key} = {written} is neither true nor false");
                Err(self.page.problem(span.start, what, "write true or false"))
            }
        }
    }

    /// A table inside.
    pub fn section(&self, key: &str) -> Result<Option<Section<'p, 'a>>, Problem> {
        let Some(value) = self.get(key) else {
            return Ok(None);
        };
        self.inner(value, format!("[{key}]"))
            .map(Some)
            .ok_or_else(|| {
                let what = format!("'{key}' is no section");
                let mend = format!("write [{key}] on a line of its own, its entries below");
                self.page.problem(value.span().start, what, &mend)
            })
    }

    /// The tables of an array.
    pub fn list(&self, key: &str, mend: &str) -> Result<Vec<Section<'p, 'a>>, Problem> {
        let Some(value) = self.get(key) else {
            return Ok(Vec::new());
        };
        let wrong = |at: usize| self.page.problem(at, format!("'{key}' is no list"), mend);
        let DeValue::Array(array) = value.get_ref() else {
            return Err(wrong(value.span().start));
        };
        array
            .iter()
            .map(|one| {
                self.inner(one, format!("[[{key}]]"))
                    .ok_or_else(|| wrong(one.span().start))
            })
            .collect()
    }

    fn inner(&self, value: &'p Spanned<DeValue<'a>>, called: String) -> Option<Section<'p, 'a>> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Section {
                page: self.page,
                table,
                called,
                at: value.span().start,
            }),
            _ => None,
        }
    }
}
