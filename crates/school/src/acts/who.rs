//! Who and what a lesson's header may name.

use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::model::{PersonBrief, Role};
use crate::{people, values};

/// The person who learned; empty = nobody.
pub(crate) async fn student(tx: &mut Tx, id: &str) -> Result<Option<PersonBrief>> {
    if id.is_empty() {
        return Ok(None);
    }
    let person = person(tx, "student_id", id).await?;
    if person.role == Role::Auditor {
        return Err(SchoolError::invalid(
            "student_id",
            "An auditor does not fly lessons.",
            "Choose a student.",
        ));
    }
    Ok(Some(person))
}

/// The person who taught; empty = nobody.
pub(crate) async fn instructor(tx: &mut Tx, id: &str) -> Result<Option<PersonBrief>> {
    if id.is_empty() {
        return Ok(None);
    }
    let person = person(tx, "instructor_id", id).await?;
    if !person.role.teaches() {
        return Err(SchoolError::invalid(
            "instructor_id",
            format!("{} is no instructor.", person.name),
            "Choose an instructor.",
        ));
    }
    Ok(Some(person))
}

async fn person(tx: &mut Tx, field: &str, id: &str) -> Result<PersonBrief> {
    match people::person(tx, id).await {
        Ok(person) => Ok(PersonBrief {
            id: person.id,
            name: person.name,
            role: person.role,
        }),
        Err(SchoolError::NotFound { .. }) => Err(SchoolError::invalid(
            field,
            "There is no such person.",
            "Choose one of the school's people.",
        )),
        Err(other) => Err(other),
    }
}

/// Id and name of an aircraft; empty = none.
pub(crate) async fn aircraft(tx: &mut Tx, id: &str) -> Result<Option<(String, String)>> {
    if id.is_empty() {
        return Ok(None);
    }
    let row = tx
        .row("SELECT id, name FROM aircraft WHERE id = $1", values![id])
        .await?;
    match row {
        Some(row) => Ok(Some((row.text("id")?, row.text("name")?))),
        None => Err(SchoolError::invalid(
            "aircraft_id",
            "There is no such aircraft.",
            "Choose one of the school's aircraft.",
        )),
    }
}
