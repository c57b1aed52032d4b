//! Writes a backup's parts, on a thread of its own: into a zip or a folder that gets its name when it is whole.

use super::cannot;
use crate::error::{Result, SchoolError};
use crate::secret::hex;
use bytes::Bytes;
use sha2::{Digest, Sha256};
use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use tokio::sync::{mpsc, oneshot};
use tokio::task::JoinHandle;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// A backup that is being written.
pub(super) struct Writer {
    to: mpsc::Sender<Piece>,
    done: JoinHandle<Result<()>>,
}

enum Piece {
    Begin(String),
    Bytes(Bytes),
    End(oneshot::Sender<(String, u64)>),
    Finish,
}

impl Writer {
    /// Begins; nothing may lie at `out` yet.
    pub async fn begin(out: &Path) -> Result<Writer> {
        // Four pieces under way: reading goes on while the disk writes, and memory stays bounded.
        let (to, from) = mpsc::channel(4);
        let (out, (ready, opened)) = (out.to_owned(), oneshot::channel());
        let done = tokio::task::spawn_blocking(move || {
            let target = match Target::open(&out) {
                Ok(target) => target,
                Err(error) => {
                    drop(ready.send(Err(error)));
                    return Ok(());
                }
            };
            drop(ready.send(Ok(())));
            let partial = target.partial.clone();
            let written = write(target, from);
            if written.is_err() {
                remove(&partial);
            }
            written
        });
        opened
            .await
            .map_err(|error| SchoolError::store("be copied", error))??;
        Ok(Writer { to, done })
    }

    pub async fn begin_part(&mut self, name: &str) -> Result<()> {
        self.send(Piece::Begin(name.to_owned())).await
    }

    pub async fn bytes(&mut self, bytes: Bytes) -> Result<()> {
        self.send(Piece::Bytes(bytes)).await
    }

    /// Ends a part; gives its SHA-256 and size.
    pub async fn end_part(&mut self) -> Result<(String, u64)> {
        let (tell, told) = oneshot::channel();
        self.send(Piece::End(tell)).await?;
        told.await
            .map_err(|error| SchoolError::store("be copied", error))
    }

    /// A part in one piece.
    pub async fn part(&mut self, name: &str, bytes: Bytes) -> Result<(String, u64)> {
        self.begin_part(name).await?;
        self.bytes(bytes).await?;
        self.end_part().await
    }

    /// Makes it whole: synced, then under its name.
    pub async fn finish(self) -> Result<()> {
        let sent = self.to.send(Piece::Finish).await;
        drop(self.to);
        let done = self
            .done
            .await
            .map_err(|error| SchoolError::store("be copied", error))?;
        done.and_then(|()| sent.map_err(|error| SchoolError::store("be copied", error.to_string())))
    }

    /// Takes away what was written; tells why writing stopped, if it did.
    pub async fn abandon(self) -> Result<()> {
        drop(self.to);
        match self.done.await {
            Ok(Err(error)) if !matches!(error, SchoolError::Conflict { .. }) => Err(error),
            _ => Ok(()),
        }
    }

    async fn send(&mut self, piece: Piece) -> Result<()> {
        self.to
            .send(piece)
            .await
            .map_err(|_| SchoolError::store("be copied", "the backup could not be written on"))
    }
}

/// Where it is written.
struct Target {
    out: PathBuf,
    partial: PathBuf,
    form: Form,
}

enum Form {
    Zip(Box<ZipWriter<File>>),
    Folder(Option<File>),
}

impl Target {
    fn open(out: &Path) -> Result<Target> {
        if out.exists() {
            return Err(SchoolError::conflict(
                format!("There is something at {} already.", out.display()),
                "Choose another name: a backup never writes over a file.",
            ));
        }
        let mut name = out.as_os_str().to_owned();
        name.push(".part");
        let partial = PathBuf::from(name);
        remove(&partial);
        if let Some(parent) = out.parent().filter(|parent| !parent.as_os_str().is_empty()) {
            fs::create_dir_all(parent).map_err(cannot(out))?;
        }
        let zip = out
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("zip"));
        let form = if zip {
            Form::Zip(Box::new(ZipWriter::new(
                private_file(&partial).map_err(cannot(out))?,
            )))
        } else {
            private_folder(&partial).map_err(cannot(out))?;
            Form::Folder(None)
        };
        Ok(Target {
            out: out.to_owned(),
            partial,
            form,
        })
    }

    fn begin(&mut self, name: &str) -> std::io::Result<()> {
        match &mut self.form {
            Form::Zip(zip) => {
                let options = SimpleFileOptions::default()
                    .compression_method(CompressionMethod::Deflated)
                    .large_file(true)
                    .unix_permissions(0o600);
                zip.start_file(name, options).map_err(std::io::Error::other)
            }
            Form::Folder(file) => {
                let path = self.partial.join(name);
                if let Some(parent) = path.parent() {
                    private_folder(parent)?;
                }
                *file = Some(private_file(&path)?);
                Ok(())
            }
        }
    }

    fn bytes(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        match &mut self.form {
            Form::Zip(zip) => zip.write_all(bytes),
            Form::Folder(Some(file)) => file.write_all(bytes),
            Form::Folder(None) => Err(std::io::Error::other("no part was begun")),
        }
    }

    fn end(&mut self) -> std::io::Result<()> {
        match &mut self.form {
            Form::Zip(_) => Ok(()),
            Form::Folder(file) => file.take().map_or(Ok(()), |file| file.sync_all()),
        }
    }

    fn finish(self) -> std::io::Result<()> {
        match self.form {
            Form::Zip(zip) => zip.finish().map_err(std::io::Error::other)?.sync_all()?,
            Form::Folder(_) => sync_folders(&self.partial)?,
        }
        fs::rename(&self.partial, &self.out)?;
        let parent = self
            .out
            .parent()
            .filter(|parent| !parent.as_os_str().is_empty());
        sync_folder(parent.unwrap_or(Path::new(".")))
    }
}

fn write(mut target: Target, mut from: mpsc::Receiver<Piece>) -> Result<()> {
    let out = target.out.clone();
    let (mut digest, mut size) = (Sha256::new(), 0);
    while let Some(piece) = from.blocking_recv() {
        match piece {
            Piece::Begin(name) => {
                (digest, size) = (Sha256::new(), 0);
                target.begin(&name).map_err(cannot(&out))?;
            }
            Piece::Bytes(bytes) => {
                digest.update(&bytes);
                size += bytes.len() as u64;
                target.bytes(&bytes).map_err(cannot(&out))?;
            }
            Piece::End(tell) => {
                target.end().map_err(cannot(&out))?;
                drop(tell.send((hex(&std::mem::take(&mut digest).finalize()), size)));
            }
            Piece::Finish => return target.finish().map_err(cannot(&out)),
        }
    }
    Err(SchoolError::conflict("The backup was given up.", ""))
}

/// A backup holds people's records and the hashes of their passwords: for its owner only.
fn private_file(path: &Path) -> std::io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

fn private_folder(path: &Path) -> std::io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

fn sync_folders(path: &Path) -> std::io::Result<()> {
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            sync_folders(&entry.path())?;
        }
    }
    sync_folder(path)
}

/// Makes the names in a folder durable; on systems where a folder cannot be opened, the system sees to it.
fn sync_folder(path: &Path) -> std::io::Result<()> {
    if cfg!(unix) {
        File::open(path)?.sync_all()
    } else {
        Ok(())
    }
}

/// Takes a partial backup away, whatever it is.
fn remove(partial: &Path) {
    let gone = if partial.is_dir() {
        fs::remove_dir_all(partial)
    } else {
        fs::remove_file(partial)
    };
    if let Err(error) = gone
        && error.kind() != std::io::ErrorKind::NotFound
    {
        tracing::warn!(%error, path = %partial.display(), "a partial backup could not be taken away");
    }
}
