//! What earlier flights of an aircraft leave for the fit of the day of a later one.
//!
//! Each debriefed lesson keeps what its flight *alone* says ([`performance::Carried`]), so that the order in which flights
//! come does not matter and none is counted twice. Which earlier flights a lesson is debriefed with is chosen when its
//! flight is reconstructed, kept with the lesson, and part of its [`crate::inputs::Inputs`]: the same lesson gives the same
//! document, whatever else is brought in later. It is chosen anew when the flight itself is reconstructed from something else
//! (another aircraft or aircraft file, another reading, another program) and when lessons are marked anew.

use crate::clock::{from_utc, to_utc};
use crate::db::{Row, Tx};
use crate::error::{Result, SchoolError};
use crate::lessons::LessonRow;
use crate::secret::sha256_hex;
use crate::values;
use jiff::{SignedDuration, Timestamp};
use performance::Carried;
use serde::{Deserialize, Serialize};

/// Most earlier flights. What differs from one day to the next is variance q, and N flights leave q (1 + 1/N) of it: a
/// twenty-first would narrow σ by a thousandth.
pub const MOST: usize = 20;

/// Oldest flight that counts, days before this one: an airplane is inspected every twelve calendar months (14 CFR
/// 91.409(a)), when engine, propeller and rigging may become others.
pub const DAYS: i64 = 365;

/// Rows that are looked at for [`MOST`] flights that do not overlap.
const LOOKED_AT: usize = 100;

/// An earlier flight that a lesson was debriefed with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EarlierFlight {
    /// Its lesson.
    pub lesson_id: String,
    /// When it began.
    pub start_utc: String,
    /// Which of what that lesson left.
    pub version: i64,
    /// SHA-256 of that, hex.
    pub sha256: String,
}

/// The flights that a lesson is debriefed with: those that were chosen for this flight before, else chosen now; oldest first.
///
/// # Errors
/// When the database refuses.
pub async fn of_lesson(
    tx: &mut Tx,
    lesson: &LessonRow,
    aircraft_sha256: &str,
    chosen_for: &str,
) -> Result<Vec<EarlierFlight>> {
    let kept = tx
        .row(
            "SELECT earlier FROM earlier_flights WHERE lesson_id = $1 AND chosen_for = $2",
            values![&lesson.brief.id, chosen_for],
        )
        .await?;
    match kept {
        Some(row) => Ok(serde_json::from_str(&row.text("earlier")?)?),
        None => choose(tx, lesson, aircraft_sha256).await,
    }
}

/// The flights that a lesson would be debriefed with now, oldest first: of the same aircraft with the same file, marked by
/// this program, over before this one began, in the last [`DAYS`] days, the latest [`MOST`]. A flight whose day nobody knows has
/// none and is none; nor is one whose aircraft is a guess, that was set aside, or that is another recording of one counted
/// already.
///
/// # Errors
/// When the database refuses.
pub async fn choose(
    tx: &mut Tx,
    lesson: &LessonRow,
    aircraft_sha256: &str,
) -> Result<Vec<EarlierFlight>> {
    let (Some(aircraft_id), true) = (&lesson.brief.aircraft_id, lesson.brief.start_known) else {
        return Ok(Vec::new());
    };
    let start = from_utc(&lesson.brief.start_utc)?;
    let oldest = start
        .checked_sub(SignedDuration::from_hours(24 * DAYS))
        .map_err(|error| SchoolError::store("look for earlier flights", error))?;
    let sql = sqlx::AssertSqlSafe(format!(
        "SELECT l.id, l.start_utc, l.duration_s, l.guessed, c.version, c.sha256 \
         FROM carried c JOIN lessons l ON l.id = c.lesson_id \
         WHERE c.aircraft_id = $1 AND l.aircraft_id = $1 AND c.aircraft_sha256 = $2 AND c.program = $3 \
         AND c.body <> '' AND c.version = (SELECT MAX(newest.version) FROM carried newest \
         WHERE newest.lesson_id = c.lesson_id) AND l.set_aside_utc IS NULL AND l.start_known \
         AND l.start_utc < $4 AND l.start_utc >= $5 AND l.id <> $6 \
         ORDER BY l.start_utc DESC, l.id LIMIT {LOOKED_AT}"
    ));
    let rows = tx
        .rows(
            sql,
            values![
                aircraft_id,
                aircraft_sha256,
                pipeline::VERSION,
                &lesson.brief.start_utc,
                to_utc(oldest),
                &lesson.brief.id
            ],
        )
        .await?;
    let mut chosen = Vec::new();
    let mut before = start;
    for row in &rows {
        let guessed: Vec<String> = serde_json::from_str(&row.text("guessed")?)?;
        if guessed.iter().any(|field| field == "aircraft") || ends(row)? > before {
            continue;
        }
        let start_utc = row.text("start_utc")?;
        before = from_utc(&start_utc)?;
        chosen.push(EarlierFlight {
            lesson_id: row.text("id")?,
            start_utc,
            version: row.int("version")?,
            sha256: row.text("sha256")?,
        });
        if chosen.len() == MOST {
            break;
        }
    }
    chosen.reverse();
    Ok(chosen)
}

fn ends(row: &Row) -> Result<Timestamp> {
    let start = from_utc(&row.text("start_utc")?)?;
    let length = SignedDuration::try_from_secs_f64(row.real("duration_s")?).unwrap_or_default();
    start
        .checked_add(length)
        .map_err(|error| SchoolError::store("look for earlier flights", error))
}

/// What the chosen flights left, in their order.
///
/// # Errors
/// `Store` when one is gone or is not what it was.
pub async fn read(tx: &mut Tx, earlier: &[EarlierFlight]) -> Result<Vec<Carried>> {
    let mut all = Vec::with_capacity(earlier.len());
    for flight in earlier {
        let row = tx
            .row(
                "SELECT body FROM carried WHERE lesson_id = $1 AND version = $2",
                values![&flight.lesson_id, flight.version],
            )
            .await?;
        let body = row.map(|row| row.text("body")).transpose()?;
        let body = body.filter(|body| sha256_hex(body.as_bytes()) == flight.sha256);
        let Some(body) = body else {
            return Err(SchoolError::store(
                "find what an earlier flight left",
                format!("version {} of lesson {}", flight.version, flight.lesson_id),
            ));
        };
        all.push(serde_json::from_str(&body)?);
    }
    Ok(all)
}

/// What a debriefed flight leaves, and which flights it was debriefed with.
#[derive(Clone, Debug)]
pub struct Left {
    /// [`crate::inputs::Inputs::choice_key`].
    pub chosen_for: String,
    /// The aircraft file.
    pub aircraft_sha256: String,
    /// What it was debriefed with.
    pub earlier: Vec<EarlierFlight>,
    /// What it says alone, as JSON; empty = nothing.
    pub body: String,
}

impl Left {
    /// Keeps it. What is there already, word for word, is not written again.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn keep(&self, tx: &mut Tx, lesson: &LessonRow) -> Result<()> {
        put_choice(tx, lesson, &self.chosen_for, &self.earlier).await?;
        let Some(aircraft_id) = &lesson.brief.aircraft_id else {
            return Ok(());
        };
        let id = &lesson.brief.id;
        let last = tx
            .row(
                "SELECT version, aircraft_id, aircraft_sha256, program, sha256 FROM carried \
                 WHERE lesson_id = $1 ORDER BY version DESC LIMIT 1",
                values![id],
            )
            .await?;
        let sha256 = sha256_hex(self.body.as_bytes());
        let version = match &last {
            Some(last) => {
                let same = last.text("aircraft_id")? == *aircraft_id
                    && last.text("aircraft_sha256")? == self.aircraft_sha256
                    && last.text("program")? == pipeline::VERSION
                    && last.text("sha256")? == sha256;
                if same {
                    return Ok(());
                }
                last.int("version")? + 1
            }
            None if self.body.is_empty() => return Ok(()),
            None => 1,
        };
        let now = tx.at_utc().to_owned();
        tx.execute(
            "INSERT INTO carried (lesson_id, version, aircraft_id, aircraft_sha256, program, sha256, body, at_utc) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
            values![
                id,
                version,
                aircraft_id,
                &self.aircraft_sha256,
                pipeline::VERSION,
                sha256,
                &self.body,
                now
            ],
        )
        .await?;
        Ok(())
    }
}

/// Keeps which earlier flights a lesson is debriefed with.
///
/// # Errors
/// When the database refuses.
pub async fn put_choice(
    tx: &mut Tx,
    lesson: &LessonRow,
    chosen_for: &str,
    earlier: &[EarlierFlight],
) -> Result<()> {
    let now = tx.at_utc().to_owned();
    tx.execute(
        "INSERT INTO earlier_flights (lesson_id, chosen_for, earlier, at_utc) VALUES ($1, $2, $3, $4) \
         ON CONFLICT (lesson_id) DO UPDATE SET chosen_for = $2, earlier = $3, at_utc = $4",
        values![
            &lesson.brief.id,
            chosen_for,
            serde_json::to_string(earlier)?,
            now
        ],
    )
    .await?;
    Ok(())
}
