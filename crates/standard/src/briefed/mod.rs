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
//!
//! As JSON it has the same keys and the same limits: `{"recovery": …, "maneuver": [{"kind": …, …}]}`.

mod file;
mod json;
mod limits;
mod reference;
mod runway;
mod write;

pub use reference::LatLon;
pub use runway::GivenRunway;

use crate::pack::{PLAIN, PackError};
use maneuver::{Kind, Maneuver};
use serde::{Deserialize, Serialize};

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
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Asked {
    /// The kind it is for; none = any kind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<Kind>,
    /// Its number in the debrief, 1 = the first maneuver of the flight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<usize>,
    /// Which one of its kind, 1 = the first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nth: Option<usize>,
    /// A time within it, s from the recording's first sample.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_s: Option<f64>,
    /// Form that was asked for, an id of [`maneuver::VARIANTS`] or [`crate::PLAIN`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variant: Option<&'static str>,
    /// Recovery point.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recovery: Option<Recovery>,
    /// Bank, degrees, unsigned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bank_deg: Option<f64>,
    /// Heading, degrees magnetic.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_deg: Option<f64>,
    /// Airspeed, knots indicated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_kias: Option<f64>,
    /// Altitude, feet by the altimeter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub altitude_ft: Option<f64>,
    /// Where it was to touch down, feet beyond the runway's threshold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub point_ft: Option<f64>,
    /// The point that turns were to be flown around.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub point: Option<LatLon>,
    /// Two places on the line that S-turns were to be flown across.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<[LatLon; 2]>,
    /// The two pylons, in any order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pylons: Option<[LatLon; 2]>,
    /// The corners of the field of a rectangular course, in order around it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corners: Option<[LatLon; 4]>,
}

/// Everything that was asked for on a flight.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Briefed {
    /// Entries in the file's order; `maneuver` in the file and in JSON.
    #[serde(rename = "maneuver", default, skip_serializing_if = "Vec::is_empty")]
    pub entries: Vec<Asked>,
    /// Recovery for every stall that no entry speaks of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recovery: Option<Recovery>,
    /// Runways that were used; `runway` in the file and in JSON.
    #[serde(rename = "runway", default, skip_serializing_if = "Vec::is_empty")]
    pub runways: Vec<GivenRunway>,
}

impl Briefed {
    /// Reads the file; `name` is for messages.
    ///
    /// # Errors
    /// [`PackError`] with line, column and how to mend it.
    pub fn read(text: &str, name: &str) -> Result<Briefed, PackError> {
        file::read(text, name)
    }

    /// The runways in SI, as the working-out takes them.
    #[must_use]
    pub fn runways(&self) -> Vec<maneuver::Runway> {
        self.runways.iter().map(GivenRunway::runway).collect()
    }

    /// What each maneuver of the flight was to be flown about, where that was given.
    #[must_use]
    pub fn references(&self, maneuvers: &[Maneuver]) -> Vec<Option<maneuver::Reference>> {
        let numbered = maneuvers.iter().enumerate();
        numbered
            .map(|(index, one)| self.asked(maneuvers, index).reference(one.kind))
            .collect()
    }

    /// The file that [`Briefed::read`] reads again to the same.
    #[must_use]
    pub fn to_toml(&self) -> String {
        write::toml(self)
    }

    /// Sets what an entry asks for: it takes the place of the entry for the very same maneuver (the same
    /// `kind`, `number`, `nth` and `at_s`), else it comes last. One that asks for nothing takes that entry out.
    ///
    /// A number in the debrief moves when a maneuver before it is corrected away or added: a page does better
    /// to name a maneuver by a time within it.
    pub fn set(&mut self, entry: Asked) {
        let place = self
            .entries
            .iter()
            .position(|known| known.is_for_the_same(&entry));
        match place {
            Some(index) if entry.is_empty() => {
                self.entries.remove(index);
            }
            Some(index) => {
                if let Some(known) = self.entries.get_mut(index) {
                    *known = entry;
                }
            }
            None if entry.is_empty() => {}
            None => self.entries.push(entry),
        }
    }

    /// Sets what was asked for in the maneuver of a kind from `start_s` to `end_s`, in place of every entry that
    /// names a time within it. The entry is kept under a time within the maneuver, so that it holds when the
    /// bounds are corrected; whichever maneuver `asked` itself names does not matter.
    pub fn set_within(&mut self, kind: Kind, start_s: f64, end_s: f64, asked: Asked) {
        let within = |entry: &Asked| {
            entry
                .at_s
                .is_some_and(|at_s| (start_s..=end_s).contains(&at_s))
                && entry.kind.is_none_or(|known| known == kind)
        };
        self.entries.retain(|entry| !within(entry));
        let middle_s = 0.5 * (start_s + end_s);
        // Whole seconds read better, where there is one.
        let at_s = Some(middle_s.round())
            .filter(|at_s| (start_s..=end_s).contains(at_s))
            .unwrap_or(middle_s);
        self.set(Asked {
            kind: Some(kind),
            number: None,
            nth: None,
            at_s: Some(at_s),
            ..asked
        });
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
            // An entry for every kind may name a form that this kind is not flown in.
            let form = entry
                .variant
                .filter(|id| form_of(Some(maneuver.kind), id).is_some());
            asked.variant = form.or(asked.variant);
            asked.recovery = entry.recovery.or(asked.recovery);
            asked.bank_deg = entry.bank_deg.or(asked.bank_deg);
            asked.heading_deg = entry.heading_deg.or(asked.heading_deg);
            asked.speed_kias = entry.speed_kias.or(asked.speed_kias);
            asked.altitude_ft = entry.altitude_ft.or(asked.altitude_ft);
            asked.point_ft = entry.point_ft.or(asked.point_ft);
            asked.point = entry.point.or(asked.point);
            asked.line = entry.line.or(asked.line);
            asked.pylons = entry.pylons.or(asked.pylons);
            asked.corners = entry.corners.or(asked.corners);
        }
        asked
    }
}

/// A form that may be briefed for the kind, by its id.
fn form_of(kind: Option<Kind>, id: &str) -> Option<&'static str> {
    if id == PLAIN {
        return Some(PLAIN);
    }
    maneuver::variant(kind, id)
}

impl Asked {
    fn is_for_the_same(&self, other: &Asked) -> bool {
        (self.kind, self.number, self.nth) == (other.kind, other.number, other.nth)
            && self.at_s == other.at_s
    }

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
        self.variant.is_none()
            && self.recovery.is_none()
            && self.bank_deg.is_none()
            && self.heading_deg.is_none()
            && self.speed_kias.is_none()
            && self.altitude_ft.is_none()
            && self.point_ft.is_none()
            && self.point.is_none()
            && self.line.is_none()
            && self.pylons.is_none()
            && self.corners.is_none()
    }
}
