//! Recordings as bytes, each under the SHA-256 of its content: in a folder, or in an S3-compatible store.

use crate::error::{Result, SchoolError};
use crate::secret::{is_sha256, sha256_hex};
use bytes::Bytes;
use futures_util::TryStreamExt;
use object_store::local::LocalFileSystem;
use object_store::path::Path as Key;
use object_store::{ObjectStore, ObjectStoreExt, PutPayload};
use std::path::Path;
use std::sync::Arc;

/// Where recordings lie.
#[derive(Clone, Debug)]
pub struct Objects {
    store: Arc<dyn ObjectStore>,
    prefix: String,
}

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
            None => local(data_dir),
        }
    }

    /// Keeps bytes; gives their SHA-256 and whether they were there before. Returns only when they are durable: the
    /// file and its folder are synced, or the remote store has answered.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn put(&self, bytes: Bytes) -> Result<(String, bool)> {
        let sha256 = sha256_hex(&bytes);
        let key = self.key(&sha256)?;
        // Bytes under this name that were damaged since are mended by writing them again.
        if let Ok(there) = self.get(&sha256).await
            && there == bytes
        {
            return Ok((sha256, true));
        }
        self.store
            .put(&key, PutPayload::from_bytes(bytes))
            .await
            .map_err(|error| SchoolError::store("keep the recording", error))?;
        Ok((sha256, false))
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

    /// When bytes were last written.
    pub(crate) async fn written(&self, sha256: &str) -> Result<jiff::Timestamp> {
        let key = self.key(sha256)?;
        let meta = self
            .store
            .head(&key)
            .await
            .map_err(|error| SchoolError::store("look at a recording", error))?;
        jiff::Timestamp::from_second(meta.last_modified.timestamp())
            .map_err(|error| SchoolError::store("look at a recording", error))
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

fn local(folder: &Path) -> Result<Objects> {
    let cannot = |error: Box<dyn std::error::Error + Send + Sync>| {
        SchoolError::store(format!("keep recordings in {}", folder.display()), error)
    };
    std::fs::create_dir_all(folder.join(FOLDER)).map_err(|error| cannot(error.into()))?;
    let store = LocalFileSystem::new_with_prefix(folder).map_err(|error| cannot(error.into()))?;
    Ok(Objects {
        store: Arc::new(store.with_fsync(true)),
        prefix: String::new(),
    })
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
