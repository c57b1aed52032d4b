//! Where a school's record lies.

use std::path::PathBuf;

/// Where a school's record lies.
///
/// ```
/// let here = school::Config::folder("data");
/// assert_eq!(here.database, None);
/// ```
#[derive(Clone, Default)]
pub struct Config {
    /// Folder for everything that lies in files: the SQLite database and, unless `objects` says otherwise, the
    /// recordings. Made when it is not there.
    pub data_dir: PathBuf,
    /// PostgreSQL address, `postgres://…`; none = SQLite in `data_dir`.
    pub database: Option<String>,
    /// Where recordings lie: a folder, or `s3://bucket/prefix` (feature `s3`, credentials from the usual `AWS_…`
    /// environment); none = in `data_dir`.
    pub objects: Option<String>,
}

impl Config {
    /// SQLite and recordings in one folder.
    #[must_use]
    pub fn folder(data_dir: impl Into<PathBuf>) -> Config {
        Config {
            data_dir: data_dir.into(),
            database: None,
            objects: None,
        }
    }
}

// Written by hand: a database address may carry a password, which must not reach a log.
impl std::fmt::Debug for Config {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Config")
            .field("data_dir", &self.data_dir)
            .field(
                "database",
                &self.database.as_ref().map(|_| "postgres://(not shown)"),
            )
            .field("objects", &self.objects)
            .finish()
    }
}
