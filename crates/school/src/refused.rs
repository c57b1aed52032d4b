//! Files that were not brought in: nothing of them can be kept, so the trail tells of them.

use crate::School;
use crate::actor::Actor;
use crate::audit;
use crate::error::Result;
use crate::model::Refused;
use crate::values;
use serde_json::{Value, json};

/// A file that is not brought in.
#[derive(Clone, Copy, Debug)]
pub struct Refusal<'a> {
    /// File name.
    pub name: &'a str,
    /// Size.
    pub bytes: u64,
    /// Why, in words.
    pub why: &'a str,
    /// It is tried again by itself.
    pub tried_again: bool,
}

const ACTION: &str = "recording.refused";

impl School {
    /// Writes down that a file in the watched folder is not brought in, so that it is told among the arrivals.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn tell_refused(&self, by: &Actor, refusal: &Refusal<'_>) -> Result<()> {
        let mut tx = self.write().await?;
        let detail = json!({
            "name": refusal.name,
            "bytes": refusal.bytes,
            "why": refusal.why,
            "tried_again": refusal.tried_again,
        });
        audit::append(
            &mut tx,
            by,
            ACTION,
            &format!("file {}", refusal.name),
            detail,
            &[],
        )
        .await?;
        tx.commit().await
    }

    /// Files that were not brought in, newest first: up to `limit` (at most 1,000).
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn refused(&self, limit: i64) -> Result<Vec<Refused>> {
        let mut tx = self.read().await?;
        let sql = "SELECT at_utc, by_name, detail FROM audit WHERE action = $1 ORDER BY seq DESC LIMIT $2";
        let rows = tx.rows(sql, values![ACTION, limit.clamp(1, 1000)]).await?;
        let mut refused = Vec::with_capacity(rows.len());
        for row in &rows {
            let detail: Value = serde_json::from_str(&row.text("detail")?)?;
            let text = |name: &str| {
                detail
                    .get(name)
                    .and_then(Value::as_str)
                    .unwrap_or_default()
                    .to_owned()
            };
            refused.push(Refused {
                name: text("name"),
                bytes: detail
                    .get("bytes")
                    .and_then(Value::as_i64)
                    .unwrap_or_default(),
                why: text("why"),
                tried_again: detail
                    .get("tried_again")
                    .and_then(Value::as_bool)
                    .unwrap_or_default(),
                at_utc: row.text("at_utc")?,
                by_name: row.text("by_name")?,
            });
        }
        Ok(refused)
    }
}
