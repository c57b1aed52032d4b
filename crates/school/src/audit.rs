//! The audit trail: one row for each act, in the same transaction as the act, each chained to the one before.
//!
//! # The text that is hashed
//! `hash` is the SHA-256, in hex, of the line `proofwing/audit/1` followed by these fields in this order, each written
//! as its length in bytes (decimal), a colon, its bytes and a line feed: `seq`, `at_utc`, `by_id`, `by_name`,
//! `action`, `subject`, `detail`, `previous`. The length in front makes the text unambiguous: no two rows give the
//! same one. `previous` of the first row is 64 zeros.

use crate::School;
use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::Result;
use crate::model::AuditRow;
use crate::seal::Written;
use crate::secret::sha256_hex;
use crate::values;
use serde_json::{Value as Json, json};

/// `previous` of the first row.
pub const BEGINNING: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// Tells the trail what was done. `action` is `kind.what`, e.g. `lesson.signed`; `subject` is kind and id, e.g.
/// `lesson 0193…`; `detail` is a JSON object without secrets; `written` names every row that the act wrote, after it
/// was written, so that the trail seals it.
///
/// Writers come one after the other ([`crate::db::Db::write`]), so the chain has no forks.
///
/// # Errors
/// When the database refuses, or a row of `written` is not there.
pub async fn append(
    tx: &mut Tx,
    by: &Actor,
    action: &str,
    subject: &str,
    mut detail: Json,
    written: &[Written],
) -> Result<i64> {
    let mut seals = Vec::with_capacity(written.len());
    for row in written {
        let seal = row.seal(tx).await?;
        seals.push(json!({"row": seal.row, "sha256": seal.sha256}));
    }
    if !seals.is_empty()
        && let Some(object) = detail.as_object_mut()
    {
        object.insert("seals".to_owned(), Json::Array(seals));
    }
    let (last, previous) = last(tx).await?;
    let mut row = AuditRow {
        seq: last + 1,
        at_utc: tx.at_utc().to_owned(),
        by_id: by.id.clone(),
        by_name: by.name.clone(),
        action: action.to_owned(),
        subject: subject.to_owned(),
        detail: detail.to_string(),
        previous,
        hash: String::new(),
    };
    row.hash = hash(&row);
    let seq = row.seq;
    tx.execute(
        "INSERT INTO audit (seq, at_utc, by_id, by_name, action, subject, detail, previous, hash) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
        values![
            row.seq,
            row.at_utc,
            row.by_id,
            row.by_name,
            row.action,
            row.subject,
            row.detail,
            row.previous,
            row.hash
        ],
    )
    .await?;
    Ok(seq)
}

/// Number and hash of the last row; 0 and [`BEGINNING`] when there is none.
///
/// # Errors
/// When the database refuses.
pub async fn last(tx: &mut Tx) -> Result<(i64, String)> {
    match tx
        .row(
            "SELECT seq, hash FROM audit ORDER BY seq DESC LIMIT 1",
            values![],
        )
        .await?
    {
        Some(row) => Ok((row.int("seq")?, row.text("hash")?)),
        None => Ok((0, BEGINNING.to_owned())),
    }
}

/// The hash that a row must have.
#[must_use]
pub fn hash(row: &AuditRow) -> String {
    let seq = row.seq.to_string();
    let mut text = String::from("proofwing/audit/1\n");
    let fields = [
        &seq,
        &row.at_utc,
        &row.by_id,
        &row.by_name,
        &row.action,
        &row.subject,
        &row.detail,
        &row.previous,
    ];
    for field in fields {
        text.push_str(&format!("{}:{field}\n", field.len()));
    }
    sha256_hex(text.as_bytes())
}

/// A row as it stands.
pub(crate) fn from_row(row: &Row) -> Result<AuditRow> {
    Ok(AuditRow {
        seq: row.int("seq")?,
        at_utc: row.text("at_utc")?,
        by_id: row.text("by_id")?,
        by_name: row.text("by_name")?,
        action: row.text("action")?,
        subject: row.text("subject")?,
        detail: row.text("detail")?,
        previous: row.text("previous")?,
        hash: row.text("hash")?,
    })
}

impl School {
    /// The trail, newest first: up to `limit` rows (at most 1,000) before the row `before` (none = from the newest).
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn audit(&self, before: Option<i64>, limit: i64) -> Result<Vec<AuditRow>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT seq, at_utc, by_id, by_name, action, subject, detail, previous, hash FROM audit \
                 WHERE seq < $1 ORDER BY seq DESC LIMIT $2",
                values![before.unwrap_or(i64::MAX), limit.clamp(1, 1000)],
            )
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// Hash of the last row. Written down elsewhere (on paper), it proves later that nothing was cut off.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn audit_head(&self) -> Result<String> {
        let mut tx = self.read().await?;
        Ok(last(&mut tx).await?.1)
    }
}
