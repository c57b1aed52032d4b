//! A row that a query gave.

use crate::error::{Result, SchoolError};
use sqlx::postgres::PgRow;
use sqlx::sqlite::SqliteRow;
use sqlx::{Row as _, ValueRef as _};

/// A row, read by the names of its columns.
pub enum Row {
    /// From SQLite.
    Sqlite(SqliteRow),
    /// From PostgreSQL.
    Postgres(PgRow),
}

macro_rules! column {
    ($row:expr, $name:expr, $type:ty) => {
        match $row {
            Row::Sqlite(row) => row.try_get::<$type, _>($name),
            Row::Postgres(row) => row.try_get::<$type, _>($name),
        }
        .map_err(SchoolError::from)
    };
}

impl Row {
    /// Text.
    ///
    /// # Errors
    /// Here and below: when there is no such column, it has another type, or it is null and must not be.
    pub fn text(&self, name: &str) -> Result<String> {
        column!(self, name, String)
    }

    /// Text or null.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn opt_text(&self, name: &str) -> Result<Option<String>> {
        column!(self, name, Option<String>)
    }

    /// Whole number.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn int(&self, name: &str) -> Result<i64> {
        column!(self, name, i64)
    }

    /// Whole number or null.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn opt_int(&self, name: &str) -> Result<Option<i64>> {
        column!(self, name, Option<i64>)
    }

    /// Number.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn real(&self, name: &str) -> Result<f64> {
        column!(self, name, f64)
    }

    /// Number or null.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn opt_real(&self, name: &str) -> Result<Option<f64>> {
        column!(self, name, Option<f64>)
    }

    /// Yes or no.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn flag(&self, name: &str) -> Result<bool> {
        column!(self, name, bool)
    }

    /// Bytes.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn bytes(&self, name: &str) -> Result<Vec<u8>> {
        column!(self, name, Vec<u8>)
    }

    /// Whether a column is null.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn is_null(&self, name: &str) -> Result<bool> {
        Ok(match self {
            Row::Sqlite(row) => row.try_get_raw(name)?.is_null(),
            Row::Postgres(row) => row.try_get_raw(name)?.is_null(),
        })
    }
}
