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
pub const SCHEMA: &[Migration] = &[migration!(1, "record", "0001_record.sql")];

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
        tx.script(
            "CREATE TABLE IF NOT EXISTS migrations (version BIGINT NOT NULL PRIMARY KEY, name TEXT NOT NULL, \
             sha256 TEXT NOT NULL, at_utc TEXT NOT NULL, program TEXT NOT NULL)",
        )
        .await?;
        let made = made(&mut tx).await?;
        refuse_newer(&made)?;
        for migration in SCHEMA {
            let text = if tx.is_sqlite() {
                migration.sqlite
            } else {
                migration.postgres
            };
            let sha256 = digest(text);
            match made.iter().find(|made| made.version == migration.version) {
                Some(made) if made.sha256 == sha256 => {}
                Some(_) => return Err(edited(migration)),
                None => {
                    tx.script(text).await?;
                    let at = tx.at_utc().to_owned();
                    tx.execute(
                        "INSERT INTO migrations (version, name, sha256, at_utc, program) VALUES ($1, $2, $3, $4, $5)",
                        values![migration.version, migration.name, sha256, at, env!("CARGO_PKG_VERSION")],
                    )
                    .await?;
                    tracing::info!(
                        version = migration.version,
                        name = migration.name,
                        "the record has a new shape"
                    );
                }
            }
        }
        tx.commit().await
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
