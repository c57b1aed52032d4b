//! Corrections by a person: reading them, applying them, keeping them as a small TOML text.

use crate::Quantity;
use crate::error::Cause;
use crate::names::fits;
use crate::options::{MapEntry, Target};
use crate::recognize::Taken;
use crate::table::Table;
use crate::vocabulary::{Dimension, Unit, VOCABULARY, fold};

impl MapEntry {
    /// Reads `CHANNEL=COLUMN[:UNIT]`; `CHANNEL` is a quantity's id, `time` or `ignore`.
    ///
    /// # Errors
    /// In words, what was wrong and which channels there are.
    pub fn parse(text: &str) -> Result<Self, String> {
        let (channel, rest) = text.split_once('=').ok_or_else(|| {
            format!("\"{text}\" is not CHANNEL=COLUMN[:UNIT], such as airspeed_indicated=IAS:kt")
        })?;
        let target = Target::from_id(channel.trim()).ok_or_else(|| {
            let ids: Vec<&str> = Quantity::all().map(Quantity::id).collect();
            format!(
                "\"{}\" is no channel; there are time, ignore, {}",
                channel.trim(),
                ids.join(", ")
            )
        })?;
        // The last colon ends the column, if what follows is a unit: names may hold colons.
        let (column, unit) = match rest.rsplit_once(':') {
            Some((column, unit)) if VOCABULARY.unit(unit).is_some() && !column.is_empty() => {
                (column, Some(unit.trim().to_owned()))
            }
            _ => (rest, None),
        };
        Ok(Self {
            target,
            column: column.trim().to_owned(),
            unit,
        })
    }
}

impl Target {
    /// The name that machines read.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Quantity(quantity) => quantity.id(),
            Self::Time => "time",
            Self::Ignore => "ignore",
        }
    }

    /// From the name that machines read.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Self> {
        match id {
            "time" => Some(Self::Time),
            "ignore" => Some(Self::Ignore),
            id => Quantity::from_id(id).map(Self::Quantity),
        }
    }
}

/// A map that is remembered for every recording with the same header.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SavedMap {
    /// The name a person gave it.
    pub name: String,
    /// [`Report::header_signature`](crate::Report::header_signature) of the recordings it is for.
    pub header_signature: String,
    /// The corrections.
    pub entries: Vec<MapEntry>,
}

impl SavedMap {
    /// As TOML text.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out =
            String::from("# How to read the recordings of one recorder. Written by --save-map.\n");
        out.push_str(&format!("name = {}\n", quote(&self.name)));
        out.push_str(&format!(
            "header_signature = {}\n",
            quote(&self.header_signature)
        ));
        for entry in &self.entries {
            out.push_str("\n[[column]]\n");
            out.push_str(&format!("column = {}\n", quote(&entry.column)));
            out.push_str(&format!("channel = {}\n", quote(entry.target.id())));
            if let Some(unit) = &entry.unit {
                out.push_str(&format!("unit = {}\n", quote(unit)));
            }
        }
        out
    }

    /// From TOML text.
    ///
    /// # Errors
    /// With line and column as the TOML reader gives them, or which entry is wrong.
    pub fn from_toml(text: &str) -> Result<Self, String> {
        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        struct File {
            name: String,
            header_signature: String,
            #[serde(default)]
            column: Vec<Entry>,
        }
        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Entry {
            column: String,
            channel: String,
            unit: Option<String>,
        }
        let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
        let entries = file.column.into_iter().map(|entry| {
            let target = Target::from_id(&entry.channel).ok_or_else(|| {
                format!(
                    "column \"{}\": \"{}\" is no channel",
                    entry.column, entry.channel
                )
            })?;
            Ok(MapEntry {
                target,
                column: entry.column,
                unit: entry.unit,
            })
        });
        Ok(Self {
            name: file.name,
            header_signature: file.header_signature,
            entries: entries.collect::<Result<_, String>>()?,
        })
    }
}

/// A TOML basic string.
fn quote(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            control if control.is_control() => {
                out.push_str(&format!("\\u{:04X}", u32::from(control)))
            }
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

/// What the map says about the columns of a table.
#[derive(Default)]
pub struct Applied {
    /// Column and unit of the clock.
    pub time: Option<(usize, Option<Unit>)>,
    /// Columns that are left out.
    pub ignored: Vec<usize>,
    /// Columns with quantity and, if given, unit.
    pub columns: Vec<(usize, Quantity, Option<Unit>)>,
}

/// Finds the columns that the map names.
pub fn apply(map: &[MapEntry], table: &Table) -> Result<Applied, Cause> {
    let mut out = Applied::default();
    for entry in map {
        let index =
            find(table, &entry.column).ok_or_else(|| Cause::NoSuchColumn(entry.column.clone()))?;
        let bad = |unit: &str| Cause::BadUnit {
            quantity: entry.target.id().to_owned(),
            unit: unit.to_owned(),
        };
        let dimension = match entry.target {
            Target::Quantity(quantity) => Some(quantity.dimension()),
            Target::Time => Some(Dimension::Time),
            Target::Ignore => None,
        };
        let unit = match &entry.unit {
            Some(text) => {
                let unit = VOCABULARY.unit(text).ok_or_else(|| bad(text))?;
                if dimension.is_some_and(|dimension| !fits(unit, dimension)) {
                    return Err(bad(text));
                }
                Some(unit.clone())
            }
            None => None,
        };
        match entry.target {
            Target::Quantity(quantity) => out.columns.push((index, quantity, unit)),
            Target::Time => out.time = Some((index, unit)),
            Target::Ignore => out.ignored.push(index),
        }
    }
    Ok(out)
}

/// `#3`, or the name: exact first, then with case and blanks apart.
fn find(table: &Table, column: &str) -> Option<usize> {
    if let Some(number) = column
        .strip_prefix('#')
        .and_then(|text| text.parse::<usize>().ok())
    {
        return number
            .checked_sub(1)
            .filter(|&index| index < table.columns.len());
    }
    let plain = |text: &str| fold(text).split_whitespace().collect::<Vec<_>>().join(" ");
    let wanted = plain(column);
    table
        .columns
        .iter()
        .position(|known| known.name == column)
        .or_else(|| {
            table
                .columns
                .iter()
                .position(|known| plain(&known.name) == wanted)
        })
}

/// A mapped column as if it had been recognized; without a unit the first usual one that `unit` gives.
pub fn taken(quantity: Quantity, unit: Unit, origin: &'static str) -> Taken {
    Taken {
        quantity,
        unit,
        unit_origin: origin,
        confidence: 1.0,
        because: "given by the map".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_are_read() {
        let entry = MapEntry::parse("airspeed_indicated=Speed A:kt").unwrap();
        assert_eq!(entry.target, Target::Quantity(Quantity::AirspeedIndicated));
        assert_eq!(
            (entry.column.as_str(), entry.unit.as_deref()),
            ("Speed A", Some("kt"))
        );
        assert_eq!(MapEntry::parse("time=a:b").unwrap().column, "a:b");
        assert!(
            MapEntry::parse("speed=x")
                .unwrap_err()
                .contains("airspeed_indicated")
        );
    }

    #[test]
    fn prop_a_saved_map_comes_back() {
        let map = SavedMap {
            name: "club \"A\"\\".to_owned(),
            header_signature: "0123".to_owned(),
            entries: vec![
                MapEntry::parse("pitch=Nick 1:deg").unwrap(),
                MapEntry::parse("ignore=#7").unwrap(),
            ],
        };
        assert_eq!(SavedMap::from_toml(&map.to_toml()), Ok(map));
    }
}
