//! Entries as rows: acts of people on a lesson, one after the other.

use crate::School;
use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::fold::{Said, Seen};
use crate::lessons;
use crate::model::{Act, Entry, PersonBrief, Role};
use crate::{new_id, values};
use maneuver::Correction;
use serde_json::Value as Json;
use standard::Briefed;

/// Stable id of an act.
#[must_use]
pub fn kind(act: &Act) -> &'static str {
    match act {
        Act::Setting(_) => "setting",
        Act::Briefed { .. } => "briefed",
        Act::Corrections { .. } => "corrections",
        Act::Mark { .. } => "mark",
        Act::Confirm { .. } => "confirm",
        Act::Unmark { .. } => "unmark",
        Act::Note { .. } => "note",
        Act::Unnote { .. } => "unnote",
        Act::Summary { .. } => "summary",
        Act::Answer { .. } => "answer",
        Act::Reply { .. } => "reply",
        Act::Acknowledge { .. } => "acknowledge",
    }
}

/// An act as the body of an entry: its JSON, and beside it what the program said of the marks it speaks of.
fn body(act: &Act, seen: &[Seen]) -> Result<String> {
    let mut body = serde_json::to_value(act)?;
    if let Some(object) = body.as_object_mut() {
        object.remove("kind");
        if !seen.is_empty() {
            object.insert("seen".to_owned(), serde_json::to_value(seen)?);
        }
    }
    Ok(body.to_string())
}

/// An act and what was seen, from the row's kind and body.
fn unbody(kind: &str, body: &str) -> Result<(Act, Vec<Seen>)> {
    let mut body: Json = serde_json::from_str(body)?;
    let mut seen = Vec::new();
    if let Some(object) = body.as_object_mut() {
        if let Some(told) = object.remove("seen") {
            seen = serde_json::from_value(told)?;
        }
        object.insert("kind".to_owned(), kind.into());
    }
    Ok((serde_json::from_value(body)?, seen))
}

const SELECT: &str = "SELECT e.seq, e.id, e.at_utc, e.by_id, e.kind, e.body, p.name, p.role \
     FROM entries e LEFT JOIN people p ON p.id = e.by_id";

fn from_row(row: &Row) -> Result<Said> {
    let (act, seen) = unbody(&row.text("kind")?, &row.text("body")?)?;
    let by = match (row.opt_text("name")?, row.opt_text("role")?) {
        (Some(name), Some(role)) => PersonBrief {
            id: row.text("by_id")?,
            name,
            role: crate::people::role(&role)?,
        },
        _ => Actor::program().brief(),
    };
    let entry = Entry {
        seq: row.int("seq")?,
        id: row.text("id")?,
        at_utc: row.text("at_utc")?,
        by,
        act,
    };
    Ok(Said { entry, seen })
}

/// Every entry of a lesson, in order.
///
/// # Errors
/// When the database refuses or an entry does not read.
pub async fn of_lesson(tx: &mut Tx, lesson_id: &str) -> Result<Vec<Said>> {
    let sql = sqlx::AssertSqlSafe(format!("{SELECT} WHERE e.lesson_id = $1 ORDER BY e.seq"));
    tx.rows(sql, values![lesson_id])
        .await?
        .iter()
        .map(from_row)
        .collect()
}

/// Adds an entry; `seq` is the lesson's next number.
pub(crate) async fn add(
    tx: &mut Tx,
    by: &Actor,
    lesson_id: &str,
    seq: i64,
    act: &Act,
    seen: &[Seen],
) -> Result<Said> {
    let entry = Entry {
        seq,
        id: new_id(),
        at_utc: tx.at_utc().to_owned(),
        by: by.brief(),
        act: act.clone(),
    };
    tx.execute(
        "INSERT INTO entries (lesson_id, seq, id, at_utc, by_id, kind, body) VALUES ($1, $2, $3, $4, $5, $6, $7)",
        values![lesson_id, seq, &entry.id, &entry.at_utc, &by.id, kind(act), body(act, seen)?],
    )
    .await?;
    Ok(Said {
        entry,
        seen: seen.to_vec(),
    })
}

async fn last(tx: &mut Tx, lesson_id: &str, wanted: &str) -> Result<Option<Act>> {
    let row = tx
        .row(
            "SELECT kind, body FROM entries WHERE lesson_id = $1 AND kind = $2 ORDER BY seq DESC LIMIT 1",
            values![lesson_id, wanted],
        )
        .await?;
    match row {
        Some(row) => Ok(Some(unbody(&row.text("kind")?, &row.text("body")?)?.0)),
        None => Ok(None),
    }
}

/// What was asked for on a lesson, by its last entry.
///
/// # Errors
/// When the database refuses.
pub async fn last_briefed(tx: &mut Tx, lesson_id: &str) -> Result<Briefed> {
    Ok(match last(tx, lesson_id, "briefed").await? {
        Some(Act::Briefed { briefed }) => briefed,
        _ => Briefed::default(),
    })
}

/// Corrections of recognition of a lesson, by its last entry.
///
/// # Errors
/// When the database refuses.
pub async fn last_corrections(tx: &mut Tx, lesson_id: &str) -> Result<Vec<Correction>> {
    Ok(match last(tx, lesson_id, "corrections").await? {
        Some(Act::Corrections { corrections }) => corrections,
        _ => Vec::new(),
    })
}

impl School {
    /// The history of acts on a lesson, in order.
    ///
    /// # Errors
    /// `NotFound` when the person may not see the lesson; `Denied` for a demonstration that is not theirs.
    pub async fn history(&self, by: &Actor, lesson_id: &str) -> Result<Vec<Entry>> {
        let mut tx = self.read().await?;
        let lesson = lessons::visible(&mut tx, by, lesson_id).await?;
        if by.role == Role::Student && !lessons::is_own(by, &lesson.brief) {
            return Err(SchoolError::denied(
                "What was said of this lesson is for those who flew it.",
            ));
        }
        Ok(of_lesson(&mut tx, lesson_id)
            .await?
            .into_iter()
            .map(|said| said.entry)
            .collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{ManeuverRef, Setting};
    use standard::Verdict;

    #[test]
    fn prop_an_act_comes_back_from_its_body() {
        let maneuver = ManeuverRef {
            kind: "steep_turn".to_owned(),
            start_s: 1.5,
            end_s: 40.25,
        };
        let seen = vec![Seen {
            element: "PA.V.A.S5".to_owned(),
            criterion: "bank".to_owned(),
            verdict: Verdict::TooClose,
        }];
        let acts = [
            Act::Setting(Setting {
                terrain_ft: Some(Some(75.0)),
                ..Setting::default()
            }),
            Act::Briefed {
                briefed: Briefed::default(),
            },
            Act::Corrections {
                corrections: Vec::new(),
            },
            Act::Mark {
                maneuver: maneuver.clone(),
                element: "PA.V.A.S5".to_owned(),
                criterion: "bank".to_owned(),
                verdict: Verdict::NotMet,
                reason: "52° at 14:31, \"seen\"".to_owned(),
            },
            Act::Confirm {
                maneuver,
                element: String::new(),
                criterion: String::new(),
            },
            Act::Unnote { id: "x".to_owned() },
            Act::Acknowledge {
                version: 2,
                sha256: "00".to_owned(),
            },
        ];
        for act in acts {
            let text = body(&act, &seen).unwrap();
            let (back, told) = unbody(kind(&act), &text).unwrap();
            assert_eq!((back, told.as_slice()), (act, seen.as_slice()));
        }
    }
}
