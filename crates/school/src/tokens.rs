//! Personal access tokens for scripts: `pw_` and 256 random bits, of which the record keeps the SHA-256.

use crate::actor::Actor;
use crate::db::Row;
use crate::error::{Result, SchoolError};
use crate::model::{Person, Token};
use crate::{School, audit, checks, new_id, people, seal, secret, values};
use serde_json::json;

/// What a token begins with, so that people and scanners of leaked secrets know it.
pub const PREFIX: &str = "pw_";
/// Longest life, days.
pub const LONGEST_DAYS: i64 = 366;
/// Most tokens that work at once for one person.
const MOST: usize = 50;

impl School {
    /// Makes a token; its secret is shown this once.
    ///
    /// # Errors
    /// `Invalid` by field (`label`, `days`); `Denied` to the program, which is nobody.
    pub async fn make_token(&self, by: &Actor, label: &str, days: i64) -> Result<(Token, String)> {
        if by.is_program() {
            return Err(SchoolError::denied("Only a person can have a token."));
        }
        let label = checks::line("label", "What the token is for", label, 80)?;
        if !(1..=LONGEST_DAYS).contains(&days) {
            return Err(SchoolError::invalid(
                "days",
                format!("A token cannot work for {days} days."),
                "Choose 1 to 366 days.",
            ));
        }
        if self.tokens(&by.id).await?.len() >= MOST {
            return Err(SchoolError::conflict(
                "You have 50 tokens.",
                "Revoke those that are no longer used.",
            ));
        }
        let secret = format!("{PREFIX}{}", secret::new_secret()?);
        let mut tx = self.write().await?;
        let token = Token {
            id: new_id(),
            label,
            created_utc: tx.at_utc().to_owned(),
            expires_utc: self.clock().from_now_utc(days * 24 * 3600),
            used_utc: None,
        };
        tx.execute(
            "INSERT INTO tokens (id, token_sha256, person_id, label, created_utc, expires_utc) \
             VALUES ($1, $2, $3, $4, $5, $6)",
            values![
                &token.id,
                secret::kept(&secret),
                &by.id,
                &token.label,
                &token.created_utc,
                &token.expires_utc
            ],
        )
        .await?;
        let detail = json!({"label": token.label, "expires_utc": token.expires_utc});
        audit::append(
            &mut tx,
            by,
            "token.made",
            &format!("token {}", token.id),
            detail,
            &[seal::token(&token.id)],
        )
        .await?;
        tx.commit().await?;
        Ok((token, secret))
    }

    /// A person's tokens that still work, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn tokens(&self, person_id: &str) -> Result<Vec<Token>> {
        let mut tx = self.read().await?;
        let rows = tx
            .rows(
                "SELECT id, label, created_utc, expires_utc, used_utc FROM tokens \
                 WHERE person_id = $1 AND revoked_utc IS NULL AND expires_utc > $2 ORDER BY id DESC",
                values![person_id, self.clock().now_utc()],
            )
            .await?;
        rows.iter().map(from_row).collect()
    }

    /// Revokes a token: one's own, or the chief instructor anybody's.
    ///
    /// # Errors
    /// `NotFound` when there is none, or it is another person's.
    pub async fn revoke_token(&self, by: &Actor, id: &str) -> Result<()> {
        let mut tx = self.write().await?;
        let row = tx
            .row(
                "SELECT person_id FROM tokens WHERE id = $1 AND revoked_utc IS NULL",
                values![id],
            )
            .await?
            .ok_or_else(|| SchoolError::not_found("this token"))?;
        if row.text("person_id")? != by.id && by.must_be_chief().is_err() {
            return Err(SchoolError::not_found("this token"));
        }
        let now = tx.at_utc().to_owned();
        tx.execute(
            "UPDATE tokens SET revoked_utc = $1 WHERE id = $2",
            values![now, id],
        )
        .await?;
        audit::append(
            &mut tx,
            by,
            "token.revoked",
            &format!("token {id}"),
            json!({}),
            &[seal::token(id)],
        )
        .await?;
        tx.commit().await
    }

    /// The person whose token this is, if it still works.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn token_person(&self, secret: &str) -> Result<Option<Person>> {
        if !secret.starts_with(PREFIX) {
            return Ok(None);
        }
        let now = self.clock().now_utc();
        let found = {
            let mut tx = self.read().await?;
            tx.row(
                "SELECT tokens.id AS token_id, used_utc, people.id, name, login, role, active, people.created_utc, \
                 seen_utc FROM tokens JOIN people ON people.id = tokens.person_id \
                 WHERE token_sha256 = $1 AND revoked_utc IS NULL AND expires_utc > $2 AND active",
                values![secret::kept(secret), &now],
            )
            .await?
        };
        let Some(row) = found else { return Ok(None) };
        let a_minute_ago = self.clock().from_now_utc(-60);
        if row
            .opt_text("used_utc")?
            .is_none_or(|used| used <= a_minute_ago)
        {
            let mut tx = self.write().await?;
            tx.execute(
                "UPDATE tokens SET used_utc = $1 WHERE id = $2",
                values![now, row.text("token_id")?],
            )
            .await?;
            tx.commit().await?;
        }
        people::from_row(&row).map(Some)
    }
}

/// Revokes every token of a person within an act; the trail seals each.
pub(crate) async fn revoke_all(
    tx: &mut crate::db::Tx,
    person_id: &str,
) -> Result<Vec<seal::Written>> {
    let rows = tx
        .rows(
            "SELECT id FROM tokens WHERE person_id = $1 AND revoked_utc IS NULL",
            values![person_id],
        )
        .await?;
    let now = tx.at_utc().to_owned();
    let mut written = Vec::new();
    for row in rows {
        let id = row.text("id")?;
        tx.execute(
            "UPDATE tokens SET revoked_utc = $1 WHERE id = $2",
            values![&now, &id],
        )
        .await?;
        written.push(seal::token(&id));
    }
    Ok(written)
}

fn from_row(row: &Row) -> Result<Token> {
    Ok(Token {
        id: row.text("id")?,
        label: row.text("label")?,
        created_utc: row.text("created_utc")?,
        expires_utc: row.text("expires_utc")?,
        used_utc: row.opt_text("used_utc")?,
    })
}
