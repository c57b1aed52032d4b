//! The invented demo school: its people and lessons, filled into an empty record through the same acts that people
//! use.

use super::refused;
use crate::failure::Failure;
use school::import::{Given, Via};
use school::model::{Act, LessonView, ManeuverRef, Role, Setting};
use school::people::NewPerson;
use school::settings::SchoolChange;
use school::{Actor, School};
use serde::Deserialize;
use standard::{Briefed, Verdict};
use std::collections::BTreeMap;

/// Everybody's password in the demo school. It stands on its first page.
pub const PASSWORD: &str = "clear of clouds 2026";

#[derive(rust_embed::RustEmbed)]
#[folder = "../../data/demo/school"]
#[include = "*.gz"]
#[include = "school.toml"]
struct Files;

/// `data/demo/school/school.toml`.
#[derive(Deserialize)]
pub struct Manifest {
    school: SchoolEntry,
    /// Everybody.
    pub people: Vec<PersonEntry>,
    aircraft: Vec<AircraftEntry>,
    flights: Vec<FlightEntry>,
}

#[derive(Deserialize)]
struct SchoolEntry {
    name: String,
    standard: String,
    terrain_ft: f64,
}

/// One person of the manifest.
#[derive(Deserialize)]
pub struct PersonEntry {
    id: String,
    /// Name.
    pub name: String,
    role: String,
    /// Login.
    pub login: String,
}

impl PersonEntry {
    /// Role; a manifest with another word would be our own mistake and makes a student.
    pub fn role(&self) -> Role {
        Role::from_id(&self.role).unwrap_or(Role::Student)
    }
}

#[derive(Deserialize)]
struct AircraftEntry {
    id: String,
    name: String,
}

#[derive(Deserialize)]
struct FlightEntry {
    file: String,
    aircraft: String,
    student: Option<String>,
    instructor: String,
    standard: String,
    terrain_ft: f64,
    title: String,
    #[serde(default)]
    demonstration: bool,
    state: String,
    /// What of the header nobody said, so that the program guesses it: `student`, `aircraft`.
    #[serde(default)]
    guessed: Vec<String>,
    briefed: Option<Briefed>,
    summary: Option<SummaryEntry>,
    #[serde(default)]
    marks: Vec<MarkEntry>,
    #[serde(default)]
    notes: Vec<NoteEntry>,
    reply: Option<ReplyEntry>,
}

#[derive(Deserialize)]
struct SummaryEntry {
    text: String,
    next: String,
}

#[derive(Deserialize)]
struct MarkEntry {
    maneuver: usize,
    kind: String,
    element: String,
    criterion: String,
    verdict: Verdict,
    reason: String,
}

#[derive(Deserialize)]
struct NoteEntry {
    at_s: f64,
    text: String,
}

#[derive(Deserialize)]
struct ReplyEntry {
    text: String,
}

/// The manifest.
pub fn manifest() -> Result<Manifest, Failure> {
    let ours = |error: String| Failure::Output(format!("the built-in demo school: {error}"));
    let file =
        Files::get("school.toml").ok_or_else(|| ours("school.toml is missing".to_owned()))?;
    let text = std::str::from_utf8(&file.data).map_err(|error| ours(error.to_string()))?;
    toml::from_str(text).map_err(|error| ours(error.to_string()))
}

/// Fills an empty record. `step` is told how many lessons are in.
pub async fn fill(school: &School, step: impl Fn(usize, usize)) -> Result<(), Failure> {
    let manifest = manifest()?;
    let filling = Filling::begin(school, &manifest).await?;
    for (index, flight) in manifest.flights.iter().enumerate() {
        step(index, manifest.flights.len());
        filling.lesson(flight).await?;
    }
    step(manifest.flights.len(), manifest.flights.len());
    Ok(())
}

struct Filling<'a> {
    school: &'a School,
    people: BTreeMap<String, Actor>,
    aircraft: BTreeMap<String, String>,
}

impl<'a> Filling<'a> {
    /// School, people and aircraft.
    async fn begin(school: &'a School, manifest: &Manifest) -> Result<Self, Failure> {
        let refused = |error: school::SchoolError| refused(&error);
        let mut people = BTreeMap::new();
        let chief = manifest
            .people
            .iter()
            .find(|person| person.role() == Role::Chief)
            .ok_or_else(|| Failure::Output("the built-in demo school has no chief".to_owned()))?;
        let first = school
            .found(&manifest.school.name, &chief.name, &chief.login, PASSWORD)
            .await
            .map_err(refused)?;
        let by = Actor::from(&first);
        people.insert(chief.id.clone(), by.clone());
        let change = SchoolChange {
            standard: Some(manifest.school.standard.clone()),
            terrain_ft: Some(Some(manifest.school.terrain_ft)),
            ..SchoolChange::default()
        };
        school
            .change_settings(&by, &change)
            .await
            .map_err(refused)?;
        for person in manifest
            .people
            .iter()
            .filter(|person| person.id != chief.id)
        {
            let new = NewPerson {
                name: person.name.clone(),
                login: person.login.clone(),
                role: person.role(),
                password: Some(PASSWORD.to_owned()),
            };
            let made = school.add_person(&by, &new).await.map_err(refused)?;
            people.insert(person.id.clone(), Actor::from(&made));
        }
        let mut aircraft = BTreeMap::new();
        for entry in &manifest.aircraft {
            let made = school
                .add_aircraft(&by, &entry.name, proofwing::demo::AIRCRAFT)
                .await
                .map_err(refused)?;
            aircraft.insert(entry.id.clone(), made.brief.id);
        }
        Ok(Self {
            school,
            people,
            aircraft,
        })
    }

    fn who(&self, id: &str) -> Result<&Actor, Failure> {
        self.people.get(id).ok_or_else(|| {
            Failure::Output(format!("the built-in demo school has nobody called {id}"))
        })
    }

    /// One lesson, from the recording to the student's acknowledgment as far as it went.
    async fn lesson(&self, flight: &FlightEntry) -> Result<(), Failure> {
        let file = Files::get(&flight.file).ok_or_else(|| {
            Failure::Output(format!("the built-in demo school lacks {}", flight.file))
        })?;
        let instructor = self.who(&flight.instructor)?;
        let student = flight
            .student
            .as_deref()
            .map(|id| self.who(id))
            .transpose()?;
        let said = |field: &str| !flight.guessed.iter().any(|guessed| guessed == field);
        let given = Given {
            aircraft_id: self
                .aircraft
                .get(&flight.aircraft)
                .filter(|_| said("aircraft"))
                .cloned(),
            student_id: student
                .filter(|_| said("student"))
                .map(|student| student.id.clone()),
            instructor_id: Some(instructor.id.clone()),
        };
        let imported = self
            .school
            .import(
                instructor,
                &flight.file,
                file.data.to_vec().into(),
                Via::Command,
                &given,
            )
            .await
            .map_err(|error| refused(&error))?;
        let lesson = imported
            .lessons
            .first()
            .ok_or_else(|| Failure::Output(format!("{} holds no flight", flight.file)))?;
        let setting = Act::Setting(Setting {
            standard: Some(flight.standard.clone()),
            terrain_ft: Some(Some(flight.terrain_ft)),
            title: Some(flight.title.clone()),
            demonstration: flight.demonstration.then_some(true),
            ..Setting::default()
        });
        let mut view = self.act(instructor, &lesson.id, setting).await?;
        if let Some(briefed) = &flight.briefed {
            let briefed = briefed.clone();
            view = self
                .act(instructor, &lesson.id, Act::Briefed { briefed })
                .await?;
        }
        self.words(instructor, flight, view).await?;
        self.sign(instructor, student, flight, &lesson.id).await
    }

    async fn act(&self, by: &Actor, lesson: &str, act: Act) -> Result<LessonView, Failure> {
        self.school
            .act(by, lesson, None, act)
            .await
            .map_err(|error| refused(&error))
    }

    /// The instructor's marks, notes and summary.
    async fn words(
        &self,
        by: &Actor,
        flight: &FlightEntry,
        view: LessonView,
    ) -> Result<(), Failure> {
        let id = &view.lesson.id;
        for mark in &flight.marks {
            let there =
                view.debrief.maneuvers.iter().find(|maneuver| {
                    maneuver.number == mark.maneuver && maneuver.kind == mark.kind
                });
            // A later program may number the maneuvers otherwise; a demo does not fail over that.
            let Some(maneuver) = there else {
                continue;
            };
            let act = Act::Mark {
                maneuver: ManeuverRef {
                    kind: mark.kind.clone(),
                    start_s: maneuver.start_s,
                    end_s: maneuver.end_s,
                },
                element: mark.element.clone(),
                criterion: mark.criterion.clone(),
                verdict: mark.verdict,
                reason: mark.reason.clone(),
            };
            self.act(by, id, act).await?;
        }
        for note in &flight.notes {
            let act = Act::Note {
                id: school::new_id(),
                at_s: note.at_s,
                text: note.text.clone(),
            };
            self.act(by, id, act).await?;
        }
        if let Some(summary) = &flight.summary {
            let act = Act::Summary {
                text: summary.text.clone(),
                next: summary.next.clone(),
            };
            self.act(by, id, act).await?;
        }
        Ok(())
    }

    async fn sign(
        &self,
        by: &Actor,
        student: Option<&Actor>,
        flight: &FlightEntry,
        lesson: &str,
    ) -> Result<(), Failure> {
        if flight.state == "open" {
            return Ok(());
        }
        let view = self
            .school
            .view(by, lesson)
            .await
            .map_err(|error| refused(&error))?;
        let signed = self
            .school
            .sign(by, lesson, view.entry_seq, Some(&view.inputs_sha256))
            .await
            .map_err(|error| refused(&error))?;
        let Some(student) = student else {
            return Ok(());
        };
        if let Some(reply) = &flight.reply {
            let text = reply.text.clone();
            self.act(student, lesson, Act::Reply { text }).await?;
        }
        if flight.state == "acknowledged" {
            let act = Act::Acknowledge {
                version: signed.version,
                sha256: signed.sha256,
            };
            self.act(student, lesson, act).await?;
        }
        Ok(())
    }
}
