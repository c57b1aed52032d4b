//! Recordings as bytes, each under the SHA-256 of its content: in a folder, or in an S3-compatible store.

use crate::error::{Result, SchoolError};
use crate::secret::{is_sha256, sha256_hex};
use crate::{School, values};
use bytes::Bytes;
use futures_util::TryStreamExt;
use object_store::local::LocalFileSystem;
use object_store::path::Path as Key;
use object_store::{ObjectStore, ObjectStoreExt, PutPayload};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// Where recordings lie.
#[derive(Clone, Debug)]
pub struct Objects {
    store: Arc<dyn ObjectStore>,
    prefix: String,
    /// Where it is a folder: for the files that a write which was cut off leaves there.
    folder: Option<PathBuf>,
    /// It is the folder of the record itself.
    own: bool,
}

/// Bytes younger than this are not written again.
const YOUNG_S: i64 = 3600;
/// Bytes older than this that no row names are swept.
const SWEPT_S: i64 = 24 * 3600;
/// Folder under which recordings lie.
const FOLDER: &str = "recordings";

impl Objects {
    /// Opens the store: `None` = `data_dir`, a path = that folder, `s3://bucket/prefix` = an S3-compatible store.
    ///
    /// # Errors
    /// When the folder cannot be made, the address cannot be read, or this program was built without `s3`.
    pub fn open(place: Option<&str>, data_dir: &Path) -> Result<Objects> {
        match place {
            Some(url) if url.starts_with("s3://") => s3(url),
            Some(url) if url.contains("://") => Err(SchoolError::invalid(
                "objects",
                format!(
                    "`{}` is no place for recordings.",
                    url.split("://").next().unwrap_or_default()
                ),
                "Name a folder, or s3://bucket/prefix.",
            )),
            Some(folder) => local(Path::new(folder)),
            None => Ok(Objects {
                own: true,
                ..local(data_dir)?
            }),
        }
    }

    /// Whether this is the record's own folder, which no other record keeps anything in.
    #[must_use]
    pub const fn is_own(&self) -> bool {
        self.own
    }

    /// Keeps bytes; gives their SHA-256 and whether they were there before. Returns only when they are durable: the
    /// file and its folder are synced, or the remote store has answered.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn put(&self, bytes: Bytes) -> Result<(String, bool)> {
        let sha256 = sha256_hex(&bytes);
        let key = self.key(&sha256)?;
        // Bytes under this name that were damaged since are mended by writing them again; and old ones that no row
        // names are made young, so that they are not swept between here and the row.
        let there = self.get(&sha256).await.is_ok_and(|there| there == bytes);
        if there && self.age_s(&sha256).await? < YOUNG_S {
            return Ok((sha256, true));
        }
        self.store
            .put(&key, PutPayload::from_bytes(bytes))
            .await
            .map_err(|error| SchoolError::store("keep the recording", error))?;
        Ok((sha256, there))
    }

    /// The bytes of that name, checked against it.
    ///
    /// # Errors
    /// `NotFound` when there are none; `Store` when they are damaged or the store fails.
    pub async fn get(&self, sha256: &str) -> Result<Bytes> {
        let key = self.key(sha256)?;
        let bytes = match self.store.get(&key).await {
            Ok(found) => found.bytes().await,
            Err(error) => Err(error),
        };
        match bytes {
            Ok(bytes) if sha256_hex(&bytes) == sha256 => Ok(bytes),
            Ok(_) => Err(SchoolError::store(
                "give the recording",
                format!("the bytes of recording {sha256} are not those that were received"),
            )),
            Err(object_store::Error::NotFound { .. }) => Err(SchoolError::not_found(format!(
                "the bytes of recording {sha256}"
            ))),
            Err(error) => Err(SchoolError::store("give the recording", error)),
        }
    }

    /// Names of all bytes kept, in no order.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn list(&self) -> Result<Vec<String>> {
        let under = Key::from(format!("{}{FOLDER}", self.prefix));
        let found: Vec<_> = self
            .store
            .list(Some(&under))
            .try_collect()
            .await
            .map_err(|error| SchoolError::store("list the recordings", error))?;
        Ok(found
            .iter()
            .filter_map(|object| {
                let text = object.location.as_ref();
                let mut ends = text.rsplit('/');
                let (tail, head) = (ends.next()?, ends.next()?);
                let name = format!("{head}{tail}");
                is_sha256(&name).then_some(name)
            })
            .collect())
    }

    /// Takes bytes away that no row names. The caller makes sure of that.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn remove(&self, sha256: &str) -> Result<()> {
        let key = self.key(sha256)?;
        match self.store.delete(&key).await {
            Ok(()) | Err(object_store::Error::NotFound { .. }) => Ok(()),
            Err(error) => Err(SchoolError::store("take away bytes without a row", error)),
        }
    }

    /// How long ago bytes were written, s.
    async fn age_s(&self, sha256: &str) -> Result<i64> {
        let looking = "look at a recording";
        let key = self.key(sha256)?;
        let meta = self
            .store
            .head(&key)
            .await
            .map_err(|error| SchoolError::store(looking, error))?;
        Ok(jiff::Timestamp::now().as_second() - meta.last_modified.timestamp())
    }

    async fn sweep_half_written(&self) -> Result<u64> {
        let Some(folder) = self.folder.clone() else {
            return Ok(0);
        };
        let cannot = |error: Box<dyn std::error::Error + Send + Sync>| {
            SchoolError::store("take away what was half-written", error)
        };
        tokio::task::spawn_blocking(move || sweep_half_written(&folder))
            .await
            .map_err(|error| cannot(error.into()))?
            .map_err(|error| cannot(error.into()))
    }

    fn key(&self, sha256: &str) -> Result<Key> {
        match sha256.split_at_checked(2) {
            Some((head, tail)) if is_sha256(sha256) => {
                Ok(Key::from(format!("{}{FOLDER}/{head}/{tail}", self.prefix)))
            }
            _ => Err(SchoolError::not_found("a recording of that name")),
        }
    }
}

impl School {
    /// Takes away bytes that no row names and files that were never finished: an import that was broken off before
    /// its row was written leaves them. They must be a day old, so that no import under way loses its own, and must
    /// have come after this record began: what lay there before a restore may be all that is left of those flights.
    /// Gives how many.
    ///
    /// A store that several records share is nothing to sweep: see [`Objects::is_own`].
    ///
    /// # Errors
    /// When the store or the database fails.
    pub async fn sweep(&self) -> Result<u64> {
        let mut swept = self.objects().sweep_half_written().await?;
        let Some(begun) = self.begun().await? else {
            return Ok(swept);
        };
        let known: BTreeSet<String> = {
            let mut tx = self.read().await?;
            crate::verify::recordings(&mut tx)
                .await?
                .into_iter()
                .map(|(sha256, _)| sha256)
                .collect()
        };
        let unknown = self
            .objects()
            .list()
            .await?
            .into_iter()
            .filter(|sha256| !known.contains(sha256));
        for sha256 in unknown {
            // Once more in the writers' turn: no row comes between the look and the removal.
            let mut tx = self.write().await?;
            let row = tx
                .row(
                    "SELECT sha256 FROM recordings WHERE sha256 = $1",
                    values![&sha256],
                )
                .await?;
            let age_s = self.objects().age_s(&sha256).await?;
            let ours = jiff::Timestamp::now().as_second() - age_s > begun.as_second();
            if row.is_none() && ours && age_s > SWEPT_S {
                self.objects().remove(&sha256).await?;
                tracing::info!(recording = sha256, "bytes without a row were taken away");
                swept += 1;
            }
        }
        Ok(swept)
    }

    /// When the school was founded, or the record restored last; none = not yet.
    async fn begun(&self) -> Result<Option<jiff::Timestamp>> {
        let mut tx = self.read().await?;
        let sql = "SELECT at_utc FROM audit WHERE action IN ('school.founded', 'record.restored') \
                   ORDER BY seq DESC LIMIT 1";
        tx.row(sql, values![])
            .await?
            .map(|row| crate::clock::from_utc(&row.text("at_utc")?))
            .transpose()
    }
}

fn local(folder: &Path) -> Result<Objects> {
    let cannot = |error: Box<dyn std::error::Error + Send + Sync>| {
        SchoolError::store(format!("keep recordings in {}", folder.display()), error)
    };
    std::fs::create_dir_all(folder.join(FOLDER)).map_err(|error| cannot(error.into()))?;
    let store = LocalFileSystem::new_with_prefix(folder).map_err(|error| cannot(error.into()))?;
    Ok(Objects {
        store: Arc::new(store.with_fsync(true)),
        prefix: String::new(),
        folder: Some(folder.join(FOLDER)),
        own: false,
    })
}

/// Takes away files that were being written when the program was ended (`name#1` until they are whole), a day later.
fn sweep_half_written(folder: &Path) -> std::io::Result<u64> {
    let mut swept = 0;
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            swept += sweep_half_written(&entry.path())?;
            continue;
        }
        let half = entry.file_name().to_string_lossy().contains('#');
        let age = entry.metadata()?.modified()?.elapsed().unwrap_or_default();
        if half && age > Duration::from_secs(SWEPT_S.unsigned_abs()) {
            std::fs::remove_file(entry.path())?;
            swept += 1;
        }
    }
    Ok(swept)
}

#[cfg(feature = "s3")]
fn s3(url: &str) -> Result<Objects> {
    let bad = |error: object_store::Error| {
        SchoolError::store("reach the recordings in the S3 store", error)
    };
    let rest = url.trim_start_matches("s3://");
    let (bucket, prefix) = rest.split_once('/').unwrap_or((rest, ""));
    if bucket.is_empty() {
        return Err(SchoolError::invalid(
            "objects",
            "The S3 address names no bucket.",
            "Write s3://bucket/prefix.",
        ));
    }
    let store = object_store::aws::AmazonS3Builder::from_env()
        .with_bucket_name(bucket)
        .build()
        .map_err(bad)?;
    let prefix = prefix.trim_matches('/');
    let prefix = if prefix.is_empty() {
        String::new()
    } else {
        format!("{prefix}/")
    };
    Ok(Objects {
        store: Arc::new(store),
        prefix,
        folder: None,
        own: false,
    })
}

#[cfg(not(feature = "s3"))]
fn s3(_url: &str) -> Result<Objects> {
    Err(SchoolError::invalid(
        "objects",
        "This program was built without support for S3 stores.",
        "Build it with the feature `s3`, or name a folder.",
    ))
}
