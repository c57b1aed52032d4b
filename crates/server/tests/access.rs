//! Every route of the description, as every role, as nobody, with session and with token.

mod support;

use school::Actor;
use school::model::{Act, Person, Role, Setting};
use serde_json::json;
use support::{Answer, Ask, Cast, ask, cast};

/// The table of `docs/contract.md`, typed from there and not from the code: `*` anyone; C chief, I instructor,
/// A auditor, S any student; o the lesson's student; d the same, or any student when it is a demonstration; m the
/// student themselves; t also with a token.
const CONTRACT: &[(&str, &str, &str)] = &[
    ("GET", "/status", "*"),
    ("GET", "/openapi.json", "*"),
    ("POST", "/first-run", "*"),
    ("POST", "/session", "*"),
    ("GET", "/invites/{token}", "*"),
    ("POST", "/invites/{token}", "*"),
    ("DELETE", "/session", "CIAS"),
    ("DELETE", "/sessions", "CIAS"),
    ("GET", "/sessions", "CIAS"),
    ("GET", "/me", "CIASt"),
    ("POST", "/me/password", "CIAS"),
    ("GET", "/invites", "C"),
    ("POST", "/invites", "C"),
    ("DELETE", "/invites/{token}", "C"),
    ("GET", "/people", "CIAt"),
    ("PATCH", "/people/{id}", "C"),
    ("POST", "/people/{id}/reset", "C"),
    ("DELETE", "/people/{id}/sessions", "C"),
    ("GET", "/tokens", "CIAS"),
    ("POST", "/tokens", "CIAS"),
    ("DELETE", "/tokens/{id}", "CIAS"),
    ("GET", "/aircraft", "CIAt"),
    ("GET", "/aircraft/{id}", "CIAt"),
    ("POST", "/aircraft", "Ct"),
    ("PUT", "/aircraft/{id}", "Ct"),
    ("POST", "/aircraft/check", "Ct"),
    ("GET", "/standards", "CIASt"),
    ("GET", "/standards/{id}", "CIASt"),
    ("PUT", "/standards/{id}", "Ct"),
    ("DELETE", "/standards/{id}", "Ct"),
    ("PATCH", "/school", "Ct"),
    ("POST", "/recordings", "CIt"),
    ("GET", "/recordings", "CIAt"),
    ("GET", "/recordings/refused", "CIAt"),
    ("GET", "/recordings/{sha256}", "CIAt"),
    ("GET", "/recordings/{sha256}/original", "CIAt"),
    ("PUT", "/recordings/{sha256}/map", "CIt"),
    ("GET", "/lessons", "CIASt"),
    ("GET", "/lessons/{id}", "CIAdt"),
    ("GET", "/lessons/{id}/series", "CIAdt"),
    ("GET", "/lessons/{id}/maneuvers/{number}/picture", "CIAdt"),
    ("POST", "/lessons/{id}/maneuvers/{number}/what-if", "CIAdt"),
    ("POST", "/lessons/{id}/entries", "CIot"),
    ("GET", "/lessons/{id}/entries", "CIAot"),
    ("POST", "/lessons/{id}/sign", "CI"),
    ("GET", "/lessons/{id}/signed", "CIAot"),
    ("GET", "/lessons/{id}/signed/{version}", "CIAot"),
    ("GET", "/lessons/{id}/signed/{version}/difference", "CIAot"),
    ("POST", "/lessons/{id}/set-aside", "Ct"),
    ("POST", "/lessons/{id}/take-back", "Ct"),
    ("GET", "/lessons/{id}/sheets.pdf", "CIAot"),
    ("GET", "/lessons/{id}/lesson.pdf", "CIAot"),
    ("GET", "/lessons/{id}/brief-card.pdf", "CIAot"),
    ("GET", "/lessons/{id}/brief-card.html", "CIAot"),
    ("GET", "/lessons/{id}/debrief.html", "CIAot"),
    ("GET", "/lessons/{id}/debrief.json", "CIAot"),
    ("GET", "/lessons/{id}/path.kml", "CIAot"),
    ("GET", "/lessons/{id}/path.gpx", "CIAot"),
    ("GET", "/lessons/{id}/flight.csv", "CIAot"),
    ("GET", "/lessons/{id}/flight.parquet", "CIAot"),
    ("GET", "/people/{id}/record.zip", "CIAmt"),
    ("GET", "/maneuvers", "CIASt"),
    ("GET", "/audit", "CAt"),
    ("GET", "/audit/verify", "CAt"),
    ("GET", "/jobs", "CIAt"),
    ("POST", "/remark", "Ct"),
];

/// Every method and path of the description.
fn described() -> Vec<(String, String)> {
    let api = server::openapi::description();
    let mut all = Vec::new();
    for (path, item) in api["paths"].as_object().unwrap() {
        for method in ["get", "post", "put", "patch", "delete"] {
            if item.get(method).is_some() {
                all.push((method.to_uppercase(), path.clone()));
            }
        }
    }
    all
}

fn who(method: &str, path: &str) -> &'static str {
    CONTRACT
        .iter()
        .find(|row| row.0 == method && row.1 == path)
        .unwrap_or_else(|| panic!("{method} {path} is described but stands in no table"))
        .2
}

/// The path with what the cast has.
fn filled(cast: &Cast, path: &str) -> String {
    let id = if path.starts_with("/lessons") {
        &cast.lesson
    } else if path.starts_with("/aircraft") {
        &cast.aircraft
    } else if path.starts_with("/standards") {
        "faa-private"
    } else {
        &cast.student.id
    };
    let path = path
        .replace("{id}", id)
        .replace("{sha256}", &cast.recording);
    format!(
        "/api/v1{}",
        path.replace("{version}", "1")
            .replace("{number}", "1")
            .replace("{token}", "no-such-secret")
    )
}

fn request(cast: &Cast, method: &str, path: &str) -> Ask {
    match (method, path) {
        ("GET" | "DELETE", _) => ask(method, &filled(cast, path)),
        ("POST", "/recordings") => {
            ask(method, "/api/v1/recordings?name=nothing.csv").bytes(b"no table")
        }
        _ => ask(method, &filled(cast, path)).json(&json!({})),
    }
}

/// Whether the gate turned it away. A handler's own answers (a form that lacks a field, a wrong password) count as
/// let in; to a student, 404 of a lesson or a person means turned away.
fn turned_away(path: &str, person: Option<&Person>, answer: &Answer) -> bool {
    let student = person.is_some_and(|person| person.role == Role::Student);
    match answer.status.as_u16() {
        401 | 403 => ["signed_out", "forbidden", "not_with_token", "bad_token"]
            .contains(&answer.code().as_str()),
        404 => student && (path.starts_with("/lessons/{id}") || path == "/people/{id}/record.zip"),
        405 => true,
        _ => false,
    }
}

fn may(who: &str, cast: &Cast, person: &Person, token: bool, demonstration: bool) -> bool {
    if who == "*" {
        return true;
    }
    let letter = match person.role {
        Role::Chief => who.contains('C'),
        Role::Instructor => who.contains('I'),
        Role::Auditor => who.contains('A'),
        Role::Student if person.id == cast.student.id => who.contains(['S', 'o', 'd', 'm']),
        Role::Student => who.contains('S') || (demonstration && who.contains('d')),
    };
    letter && (!token || who.contains('t'))
}

#[tokio::test(flavor = "multi_thread")]
async fn val_every_route_as_everybody_does_as_the_contract_says() {
    let cast = cast().await;
    let routes = described();
    assert_eq!(
        routes.len(),
        CONTRACT.len(),
        "the table of this test and the description differ in length"
    );
    let mut asked = 0;
    for (method, path) in &routes {
        let who = who(method, path);
        let nobody = request(&cast, method, path).of(cast.router()).await;
        assert_eq!(
            turned_away(path, None, &nobody),
            who != "*",
            "{method} {path} as nobody: {nobody:?}"
        );
        if who != "*" {
            assert_eq!(nobody.status, 401, "{method} {path} as nobody");
        }
        for person in [
            &cast.chief,
            &cast.instructor,
            &cast.auditor,
            &cast.student,
            &cast.other,
        ] {
            for token in [false, true] {
                let ask = request(&cast, method, path);
                let ask = match token {
                    true => ask.token(&cast.token(person).await),
                    false => ask.session(&cast.session(person).await),
                };
                let answer = ask.of(cast.router()).await;
                let expected = may(who, &cast, person, token, false);
                assert_eq!(
                    !turned_away(path, Some(person), &answer),
                    expected,
                    "{method} {path} as {} (token: {token}): {} {}",
                    person.name,
                    answer.status,
                    String::from_utf8_lossy(
                        &answer.bytes.iter().copied().take(300).collect::<Vec<u8>>()
                    ),
                );
                assert_ne!(answer.status, 500, "{method} {path} as {}", person.name);
                if expected && method == "GET" && !path.contains("{token}") {
                    assert_eq!(
                        answer.status,
                        200,
                        "{method} {path} as {}: {}",
                        person.name,
                        answer.code()
                    );
                }
                asked += 1;
            }
        }
        // A token is made for each of them; they must not run out.
        for person in [
            &cast.chief,
            &cast.instructor,
            &cast.auditor,
            &cast.student,
            &cast.other,
        ] {
            for token in cast.served.school.tokens(&person.id).await.unwrap() {
                cast.served
                    .school
                    .revoke_token(&Actor::from(person), &token.id)
                    .await
                    .unwrap();
            }
        }
    }
    assert_eq!(asked, routes.len() * 10);
}

#[tokio::test(flavor = "multi_thread")]
async fn val_a_demonstration_is_seen_by_every_student_but_not_what_was_said() {
    let cast = cast().await;
    let session = cast.session(&cast.other).await;
    let lists = [
        "/lessons",
        "/lessons?demonstration=true",
        "/maneuvers",
        "/maneuvers?kind=power_off_stall",
    ];
    let count = async |path: &str| {
        let answer = ask("GET", &format!("/api/v1{path}"))
            .session(&session)
            .of(cast.router())
            .await;
        assert_eq!(answer.status, 200, "{path}");
        answer.json().as_array().unwrap().len()
    };
    for path in lists {
        assert_eq!(count(path).await, 0, "{path}");
    }
    let setting = Setting {
        demonstration: Some(true),
        ..Setting::default()
    };
    cast.served
        .school
        .act(
            &Actor::from(&cast.instructor),
            &cast.lesson,
            None,
            Act::Setting(setting),
        )
        .await
        .unwrap();
    for path in lists {
        assert!(count(path).await > 0, "{path}");
    }
    assert_eq!(count("/lessons?demonstration=false").await, 0);
    for (method, path) in described()
        .iter()
        .filter(|(_, path)| path.starts_with("/lessons/{id}"))
    {
        let session = cast.session(&cast.other).await;
        let answer = request(&cast, method, path)
            .session(&session)
            .of(cast.router())
            .await;
        let expected = may(who(method, path), &cast, &cast.other, false, true);
        assert_eq!(
            !turned_away(path, Some(&cast.other), &answer),
            expected,
            "{method} {path}: {}",
            answer.status
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_nothing_changes_without_our_own_page() {
    let cast = cast().await;
    for (method, path) in described().iter().filter(|(method, _)| method != "GET") {
        let session = cast.session(&cast.chief).await;
        let bare = request(&cast, method, path)
            .plain()
            .session(&session)
            .of(cast.router())
            .await;
        assert_eq!(
            (bare.status.as_u16(), bare.code().as_str()),
            (403, "no_request_header"),
            "{method} {path}"
        );
        for (name, value) in [
            ("origin", "https://elsewhere.example"),
            ("origin", "null"),
            ("origin", "http://127.0.0.1:9999"),
            ("sec-fetch-site", "cross-site"),
            ("sec-fetch-site", "same-site"),
        ] {
            let ask = request(&cast, method, path)
                .session(&session)
                .header(name, value);
            let answer = ask.of(cast.router()).await;
            assert_eq!(
                (answer.status.as_u16(), answer.code().as_str()),
                (403, "foreign_origin"),
                "{method} {path} with {name}: {value}"
            );
        }
    }
    let session = cast.session(&cast.chief).await;
    let own = ask("PATCH", "/api/v1/school")
        .json(&json!({}))
        .session(&session);
    let own = own
        .header("origin", "http://127.0.0.1:8440")
        .header("sec-fetch-site", "same-origin");
    assert_eq!(own.of(cast.router()).await.status, 200);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_over_sessions_and_people_who_left_get_nothing() {
    let cast = cast().await;
    let school = &cast.served.school;
    let (session, token) = (
        cast.session(&cast.student).await,
        cast.token(&cast.student).await,
    );
    let lesson = format!("/api/v1/lessons/{}", cast.lesson);
    assert_eq!(
        ask("GET", &lesson)
            .session(&session)
            .of(cast.router())
            .await
            .status,
        200
    );
    assert_eq!(
        ask("GET", &lesson)
            .token(&token)
            .of(cast.router())
            .await
            .status,
        200
    );
    school.clock().shift(school::sessions::IDLE_S + 1);
    assert_eq!(
        ask("GET", &lesson)
            .session(&session)
            .of(cast.router())
            .await
            .code(),
        "signed_out"
    );
    let session = cast.session(&cast.student).await;
    let left = school::people::PersonChange {
        active: Some(false),
        ..Default::default()
    };
    school
        .change_person(&Actor::from(&cast.chief), &cast.student.id, &left)
        .await
        .unwrap();
    assert_eq!(
        ask("GET", &lesson)
            .session(&session)
            .of(cast.router())
            .await
            .status,
        401
    );
    assert_eq!(
        ask("GET", &lesson)
            .token(&token)
            .of(cast.router())
            .await
            .code(),
        "bad_token"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_what_is_not_ones_own_reads_as_what_is_not_there() {
    let cast = cast().await;
    let session = cast.session(&cast.other).await;
    for tail in [
        "",
        "/series",
        "/entries",
        "/signed",
        "/signed/1",
        "/sheets.pdf",
        "/brief-card.html",
        "/path.kml",
        "/flight.csv",
    ] {
        let theirs =
            ask("GET", &format!("/api/v1/lessons/{}{tail}", cast.lesson)).session(&session);
        let none = ask(
            "GET",
            &format!("/api/v1/lessons/{}{tail}", school::new_id()),
        )
        .session(&session);
        let (theirs, none) = (theirs.of(cast.router()).await, none.of(cast.router()).await);
        assert_eq!(theirs.status, 404, "{tail}");
        assert_eq!(
            (theirs.status, theirs.bytes),
            (none.status, none.bytes),
            "{tail}"
        );
    }
}
