//! Signing in with login and password. How often one may try is the server's to limit, by address: a limit by login
//! would let anybody lock others out.

use crate::actor::Actor;
use crate::error::{Result, SchoolError};
use crate::model::Person;
use crate::passwords::{self, Checked};
use crate::{School, audit, people, seal, secret, sessions, values};
use serde_json::json;

/// A person who has just signed in.
pub struct SignedIn {
    /// Secret for the cookie.
    pub secret: String,
    /// Who.
    pub person: Person,
}

impl School {
    /// Signs in. A login that nobody has takes as long as a wrong password and says the same.
    ///
    /// # Errors
    /// `Denied` when login and password do not fit or the person may not sign in.
    pub async fn sign_in(&self, login: &str, password: &str, device: &str) -> Result<SignedIn> {
        let login = login.trim().to_lowercase();
        let found = {
            let mut tx = self.read().await?;
            tx.row(
                "SELECT id, password, active FROM people WHERE login = $1",
                values![login],
            )
            .await?
        };
        let (id, kept, active) = match &found {
            Some(row) => (
                row.text("id")?,
                row.opt_text("password")?,
                row.flag("active")?,
            ),
            None => (String::new(), None, false),
        };
        let checked = self.passwords().check(password, kept.as_deref()).await?;
        if checked == Checked::Wrong || !active {
            return Err(refused());
        }
        let anew = match checked {
            Checked::RightButOld => Some(self.passwords().hash(password).await?),
            _ => None,
        };
        let secret = secret::new_secret()?;
        let mut tx = self.write().await?;
        // The check took a while: the password or the account may have been changed meanwhile.
        let still = tx
            .row(
                "SELECT id FROM people WHERE id = $1 AND password = $2 AND active",
                values![&id, kept],
            )
            .await?;
        if still.is_none() {
            return Err(refused());
        }
        let person = people::person(&mut tx, &id).await?;
        if let Some(hashed) = anew {
            tx.execute(
                "UPDATE people SET password = $1 WHERE id = $2",
                values![hashed, &id],
            )
            .await?;
            let (by, subject) = (Actor::program(), people::subject(&id));
            audit::append(
                &mut tx,
                &by,
                "person.password_kept_anew",
                &subject,
                json!({}),
                &[seal::person(&id)],
            )
            .await?;
        }
        sessions::insert(self, &mut tx, &person, &secret, device).await?;
        tx.commit().await?;
        Ok(SignedIn { secret, person })
    }

    /// Asks for a person's password once more, before an act such as signing.
    ///
    /// # Errors
    /// `Denied` when it is not theirs.
    pub async fn check_password(&self, person_id: &str, password: &str) -> Result<()> {
        let kept = {
            let mut tx = self.read().await?;
            match tx
                .row(
                    "SELECT password FROM people WHERE id = $1 AND active",
                    values![person_id],
                )
                .await?
            {
                Some(row) => row.opt_text("password")?,
                None => None,
            }
        };
        match self.passwords().check(password, kept.as_deref()).await? {
            Checked::Wrong => Err(SchoolError::denied("The password is not right.")),
            Checked::Right | Checked::RightButOld => Ok(()),
        }
    }

    /// Changes one's own password; ends every session, this one too: the caller starts a new one.
    ///
    /// # Errors
    /// `Denied` when `old` is not right; `Invalid` when `new` cannot be taken.
    pub async fn change_password(&self, by: &Actor, old: &str, new: &str) -> Result<()> {
        self.check_password(&by.id, old).await?;
        let person = self.person(&by.id).await?;
        passwords::check_new(new, &[&person.login, &person.name])?;
        if old == new {
            return Err(SchoolError::invalid(
                "password",
                "This is the old password.",
                "Take another one.",
            ));
        }
        let hashed = self.passwords().hash(new).await?;
        let mut tx = self.write().await?;
        people::set_password(&mut tx, &by.id, &hashed).await?;
        let subject = people::subject(&by.id);
        audit::append(
            &mut tx,
            by,
            "person.password_changed",
            &subject,
            json!({}),
            &[seal::person(&by.id)],
        )
        .await?;
        tx.commit().await
    }
}

fn refused() -> SchoolError {
    SchoolError::denied("Login and password do not fit.")
}
