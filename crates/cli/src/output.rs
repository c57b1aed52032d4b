//! Writing results: standard output that survives a closed pipe, files that name themselves.

use crate::failure::Failure;
use clap::builder::styling::{AnsiColor, Reset, Style};
use std::io::{IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

/// Style of a word that tells of trouble.
pub const BEYOND: Style = AnsiColor::Red.on_default();
/// End of any style.
pub const RESET: Reset = Reset;

/// Prints to standard output; colors are stripped when it is not a terminal.
pub fn print(text: &str) -> Result<(), Failure> {
    match anstream::stdout().lock().write_all(text.as_bytes()) {
        // `proofwing … | head` closes the pipe early: that is a normal end.
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::Output(format!("standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Tells what is going on, only to a person who watches.
pub fn progress(text: &str) {
    if std::io::stderr().is_terminal() {
        eprintln!("{text}");
    }
}

/// Writes a file whole, through a neighbor that is then renamed: a reader never sees half of it.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |error: std::io::Error| Failure::Output(format!("{}: {error}", path.display()));
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
    {
        std::fs::create_dir_all(folder).map_err(failed)?;
    }
    // A device or a pipe (`--json /dev/null`) is written to, never replaced by a file.
    if path.metadata().is_ok_and(|known| !known.is_file()) {
        return std::fs::write(path, bytes).map_err(failed);
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let part = path.with_file_name(name);
    std::fs::write(&part, bytes).map_err(failed)?;
    std::fs::rename(&part, path).map_err(failed)
}

/// Where a flight's page goes: the named file, or in the named folder when there are several.
pub fn place(target: &Path, several: bool, stem: &str, extension: &str) -> PathBuf {
    if several || target.is_dir() {
        target.join(format!("{stem}.{extension}"))
    } else {
        target.to_owned()
    }
}

/// A recording's name without folders and the endings that only say how it is packed.
pub fn stem(name: &str) -> String {
    let base = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let lower = base.to_lowercase();
    let mut end = base.len();
    for ending in [".gz", ".zip", ".csv", ".txt", ".log", ".gpx"] {
        if lower.get(..end).is_some_and(|part| part.ends_with(ending)) {
            end -= ending.len();
        }
    }
    let stem = base
        .get(..end)
        .filter(|stem| !stem.is_empty())
        .unwrap_or(base);
    stem.chars()
        .map(|letter| {
            if letter.is_alphanumeric() || "-_.".contains(letter) {
                letter
            } else {
                '-'
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Run as root, a rename onto the null device would replace it for everybody.
    #[test]
    #[cfg(unix)]
    fn regress_a_device_is_written_to_and_not_replaced() {
        let null = Path::new("/dev/null");
        assert!(write(null, b"nothing").is_ok());
        assert!(null.metadata().is_ok_and(|known| !known.is_file()));
    }

    #[test]
    fn regress_a_file_is_replaced_whole() {
        let path = std::env::temp_dir().join(format!("proofwing-write-{}", std::process::id()));
        assert!(write(&path, b"a long first text").is_ok());
        assert!(write(&path, b"short").is_ok());
        assert_eq!(std::fs::read(&path).ok().as_deref(), Some(&b"short"[..]));
        let _ = std::fs::remove_file(path);
    }

    #[test]
    fn regress_stems_drop_packing_only() {
        assert_eq!(stem("day/lesson 7.csv.gz"), "lesson-7");
        assert_eq!(stem("TRACK.GPX"), "TRACK");
        assert_eq!(stem(".csv"), ".csv");
    }
}
