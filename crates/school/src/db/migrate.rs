//! Changes of the database's shape: numbered, forward only, each once.

use super::{Db, Tx};
use crate::error::{Result, SchoolError};
use crate::secret::sha256_hex;
use crate::values;

/// A change of the shape of the database.
#[derive(Clone, Copy, Debug)]
pub struct Migration {
    /// 1, 2, …
    pub version: i64,
    /// Name for people.
    pub name: &'static str,
    sqlite: &'static str,
    postgres: &'static str,
}

macro_rules! migration {
    ($version:literal, $name:literal, $file:literal) => {
        Migration {
            version: $version,
            name: $name,
            sqlite: include_str!(concat!("../../migrations/sqlite/", $file)),
            postgres: include_str!(concat!("../../migrations/postgres/", $file)),
        }
    };
}

/// Every change, in order. A change that was ever released is never edited: append the next one.
pub const SCHEMA: &[Migration] = &[
    migration!(1, "record", "0001_record.sql"),
    migration!(2, "lessons", "0002_lessons.sql"),
    migration!(3, "forms", "0003_forms.sql"),
    migration!(4, "carried", "0004_carried.sql"),
];

/// The newest shape that this program knows.
#[must_use]
pub fn newest() -> i64 {
    SCHEMA.last().map_or(0, |migration| migration.version)
}

impl Db {
    /// Brings the database to the newest shape, or refuses it when it is newer than this program.
    ///
    /// # Errors
    /// When a newer program wrote it, or a change that was made differs from the one this program knows.
    pub async fn migrate(&self, now: impl Fn() -> String) -> Result<()> {
        let mut tx = self.write(&now).await?;
        tx.migrate(newest()).await?;
        tx.commit().await
    }
}

impl Tx {
    /// Brings the database to the shape `up_to` within a transaction: both databases take back changes of shape, too.
    ///
    /// # Errors
    /// As [`Db::migrate`].
    pub(crate) async fn migrate(&mut self, up_to: i64) -> Result<()> {
        self.script(
            "CREATE TABLE IF NOT EXISTS migrations (version BIGINT NOT NULL PRIMARY KEY, name TEXT NOT NULL, \
             sha256 TEXT NOT NULL, at_utc TEXT NOT NULL, program TEXT NOT NULL)",
        )
        .await?;
        let made = made(self).await?;
        refuse_newer(&made)?;
        for migration in SCHEMA.iter().filter(|migration| migration.version <= up_to) {
            let text = if self.is_sqlite() {
                migration.sqlite
            } else {
                migration.postgres
            };
            let sha256 = digest(text);
            match made.iter().find(|made| made.version == migration.version) {
                Some(made) if made.sha256 == sha256 => {}
                Some(_) => return Err(edited(migration)),
                None => self.make(migration, text, &sha256).await?,
            }
        }
        Ok(())
    }

    async fn make(
        &mut self,
        migration: &Migration,
        text: &'static str,
        sha256: &str,
    ) -> Result<()> {
        self.script(text).await?;
        let at = self.at_utc().to_owned();
        self.execute(
            "INSERT INTO migrations (version, name, sha256, at_utc, program) VALUES ($1, $2, $3, $4, $5)",
            values![migration.version, migration.name, sha256, at, env!("CARGO_PKG_VERSION")],
        )
        .await?;
        tracing::info!(
            version = migration.version,
            name = migration.name,
            "the record has a new shape"
        );
        Ok(())
    }

    /// Whether there is no table at all.
    ///
    /// # Errors
    /// When the database refuses.
    pub(crate) async fn is_empty_place(&mut self) -> Result<bool> {
        let sql = if self.is_sqlite() {
            "SELECT COUNT(*) AS tables FROM sqlite_master WHERE type = 'table'"
        } else {
            "SELECT COUNT(*) AS tables FROM information_schema.tables WHERE table_schema = current_schema()"
        };
        Ok(self.one(sql, values![]).await?.int("tables")? == 0)
    }
}

struct Made {
    version: i64,
    sha256: String,
    program: String,
}

async fn made(tx: &mut Tx) -> Result<Vec<Made>> {
    let rows = tx
        .rows(
            "SELECT version, sha256, program FROM migrations ORDER BY version",
            values![],
        )
        .await?;
    rows.iter()
        .map(|row| {
            Ok(Made {
                version: row.int("version")?,
                sha256: row.text("sha256")?,
                program: row.text("program")?,
            })
        })
        .collect()
}

fn refuse_newer(made: &[Made]) -> Result<()> {
    match made.last() {
        Some(last) if last.version > newest() => Err(SchoolError::conflict(
            format!(
                "This record was written by a newer Proofwing ({}, shape {}); this one is {} and knows shape {}.",
                last.program,
                last.version,
                env!("CARGO_PKG_VERSION"),
                newest()
            ),
            "Use the newer program. Nothing was changed.",
        )),
        _ => Ok(()),
    }
}

fn edited(migration: &Migration) -> SchoolError {
    SchoolError::conflict(
        format!(
            "The record's shape {} ({}) was made by another text than this program knows.",
            migration.version, migration.name
        ),
        "Use the program that made this record, or restore a backup into a new one. Nothing was changed.",
    )
}

/// Of the text with Unix line ends, so that a checkout on another system gives the same.
fn digest(text: &str) -> String {
    sha256_hex(text.replace("\r\n", "\n").as_bytes())
}
