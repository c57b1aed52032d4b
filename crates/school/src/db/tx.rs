//! A transaction: what is read through it is of one moment, what is written comes whole or not at all.

use super::row::Row;
use super::value::Value;
use crate::error::{Result, SchoolError};
use sqlx::{Postgres, SqlSafeStr, Sqlite, Transaction};

/// A transaction on either database. Dropped without [`Tx::commit`], it leaves no trace.
#[derive(Debug)]
pub struct Tx {
    at: At,
    at_utc: String,
}

#[derive(Debug)]
enum At {
    Sqlite(Transaction<'static, Sqlite>),
    Postgres(Transaction<'static, Postgres>),
}

/// Binds every value with its own type: PostgreSQL wants to know the type of a null.
macro_rules! bound {
    ($sql:expr, $values:expr) => {{
        let mut query = sqlx::query($sql);
        for value in $values {
            query = match value {
                Value::Text(value) => query.bind(value),
                Value::Int(value) => query.bind(value),
                Value::Real(value) => query.bind(value),
                Value::Flag(value) => query.bind(value),
                Value::Bytes(value) => query.bind(value),
            };
        }
        query
    }};
}

impl Tx {
    pub(super) fn sqlite(tx: Transaction<'static, Sqlite>, at_utc: String) -> Tx {
        Tx {
            at: At::Sqlite(tx),
            at_utc,
        }
    }

    pub(super) fn postgres(tx: Transaction<'static, Postgres>, at_utc: String) -> Tx {
        Tx {
            at: At::Postgres(tx),
            at_utc,
        }
    }

    /// The moment of this act: every row that it writes carries the same time.
    #[must_use]
    pub fn at_utc(&self) -> &str {
        &self.at_utc
    }

    /// Whether this is SQLite (for the few statements that differ).
    #[must_use]
    pub const fn is_sqlite(&self) -> bool {
        matches!(self.at, At::Sqlite(_))
    }

    /// Runs a statement; gives the number of rows that it changed.
    ///
    /// # Errors
    /// When the database refuses it.
    pub async fn execute(&mut self, sql: impl SqlSafeStr, values: Vec<Value>) -> Result<u64> {
        Ok(match &mut self.at {
            At::Sqlite(tx) => bound!(sql, values)
                .execute(&mut **tx)
                .await?
                .rows_affected(),
            At::Postgres(tx) => bound!(sql, values)
                .execute(&mut **tx)
                .await?
                .rows_affected(),
        })
    }

    /// Every row of a query.
    ///
    /// # Errors
    /// When the database refuses it.
    pub async fn rows(&mut self, sql: impl SqlSafeStr, values: Vec<Value>) -> Result<Vec<Row>> {
        Ok(match &mut self.at {
            At::Sqlite(tx) => bound!(sql, values)
                .fetch_all(&mut **tx)
                .await?
                .into_iter()
                .map(Row::Sqlite)
                .collect(),
            At::Postgres(tx) => bound!(sql, values)
                .fetch_all(&mut **tx)
                .await?
                .into_iter()
                .map(Row::Postgres)
                .collect(),
        })
    }

    /// The first row of a query, if there is one.
    ///
    /// # Errors
    /// When the database refuses it.
    pub async fn row(&mut self, sql: impl SqlSafeStr, values: Vec<Value>) -> Result<Option<Row>> {
        Ok(match &mut self.at {
            At::Sqlite(tx) => bound!(sql, values)
                .fetch_optional(&mut **tx)
                .await?
                .map(Row::Sqlite),
            At::Postgres(tx) => bound!(sql, values)
                .fetch_optional(&mut **tx)
                .await?
                .map(Row::Postgres),
        })
    }

    /// The first row of a query that always gives one.
    ///
    /// # Errors
    /// When the database refuses it or gives none.
    pub async fn one(&mut self, sql: impl SqlSafeStr, values: Vec<Value>) -> Result<Row> {
        self.row(sql, values)
            .await?
            .ok_or_else(|| SchoolError::from(sqlx::Error::RowNotFound))
    }

    /// Runs a script of several statements.
    ///
    /// # Errors
    /// When the database refuses one of them.
    pub async fn script(&mut self, sql: &'static str) -> Result<()> {
        match &mut self.at {
            At::Sqlite(tx) => sqlx::raw_sql(sql).execute(&mut **tx).await.map(drop)?,
            At::Postgres(tx) => sqlx::raw_sql(sql).execute(&mut **tx).await.map(drop)?,
        }
        Ok(())
    }

    /// Makes everything written durable. Only then may it be acknowledged.
    ///
    /// # Errors
    /// When the database cannot; then nothing was written.
    pub async fn commit(self) -> Result<()> {
        match self.at {
            At::Sqlite(tx) => tx.commit().await?,
            At::Postgres(tx) => tx.commit().await?,
        }
        Ok(())
    }
}
