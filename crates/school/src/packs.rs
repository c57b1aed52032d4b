//! The school's own standards. Those that come with the program are not stored.

use crate::actor::Actor;
use crate::error::{Result, SchoolError};
use crate::model::FileProblem;
use crate::{School, audit, seal, secret, values};
use serde_json::json;

/// A school's own pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SchoolPack {
    /// Pack id.
    pub id: String,
    /// SHA-256 of its text.
    pub sha256: String,
    /// Its text.
    pub toml: String,
}

impl School {
    /// The school's own packs in force, by id.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn packs(&self) -> Result<Vec<SchoolPack>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT id, sha256, toml FROM packs WHERE active ORDER BY id",
                values![],
            )
            .await?;
        rows.iter()
            .map(|row| {
                Ok(SchoolPack {
                    id: row.text("id")?,
                    sha256: row.text("sha256")?,
                    toml: row.text("toml")?,
                })
            })
            .collect()
    }

    /// A text that a pack of the school ever had, by its digest.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn pack_text(&self, sha256: &str) -> Result<String> {
        let mut tx = self.read().await?;
        tx.row(
            "SELECT toml FROM packs WHERE sha256 = $1 LIMIT 1",
            values![sha256],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this text of a standard"))?
        .text("toml")
    }

    /// Puts a pack's text in force. Earlier texts stay on record.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Problems` when it cannot be used; `Invalid` when the text names another
    /// id, or the id is one of a standard that comes with the program: a published standard is not rewritten.
    pub async fn put_pack(&self, by: &Actor, id: &str, toml: &str) -> Result<SchoolPack> {
        by.must_be_chief()?;
        if standard::EMBEDDED.iter().any(|(known, _)| *known == id) {
            return Err(SchoolError::invalid(
                "id",
                format!("`{id}` is a published standard that comes with the program."),
                "Give the school's own standard an id of its own.",
            ));
        }
        check_pack(id, toml)?;
        let sha256 = secret::sha256_hex(toml.as_bytes());
        let mut tx = self.write().await?;
        let now = tx.at_utc().to_owned();
        let former = tx
            .row(
                "SELECT sha256 FROM packs WHERE id = $1 AND active",
                values![id],
            )
            .await?;
        let mut written = Vec::new();
        if let Some(row) = former {
            let former = row.text("sha256")?;
            tx.execute(
                "UPDATE packs SET active = $1 WHERE id = $2 AND sha256 = $3",
                values![false, id, &former],
            )
            .await?;
            if former != sha256 {
                written.push(seal::pack(id, &former));
            }
        }
        tx.execute(
            "INSERT INTO packs (id, sha256, toml, active, by_id, at_utc) VALUES ($1, $2, $3, $4, $5, $6) \
             ON CONFLICT (id, sha256) DO UPDATE SET active = excluded.active",
            values![id, &sha256, toml, true, &by.id, now],
        )
        .await?;
        written.push(seal::pack(id, &sha256));
        audit::append(
            &mut tx,
            by,
            "standard.put",
            &subject(id),
            json!({"sha256": sha256}),
            &written,
        )
        .await?;
        tx.commit().await?;
        self.remark_touched(by, format!("the standard {id} was changed"));
        Ok(SchoolPack {
            id: id.to_owned(),
            sha256,
            toml: toml.to_owned(),
        })
    }

    /// Retires a pack: new lessons cannot use it; what was signed with it stays as it is.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `NotFound`; `Conflict` when the school's lessons use it by default.
    pub async fn retire_pack(&self, by: &Actor, id: &str) -> Result<()> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let row = tx
            .row(
                "SELECT sha256 FROM packs WHERE id = $1 AND active",
                values![id],
            )
            .await?
            .ok_or_else(|| SchoolError::not_found("this standard"))?;
        let default = tx
            .row("SELECT id FROM school WHERE standard = $1", values![id])
            .await?;
        if default.is_some() {
            return Err(SchoolError::conflict(
                "This standard is the one for lessons that name none.",
                "Choose another for the school first.",
            ));
        }
        let sha256 = row.text("sha256")?;
        tx.execute(
            "UPDATE packs SET active = $1 WHERE id = $2 AND active",
            values![false, id],
        )
        .await?;
        let written = [seal::pack(id, &sha256)];
        audit::append(
            &mut tx,
            by,
            "standard.retired",
            &subject(id),
            json!({"sha256": sha256}),
            &written,
        )
        .await?;
        tx.commit().await
    }
}

/// Checks a pack's text.
///
/// # Errors
/// `Problems` with line and column; `Invalid` when the text names another id.
pub fn check_pack(id: &str, toml: &str) -> Result<standard::Pack> {
    let pack = standard::Pack::read(toml, "standard").map_err(|error| {
        SchoolError::Problems(vec![FileProblem {
            line: error.line,
            column: error.column,
            message: format!("{}; {}", error.what, error.mend),
        }])
    })?;
    if pack.id != id {
        return Err(SchoolError::invalid(
            "id",
            format!("The text is of the standard `{}`, not `{id}`.", pack.id),
            "Put the same id in both places.",
        ));
    }
    Ok(pack)
}

fn subject(id: &str) -> String {
    format!("standard {id}")
}
