//! Who may do what: one table of every route. The gate (`gate.rs`) enforces it and a test walks all of it.

use axum::http::Method;
use school::model::Role;

/// What a student may do with a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ForStudent {
    /// Not at all.
    No,
    /// As everybody else; the answer itself holds only what is theirs.
    Yes,
    /// When the lesson in the path is theirs.
    OwnLesson,
    /// When the lesson in the path is theirs, or an instructor's demonstration.
    OwnLessonOrDemonstration,
    /// When the person in the path is themselves.
    Self_,
}

/// One route and who may use it.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Method.
    pub method: &'static str,
    /// Path below `/api/v1`, with `{names}` for its variable parts.
    pub path: &'static str,
    /// Without signing in.
    pub anyone: bool,
    /// Chief instructor.
    pub chief: bool,
    /// Instructor.
    pub instructor: bool,
    /// Student.
    pub student: ForStudent,
    /// Auditor.
    pub auditor: bool,
    /// With a personal access token (the role still counts).
    pub token: bool,
    /// How much work it is.
    pub load: Load,
}

/// How much a request takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// Some reads of the database.
    Light,
    /// Fills a core for a while: reconstructing, drawing, packing.
    Heavy,
    /// Heavy, and its body is a whole recording.
    Recording,
}

impl Rule {
    /// What the rule says for a person of a role; for a student the path may have to be theirs.
    #[must_use]
    pub const fn allows(&self, role: Role) -> ForStudent {
        let yes = match role {
            Role::Chief => self.chief,
            Role::Instructor => self.instructor,
            Role::Auditor => self.auditor,
            Role::Student => return self.student,
        };
        if yes { ForStudent::Yes } else { ForStudent::No }
    }

    /// The rule in words, for the description.
    #[must_use]
    pub fn in_words(&self) -> String {
        if self.anyone {
            return "Anyone.".to_owned();
        }
        let mut who = Vec::new();
        let student = match self.student {
            ForStudent::No => None,
            ForStudent::Yes => Some("student"),
            ForStudent::OwnLesson => Some("the lesson's student"),
            ForStudent::OwnLessonOrDemonstration => {
                Some("the lesson's student (a demonstration: every student)")
            }
            ForStudent::Self_ => Some("the student themselves"),
        };
        let named = [
            (self.chief, "chief instructor"),
            (self.instructor, "instructor"),
            (self.auditor, "auditor"),
        ];
        who.extend(
            named
                .into_iter()
                .filter(|(may, _)| *may)
                .map(|(_, name)| name),
        );
        who.extend(student);
        let token = if self.token {
            "also with a token"
        } else {
            "not with a token"
        };
        format!("{}; {token}.", who.join(", "))
    }
}

const fn rule(method: &'static str, path: &'static str) -> Rule {
    Rule {
        method,
        path,
        anyone: false,
        chief: false,
        instructor: false,
        student: ForStudent::No,
        auditor: false,
        token: true,
        load: Load::Light,
    }
}

impl Rule {
    const fn anyone(self) -> Rule {
        Rule {
            anyone: true,
            token: false,
            ..self
        }
        .signed_in()
    }
    const fn chief(self) -> Rule {
        Rule {
            chief: true,
            ..self
        }
    }
    const fn teachers(self) -> Rule {
        Rule {
            chief: true,
            instructor: true,
            ..self
        }
    }
    const fn staff(self) -> Rule {
        Rule {
            chief: true,
            instructor: true,
            auditor: true,
            ..self
        }
    }
    const fn signed_in(self) -> Rule {
        Rule {
            student: ForStudent::Yes,
            ..self.staff()
        }
    }
    const fn auditor(self) -> Rule {
        Rule {
            auditor: true,
            ..self
        }
    }
    const fn student(self, student: ForStudent) -> Rule {
        Rule { student, ..self }
    }
    const fn no_token(self) -> Rule {
        Rule {
            token: false,
            ..self
        }
    }
    const fn load(self, load: Load) -> Rule {
        Rule { load, ..self }
    }
}

use ForStudent::{OwnLesson, OwnLessonOrDemonstration, Self_};
use Load::{Heavy, Recording};

/// Every route. A route that is not here answers nobody.
pub const TABLE: &[Rule] = &[
    rule("GET", "/status").anyone(),
    rule("GET", "/openapi.json").anyone(),
    rule("POST", "/first-run").anyone(),
    rule("POST", "/session").anyone(),
    rule("GET", "/invites/{token}").anyone(),
    rule("POST", "/invites/{token}").anyone(),
    // One's own account. A token is for scripts: it can neither make more of itself nor change what signs in.
    rule("GET", "/me").signed_in(),
    rule("POST", "/me/password").signed_in().no_token(),
    rule("DELETE", "/session").signed_in().no_token(),
    rule("GET", "/sessions").signed_in().no_token(),
    rule("DELETE", "/sessions").signed_in().no_token(),
    rule("GET", "/tokens").signed_in().no_token(),
    rule("POST", "/tokens").signed_in().no_token(),
    rule("DELETE", "/tokens/{id}").signed_in().no_token(),
    // People. Links let somebody in, so no token may make one.
    rule("GET", "/people").staff(),
    rule("PATCH", "/people/{id}").chief().no_token(),
    rule("POST", "/people/{id}/reset").chief().no_token(),
    rule("DELETE", "/people/{id}/sessions").chief().no_token(),
    rule("GET", "/people/{id}/record.zip")
        .staff()
        .student(Self_)
        .load(Heavy),
    rule("GET", "/invites").chief().no_token(),
    rule("POST", "/invites").chief().no_token(),
    rule("DELETE", "/invites/{token}").chief().no_token(),
    // The school's own data.
    rule("PATCH", "/school").chief(),
    rule("GET", "/aircraft").staff(),
    rule("POST", "/aircraft").chief(),
    rule("POST", "/aircraft/check").chief(),
    rule("GET", "/aircraft/{id}").staff(),
    rule("PUT", "/aircraft/{id}").chief(),
    rule("GET", "/standards").signed_in(),
    rule("GET", "/standards/{id}").signed_in(),
    rule("PUT", "/standards/{id}").chief(),
    rule("DELETE", "/standards/{id}").chief(),
    // Recordings.
    rule("GET", "/recordings").staff(),
    rule("POST", "/recordings").teachers().load(Recording),
    rule("GET", "/recordings/refused").staff(),
    rule("GET", "/recordings/{sha256}").staff(),
    rule("GET", "/recordings/{sha256}/original").staff(),
    rule("PUT", "/recordings/{sha256}/map")
        .teachers()
        .load(Heavy),
    // Lessons.
    rule("GET", "/lessons").signed_in(),
    rule("GET", "/lessons/{id}")
        .staff()
        .student(OwnLessonOrDemonstration),
    rule("GET", "/lessons/{id}/series")
        .staff()
        .student(OwnLessonOrDemonstration),
    rule("GET", "/lessons/{id}/maneuvers/{number}/picture")
        .staff()
        .student(OwnLessonOrDemonstration),
    rule("POST", "/lessons/{id}/maneuvers/{number}/what-if")
        .staff()
        .student(OwnLessonOrDemonstration),
    rule("GET", "/lessons/{id}/entries")
        .staff()
        .student(OwnLesson),
    rule("POST", "/lessons/{id}/entries")
        .teachers()
        .student(OwnLesson)
        .load(Heavy),
    rule("POST", "/lessons/{id}/sign")
        .teachers()
        .no_token()
        .load(Heavy),
    rule("GET", "/lessons/{id}/signed")
        .staff()
        .student(OwnLesson),
    rule("GET", "/lessons/{id}/signed/{version}")
        .staff()
        .student(OwnLesson),
    rule("GET", "/lessons/{id}/signed/{version}/difference")
        .staff()
        .student(OwnLesson),
    rule("POST", "/lessons/{id}/set-aside").chief(),
    rule("POST", "/lessons/{id}/take-back").chief(),
    rule("GET", "/lessons/{id}/sheets.pdf")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/lesson.pdf")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/brief-card.pdf")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/brief-card.html")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/debrief.html")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/debrief.json")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/path.kml")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/path.gpx")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/flight.csv")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/lessons/{id}/flight.parquet")
        .staff()
        .student(OwnLesson)
        .load(Heavy),
    rule("GET", "/maneuvers").signed_in(),
    // The record itself.
    rule("GET", "/audit").chief().auditor(),
    rule("GET", "/audit/verify").chief().auditor().load(Heavy),
    rule("GET", "/jobs").staff(),
    rule("POST", "/remark").chief(),
];

/// The rule of a route; `path` is the matched pattern below `/api/v1`.
#[must_use]
pub fn rule_of(method: &Method, path: &str) -> Option<&'static Rule> {
    // HEAD is GET without the body.
    let method = if method == Method::HEAD {
        "GET"
    } else {
        method.as_str()
    };
    TABLE
        .iter()
        .find(|rule| rule.method == method && rule.path == path)
}

/// Whether a pattern has a rule for any method.
#[must_use]
pub fn known_path(path: &str) -> bool {
    TABLE.iter().any(|rule| rule.path == path)
}
