//! Where a record lies, as words on a command line.

use crate::Outcome;
use school::Config;
use sqlx::{AssertSqlSafe, Connection};
use std::path::{Path, PathBuf};

/// A folder and, for PostgreSQL, an address.
#[derive(Clone, Debug)]
pub struct Place {
    folder: PathBuf,
    database: Option<String>,
}

impl Place {
    /// A place of its own for a record: on PostgreSQL in a schema of its own.
    pub async fn new(folder: &Path, postgres: Option<&str>) -> Outcome<Place> {
        let database = match postgres {
            None => None,
            Some(url) => {
                let schema = format!("c{}", school::new_id().replace('-', ""));
                let mut connection = sqlx::PgConnection::connect(url).await?;
                let sql = AssertSqlSafe(format!("CREATE SCHEMA {schema}"));
                sqlx::raw_sql(sql).execute(&mut connection).await?;
                Some(format!("{url}&options[search_path]={schema}"))
            }
        };
        Ok(Place {
            folder: folder.to_owned(),
            database,
        })
    }

    /// As [`Place::words`] wrote it.
    pub fn from_words(mut words: impl Iterator<Item = String>) -> Place {
        Place {
            folder: words.next().unwrap_or_default().into(),
            database: words.next(),
        }
    }

    /// As arguments of the child.
    pub fn words(&self) -> Vec<std::ffi::OsString> {
        let mut words = vec![self.folder.clone().into_os_string()];
        words.extend(self.database.iter().map(Into::into));
        words
    }

    /// For [`school::School::open`].
    pub fn config(&self) -> Config {
        Config {
            database: self.database.clone(),
            ..Config::folder(&self.folder)
        }
    }

    /// The database in a word.
    pub const fn kind(&self) -> &'static str {
        if self.database.is_some() {
            "PostgreSQL"
        } else {
            "SQLite"
        }
    }
}
