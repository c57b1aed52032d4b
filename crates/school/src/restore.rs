//! A backup back into an empty place, on either database. Everything is checked before it counts: the digest of each
//! part, references, the audit trail with every seal, the signed versions, the recordings.

mod source;

use crate::actor::Actor;
use crate::backup::{Manifest, lines};
use crate::config::Config;
use crate::db::{Table, Tx, newest};
use crate::error::{Result, SchoolError, counted};
use crate::model::Verified;
use crate::verify::{self, Findings};
use crate::{School, audit, values};
use serde_json::json;
use source::{Batch, Source};
use sqlx::AssertSqlSafe;
use std::collections::BTreeSet;
use std::path::Path;

/// What a restore did.
#[derive(Clone, Debug)]
pub struct Restored {
    /// The backup's manifest.
    pub manifest: Manifest,
    /// What the check of the restored record found.
    pub verified: Verified,
    /// Rows.
    pub rows: u64,
}

/// Restores a backup into an empty place and opens it.
///
/// `accept_problems` restores a record whose check finds problems (it was so when it was backed up, or the backup was
/// changed since); without it such a backup is refused. Parts that do not fit their digest are always refused.
///
/// # Errors
/// `Conflict` when the place is not empty, the backup is of a newer program, or the record does not hold; `Invalid`
/// when the backup is damaged; `Store` when disk or database refuse. Whatever the error, nothing was restored.
pub async fn restore(
    from: &Path,
    into: Config,
    accept_problems: bool,
) -> Result<(School, Restored)> {
    let source = Source::open(from).await?;
    let manifest = source.manifest().clone();
    if manifest.shape > newest() {
        return Err(SchoolError::conflict(
            format!(
                "This backup was made by a newer Proofwing ({}, shape {}); this one knows shape {}.",
                manifest.program,
                manifest.shape,
                newest()
            ),
            "Restore it with the newer program.",
        ));
    }
    let school = School::open_unshaped(into).await?;
    let mut tx = school.write().await?;
    if !tx.is_empty_place().await? {
        return Err(SchoolError::conflict(
            "There is a record in this place already.",
            "Name an empty folder (and database): a restore never writes over a record.",
        ));
    }
    tx.migrate(manifest.shape).await?;
    let rows = fill(&school, &mut tx, source, &manifest).await?;
    tx.migrate(newest()).await?;
    let verified = check(&mut tx, &manifest).await?;
    if !verified.problems.is_empty() && !accept_problems {
        return Err(refused(&verified));
    }
    let detail = json!({
        "backup_made_utc": manifest.made_utc, "audit_rows": manifest.audit_rows,
        "audit_head": manifest.audit_head, "problems": verified.problems.len(),
    });
    audit::append(
        &mut tx,
        &Actor::program(),
        "record.restored",
        "school",
        detail,
        &[],
    )
    .await?;
    tx.commit().await?;
    Ok((
        school,
        Restored {
            manifest,
            verified,
            rows,
        },
    ))
}

/// Puts rows and recordings in place; a part that does not fit its digest ends it.
async fn fill(school: &School, tx: &mut Tx, source: Source, manifest: &Manifest) -> Result<u64> {
    let (mut batches, done) = source.read();
    let mut rows = 0;
    while let Some(batch) = batches.recv().await {
        match batch {
            Batch::Lines { part, lines } => {
                let table = Table::named(&part.name)?;
                let sql = insert(table, &part.columns);
                for line in lines {
                    let values = lines::read(&line, table, &part.columns)?;
                    tx.execute(AssertSqlSafe(sql.clone()), values).await?;
                    rows += 1;
                }
            }
            Batch::Recording { bytes } => {
                school.objects().put(bytes).await?;
            }
        }
    }
    done.await
        .map_err(|error| SchoolError::store("be restored", error))??;
    complete(tx, manifest).await?;
    Ok(rows)
}

/// Columns were checked against the table's by `Source`, so they are constants of this program.
fn insert(table: &Table, columns: &[String]) -> String {
    let places: Vec<String> = (1..=columns.len())
        .map(|place| format!("${place}"))
        .collect();
    format!(
        "INSERT INTO {} ({}) VALUES ({})",
        table.name,
        columns.join(", "),
        places.join(", ")
    )
}

/// Every recording that a row names came with the backup, or the manifest says that it was missing then.
async fn complete(tx: &mut Tx, manifest: &Manifest) -> Result<()> {
    let here: BTreeSet<&str> = manifest
        .recordings
        .iter()
        .map(|part| part.sha256.as_str())
        .collect();
    let lacking = verify::recordings(tx)
        .await?
        .into_iter()
        .find(|(sha256, _)| !here.contains(sha256.as_str()) && !manifest.missing.contains(sha256));
    match lacking {
        None => Ok(()),
        Some((sha256, _)) => Err(source::damaged(&format!("it lacks the recording {sha256}"))),
    }
}

async fn check(tx: &mut Tx, manifest: &Manifest) -> Result<Verified> {
    let mut findings = Findings::default();
    verify::check_rows(tx, Some(&manifest.audit_head), &mut findings).await?;
    // Their bytes were checked against their digests on the way in.
    findings.recordings(manifest.recordings.len() as u64);
    for sha256 in &manifest.missing {
        findings.problem(format!(
            "Recording {sha256} was missing when the backup was made."
        ));
    }
    let rows = tx
        .one("SELECT COUNT(*) AS rows FROM audit", values![])
        .await?
        .int("rows")?;
    if rows != manifest.audit_rows {
        findings.problem(format!(
            "The manifest tells of {} audit rows; there are {rows}.",
            manifest.audit_rows
        ));
    }
    Ok(findings.told())
}

fn refused(verified: &Verified) -> SchoolError {
    let first = verified.problems.first().map_or("", String::as_str);
    SchoolError::conflict(
        format!(
            "The backup's record does not hold: {}. {first}",
            counted(verified.problems.len(), "problem", "problems")
        ),
        "Nothing was restored. Take an earlier backup, or restore it knowingly with its problems.",
    )
}
