//! `proofwing import`: recordings into the school's record, here or through a running server.

use super::args::{ImportArgs, Place};
use super::place::actor;
use super::remote::Remote;
use super::{block_on, refused};
use crate::failure::Failure;
use crate::output;
use school::import::{Given, Via};
use school::model::Imported;
use std::path::Path;

/// Runs the command.
pub fn run(args: &ImportArgs) -> Result<(), Failure> {
    let mut failures = 0;
    match &args.server {
        Some(server) => {
            let remote = Remote::new(server, args.trust.as_deref())?;
            for path in &args.recordings {
                let told = read(path).and_then(|bytes| remote.import(&name(path), &bytes));
                failures += tell(path, told)?;
            }
        }
        None => failures = local(args)?,
    }
    match failures {
        0 => Ok(()),
        1 => Err(Failure::Recording(
            "1 recording could not be read".to_owned(),
        )),
        count => Err(Failure::Recording(format!(
            "{count} recordings could not be read"
        ))),
    }
}

fn local(args: &ImportArgs) -> Result<usize, Failure> {
    let place = Place {
        data: args.data.clone().unwrap_or_default(),
        database: args.database.clone(),
        objects: args.objects.clone(),
    };
    block_on(async {
        let school = place.open_existing().await?;
        let by = actor(&school, args.login.as_deref().unwrap_or_default()).await?;
        let mut failures = 0;
        for path in &args.recordings {
            let told = match read(path) {
                Ok(bytes) => school
                    .import(
                        &by,
                        &name(path),
                        bytes.into(),
                        Via::Command,
                        &Given::default(),
                    )
                    .await
                    .map(|imported| Told::from(&imported))
                    .map_err(|error| refused(&error)),
                Err(failure) => Err(failure),
            };
            failures += tell(path, told)?;
        }
        Ok(failures)
    })
}

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    std::fs::read(path).map_err(|error| Failure::Recording(Failure::opening(path, &error)))
}

fn name(path: &Path) -> String {
    path.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

/// What became of one file.
pub struct Told {
    /// Lessons: start, title, what was flown.
    pub lessons: Vec<String>,
    /// It was here already.
    pub known: bool,
    /// A person should look at how it was read.
    pub unsure: bool,
    /// Why there is no lesson in it, where there is none.
    pub trouble: Option<String>,
}

impl From<&Imported> for Told {
    fn from(imported: &Imported) -> Self {
        let lessons = imported.lessons.iter().map(|lesson| {
            let flown: Vec<String> = lesson
                .flown
                .iter()
                .map(|flown| format!("{} {}", flown.count, flown.title.to_lowercase()))
                .collect();
            format!(
                "{}  {}: {}",
                lesson.start_utc,
                lesson.title,
                flown.join(", ")
            )
        });
        let trouble = imported
            .recording
            .reading
            .notes
            .first()
            .filter(|_| imported.lessons.is_empty())
            .map(|note| note.what.clone());
        Self {
            lessons: lessons.collect(),
            known: imported.known,
            unsure: imported.recording.brief.unsure,
            trouble,
        }
    }
}

/// Prints what became of a file; 1 when it gave no lesson.
fn tell(path: &Path, told: Result<Told, Failure>) -> Result<usize, Failure> {
    let told = match told {
        Ok(told) => told,
        Err(failure) => {
            eprintln!("proofwing: {}: {failure}", path.display());
            return Ok(1);
        }
    };
    let here = if told.known {
        " (was here already)"
    } else {
        ""
    };
    output::print(&format!("{}{here}\n", path.display()))?;
    for lesson in &told.lessons {
        output::print(&format!("  {lesson}\n"))?;
    }
    if told.unsure {
        output::print(
            "  how it was read is unsure: confirm it on the page, or see `proofwing inspect`\n",
        )?;
    }
    if told.lessons.is_empty() {
        let why = told.trouble.unwrap_or_else(|| "no flight in it".to_owned());
        eprintln!("proofwing: {}: kept, but no lesson: {why}", path.display());
        return Ok(1);
    }
    Ok(0)
}
