//! People and how they come in.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// What a person may do.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Chief instructor: everything, and people and standards besides.
    Chief,
    /// Instructor: the school's students and lessons.
    Instructor,
    /// Student: their own lessons.
    Student,
    /// Auditor: reads everything, changes nothing.
    Auditor,
}

impl Role {
    /// Every role.
    pub const ALL: [Role; 4] = [Role::Chief, Role::Instructor, Role::Student, Role::Auditor];

    /// Stable id.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Role::Chief => "chief",
            Role::Instructor => "instructor",
            Role::Student => "student",
            Role::Auditor => "auditor",
        }
    }

    /// From the id.
    #[must_use]
    pub fn from_id(id: &str) -> Option<Role> {
        Role::ALL.into_iter().find(|role| role.id() == id)
    }

    /// Chief or instructor: may judge.
    #[must_use]
    pub const fn teaches(self) -> bool {
        matches!(self, Role::Chief | Role::Instructor)
    }

    /// May read every lesson of the school.
    #[must_use]
    pub const fn reads_all(self) -> bool {
        !matches!(self, Role::Student)
    }
}

/// A person of the school.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Person {
    /// Id.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// What they sign in with, lower case.
    pub login: String,
    /// Role.
    pub role: Role,
    /// May sign in.
    pub active: bool,
    /// Since when.
    pub created_utc: String,
    /// Last seen, from the sessions; none = never signed in.
    pub seen_utc: Option<String>,
}

/// A person as other pages name them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct PersonBrief {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Role.
    pub role: Role,
}

/// A link that lets a person in, or lets them choose a new password.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Invite {
    /// Id.
    pub id: String,
    /// `join` or `reset`.
    pub purpose: String,
    /// Role they will have.
    pub role: Role,
    /// Name.
    pub name: String,
    /// Who made it.
    pub made_by: String,
    /// When.
    pub made_utc: String,
    /// Until when it works.
    pub expires_utc: String,
    /// When it was used.
    pub used_utc: Option<String>,
}

/// A personal access token, without its secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Token {
    /// Id.
    pub id: String,
    /// What it is for, in the owner's words.
    pub label: String,
    /// When it was made.
    pub created_utc: String,
    /// Until when it works.
    pub expires_utc: String,
    /// Last use.
    pub used_utc: Option<String>,
}

/// A place where a person is signed in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Session {
    /// Browser and system in words, as far as told.
    pub device: String,
    /// Signed in when.
    pub created_utc: String,
    /// Last seen.
    pub seen_utc: String,
    /// The session that asks.
    pub this: bool,
}

/// The school.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct School {
    /// Name.
    pub name: String,
    /// Standard for a lesson that names none.
    pub standard: String,
    /// Elevation below the practice area, ft above sea level, where the lesson names none.
    pub terrain_ft: Option<f64>,
    /// Since when.
    pub created_utc: String,
}
