//! What can be wrong with a file a person edits: a pack, or the sheet of what was briefed.

/// What is wrong, where, and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{name}{}: {what}; {mend}", place(*line, *column))]
pub struct PackError {
    /// File name.
    pub name: String,
    /// 1-based line.
    pub line: usize,
    /// 1-based column, counted in characters.
    pub column: usize,
    /// What was found and what was allowed.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

impl PackError {
    /// An error at a byte offset of the text.
    pub(crate) fn at(
        name: &str,
        text: &str,
        offset: usize,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> PackError {
        let before: String = text
            .char_indices()
            .take_while(|(index, _)| *index < offset)
            .map(|(_, character)| character)
            .collect();
        let line = before.matches('\n').count() + 1;
        let column = before
            .rsplit('\n')
            .next()
            .map_or(0, |tail| tail.chars().count())
            + 1;
        PackError {
            name: name.to_owned(),
            line,
            column,
            what: what.into(),
            mend: mend.into(),
        }
    }

    /// From the TOML reader's own error.
    pub(crate) fn toml(name: &str, text: &str, error: &toml::de::Error) -> PackError {
        let offset = error.span().map_or(0, |span| span.start);
        let message = error.message().replace('\n', ", ").replace('`', "'");
        let mend = if message.contains("unknown field") {
            "correct the word or take the line out"
        } else if message.contains("missing field") {
            "add the line"
        } else {
            "correct the line; the format is described in the project's docs folder"
        };
        PackError::at(name, text, offset, message, mend)
    }
}

/// Where in the file; nothing when the matter is with the name alone.
fn place(line: usize, column: usize) -> String {
    if line == 0 {
        String::new()
    } else {
        format!(" line {line}, column {column}")
    }
}
