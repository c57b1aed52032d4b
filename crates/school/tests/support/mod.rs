//! Empty schools to try things on: always one on SQLite, and one on PostgreSQL where `PROOFWING_TEST_POSTGRES` names
//! a database (`.ci/postgres cargo test -p school`). Each has a folder and a schema of its own.

#![allow(dead_code)] // Each test program uses its own share of this.

pub mod flown;
pub mod outside;
pub mod sample;

use school::model::{Person, Role};
use school::people::NewPerson;
use school::{Actor, Config, School};
use sqlx::{AssertSqlSafe, Connection};
use tempfile::TempDir;

/// A password that is taken.
pub const PASSWORD: &str = "seven gray geese over water";

/// A school to try things on.
pub struct TestSchool {
    /// Where it lies.
    pub config: Config,
    /// The record.
    pub school: School,
    folder: TempDir,
}

/// An empty place, on every database at hand.
pub async fn empty_places() -> Vec<(Config, TempDir)> {
    let mut places = vec![on_sqlite()];
    if let Some(place) = on_postgres().await {
        places.push(place);
    }
    places
}

/// An open school without people, on every database at hand.
pub async fn test_schools() -> Vec<TestSchool> {
    let mut schools = Vec::new();
    for (config, folder) in empty_places().await {
        let school = School::open(config.clone()).await.unwrap();
        schools.push(TestSchool {
            config,
            school,
            folder,
        });
    }
    schools
}

/// An empty place on SQLite.
pub fn on_sqlite() -> (Config, TempDir) {
    let folder = tempfile::tempdir().unwrap();
    (Config::folder(folder.path().join("data")), folder)
}

/// An empty place on PostgreSQL, if one is at hand.
pub async fn on_postgres() -> Option<(Config, TempDir)> {
    let url = std::env::var("PROOFWING_TEST_POSTGRES").ok()?;
    let schema = format!("t{}", school::new_id().replace('-', ""));
    let mut connection = sqlx::PgConnection::connect(&url).await.unwrap();
    sqlx::raw_sql(AssertSqlSafe(format!("CREATE SCHEMA {schema}")))
        .execute(&mut connection)
        .await
        .unwrap();
    let (mut config, folder) = on_sqlite();
    config.database = Some(format!("{url}&options[search_path]={schema}"));
    Some((config, folder))
}

impl TestSchool {
    /// The chief instructor, who is made with the school.
    pub async fn chief(&self) -> Actor {
        let chief = self
            .school
            .found("Pellwick School of Flying", "Ada Thorne", "ada", PASSWORD)
            .await
            .unwrap();
        Actor::from(&chief)
    }

    /// One more person.
    pub async fn add(&self, by: &Actor, login: &str, role: Role) -> Person {
        let new = NewPerson {
            name: format!("{login} Example"),
            login: login.to_owned(),
            role,
            password: Some(PASSWORD.to_owned()),
        };
        self.school.add_person(by, &new).await.unwrap()
    }
}
