//! Links that let a person in (`join`) or let them choose a new password (`reset`). Each works once and for a time;
//! the record keeps the SHA-256 of its secret.

use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::model::{Invite, Person, Role};
use crate::people::{self, NewPerson};
use crate::{School, audit, checks, new_id, passwords, seal, secret, tokens, values};
use serde_json::json;

/// How long an invitation works, s.
pub const JOIN_S: i64 = 7 * 24 * 3600;
/// How long a link for a new password works, s.
pub const RESET_S: i64 = 24 * 3600;

/// What the person with the link says of themselves.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct Accepted {
    /// Login; needed to join, not asked for at a reset.
    pub login: Option<String>,
    /// Name; none = as in the invitation.
    pub name: Option<String>,
    /// New password.
    pub password: String,
}

impl School {
    /// Invites a person; gives the invitation and the secret of its link.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Invalid` for the name.
    pub async fn invite(&self, by: &Actor, role: Role, name: &str) -> Result<(Invite, String)> {
        by.must_be_chief()?;
        let name = checks::line("name", "The name", name, 120)?;
        let mut tx = self.write().await?;
        let made = insert(
            self,
            &mut tx,
            by,
            New {
                purpose: "join",
                role,
                name,
                person_id: None,
                life_s: JOIN_S,
            },
        );
        let (invite, secret) = made.await?;
        tx.commit().await?;
        Ok((invite, secret))
    }

    /// Makes a link by which a person chooses a new password. Their old one and their sessions work until it is used.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `NotFound`; `Conflict` when the person may not sign in.
    pub async fn reset_password(&self, by: &Actor, person_id: &str) -> Result<(Invite, String)> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let person = people::person(&mut tx, person_id).await?;
        if !person.active {
            return Err(SchoolError::conflict(
                format!("{} may not sign in at present.", person.name),
                "Let them sign in again first.",
            ));
        }
        // A newer link makes older ones worthless.
        let now = tx.at_utc().to_owned();
        let older = tx
            .rows(
                "SELECT id FROM invites WHERE person_id = $1 AND used_utc IS NULL AND expires_utc > $2",
                values![person_id, &now],
            )
            .await?;
        for row in older {
            withdraw(&mut tx, by, &row.text("id")?).await?;
        }
        let new = New {
            purpose: "reset",
            role: person.role,
            name: person.name,
            person_id: Some(person_id.to_owned()),
            life_s: RESET_S,
        };
        let (invite, secret) = insert(self, &mut tx, by, new).await?;
        tx.commit().await?;
        Ok((invite, secret))
    }

    /// Every invitation and reset, newest first.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor.
    pub async fn invites(&self, by: &Actor) -> Result<Vec<Invite>> {
        by.must_be_chief()?;
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT id, purpose, role, name, made_by, made_utc, expires_utc, used_utc, person_id FROM invites \
                 ORDER BY id DESC LIMIT 500",
                values![],
            )
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// Withdraws an invitation: its link works no longer.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `NotFound`; `Conflict` when it was used.
    pub async fn withdraw_invite(&self, by: &Actor, id: &str) -> Result<()> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let row = tx
            .row("SELECT used_utc FROM invites WHERE id = $1", values![id])
            .await?
            .ok_or_else(|| SchoolError::not_found("this invitation"))?;
        if row.opt_text("used_utc")?.is_some() {
            return Err(SchoolError::conflict(
                "This invitation was used already.",
                "",
            ));
        }
        withdraw(&mut tx, by, id).await?;
        tx.commit().await
    }

    /// The invitation whose link has this secret, if it still works.
    ///
    /// # Errors
    /// `NotFound` when there is none, it was used, or its time is over: a link that does not work tells no more.
    pub async fn invite_by_secret(&self, secret: &str) -> Result<Invite> {
        let mut tx = self.read().await?;
        Ok(open(&mut tx, secret, &self.clock().now_utc()).await?.invite)
    }

    /// Uses a link: makes the account, or sets the new password and signs the person out everywhere (their tokens are
    /// revoked too: a reset may follow a theft). The caller then starts a session.
    ///
    /// # Errors
    /// `NotFound` as [`School::invite_by_secret`]; `Invalid` by field; `Conflict` when the login is taken.
    pub async fn accept_invite(&self, secret: &str, accepted: &Accepted) -> Result<Person> {
        let found = {
            let mut tx = self.read().await?;
            open(&mut tx, secret, &self.clock().now_utc()).await?
        };
        match &found.person_id {
            Some(person_id) => {
                self.accept_reset(secret, person_id, &accepted.password)
                    .await
            }
            None => self.accept_join(secret, &found.invite, accepted).await,
        }
    }

    async fn accept_join(
        &self,
        secret: &str,
        invite: &Invite,
        accepted: &Accepted,
    ) -> Result<Person> {
        let new = NewPerson {
            name: accepted.name.clone().unwrap_or_else(|| invite.name.clone()),
            login: accepted.login.clone().unwrap_or_default(),
            role: invite.role,
            password: Some(accepted.password.clone()),
        };
        let prepared = people::prepare(self, &new, &[]).await?;
        let mut tx = self.write().await?;
        let found = open(&mut tx, secret, &self.clock().now_utc()).await?;
        let person = people::insert(&mut tx, &Actor::program(), prepared).await?;
        use_up(&mut tx, &found.invite.id, &person).await?;
        tx.commit().await?;
        Ok(person)
    }

    async fn accept_reset(&self, secret: &str, person_id: &str, password: &str) -> Result<Person> {
        let person = self.person(person_id).await?;
        passwords::check_new(password, &[&person.login, &person.name])?;
        let hashed = self.passwords().hash(password).await?;
        let mut tx = self.write().await?;
        let found = open(&mut tx, secret, &self.clock().now_utc()).await?;
        people::set_password(&mut tx, person_id, &hashed).await?;
        let mut written = tokens::revoke_all(&mut tx, person_id).await?;
        written.push(seal::person(person_id));
        let (by, subject) = (Actor::from(&person), people::subject(person_id));
        audit::append(
            &mut tx,
            &by,
            "person.password_reset",
            &subject,
            json!({}),
            &written,
        )
        .await?;
        use_up(&mut tx, &found.invite.id, &person).await?;
        tx.commit().await?;
        self.person(person_id).await
    }
}

struct New {
    purpose: &'static str,
    role: Role,
    name: String,
    person_id: Option<String>,
    life_s: i64,
}

struct Found {
    invite: Invite,
    person_id: Option<String>,
}

async fn insert(school: &School, tx: &mut Tx, by: &Actor, new: New) -> Result<(Invite, String)> {
    let secret = secret::new_secret()?;
    let invite = Invite {
        id: new_id(),
        purpose: new.purpose.to_owned(),
        role: new.role,
        name: new.name,
        made_by: by.name.clone(),
        made_utc: tx.at_utc().to_owned(),
        expires_utc: school.clock().from_now_utc(new.life_s),
        used_utc: None,
    };
    tx.execute(
        "INSERT INTO invites (id, token_sha256, purpose, role, name, person_id, made_by, made_utc, expires_utc) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
        values![
            &invite.id,
            secret::kept(&secret),
            new.purpose,
            invite.role.id(),
            &invite.name,
            &new.person_id,
            &invite.made_by,
            &invite.made_utc,
            &invite.expires_utc
        ],
    )
    .await?;
    let detail = json!({
        "purpose": invite.purpose, "role": invite.role.id(), "name": invite.name, "person_id": new.person_id,
        "expires_utc": invite.expires_utc,
    });
    audit::append(
        tx,
        by,
        "invite.made",
        &subject(&invite.id),
        detail,
        &[seal::invite(&invite.id)],
    )
    .await?;
    Ok((invite, secret))
}

async fn withdraw(tx: &mut Tx, by: &Actor, id: &str) -> Result<()> {
    let now = tx.at_utc().to_owned();
    tx.execute(
        "UPDATE invites SET expires_utc = $1 WHERE id = $2",
        values![now, id],
    )
    .await?;
    audit::append(
        tx,
        by,
        "invite.withdrawn",
        &subject(id),
        json!({}),
        &[seal::invite(id)],
    )
    .await?;
    Ok(())
}

async fn open(tx: &mut Tx, secret: &str, now: &str) -> Result<Found> {
    let row = tx
        .row(
            "SELECT id, purpose, role, name, made_by, made_utc, expires_utc, used_utc, person_id FROM invites \
             WHERE token_sha256 = $1 AND used_utc IS NULL AND expires_utc > $2",
            values![secret::kept(secret), now],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("a link that works: it was used, or its time is over"))?;
    let person_id = row.opt_text("person_id")?;
    if let Some(id) = &person_id
        && !people::person(tx, id).await?.active
    {
        return Err(SchoolError::not_found(
            "a link that works: it was used, or its time is over",
        ));
    }
    Ok(Found {
        invite: from_row(&row)?,
        person_id,
    })
}

async fn use_up(tx: &mut Tx, id: &str, person: &Person) -> Result<()> {
    let now = tx.at_utc().to_owned();
    tx.execute(
        "UPDATE invites SET used_utc = $1 WHERE id = $2",
        values![now, id],
    )
    .await?;
    let by = Actor::from(person);
    let detail = json!({"person_id": person.id});
    audit::append(
        tx,
        &by,
        "invite.used",
        &subject(id),
        detail,
        &[seal::invite(id)],
    )
    .await?;
    Ok(())
}

fn subject(id: &str) -> String {
    format!("invite {id}")
}

fn from_row(row: &Row) -> Result<Invite> {
    Ok(Invite {
        id: row.text("id")?,
        purpose: row.text("purpose")?,
        role: people::role(&row.text("role")?)?,
        name: row.text("name")?,
        made_by: row.text("made_by")?,
        made_utc: row.text("made_utc")?,
        expires_utc: row.text("expires_utc")?,
        used_utc: row.opt_text("used_utc")?,
    })
}
