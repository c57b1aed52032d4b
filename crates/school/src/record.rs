//! A student's whole record as one zip: for the examiner, another school, or the student who leaves.

mod index;

use crate::School;
use crate::actor::Actor;
use crate::error::{Result, SchoolError};
use crate::files::{self, FileKind};
use crate::lessons::LessonFilter;
use crate::model::{LessonBrief, Person};
use crate::secret::sha256_hex;
use crate::{audit, lessons, people, recordings};
use index::{Index, IndexFile, IndexLesson};
use serde_json::json;
use std::collections::BTreeSet;
use std::io::{Seek, SeekFrom};
use tokio::sync::mpsc;

/// A finished zip in a file without a name, which is gone when it is closed.
#[derive(Debug)]
pub struct RecordZip {
    /// Name to give it.
    pub name: String,
    /// The zip, at its beginning.
    pub file: std::fs::File,
    /// Its length.
    pub bytes: u64,
}

/// Goes to the thread that writes the zip.
type Member = (String, Vec<u8>);

impl School {
    /// A student's whole record: for each lesson the sheets as PDF, the debrief as JSON and every signed version
    /// exactly as signed; the original recordings; an index with digests, and a page that says what each file is.
    /// Lessons that were set aside are none and are not in it.
    ///
    /// Made lesson by lesson into a file: memory holds one lesson at a time.
    ///
    /// # Errors
    /// `NotFound` when there is no such person or, for a student, it is not they themselves.
    pub async fn record_zip(&self, by: &Actor, person_id: &str) -> Result<RecordZip> {
        if !by.role.reads_all() && by.id != person_id {
            return Err(SchoolError::not_found("this person"));
        }
        let person = people::person(&mut self.read().await?, person_id).await?;
        let at = self.clock().now();
        let folder = self.data_dir().join("cache");
        let (send, receive) = mpsc::channel::<Member>(1);
        let writing = tokio::task::spawn_blocking(move || -> Result<std::fs::File> {
            let cannot = |error: std::io::Error| SchoolError::store("write the record", error);
            std::fs::create_dir_all(&folder).map_err(cannot)?;
            let file = tempfile::tempfile_in(&folder).map_err(cannot)?;
            let members = Members(receive);
            let mut file = export::zip_into(file, members, at.as_millisecond() as f64 / 1000.0)
                .map_err(|error| SchoolError::store("write the record", error))?;
            file.seek(SeekFrom::Start(0)).map_err(cannot)?;
            Ok(file)
        });
        let sent = self.send_record(by, &person, send).await;
        let file = writing
            .await
            .map_err(|error| SchoolError::store("write the record", error))??;
        sent?;
        let bytes = file
            .metadata()
            .map_err(|error| SchoolError::store("write the record", error))?
            .len();
        let mut tx = self.write().await?;
        let subject = format!("person {person_id}");
        audit::append(
            &mut tx,
            by,
            "record.exported",
            &subject,
            json!({"bytes": bytes}),
            &[],
        )
        .await?;
        tx.commit().await?;
        let name = export::safe_name(&format!(
            "{} record {}.zip",
            person.name,
            at.strftime("%Y-%m-%d")
        ));
        Ok(RecordZip { name, file, bytes })
    }

    /// Sends every member of the zip, the index last.
    async fn send_record(
        &self,
        by: &Actor,
        person: &Person,
        send: mpsc::Sender<Member>,
    ) -> Result<()> {
        let settings = self.settings().await?;
        let mut index = Index::new(
            &settings.name,
            person,
            &self.clock().now_utc(),
            &self.audit_head().await?,
        );
        let sender = Sender { send };
        let mut brought = BTreeSet::new();
        for (position, brief) in self
            .all_lessons(by, &person.id)
            .await?
            .into_iter()
            .enumerate()
        {
            let mut entry = IndexLesson::of(&brief);
            self.send_lesson(by, &settings.name, &brief, position, &sender, &mut entry)
                .await?;
            if brought.insert(brief.recording_sha256.clone()) {
                self.send_recording(person, &brief, &sender, &mut index)
                    .await?;
            }
            index.lessons.push(entry);
        }
        sender
            .send("index.json".to_owned(), index.to_json()?)
            .await?;
        sender
            .send("README.txt".to_owned(), index.readme().into_bytes())
            .await
            .map(drop)
    }

    /// Every lesson of a student, oldest first.
    async fn all_lessons(&self, by: &Actor, student: &str) -> Result<Vec<LessonBrief>> {
        let mut all: Vec<LessonBrief> = Vec::new();
        loop {
            let filter = LessonFilter {
                student: Some(student.to_owned()),
                before: all.last().map(|lesson| lesson.id.clone()),
                limit: Some(1000),
                ..LessonFilter::default()
            };
            let page = self.list(by, &filter).await?;
            if page.is_empty() {
                all.reverse();
                return Ok(all);
            }
            all.extend(page);
        }
    }

    async fn send_lesson(
        &self,
        by: &Actor,
        school: &str,
        brief: &LessonBrief,
        position: usize,
        sender: &Sender,
        entry: &mut IndexLesson,
    ) -> Result<()> {
        let when = brief.start_utc.get(..10).unwrap_or("undated");
        let title = brief.title.replace(['/', '\\'], "-");
        let folder = format!("lessons/{:03} {when} {title}", position + 1);
        // What was signed comes first: it does not hang on the recording being readable.
        for version in self.signed(by, &brief.id).await? {
            let bytes = self.signed_bytes(by, &brief.id, version.version).await?;
            entry.files.push(
                sender
                    .send(format!("{folder}/signed-{}.json", version.version), bytes)
                    .await?,
            );
            entry.signed.push(version);
        }
        match self.made_lesson(by, school, &brief.id).await {
            Ok(made) => {
                for (name, bytes) in made {
                    entry
                        .files
                        .push(sender.send(format!("{folder}/{name}"), bytes).await?);
                }
            }
            // One recording that cannot be read must not hold back the rest of the record.
            Err(error @ SchoolError::Conflict { .. })
            | Err(error @ SchoolError::NotFound { .. }) => {
                entry.problem = Some(error.to_string());
            }
            Err(SchoolError::Store(error)) => {
                entry.problem = Some(SchoolError::Store(error).to_string())
            }
            Err(error) => return Err(error),
        }
        Ok(())
    }

    /// Sheets and document of a lesson as it is now.
    async fn made_lesson(&self, by: &Actor, school: &str, id: &str) -> Result<Vec<Member>> {
        let view = self.view(by, id).await?;
        let (standing, _) = self.standing(by, id).await?;
        let rebuilt = self.rebuilt(&standing.inputs).await?;
        let school = school.to_owned();
        self.workshop()
            .work("print the lesson", move || {
                let pdf = files::written(
                    &school,
                    &view,
                    &rebuilt,
                    FileKind::Whole(press::Paper::Letter),
                )?;
                let json = files::written(&school, &view, &rebuilt, FileKind::Json)?;
                let word = serde_json::to_vec_pretty(&view.word)?;
                Ok(vec![
                    ("debrief.pdf".to_owned(), pdf.bytes),
                    ("debrief.json".to_owned(), json.bytes),
                    ("word.json".to_owned(), word),
                ])
            })
            .await?
    }

    /// The original bytes, unless the file holds flights of others.
    async fn send_recording(
        &self,
        person: &Person,
        brief: &LessonBrief,
        sender: &Sender,
        index: &mut Index,
    ) -> Result<()> {
        let sha256 = &brief.recording_sha256;
        let (name, others) = {
            let mut tx = self.read().await?;
            let name = recordings::name(&mut tx, sha256).await?;
            let all = lessons::of_recording(&mut tx, sha256).await?;
            let of_another = |student: &Option<crate::model::PersonBrief>| {
                student
                    .as_ref()
                    .is_some_and(|student| student.id != person.id)
            };
            (
                name,
                all.iter().any(|lesson| of_another(&lesson.brief.student)),
            )
        };
        if others {
            index.left_out.push(format!(
                "{name} ({sha256}): it also holds flights of others"
            ));
            return Ok(());
        }
        match self.objects().get(sha256).await {
            Ok(bytes) => {
                let start = sha256.get(..12).unwrap_or(sha256);
                let file = sender
                    .send(format!("recordings/{start} {name}"), bytes.to_vec())
                    .await?;
                index.recordings.push(file);
            }
            Err(error) => index.left_out.push(format!("{name} ({sha256}): {error}")),
        }
        Ok(())
    }
}

struct Sender {
    send: mpsc::Sender<Member>,
}

impl Sender {
    /// Sends a member under a name that can be unpacked anywhere; gives what the index says of it.
    async fn send(&self, name: String, bytes: Vec<u8>) -> Result<IndexFile> {
        let name = export::safe_name(&name);
        let file = IndexFile {
            name: name.clone(),
            sha256: sha256_hex(&bytes),
            bytes: bytes.len() as u64,
        };
        self.send.send((name, bytes)).await.map_err(|_| {
            SchoolError::store("write the record", "the writing thread ended early")
        })?;
        Ok(file)
    }
}

/// Members as they come, for the thread that writes.
struct Members(mpsc::Receiver<Member>);

impl Iterator for Members {
    type Item = Member;

    fn next(&mut self) -> Option<Member> {
        self.0.blocking_recv()
    }
}
