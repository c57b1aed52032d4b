//! Signed versions: the bytes fit the digest, the digest is the one that the trail tells, each names the one before.

use super::Findings;
use super::trail::Trail;
use crate::db::{Row, Table, Tx};
use crate::error::Result;
use crate::secret::sha256_hex;
use crate::verify::{key, page};
use flate2::read::GzDecoder;
use serde_json::Value as Json;
use std::io::Read;

/// Documents read at once.
const PAGE: usize = 20;

/// Checks every signed version.
pub(super) async fn check(tx: &mut Tx, trail: &Trail, findings: &mut Findings) -> Result<()> {
    let table = Table::named("signed")?;
    let (mut after, mut before) = (None, None);
    loop {
        let rows = page(tx, table, after.as_deref(), PAGE).await?;
        for row in &rows {
            before = Some(check_version(row, before.take(), trail, findings)?);
        }
        match rows.last() {
            Some(last) if rows.len() == PAGE => after = Some(key(table, last)?),
            _ => break,
        }
    }
    for ((subject, version), digests) in &trail.signed {
        if digests.len() > 1 {
            findings.problem(format!(
                "The audit trail tells of version {version} of {subject} twice."
            ));
        }
    }
    Ok(())
}

/// A version that was checked, for its successor to be compared with.
struct Before {
    lesson_id: String,
    sha256: String,
}

fn check_version(
    row: &Row,
    before: Option<Before>,
    trail: &Trail,
    findings: &mut Findings,
) -> Result<Before> {
    let (lesson_id, version, sha256) = (
        row.text("lesson_id")?,
        row.int("version")?,
        row.text("sha256")?,
    );
    let previous = row.opt_text("previous_sha256")?;
    let name = format!("Version {version} of lesson {lesson_id}");
    let count = findings.verified.problems.len();
    let expected = before
        .filter(|before| before.lesson_id == lesson_id)
        .map(|before| before.sha256);
    if previous != expected {
        findings.problem(format!("{name} does not name the version before it."));
    }
    let told = trail.signed.get(&(format!("lesson {lesson_id}"), version));
    if !told.is_some_and(|digests| digests.contains(&sha256)) {
        findings.problem(format!(
            "{name} has not the digest that the audit trail tells."
        ));
    }
    match unpacked(&row.bytes("document")?) {
        Some(bytes) if sha256_hex(&bytes) == sha256 => check_inside(&name, row, &bytes, findings)?,
        Some(_) => findings.problem(format!("{name}: its bytes do not fit its digest.")),
        None => findings.problem(format!("{name}: its bytes cannot be unpacked.")),
    }
    if findings.verified.problems.len() == count {
        findings.verified.signed_versions += 1;
    }
    Ok(Before { lesson_id, sha256 })
}

/// What the document says of itself is what its row says.
fn check_inside(name: &str, row: &Row, bytes: &[u8], findings: &mut Findings) -> Result<()> {
    let Ok(document) = serde_json::from_slice::<Json>(bytes) else {
        findings.problem(format!("{name}: it is no JSON."));
        return Ok(());
    };
    let word = |path: &str| {
        document
            .pointer(path)
            .and_then(Json::as_str)
            .map(str::to_owned)
    };
    let fits = [
        ("lesson", word("/lesson/id") == Some(row.text("lesson_id")?)),
        (
            "version",
            document.get("version").and_then(Json::as_i64) == Some(row.int("version")?),
        ),
        (
            "version before",
            word("/previous_sha256") == row.opt_text("previous_sha256")?,
        ),
        ("signer", word("/signed_by/id") == Some(row.text("by_id")?)),
        ("time", word("/signed_utc") == Some(row.text("at_utc")?)),
    ];
    for (what, fits) in fits {
        if !fits {
            findings.problem(format!(
                "{name}: the {what} in the document is not the one on record."
            ));
        }
    }
    Ok(())
}

fn unpacked(bytes: &[u8]) -> Option<Vec<u8>> {
    // A signed version is a document of a few megabytes at most; the limit stops a forged one from filling memory.
    const MOST: u64 = 1 << 30;
    let mut text = Vec::new();
    GzDecoder::new(bytes)
        .take(MOST)
        .read_to_end(&mut text)
        .ok()?;
    Some(text)
}
