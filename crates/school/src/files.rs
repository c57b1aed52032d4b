//! A lesson as files: prints, pages, path, table, and the series that the page draws.

use crate::School;
use crate::actor::Actor;
use crate::clock::from_utc;
use crate::compute::Rebuilt;
use crate::error::{Result, SchoolError};
use crate::model::{LessonView, ManeuverPicture, PictureDrawing};
use crate::sheet;
use bytes::Bytes;
use debrief::{WhatIfChange, WhatIfTrace};
use press::frame::Frame;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A file that a lesson is given as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// Every maneuver's sheet, for paper.
    Sheets(press::Paper),
    /// The lesson on one page, for paper.
    Lesson(press::Paper),
    /// Lesson sheet and every maneuver's, for paper.
    Whole(press::Paper),
    /// What to brief the next stalls from, for paper.
    Card(press::Paper),
    /// The same as one page that needs nothing else.
    CardPage,
    /// The sheets as one page that needs nothing else.
    Html,
    /// The document `proofwing/debrief/1`.
    Json,
    /// The path as KML.
    Kml,
    /// The path as GPX.
    Gpx,
    /// The reconstructed flight as a table.
    Csv,
    /// The reconstructed flight as Parquet.
    Parquet,
}

impl FileKind {
    /// The ending of its name.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            FileKind::Sheets(_) | FileKind::Lesson(_) | FileKind::Whole(_) | FileKind::Card(_) => {
                "pdf"
            }
            FileKind::Html | FileKind::CardPage => "html",
            FileKind::Json => "json",
            FileKind::Kml => "kml",
            FileKind::Gpx => "gpx",
            FileKind::Csv => "csv",
            FileKind::Parquet => "parquet",
        }
    }

    /// Its media type.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            FileKind::Sheets(_) | FileKind::Lesson(_) | FileKind::Whole(_) | FileKind::Card(_) => {
                "application/pdf"
            }
            FileKind::Html | FileKind::CardPage => "text/html; charset=utf-8",
            FileKind::Json => "application/json",
            FileKind::Kml => "application/vnd.google-earth.kml+xml",
            FileKind::Gpx => "application/gpx+xml",
            FileKind::Csv => "text/csv; charset=utf-8",
            FileKind::Parquet => "application/vnd.apache.parquet",
        }
    }

    /// What its name says of it.
    const fn word(self) -> &'static str {
        match self {
            FileKind::Sheets(_) => "sheets",
            FileKind::Lesson(_) => "lesson",
            FileKind::Card(_) | FileKind::CardPage => "brief card",
            FileKind::Whole(_) | FileKind::Html | FileKind::Json => "debrief",
            FileKind::Kml | FileKind::Gpx => "path",
            FileKind::Csv | FileKind::Parquet => "flight",
        }
    }
}

/// A file ready to be given out.
#[derive(Clone, Debug)]
pub struct LessonFile {
    /// Name, safe on every system.
    pub name: String,
    /// Media type.
    pub media_type: &'static str,
    /// Bytes.
    pub bytes: Vec<u8>,
}

/// Series for the page.
#[derive(Clone, Debug)]
pub struct LessonSeries {
    /// `PWS1` bytes.
    pub bytes: Bytes,
    /// SHA-256 of what they were made of: the same means the same bytes.
    pub tag: String,
}

impl School {
    /// A lesson as a file. The sheets hold the program's marks; the lesson sheet holds the instructor's word.
    ///
    /// # Errors
    /// `NotFound` when the person may not see it, or for a brief card of a lesson without a stall to brief from;
    /// otherwise as [`School::view`].
    pub async fn lesson_file(
        &self,
        by: &Actor,
        lesson_id: &str,
        kind: FileKind,
    ) -> Result<LessonFile> {
        let view = self.view(by, lesson_id).await?;
        let school = self.settings().await?.name;
        let (standing, _) = self.standing(by, lesson_id).await?;
        let rebuilt = self.rebuilt(&standing.inputs).await?;
        self.workshop()
            .work("make the file", move || {
                written(&school, &view, &rebuilt, kind)
            })
            .await?
    }

    /// The picture of a maneuver's kind, as on its printed sheet; empty where traces over time say it best.
    ///
    /// # Errors
    /// As [`School::view`]; `NotFound` for a number that the lesson does not have.
    pub async fn picture(
        &self,
        by: &Actor,
        lesson_id: &str,
        number: usize,
    ) -> Result<ManeuverPicture> {
        let view = self.view(by, lesson_id).await?;
        let place = view
            .debrief
            .maneuvers
            .iter()
            .position(|maneuver| maneuver.number == number)
            .ok_or(SchoolError::not_found("such a maneuver"))?;
        let (standing, _) = self.standing(by, lesson_id).await?;
        let rebuilt = self.rebuilt(&standing.inputs).await?;
        self.workshop()
            .work("draw the picture", move || {
                drawn(&view.debrief, place, &rebuilt.reconstructed.flight)
            })
            .await
    }

    /// The recovery of a maneuver flown otherwise.
    ///
    /// # Errors
    /// As [`School::view`]; `NotFound` for a number that the lesson does not have; `Invalid` where it cannot be told, with
    /// the reason.
    pub async fn flown_otherwise(
        &self,
        by: &Actor,
        lesson_id: &str,
        number: usize,
        asked: WhatIfChange,
    ) -> Result<WhatIfTrace> {
        // A slider asks for this at every move: nothing here reads documents or what was signed.
        let inputs = {
            let mut tx = self.read().await?;
            let lesson = crate::lessons::visible(&mut tx, by, lesson_id).await?;
            crate::inputs::of_lesson(&mut tx, &lesson).await?
        };
        let (rebuilt, ready) = self.ready(&inputs).await?;
        self.workshop()
            .work("fly it otherwise", move || {
                pipeline::what_if(
                    &rebuilt.reconstructed,
                    &rebuilt.aircraft,
                    &ready,
                    number,
                    &asked,
                )
            })
            .await?
            .map_err(|why| match why {
                pipeline::CannotTell::NoSuchManeuver => SchoolError::not_found("such a maneuver"),
                pipeline::CannotTell::Because(why) => SchoolError::invalid(
                    "number",
                    why,
                    "ask for a stall or a go-around with altitude, airspeed and engine recorded",
                ),
            })
    }

    /// The series of a lesson's flight; kept in a file, since a page asks for them often.
    ///
    /// # Errors
    /// As [`School::view`].
    pub async fn series(&self, by: &Actor, lesson_id: &str) -> Result<LessonSeries> {
        let inputs = {
            let mut tx = self.read().await?;
            let lesson = crate::lessons::visible(&mut tx, by, lesson_id).await?;
            crate::inputs::of_lesson(&mut tx, &lesson).await?
        };
        let tag = inputs.flight_key()?;
        let file = self.series_file(&tag);
        if let Ok(bytes) = tokio::fs::read(&file).await {
            return Ok(LessonSeries {
                bytes: bytes.into(),
                tag,
            });
        }
        let rebuilt = self.rebuilt(&inputs).await?;
        let bytes: Bytes = self
            .workshop()
            .work("write the series", move || {
                export::series(&rebuilt.reconstructed.flight, &rebuilt.aircraft).into()
            })
            .await?;
        // A cache that cannot be written costs time, nothing else.
        if let Err(error) = put(&file, &bytes).await {
            tracing::warn!(file = %file.display(), error = %error, "the series could not be kept");
        }
        Ok(LessonSeries { bytes, tag })
    }

    /// The tag that [`School::series`] would give, without making anything.
    ///
    /// # Errors
    /// As [`School::view`].
    pub async fn series_tag(&self, by: &Actor, lesson_id: &str) -> Result<String> {
        let mut tx = self.read().await?;
        let lesson = crate::lessons::visible(&mut tx, by, lesson_id).await?;
        crate::inputs::of_lesson(&mut tx, &lesson)
            .await?
            .flight_key()
    }

    /// Takes the oldest series away when they have become too many: they are made again when somebody asks.
    pub(crate) async fn sweep_series(&self) {
        let folder = self.data_dir().join("cache").join("series");
        let swept = tokio::task::spawn_blocking(move || sweep(&folder, SERIES_BYTES)).await;
        if let Ok(Err(error)) = swept {
            tracing::warn!(error = %error, "old series could not be swept");
        }
    }

    /// Files named by a digest of what they were made of: what lies there is right or not there.
    fn series_file(&self, tag: &str) -> PathBuf {
        let (head, tail) = tag.split_at_checked(2).unwrap_or(("00", tag));
        self.data_dir()
            .join("cache")
            .join("series")
            .join(head)
            .join(format!("{tail}.pws"))
    }
}

/// Most that series may take on disk, bytes: some 500 lessons.
const SERIES_BYTES: u64 = 2 << 30;

/// Deletes the oldest files below a folder until the rest is within `most` bytes.
fn sweep(folder: &Path, most: u64) -> std::io::Result<()> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        let Ok(entries) = std::fs::read_dir(&folder) else {
            continue;
        };
        for entry in entries.flatten() {
            let Ok(about) = entry.metadata() else {
                continue;
            };
            if about.is_dir() {
                folders.push(entry.path());
            } else {
                files.push((about.modified()?, about.len(), entry.path()));
            }
        }
    }
    files.sort_by_key(|(written, _, _)| std::cmp::Reverse(*written));
    let mut kept = 0;
    for (_, bytes, path) in files {
        kept += bytes;
        if kept > most {
            std::fs::remove_file(path)?;
        }
    }
    Ok(())
}

/// Writes beside the place and renames, so that no half file is ever read.
async fn put(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    if let Some(folder) = file.parent() {
        tokio::fs::create_dir_all(folder).await?;
    }
    let beside = file.with_extension(format!("{}.part", crate::new_id()));
    tokio::fs::write(&beside, bytes).await?;
    let renamed = tokio::fs::rename(&beside, file).await;
    if renamed.is_err() {
        let _ = tokio::fs::remove_file(&beside).await;
    }
    renamed
}

fn drawn(document: &debrief::Debrief, place: usize, flight: &flight::Flight) -> ManeuverPicture {
    let draw = |frame: &Frame| {
        let maneuver = document.maneuvers.get(place)?;
        let drawing = press::picture::draw(document, maneuver, flight, frame)?;
        Some(PictureDrawing::from(&drawing))
    };
    ManeuverPicture {
        wide: draw(&Frame::desk()),
        narrow: draw(&Frame::narrow()),
    }
}

/// Makes a file of a lesson.
pub(crate) fn written(
    school: &str,
    view: &LessonView,
    rebuilt: &Arc<Rebuilt>,
    kind: FileKind,
) -> Result<LessonFile> {
    let (document, flight) = (&view.debrief, &rebuilt.reconstructed.flight);
    let printing = |error: press::PressError| SchoolError::store("print the lesson", error);
    let lesson = || sheet::of(school, view);
    let no_card = || SchoolError::not_found("a stall with a clean recovery to brief from");
    let bytes = match kind {
        FileKind::Sheets(paper) => press::pdf_on(document, flight, paper).map_err(printing)?,
        FileKind::Lesson(paper) => {
            press::lesson_pdf(&lesson(), document, flight, paper, false).map_err(printing)?
        }
        FileKind::Whole(paper) => {
            press::lesson_pdf(&lesson(), document, flight, paper, true).map_err(printing)?
        }
        FileKind::Card(paper) => press::brief_card_pdf(document, flight, paper)
            .map_err(printing)?
            .ok_or_else(no_card)?,
        FileKind::CardPage => press::brief_card_html(document, flight)
            .ok_or_else(no_card)?
            .into_bytes(),
        FileKind::Html => press::html(document, flight).into_bytes(),
        FileKind::Json => debrief::to_json(document)
            .map_err(|error| SchoolError::store("write the debrief", error))?
            .into_bytes(),
        FileKind::Kml => export::kml(flight, document),
        FileKind::Gpx => export::gpx(flight, document),
        FileKind::Csv => export::csv(flight, document),
        FileKind::Parquet => export::parquet(flight, document)
            .map_err(|error| SchoolError::store("write the flight", error))?,
    };
    Ok(LessonFile {
        name: file_name(view, kind),
        media_type: kind.media_type(),
        bytes,
    })
}

/// `2026-05-04 1431 Stalls path.kml`.
fn file_name(view: &LessonView, kind: FileKind) -> String {
    export::safe_name(&format!("{} {}.{}", stem(view), kind.word(), kind.ending()))
}

/// `2026-05-04 1431 Stalls`, the time in UTC.
pub(crate) fn stem(view: &LessonView) -> String {
    let lesson = &view.lesson;
    let when = from_utc(&lesson.start_utc).map_or_else(
        |_| lesson.start_utc.clone(),
        |at| at.strftime("%Y-%m-%d %H%M").to_string(),
    );
    let title = lesson.title.replace(['/', '\\'], "-");
    format!("{when} {title}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_the_oldest_series_go_first() {
        let folder = tempfile::tempdir().unwrap();
        let file = |name: &str| folder.path().join("ab").join(name);
        std::fs::create_dir_all(folder.path().join("ab")).unwrap();
        for (name, age_s) in [("old", 3000), ("new", 10), ("older", 9000)] {
            std::fs::write(file(name), [0; 100]).unwrap();
            let at = std::time::SystemTime::now() - std::time::Duration::from_secs(age_s);
            std::fs::File::options()
                .write(true)
                .open(file(name))
                .unwrap()
                .set_modified(at)
                .unwrap();
        }
        sweep(folder.path(), 250).unwrap();
        assert!(file("new").exists() && file("old").exists() && !file("older").exists());
        sweep(&folder.path().join("not there"), 0).unwrap();
    }
}
