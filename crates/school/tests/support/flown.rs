//! A flown lesson with the people that it concerns.

use super::TestSchool;
use school::import::{Given, Via};
use school::model::{LessonView, Role};
use school::{Actor, School, SchoolError};

/// One lesson of stalls in the invented trainer, 18 minutes at 10 Hz.
pub const LESSON: &[u8] = include_bytes!("../../../../data/demo/lesson.csv.gz");
pub const PELLWICK: &str = include_str!("../../../../data/aircraft/demo.toml");

pub struct Cast {
    pub chief: Actor,
    pub instructor: Actor,
    pub student: Actor,
    pub other: Actor,
    pub auditor: Actor,
    pub aircraft: String,
}

pub async fn cast(case: &TestSchool) -> Cast {
    let chief = case.chief().await;
    let instructor = Actor::from(&case.add(&chief, "farrow", Role::Instructor).await);
    let student = Actor::from(&case.add(&chief, "marlow", Role::Student).await);
    let other = Actor::from(&case.add(&chief, "quill", Role::Student).await);
    let auditor = Actor::from(&case.add(&chief, "audit", Role::Auditor).await);
    let aircraft = case
        .school
        .add_aircraft(&chief, "Pellwick A", PELLWICK)
        .await
        .unwrap()
        .brief
        .id;
    Cast {
        chief,
        instructor,
        student,
        other,
        auditor,
        aircraft,
    }
}

pub async fn bring(school: &School, cast: &Cast) -> LessonView {
    let given = Given {
        aircraft_id: Some(cast.aircraft.clone()),
        student_id: Some(cast.student.id.clone()),
        instructor_id: Some(cast.instructor.id.clone()),
    };
    let imported = school
        .import(
            &cast.instructor,
            "lesson.csv.gz",
            LESSON.into(),
            Via::Page,
            &given,
        )
        .await
        .unwrap();
    assert!(!imported.known);
    school
        .view(&cast.instructor, &imported.lessons[0].id)
        .await
        .unwrap()
}

pub fn code<T>(result: &Result<T, SchoolError>) -> &'static str {
    result.as_ref().err().map_or("done", SchoolError::code)
}

/// The lesson's first minutes, as another recording.
pub fn shifted() -> Vec<u8> {
    let text = unpacked();
    let head: Vec<&str> = text.lines().take(3000).collect();
    head.join("\n").into_bytes()
}

fn unpacked() -> String {
    let mut text = String::new();
    std::io::Read::read_to_string(&mut flate2::read::GzDecoder::new(LESSON), &mut text).unwrap();
    text
}
