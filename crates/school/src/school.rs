//! The handle on a school's record.

use crate::clock::Clock;
use crate::compute::Workshop;
use crate::config::Config;
use crate::db::{Db, Tx};
use crate::error::{Result, SchoolError};
use crate::objects::Objects;
use crate::passwords::Passwords;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// An open record. Cheap to clone; every clone is the same record.
///
/// ```
/// # async fn example() -> Result<(), school::SchoolError> {
/// let record = school::School::open(school::Config::folder("data")).await?;
/// assert!(record.first_run().await?);
/// # Ok(()) }
/// ```
#[derive(Clone, Debug)]
pub struct School {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    db: Db,
    objects: Objects,
    data_dir: PathBuf,
    clock: Clock,
    passwords: Passwords,
    workshop: Workshop,
}

impl School {
    /// Opens the record, makes what is missing and brings the database to this program's shape.
    ///
    /// # Errors
    /// When the folder, the database or the store of recordings cannot be opened, or a newer program wrote it.
    pub async fn open(config: Config) -> Result<School> {
        let school = School::open_unshaped(config).await?;
        school.db().migrate(|| school.clock().now_utc()).await?;
        Ok(school)
    }

    /// Opens the place without looking at what is in the database.
    pub(crate) async fn open_unshaped(config: Config) -> Result<School> {
        let data_dir = config.data_dir;
        private_folder(&data_dir).await?;
        let objects = Objects::open(config.objects.as_deref(), &data_dir)?;
        let db = match config.database.as_deref() {
            Some(url) => Db::postgres(url).await?,
            None => Db::sqlite(&data_dir.join("record.sqlite")).await?,
        };
        let clock = Clock::default();
        let passwords = Passwords::new();
        let workshop = Workshop::default();
        Ok(School {
            inner: Arc::new(Inner {
                db,
                objects,
                data_dir,
                clock,
                passwords,
                workshop,
            }),
        })
    }

    /// Begins to read at one moment of the record.
    ///
    /// # Errors
    /// When the database does not answer.
    pub async fn read(&self) -> Result<Tx> {
        self.inner.db.read(self.inner.clock.now_utc()).await
    }

    /// Begins an act that writes; acts come one after the other. Compute before, write short.
    ///
    /// # Errors
    /// When the turn does not come in 30 s, or the database does not answer.
    pub async fn write(&self) -> Result<Tx> {
        self.inner.db.write(|| self.inner.clock.now_utc()).await
    }

    /// The store of recordings.
    #[must_use]
    pub fn objects(&self) -> &Objects {
        &self.inner.objects
    }

    /// The database.
    #[must_use]
    pub fn db(&self) -> &Db {
        &self.inner.db
    }

    /// The folder.
    #[must_use]
    pub fn data_dir(&self) -> &Path {
        &self.inner.data_dir
    }

    /// The clock.
    #[must_use]
    pub fn clock(&self) -> &Clock {
        &self.inner.clock
    }

    pub(crate) fn workshop(&self) -> &Workshop {
        &self.inner.workshop
    }

    pub(crate) fn passwords(&self) -> &Passwords {
        &self.inner.passwords
    }

    /// Ends every connection. Acts that are under way on other clones fail.
    pub async fn close(&self) {
        self.inner.db.close().await;
    }
}

/// A new id: UUIDv7, which sorts by the time it was made (RFC 9562).
#[must_use]
pub fn new_id() -> String {
    uuid::Uuid::now_v7().to_string()
}

/// Makes the folder, on Unix for the program's own user only: it holds people's records.
async fn private_folder(path: &Path) -> Result<()> {
    if tokio::fs::try_exists(path).await.unwrap_or(false) {
        return Ok(());
    }
    let cannot = |error| SchoolError::store(format!("be made in {}", path.display()), error);
    let mut builder = tokio::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    builder.mode(0o700);
    builder.create(path).await.map_err(cannot)
}
