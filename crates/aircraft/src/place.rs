//! Where something stands in a file, and what is wrong or missing there.

use std::fmt;

/// A place in a text file, counted from 1 as editors do. Columns count characters, not bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Place {
    /// The place of a byte offset in `text`. An offset past the end gives the end; one inside a
    /// character gives that character.
    #[must_use]
    pub fn of(text: &str, offset: usize) -> Self {
        let mut end = offset.min(text.len());
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        let before = text.get(..end).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        Self {
            line: before.matches('\n').count() + 1,
            column: before.get(line_start..).unwrap_or_default().chars().count() + 1,
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// Something that makes the file unusable until a person mends it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file} {place}: {what}; {mend}")]
pub struct Problem {
    /// The file, as the caller named it.
    pub file: String,
    /// Where.
    pub place: Place,
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

/// Something that a person should know, though the file can be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// The file, as the caller named it.
    pub file: String,
    /// Where, if it stands anywhere: a missing entry does not.
    pub place: Option<Place>,
    /// What was noticed.
    pub what: String,
    /// What to write, if anything is to be done.
    pub mend: String,
    /// Criteria whose marks will read `not_recorded`, or are weaker, because of it.
    pub criteria: Vec<&'static str>,
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(place) = self.place {
            write!(f, " {place}")?;
        }
        write!(f, ": {}", self.what)?;
        if !self.mend.is_empty() {
            write!(f, "; {}", self.mend)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn place_counts_characters_and_survives_any_offset() {
        let text = "α = 1\nvé = 2\n";
        assert_eq!(Place::of(text, 0), Place { line: 1, column: 1 });
        let second = text.find("= 2").unwrap_or_default();
        assert_eq!(Place::of(text, second), Place { line: 2, column: 4 });
        for offset in 0..text.len() + 5 {
            let place = Place::of(text, offset);
            assert!(place.line >= 1 && place.line <= 3 && place.column >= 1);
        }
    }
}
