//! A lesson as the debrief room shows it: header, document, the word, what was signed.

use crate::School;
use crate::actor::Actor;
use crate::derived::Product;
use crate::error::Result;
use crate::fold::Said;
use crate::inputs::{self, Inputs};
use crate::lessons::{self, LessonRow};
use crate::model::{Can, LessonState, LessonView, SignedBrief, Word};
use crate::signed::{self, Signed};
use crate::{entries, fold, values};
use debrief::{Debrief, Difference};
use std::sync::Arc;

/// A lesson as the record has it at one moment.
#[derive(Clone, Debug)]
pub(crate) struct Standing {
    pub lesson: LessonRow,
    pub said: Vec<Said>,
    pub inputs: Inputs,
    pub inputs_sha256: String,
    pub signed: Vec<SignedBrief>,
    /// The last signed version.
    pub last_signed: Option<Arc<Signed>>,
}

impl School {
    /// A lesson as the debrief room shows it. A document that is not there yet, or was made from other inputs, is
    /// computed now.
    ///
    /// # Errors
    /// `NotFound` when the person may not see it; `Conflict` when the recording, the aircraft file or the standard
    /// can no longer be read.
    pub async fn view(&self, by: &Actor, lesson_id: &str) -> Result<LessonView> {
        let (standing, document) = self.settled(by, lesson_id).await?;
        Ok(assemble(by, &standing, &document))
    }

    /// What the record has of a lesson, with its document; makes and keeps the document where it is stale.
    pub(crate) async fn settled(
        &self,
        by: &Actor,
        lesson_id: &str,
    ) -> Result<(Standing, Arc<Debrief>)> {
        let (standing, document) = self.standing(by, lesson_id).await?;
        let document = match document {
            Some(document) => document,
            None => self.renew(&standing).await?,
        };
        Ok((standing, document))
    }

    /// Computes a lesson's document and keeps it.
    pub(crate) async fn renew(&self, standing: &Standing) -> Result<Arc<Debrief>> {
        let document = self.computed(&standing.inputs).await?;
        let changed = standing.changed(&standing.lesson, &standing.said, &document);
        let (inputs, kept) = (standing.inputs.clone(), Arc::clone(&document));
        let product = self
            .workshop()
            .work("pack a document", move || Product::pack(&inputs, kept))
            .await??;
        let id = &standing.lesson.brief.id;
        let mut tx = self.write().await?;
        // Somebody may have written meanwhile; then what they saw of it counts, and this is made again when it is
        // looked at.
        let lesson = lessons::lesson(&mut tx, id).await?;
        if lesson.entry_seq == standing.lesson.entry_seq {
            product.keep(&mut tx, &lesson).await?;
            let sql = "UPDATE lessons SET changed_since_signed = $1 WHERE id = $2";
            tx.execute(sql, values![changed, id]).await?;
            tx.commit().await?;
        }
        Ok(document)
    }

    /// What the record has of a lesson, with its document if that is made of what the record has.
    pub(crate) async fn standing(
        &self,
        by: &Actor,
        lesson_id: &str,
    ) -> Result<(Standing, Option<Arc<Debrief>>)> {
        let mut tx = self.read().await?;
        let lesson = lessons::visible(&mut tx, by, lesson_id).await?;
        let said = entries::of_lesson(&mut tx, lesson_id).await?;
        let inputs = inputs::of_lesson(&mut tx, &lesson).await?;
        let inputs_sha256 = inputs.sha256()?;
        let document = self
            .kept_document(&mut tx, lesson_id, &inputs_sha256)
            .await?;
        let signed = signed::briefs(&mut tx, lesson_id, &said).await?;
        let last_signed = match signed.last() {
            Some(last) => Some(self.signed_parsed(&mut tx, lesson_id, last).await?),
            None => None,
        };
        Ok((
            Standing {
                lesson,
                said,
                inputs,
                inputs_sha256,
                signed,
                last_signed,
            },
            document,
        ))
    }
}

impl Standing {
    /// What would be different from the last signed version, with this header, these entries and this document.
    pub fn changes(&self, lesson: &LessonRow, word: &Word, document: &Debrief) -> Vec<Difference> {
        self.last_signed.as_ref().map_or_else(Vec::new, |signed| {
            signed.differences(&lesson.brief, document, word)
        })
    }

    /// Whether anything would be different.
    pub fn changed(&self, lesson: &LessonRow, said: &[Said], document: &Debrief) -> bool {
        self.last_signed.is_some()
            && !self
                .changes(lesson, &fold::word(said, document), document)
                .is_empty()
    }
}

/// Puts the view together.
fn assemble(by: &Actor, standing: &Standing, document: &Debrief) -> LessonView {
    let lesson = &standing.lesson;
    let word = fold::word(&standing.said, document);
    let changes_since_signing = standing.changes(lesson, &word, document);
    LessonView {
        lesson: lesson.brief.clone(),
        terrain_ft: standing.inputs.terrain_ft,
        debrief: document.clone(),
        word: for_eyes_of(by, lesson, word),
        briefed: standing.inputs.briefed.clone(),
        corrections: standing.inputs.corrections.clone(),
        signed: standing.signed.clone(),
        changes_since_signing,
        can: can(by, lesson),
        entry_seq: lesson.entry_seq,
        inputs_sha256: standing.inputs_sha256.clone(),
    }
}

/// A student who looks at a demonstration sees what it shows, not what others said to each other.
fn for_eyes_of(by: &Actor, lesson: &LessonRow, mut word: Word) -> Word {
    if !by.role.reads_all() && !lessons::is_own(by, &lesson.brief) {
        word.answers.clear();
        word.replies.clear();
    }
    word
}

/// What a person may do with a lesson.
pub(crate) fn can(by: &Actor, lesson: &LessonRow) -> Can {
    let open = lesson.brief.state != LessonState::SetAside;
    let teaches = by.role.teaches();
    Can {
        judge: open && teaches,
        sign: open && teaches && !by.is_program(),
        reply: open && lessons::is_own(by, &lesson.brief),
    }
}
