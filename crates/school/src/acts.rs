//! Acts on a lesson: who may, what is allowed, and what follows from each.

mod check;
pub(crate) mod who;

use crate::School;
use crate::actor::Actor;
use crate::compute::Marked;
use crate::derived::Product;
use crate::error::{Result, SchoolError};
use crate::fold::{Said, Seen};
use crate::inputs::{self, Inputs};
use crate::lessons::{self, LessonRow};
use crate::model::{Act, Entry, LessonState, LessonView, Setting};
use crate::view::Standing;
use crate::{audit, entries, seal, values};
use debrief::Debrief;
use serde_json::json;
use std::sync::Arc;

/// So often an act is tried again when somebody else wrote first and the person did not say what they had seen.
const TRIES: usize = 5;

/// What an act makes of a lesson, before it is written.
struct Prepared {
    act: Act,
    seen: Vec<Seen>,
    lesson: LessonRow,
    product: Option<Product>,
    changed: bool,
}

impl School {
    /// Does an act on a lesson and gives the lesson as it is then. `expected` is the number of the last entry that
    /// the person had seen; none = whatever it is. A setting, a briefing or a correction marks the lesson anew.
    ///
    /// # Errors
    /// `NotFound` when the person may not see the lesson; `Denied` when they may not do this; `Invalid` by field;
    /// `Conflict` when somebody wrote meanwhile or the lesson was set aside.
    pub async fn act(
        &self,
        by: &Actor,
        lesson_id: &str,
        expected: Option<i64>,
        act: Act,
    ) -> Result<LessonView> {
        for _ in 0..TRIES {
            let (standing, document) = self.settled(by, lesson_id).await?;
            if expected.is_some_and(|expected| expected != standing.lesson.entry_seq) {
                return Err(moved_on());
            }
            check::allowed(by, &standing, &act)?;
            let prepared = self.prepare(by, &standing, &document, act.clone()).await?;
            if self.write_act(by, &standing, prepared).await? {
                return self.view(by, lesson_id).await;
            }
            if expected.is_some() {
                return Err(moved_on());
            }
        }
        Err(moved_on())
    }

    /// Everything that needs a processor or a look around, before the act takes its turn to write.
    async fn prepare(
        &self,
        by: &Actor,
        standing: &Standing,
        document: &Arc<Debrief>,
        act: Act,
    ) -> Result<Prepared> {
        let act = check::checked(standing, document, act)?;
        let seen = check::seen(document, &act);
        let mut lesson = standing.lesson.clone();
        let mut document = Arc::clone(document);
        let mut product = None;
        if let Act::Setting(setting) = &act {
            self.apply(&mut lesson, setting).await?;
        }
        let inputs = self.inputs_after(standing, &lesson, &act).await?;
        if inputs.sha256()? != standing.inputs_sha256 {
            let marked = self.marked_again(&inputs).await?;
            check::corrections_took_hold(standing, &act, &marked.outcomes)?;
            document = marked.document;
            let kept = Arc::clone(&document);
            let packed = self
                .workshop()
                .work("pack a document", move || Product::pack(&inputs, kept));
            product = Some(packed.await??);
        }
        let mut said = standing.said.clone();
        said.push(Said {
            entry: Entry {
                seq: lesson.entry_seq + 1,
                id: String::new(),
                at_utc: self.clock().now_utc(),
                by: by.brief(),
                act: act.clone(),
            },
            seen: seen.clone(),
        });
        if product.is_some() && !lesson.title_given {
            lesson.brief.title = crate::derived::title(&crate::derived::flown(&document));
        }
        let changed = standing.changed(&lesson, &said, &document);
        lesson.entry_seq += 1;
        Ok(Prepared {
            act,
            seen,
            lesson,
            product,
            changed,
        })
    }

    /// The document of these inputs, with what became of each correction.
    async fn marked_again(&self, inputs: &Inputs) -> Result<Marked> {
        let rebuilt = self.rebuilt(inputs).await?;
        self.marked(inputs, rebuilt).await
    }

    /// The inputs as they will be after the act.
    async fn inputs_after(
        &self,
        standing: &Standing,
        lesson: &LessonRow,
        act: &Act,
    ) -> Result<Inputs> {
        let mut inputs = match act {
            Act::Setting(_) => inputs::of_lesson(&mut self.read().await?, lesson).await?,
            _ => standing.inputs.clone(),
        };
        match act {
            Act::Briefed { briefed } => inputs.briefed = briefed.clone(),
            Act::Corrections { corrections } => inputs.corrections = corrections.clone(),
            _ => {}
        }
        Ok(inputs)
    }

    /// A setting on the header. What it names must be there; an empty id takes it away.
    async fn apply(&self, lesson: &mut LessonRow, setting: &Setting) -> Result<()> {
        let mut tx = self.read().await?;
        let brief = &mut lesson.brief;
        if let Some(id) = &setting.student_id {
            brief.student = who::student(&mut tx, id).await?;
            brief.guessed.retain(|field| field != "student");
        }
        if let Some(id) = &setting.instructor_id {
            brief.instructor = who::instructor(&mut tx, id).await?;
            brief.guessed.retain(|field| field != "instructor");
        }
        if let Some(id) = &setting.aircraft_id {
            let aircraft = who::aircraft(&mut tx, id).await?;
            (brief.aircraft_id, brief.aircraft) = aircraft.unzip();
            brief.guessed.retain(|field| field != "aircraft");
        }
        if let Some(id) = &setting.standard {
            inputs::standard(&mut tx, id).await?;
            brief.standard.clone_from(id);
        }
        if let Some(terrain_ft) = setting.terrain_ft {
            lesson.terrain_ft = terrain_ft;
        }
        if let Some(title) = &setting.title {
            lesson.title_given = !title.is_empty();
            brief.title = if title.is_empty() {
                crate::derived::title(&brief.flown)
            } else {
                title.clone()
            };
        }
        if let Some(demonstration) = setting.demonstration {
            brief.demonstration = demonstration;
            // Nobody said who flew along to be shown it: a guess is no longer wanted.
            if demonstration && brief.guessed.iter().any(|field| field == "student") {
                brief.student = None;
                brief.guessed.retain(|field| field != "student");
            }
        }
        Ok(())
    }

    /// Writes a prepared act; false when somebody else wrote first.
    async fn write_act(&self, by: &Actor, standing: &Standing, prepared: Prepared) -> Result<bool> {
        let mut tx = self.write().await?;
        let id = standing.lesson.brief.id.clone();
        let now = lessons::lesson(&mut tx, &id).await?;
        if now.entry_seq != standing.lesson.entry_seq
            || now.signed_version != standing.lesson.signed_version
            || now.brief.state == LessonState::SetAside
        {
            return Ok(false);
        }
        let Prepared {
            act,
            seen,
            lesson,
            product,
            changed,
        } = prepared;
        let seq = lesson.entry_seq;
        entries::add(&mut tx, by, &id, seq, &act, &seen).await?;
        if let Some(product) = &product {
            product.keep(&mut tx, &lesson).await?;
        }
        put_header(&mut tx, &lesson, changed).await?;
        if let Act::Acknowledge { version, .. } = &act {
            tx.execute(
                "UPDATE lessons SET acknowledged_version = $1 WHERE id = $2 \
                 AND (acknowledged_version IS NULL OR acknowledged_version < $1)",
                values![*version, &id],
            )
            .await?;
        }
        let detail = json!({"kind": entries::kind(&act), "seq": seq});
        let action = format!("lesson.{}", action(&act));
        let written = [seal::entry(&id, seq)];
        audit::append(
            &mut tx,
            by,
            &action,
            &format!("lesson {id}"),
            detail,
            &written,
        )
        .await?;
        tx.commit().await?;
        Ok(true)
    }
}

/// Writes the part of the header that entries change.
async fn put_header(tx: &mut crate::db::Tx, lesson: &LessonRow, changed: bool) -> Result<()> {
    let brief = &lesson.brief;
    let id = |person: &Option<crate::model::PersonBrief>| {
        person.as_ref().map(|person| person.id.clone())
    };
    tx.execute(
        "UPDATE lessons SET student_id = $1, instructor_id = $2, aircraft_id = $3, standard = $4, terrain_ft = $5, \
         title = $6, title_given = $7, demonstration = $8, guessed = $9, entry_seq = $10, \
         changed_since_signed = $11 WHERE id = $12",
        values![
            id(&brief.student),
            id(&brief.instructor),
            &brief.aircraft_id,
            &brief.standard,
            lesson.terrain_ft,
            &brief.title,
            lesson.title_given,
            brief.demonstration,
            serde_json::to_string(&brief.guessed)?,
            lesson.entry_seq,
            changed,
            &brief.id
        ],
    )
    .await?;
    Ok(())
}

/// The act in the audit trail's words.
fn action(act: &Act) -> &'static str {
    match act {
        Act::Setting(_) => "set",
        Act::Briefed { .. } => "briefed",
        Act::Corrections { .. } => "corrected",
        Act::Mark { .. } => "marked",
        Act::Confirm { .. } => "confirmed",
        Act::Unmark { .. } => "unmarked",
        Act::Note { .. } => "noted",
        Act::Unnote { .. } => "note_taken_back",
        Act::Summary { .. } => "summed_up",
        Act::Answer { .. } => "answered",
        Act::Reply { .. } => "replied",
        Act::Acknowledge { .. } => "acknowledged",
    }
}

fn moved_on() -> SchoolError {
    SchoolError::conflict(
        "Somebody else wrote on this lesson while you did.",
        "Look at what they wrote, then do it again.",
    )
}

impl School {
    /// Sets a lesson aside that is none (a ground run, a flight of somebody else): it leaves the lists, nothing is
    /// deleted.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `Invalid` without a reason; `NotFound`.
    pub async fn set_aside(&self, by: &Actor, lesson_id: &str, reason: &str) -> Result<()> {
        by.must_be_chief()?;
        let reason = crate::checks::line("reason", "The reason", reason, 500)?;
        let mut tx = self.write().await?;
        lessons::lesson(&mut tx, lesson_id).await?;
        let now = tx.at_utc().to_owned();
        let sql = "UPDATE lessons SET set_aside_utc = $1 WHERE id = $2";
        tx.execute(sql, values![now, lesson_id]).await?;
        let subject = format!("lesson {lesson_id}");
        audit::append(
            &mut tx,
            by,
            "lesson.set_aside",
            &subject,
            json!({"reason": reason}),
            &[],
        )
        .await?;
        tx.commit().await
    }

    /// Takes a lesson back that was set aside: it is in the lists again, as it was.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor; `NotFound`; `Conflict` when it is not set aside.
    pub async fn take_back(&self, by: &Actor, lesson_id: &str) -> Result<()> {
        by.must_be_chief()?;
        let mut tx = self.write().await?;
        let now = lessons::lesson(&mut tx, lesson_id).await?;
        if now.brief.state != LessonState::SetAside {
            return Err(SchoolError::conflict(
                "This lesson is not set aside.",
                "It is in the lists already.",
            ));
        }
        let sql = "UPDATE lessons SET set_aside_utc = $1 WHERE id = $2";
        tx.execute(sql, values![None::<String>, lesson_id]).await?;
        audit::append(
            &mut tx,
            by,
            "lesson.taken_back",
            &format!("lesson {lesson_id}"),
            json!({}),
            &[],
        )
        .await?;
        tx.commit().await
    }
}
