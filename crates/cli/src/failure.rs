//! How the command ends when something is wrong.

use std::fmt;
use std::path::Path;
use std::process::ExitCode;

/// What went wrong, for a person; and the exit code.
#[derive(Debug)]
pub enum Failure {
    /// Wrong usage, or a file other than a recording that cannot be used: 2.
    Usage(String),
    /// A recording that cannot be read: 3.
    Recording(String),
    /// A result that cannot be written: 1.
    Output(String),
}

impl Failure {
    /// A file that could not be opened or read.
    pub fn opening(path: &Path, error: &std::io::Error) -> String {
        let mend = match error.kind() {
            std::io::ErrorKind::NotFound => "check the name and the folder",
            std::io::ErrorKind::PermissionDenied => "check who may read it",
            std::io::ErrorKind::IsADirectory => "name the file itself, not its folder",
            _ => "copy the file again and retry",
        };
        format!("{}: {error}\nhint: {mend}", path.display())
    }

    /// The exit code.
    pub fn code(&self) -> ExitCode {
        ExitCode::from(match self {
            Self::Output(_) => 1,
            Self::Usage(_) => 2,
            Self::Recording(_) => 3,
        })
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Usage(text) | Self::Recording(text) | Self::Output(text) => out.write_str(text),
        }
    }
}
