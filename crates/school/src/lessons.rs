//! Lessons as rows: lists, headers, who may see them.

use crate::School;
use crate::actor::Actor;
use crate::db::{Row, Tx, Value};
use crate::error::{Result, SchoolError};
use crate::model::{LessonBrief, LessonState, PersonBrief, Role};
use crate::values;
use sqlx::AssertSqlSafe;

/// A lesson's header with what only the store needs.
#[derive(Clone, Debug)]
pub struct LessonRow {
    /// In short.
    pub brief: LessonBrief,
    /// Elevation that the lesson itself names, ft.
    pub terrain_ft: Option<f64>,
    /// A person gave the title.
    pub title_given: bool,
    /// Number of the last entry.
    pub entry_seq: i64,
    /// Last signed version.
    pub signed_version: Option<i64>,
    /// Last version that the student acknowledged.
    pub acknowledged_version: Option<i64>,
}

/// Which lessons are wanted. Empty = all that the person may see.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LessonFilter {
    /// Student (person id).
    pub student: Option<String>,
    /// Instructor (person id).
    pub instructor: Option<String>,
    /// Kind of maneuver that was flown.
    pub kind: Option<String>,
    /// State. Lessons that were set aside come only when asked for.
    pub state: Option<LessonState>,
    /// Only demonstrations, or only lessons that are none.
    pub demonstration: Option<bool>,
    /// Only those before this one: a lesson's id, or a time.
    pub before: Option<String>,
    /// At most so many; none = 200, and never more than 1,000.
    pub limit: Option<i64>,
}

/// A lesson's state from its row: in the database, so that lists can ask for it.
const STATE: &str = "CASE WHEN l.set_aside_utc IS NOT NULL THEN 'set_aside' \
     WHEN l.signed_version IS NULL AND (l.guessed <> '[]' OR r.unsure) THEN 'to_confirm' \
     WHEN l.signed_version IS NULL THEN 'open' \
     WHEN l.changed_since_signed THEN 'changed_since_signed' \
     WHEN l.acknowledged_version = l.signed_version THEN 'acknowledged' ELSE 'signed' END";

const FROM: &str = "FROM lessons l JOIN recordings r ON r.sha256 = l.recording_sha256 \
     LEFT JOIN people s ON s.id = l.student_id LEFT JOIN people i ON i.id = l.instructor_id \
     LEFT JOIN aircraft a ON a.id = l.aircraft_id";

fn select() -> String {
    format!(
        "SELECT l.id, l.title, l.title_given, l.start_utc, l.start_known, l.duration_s, l.student_id, \
         s.name AS student_name, s.role AS student_role, l.instructor_id, i.name AS instructor_name, \
         i.role AS instructor_role, l.aircraft_id, a.name AS aircraft_name, l.standard, l.terrain_ft, l.guessed, \
         l.flown, l.demonstration, l.entry_seq, l.signed_version, l.acknowledged_version, l.recording_sha256, \
         l.part, {STATE} AS state {FROM}"
    )
}

fn from_row(row: &Row) -> Result<LessonRow> {
    let state = row.text("state")?;
    Ok(LessonRow {
        brief: LessonBrief {
            id: row.text("id")?,
            title: row.text("title")?,
            start_utc: row.text("start_utc")?,
            start_known: row.flag("start_known")?,
            duration_s: row.real("duration_s")?,
            student: person(row, "student")?,
            instructor: person(row, "instructor")?,
            aircraft_id: row.opt_text("aircraft_id")?,
            aircraft: row.opt_text("aircraft_name")?,
            standard: row.text("standard")?,
            demonstration: row.flag("demonstration")?,
            guessed: serde_json::from_str(&row.text("guessed")?)?,
            state: state_of(&state)?,
            flown: serde_json::from_str(&row.text("flown")?)?,
            recording_sha256: row.text("recording_sha256")?,
            part: u32::try_from(row.int("part")?).unwrap_or(0),
        },
        terrain_ft: row.opt_real("terrain_ft")?,
        title_given: row.flag("title_given")?,
        entry_seq: row.int("entry_seq")?,
        signed_version: row.opt_int("signed_version")?,
        acknowledged_version: row.opt_int("acknowledged_version")?,
    })
}

fn person(row: &Row, who: &str) -> Result<Option<PersonBrief>> {
    let column = |what: &str| row.opt_text(&format!("{who}_{what}"));
    let (Some(id), Some(name), Some(role)) = (column("id")?, column("name")?, column("role")?)
    else {
        return Ok(None);
    };
    Ok(Some(PersonBrief {
        id,
        name,
        role: crate::people::role(&role)?,
    }))
}

/// The words of the state column.
pub(crate) const STATES: [(LessonState, &str); 6] = [
    (LessonState::ToConfirm, "to_confirm"),
    (LessonState::Open, "open"),
    (LessonState::Signed, "signed"),
    (LessonState::ChangedSinceSigned, "changed_since_signed"),
    (LessonState::Acknowledged, "acknowledged"),
    (LessonState::SetAside, "set_aside"),
];

fn state_of(word: &str) -> Result<LessonState> {
    STATES
        .iter()
        .find(|(_, known)| *known == word)
        .map(|(state, _)| *state)
        .ok_or_else(|| SchoolError::store("be read", format!("`{word}` is no state of a lesson")))
}

fn word_of(state: LessonState) -> &'static str {
    STATES
        .iter()
        .find(|(known, _)| *known == state)
        .map_or("open", |(_, word)| *word)
}

/// One lesson, within a transaction, whoever asks.
///
/// # Errors
/// `NotFound`.
pub async fn lesson(tx: &mut Tx, id: &str) -> Result<LessonRow> {
    let sql = format!("{} WHERE l.id = $1", select());
    let row = tx
        .row(AssertSqlSafe(sql), values![id])
        .await?
        .ok_or_else(gone)?;
    from_row(&row)
}

/// One lesson, if this person may see it.
///
/// # Errors
/// `NotFound` when there is none, or not for them: that it exists is not told.
pub async fn visible(tx: &mut Tx, by: &Actor, id: &str) -> Result<LessonRow> {
    let lesson = lesson(tx, id).await?;
    if sees(by, &lesson.brief) {
        Ok(lesson)
    } else {
        Err(gone())
    }
}

fn gone() -> SchoolError {
    SchoolError::not_found("this lesson")
}

/// Whether a person may see a lesson: a student their own, and what instructors flew to show.
#[must_use]
pub fn sees(by: &Actor, lesson: &LessonBrief) -> bool {
    by.role.reads_all()
        || is_own(by, lesson)
        || (lesson.demonstration && lesson.state != LessonState::SetAside)
}

/// Whether it is this student's lesson.
#[must_use]
pub fn is_own(by: &Actor, lesson: &LessonBrief) -> bool {
    by.role == Role::Student
        && lesson
            .student
            .as_ref()
            .is_some_and(|student| student.id == by.id)
}

/// Every lesson of a recording, in its order, whoever asks.
///
/// # Errors
/// When the database refuses.
pub async fn of_recording(tx: &mut Tx, sha256: &str) -> Result<Vec<LessonRow>> {
    let sql = format!("{} WHERE l.recording_sha256 = $1 ORDER BY l.part", select());
    tx.rows(AssertSqlSafe(sql), values![sha256])
        .await?
        .iter()
        .map(from_row)
        .collect()
}

/// A query that grows by conditions.
struct Query {
    sql: String,
    values: Vec<Value>,
}

impl Query {
    /// Adds a condition; `?` in it stands for the value.
    fn and(&mut self, condition: &str, value: impl Into<Value>) {
        self.values.push(value.into());
        let place = format!("${}", self.values.len());
        self.sql.push_str(" AND ");
        self.sql.push_str(&condition.replace('?', &place));
    }
}

impl School {
    /// Lessons that a person may see, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn list(&self, by: &Actor, filter: &LessonFilter) -> Result<Vec<LessonBrief>> {
        let mut tx = self.read().await?;
        let mut query = Query {
            sql: format!("{} WHERE 1 = 1", select()),
            values: Vec::new(),
        };
        if by.role == Role::Student {
            query.and("(l.student_id = ? OR l.demonstration)", &by.id);
        }
        if let Some(student) = &filter.student {
            query.and("l.student_id = ?", student);
        }
        if let Some(instructor) = &filter.instructor {
            query.and("l.instructor_id = ?", instructor);
        }
        if let Some(kind) = &filter.kind {
            query.and(
                "EXISTS (SELECT 1 FROM maneuvers m WHERE m.lesson_id = l.id AND m.kind = ?)",
                kind,
            );
        }
        match filter.state {
            Some(state) => query.and(&format!("{STATE} = ?"), word_of(state)),
            None => query.sql.push_str(" AND l.set_aside_utc IS NULL"),
        }
        if let Some(demonstration) = filter.demonstration {
            query.and("l.demonstration = ?", demonstration);
        }
        if let Some(before) = &filter.before {
            page(&mut tx, &mut query, before).await?;
        }
        let limit = filter.limit.unwrap_or(200).clamp(1, 1000);
        query.sql.push_str(&format!(
            " ORDER BY l.start_utc DESC, l.id DESC LIMIT {limit}"
        ));
        let rows = tx.rows(AssertSqlSafe(query.sql), query.values).await?;
        let mut briefs = Vec::with_capacity(rows.len());
        for row in &rows {
            let brief = from_row(row)?.brief;
            if sees(by, &brief) {
                briefs.push(brief);
            }
        }
        Ok(briefs)
    }

    /// A lesson in short, if this person may see it.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn lesson_brief(&self, by: &Actor, id: &str) -> Result<LessonBrief> {
        Ok(visible(&mut self.read().await?, by, id).await?.brief)
    }
}

/// Only those that come after `before` in the list: after that lesson, or before that time.
async fn page(tx: &mut Tx, query: &mut Query, before: &str) -> Result<()> {
    let last = tx
        .row(
            "SELECT start_utc, id FROM lessons WHERE id = $1",
            values![before],
        )
        .await?;
    let Some(last) = last else {
        query.and("l.start_utc < ?", before);
        return Ok(());
    };
    // Two lessons may begin at the same moment: the id decides then.
    let start_utc = last.text("start_utc")?;
    query.values.push(start_utc.into());
    let place = query.values.len();
    let id = last.text("id")?;
    query.and(
        &format!("(l.start_utc < ${place} OR (l.start_utc = ${place} AND l.id < ?))"),
        id,
    );
    Ok(())
}
