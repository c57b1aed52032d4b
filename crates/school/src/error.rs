//! What can go wrong, with words for the person apart from words for the log.

use crate::model::FileProblem;
use std::error::Error;
use std::fmt;

/// Why an act on the record was not done.
///
/// `Display` gives the words for the person; [`SchoolError::for_log`] those for the log. Neither holds a password,
/// a token or a database address.
#[derive(Debug)]
pub enum SchoolError {
    /// There is no such thing (or not for the one who asks).
    NotFound {
        /// What, e.g. `this lesson`.
        what: String,
    },
    /// The record does not allow it as it stands.
    Conflict {
        /// What stands against it.
        message: String,
        /// What to do.
        hint: String,
    },
    /// A value cannot be taken.
    Invalid {
        /// Which field.
        field: String,
        /// What is wrong.
        message: String,
        /// How to mend it.
        hint: String,
    },
    /// A file that a person wrote has errors.
    Problems(Vec<FileProblem>),
    /// The person may not do this.
    Denied {
        /// Who may, in words.
        message: String,
    },
    /// The store failed: disk, database, network.
    Store(StoreError),
}

/// A failure of disk, database or network, with what was being done.
#[derive(Debug)]
pub struct StoreError {
    /// What was being done, e.g. `keep the recording`.
    pub doing: String,
    /// Why it failed.
    pub source: Box<dyn Error + Send + Sync>,
}

/// Result of the store's methods.
pub type Result<T, E = SchoolError> = std::result::Result<T, E>;

impl SchoolError {
    /// There is no such thing.
    pub fn not_found(what: impl Into<String>) -> SchoolError {
        SchoolError::NotFound { what: what.into() }
    }

    /// The record does not allow it.
    pub fn conflict(message: impl Into<String>, hint: impl Into<String>) -> SchoolError {
        SchoolError::Conflict {
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// A value cannot be taken.
    pub fn invalid(
        field: impl Into<String>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> SchoolError {
        SchoolError::Invalid {
            field: field.into(),
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// The person may not.
    pub fn denied(message: impl Into<String>) -> SchoolError {
        SchoolError::Denied {
            message: message.into(),
        }
    }

    /// The store failed while `doing`.
    pub fn store(
        doing: impl Into<String>,
        source: impl Into<Box<dyn Error + Send + Sync>>,
    ) -> SchoolError {
        SchoolError::Store(StoreError {
            doing: doing.into(),
            source: source.into(),
        })
    }

    /// Stable word for machines: `not_found`, `conflict`, `invalid`, `problems`, `denied`, `store`.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            SchoolError::NotFound { .. } => "not_found",
            SchoolError::Conflict { .. } => "conflict",
            SchoolError::Invalid { .. } => "invalid",
            SchoolError::Problems(_) => "problems",
            SchoolError::Denied { .. } => "denied",
            SchoolError::Store(_) => "store",
        }
    }

    /// How to mend it, where there is more to say than the message.
    #[must_use]
    pub fn hint(&self) -> Option<&str> {
        match self {
            SchoolError::Conflict { hint, .. } | SchoolError::Invalid { hint, .. }
                if !hint.is_empty() =>
            {
                Some(hint)
            }
            SchoolError::Store(_) => Some(
                "Nothing was half-done. Try again; if it fails again, look at the program's log.",
            ),
            _ => None,
        }
    }

    /// The field that is meant.
    #[must_use]
    pub fn field(&self) -> Option<&str> {
        match self {
            SchoolError::Invalid { field, .. } => Some(field),
            _ => None,
        }
    }

    /// Words for the log: the message and every cause below it.
    #[must_use]
    pub fn for_log(&self) -> String {
        let mut words = self.to_string();
        let mut cause = self.source();
        while let Some(error) = cause {
            words.push_str(": ");
            words.push_str(&error.to_string());
            cause = error.source();
        }
        words
    }
}

impl fmt::Display for SchoolError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SchoolError::NotFound { what } => write!(f, "There is no record of {what}."),
            SchoolError::Conflict { message, .. }
            | SchoolError::Invalid { message, .. }
            | SchoolError::Denied { message } => f.write_str(message),
            SchoolError::Problems(problems) => {
                let first = problems
                    .first()
                    .map_or("", |problem| problem.message.as_str());
                write!(
                    f,
                    "The file has {} to mend. {first}",
                    counted(problems.len(), "thing", "things")
                )
            }
            SchoolError::Store(error) => write!(f, "The record could not {}.", error.doing),
        }
    }
}

impl Error for SchoolError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            SchoolError::Store(error) => Some(error.source.as_ref()),
            _ => None,
        }
    }
}

impl From<sqlx::Error> for SchoolError {
    fn from(error: sqlx::Error) -> SchoolError {
        SchoolError::store("be read or written", error)
    }
}

impl From<serde_json::Error> for SchoolError {
    fn from(error: serde_json::Error) -> SchoolError {
        SchoolError::store("be read or written", error)
    }
}

/// `1 thing`, `2 things`.
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {many}")
    }
}
