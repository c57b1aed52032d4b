//! What lies in a watched folder.

use bytes::Bytes;
use std::fs::Metadata;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Folders below the watched one that are looked into.
const DEEP: u32 = 6;
/// Files that are kept in view; a card holds a few hundred.
const MOST: usize = 20_000;
/// Ends of names that a recording may have; a card holds other things besides. By these a file is looked at; what it
/// is, its bytes tell.
const ENDS: [&str; 6] = ["csv", "txt", "tsv", "gpx", "gz", "zip"];

/// A file as it was seen: who has the same path and mark is the same file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Size.
    pub bytes: u64,
    /// Time of the last change; none where the file system keeps none.
    modified: Option<SystemTime>,
}

impl Mark {
    fn of(metadata: &Metadata) -> Mark {
        Mark {
            bytes: metadata.len(),
            modified: metadata.modified().ok(),
        }
    }
}

/// What lies in a folder.
pub struct There {
    /// Files, by path.
    pub files: Vec<(PathBuf, Mark)>,
    /// What could not be looked at, in words.
    pub trouble: Option<String>,
}

/// A file's bytes and their SHA-256.
pub struct ReadBytes {
    /// Bytes.
    pub bytes: Bytes,
    /// SHA-256, hex.
    pub sha256: String,
}

/// Looks into a folder and the folders below it. Links are not followed.
///
/// # Errors
/// When the folder itself cannot be read.
pub async fn files(folder: &Path) -> io::Result<There> {
    let folder = folder.to_owned();
    tokio::task::spawn_blocking(move || {
        let mut there = There {
            files: Vec::new(),
            trouble: None,
        };
        look(&folder, DEEP, &mut there)?;
        there.files.sort_by(|one, two| one.0.cmp(&two.0));
        Ok(there)
    })
    .await
    .map_err(io::Error::other)?
}

fn look(folder: &Path, deep: u32, there: &mut There) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let (path, kind) = (entry.path(), entry.file_type()?);
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        if kind.is_dir() && deep > 0 {
            // What the operating system keeps for itself on a card is often closed: the rest is looked at.
            if let Err(error) = look(&path, deep - 1, there) {
                there.trouble = Some(format!("{}: {error}", path.display()));
            }
        } else if kind.is_file() && may_be_recording(&path) {
            if there.files.len() >= MOST {
                there.trouble = Some(format!(
                    "only the first {MOST} files are looked at; watch a smaller folder"
                ));
                return Ok(());
            }
            match entry.metadata() {
                Ok(metadata) => there.files.push((path, Mark::of(&metadata))),
                // It went between the two looks.
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => there.trouble = Some(format!("{}: {error}", path.display())),
            }
        }
    }
    Ok(())
}

fn may_be_recording(path: &Path) -> bool {
    let end = path
        .extension()
        .map(|end| end.to_string_lossy().to_lowercase());
    end.is_some_and(|end| ENDS.contains(&end.as_str()))
}

/// Reads a file; none when it is no longer as it was marked.
///
/// # Errors
/// When it cannot be read.
pub async fn read(path: &Path, mark: Mark) -> io::Result<Option<ReadBytes>> {
    let path = path.to_owned();
    tokio::task::spawn_blocking(move || {
        let file = std::fs::File::open(&path)?;
        let mut bytes = Vec::with_capacity(usize::try_from(mark.bytes).unwrap_or_default());
        // A byte more than was seen shows that it grows, without reading all of it.
        (&file)
            .take(mark.bytes.saturating_add(1))
            .read_to_end(&mut bytes)?;
        let whole = bytes.len() as u64 == mark.bytes && Mark::of(&file.metadata()?) == mark;
        Ok(whole.then(|| ReadBytes {
            sha256: school::secret::sha256_hex(&bytes),
            bytes: bytes.into(),
        }))
    })
    .await
    .map_err(io::Error::other)?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(path: &Path) -> Mark {
        Mark::of(&std::fs::metadata(path).unwrap())
    }

    #[tokio::test]
    async fn prop_only_what_was_marked_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        std::fs::write(&path, b"one").unwrap();
        let mark = marked(&path);
        assert_eq!(read(&path, mark).await.unwrap().unwrap().bytes, "one");
        // Grown since, shortened since, gone since.
        std::fs::write(&path, b"one two").unwrap();
        assert!(read(&path, mark).await.unwrap().is_none());
        std::fs::write(&path, b"o").unwrap();
        assert!(read(&path, mark).await.unwrap().is_none());
        std::fs::remove_file(&path).unwrap();
        assert_eq!(
            read(&path, mark).await.err().unwrap().kind(),
            io::ErrorKind::NotFound
        );
    }

    #[tokio::test]
    async fn prop_another_file_of_the_same_length_is_not_read_for_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        std::fs::write(&path, b"one").unwrap();
        let mark = marked(&path);
        std::fs::write(&path, b"two").unwrap();
        let later = SystemTime::now() + std::time::Duration::from_secs(60);
        std::fs::File::options()
            .write(true)
            .open(&path)
            .unwrap()
            .set_modified(later)
            .unwrap();
        assert!(read(&path, mark).await.unwrap().is_none());
    }

    #[test]
    fn prop_names_are_judged_by_their_end() {
        for name in ["LOG.CSV", "a.b.gz", "track.gpx"] {
            assert!(may_be_recording(Path::new(name)), "{name}");
        }
        for name in ["csv", "photo.jpg", "log.csv.part", "log.csv~"] {
            assert!(!may_be_recording(Path::new(name)), "{name}");
        }
    }
}
