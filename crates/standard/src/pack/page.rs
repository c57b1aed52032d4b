//! What a page shows of a pack: what each element asks for, and what only a person can judge.

use super::{Criterion, EMBEDDED, Element, LimitFrom, Measure, Pack, Target, Task};

impl Pack {
    /// Every pack that comes with the program, read, as [`EMBEDDED`] lists them.
    #[must_use]
    pub fn embedded() -> Vec<Pack> {
        EMBEDDED
            .iter()
            .filter_map(|(id, _)| super::pack(id).ok())
            .collect()
    }

    /// The text of a pack that comes with the program; whoever keeps it can tell that the pack has changed.
    #[must_use]
    pub fn embedded_text(id: &str) -> Option<&'static str> {
        EMBEDDED
            .iter()
            .find(|(known, _)| *known == id)
            .map(|(_, text)| *text)
    }
}

impl Task {
    /// Full code of one of its elements, as marks carry it: `PA.VII.B.S6`.
    #[must_use]
    pub fn full_code(&self, element: &Element) -> String {
        format!("{}.{}", self.code, element.code)
    }

    /// What only a person can judge, with the full code of its element.
    pub fn for_instructor(&self) -> impl Iterator<Item = (String, &Criterion)> {
        self.elements.iter().flat_map(|element| {
            element
                .criteria
                .iter()
                .filter(|criterion| criterion.for_instructor())
                .map(|criterion| (self.full_code(element), criterion))
        })
    }
}

impl Element {
    /// Whether nothing of it can be measured: only a person can judge it.
    #[must_use]
    pub fn for_instructor(&self) -> bool {
        self.criteria.iter().all(Criterion::for_instructor)
    }
}

impl Criterion {
    /// Whether only a person can judge it, whatever the recorder carries.
    #[must_use]
    pub fn for_instructor(&self) -> bool {
        self.measure == Measure::Instructor
    }

    /// The limit in words with its unit: `±100 ft`, `45° ±5°`, `at least 1,500 ft`, `at most VA`; empty where
    /// there is none.
    #[must_use]
    pub fn limit_words(&self) -> String {
        match self.limit_from {
            LimitFrom::Va => return "at most VA at the weight flown".to_owned(),
            LimitFrom::Flap => return "at most the limit speed of the flap setting".to_owned(),
            LimitFrom::Vne => return "at most VNE".to_owned(),
            LimitFrom::Vno => return "at most VNO".to_owned(),
            LimitFrom::Pack => {}
        }
        let unit = self.unit.as_str();
        match (self.low, self.high, self.target) {
            (None, None, _) => String::new(),
            (Some(low), Some(high), Target::Speed(speed)) => {
                format!("{} {}", speed.words(), about(low, high, unit))
            }
            (low, high, Target::Absolute) => absolute(low, high, unit),
            (Some(low), Some(high), Target::Stated { value, .. }) => {
                format!("{} {}", with_unit(value, unit), about(low, high, unit))
            }
            (low, high, Target::Stated { value, .. }) => {
                let limit = |number: Option<f64>| number.map(|number| value + number);
                absolute(limit(low), limit(high), unit)
            }
            (Some(low), Some(high), _) => about(low, high, unit),
            (Some(low), None, _) => format!("at most {} below", with_unit(low.abs(), unit)),
            (None, Some(high), _) => format!("at most {} above", with_unit(high.abs(), unit)),
        }
    }
}

fn absolute(low: Option<f64>, high: Option<f64>, unit: &str) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{} to {}", number(low), with_unit(high, unit)),
        (Some(low), None) => format!("at least {}", with_unit(low, unit)),
        // A limit of nothing at all, e.g. flaps left down.
        (None, Some(0.0)) => "none".to_owned(),
        (None, Some(high)) => format!("at most {}", with_unit(high, unit)),
        (None, None) => String::new(),
    }
}

/// `±100 ft`, `0 to +10 kt`.
fn about(low: f64, high: f64, unit: &str) -> String {
    if low == -high {
        return format!("±{}", with_unit(high, unit));
    }
    let sign = |value: f64| if value > 0.0 { "+" } else { "" };
    format!(
        "{}{} to {}{}",
        sign(low),
        number(low),
        sign(high),
        with_unit(high, unit)
    )
}

fn with_unit(value: f64, unit: &str) -> String {
    let value = number(value);
    match unit {
        "" => value,
        "deg" => format!("{value}°"),
        "deg/s" => format!("{value}°/s"),
        "%" => format!("{value} percent"),
        unit => format!("{value} {unit}"),
    }
}

/// A pack's own number: thousands separated, a true minus, no decimals that it does not have.
fn number(value: f64) -> String {
    let text = format!("{}", value.abs());
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let sign = if value < 0.0 { "−" } else { "" };
    let point = if fraction.is_empty() { "" } else { "." };
    format!("{sign}{grouped}{point}{fraction}")
}
