//! The parent: kills, opens, checks, counts.

use crate::Outcome;
use crate::place::Place;
use crate::random::Random;
use school::School;
use school::model::Role;
use school::{Actor, values};
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A new record after so many kills: checking a record takes longer as it grows.
const KILLS_A_RECORD: u32 = 20;
/// Longest life of a child, ms. The first acts come after a few dozen.
const LONGEST_LIFE_MS: u64 = 500;

/// What was told and what was found.
#[derive(Default)]
struct Tally {
    acknowledged: u64,
    /// Audit rows of acts that were done when the child died before it could tell.
    untold: i64,
    /// Bytes that lay there without a row: swept a day later.
    without_row: u64,
    recordings: u64,
    signed: u64,
    /// Children killed before they told anything.
    silent: u32,
}

/// Kills `kills` times.
pub fn run(kills: u32, seed: u64) -> Outcome<()> {
    let begun = Instant::now();
    println!("{kills} kills, seed {seed}");
    let runtime = tokio::runtime::Runtime::new()?;
    let postgres = std::env::var("PROOFWING_TEST_POSTGRES").ok();
    let (mut random, mut tally, mut done) = (Random(seed), Tally::default(), 0);
    for record in 0.. {
        if done >= kills {
            break;
        }
        let folder = tempfile::tempdir()?;
        let url = postgres.as_deref().filter(|_| record % 2 == 1);
        let place = runtime.block_on(Place::new(&folder.path().join("data"), url))?;
        let here = KILLS_A_RECORD.min(kills - done);
        let rounds = Rounds {
            place: &place,
            kills: here,
            first: done,
        };
        runtime.block_on(rounds.run(&mut random, &mut tally))?;
        println!(
            "{} kills on {}: everything acknowledged is there, nothing half-made",
            here,
            place.kind()
        );
        done += here;
    }
    println!(
        "{done} kills in {:.0} s: {} acts acknowledged, none lost; {} audit rows of acts that were done and not yet \
         told; {} recordings, {} signed versions; {} recordings' bytes without a row, to be swept; {} children told nothing",
        begun.elapsed().as_secs_f64(),
        tally.acknowledged,
        tally.untold,
        tally.recordings,
        tally.signed,
        tally.without_row,
        tally.silent
    );
    Ok(())
}

struct Rounds<'a> {
    place: &'a Place,
    kills: u32,
    first: u32,
}

impl Rounds<'_> {
    async fn run(&self, random: &mut Random, tally: &mut Tally) -> Outcome<()> {
        let (mut told, mut head) = (Vec::new(), None);
        for round in 0..self.kills {
            let life = Duration::from_micros(random.below(LONGEST_LIFE_MS * 1000));
            let new = live_and_die(self.place, life)?;
            let number = self.first + round + 1;
            tally.silent += u32::from(new.is_empty());
            tally.acknowledged += new.len() as u64;
            told.extend(new);
            let school = School::open(self.place.config()).await?;
            let checked = self.check(&school, &told, head.as_deref()).await;
            if round + 1 == self.kills {
                count(&school, told.len(), tally).await?;
            }
            head = Some(school.audit_head().await?);
            school.close().await;
            checked.map_err(|error| format!("after kill {number} ({life:?}): {error}"))?;
        }
        Ok(())
    }

    async fn check(&self, school: &School, told: &[String], head: Option<&str>) -> Outcome<()> {
        let verified = school.verify(head).await?;
        if let Some(problem) = verified.problems.first() {
            return Err(format!("the record does not hold: {problem}").into());
        }
        for line in told {
            if !is_there(school, line).await? {
                return Err(format!("acknowledged and not there: {line}").into());
            }
        }
        let mut tx = school.read().await?;
        // A recording came with all its lessons or not at all.
        let sql = "SELECT COUNT(*) AS count FROM recordings WHERE NOT EXISTS \
             (SELECT 1 FROM lessons WHERE recording_sha256 = recordings.sha256)";
        if tx.one(sql, values![]).await?.int("count")? != 0 {
            return Err("a recording is there without its lesson".into());
        }
        drop(tx);
        self.opens(school).await
    }

    /// Every lesson still opens, and is marked.
    async fn opens(&self, school: &School) -> Outcome<()> {
        let chief = Actor {
            id: String::new(),
            name: "Crash".to_owned(),
            role: Role::Chief,
        };
        let filter = school::lessons::LessonFilter {
            limit: Some(1),
            ..Default::default()
        };
        for lesson in school.list(&chief, &filter).await? {
            school.view(&chief, &lesson.id).await?;
        }
        Ok(())
    }
}

/// Counts what a record holds after its last kill.
async fn count(school: &School, told: usize, tally: &mut Tally) -> Outcome<()> {
    let verified = school.verify(None).await?;
    tally.recordings += verified.recordings;
    tally.signed += verified.signed_versions;
    let bytes = school.objects().list().await?.len() as u64;
    tally.without_row += bytes.saturating_sub(verified.recordings);
    let sql = "SELECT COUNT(*) AS count FROM audit WHERE action <> 'school.founded'";
    let rows = school
        .read()
        .await?
        .one(sql, values![])
        .await?
        .int("count")?;
    tally.untold += rows - i64::try_from(told)?;
    Ok(())
}

/// Starts a child, lets it live, kills it, and gives the whole lines that it told.
fn live_and_die(place: &Place, life: Duration) -> Outcome<Vec<String>> {
    let mut child = Command::new(std::env::current_exe()?)
        .arg("child")
        .args(place.words())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    std::thread::sleep(life);
    let ended = child.try_wait()?;
    // On Unix this is SIGKILL: no handler runs, no buffer is flushed.
    child.kill()?;
    child.wait()?;
    if let Some(status) = ended {
        return Err(format!(
            "the child ended by itself ({status}): {}",
            words(&mut child)
        )
        .into());
    }
    let mut told = Vec::new();
    let Some(out) = child.stdout.take() else {
        return Ok(told);
    };
    let mut reader = BufReader::new(out);
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line)? == 0 || !line.ends_with('\n') {
            return Ok(told);
        }
        told.push(line.trim_end().to_owned());
    }
}

fn words(child: &mut Child) -> String {
    child
        .stderr
        .take()
        .and_then(|err| std::io::read_to_string(err).ok())
        .unwrap_or_default()
}

/// Whether what a line tells is in the record.
async fn is_there(school: &School, line: &str) -> Outcome<bool> {
    let words: Vec<&str> = line.split(' ').collect();
    if let ["recording", sha256, lesson] = words[..] {
        let bytes = school.objects().get(sha256).await.is_ok();
        let sql = "SELECT id FROM lessons WHERE id = $1 AND recording_sha256 = $2";
        return Ok(bytes && found(school, sql, values![lesson, sha256]).await?);
    }
    let (sql, values) = match words[..] {
        ["person", id] => ("SELECT id FROM people WHERE id = $1", values![id]),
        ["invite", id] => ("SELECT id FROM invites WHERE id = $1", values![id]),
        ["withdrawn", id] => (
            "SELECT subject FROM audit WHERE action = 'invite.withdrawn' AND subject = $1",
            values![format!("invite {id}")],
        ),
        ["entry", lesson, seq] => (
            "SELECT id FROM entries WHERE lesson_id = $1 AND seq = $2",
            values![lesson, seq.parse::<i64>()?],
        ),
        ["signed", lesson, version, sha256] => (
            "SELECT sha256 FROM signed WHERE lesson_id = $1 AND version = $2 AND sha256 = $3",
            values![lesson, version.parse::<i64>()?, sha256],
        ),
        _ => return Err(format!("the child told `{line}`, which means nothing").into()),
    };
    found(school, sql, values).await
}

async fn found(
    school: &School,
    sql: &'static str,
    values: Vec<school::db::Value>,
) -> Outcome<bool> {
    Ok(school.read().await?.row(sql, values).await?.is_some())
}
