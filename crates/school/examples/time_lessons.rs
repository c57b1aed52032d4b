//! How long the acts on a lesson take: `cargo run --release -p school --example time_lessons`. Prints the median and
//! the worst of each, on SQLite in a temporary folder; a first argument names another recording.

use maneuver::Correction;
use school::import::{Given, Via};
use school::lessons::LessonFilter;
use school::model::{Act, Role, Setting};
use school::people::NewPerson;
use school::{Actor, Config, School, SchoolError, values};
use std::future::Future;
use std::time::{Duration, Instant};

const LESSON: &[u8] = include_bytes!("../../../data/demo/lesson.csv.gz");
const PELLWICK: &str = include_str!("../../../data/aircraft/demo.toml");
const TIMES: usize = 21;

type Outcome = Result<(), Box<dyn std::error::Error>>;

#[tokio::main]
async fn main() -> Outcome {
    let folder = tempfile::tempdir()?;
    let school = School::open(Config::folder(folder.path().join("data"))).await?;
    let password = "seven gray geese over water";
    let chief = Actor::from(
        &school
            .found("Pellwick School of Flying", "Ada Thorne", "ada", password)
            .await?,
    );
    let new = NewPerson {
        name: "Marlow Example".to_owned(),
        login: "marlow".to_owned(),
        role: Role::Student,
        password: None,
    };
    let student = school.add_person(&chief, &new).await?;
    let aircraft = school
        .add_aircraft(&chief, "Pellwick A", PELLWICK)
        .await?
        .brief
        .id;
    let given = Given {
        aircraft_id: Some(aircraft),
        student_id: Some(student.id),
        instructor_id: Some(chief.id.clone()),
    };
    let bytes = match std::env::args().nth(1) {
        Some(path) => std::fs::read(path)?,
        None => LESSON.to_vec(),
    };
    let begun = Instant::now();
    let imported = school
        .import(&chief, "lesson.csv.gz", bytes.into(), Via::Command, &given)
        .await?;
    println!(
        "{:<48}{:>8.1} ms",
        "import, to the debrief",
        ms(begun.elapsed())
    );
    let Some(lesson) = imported.lessons.first() else {
        return Err("no flight in it".into());
    };
    println!(
        "{:<48}{:>8.1} min",
        "length of the flight",
        lesson.duration_s / 60.0
    );
    acts(&school, &chief, &lesson.id).await?;
    many(&school, &chief, &lesson.id).await
}

async fn acts(school: &School, chief: &Actor, id: &str) -> Outcome {
    let view = school.view(chief, id).await?;
    println!("{:<48}{:>8}", "maneuvers", view.debrief.maneuvers.len());
    timed("view", || async { school.view(chief, id).await.map(drop) }).await?;
    timed("series", || async {
        school.series(chief, id).await.map(drop)
    })
    .await?;
    let first = view
        .debrief
        .maneuvers
        .iter()
        .find(|maneuver| maneuver.marked);
    let first = first.ok_or("nothing is marked")?;
    let mut shift_s = 1.0;
    let mut move_boundary = || {
        shift_s += 0.1;
        serde_json::from_value::<Vec<Correction>>(serde_json::json!([{
            "do": "set", "was": {"kind": first.kind, "start_s": first.start_s, "end_s": first.end_s},
            "kind": first.kind, "start_s": first.start_s + shift_s, "end_s": first.end_s
        }]))
    };
    let moves = (0..TIMES)
        .map(|_| move_boundary())
        .collect::<Result<Vec<_>, _>>()?;
    let mut moves = moves.into_iter();
    timed("move a boundary: correct, mark, keep, view", || {
        let corrections = moves.next().unwrap_or_default();
        async {
            school
                .act(chief, id, None, Act::Corrections { corrections })
                .await
                .map(drop)
        }
    })
    .await?;
    let mut bank_deg = 30.0;
    timed("brief a bank: mark, keep, view", || {
        bank_deg += 0.5;
        let asked = standard::Asked {
            bank_deg: Some(bank_deg),
            ..standard::Asked::default()
        };
        let briefed = standard::Briefed {
            entries: vec![asked],
            ..standard::Briefed::default()
        };
        async {
            school
                .act(chief, id, None, Act::Briefed { briefed })
                .await
                .map(drop)
        }
    })
    .await?;
    let mut count = 0;
    timed("a note", || {
        count += 1;
        let act = Act::Note {
            id: format!("n{count}"),
            at_s: 60.0,
            text: "late power".to_owned(),
        };
        async { school.act(chief, id, None, act).await.map(drop) }
    })
    .await?;
    let mut terrain_ft = 0.0;
    timed("another terrain: read, reconstruct, mark, view", || {
        terrain_ft += 10.0;
        let setting = Setting {
            terrain_ft: Some(Some(terrain_ft)),
            ..Setting::default()
        };
        async {
            school
                .act(chief, id, None, Act::Setting(setting))
                .await
                .map(drop)
        }
    })
    .await?;
    timed("sign", || async {
        let seq = school.view(chief, id).await?.entry_seq;
        school.sign(chief, id, seq, None).await.map(drop)
    })
    .await
}

/// A thousand lessons in the list.
async fn many(school: &School, chief: &Actor, id: &str) -> Outcome {
    let mut tx = school.write().await?;
    for part in 1..1000_i64 {
        tx.execute(
            "INSERT INTO lessons (id, recording_sha256, part, start_utc, duration_s, title, student_id, \
             instructor_id, aircraft_id, standard, flown, created_utc) SELECT $1, recording_sha256, $2, start_utc, \
             duration_s, title, student_id, instructor_id, aircraft_id, standard, flown, created_utc \
             FROM lessons WHERE id = $3",
            values![school::new_id(), part, id],
        )
        .await?;
    }
    tx.commit().await?;
    let filter = LessonFilter {
        limit: Some(1000),
        ..LessonFilter::default()
    };
    timed("list of 1,000 lessons", || async {
        school.list(chief, &filter).await.map(drop)
    })
    .await?;
    let filter = LessonFilter {
        limit: Some(50),
        ..LessonFilter::default()
    };
    timed("list, the first 50 of 1,000", || async {
        school.list(chief, &filter).await.map(drop)
    })
    .await
}

async fn timed<F: Future<Output = Result<(), SchoolError>>>(
    what: &str,
    mut act: impl FnMut() -> F,
) -> Outcome {
    let mut took = Vec::with_capacity(TIMES);
    for _ in 0..TIMES {
        let begun = Instant::now();
        act().await?;
        took.push(begun.elapsed());
    }
    took.sort();
    let (middle, worst) = (took.get(TIMES / 2), took.last());
    println!(
        "{what:<48}{:>8.1} ms, worst {:.1} ms",
        middle.copied().map_or(f64::NAN, ms),
        worst.copied().map_or(f64::NAN, ms)
    );
    Ok(())
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
