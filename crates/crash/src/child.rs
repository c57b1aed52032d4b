//! The child: acts without end, and tells each act after the record acknowledged it.

use crate::Outcome;
use crate::flight;
use crate::place::Place;
use school::import::{Given, Via};
use school::model::{Act, Role, Setting};
use school::people::NewPerson;
use school::{Actor, School, SchoolError};
use std::io::Write;

/// Acts until it is killed.
pub fn run(place: &Place) -> Outcome<()> {
    tokio::runtime::Runtime::new()?.block_on(act(place))
}

async fn act(place: &Place) -> Outcome<()> {
    let school = School::open(place.config()).await?;
    let chief = chief(&school).await?;
    let student = student(&school, &chief).await?;
    // Two at once, so that an act of one is cut off in the middle of an act of the other.
    let (one, two) = (school.clone(), school.clone());
    let (by, of) = (chief.clone(), student.clone());
    let lessons = tokio::spawn(async move { lessons(&one, &by, &of).await });
    let people = tokio::spawn(async move { invitations(&two, &chief).await });
    tokio::select! {
        ended = lessons => ended??,
        ended = people => ended??,
    }
    Ok(())
}

/// Lines are told whole: one write, and nothing is buffered by the program.
fn tell(line: &str) -> Outcome<()> {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes())?;
    out.flush()?;
    Ok(())
}

/// The chief instructor; the first child makes the school.
async fn chief(school: &School) -> Outcome<Actor> {
    if school.first_run().await? {
        let chief = school
            .found(
                "Crash Test School",
                "Ada Thorne",
                "ada",
                "seven gray geese over water",
            )
            .await?;
        tell(&format!("person {}", chief.id))?;
    }
    named(school, "ada")
        .await?
        .ok_or_else(|| "the chief instructor is gone".into())
}

async fn student(school: &School, chief: &Actor) -> Outcome<Actor> {
    if let Some(student) = named(school, "marlow").await? {
        return Ok(student);
    }
    let new = NewPerson {
        name: "Marlow Reed".to_owned(),
        login: "marlow".to_owned(),
        role: Role::Student,
        password: None,
    };
    let student = school.add_person(chief, &new).await?;
    tell(&format!("person {}", student.id))?;
    Ok(Actor::from(&student))
}

async fn named(school: &School, login: &str) -> Outcome<Option<Actor>> {
    let people = school.people().await?;
    Ok(people
        .iter()
        .find(|person| person.login == login)
        .map(Actor::from))
}

/// Brings flights in, says who flew, writes a note, signs; then once more on the same lesson.
async fn lessons(school: &School, by: &Actor, student: &Actor) -> Outcome<()> {
    let me = school::new_id();
    for number in 0.. {
        let bytes = flight::recording(&me, number);
        let given = Given {
            student_id: Some(student.id.clone()),
            instructor_id: Some(by.id.clone()),
            aircraft_id: None,
        };
        let imported = school
            .import(by, "flight.csv", bytes.into(), Via::Command, &given)
            .await?;
        let lesson = imported
            .lessons
            .first()
            .ok_or("the flight became no lesson")?
            .id
            .clone();
        tell(&format!(
            "recording {} {lesson}",
            imported.recording.brief.sha256
        ))?;
        for text in ["late power", "good bank"] {
            let setting = Setting {
                title: Some(format!("Lesson {number}, {text}")),
                ..Setting::default()
            };
            let view = school.act(by, &lesson, None, Act::Setting(setting)).await?;
            tell(&format!("entry {lesson} {}", view.entry_seq))?;
            let note = Act::Note {
                id: school::new_id(),
                at_s: 60.0,
                text: text.to_owned(),
            };
            let view = school.act(by, &lesson, None, note).await?;
            tell(&format!("entry {lesson} {}", view.entry_seq))?;
            let signed = school.sign(by, &lesson, view.entry_seq, None).await?;
            tell(&format!(
                "signed {lesson} {} {}",
                signed.version, signed.sha256
            ))?;
        }
    }
    Ok(())
}

/// Invites people, small acts beside the large ones.
async fn invitations(school: &School, by: &Actor) -> Outcome<()> {
    loop {
        let (invite, _) = school.invite(by, Role::Instructor, "Wynn Farrow").await?;
        tell(&format!("invite {}", invite.id))?;
        match school.withdraw_invite(by, &invite.id).await {
            Ok(()) => tell(&format!("withdrawn {}", invite.id))?,
            Err(SchoolError::NotFound { .. }) => {
                return Err("an acknowledged invitation is gone".into());
            }
            Err(error) => return Err(error.into()),
        }
        tokio::time::sleep(std::time::Duration::from_millis(5)).await;
    }
}
