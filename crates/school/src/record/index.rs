//! What is in the zip: for a program (`index.json`) and for a person (`README.txt`).

use crate::error::Result;
use crate::model::{LessonBrief, Person, SignedBrief};
use serde::Serialize;
use std::fmt::Write as _;

/// Everything in the zip.
#[derive(Debug, Serialize)]
pub(super) struct Index {
    schema: &'static str,
    school: String,
    student: Student,
    made_utc: String,
    /// Hash of the last row of the school's audit trail when this was made.
    audit_head: String,
    pub lessons: Vec<IndexLesson>,
    pub recordings: Vec<IndexFile>,
    /// Recordings that are not in it, and why.
    pub left_out: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Student {
    id: String,
    name: String,
}

/// A file with its digest.
#[derive(Clone, Debug, Serialize)]
pub(super) struct IndexFile {
    pub name: String,
    pub sha256: String,
    pub bytes: u64,
}

/// A lesson with its files.
#[derive(Debug, Serialize)]
pub(super) struct IndexLesson {
    id: String,
    title: String,
    start_utc: String,
    /// Whether the recording itself told the time.
    start_known: bool,
    duration_s: f64,
    aircraft: Option<String>,
    instructor: Option<String>,
    standard: String,
    recording_sha256: String,
    part: u32,
    pub files: Vec<IndexFile>,
    pub signed: Vec<SignedBrief>,
    /// What could not be made, and why.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problem: Option<String>,
}

impl IndexLesson {
    pub(super) fn of(brief: &LessonBrief) -> IndexLesson {
        IndexLesson {
            id: brief.id.clone(),
            title: brief.title.clone(),
            start_utc: brief.start_utc.clone(),
            start_known: brief.start_known,
            duration_s: brief.duration_s,
            aircraft: brief.aircraft.clone(),
            instructor: brief
                .instructor
                .as_ref()
                .map(|instructor| instructor.name.clone()),
            standard: brief.standard.clone(),
            recording_sha256: brief.recording_sha256.clone(),
            part: brief.part,
            files: Vec::new(),
            signed: Vec::new(),
            problem: None,
        }
    }
}

impl Index {
    pub(super) fn new(school: &str, person: &Person, made_utc: &str, audit_head: &str) -> Index {
        Index {
            schema: "proofwing/record/1",
            school: school.to_owned(),
            student: Student {
                id: person.id.clone(),
                name: person.name.clone(),
            },
            made_utc: made_utc.to_owned(),
            audit_head: audit_head.to_owned(),
            lessons: Vec::new(),
            recordings: Vec::new(),
            left_out: Vec::new(),
        }
    }

    pub(super) fn to_json(&self) -> Result<Vec<u8>> {
        Ok(serde_json::to_vec_pretty(self)?)
    }

    /// The page for people.
    pub(super) fn readme(&self) -> String {
        let mut out = format!(
            "Training record of {}\n{}\nMade {} by Proofwing {}\n\n{}\n",
            self.student.name,
            self.school,
            self.made_utc,
            pipeline::VERSION,
            wrapped(debrief::CAUTION)
        );
        out.push_str(WHAT);
        let _ = writeln!(out, "\nLESSONS ({})", self.lessons.len());
        for lesson in &self.lessons {
            let when = lesson
                .start_utc
                .get(..16)
                .unwrap_or(&lesson.start_utc)
                .replace('T', " ");
            let _ = writeln!(out, "  {when} UTC  {}", lesson.title);
            for version in &lesson.signed {
                let _ = writeln!(
                    out,
                    "    version {} signed by {}, {}\n      SHA-256 {}",
                    version.version, version.by.name, version.at_utc, version.sha256
                );
            }
            if let Some(problem) = &lesson.problem {
                let _ = writeln!(out, "    sheets and debrief are missing: {problem}");
            }
        }
        if !self.left_out.is_empty() {
            out.push_str("\nRECORDINGS THAT ARE NOT IN HERE\n");
            for line in &self.left_out {
                let _ = writeln!(out, "  {line}");
            }
        }
        let _ = writeln!(
            out,
            "\nThe school's audit trail ended, when this was made, with\n  {}",
            self.audit_head
        );
        out
    }
}

const WHAT: &str = "
WHAT IS IN HERE
  lessons/…/debrief.pdf    the lesson on a page, then a page for each maneuver
  lessons/…/debrief.json   the same as data (proofwing/debrief/1), as it is now
  lessons/…/word.json      what instructor and student said, as it is now
  lessons/…/signed-1.json  what was signed, byte for byte (proofwing/signed/1);
                           version 2 carries the SHA-256 of version 1, and so on
  recordings/…             what the aircraft recorded, byte for byte
  index.json               every file with its size and SHA-256

HOW TO CHECK IT
  Each line of index.json gives a file's SHA-256. On Linux and macOS
      sha256sum FILE      (or: shasum -a 256 FILE)
  on Windows
      certutil -hashfile FILE SHA256
  print the digest of a file: it must be the one in index.json. The digest of
  signed-1.json must be the one that the school, or the printed lesson sheet,
  gives for version 1. The SHA-256 of a recording is its name in the school's
  record.
";

/// Lines of at most 76 characters.
fn wrapped(text: &str) -> String {
    let mut out = String::new();
    let mut width = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if width > 0 && width + 1 + length > 76 {
            out.push('\n');
            width = 0;
        } else if width > 0 {
            out.push(' ');
            width += 1;
        }
        out.push_str(word);
        width += length;
    }
    out
}
