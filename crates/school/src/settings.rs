//! The school itself: its name and what holds where a lesson says nothing.

use crate::actor::Actor;
use crate::checks;
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::model::{self, Person, Role};
use crate::people::{self, NewPerson};
use crate::{School, audit, seal, values};
use serde_json::json;

/// The standard of a new school.
pub const FIRST_STANDARD: &str = "faa-private";

/// What may be changed of the school; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SchoolChange {
    /// Name.
    pub name: Option<String>,
    /// Standard (pack id) for a lesson that names none.
    pub standard: Option<String>,
    /// Elevation below the practice area, ft above sea level; `Some(None)` takes it away.
    pub terrain_ft: Option<Option<f64>>,
}

impl School {
    /// Whether nobody has an account yet.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn first_run(&self) -> Result<bool> {
        let mut tx = self.read().await?;
        Ok(tx
            .row("SELECT id FROM people LIMIT 1", values![])
            .await?
            .is_none())
    }

    /// Makes the school and its first person, the chief instructor. Works once.
    ///
    /// # Errors
    /// `Conflict` when somebody has an account already; `Invalid` by field (`school`, `name`, `login`, `password`).
    pub async fn found(
        &self,
        school: &str,
        name: &str,
        login: &str,
        password: &str,
    ) -> Result<Person> {
        let school = checks::line("school", "The school's name", school, 120)?;
        let chief = NewPerson {
            name: name.to_owned(),
            login: login.to_owned(),
            role: Role::Chief,
            password: Some(password.to_owned()),
        };
        let chief = people::prepare(self, &chief, &[&school]).await?;
        let mut tx = self.write().await?;
        if tx
            .row("SELECT id FROM people LIMIT 1", values![])
            .await?
            .is_some()
        {
            return Err(SchoolError::conflict(
                "This school is set up already.",
                "Sign in.",
            ));
        }
        let now = tx.at_utc().to_owned();
        tx.execute(
            "INSERT INTO school (id, name, standard, terrain_ft, created_utc) VALUES (1, $1, $2, $3, $4)",
            values![&school, FIRST_STANDARD, None::<f64>, now],
        )
        .await?;
        let program = Actor::program();
        let detail = json!({"name": school, "standard": FIRST_STANDARD});
        audit::append(
            &mut tx,
            &program,
            "school.founded",
            "school",
            detail,
            &[seal::school()],
        )
        .await?;
        let person = people::insert(&mut tx, &program, chief).await?;
        tx.commit().await?;
        Ok(person)
    }

    /// The school.
    ///
    /// # Errors
    /// `NotFound` before [`School::found`].
    pub async fn settings(&self) -> Result<model::School> {
        settings(&mut self.read().await?).await
    }

    /// Changes the school. Whether the standard exists is for the caller to know who has the packs at hand.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Invalid` by field.
    pub async fn change_settings(
        &self,
        by: &Actor,
        change: &SchoolChange,
    ) -> Result<model::School> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let mut school = settings(&mut tx).await?;
        if let Some(name) = &change.name {
            school.name = checks::line("name", "The school's name", name, 120)?;
        }
        if let Some(standard) = &change.standard {
            school.standard = checks::line("standard", "The standard", standard, 64)?;
        }
        if let Some(terrain_ft) = change.terrain_ft {
            school.terrain_ft = terrain_ft.map(checks::terrain_ft).transpose()?;
        }
        tx.execute(
            "UPDATE school SET name = $1, standard = $2, terrain_ft = $3 WHERE id = 1",
            values![&school.name, &school.standard, school.terrain_ft],
        )
        .await?;
        let detail = json!({"name": school.name, "standard": school.standard, "terrain_ft": school.terrain_ft});
        audit::append(
            &mut tx,
            by,
            "school.changed",
            "school",
            detail,
            &[seal::school()],
        )
        .await?;
        tx.commit().await?;
        if change.terrain_ft.is_some() {
            self.remark_touched(
                by,
                "the elevation of the practice area was changed".to_owned(),
            );
        }
        Ok(school)
    }
}

/// The school, within a transaction.
///
/// # Errors
/// `NotFound` before the school was made.
pub async fn settings(tx: &mut Tx) -> Result<model::School> {
    let row = tx
        .row(
            "SELECT name, standard, terrain_ft, created_utc FROM school WHERE id = 1",
            values![],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("a school: nobody has set it up yet"))?;
    Ok(model::School {
        name: row.text("name")?,
        standard: row.text("standard")?,
        terrain_ft: row.opt_real("terrain_ft")?,
        created_utc: row.text("created_utc")?,
    })
}
