//! Reads a backup's parts, on a thread of its own, and checks each against its digest on the way.

use crate::backup::{Manifest, RecordingPart, TablePart};
use crate::db::{TABLES, Table};
use crate::error::{Result, SchoolError};
use crate::secret::{hex, is_sha256};
use bytes::Bytes;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use tokio::sync::mpsc;
use tokio::task::JoinHandle;
use zip::ZipArchive;

/// Lines handed over at once, and the characters after which fewer are.
const LINES: usize = 500;
const CHARACTERS: usize = 4 << 20;
/// Largest manifest and largest recording that is read.
const LARGEST_MANIFEST: u64 = 1 << 28;
const LARGEST_RECORDING: u64 = 1 << 32;

/// A backup that can be read.
pub(super) struct Source {
    form: Form,
    manifest: Manifest,
}

enum Form {
    Zip(Box<ZipArchive<File>>),
    Folder(PathBuf),
}

/// Something of a backup that is sound as far as it was read.
pub(super) enum Batch {
    /// Rows of a table.
    Lines { part: TablePart, lines: Vec<String> },
    /// A recording, whole and checked.
    Recording { bytes: Bytes },
}

impl Source {
    /// Opens a backup and reads its manifest.
    pub async fn open(path: &Path) -> Result<Source> {
        let path = path.to_owned();
        tokio::task::spawn_blocking(move || Source::open_now(&path))
            .await
            .map_err(|error| SchoolError::store("be restored", error))?
    }

    fn open_now(path: &Path) -> Result<Source> {
        let unreadable = |error: &dyn std::fmt::Display| {
            SchoolError::invalid(
                "backup",
                format!("{} cannot be read as a backup: {error}.", path.display()),
                "Name a folder or zip that `proofwing backup` made.",
            )
        };
        let mut form = if path.is_dir() {
            Form::Folder(path.to_owned())
        } else {
            let file = File::open(path).map_err(|error| unreadable(&error))?;
            Form::Zip(Box::new(
                ZipArchive::new(file).map_err(|error| unreadable(&error))?,
            ))
        };
        let mut text = Vec::new();
        form.part("manifest.json")?
            .take(LARGEST_MANIFEST)
            .read_to_end(&mut text)
            .map_err(|error| unreadable(&error))?;
        let manifest: Manifest =
            serde_json::from_slice(&text).map_err(|error| unreadable(&error))?;
        check_manifest(&manifest)?;
        Ok(Source { form, manifest })
    }

    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// Reads everything. The second value says at the end whether all parts fitted their digests: only then may what
    /// came through the first be kept.
    pub fn read(self) -> (mpsc::Receiver<Batch>, JoinHandle<Result<()>>) {
        let (to, from) = mpsc::channel(4);
        let done = tokio::task::spawn_blocking(move || {
            let Source { mut form, manifest } = self;
            // First every digest, so that a damaged part is told as such and not by what the database makes of it.
            for part in &manifest.tables {
                read_table(&mut form, part, None)?;
            }
            for part in &manifest.tables {
                read_table(&mut form, part, Some(&to))?;
            }
            for part in &manifest.recordings {
                read_recording(&mut form, part, &to)?;
            }
            Ok(())
        });
        (from, done)
    }
}

impl Form {
    fn part(&mut self, name: &str) -> Result<Box<dyn Read + '_>> {
        let missing =
            |error: &dyn std::fmt::Display| damaged(&format!("`{name}` cannot be read, {error}"));
        Ok(match self {
            Form::Zip(zip) => Box::new(zip.by_name(name).map_err(|error| missing(&error))?),
            Form::Folder(folder) => {
                Box::new(File::open(folder.join(name)).map_err(|error| missing(&error))?)
            }
        })
    }
}

/// The backup is not as it was written.
pub(super) fn damaged(what: &str) -> SchoolError {
    SchoolError::invalid(
        "backup",
        format!("The backup is damaged: {what}."),
        "Nothing was restored. Take another copy of it, or an earlier backup.",
    )
}

/// Names in a manifest become paths and SQL: only those that this program writes are taken.
fn check_manifest(manifest: &Manifest) -> Result<()> {
    if manifest.schema != "proofwing/backup/1" {
        return Err(damaged(&format!(
            "its form `{}` is not known",
            manifest.schema
        )));
    }
    let kept: Vec<&str> = TABLES
        .iter()
        .filter(|table| table.kept)
        .map(|table| table.name)
        .collect();
    let named: Vec<&str> = manifest
        .tables
        .iter()
        .map(|part| part.name.as_str())
        .collect();
    let in_order = kept
        .iter()
        .filter(|name| named.contains(name))
        .eq(named.iter());
    if !in_order {
        return Err(damaged("its tables are not those of a record"));
    }
    for part in &manifest.tables {
        let table = Table::named(&part.name)?;
        let known = |name: &String| table.columns.iter().any(|(column, _)| column == name);
        let keyed = table
            .key
            .iter()
            .all(|key| part.columns.iter().any(|name| name == key));
        if part.part != format!("tables/{}.jsonl", part.name)
            || !part.columns.iter().all(known)
            || !keyed
        {
            return Err(damaged(&format!(
                "the table `{}` is not that of a record",
                part.name
            )));
        }
    }
    let odd = manifest.recordings.iter().find(|part| {
        !is_sha256(&part.sha256) || part.part != format!("recordings/{}", slashed(&part.sha256))
    });
    match odd {
        Some(part) => Err(damaged(&format!(
            "`{}` is no name of a recording",
            part.part
        ))),
        None => Ok(()),
    }
}

fn slashed(sha256: &str) -> String {
    let (head, tail) = sha256.split_at_checked(2).unwrap_or((sha256, ""));
    format!("{head}/{tail}")
}

/// Reads a table to its end and checks its digest; hands its lines over where somebody wants them.
fn read_table(form: &mut Form, part: &TablePart, to: Option<&mpsc::Sender<Batch>>) -> Result<()> {
    let unreadable =
        |error: std::io::Error| damaged(&format!("`{}` cannot be read, {error}", part.part));
    // One byte more than told is enough to see that there are too many.
    let mut reader = BufReader::new(form.part(&part.part)?.take(part.bytes.saturating_add(1)));
    let (mut digest, mut size, mut rows) = (Sha256::new(), 0_u64, 0_u64);
    let (mut lines, mut characters) = (Vec::new(), 0);
    loop {
        let mut line = String::new();
        let read = reader.read_line(&mut line).map_err(unreadable)?;
        digest.update(line.as_bytes());
        size += read as u64;
        let over = read == 0 || lines.len() >= LINES || characters > CHARACTERS;
        if over
            && !lines.is_empty()
            && let Some(to) = to
        {
            let batch = Batch::Lines {
                part: part.clone(),
                lines: std::mem::take(&mut lines),
            };
            to.blocking_send(batch)
                .map_err(|_| damaged("reading it was given up"))?;
            characters = 0;
        }
        if read == 0 {
            break;
        }
        rows += 1;
        if to.is_some() {
            characters += line.len();
            lines.push(line);
        }
    }
    if size != part.bytes || rows != part.rows || hex(&digest.finalize()) != part.sha256 {
        return Err(damaged(&format!("`{}` does not fit its digest", part.part)));
    }
    Ok(())
}

fn read_recording(form: &mut Form, part: &RecordingPart, to: &mpsc::Sender<Batch>) -> Result<()> {
    if part.bytes > LARGEST_RECORDING {
        return Err(damaged(&format!(
            "`{}` is larger than a recording can be",
            part.part
        )));
    }
    let mut bytes = Vec::new();
    form.part(&part.part)?
        .take(part.bytes.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|error| damaged(&format!("`{}` cannot be read, {error}", part.part)))?;
    if bytes.len() as u64 != part.bytes || hex(&Sha256::digest(&bytes)) != part.sha256 {
        return Err(damaged(&format!("`{}` does not fit its digest", part.part)));
    }
    to.blocking_send(Batch::Recording {
        bytes: bytes.into(),
    })
    .map_err(|_| damaged("reading it was given up"))
}
