//! Somebody with the database in their hands and without the program: no triggers, no checks, no references.

use school::Config;
use school::db::Value;
use sqlx::{AssertSqlSafe, Connection, PgConnection, SqliteConnection};

/// A connection past everything that protects the record.
pub enum Outside {
    /// To the file.
    Sqlite(Box<SqliteConnection>),
    /// To the server.
    Postgres(Box<PgConnection>),
}

impl Outside {
    /// Connects.
    pub async fn connect(config: &Config) -> Outside {
        match &config.database {
            Some(url) => {
                let mut connection = PgConnection::connect(url).await.unwrap();
                sqlx::raw_sql("SET session_replication_role = replica")
                    .execute(&mut connection)
                    .await
                    .unwrap();
                Outside::Postgres(Box::new(connection))
            }
            None => {
                let url = format!(
                    "sqlite://{}",
                    config.data_dir.join("record.sqlite").display()
                );
                let mut connection = SqliteConnection::connect(&url).await.unwrap();
                let triggers: Vec<String> =
                    sqlx::query_scalar("SELECT name FROM sqlite_master WHERE type = 'trigger'")
                        .fetch_all(&mut connection)
                        .await
                        .unwrap();
                let mut outside = Outside::Sqlite(Box::new(connection));
                outside.run("PRAGMA foreign_keys = OFF", &[]).await.unwrap();
                outside
                    .run("PRAGMA ignore_check_constraints = ON", &[])
                    .await
                    .unwrap();
                for trigger in triggers {
                    outside
                        .run(&format!("DROP TRIGGER {trigger}"), &[])
                        .await
                        .unwrap();
                }
                outside
            }
        }
    }

    /// Runs a statement; gives the number of rows changed.
    pub async fn run(&mut self, sql: &str, values: &[Value]) -> Result<u64, sqlx::Error> {
        macro_rules! run {
            ($connection:expr) => {{
                let mut query = sqlx::query(AssertSqlSafe(sql.to_owned()));
                for value in values.iter().cloned() {
                    query = match value {
                        Value::Text(value) => query.bind(value),
                        Value::Int(value) => query.bind(value),
                        Value::Real(value) => query.bind(value),
                        Value::Flag(value) => query.bind(value),
                        Value::Bytes(value) => query.bind(value),
                    };
                }
                query
                    .execute(&mut **$connection)
                    .await
                    .map(|done| done.rows_affected())
            }};
        }
        match self {
            Outside::Sqlite(connection) => run!(connection),
            Outside::Postgres(connection) => run!(connection),
        }
    }
}
