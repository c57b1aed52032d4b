//! The bodies of requests and answers that are not values of the record: what a form sends, what is told once.

use crate::options::DemoLogins;
use school::model::{
    Act, FileProblem, Invite, MapColumn, Person, Role, School as SchoolHead, Token,
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Safety words of the first screen and of every brief and debrief.
pub const CAUTION: &str = "A training aid for use on the ground. The aircraft's approved flight manual, the regulations in \
     force, the published standard and a licensed instructor's judgment come first. Not for use in flight or for navigation.";

/// What anybody may know of this server.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Status {
    /// Nobody has an account yet: the first one is made at `/first-run`.
    pub first_run: bool,
    /// The first account needs the code that was printed where the server was started (it is open to the network).
    pub first_run_code: bool,
    /// The school's name; none before the first account.
    pub school: Option<String>,
    /// Version of the program.
    pub version: String,
    /// Logins of an invented demo school; none in a real one.
    pub demo: Option<DemoLogins>,
    /// Safety words.
    pub caution: String,
}

/// The first account: the chief instructor's.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FirstRun {
    /// Name of the school.
    pub school: String,
    /// Name of the chief instructor.
    pub name: String,
    /// What they will sign in with.
    pub login: String,
    /// Their password.
    pub password: String,
    /// The code printed where the server was started, when `Status.first_run_code` asks for it.
    pub code: Option<String>,
}

/// Signing in.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignIn {
    /// Login.
    pub login: String,
    /// Password.
    pub password: String,
}

/// Who is signed in and what they may do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Me {
    /// The person.
    pub person: Person,
    /// The school.
    pub school: SchoolHead,
    /// What their role allows.
    pub permissions: Permissions,
}

/// What a role allows; the server checks each request again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Permissions {
    /// Sees every lesson of the school, not only their own.
    pub read_all: bool,
    /// Brings recordings in.
    pub bring_in: bool,
    /// Gives the instructor's word and signs.
    pub judge: bool,
    /// Invites people, changes roles, resets passwords.
    pub manage_people: bool,
    /// Changes aircraft files.
    pub manage_aircraft: bool,
    /// Changes standards and the school's own settings, starts re-marking, sets lessons aside.
    pub manage_standards: bool,
    /// Reads the audit trail.
    pub read_audit: bool,
}

impl Permissions {
    /// What a role allows.
    #[must_use]
    pub const fn of(role: Role) -> Permissions {
        let chief = matches!(role, Role::Chief);
        Permissions {
            read_all: role.reads_all(),
            bring_in: role.teaches(),
            judge: role.teaches(),
            manage_people: chief,
            manage_aircraft: chief,
            manage_standards: chief,
            read_audit: matches!(role, Role::Chief | Role::Auditor),
        }
    }
}

/// A new password.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PasswordChange {
    /// The password until now.
    pub old: String,
    /// The new one.
    pub new: String,
}

/// What a link is for, as the one who holds it sees it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct InviteView {
    /// `join` or `reset`.
    pub purpose: String,
    /// School.
    pub school: String,
    /// Role they will have, or have.
    pub role: Role,
    /// Name as the inviter wrote it.
    pub name: String,
    /// Until when the link works.
    pub expires_utc: String,
}

/// Using a link.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InviteUse {
    /// Login, when joining.
    pub login: Option<String>,
    /// Name, when joining; absent = as the inviter wrote it.
    pub name: Option<String>,
    /// The password they choose.
    pub password: String,
}

/// A new invite.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewInvite {
    /// Role.
    pub role: Role,
    /// Name.
    pub name: String,
}

/// An invite with its link, told once.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct InviteMade {
    /// The invite.
    pub invite: Invite,
    /// Path of the link, from `/`.
    pub link_path: String,
}

/// A change of a person; what is absent stays.
#[derive(Clone, Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PersonChange {
    /// Name.
    pub name: Option<String>,
    /// Role.
    pub role: Option<Role>,
    /// May sign in.
    pub active: Option<bool>,
}

/// A link to choose a new password, told once.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct ResetLink {
    /// Path of the link, from `/`.
    pub link_path: String,
    /// Until when it works.
    pub expires_utc: String,
}

/// A new personal access token.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewToken {
    /// What it is for.
    pub label: String,
    /// How many days it works, 1 to 366.
    pub days: u32,
}

/// A token with its secret, told once.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct TokenMade {
    /// The secret: `pw_` and 43 letters and digits.
    pub secret: String,
    /// The token.
    pub token: Token,
}

/// An aircraft file as a person wrote it.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AircraftText {
    /// The school's name for the aircraft.
    pub name: String,
    /// The file (docs/aircraft-file.md).
    pub toml: String,
}

/// What a check of an aircraft file found, when it can be used.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct AircraftChecked {
    /// What the file lacks or what looks odd, in words.
    pub notices: Vec<String>,
}

/// A change of an aircraft; what is absent stays.
#[derive(Clone, Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AircraftChange {
    /// The school's name for it.
    pub name: Option<String>,
    /// The file (docs/aircraft-file.md).
    pub toml: Option<String>,
    /// In use.
    pub active: Option<bool>,
}

/// A school's own standard as a person wrote it.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StandardText {
    /// The pack (docs/standards.md).
    pub toml: String,
}

/// A change of the school's settings; what is absent stays.
#[derive(Clone, Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SchoolChange {
    /// Name.
    pub name: Option<String>,
    /// Standard for a lesson that names none (pack id).
    pub standard: Option<String>,
    /// Elevation below the practice area, ft above sea level; `null` takes it away.
    #[serde(default, deserialize_with = "given")]
    #[schema(value_type = Option<f64>)]
    pub terrain_ft: Option<Option<f64>>,
}

/// Tells `null` from absent.
fn given<'de, D: serde::Deserializer<'de>>(value: D) -> Result<Option<Option<f64>>, D::Error> {
    Option::<f64>::deserialize(value).map(Some)
}

/// How the columns of a recording are to be read; kept for every file with the same header.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MapText {
    /// Name of the map.
    pub name: String,
    /// Columns.
    pub entries: Vec<MapColumn>,
}

/// One act on a lesson.
#[derive(Clone, Debug, Deserialize, ToSchema)]
pub struct NewEntry {
    /// What the person does.
    pub act: Act,
    /// `LessonView.entry_seq` as the person saw it; then 409 when somebody wrote meanwhile. Absent = whatever it is.
    pub expected_entry_seq: Option<i64>,
}

/// Signing a lesson's debrief.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Sign {
    /// `LessonView.entry_seq` as the signer saw it: nobody signs what they have not seen.
    pub expected_entry_seq: i64,
    /// `LessonView.inputs_sha256` as the signer saw it; then 409 when what the lesson is marked by was changed since
    /// (aircraft file, standard, map, elevation, program). Absent = whatever it is.
    pub expected_inputs_sha256: Option<String>,
    /// The signer's password, once more.
    pub password: String,
}

/// Why a lesson is set aside.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SetAside {
    /// Why it is no lesson.
    pub reason: String,
}

/// What went wrong.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Problem {
    /// Stable word for machines.
    pub code: String,
    /// What, for people.
    pub message: String,
    /// How to mend it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
    /// The field that is meant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// Errors in a file that a person wrote, by line and column.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<FileProblem>,
    /// Where the log says more of a failure inside the program.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log_id: Option<String>,
}
