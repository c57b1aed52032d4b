//! A school with a signed lesson, served without a network.

#![allow(dead_code)] // Each test program uses its own share of this.

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Request, StatusCode};
use http_body_util::BodyExt;
use school::import::{Given, Via};
use school::model::{Person, Role, Setting};
use school::people::NewPerson;
use school::{Actor, Config, School};
use serde_json::Value;
use server::Options;
use server::app::App;
use std::io::Read;
use std::net::SocketAddr;
use tempfile::TempDir;
use tower::ServiceExt;

/// A password that is taken.
pub const PASSWORD: &str = "seven gray geese over water";
/// One lesson of stalls in the invented trainer.
pub const LESSON: &[u8] = include_bytes!("../../../../data/demo/lesson.csv.gz");
/// The aircraft file of the invented type.
pub const PELLWICK: &str = include_str!("../../../../data/aircraft/demo.toml");
/// The host that requests name unless told.
pub const HOST: &str = "127.0.0.1:8440";

/// A school, served.
pub struct Served {
    /// The record.
    pub school: School,
    /// The service.
    pub router: Router,
    _folder: TempDir,
}

/// An answer.
#[derive(Debug)]
pub struct Answer {
    /// Status.
    pub status: StatusCode,
    /// Headers.
    pub headers: HeaderMap,
    /// Body.
    pub bytes: Vec<u8>,
}

impl Answer {
    /// The body as JSON; null when it is none.
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.bytes).unwrap_or_default()
    }

    /// The error's code; empty when it is none.
    pub fn code(&self) -> String {
        self.json()["code"].as_str().unwrap_or_default().to_owned()
    }

    /// `name=value` of each cookie that is set.
    pub fn cookies(&self) -> Vec<String> {
        let lines = self
            .headers
            .get_all("set-cookie")
            .iter()
            .filter_map(|line| line.to_str().ok());
        lines
            .filter_map(|line| line.split(';').next())
            .map(str::to_owned)
            .collect()
    }
}

/// A request being put together.
pub struct Ask {
    method: String,
    path: String,
    headers: Vec<(String, String)>,
    body: Vec<u8>,
    from: [u8; 4],
    host: String,
    plain: bool,
}

/// A request.
pub fn ask(method: &str, path: &str) -> Ask {
    Ask {
        method: method.to_owned(),
        path: path.to_owned(),
        headers: Vec::new(),
        body: Vec::new(),
        from: [127, 0, 0, 1],
        host: HOST.to_owned(),
        plain: false,
    }
}

impl Ask {
    /// With a header.
    pub fn header(mut self, name: &str, value: &str) -> Ask {
        self.headers.push((name.to_owned(), value.to_owned()));
        self
    }

    /// With a JSON body.
    pub fn json(self, body: &Value) -> Ask {
        let mut ask = self.header("content-type", "application/json");
        ask.body = serde_json::to_vec(body).unwrap();
        ask
    }

    /// With these bytes.
    pub fn bytes(mut self, body: &[u8]) -> Ask {
        self.body = body.to_vec();
        self
    }

    /// With a session.
    pub fn session(self, secret: &str) -> Ask {
        self.header("cookie", &format!("proofwing_session={secret}"))
    }

    /// With a token.
    pub fn token(self, secret: &str) -> Ask {
        self.header("authorization", &format!("Bearer {secret}"))
    }

    /// From another address.
    pub fn from(mut self, address: [u8; 4]) -> Ask {
        self.from = address;
        self
    }

    /// To another host.
    pub fn host(mut self, host: &str) -> Ask {
        host.clone_into(&mut self.host);
        self
    }

    /// Without the header of our own pages.
    pub fn plain(mut self) -> Ask {
        self.plain = true;
        self
    }

    /// Sends it.
    pub async fn of(self, router: &Router) -> Answer {
        let mut request = Request::builder()
            .method(self.method.as_str())
            .uri(&self.path)
            .header("host", &self.host);
        if !self.plain {
            request = request.header("x-proofwing-request", "1");
        }
        for (name, value) in &self.headers {
            request = request.header(name, value);
        }
        let mut request = request.body(Body::from(self.body)).unwrap();
        request
            .extensions_mut()
            .insert(ConnectInfo(SocketAddr::from((self.from, 40_000))));
        let response = router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.unwrap().to_bytes().to_vec();
        Answer {
            status: parts.status,
            headers: parts.headers,
            bytes,
        }
    }
}

/// A school without anybody.
pub async fn empty() -> Served {
    let folder = tempfile::tempdir().unwrap();
    let school = School::open(Config::folder(folder.path().join("data")))
        .await
        .unwrap();
    let app = App::new(school.clone(), &Options::default()).unwrap();
    Served {
        school,
        router: server::router(app),
        _folder: folder,
    }
}

/// Everybody, and one signed lesson.
pub struct Cast {
    /// Served.
    pub served: Served,
    /// Chief instructor.
    pub chief: Person,
    /// Instructor.
    pub instructor: Person,
    /// The lesson's student.
    pub student: Person,
    /// Another student.
    pub other: Person,
    /// Auditor.
    pub auditor: Person,
    /// The lesson.
    pub lesson: String,
    /// Its recording.
    pub recording: String,
    /// The aircraft.
    pub aircraft: String,
}

impl Cast {
    /// The service.
    pub fn router(&self) -> &Router {
        &self.served.router
    }

    /// A new session of a person.
    pub async fn session(&self, person: &Person) -> String {
        self.served
            .school
            .start_session(&person.id, "a test")
            .await
            .unwrap()
    }

    /// A new token of a person.
    pub async fn token(&self, person: &Person) -> String {
        self.served
            .school
            .make_token(&Actor::from(person), "a test", 30)
            .await
            .unwrap()
            .1
    }
}

/// A school with everybody.
pub async fn people(served: &Served) -> (Person, Person, Person, Person, Person) {
    let school = &served.school;
    let chief = school
        .found("Pellwick School of Flying", "Ada Thorne", "ada", PASSWORD)
        .await
        .unwrap();
    let by = Actor::from(&chief);
    let add = async |login: &str, name: &str, role: Role| {
        let password = Some(PASSWORD.to_owned());
        let new = NewPerson {
            name: name.to_owned(),
            login: login.to_owned(),
            role,
            password,
        };
        school.add_person(&by, &new).await.unwrap()
    };
    let instructor = add("farrow", "Wynn Farrow", Role::Instructor).await;
    let student = add("marlow", "Rosa Marlow", Role::Student).await;
    let other = add("quill", "Teo Quill", Role::Student).await;
    let auditor = add("audit", "Ines Audit", Role::Auditor).await;
    (chief, instructor, student, other, auditor)
}

/// The lesson's first lines as a recording: ten lines a second. What is asked for many times need not be long.
pub fn part(lines: usize) -> Vec<u8> {
    let mut text = String::new();
    flate2::read::GzDecoder::new(LESSON)
        .read_to_string(&mut text)
        .unwrap();
    let head: Vec<&str> = text.lines().take(lines).collect();
    head.join("\n").into_bytes()
}

/// Everybody, and one signed lesson.
pub async fn cast() -> Cast {
    let served = empty().await;
    let (chief, instructor, student, other, auditor) = people(&served).await;
    let school = &served.school;
    let by = Actor::from(&instructor);
    let aircraft = school
        .add_aircraft(&Actor::from(&chief), "Pellwick A", PELLWICK)
        .await
        .unwrap()
        .brief
        .id;
    let given = Given {
        aircraft_id: Some(aircraft.clone()),
        student_id: Some(student.id.clone()),
        instructor_id: Some(instructor.id.clone()),
    };
    let imported = school
        .import(&by, "lesson.csv", part(7500).into(), Via::Page, &given)
        .await
        .unwrap();
    let lesson = imported.lessons[0].id.clone();
    let setting = Setting {
        title: Some("Stalls".to_owned()),
        ..Setting::default()
    };
    let view = school
        .act(&by, &lesson, None, school::model::Act::Setting(setting))
        .await
        .unwrap();
    school
        .sign(&by, &lesson, view.entry_seq, None)
        .await
        .unwrap();
    let recording = imported.recording.brief.sha256;
    Cast {
        served,
        chief,
        instructor,
        student,
        other,
        auditor,
        lesson,
        recording,
        aircraft,
    }
}
