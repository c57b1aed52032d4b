//! Opening the school's record where the command says it is.

use super::args::Place;
use super::refused;
use crate::failure::Failure;
use school::{Actor, Config, School};

impl Place {
    /// The same for the store.
    pub fn config(&self) -> Config {
        Config {
            data_dir: self.data.clone(),
            database: self.database.clone(),
            objects: self.objects.clone(),
        }
    }

    /// Opens the record, or makes an empty one.
    pub async fn open(&self) -> Result<School, Failure> {
        School::open(self.config())
            .await
            .map_err(|error| refused(&error))
    }

    /// Opens a record that is there: a wrong folder is told of instead of being filled.
    pub async fn open_existing(&self) -> Result<School, Failure> {
        if self.database.is_none() && !self.data.join("record.sqlite").exists() {
            return Err(Failure::Usage(format!(
                "{}: there is no school's record in this folder\nhint: name the folder that `proofwing serve --data` \
                 was started with",
                self.data.display()
            )));
        }
        self.open().await
    }
}

/// The person with a login, as who acts.
pub async fn actor(school: &School, login: &str) -> Result<Actor, Failure> {
    let people = school.people().await.map_err(|error| refused(&error))?;
    let login = login.trim().to_lowercase();
    people
        .iter()
        .find(|person| person.login == login && person.active)
        .map(Actor::from)
        .ok_or_else(|| {
            Failure::Usage(format!(
                "nobody with the login \"{login}\" may sign in\nhint: name an instructor of this school"
            ))
        })
}
