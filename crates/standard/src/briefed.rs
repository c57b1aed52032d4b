//! What was asked for on a flight: the targets that the standard leaves to the evaluator.
//!
//! A small TOML file, described in `docs/briefed-file.md`:
//!
//! ```toml
//! [[maneuver]]
//! kind = "power_off_stall"
//! nth = 2                        # the second one of the flight; left out: every one
//! recovery = "first_indication"
//! heading_deg = 90               # magnetic
//! ```

use crate::pack::PackError;
use maneuver::{Kind, Maneuver};
use serde::Deserialize;
use toml::Spanned;

/// Where a stall's recovery was to begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recovery {
    /// After a full stall.
    FullStall,
    /// At the first indication.
    FirstIndication,
}

impl Recovery {
    /// Stable id.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Recovery::FullStall => "full_stall",
            Recovery::FirstIndication => "first_indication",
        }
    }

    /// From an id; hyphens serve as well as underscores.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Recovery> {
        match id.replace('-', "_").as_str() {
            "full_stall" => Some(Recovery::FullStall),
            "first_indication" => Some(Recovery::FirstIndication),
            _ => None,
        }
    }
}

/// What was asked for in one maneuver, or in all of a kind. Display units: what a person wrote.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// The kind it is for; none = any kind.
    pub kind: Option<Kind>,
    /// Its number in the debrief, 1 = the first maneuver of the flight.
    pub number: Option<usize>,
    /// Which one of its kind, 1 = the first.
    pub nth: Option<usize>,
    /// A time within it, s from the recording's first sample.
    pub at_s: Option<f64>,
    /// Recovery point.
    pub recovery: Option<Recovery>,
    /// Bank, degrees, unsigned.
    pub bank_deg: Option<f64>,
    /// Heading, degrees magnetic.
    pub heading_deg: Option<f64>,
    /// Airspeed, knots indicated.
    pub speed_kias: Option<f64>,
    /// Altitude, feet by the altimeter.
    pub altitude_ft: Option<f64>,
}

/// Everything that was asked for on a flight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Briefed {
    /// Entries in the file's order.
    pub entries: Vec<Asked>,
    /// Recovery for every stall that no entry speaks of.
    pub recovery: Option<Recovery>,
}

impl Briefed {
    /// Reads the file; `name` is for messages.
    ///
    /// # Errors
    /// [`PackError`] with line, column and how to mend it.
    pub fn read(text: &str, name: &str) -> Result<Briefed, PackError> {
        let file: File =
            toml::from_str(text).map_err(|error| PackError::toml(name, text, &error))?;
        let place = (name, text);
        let entries = file
            .maneuver
            .iter()
            .map(|entry| entry.checked(place))
            .collect::<Result<Vec<_>, _>>()?;
        let recovery = file
            .recovery
            .as_ref()
            .map(|word| recovery(place, word))
            .transpose()?;
        Ok(Briefed { entries, recovery })
    }

    /// What was asked for in a maneuver of the flight: the entries that fit it, the closer ones (by
    /// number or time, then by count, then by kind) over the wider ones.
    #[must_use]
    pub fn asked(&self, maneuvers: &[Maneuver], index: usize) -> Asked {
        let mut asked = Asked {
            recovery: self.recovery,
            ..Asked::default()
        };
        let Some(maneuver) = maneuvers.get(index) else {
            return asked;
        };
        let earlier = maneuvers
            .iter()
            .take(index)
            .filter(|other| other.kind == maneuver.kind);
        let nth = earlier.count() + 1;
        let fits = |entry: &&Asked| {
            entry.kind.is_none_or(|kind| kind == maneuver.kind)
                && entry.number.is_none_or(|number| number == index + 1)
                && entry.nth.is_none_or(|wanted| wanted == nth)
                && entry
                    .at_s
                    .is_none_or(|at_s| (maneuver.start_s..=maneuver.end_s).contains(&at_s))
        };
        let mut fitting: Vec<&Asked> = self.entries.iter().filter(fits).collect();
        fitting.sort_by_key(|entry| entry.closeness());
        for entry in fitting {
            asked.recovery = entry.recovery.or(asked.recovery);
            asked.bank_deg = entry.bank_deg.or(asked.bank_deg);
            asked.heading_deg = entry.heading_deg.or(asked.heading_deg);
            asked.speed_kias = entry.speed_kias.or(asked.speed_kias);
            asked.altitude_ft = entry.altitude_ft.or(asked.altitude_ft);
        }
        asked
    }
}

impl Asked {
    fn closeness(&self) -> u8 {
        match (
            self.number.is_some() || self.at_s.is_some(),
            self.nth.is_some(),
            self.kind.is_some(),
        ) {
            (true, _, _) => 3,
            (_, true, _) => 2,
            (_, _, true) => 1,
            _ => 0,
        }
    }

    /// Whether anything at all was asked for.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.recovery.is_none()
            && self.bank_deg.is_none()
            && self.heading_deg.is_none()
            && self.speed_kias.is_none()
            && self.altitude_ft.is_none()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    recovery: Option<Spanned<String>>,
    #[serde(default)]
    maneuver: Vec<Entry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    kind: Option<Spanned<String>>,
    number: Option<Spanned<usize>>,
    nth: Option<Spanned<usize>>,
    at_s: Option<Spanned<f64>>,
    recovery: Option<Spanned<String>>,
    bank_deg: Option<Spanned<f64>>,
    heading_deg: Option<Spanned<f64>>,
    speed_kias: Option<Spanned<f64>>,
    altitude_ft: Option<Spanned<f64>>,
}

type Place<'a> = (&'a str, &'a str);

fn wrong<T>((name, text): Place, found: &Spanned<T>, what: String, mend: &str) -> PackError {
    PackError::at(name, text, found.span().start, what, mend)
}

fn recovery(place: Place, word: &Spanned<String>) -> Result<Recovery, PackError> {
    Recovery::from_id(word.get_ref()).ok_or_else(|| {
        let what = format!("recovery '{}' is not known", word.get_ref());
        wrong(place, word, what, "write full_stall or first_indication")
    })
}

/// A number within what an aircraft can be asked for.
fn within(
    place: Place,
    found: Option<&Spanned<f64>>,
    (low, high): (f64, f64),
    name: &str,
) -> Result<Option<f64>, PackError> {
    match found {
        None => Ok(None),
        Some(number) if (low..=high).contains(number.get_ref()) => Ok(Some(*number.get_ref())),
        Some(number) => {
            let what = format!("{name} {} is not {low} to {high}", number.get_ref());
            Err(wrong(place, number, what, "correct the number"))
        }
    }
}

fn counted(place: Place, found: Option<&Spanned<usize>>) -> Result<Option<usize>, PackError> {
    match found {
        Some(number) if *number.get_ref() == 0 => Err(wrong(
            place,
            number,
            "counting starts at 1".to_owned(),
            "write 1 for the first",
        )),
        other => Ok(other.map(|number| *number.get_ref())),
    }
}

impl Entry {
    fn checked(&self, place: Place) -> Result<Asked, PackError> {
        let kind = match &self.kind {
            None => None,
            Some(word) => Some(Kind::from_id(word.get_ref()).ok_or_else(|| {
                let what = format!("kind '{}' is not known", word.get_ref());
                wrong(
                    place,
                    word,
                    what,
                    "write the id of a maneuver, e.g. power_off_stall",
                )
            })?),
        };
        Ok(Asked {
            kind,
            number: counted(place, self.number.as_ref())?,
            nth: counted(place, self.nth.as_ref())?,
            at_s: within(place, self.at_s.as_ref(), (0.0, 1e6), "at_s")?,
            recovery: self
                .recovery
                .as_ref()
                .map(|word| recovery(place, word))
                .transpose()?,
            bank_deg: within(place, self.bank_deg.as_ref(), (0.0, 75.0), "bank_deg")?,
            heading_deg: within(
                place,
                self.heading_deg.as_ref(),
                (0.0, 360.0),
                "heading_deg",
            )?,
            speed_kias: within(place, self.speed_kias.as_ref(), (20.0, 400.0), "speed_kias")?,
            altitude_ft: within(
                place,
                self.altitude_ft.as_ref(),
                (-1500.0, 40000.0),
                "altitude_ft",
            )?,
        })
    }
}
