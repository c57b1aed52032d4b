//! The audit trail itself: numbers, hashes, the chain; and what it says of other rows.

use super::Findings;
use crate::audit;
use crate::db::Tx;
use crate::error::Result;
use crate::model::AuditRow;
use crate::values;
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};

/// What the trail says.
#[derive(Debug, Default)]
pub(super) struct Trail {
    /// The newest seal of each row, by the row's name, with the number of the audit row that carries it.
    pub seals: BTreeMap<String, (String, i64)>,
    /// Digest of each signed version, by subject and version.
    pub signed: BTreeMap<(String, i64), BTreeSet<String>>,
}

/// Rows read at once.
const PAGE: i64 = 500;

/// Walks the whole trail.
pub(super) async fn walk(
    tx: &mut Tx,
    written_down: Option<&str>,
    findings: &mut Findings,
) -> Result<Trail> {
    let mut trail = Trail::default();
    let (mut last, mut head) = (0, audit::BEGINNING.to_owned());
    let mut met = written_down.is_none_or(|hash| hash == audit::BEGINNING);
    let mut cursor = i64::MIN;
    loop {
        let page = tx
            .rows(
                "SELECT seq, at_utc, by_id, by_name, action, subject, detail, previous, hash FROM audit \
                 WHERE seq > $1 ORDER BY seq LIMIT $2",
                values![cursor, PAGE],
            )
            .await?;
        for row in &page {
            let row = audit::from_row(row)?;
            check_link(&row, last, &head, findings);
            note_seals(&row, &mut trail, findings);
            met |= written_down == Some(row.hash.as_str());
            findings.verified.audit_rows += 1;
            (cursor, last) = (row.seq, row.seq);
            head = row.hash;
        }
        if i64::try_from(page.len()).unwrap_or(0) < PAGE {
            break;
        }
    }
    if !met {
        findings.problem(
            "The hash that was written down is nowhere in the audit trail: rows were cut off, or the trail was \
             made anew.",
        );
    }
    findings.verified.audit_head = head;
    Ok(trail)
}

fn check_link(row: &AuditRow, last: i64, head: &str, findings: &mut Findings) {
    if row.seq != last + 1 {
        findings.problem(format!(
            "Audit row {}: the one before it is {last}, rows are missing.",
            row.seq
        ));
    }
    if row.previous != head {
        findings.problem(format!(
            "Audit row {}: it does not follow from the row before it.",
            row.seq
        ));
    }
    if audit::hash(row) != row.hash {
        findings.problem(format!(
            "Audit row {}: its hash does not fit its text.",
            row.seq
        ));
    }
}

fn note_seals(row: &AuditRow, trail: &mut Trail, findings: &mut Findings) {
    let Ok(detail) = serde_json::from_str::<Json>(&row.detail) else {
        findings.problem(format!(
            "Audit row {}: its particulars are no JSON.",
            row.seq
        ));
        return;
    };
    let word = |value: &Json, name: &str| value.get(name).and_then(Json::as_str).map(str::to_owned);
    for seal in detail
        .get("seals")
        .and_then(Json::as_array)
        .into_iter()
        .flatten()
    {
        if let (Some(name), Some(sha256)) = (word(seal, "row"), word(seal, "sha256")) {
            trail.seals.insert(name, (sha256, row.seq));
        }
    }
    if row.action == "lesson.signed"
        && let (Some(version), Some(sha256)) = (
            detail.get("version").and_then(Json::as_i64),
            word(&detail, "sha256"),
        )
    {
        trail
            .signed
            .entry((row.subject.clone(), version))
            .or_default()
            .insert(sha256);
    }
}
