//! Signing: an instructor puts their name under a debrief as it stands.

use crate::School;
use crate::actor::Actor;
use crate::error::{Result, SchoolError};
use crate::lessons;
use crate::model::{LessonBrief, LessonState, SignedBrief};
use crate::signed::{self, SCHEMA, Signed, SignedLesson};
use crate::{audit, fold, seal, values};
use serde_json::json;
use std::sync::Arc;

impl School {
    /// Signs a lesson as it stands after entry `expected_entry_seq`. Nothing that was signed is overwritten: a later
    /// signature is the next version and carries the digest of the one before. Ask for the password first
    /// ([`School::check_password`]).
    ///
    /// `expected_inputs` is [`crate::model::LessonView::inputs_sha256`] as the signer saw it: another aircraft file
    /// or standard is no entry, so the number of the last one does not tell that the marks are others now. None =
    /// whatever they are.
    ///
    /// # Errors
    /// `Denied` unless the person teaches; `Conflict` when somebody wrote meanwhile, what the lesson is marked by was
    /// changed, who flew is still a guess, or the lesson was set aside.
    pub async fn sign(
        &self,
        by: &Actor,
        lesson_id: &str,
        expected_entry_seq: i64,
        expected_inputs: Option<&str>,
    ) -> Result<SignedBrief> {
        let (standing, document) = self.settled(by, lesson_id).await?;
        by.must_teach()?;
        if by.is_program() {
            return Err(SchoolError::denied("Only a person can sign."));
        }
        may_be_signed(&standing.lesson.brief)?;
        if standing.lesson.entry_seq != expected_entry_seq {
            return Err(written_on());
        }
        if expected_inputs.is_some_and(|expected| expected != standing.inputs_sha256) {
            return Err(marked_otherwise());
        }
        let word = fold::word(&standing.said, &document);
        let previous = standing.signed.last();
        let version = previous.map_or(1, |last| last.version + 1);
        let at = self.clock().now_utc();
        let signed = Signed {
            schema: SCHEMA.to_owned(),
            lesson: SignedLesson::of(&standing.lesson.brief),
            version,
            previous_sha256: previous.map(|last| last.sha256.clone()),
            signed_by: by.brief(),
            signed_utc: at.clone(),
            inputs: standing.inputs.clone(),
            debrief: (*document).clone(),
            unsaid: signed::unsaid(&document, &word),
            word,
        };
        let sealed = self
            .workshop()
            .work("write what is signed", move || signed::seal(signed))
            .await??;
        let mut tx = self.write().await?;
        let now = lessons::lesson(&mut tx, lesson_id).await?;
        may_be_signed(&now.brief)?;
        if now.entry_seq != expected_entry_seq
            || now.signed_version != previous.map(|last| last.version)
        {
            return Err(written_on());
        }
        let inputs = crate::inputs::of_lesson(&mut tx, &now).await?.sha256()?;
        if inputs != standing.inputs_sha256 {
            return Err(marked_otherwise());
        }
        tx.execute(
            "INSERT INTO signed (lesson_id, version, sha256, previous_sha256, document, by_id, at_utc) \
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            values![
                lesson_id,
                version,
                &sealed.sha256,
                sealed.signed.previous_sha256.clone(),
                sealed.packed,
                &by.id,
                &at
            ],
        )
        .await?;
        tx.execute(
            "UPDATE lessons SET signed_version = $1, changed_since_signed = $2 WHERE id = $3",
            values![version, false, lesson_id],
        )
        .await?;
        let detail = json!({
            "version": version, "sha256": sealed.sha256, "previous_sha256": sealed.signed.previous_sha256,
            "entry_seq": expected_entry_seq, "unsaid": sealed.signed.unsaid.len(),
        });
        let written = [seal::signed(lesson_id, version)];
        audit::append(
            &mut tx,
            by,
            "lesson.signed",
            &format!("lesson {lesson_id}"),
            detail,
            &written,
        )
        .await?;
        tx.commit().await?;
        self.workshop()
            .keep_signed(&sealed.sha256, Arc::new(sealed.signed.clone()));
        Ok(SignedBrief {
            version,
            sha256: sealed.sha256,
            previous_sha256: sealed.signed.previous_sha256,
            by: by.brief(),
            at_utc: at,
            acknowledged_utc: None,
        })
    }
}

fn written_on() -> SchoolError {
    SchoolError::conflict(
        "Somebody wrote on this lesson or signed it while you were reading it. Nothing was signed.",
        "Look at it again as it is now, then sign.",
    )
}

/// What no entry of the lesson shows.
fn marked_otherwise() -> SchoolError {
    SchoolError::conflict(
        "What this lesson is marked by was changed while you were reading it: its aircraft file, its standard, how \
         its recording is read, the school's elevation or the program. Nothing was signed.",
        "Look at its marks again as they are now, then sign.",
    )
}

/// Nobody signs a guess.
fn may_be_signed(lesson: &LessonBrief) -> Result<()> {
    if lesson.state == LessonState::SetAside {
        return Err(SchoolError::conflict(
            "This lesson was set aside.",
            "The chief instructor can take it back.",
        ));
    }
    if !lesson.guessed.is_empty() {
        return Err(SchoolError::conflict(
            format!(
                "The {} of this lesson is still a guess.",
                lesson.guessed.join(", the ")
            ),
            "Confirm or change it first.",
        ));
    }
    if lesson.student.is_none() && !lesson.demonstration {
        return Err(SchoolError::conflict(
            "Nobody said which student flew this lesson.",
            "Choose the student, or mark the lesson as a demonstration.",
        ));
    }
    Ok(())
}
