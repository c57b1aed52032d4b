//! Signed versions: the bytes that a person signed, and what is different from them.

mod difference;

use crate::School;
use crate::actor::Actor;
use crate::db::Tx;
use crate::derived::{self, gunzip};
use crate::error::{Result, SchoolError};
use crate::fold::Said;
use crate::inputs::Inputs;
use crate::lessons;
use crate::model::{Act, LessonBrief, PersonBrief, Role, SignedBrief, Word};
use crate::values;
use debrief::{Debrief, Difference};
use difference::{header, words};
use serde::{Deserialize, Serialize};
use standard::Verdict;
use std::sync::Arc;

/// The schema id that every signed version carries.
pub const SCHEMA: &str = "proofwing/signed/1";

/// What a person signed: `proofwing/signed/1`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Signed {
    /// `proofwing/signed/1`.
    pub schema: String,
    /// The lesson's header.
    pub lesson: SignedLesson,
    /// 1, 2, …
    pub version: i64,
    /// Digest of the version before.
    pub previous_sha256: Option<String>,
    /// Who signed, with the role at that time.
    pub signed_by: PersonBrief,
    /// When.
    pub signed_utc: String,
    /// What the debrief was computed from.
    pub inputs: Inputs,
    /// The debrief as computed.
    pub debrief: Debrief,
    /// The word, folded.
    pub word: Word,
    /// Marks that only a person can judge and that nobody gave.
    pub unsaid: Vec<Unsaid>,
}

/// A lesson's header in a signed version.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SignedLesson {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// UTC of the first sample (of when it was received, where the recording does not tell).
    pub start_utc: String,
    /// Student.
    pub student: Option<PersonBrief>,
    /// Instructor.
    pub instructor: Option<PersonBrief>,
    /// Aircraft.
    pub aircraft: Option<SignedAircraft>,
    /// Standard (pack id).
    pub standard: String,
}

/// An aircraft in a signed version.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignedAircraft {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
}

/// A mark that was left to a person and not given.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Unsaid {
    /// Number of the maneuver.
    pub number: u32,
    /// Element code.
    pub element: String,
    /// Criterion id.
    pub criterion: String,
}

impl SignedLesson {
    /// From the header as it is.
    #[must_use]
    pub fn of(lesson: &LessonBrief) -> SignedLesson {
        SignedLesson {
            id: lesson.id.clone(),
            title: lesson.title.clone(),
            start_utc: lesson.start_utc.clone(),
            student: lesson.student.clone(),
            instructor: lesson.instructor.clone(),
            aircraft: lesson.aircraft_id.clone().map(|id| SignedAircraft {
                id,
                name: lesson.aircraft.clone().unwrap_or_default(),
            }),
            standard: lesson.standard.clone(),
        }
    }
}

/// The marks that only a person can judge and that nobody gave.
#[must_use]
pub fn unsaid(document: &Debrief, word: &Word) -> Vec<Unsaid> {
    let mut unsaid = Vec::new();
    for maneuver in &document.maneuvers {
        let number = u32::try_from(maneuver.number).unwrap_or(u32::MAX);
        for mark in maneuver
            .marks
            .iter()
            .filter(|mark| mark.mark == Verdict::ForInstructor)
        {
            let given = word.marks.iter().any(|given| {
                given.number == Some(number)
                    && given.element == mark.element
                    && given.criterion == mark.criterion
            });
            if !given {
                unsaid.push(Unsaid {
                    number,
                    element: mark.element.clone(),
                    criterion: mark.criterion.clone(),
                });
            }
        }
    }
    unsaid
}

impl Signed {
    /// What is different now from what was signed, in words: header, debrief, the word.
    #[must_use]
    pub fn differences(
        &self,
        lesson: &LessonBrief,
        document: &Debrief,
        word: &Word,
    ) -> Vec<Difference> {
        let mut all = header(&self.lesson, &SignedLesson::of(lesson));
        all.extend(debrief::differences(&self.debrief, document));
        all.extend(words(&self.word, &self.debrief, word, document));
        all
    }

    /// What is different in a later version.
    #[must_use]
    pub fn differences_to(&self, later: &Signed) -> Vec<Difference> {
        let mut all = header(&self.lesson, &later.lesson);
        all.extend(debrief::differences(&self.debrief, &later.debrief));
        all.extend(words(
            &self.word,
            &self.debrief,
            &later.word,
            &later.debrief,
        ));
        all
    }
}

/// Signed versions of a lesson, oldest first, with when the student acknowledged each.
///
/// # Errors
/// When the database refuses.
pub(crate) async fn briefs(
    tx: &mut Tx,
    lesson_id: &str,
    said: &[Said],
) -> Result<Vec<SignedBrief>> {
    let rows = tx
        .rows(
            "SELECT s.version, s.sha256, s.previous_sha256, s.at_utc, p.id, p.name, p.role FROM signed s \
             JOIN people p ON p.id = s.by_id WHERE s.lesson_id = $1 ORDER BY s.version",
            values![lesson_id],
        )
        .await?;
    rows.iter()
        .map(|row| {
            let version = row.int("version")?;
            let acknowledged_utc = said
                .iter()
                .find(|one| matches!(&one.entry.act, Act::Acknowledge { version: read, .. } if *read == version))
                .map(|one| one.entry.at_utc.clone());
            Ok(SignedBrief {
                version,
                sha256: row.text("sha256")?,
                previous_sha256: row.opt_text("previous_sha256")?,
                by: PersonBrief {
                    id: row.text("id")?,
                    name: row.text("name")?,
                    role: crate::people::role(&row.text("role")?)?,
                },
                at_utc: row.text("at_utc")?,
                acknowledged_utc,
            })
        })
        .collect()
}

/// The bytes of a version, exactly as they were signed.
pub(crate) async fn bytes(tx: &mut Tx, lesson_id: &str, version: i64) -> Result<Vec<u8>> {
    let row = tx
        .row(
            "SELECT document FROM signed WHERE lesson_id = $1 AND version = $2",
            values![lesson_id, version],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this signed version"))?;
    gunzip(&row.bytes("document")?)
}

/// Reads a signed version.
pub(crate) fn parse(bytes: &[u8]) -> Result<Signed> {
    let signed: Signed = serde_json::from_slice(bytes)?;
    if signed.schema == SCHEMA {
        return Ok(signed);
    }
    Err(SchoolError::conflict(
        format!(
            "The signed version says `{}`; this program reads `{SCHEMA}`.",
            signed.schema
        ),
        "Use a newer program; the signed bytes can be fetched all the same.",
    ))
}

impl School {
    pub(crate) async fn signed_parsed(
        &self,
        tx: &mut Tx,
        lesson_id: &str,
        version: &SignedBrief,
    ) -> Result<Arc<Signed>> {
        if let Some(signed) = self.workshop().signed(&version.sha256) {
            return Ok(signed);
        }
        let signed = Arc::new(parse(&bytes(tx, lesson_id, version.version).await?)?);
        self.workshop()
            .keep_signed(&version.sha256, Arc::clone(&signed));
        Ok(signed)
    }

    /// Signed versions of a lesson, oldest first.
    ///
    /// # Errors
    /// `NotFound` when the person may not see the lesson.
    pub async fn signed(&self, by: &Actor, lesson_id: &str) -> Result<Vec<SignedBrief>> {
        let mut tx = self.read().await?;
        own(by, &lessons::visible(&mut tx, by, lesson_id).await?.brief)?;
        let said = crate::entries::of_lesson(&mut tx, lesson_id).await?;
        briefs(&mut tx, lesson_id, &said).await
    }

    /// The bytes of a signed version, exactly as they were signed.
    ///
    /// # Errors
    /// `NotFound` when there is no such version or the person may not see the lesson.
    pub async fn signed_bytes(&self, by: &Actor, lesson_id: &str, version: i64) -> Result<Vec<u8>> {
        let mut tx = self.read().await?;
        own(by, &lessons::visible(&mut tx, by, lesson_id).await?.brief)?;
        bytes(&mut tx, lesson_id, version).await
    }

    /// What is different in version `later` from version `version`; `later` none = as the lesson is now.
    ///
    /// # Errors
    /// As [`School::signed_bytes`].
    pub async fn difference(
        &self,
        by: &Actor,
        lesson_id: &str,
        version: i64,
        later: Option<i64>,
    ) -> Result<Vec<Difference>> {
        let signed = parse(&self.signed_bytes(by, lesson_id, version).await?)?;
        match later {
            Some(later) => {
                let later = parse(&self.signed_bytes(by, lesson_id, later).await?)?;
                Ok(signed.differences_to(&later))
            }
            None => {
                let view = self.view(by, lesson_id).await?;
                Ok(signed.differences(&view.lesson, &view.debrief, &view.word))
            }
        }
    }
}

/// What was signed of a demonstration is not for students whose lesson it is not.
fn own(by: &Actor, lesson: &LessonBrief) -> Result<()> {
    if by.role == Role::Student && !lessons::is_own(by, lesson) {
        return Err(SchoolError::denied(
            "What was signed of this lesson is for those who flew it.",
        ));
    }
    Ok(())
}

/// A signed version ready to be kept.
pub(crate) struct Sealed {
    pub sha256: String,
    pub packed: Vec<u8>,
    pub signed: Signed,
}

/// Serializes once, hashes those bytes, packs them.
pub(crate) fn seal(signed: Signed) -> Result<Sealed> {
    let bytes = serde_json::to_vec(&signed)?;
    Ok(Sealed {
        sha256: crate::secret::sha256_hex(&bytes),
        packed: derived::gzip(&bytes)?,
        signed,
    })
}
