//! Maneuvers over lessons, for comparing: this one and last lesson's, a student's and the instructor's.

use crate::School;
use crate::actor::Actor;
use crate::clock::{from_utc, to_utc};
use crate::db::Value;
use crate::error::Result;
use crate::model::{ManeuverBrief, PersonBrief, Role};
use jiff::SignedDuration;
use sqlx::AssertSqlSafe;

/// Which maneuvers are wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ManeuverFilter {
    /// Kind id.
    pub kind: Option<String>,
    /// Student (person id); demonstrations come besides.
    pub student: Option<String>,
    /// At most so many; none = 200, and never more than 1,000.
    pub limit: Option<i64>,
}

impl School {
    /// Maneuvers that a person may see, newest first: a student their own and what instructors flew to show.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn maneuvers(
        &self,
        by: &Actor,
        filter: &ManeuverFilter,
    ) -> Result<Vec<ManeuverBrief>> {
        let mut sql = String::from(
            "SELECT m.lesson_id, m.number, m.kind, m.title, m.start_s, m.end_s, m.marks, m.variant, l.start_utc, \
             l.demonstration, p.id AS student_id, p.name AS student_name, p.role AS student_role \
             FROM maneuvers m JOIN lessons l ON l.id = m.lesson_id LEFT JOIN people p ON p.id = l.student_id \
             WHERE l.set_aside_utc IS NULL",
        );
        let mut values: Vec<Value> = Vec::new();
        let mut and = |condition: &str, value: &str| {
            values.push(value.into());
            sql.push_str(&condition.replace('?', &format!("${}", values.len())));
        };
        if let Some(kind) = &filter.kind {
            and(" AND m.kind = ?", kind);
        }
        if let Some(student) = &filter.student {
            and(" AND (l.student_id = ? OR l.demonstration)", student);
        }
        if by.role == Role::Student {
            and(" AND (l.student_id = ? OR l.demonstration)", &by.id);
        }
        let limit = filter.limit.unwrap_or(200).clamp(1, 1000);
        sql.push_str(&format!(
            " ORDER BY l.start_utc DESC, l.id DESC, m.number LIMIT {limit}"
        ));
        let mut tx = self.read().await?;
        let rows = tx.rows(AssertSqlSafe(sql), values).await?;
        let mut briefs = Vec::with_capacity(rows.len());
        for row in &rows {
            let start_s = row.real("start_s")?;
            let student = (
                row.opt_text("student_id")?,
                row.opt_text("student_name")?,
                row.opt_text("student_role")?,
            );
            briefs.push(ManeuverBrief {
                lesson_id: row.text("lesson_id")?,
                number: u32::try_from(row.int("number")?).unwrap_or(u32::MAX),
                kind: row.text("kind")?,
                title: row.text("title")?,
                start_utc: after(&row.text("start_utc")?, start_s),
                start_s,
                end_s: row.real("end_s")?,
                student: match student {
                    (Some(id), Some(name), Some(role)) => Some(PersonBrief {
                        id,
                        name,
                        role: crate::people::role(&role)?,
                    }),
                    _ => None,
                },
                demonstration: row.flag("demonstration")?,
                variant: Some(row.text("variant")?).filter(|variant| !variant.is_empty()),
                marks: serde_json::from_str(&row.text("marks")?)?,
            });
        }
        Ok(briefs)
    }
}

/// The time `seconds` after another; that other where it is none.
fn after(utc: &str, seconds: f64) -> String {
    let shift = SignedDuration::try_from_secs_f64(seconds).unwrap_or_default();
    from_utc(utc)
        .ok()
        .and_then(|at| at.checked_add(shift).ok())
        .map_or_else(|| utc.to_owned(), to_utc)
}
