//! What earlier flights of an aircraft leave for the fit of the day of a later one: flights of the demo school's airplane A.

mod support;

use debrief::{Debrief, FitOfTheDay};
use flight::Surroundings;
use pipeline::{Carried, Setting};
use school::aircraft::AircraftChange;
use school::import::{Given, Via};
use school::model::{Act, Job, LessonView, Setting as Header};
use school::{School, values};
use standard::Briefed;
use std::io::Read as _;
use std::time::Duration;
use support::flown::{Cast, PELLWICK, cast};
use support::test_schools;

macro_rules! flight {
    ($day:literal) => {
        (
            concat!($day, ".csv.gz"),
            include_bytes!(concat!(
                "../../../data/demo/school/",
                $day,
                "-pellwick-a.csv.gz"
            )) as &[u8],
        )
    };
}

/// Three days of one airplane.
const DAYS: [(&str, &[u8]); 3] = [
    flight!("2025-12-03"),
    flight!("2025-12-04"),
    flight!("2026-03-05"),
];

async fn bring(school: &School, cast: &Cast, aircraft: &str, flight: (&str, &[u8])) -> LessonView {
    let given = Given {
        aircraft_id: Some(aircraft.to_owned()),
        student_id: Some(cast.student.id.clone()),
        instructor_id: Some(cast.instructor.id.clone()),
    };
    let bytes = flight.1.to_vec().into();
    let imported = school
        .import(&cast.instructor, flight.0, bytes, Via::Page, &given)
        .await
        .unwrap();
    view(school, cast, &imported.lessons[0].id).await
}

async fn view(school: &School, cast: &Cast, id: &str) -> LessonView {
    school.view(&cast.instructor, id).await.unwrap()
}

fn fit(view: &LessonView) -> &FitOfTheDay {
    view.debrief.fit_of_the_day.as_ref().unwrap()
}

fn text(document: &Debrief) -> String {
    debrief::to_json(document).unwrap()
}

/// Waits until no job waits or runs and there are more than `before`.
async fn jobs_done(school: &School, before: usize) -> Job {
    for _ in 0..600 {
        let jobs = school.jobs().await.unwrap();
        if jobs.len() > before && jobs.iter().all(|job| job.state == "done") {
            return jobs[0].clone();
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("the jobs were not done within 30 s");
}

async fn marked_anew(school: &School, cast: &Cast) -> Job {
    let before = school.jobs().await.unwrap().len();
    school.start_remark(&cast.chief, "a test").await.unwrap();
    jobs_done(school, before).await
}

async fn count(school: &School, sql: &'static str) -> i64 {
    let mut tx = school.read().await.unwrap();
    tx.one(sql, values![]).await.unwrap().int("count").unwrap()
}

/// The third flight as the library alone has it, drawn to what the two before it left.
fn by_the_library(earlier: Vec<Carried>) -> Debrief {
    let read = recording::read(DAYS[2].0, DAYS[2].1, &recording::ReadOptions::default()).unwrap();
    let aircraft = aircraft::parse(PELLWICK, "demo.toml").unwrap().0;
    let pack = standard::pack("faa-private").unwrap();
    let setting = Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &Briefed::default(),
        surroundings: Surroundings::default(),
    };
    pipeline::debrief_after(&read.recordings[0], &setting, earlier).document
}

/// The third flight is drawn to the two before it, says so, and is surer for it: with a normal law precisions add, so no
/// σ grows (Gelman et al., *Bayesian Data Analysis*, 3rd ed., section 2.5). It says what the library says without a school.
#[tokio::test(flavor = "multi_thread")]
async fn val_a_third_flight_is_surer_than_alone_and_says_why() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let first = bring(school, &cast, &cast.aircraft, DAYS[0]).await;
        let second = bring(school, &cast, &cast.aircraft, DAYS[1]).await;
        // The second flight once more, as another file: it is no third one.
        let mut again = String::new();
        flate2::read::GzDecoder::new(DAYS[1].1)
            .read_to_string(&mut again)
            .unwrap();
        let again = again.trim_end().as_bytes().to_vec();
        bring(school, &cast, &cast.aircraft, ("again.csv", &again)).await;
        assert_eq!((fit(&first).earlier, fit(&second).earlier), (0, 1));
        let third = bring(school, &cast, &cast.aircraft, DAYS[2]).await;
        assert_eq!(fit(&third).earlier, 2);
        let words = fit(&third).words.join(" ");
        assert!(words.contains("Drawn to 2 earlier flights of this aircraft"));

        let left = |view: &LessonView| fit(view).carried.clone().unwrap();
        let (alone, with) = (
            by_the_library(Vec::new()),
            by_the_library(vec![left(&first), left(&second)]),
        );
        assert_eq!(text(&with), text(&third.debrief));
        let alone = alone.fit_of_the_day.unwrap();
        assert_eq!(alone.carried, fit(&third).carried);
        let mut narrower = 0;
        for (row, other) in fit(&third).rows.iter().zip(&alone.rows) {
            if let (Some(sigma), Some(alone)) = (row.sigma, other.sigma) {
                assert_eq!((row.alone, row.alone_sigma), (other.flown, other.sigma));
                assert!(sigma <= alone, "{}: {sigma} {alone}", row.id);
                narrower += usize::from(sigma < 0.95 * alone);
            }
        }
        for (point, other) in fit(&third).points.iter().zip(&alone.points) {
            assert!(point.thrust_sigma < other.thrust_sigma && point.drag_sigma < other.drag_sigma);
            narrower += 1;
        }
        assert!(narrower >= 3);
    }
}

/// An earlier flight that comes later changes nothing until the lessons are marked anew; then it is as if all had come in
/// order. What was signed stays.
#[tokio::test(flavor = "multi_thread")]
async fn prop_the_order_of_arrival_does_not_matter_in_the_end() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let third = bring(school, &cast, &cast.aircraft, DAYS[2]).await;
        let id = third.lesson.id.clone();
        assert_eq!(fit(&third).earlier, 0);
        let signed = school
            .sign(
                &cast.instructor,
                &id,
                third.entry_seq,
                Some(&third.inputs_sha256),
            )
            .await
            .unwrap();
        let second = bring(school, &cast, &cast.aircraft, DAYS[1]).await;
        let first = bring(school, &cast, &cast.aircraft, DAYS[0]).await;
        let kept = view(school, &cast, &id).await;
        assert_eq!(
            (fit(&kept).earlier, &kept.inputs_sha256),
            (0, &third.inputs_sha256)
        );
        assert!(kept.changes_since_signing.is_empty());
        assert_eq!(fit(&second).earlier, 0);

        let job = marked_anew(school, &cast).await;
        assert_eq!((job.done, job.failed), (2, 0), "{job:?}");
        let anew = view(school, &cast, &id).await;
        let left = |view: &LessonView| fit(view).carried.clone().unwrap();
        let wanted = by_the_library(vec![left(&first), left(&second)]);
        assert_eq!(text(&anew.debrief), text(&wanted));
        assert_eq!(
            fit(&view(school, &cast, &second.lesson.id).await).earlier,
            1
        );
        // Once more, there is nothing to do.
        assert_eq!(marked_anew(school, &cast).await.total, 0);
        let bytes = school
            .signed_bytes(&cast.chief, &id, signed.version)
            .await
            .unwrap();
        let then: school::signed::Signed = serde_json::from_slice(&bytes).unwrap();
        assert!(then.inputs.earlier.is_empty());
        // Read back from text, as what was signed is.
        let read = debrief::from_json(&text(&third.debrief)).unwrap();
        assert_eq!(text(&then.debrief), text(&read));
        let verified = school.verify(None).await.unwrap();
        assert!(verified.problems.is_empty(), "{verified:?}");
    }
}

/// A flight that is set aside counts no longer once its successors are marked anew, is not lost, and counts again when it is
/// taken back; one of another airplane with the same file never counts.
#[tokio::test(flavor = "multi_thread")]
async fn prop_only_flights_of_this_aircraft_that_stand_count() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let twin = school
            .add_aircraft(&cast.chief, "Pellwick B", PELLWICK)
            .await
            .unwrap();
        let twin = twin.brief.id;
        bring(school, &cast, &cast.aircraft, DAYS[0]).await;
        let second = bring(school, &cast, &twin, DAYS[1]).await;
        let third = bring(school, &cast, &cast.aircraft, DAYS[2]).await;
        let id = third.lesson.id.clone();
        assert_eq!((fit(&second).earlier, fit(&third).earlier), (0, 1));
        // Somebody says that it was airplane A: the same file, but another history.
        let header = Header {
            aircraft_id: Some(cast.aircraft.clone()),
            ..Header::default()
        };
        let act = Act::Setting(header);
        let moved = school
            .act(&cast.instructor, &second.lesson.id, None, act)
            .await
            .unwrap();
        assert_eq!(fit(&moved).earlier, 1);
        marked_anew(school, &cast).await;
        assert_eq!(fit(&view(school, &cast, &id).await).earlier, 2);

        let rows = count(school, "SELECT COUNT(*) AS count FROM carried").await;
        let aside = second.lesson.id.clone();
        school
            .set_aside(&cast.chief, &aside, "not ours")
            .await
            .unwrap();
        assert_eq!(fit(&view(school, &cast, &id).await).earlier, 2);
        marked_anew(school, &cast).await;
        assert_eq!(fit(&view(school, &cast, &id).await).earlier, 1);
        assert_eq!(
            count(school, "SELECT COUNT(*) AS count FROM carried").await,
            rows
        );
        school.take_back(&cast.chief, &aside).await.unwrap();
        marked_anew(school, &cast).await;
        assert_eq!(fit(&view(school, &cast, &id).await).earlier, 2);
    }
}

/// Another aircraft file makes other units of what flights left: all of them are marked anew with it, oldest first, and the
/// third is drawn to what the two before it say with the new file. What they left before is still there.
#[tokio::test(flavor = "multi_thread")]
async fn prop_another_aircraft_file_has_a_history_of_its_own() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let mut ids = Vec::new();
        for flight in DAYS {
            let view = bring(school, &cast, &cast.aircraft, flight).await;
            ids.push(view.lesson.id.clone());
        }
        let change = AircraftChange {
            toml: Some(
                PELLWICK
                    .replace("vs1_kias = 51.0", "vs1_kias = 52.0")
                    .replace("stall_kias = 51.0", "stall_kias = 52.0"),
            ),
            ..AircraftChange::default()
        };
        school
            .change_aircraft(&cast.chief, &cast.aircraft, &change)
            .await
            .unwrap();
        jobs_done(school, 0).await;
        let third = view(school, &cast, &ids[2]).await;
        assert_eq!(fit(&third).earlier, 2);
        assert!(!fit(&third).words.join(" ").contains("Left out"));
        let old = "SELECT COUNT(*) AS count FROM carried WHERE version = 1";
        let new = "SELECT COUNT(*) AS count FROM carried WHERE version = 2";
        assert_eq!((count(school, old).await, count(school, new).await), (3, 3));
    }
}
