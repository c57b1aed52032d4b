//! Seals: the audit trail carries a digest of each row that an act wrote, so that a row which was changed, added or
//! taken away behind the program's back is found.
//!
//! An act names the rows that it wrote when it appends to the trail ([`crate::audit::append`]). The row is read back
//! and its sealed columns are hashed. For a row that may change (a person, an aircraft) the newest seal counts.

use crate::db::{Row, Table, Tx, Value};
use crate::error::{Result, SchoolError};
use crate::secret::sha256_hex;
use sqlx::AssertSqlSafe;

/// A row that an act wrote and the trail shall seal.
#[derive(Clone, Debug)]
pub struct Written {
    table: &'static str,
    key: Vec<Value>,
}

/// A row's digest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seal {
    /// Which row, e.g. `entries 0193… 3`.
    pub row: String,
    /// SHA-256 of its sealed columns, hex.
    pub sha256: String,
}

/// The school's settings.
#[must_use]
pub fn school() -> Written {
    Written {
        table: "school",
        key: vec![Value::from(1_i64)],
    }
}

/// A person.
#[must_use]
pub fn person(id: &str) -> Written {
    Written {
        table: "people",
        key: vec![id.into()],
    }
}

/// A personal access token.
#[must_use]
pub fn token(id: &str) -> Written {
    Written {
        table: "tokens",
        key: vec![id.into()],
    }
}

/// An invitation or a link for a new password.
#[must_use]
pub fn invite(id: &str) -> Written {
    Written {
        table: "invites",
        key: vec![id.into()],
    }
}

/// An aircraft.
#[must_use]
pub fn aircraft(id: &str) -> Written {
    Written {
        table: "aircraft",
        key: vec![id.into()],
    }
}

/// A text that an aircraft had.
#[must_use]
pub fn aircraft_file(aircraft_id: &str, version: i64) -> Written {
    Written {
        table: "aircraft_files",
        key: vec![aircraft_id.into(), version.into()],
    }
}

/// A school's own pack.
#[must_use]
pub fn pack(id: &str, sha256: &str) -> Written {
    Written {
        table: "packs",
        key: vec![id.into(), sha256.into()],
    }
}

/// How a kind of file is read.
#[must_use]
pub fn map(header_signature: &str) -> Written {
    Written {
        table: "maps",
        key: vec![header_signature.into()],
    }
}

/// A recording (what was received, not how it is read).
#[must_use]
pub fn recording(sha256: &str) -> Written {
    Written {
        table: "recordings",
        key: vec![sha256.into()],
    }
}

/// A lesson (that it is, of which recording; not its header, which follows from the entries).
#[must_use]
pub fn lesson(id: &str) -> Written {
    Written {
        table: "lessons",
        key: vec![id.into()],
    }
}

/// An entry.
#[must_use]
pub fn entry(lesson_id: &str, seq: i64) -> Written {
    Written {
        table: "entries",
        key: vec![lesson_id.into(), seq.into()],
    }
}

/// A signed version.
#[must_use]
pub fn signed(lesson_id: &str, version: i64) -> Written {
    Written {
        table: "signed",
        key: vec![lesson_id.into(), version.into()],
    }
}

impl Written {
    /// Reads the row back and hashes it.
    ///
    /// # Errors
    /// When the row is not there: an act must write before it tells.
    pub async fn seal(&self, tx: &mut Tx) -> Result<Seal> {
        let table = Table::named(self.table)?;
        let places: Vec<String> = table
            .key
            .iter()
            .enumerate()
            .map(|(index, column)| format!("{column} = ${}", index + 1))
            .collect();
        // Table and columns are constants of this program.
        let sql = format!(
            "SELECT {} FROM {} WHERE {}",
            table.column_list(),
            table.name,
            places.join(" AND ")
        );
        let row = tx
            .row(AssertSqlSafe(sql), self.key.clone())
            .await?
            .ok_or_else(|| {
                SchoolError::not_found(format!("the row in {} that was to be sealed", self.table))
            })?;
        of(table, &row)
    }
}

/// The seal of a row.
///
/// # Errors
/// When the row lacks a column of its table.
pub fn of(table: &Table, row: &Row) -> Result<Seal> {
    of_values(table, &table.values(row)?)
}

/// The seal of a row, given as its values in the order of the table's columns.
///
/// # Errors
/// When the key holds a value that cannot be written in a name.
pub fn of_values(table: &Table, values: &[Value]) -> Result<Seal> {
    let mut name = table.name.to_owned();
    let mut text = Vec::from(format!("proofwing/seal/1\n{}\n", table.name));
    for ((column, _), value) in table.columns.iter().zip(values) {
        if table.key.contains(column) {
            name.push(' ');
            name.push_str(&word(value));
        }
        if table.sealed.contains(column) {
            write_field(&mut text, column, value);
        }
    }
    Ok(Seal {
        row: name,
        sha256: sha256_hex(&text),
    })
}

/// A key's value in a row's name.
fn word(value: &Value) -> String {
    match value {
        Value::Text(Some(text)) => text.clone(),
        Value::Int(Some(number)) => number.to_string(),
        _ => String::new(),
    }
}

/// `column:length:bytes` and a line end, so that no two rows give the same text; null is `column:-`.
fn write_field(text: &mut Vec<u8>, column: &str, value: &Value) {
    let bytes = match value {
        Value::Text(value) => value.as_ref().map(|value| value.clone().into_bytes()),
        Value::Int(value) => value.map(|value| value.to_string().into_bytes()),
        Value::Real(value) => value.map(|value| format!("{:016x}", value.to_bits()).into_bytes()),
        Value::Flag(value) => value.map(|value| if value { b"1".to_vec() } else { b"0".to_vec() }),
        Value::Bytes(value) => value.clone(),
    };
    text.extend_from_slice(column.as_bytes());
    match bytes {
        Some(bytes) => {
            text.extend_from_slice(format!(":{}:", bytes.len()).as_bytes());
            text.extend_from_slice(&bytes);
        }
        None => text.extend_from_slice(b":-"),
    }
    text.push(b'\n');
}
