//! Recordings as rows: what came, how it was read, and the bytes as they were received.

use crate::School;
use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::model::{PersonBrief, RecordingBrief, RecordingView};
use crate::values;
use bytes::Bytes;
use std::collections::BTreeMap;

const SELECT: &str = "SELECT r.sha256, r.name, r.bytes, r.received_utc, r.by_id, r.via, r.unsure, r.reading, \
     p.name AS by_name, p.role AS by_role FROM recordings r LEFT JOIN people p ON p.id = r.by_id";

fn from_row(row: &Row, lessons: Vec<String>) -> Result<RecordingBrief> {
    let by = match (row.opt_text("by_name")?, row.opt_text("by_role")?) {
        (Some(name), Some(role)) => PersonBrief {
            id: row.text("by_id")?,
            name,
            role: crate::people::role(&role)?,
        },
        _ => Actor::program().brief(),
    };
    Ok(RecordingBrief {
        sha256: row.text("sha256")?,
        name: row.text("name")?,
        bytes: row.int("bytes")?,
        received_utc: row.text("received_utc")?,
        by,
        via: row.text("via")?,
        lessons,
        unsure: row.flag("unsure")?,
    })
}

/// Whether these bytes were received before.
pub(crate) async fn exists(tx: &mut Tx, sha256: &str) -> Result<bool> {
    Ok(tx
        .row(
            "SELECT sha256 FROM recordings WHERE sha256 = $1",
            values![sha256],
        )
        .await?
        .is_some())
}

/// The file's name as received.
pub(crate) async fn name(tx: &mut Tx, sha256: &str) -> Result<String> {
    tx.row(
        "SELECT name FROM recordings WHERE sha256 = $1",
        values![sha256],
    )
    .await?
    .ok_or_else(|| SchoolError::not_found("this recording"))?
    .text("name")
}

fn must_read_all(by: &Actor) -> Result<()> {
    if by.role.reads_all() {
        return Ok(());
    }
    Err(SchoolError::denied(
        "Recordings are for instructors and auditors; your lessons have their own files.",
    ))
}

impl School {
    /// What came, newest first: up to `limit` (at most 1,000) that came before `before` (a time; none = from the
    /// newest).
    ///
    /// # Errors
    /// `Denied` for students.
    pub async fn recordings(
        &self,
        by: &Actor,
        before: Option<&str>,
        limit: i64,
    ) -> Result<Vec<RecordingBrief>> {
        must_read_all(by)?;
        let mut tx = self.read().await?;
        let limit = limit.clamp(1, 1000);
        let sql = sqlx::AssertSqlSafe(format!(
            "{SELECT} WHERE r.received_utc < $1 ORDER BY r.received_utc DESC, r.sha256 LIMIT {limit}"
        ));
        // Every time of the record sorts before this.
        let before = before.unwrap_or("9999-12-31T23:59:59.999Z");
        let rows = tx.rows(sql, values![before]).await?;
        let mut lessons: BTreeMap<String, Vec<String>> = BTreeMap::new();
        let made = tx
            .rows(
                "SELECT recording_sha256, id FROM lessons ORDER BY recording_sha256, part",
                values![],
            )
            .await?;
        for row in &made {
            lessons
                .entry(row.text("recording_sha256")?)
                .or_default()
                .push(row.text("id")?);
        }
        rows.iter()
            .map(|row| {
                from_row(
                    row,
                    lessons.remove(&row.text("sha256")?).unwrap_or_default(),
                )
            })
            .collect()
    }

    /// A recording with how it was read.
    ///
    /// # Errors
    /// `Denied` for students; `NotFound`.
    pub async fn recording(&self, by: &Actor, sha256: &str) -> Result<RecordingView> {
        must_read_all(by)?;
        let mut tx = self.read().await?;
        let sql = sqlx::AssertSqlSafe(format!("{SELECT} WHERE r.sha256 = $1"));
        let row = tx
            .row(sql, values![sha256])
            .await?
            .ok_or_else(|| SchoolError::not_found("this recording"))?;
        let made = tx
            .rows(
                "SELECT id FROM lessons WHERE recording_sha256 = $1 ORDER BY part",
                values![sha256],
            )
            .await?;
        let lessons = made
            .iter()
            .map(|row| row.text("id"))
            .collect::<Result<_>>()?;
        Ok(RecordingView {
            brief: from_row(&row, lessons)?,
            reading: serde_json::from_str(&row.text("reading")?)?,
        })
    }

    /// Name and bytes of a recording, as received.
    ///
    /// # Errors
    /// `Denied` for students; `NotFound`; `Store` when the bytes were damaged since.
    pub async fn original(&self, by: &Actor, sha256: &str) -> Result<(String, Bytes)> {
        must_read_all(by)?;
        let name = name(&mut self.read().await?, sha256).await?;
        Ok((name, self.objects().get(sha256).await?))
    }
}
