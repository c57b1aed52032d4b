//! People of the school.

use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::model::{Person, Role};
use crate::{School, audit, checks, new_id, passwords, seal, sessions, values};
use serde_json::json;

/// A person who is added by hand (first run, command line, demo); others come by invitation.
#[derive(Clone, PartialEq, Eq)]
pub struct NewPerson {
    /// Name.
    pub name: String,
    /// Login.
    pub login: String,
    /// Role.
    pub role: Role,
    /// Password; none = cannot sign in until one is set by a link.
    pub password: Option<String>,
}

/// What may be changed of a person; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PersonChange {
    /// Name.
    pub name: Option<String>,
    /// Role.
    pub role: Option<Role>,
    /// May sign in.
    pub active: Option<bool>,
}

/// A person whose fields were checked and whose password was hashed.
pub(crate) struct Prepared {
    name: String,
    login: String,
    role: Role,
    password: Option<String>,
}

impl School {
    /// Everybody, by name.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn people(&self) -> Result<Vec<Person>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT id, name, login, role, active, created_utc, seen_utc FROM people ORDER BY lower(name), id",
                values![],
            )
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// One person.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn person(&self, id: &str) -> Result<Person> {
        person(&mut self.read().await?, id).await
    }

    /// Adds a person by hand.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor or the program; `Invalid` by field; `Conflict` when the login is taken.
    pub async fn add_person(&self, by: &Actor, new: &NewPerson) -> Result<Person> {
        by.must_be_chief()?;
        let prepared = prepare(self, new, &[]).await?;
        let mut tx = self.write().await?;
        let person = insert(&mut tx, by, prepared).await?;
        tx.commit().await?;
        Ok(person)
    }

    /// Changes name, role or whether a person may sign in. A person who may no longer is signed out everywhere.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Conflict` when it would leave the school without an active chief
    /// instructor.
    pub async fn change_person(
        &self,
        by: &Actor,
        id: &str,
        change: &PersonChange,
    ) -> Result<Person> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let before = person(&mut tx, id).await?;
        let mut after = before.clone();
        if let Some(name) = &change.name {
            after.name = checks::line("name", "The name", name, 120)?;
        }
        after.role = change.role.unwrap_or(before.role);
        after.active = change.active.unwrap_or(before.active);
        let leads = |person: &Person| person.active && person.role == Role::Chief;
        if leads(&before) && !leads(&after) {
            keep_a_chief(&mut tx, id).await?;
        }
        let now = tx.at_utc().to_owned();
        tx.execute(
            "UPDATE people SET name = $1, role = $2, active = $3, changed_utc = $4 WHERE id = $5",
            values![&after.name, after.role.id(), after.active, now, id],
        )
        .await?;
        if !after.active || after.role != before.role {
            sessions::end_all(&mut tx, id).await?;
        }
        let detail = json!({
            "name": after.name, "role": after.role.id(), "active": after.active,
            "before": {"name": before.name, "role": before.role.id(), "active": before.active},
        });
        audit::append(
            &mut tx,
            by,
            "person.changed",
            &subject(id),
            detail,
            &[seal::person(id)],
        )
        .await?;
        tx.commit().await?;
        Ok(after)
    }
}

/// One person, within a transaction.
///
/// # Errors
/// `NotFound`.
pub async fn person(tx: &mut Tx, id: &str) -> Result<Person> {
    let row = tx
        .row(
            "SELECT id, name, login, role, active, created_utc, seen_utc FROM people WHERE id = $1",
            values![id],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this person"))?;
    from_row(&row)
}

pub(crate) fn from_row(row: &Row) -> Result<Person> {
    Ok(Person {
        id: row.text("id")?,
        name: row.text("name")?,
        login: row.text("login")?,
        role: role(&row.text("role")?)?,
        active: row.flag("active")?,
        created_utc: row.text("created_utc")?,
        seen_utc: row.opt_text("seen_utc")?,
    })
}

/// A role as the database writes it.
pub(crate) fn role(id: &str) -> Result<Role> {
    Role::from_id(id).ok_or_else(|| SchoolError::store("be read", format!("`{id}` is no role")))
}

/// The subject of audit rows about a person.
pub(crate) fn subject(id: &str) -> String {
    format!("person {id}")
}

/// Checks the fields and hashes the password, before the act begins: hashing takes a tenth of a second.
pub(crate) async fn prepare(school: &School, new: &NewPerson, about: &[&str]) -> Result<Prepared> {
    let name = checks::line("name", "The name", &new.name, 120)?;
    let login = checks::login(&new.login)?;
    let password = match &new.password {
        Some(password) => {
            let mut about = about.to_vec();
            about.extend([name.as_str(), login.as_str()]);
            passwords::check_new(password, &about)?;
            Some(school.passwords().hash(password).await?)
        }
        None => None,
    };
    Ok(Prepared {
        name,
        login,
        role: new.role,
        password,
    })
}

/// Adds the person and tells the trail.
pub(crate) async fn insert(tx: &mut Tx, by: &Actor, new: Prepared) -> Result<Person> {
    if tx
        .row(
            "SELECT id FROM people WHERE login = $1",
            values![&new.login],
        )
        .await?
        .is_some()
    {
        return Err(SchoolError::conflict(
            format!("The login `{}` is taken.", new.login),
            "Take another one.",
        ));
    }
    let (id, now) = (new_id(), tx.at_utc().to_owned());
    tx.execute(
        "INSERT INTO people (id, name, login, role, password, active, created_utc, changed_utc) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $7)",
        values![
            &id,
            &new.name,
            &new.login,
            new.role.id(),
            new.password,
            true,
            &now
        ],
    )
    .await?;
    let detail = json!({"name": new.name, "login": new.login, "role": new.role.id()});
    audit::append(
        tx,
        by,
        "person.added",
        &subject(&id),
        detail,
        &[seal::person(&id)],
    )
    .await?;
    person(tx, &id).await
}

/// Sets a password (already hashed) and signs the person out everywhere.
pub(crate) async fn set_password(tx: &mut Tx, id: &str, hashed: &str) -> Result<()> {
    let now = tx.at_utc().to_owned();
    tx.execute(
        "UPDATE people SET password = $1, changed_utc = $2 WHERE id = $3",
        values![hashed, now, id],
    )
    .await?;
    sessions::end_all(tx, id).await
}

async fn keep_a_chief(tx: &mut Tx, leaving: &str) -> Result<()> {
    let others = tx
        .row(
            "SELECT id FROM people WHERE role = 'chief' AND active AND id <> $1 LIMIT 1",
            values![leaving],
        )
        .await?;
    match others {
        Some(_) => Ok(()),
        None => Err(SchoolError::conflict(
            "This is the school's only active chief instructor.",
            "Make another person chief instructor first.",
        )),
    }
}
