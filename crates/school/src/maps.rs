//! How a kind of file is read, where a person has corrected it: one map for each header, by its signature.

use crate::actor::Actor;
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::model::MapColumn;
use crate::{School, audit, checks, seal, values};
use serde_json::json;

/// A kept map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptMap {
    /// Fingerprint of the header that it is for.
    pub header_signature: String,
    /// Name, e.g. of the recorder as the school calls it.
    pub name: String,
    /// Corrections.
    pub entries: Vec<MapColumn>,
}

impl School {
    /// The map for files with this header, if a person made one.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn map(&self, header_signature: &str) -> Result<Option<KeptMap>> {
        map(&mut self.read().await?, header_signature).await
    }

    /// Every map, by name.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn maps(&self) -> Result<Vec<KeptMap>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows("SELECT header_signature, name, entries FROM maps ORDER BY lower(name), header_signature", values![])
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// Keeps a map for files with this header; it takes the place of an earlier one.
    ///
    /// # Errors
    /// `Denied` unless the person teaches; `Invalid` for the name.
    pub async fn keep_map(
        &self,
        by: &Actor,
        header_signature: &str,
        name: &str,
        entries: &[MapColumn],
    ) -> Result<()> {
        let mut tx = self.write().await?;
        keep_map(&mut tx, by, header_signature, name, entries).await?;
        tx.commit().await
    }
}

/// The map for files with this header, within a transaction.
///
/// # Errors
/// When the database refuses.
pub async fn map(tx: &mut Tx, header_signature: &str) -> Result<Option<KeptMap>> {
    let row = tx
        .row(
            "SELECT header_signature, name, entries FROM maps WHERE header_signature = $1",
            values![header_signature],
        )
        .await?;
    row.as_ref().map(from_row).transpose()
}

/// Keeps a map within an act.
///
/// # Errors
/// As [`School::keep_map`].
pub async fn keep_map(
    tx: &mut Tx,
    by: &Actor,
    header_signature: &str,
    name: &str,
    entries: &[MapColumn],
) -> Result<()> {
    by.must_teach()?;
    let name = checks::line("name", "The map's name", name, 80)?;
    if header_signature.is_empty() {
        return Err(SchoolError::invalid(
            "map",
            "A map must be for files with a header.",
            "Name the columns' header.",
        ));
    }
    let now = tx.at_utc().to_owned();
    tx.execute(
        "INSERT INTO maps (header_signature, name, entries, by_id, at_utc) VALUES ($1, $2, $3, $4, $5) \
         ON CONFLICT (header_signature) DO UPDATE SET name = excluded.name, entries = excluded.entries, \
         by_id = excluded.by_id, at_utc = excluded.at_utc",
        values![header_signature, &name, serde_json::to_string(entries)?, &by.id, now],
    )
    .await?;
    let detail = json!({"name": name, "entries": entries});
    let written = [seal::map(header_signature)];
    audit::append(
        tx,
        by,
        "map.kept",
        &format!("map {header_signature}"),
        detail,
        &written,
    )
    .await?;
    Ok(())
}

fn from_row(row: &crate::db::Row) -> Result<KeptMap> {
    Ok(KeptMap {
        header_signature: row.text("header_signature")?,
        name: row.text("name")?,
        entries: serde_json::from_str(&row.text("entries")?)?,
    })
}
