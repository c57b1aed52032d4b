//! Marking anew in the background: when a standard, an aircraft file, a map or the program changed. What was signed
//! stays as it was signed; only what would be now is made again, so that the difference can be shown.
//!
//! A job needs no memory of where it was: a lesson whose document fits its inputs is done. So a job that was broken
//! off, by whatever, goes on where it was when the work begins again.

use crate::School;
use crate::actor::Actor;
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::model::Job;
use crate::{audit, carried, inputs, lessons, new_id, values};
use serde_json::json;
use std::collections::BTreeSet;

const COLUMNS: &str = "id, kind, state, total, done, failed, note, made_utc, changed_utc";

fn from_row(row: &Row) -> Result<Job> {
    Ok(Job {
        id: row.text("id")?,
        kind: row.text("kind")?,
        state: row.text("state")?,
        total: row.int("total")?,
        done: row.int("done")?,
        failed: row.int("failed")?,
        note: row.text("note")?,
        made_utc: row.text("made_utc")?,
        changed_utc: row.text("changed_utc")?,
    })
}

impl School {
    /// Works in the background, newest first: the last 50.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn jobs(&self) -> Result<Vec<Job>> {
        let mut tx = self.read().await?;
        let sql = sqlx::AssertSqlSafe(format!(
            "SELECT {COLUMNS} FROM jobs ORDER BY made_utc DESC, id DESC LIMIT 50"
        ));
        tx.rows(sql, values![])
            .await?
            .iter()
            .map(from_row)
            .collect()
    }

    /// Asks for every lesson to be marked anew whose document does not fit what it would be computed from now, and
    /// begins. One that waits already is enough.
    ///
    /// # Errors
    /// `Denied` unless the chief instructor or the program.
    pub async fn start_remark(&self, by: &Actor, reason: &str) -> Result<Job> {
        by.must_be_chief()?;
        self.queue_remark(by, reason).await
    }

    /// As [`School::start_remark`], for acts that bring it about.
    pub(crate) async fn queue_remark(&self, by: &Actor, reason: &str) -> Result<Job> {
        let mut tx = self.write().await?;
        let sql = sqlx::AssertSqlSafe(format!(
            "SELECT {COLUMNS} FROM jobs WHERE kind = 'remark' AND state = 'waiting' LIMIT 1"
        ));
        let waiting = tx.row(sql, values![]).await?;
        let job = match waiting {
            Some(row) => from_row(&row)?,
            None => add(&mut tx, by, reason).await?,
        };
        tx.commit().await?;
        self.begin_work();
        Ok(job)
    }

    /// Goes on with what was left undone, and marks anew what another version of the program marked. Call it once
    /// when the record is opened to serve.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn resume_work(&self) -> Result<()> {
        self.sweep_series().await;
        let other = {
            let mut tx = self.read().await?;
            tx.row(
                "SELECT program FROM debriefs WHERE program <> $1 LIMIT 1",
                values![pipeline::VERSION],
            )
            .await?
        };
        match other {
            Some(row) => {
                let reason = format!(
                    "the program is now {}, was {}",
                    pipeline::VERSION,
                    row.text("program")?
                );
                self.queue_remark(&Actor::program(), &reason)
                    .await
                    .map(drop)
            }
            None => {
                self.begin_work();
                Ok(())
            }
        }
    }

    /// After a change of what lessons are marked by: looks in the background whether it touches any, and if so
    /// marks them anew.
    pub(crate) fn remark_touched(&self, by: &Actor, reason: String) {
        let (school, by) = (self.clone(), by.clone());
        tokio::spawn(async move {
            let queued = match school.stale().await {
                Ok(stale) if stale.is_empty() => Ok(()),
                Ok(_) => school.queue_remark(&by, &reason).await.map(drop),
                Err(error) => Err(error),
            };
            if let Err(error) = queued {
                tracing::warn!(
                    error = error.for_log(),
                    "nobody could look which lessons a change touches"
                );
            }
        });
    }

    /// Begins to work off the jobs, when nobody else is at it.
    fn begin_work(&self) {
        let school = self.clone();
        tokio::spawn(async move {
            // Who is at it may just have looked and found nothing more: look again after them.
            let _turn = school.workshop().jobs.lock().await;
            if let Err(error) = school.work_off().await {
                tracing::warn!(
                    error = error.for_log(),
                    "marking anew broke off; it goes on when the program starts again"
                );
            }
        });
    }

    /// Works off every job, one after the other.
    async fn work_off(&self) -> Result<()> {
        loop {
            let next = {
                let mut tx = self.read().await?;
                let sql = sqlx::AssertSqlSafe(format!(
                    "SELECT {COLUMNS} FROM jobs WHERE kind = 'remark' AND state IN ('running', 'waiting') \
                     ORDER BY made_utc, id LIMIT 1"
                ));
                tx.row(sql, values![])
                    .await?
                    .as_ref()
                    .map(from_row)
                    .transpose()?
            };
            match next {
                Some(job) => self.remark(job).await?,
                None => return Ok(()),
            }
        }
    }

    /// One job: lessons one at a time, so that people who wait for a page come first. Oldest first, because a flight's fit is
    /// drawn to those before it; what became stale by that is looked for once more at the end.
    async fn remark(&self, mut job: Job) -> Result<()> {
        // Before the lessons are looked at: what changes after that needs a job of its own.
        "running".clone_into(&mut job.state);
        self.put_job(&mut job).await?;
        self.read_by_maps().await?;
        job.failed = 0;
        let reason = job.note.clone();
        let mut tried = BTreeSet::new();
        loop {
            let mut stale = self.stale().await?;
            stale.retain(|id| !tried.contains(id));
            job.total = job.done + job.failed + i64::try_from(stale.len()).unwrap_or(i64::MAX);
            self.put_job(&mut job).await?;
            if stale.is_empty() {
                break;
            }
            for id in stale {
                match self.remark_one(&id).await {
                    Ok(()) => job.done += 1,
                    Err(error) => {
                        job.failed += 1;
                        job.note = format!("{reason}; a lesson could not be marked: {error}");
                        tracing::warn!(
                            lesson = id,
                            error = error.for_log(),
                            "a lesson could not be marked anew"
                        );
                    }
                }
                self.put_job(&mut job).await?;
                tried.insert(id);
            }
        }
        "done".clone_into(&mut job.state);
        self.put_job(&mut job).await
    }

    /// Chooses anew which earlier flights a lesson is debriefed with, and marks it.
    async fn remark_one(&self, id: &str) -> Result<()> {
        let mut tx = self.write().await?;
        let lesson = lessons::lesson(&mut tx, id).await?;
        let inputs = inputs::of_lesson(&mut tx, &lesson).await?;
        let chosen = carried::choose(&mut tx, &lesson, &inputs.aircraft_sha256).await?;
        carried::put_choice(&mut tx, &lesson, &inputs.choice_key()?, &chosen).await?;
        tx.commit().await?;
        self.settled(&Actor::program(), id).await.map(drop)
    }

    /// Lessons whose document does not fit what it would be computed from now, or that earlier flights were brought in, changed or
    /// set aside for since; oldest first.
    async fn stale(&self) -> Result<Vec<String>> {
        let ids = {
            let mut tx = self.read().await?;
            let sql = "SELECT id FROM lessons WHERE set_aside_utc IS NULL ORDER BY start_utc, id";
            let rows = tx.rows(sql, values![]).await?;
            rows.iter()
                .map(|row| row.text("id"))
                .collect::<Result<Vec<_>>>()?
        };
        let mut stale = Vec::new();
        for id in ids {
            let mut tx = self.read().await?;
            // A lesson whose inputs cannot be found is tried, and then told of.
            if !fits(&mut tx, &id).await.unwrap_or(false) {
                stale.push(id);
            }
        }
        Ok(stale)
    }

    /// Reads anew every recording of which somebody has mapped the header since.
    async fn read_by_maps(&self) -> Result<()> {
        let waiting = {
            let mut tx = self.read().await?;
            let sql = "SELECT r.sha256 FROM recordings r JOIN maps m ON m.header_signature = r.header_signature \
                       WHERE r.unsure AND r.header_signature <> ''";
            let rows = tx.rows(sql, values![]).await?;
            rows.iter()
                .map(|row| row.text("sha256"))
                .collect::<Result<Vec<_>>>()?
        };
        for sha256 in waiting {
            if let Err(error) = self.read_anew(&Actor::program(), &sha256).await {
                tracing::warn!(
                    recording = sha256,
                    error = error.for_log(),
                    "a recording could not be read anew"
                );
            }
        }
        Ok(())
    }

    async fn put_job(&self, job: &mut Job) -> Result<()> {
        let mut tx = self.write().await?;
        tx.at_utc().clone_into(&mut job.changed_utc);
        tx.execute(
            "UPDATE jobs SET state = $1, total = $2, done = $3, failed = $4, note = $5, changed_utc = $6 WHERE id = $7",
            values![&job.state, job.total, job.done, job.failed, &job.note, &job.changed_utc, &job.id],
        )
        .await?;
        if job.state == "done" {
            let detail = json!({"done": job.done, "failed": job.failed, "note": job.note});
            audit::append(
                &mut tx,
                &Actor::program(),
                "remark.done",
                &format!("job {}", job.id),
                detail,
                &[],
            )
            .await?;
        }
        tx.commit().await
    }
}

/// Whether a lesson's document fits what it would be computed from now, with the earlier flights that would be chosen now.
async fn fits(tx: &mut Tx, id: &str) -> Result<bool> {
    let lesson = lessons::lesson(tx, id).await?;
    let inputs = inputs::of_lesson(tx, &lesson).await?;
    if inputs.earlier != carried::choose(tx, &lesson, &inputs.aircraft_sha256).await? {
        return Ok(false);
    }
    let sha256 = inputs.sha256()?;
    let row = tx
        .row(
            "SELECT lesson_id FROM debriefs WHERE lesson_id = $1 AND inputs_sha256 = $2",
            values![id, sha256],
        )
        .await?;
    Ok(row.is_some())
}

async fn add(tx: &mut Tx, by: &Actor, reason: &str) -> Result<Job> {
    let reason = reason.trim();
    if reason.chars().count() > 500 {
        return Err(SchoolError::invalid(
            "reason",
            "The reason is longer than 500 characters.",
            "Write it shorter.",
        ));
    }
    let now = tx.at_utc().to_owned();
    let job = Job {
        id: new_id(),
        kind: "remark".to_owned(),
        state: "waiting".to_owned(),
        total: 0,
        done: 0,
        failed: 0,
        note: reason.to_owned(),
        made_utc: now.clone(),
        changed_utc: now,
    };
    tx.execute(
        "INSERT INTO jobs (id, kind, state, total, done, failed, note, made_utc, changed_utc) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
        values![
            &job.id,
            &job.kind,
            &job.state,
            job.total,
            job.done,
            job.failed,
            &job.note,
            &job.made_utc,
            &job.changed_utc
        ],
    )
    .await?;
    let detail = json!({"reason": reason});
    audit::append(
        tx,
        by,
        "remark.asked",
        &format!("job {}", job.id),
        detail,
        &[],
    )
    .await?;
    Ok(job)
}
