//! A copy of the whole record, made while it is in use: every table as JSON lines, every recording, and a manifest
//! with the digest of each. The same form for both databases, so that it restores into either.
//!
//! The form `proofwing/backup/1` is described in `docs/storage.md`.

pub(crate) mod lines;
mod manifest;
mod writer;

pub use manifest::{Manifest, RecordingPart, TablePart};

use crate::db::{TABLES, Table, Tx, Value, newest};
use crate::error::{Result, SchoolError};
use crate::verify::{page, recordings};
use crate::{School, audit};
use bytes::Bytes;
use std::path::{Path, PathBuf};
use writer::Writer;

/// What a backup carries.
#[derive(Clone, Debug)]
pub struct BackupMade {
    /// Where it lies.
    pub path: PathBuf,
    /// The manifest as written.
    pub manifest: Manifest,
}

/// Rows read at once: few, since a debrief is large.
const PAGE: usize = 50;

impl School {
    /// Writes a backup to `out`: one zip when the name ends in `.zip`, else a folder. Works while the record is in use:
    /// what it holds is of one moment. It lies under its name only when it is whole and on the disk.
    ///
    /// A recording whose bytes are gone or damaged does not stop the backup; the manifest names it under `missing`.
    ///
    /// # Errors
    /// `Conflict` when there is something at `out` already; `Store` when the database or the disk refuses.
    pub async fn backup(&self, out: &Path) -> Result<BackupMade> {
        let mut writer = Writer::begin(out).await?;
        match self.write_backup(&mut writer).await {
            Ok(manifest) => {
                let text = serde_json::to_vec_pretty(&manifest)?;
                writer.part(manifest::PART, Bytes::from(text)).await?;
                writer.finish().await?;
                Ok(BackupMade {
                    path: out.to_owned(),
                    manifest,
                })
            }
            Err(error) => {
                // The writer knows better why it stopped than who could not reach it.
                let stopped = writer.abandon().await;
                Err(stopped.err().unwrap_or(error))
            }
        }
    }

    async fn write_backup(&self, writer: &mut Writer) -> Result<Manifest> {
        let mut manifest = Manifest {
            schema: manifest::SCHEMA.to_owned(),
            program: env!("CARGO_PKG_VERSION").to_owned(),
            shape: newest(),
            made_utc: self.clock().now_utc(),
            database: self.db().kind().to_owned(),
            audit_rows: 0,
            audit_head: String::new(),
            tables: Vec::new(),
            recordings: Vec::new(),
            missing: Vec::new(),
        };
        let names = {
            let mut tx = self.read().await?;
            let (rows, head) = audit::last(&mut tx).await?;
            (manifest.audit_rows, manifest.audit_head) = (rows, head);
            for table in TABLES.iter().filter(|table| table.kept) {
                manifest
                    .tables
                    .push(write_table(&mut tx, table, writer).await?);
            }
            recordings(&mut tx).await?
        };
        for (sha256, _) in names {
            match self.objects().get(&sha256).await {
                Ok(bytes) => {
                    let part = manifest::recording_part(&sha256);
                    let size = bytes.len() as u64;
                    writer.part(&part, bytes).await?;
                    manifest.recordings.push(RecordingPart {
                        part,
                        sha256,
                        bytes: size,
                    });
                }
                Err(error) => {
                    tracing::error!(
                        recording = sha256,
                        error = error.for_log(),
                        "left out of the backup"
                    );
                    manifest.missing.push(sha256);
                }
            }
        }
        Ok(manifest)
    }
}

async fn write_table(tx: &mut Tx, table: &Table, writer: &mut Writer) -> Result<TablePart> {
    let part = format!("tables/{}.jsonl", table.name);
    writer.begin_part(&part).await?;
    let (mut rows, mut after): (u64, Option<Vec<Value>>) = (0, None);
    loop {
        let page = page(tx, table, after.as_deref(), PAGE).await?;
        let mut text = String::new();
        for row in &page {
            lines::write(&mut text, table, &table.values(row)?)?;
            rows += 1;
        }
        writer.bytes(Bytes::from(text)).await?;
        match page.last() {
            Some(last) if page.len() == PAGE => after = Some(crate::verify::key(table, last)?),
            _ => break,
        }
    }
    let (sha256, bytes) = writer.end_part().await?;
    let columns = table
        .columns
        .iter()
        .map(|(name, _)| (*name).to_owned())
        .collect();
    Ok(TablePart {
        name: table.name.to_owned(),
        part,
        columns,
        rows,
        bytes,
        sha256,
    })
}

/// Somewhere to write could not be written.
fn cannot(path: &Path) -> impl Fn(std::io::Error) -> SchoolError + '_ {
    move |error| SchoolError::store(format!("be copied to {}", path.display()), error)
}
