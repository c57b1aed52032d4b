//! Sealed rows against their seals, and rows against those that they refer to.

use super::Findings;
use super::trail::Trail;
use crate::db::{Row, TABLES, Table, Tx, Value};
use crate::error::Result;
use crate::{seal, values};
use sqlx::AssertSqlSafe;
use std::collections::BTreeSet;

/// Rows read at once; signed documents are large.
const PAGE: usize = 100;

/// Checks every sealed table, then what must hold between tables.
pub(super) async fn check(tx: &mut Tx, trail: &Trail, findings: &mut Findings) -> Result<()> {
    let mut there = BTreeSet::new();
    for table in TABLES.iter().filter(|table| !table.sealed.is_empty()) {
        check_table(tx, table, trail, &mut there, findings).await?;
    }
    for (name, (_, seq)) in &trail.seals {
        if !there.contains(name) {
            findings.problem(format!(
                "The row `{name}` that audit row {seq} tells of is not there."
            ));
        }
    }
    numbers(tx, findings).await?;
    texts(tx, findings).await?;
    writers(tx, findings).await?;
    references(tx, findings).await
}

async fn check_table(
    tx: &mut Tx,
    table: &Table,
    trail: &Trail,
    there: &mut BTreeSet<String>,
    findings: &mut Findings,
) -> Result<()> {
    let mut after: Option<Vec<Value>> = None;
    loop {
        let page = page(tx, table, after.as_deref(), PAGE).await?;
        for row in &page {
            let seal = seal::of(table, row)?;
            match trail.seals.get(&seal.row) {
                Some((sha256, _)) if *sha256 == seal.sha256 => {}
                Some((_, seq)) => findings.problem(format!(
                    "The row `{}` is not what audit row {seq} sealed.",
                    seal.row
                )),
                None => {
                    findings.problem(format!("The row `{}` is not in the audit trail.", seal.row))
                }
            }
            there.insert(seal.row);
        }
        match page.last() {
            Some(last) if page.len() == PAGE => after = Some(key(table, last)?),
            _ => return Ok(()),
        }
    }
}

/// The next rows of a table in the order of its key, after the row with the key `after`.
pub(crate) async fn page(
    tx: &mut Tx,
    table: &Table,
    after: Option<&[Value]>,
    limit: usize,
) -> Result<Vec<Row>> {
    let order = table.key.join(", ");
    let places: Vec<String> = (1..=table.key.len())
        .map(|place| format!("${place}"))
        .collect();
    let condition = match after {
        Some(_) => format!("WHERE ({order}) > ({})", places.join(", ")),
        None => String::new(),
    };
    // Names of tables and columns are constants of this program.
    let sql = format!(
        "SELECT {} FROM {} {condition} ORDER BY {order} LIMIT {limit}",
        table.column_list(),
        table.name
    );
    tx.rows(
        AssertSqlSafe(sql),
        after.map(<[Value]>::to_vec).unwrap_or_default(),
    )
    .await
}

/// The values of a row's key.
pub(crate) fn key(table: &Table, row: &Row) -> Result<Vec<Value>> {
    table
        .columns
        .iter()
        .filter(|(name, _)| table.key.contains(name))
        .map(|(name, kind)| row.value(name, *kind))
        .collect()
}

/// Entries and signed versions are numbered without a hole, and the lesson's header says the last number.
async fn numbers(tx: &mut Tx, findings: &mut Findings) -> Result<()> {
    let sql = "SELECT lessons.id, entry_seq, signed_version, \
         (SELECT COUNT(*) FROM entries WHERE lesson_id = lessons.id) AS entries, \
         (SELECT COALESCE(MAX(seq), 0) FROM entries WHERE lesson_id = lessons.id) AS last_entry, \
         (SELECT COUNT(*) FROM signed WHERE lesson_id = lessons.id) AS versions, \
         (SELECT COALESCE(MAX(version), 0) FROM signed WHERE lesson_id = lessons.id) AS last_version \
         FROM lessons ORDER BY lessons.id";
    for row in tx.rows(sql, values![]).await? {
        let id = row.text("id")?;
        let (seq, entries, last) = (
            row.int("entry_seq")?,
            row.int("entries")?,
            row.int("last_entry")?,
        );
        if entries != last || seq != last {
            findings.problem(format!(
                "Lesson {id} says that it has {seq} entries; there are {entries}, the last is number {last}."
            ));
        }
        let signed = row.opt_int("signed_version")?.unwrap_or(0);
        let (versions, last) = (row.int("versions")?, row.int("last_version")?);
        if versions != last || signed != last {
            findings.problem(format!(
                "Lesson {id} says that it was signed {signed} times; there are {versions} signed versions, the \
                 last is number {last}."
            ));
        }
    }
    Ok(())
}

/// Texts that are named by their digest have it, and an aircraft's file in force is its last.
async fn texts(tx: &mut Tx, findings: &mut Findings) -> Result<()> {
    for (sql, what) in [
        (
            "SELECT sha256, toml AS body FROM aircraft_files",
            "aircraft file",
        ),
        ("SELECT sha256, toml AS body FROM packs", "standard's text"),
        (
            "SELECT sha256, body FROM carried",
            "text of what a flight left for later ones",
        ),
    ] {
        for row in tx.rows(sql, values![]).await? {
            let (sha256, body) = (row.text("sha256")?, row.text("body")?);
            if crate::secret::sha256_hex(body.as_bytes()) != sha256 {
                findings.problem(format!("The {what} {sha256} does not fit its digest."));
            }
        }
    }
    let sql = "SELECT id, name FROM aircraft WHERE file_sha256 <> COALESCE((SELECT sha256 FROM aircraft_files \
         WHERE aircraft_id = aircraft.id ORDER BY version DESC LIMIT 1), '')";
    for row in tx.rows(sql, values![]).await? {
        findings.problem(format!(
            "The file in force of aircraft {} is not its last.",
            row.text("id")?
        ));
    }
    Ok(())
}

/// Whoever wrote a row is a person of the school, or the program itself.
async fn writers(tx: &mut Tx, findings: &mut Findings) -> Result<()> {
    for table in [
        "aircraft_files",
        "packs",
        "maps",
        "recordings",
        "entries",
        "signed",
        "audit",
    ] {
        let sql = format!(
            "SELECT DISTINCT by_id FROM {table} WHERE by_id <> '' \
             AND NOT EXISTS (SELECT 1 FROM people WHERE people.id = by_id)"
        );
        for row in tx.rows(AssertSqlSafe(sql), values![]).await? {
            findings.problem(format!(
                "`{table}` names {} as the writer, who is no person of the school.",
                row.text("by_id")?
            ));
        }
    }
    Ok(())
}

/// SQLite checks references only while they are turned on: somebody else's tool may have written without.
async fn references(tx: &mut Tx, findings: &mut Findings) -> Result<()> {
    if !tx.is_sqlite() {
        return Ok(());
    }
    for row in tx
        .rows(
            "SELECT \"table\", parent FROM pragma_foreign_key_check",
            values![],
        )
        .await?
    {
        findings.problem(format!(
            "A row of `{}` refers to one of `{}` that is not there.",
            row.text("table")?,
            row.text("parent")?
        ));
    }
    Ok(())
}
