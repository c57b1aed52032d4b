//! The school's aircraft, each with every file it ever had.

use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::model::{AircraftBrief, AircraftView, FileProblem, FileVersion};
use crate::{School, audit, checks, new_id, seal, secret, values};
use serde_json::json;

/// What may be changed of an aircraft; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AircraftChange {
    /// The school's name for it.
    pub name: Option<String>,
    /// Its file, TOML.
    pub toml: Option<String>,
    /// In use.
    pub active: Option<bool>,
}

impl School {
    /// Every aircraft, those in use first, by name.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn aircraft(&self) -> Result<Vec<AircraftBrief>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT aircraft.id, name, file_sha256, active, changed_utc, toml FROM aircraft \
                 JOIN aircraft_files ON aircraft_files.aircraft_id = aircraft.id AND version = \
                 (SELECT MAX(version) FROM aircraft_files AS newest WHERE newest.aircraft_id = aircraft.id) \
                 ORDER BY active DESC, lower(name), aircraft.id",
                values![],
            )
            .await?;
        rows.iter().map(brief).collect()
    }

    /// One aircraft with its file and every file it ever had.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn aircraft_view(&self, id: &str) -> Result<AircraftView> {
        view(&mut self.read().await?, id).await
    }

    /// A text that an aircraft of the school had, by its digest (for a lesson that was marked with it).
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn aircraft_text(&self, sha256: &str) -> Result<String> {
        let mut tx = self.read().await?;
        tx.row(
            "SELECT toml FROM aircraft_files WHERE sha256 = $1 LIMIT 1",
            values![sha256],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this aircraft file"))?
        .text("toml")
    }

    /// Adds an aircraft.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Problems` with line and column when the file cannot be used.
    pub async fn add_aircraft(&self, by: &Actor, name: &str, toml: &str) -> Result<AircraftView> {
        by.must_be_chief()?;
        let name = checks::line("name", "The aircraft's name", name, 80)?;
        check_aircraft_file(toml)?;
        let (id, sha256) = (new_id(), secret::sha256_hex(toml.as_bytes()));
        let mut tx = self.write().await?;
        let now = tx.at_utc().to_owned();
        tx.execute(
            "INSERT INTO aircraft (id, name, file_sha256, active, changed_utc) VALUES ($1, $2, $3, $4, $5)",
            values![&id, &name, &sha256, true, now],
        )
        .await?;
        let version = insert_file(&mut tx, by, &id, &sha256, toml).await?;
        let written = [seal::aircraft(&id), seal::aircraft_file(&id, version)];
        let detail = json!({"name": name, "file_sha256": sha256});
        audit::append(
            &mut tx,
            by,
            "aircraft.added",
            &subject(&id),
            detail,
            &written,
        )
        .await?;
        let view = view(&mut tx, &id).await?;
        tx.commit().await?;
        Ok(view)
    }

    /// Changes name, file or whether an aircraft is in use. Its former files stay.
    ///
    /// # Errors
    /// As [`School::add_aircraft`], and `NotFound`.
    pub async fn change_aircraft(
        &self,
        by: &Actor,
        id: &str,
        change: &AircraftChange,
    ) -> Result<AircraftView> {
        by.must_be_chief()?;
        if let Some(toml) = &change.toml {
            check_aircraft_file(toml)?;
        }
        let mut tx = self.write().await?;
        let before = view(&mut tx, id).await?.brief;
        let name = match &change.name {
            Some(name) => checks::line("name", "The aircraft's name", name, 80)?,
            None => before.name.clone(),
        };
        let active = change.active.unwrap_or(before.active);
        let mut written = vec![seal::aircraft(id)];
        let mut file_sha256 = before.file_sha256.clone();
        if let Some(toml) = &change.toml {
            let sha256 = secret::sha256_hex(toml.as_bytes());
            if sha256 != before.file_sha256 {
                let version = insert_file(&mut tx, by, id, &sha256, toml).await?;
                written.push(seal::aircraft_file(id, version));
                file_sha256 = sha256;
            }
        }
        let now = tx.at_utc().to_owned();
        tx.execute(
            "UPDATE aircraft SET name = $1, file_sha256 = $2, active = $3, changed_utc = $4 WHERE id = $5",
            values![&name, &file_sha256, active, now, id],
        )
        .await?;
        let detail = json!({"name": name, "active": active, "file_sha256": file_sha256,
            "before": {"name": before.name, "active": before.active, "file_sha256": before.file_sha256}});
        audit::append(
            &mut tx,
            by,
            "aircraft.changed",
            &subject(id),
            detail,
            &written,
        )
        .await?;
        let view = view(&mut tx, id).await?;
        tx.commit().await?;
        if file_sha256 != before.file_sha256 {
            self.remark_touched(by, format!("the file of {name} was changed"));
        }
        Ok(view)
    }
}

/// Checks an aircraft file; gives what it lacks or what looks odd, in words.
///
/// # Errors
/// `Problems`: every problem at once, with line and column.
pub fn check_aircraft_file(toml: &str) -> Result<Vec<String>> {
    match aircraft::parse(toml, "aircraft file") {
        Ok((_, notices)) => Ok(notices.iter().map(|notice| notice.to_string()).collect()),
        Err(problems) => Err(SchoolError::Problems(
            problems
                .into_iter()
                .map(|problem| FileProblem {
                    line: problem.place.line,
                    column: problem.place.column,
                    message: format!("{}; {}", problem.what, problem.mend),
                })
                .collect(),
        )),
    }
}

async fn insert_file(tx: &mut Tx, by: &Actor, id: &str, sha256: &str, toml: &str) -> Result<i64> {
    let last = tx
        .one(
            "SELECT COALESCE(MAX(version), 0) AS last FROM aircraft_files WHERE aircraft_id = $1",
            values![id],
        )
        .await?
        .int("last")?;
    let now = tx.at_utc().to_owned();
    tx.execute(
        "INSERT INTO aircraft_files (aircraft_id, version, sha256, toml, by_id, at_utc) \
         VALUES ($1, $2, $3, $4, $5, $6)",
        values![id, last + 1, sha256, toml, &by.id, now],
    )
    .await?;
    Ok(last + 1)
}

async fn view(tx: &mut Tx, id: &str) -> Result<AircraftView> {
    let row = tx
        .row(
            "SELECT aircraft.id, name, file_sha256, active, changed_utc, toml FROM aircraft \
             JOIN aircraft_files ON aircraft_files.aircraft_id = aircraft.id \
             WHERE aircraft.id = $1 ORDER BY version DESC LIMIT 1",
            values![id],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this aircraft"))?;
    let toml = row.text("toml")?;
    let files = tx
        .rows(
            "SELECT sha256, at_utc, COALESCE(people.name, 'Proofwing') AS by_name FROM aircraft_files \
             LEFT JOIN people ON people.id = by_id WHERE aircraft_id = $1 ORDER BY version DESC",
            values![id],
        )
        .await?;
    let history = files
        .iter()
        .map(|file| {
            Ok(FileVersion {
                sha256: file.text("sha256")?,
                by: file.text("by_name")?,
                at_utc: file.text("at_utc")?,
            })
        })
        .collect::<Result<Vec<_>>>()?;
    // A text that this program can no longer use is still shown, with what is wrong.
    let notices = match check_aircraft_file(&toml) {
        Ok(notices) => notices,
        Err(SchoolError::Problems(problems)) => problems
            .into_iter()
            .map(|problem| format!("line {}: {}", problem.line, problem.message))
            .collect(),
        Err(error) => return Err(error),
    };
    Ok(AircraftView {
        brief: brief(&row)?,
        toml,
        notices,
        history,
    })
}

fn brief(row: &Row) -> Result<AircraftBrief> {
    let toml = row.text("toml")?;
    let description = aircraft::parse(&toml, "aircraft file")
        .map(|(read, _)| read.description)
        .unwrap_or_default();
    Ok(AircraftBrief {
        id: row.text("id")?,
        name: row.text("name")?,
        description,
        active: row.flag("active")?,
        file_sha256: row.text("file_sha256")?,
        changed_utc: row.text("changed_utc")?,
    })
}

fn subject(id: &str) -> String {
    format!("aircraft {id}")
}
