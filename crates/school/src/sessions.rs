//! Who is signed in where. The browser holds 256 random bits; the record keeps their SHA-256.

use crate::actor::Actor;
use crate::db::Tx;
use crate::error::Result;
use crate::model::{Person, Session};
use crate::{School, audit, checks, people, secret, values};
use jiff::{SignedDuration, Timestamp};
use serde_json::json;

/// A session ends after this long without a request: a day at the school without one is a forgotten screen.
pub const IDLE_S: i64 = 12 * 3600;
/// A session ends after this long in any case (OWASP Session Management Cheat Sheet: an absolute limit).
pub const ABSOLUTE_S: i64 = 7 * 24 * 3600;
/// How old `seen_utc` may get before a request writes it anew: reading must not write at every step.
const TOUCH_S: i64 = 60;

impl School {
    /// Signs a person in without asking for a password: after first run, an invitation, a change of password. Gives
    /// the secret for the cookie.
    ///
    /// # Errors
    /// `NotFound` when there is no such person.
    pub async fn start_session(&self, person_id: &str, device: &str) -> Result<String> {
        let secret = secret::new_secret()?;
        let mut tx = self.write().await?;
        let person = people::person(&mut tx, person_id).await?;
        insert(self, &mut tx, &person, &secret, device).await?;
        tx.commit().await?;
        Ok(secret)
    }

    /// The person whose session has this secret, if it is still good; remembers that they were seen.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn session_person(&self, secret: &str) -> Result<Option<Person>> {
        let token = secret::kept(secret);
        let now = self.clock().now();
        let (person, seen) = {
            let mut tx = self.read().await?;
            let found = tx
                .row(
                    "SELECT people.id, name, login, role, active, people.created_utc, sessions.seen_utc \
                     FROM sessions JOIN people ON people.id = sessions.person_id \
                     WHERE token_sha256 = $1 AND expires_utc > $2 AND sessions.seen_utc > $3 AND active",
                    values![&token, crate::clock::to_utc(now), ago(now, IDLE_S)],
                )
                .await?;
            let Some(row) = found else { return Ok(None) };
            (people::from_row(&row)?, row.text("seen_utc")?)
        };
        if seen <= ago(now, TOUCH_S) {
            let mut tx = self.write().await?;
            let at = tx.at_utc().to_owned();
            tx.execute(
                "UPDATE sessions SET seen_utc = $1 WHERE token_sha256 = $2",
                values![&at, &token],
            )
            .await?;
            tx.execute(
                "UPDATE people SET seen_utc = $1 WHERE id = $2",
                values![&at, &person.id],
            )
            .await?;
            tx.commit().await?;
        }
        Ok(Some(person))
    }

    /// Where a person is signed in, newest first; `this` is the secret of the session that asks.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn sessions(&self, person_id: &str, this: Option<&str>) -> Result<Vec<Session>> {
        let this = this.map(secret::kept);
        let now = self.clock().now();
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT token_sha256, device, created_utc, seen_utc FROM sessions \
                 WHERE person_id = $1 AND expires_utc > $2 AND seen_utc > $3 ORDER BY created_utc DESC",
                values![person_id, crate::clock::to_utc(now), ago(now, IDLE_S)],
            )
            .await?;
        rows.iter()
            .map(|row| {
                Ok(Session {
                    device: row.text("device")?,
                    created_utc: row.text("created_utc")?,
                    seen_utc: row.text("seen_utc")?,
                    this: Some(row.text("token_sha256")?) == this,
                })
            })
            .collect()
    }

    /// Signs out the session with this secret; nothing happens when there is none.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn end_session(&self, secret: &str) -> Result<()> {
        let token = secret::kept(secret);
        let mut tx = self.write().await?;
        let Some(row) = tx
            .row(
                "SELECT person_id FROM sessions WHERE token_sha256 = $1",
                values![&token],
            )
            .await?
        else {
            return Ok(());
        };
        let person = people::person(&mut tx, &row.text("person_id")?).await?;
        tx.execute(
            "DELETE FROM sessions WHERE token_sha256 = $1",
            values![&token],
        )
        .await?;
        let by = Actor::from(&person);
        audit::append(
            &mut tx,
            &by,
            "person.signed_out",
            &people::subject(&person.id),
            json!({}),
            &[],
        )
        .await?;
        tx.commit().await
    }

    /// Signs a person out everywhere: themselves, or the chief instructor for anybody.
    ///
    /// # Errors
    /// `Denied` when it is neither; `NotFound` when there is no such person.
    pub async fn end_sessions(&self, by: &Actor, person_id: &str) -> Result<()> {
        if by.id != person_id {
            by.must_be_chief()?;
        }
        let mut tx = self.write().await?;
        people::person(&mut tx, person_id).await?;
        end_all(&mut tx, person_id).await?;
        let subject = people::subject(person_id);
        audit::append(
            &mut tx,
            by,
            "person.signed_out_everywhere",
            &subject,
            json!({}),
            &[],
        )
        .await?;
        tx.commit().await
    }
}

/// Adds a session within an act, and takes away those that are over.
pub(crate) async fn insert(
    school: &School,
    tx: &mut Tx,
    person: &Person,
    secret: &str,
    device: &str,
) -> Result<()> {
    let now = school.clock().now();
    let (at, expires) = (
        tx.at_utc().to_owned(),
        school.clock().from_now_utc(ABSOLUTE_S),
    );
    let device = checks::device(device);
    tx.execute(
        "DELETE FROM sessions WHERE expires_utc <= $1 OR seen_utc <= $2",
        values![&at, ago(now, IDLE_S)],
    )
    .await?;
    tx.execute(
        "INSERT INTO sessions (token_sha256, person_id, created_utc, seen_utc, expires_utc, device) \
         VALUES ($1, $2, $3, $3, $4, $5)",
        values![secret::kept(secret), &person.id, &at, expires, &device],
    )
    .await?;
    tx.execute(
        "UPDATE people SET seen_utc = $1 WHERE id = $2",
        values![&at, &person.id],
    )
    .await?;
    let by = Actor::from(person);
    let detail = json!({"device": device});
    audit::append(
        tx,
        &by,
        "person.signed_in",
        &people::subject(&person.id),
        detail,
        &[],
    )
    .await?;
    Ok(())
}

/// Ends every session of a person within an act.
pub(crate) async fn end_all(tx: &mut Tx, person_id: &str) -> Result<()> {
    tx.execute(
        "DELETE FROM sessions WHERE person_id = $1",
        values![person_id],
    )
    .await?;
    Ok(())
}

fn ago(now: Timestamp, seconds: i64) -> String {
    crate::clock::to_utc(
        now.checked_sub(SignedDuration::from_secs(seconds))
            .unwrap_or(now),
    )
}
