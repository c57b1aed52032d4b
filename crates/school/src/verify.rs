//! Does the record hold? Walks the audit trail, compares every sealed row with its seal, every signed version with
//! its digest and its predecessor, every recording with its name.
//!
//! What this proves and what it cannot: `docs/storage.md`.

mod rows;
mod signed;
mod trail;

pub(crate) use rows::{key, page};

use crate::School;
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::model::Verified;
use crate::values;

/// Most problems that are told one by one.
const MOST: usize = 500;

/// What a check has found so far.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    verified: Verified,
    untold: usize,
}

impl Findings {
    /// Something does not fit.
    pub(crate) fn problem(&mut self, words: impl Into<String>) {
        if self.verified.problems.len() < MOST {
            self.verified.problems.push(words.into());
        } else {
            self.untold += 1;
        }
    }

    /// So many recordings were found sound.
    pub(crate) fn recordings(&mut self, sound: u64) {
        self.verified.recordings += sound;
    }

    /// The findings as they are told.
    pub(crate) fn told(mut self) -> Verified {
        if self.untold > 0 {
            self.verified
                .problems
                .push(format!("And {} more.", self.untold));
        }
        self.verified
    }
}

impl School {
    /// Checks the whole record. `written_down` is a hash of the trail that was noted elsewhere at some time: when it is
    /// given, rows that were cut off since are found too.
    ///
    /// # Errors
    /// When the database refuses. What does not fit is no error but a problem in [`Verified`].
    pub async fn verify(&self, written_down: Option<&str>) -> Result<Verified> {
        let mut findings = Findings::default();
        let names = {
            let mut tx = self.read().await?;
            check_rows(&mut tx, written_down, &mut findings).await?;
            recordings(&mut tx).await?
        };
        // Bytes are kept under their digest and never changed, so they need not be read in the same moment.
        for (sha256, bytes) in names {
            self.check_recording(&sha256, bytes, &mut findings).await?;
        }
        Ok(findings.told())
    }

    async fn check_recording(
        &self,
        sha256: &str,
        size: i64,
        findings: &mut Findings,
    ) -> Result<()> {
        match self.objects().get(sha256).await {
            Ok(bytes) if i64::try_from(bytes.len()).ok() == Some(size) => {
                findings.verified.recordings += 1;
            }
            Ok(bytes) => findings.problem(format!(
                "Recording {sha256} has {} bytes; the record says {size}.",
                bytes.len()
            )),
            Err(SchoolError::NotFound { .. }) => {
                findings.problem(format!("The bytes of recording {sha256} are not there."));
            }
            Err(error) => findings.problem(format!("Recording {sha256}: {}", error.for_log())),
        }
        Ok(())
    }
}

/// Checks everything that lies in the database, at the moment of `tx`.
pub(crate) async fn check_rows(
    tx: &mut Tx,
    written_down: Option<&str>,
    findings: &mut Findings,
) -> Result<()> {
    let trail = trail::walk(tx, written_down, findings).await?;
    rows::check(tx, &trail, findings).await?;
    signed::check(tx, &trail, findings).await
}

/// Name and size of every recording.
pub(crate) async fn recordings(tx: &mut Tx) -> Result<Vec<(String, i64)>> {
    let rows = tx
        .rows(
            "SELECT sha256, bytes FROM recordings ORDER BY sha256",
            values![],
        )
        .await?;
    rows.iter()
        .map(|row| Ok((row.text("sha256")?, row.int("bytes")?)))
        .collect()
}
