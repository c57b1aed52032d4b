//! Signing in and out over HTTP: guessing, links that expire, new passwords, sign-out everywhere, headers.

mod support;

use school::Actor;
use serde_json::{Value, json};
use support::{Answer, Ask, PASSWORD, Served, ask, empty, people};

const HOME: [u8; 4] = [198, 51, 100, 4];
const ELSEWHERE: [u8; 4] = [203, 0, 113, 9];

fn sign_in(login: &str, password: &str) -> Ask {
    ask("POST", "/api/v1/session").json(&json!({"login": login, "password": password}))
}

/// The value of a cookie that an answer sets.
fn cookie(answer: &Answer, name: &str) -> String {
    let found = answer.cookies().into_iter().find_map(|line| {
        let (key, value) = line.split_once('=')?;
        (key == name).then(|| value.to_owned())
    });
    found.unwrap_or_else(|| panic!("no {name} in {:?}", answer.headers))
}

async fn me(served: &Served, session: &str) -> u16 {
    ask("GET", "/api/v1/me")
        .session(session)
        .of(&served.router)
        .await
        .status
        .as_u16()
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_guessing_waits_and_locks_nobody_else_out() {
    let served = empty().await;
    people(&served).await;
    let right = sign_in("marlow", PASSWORD)
        .from(HOME)
        .of(&served.router)
        .await;
    assert_eq!(right.status, 200, "{:?}", right.json());
    let device = cookie(&right, "proofwing_device");
    // The lesson's student signed in at home; now somebody elsewhere guesses.
    let (mut wrong, mut wait) = (0, None);
    for _ in 0..12 {
        let answer = sign_in("marlow", "not this one, surely")
            .from(ELSEWHERE)
            .of(&served.router)
            .await;
        match answer.status.as_u16() {
            401 => wrong += 1,
            429 => wait = Some(answer),
            other => panic!("{other}"),
        }
    }
    let wait = wait.expect("nobody was told to wait");
    assert!(wrong < 8, "{wrong} guesses in a row were looked at");
    assert_eq!(wait.code(), "too_often");
    assert!(wait.headers.get("retry-after").is_some());
    // The right password from there has to wait too: else the wait would tell which one is right.
    assert_eq!(
        sign_in("marlow", PASSWORD)
            .from(ELSEWHERE)
            .of(&served.router)
            .await
            .status,
        429
    );
    // From home it works, and from there on a device that signed in before; another login there works too.
    assert_eq!(
        sign_in("marlow", PASSWORD)
            .from(HOME)
            .of(&served.router)
            .await
            .status,
        200
    );
    let known = sign_in("marlow", PASSWORD)
        .from(ELSEWHERE)
        .header("cookie", &format!("proofwing_device={device}"));
    assert_eq!(known.of(&served.router).await.status, 200);
    assert_eq!(
        sign_in("quill", PASSWORD)
            .from(ELSEWHERE)
            .of(&served.router)
            .await
            .status,
        200
    );
    // A mark of another login, or a made-up one, gives no tries of its own.
    for mark in [device.clone(), "AAAA.BBBB".to_owned()] {
        let login = if mark == device { "farrow" } else { "marlow" };
        let mut refused = 0;
        for _ in 0..12 {
            let guess = sign_in(login, "not this one, surely").from(ELSEWHERE);
            let guess = guess.header("cookie", &format!("proofwing_device={mark}"));
            refused += u32::from(guess.of(&served.router).await.status == 429);
        }
        assert!(refused >= 5, "{login}: {refused} of 12");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_header_cannot_claim_another_address() {
    let served = empty().await;
    people(&served).await;
    let mut refused = 0;
    for number in 0..20 {
        let guess = sign_in("marlow", "not this one, surely").from(ELSEWHERE);
        let guess = guess.header("x-forwarded-for", &format!("192.0.2.{number}"));
        let guess = guess.header("forwarded", &format!("for=192.0.2.{number}"));
        refused += u32::from(guess.of(&served.router).await.status == 429);
    }
    assert!(refused >= 12, "{refused} of 20");
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_who_is_not_there_reads_as_a_wrong_password() {
    let served = empty().await;
    people(&served).await;
    let wrong = sign_in("marlow", "not this one, surely")
        .of(&served.router)
        .await;
    let nobody = sign_in("nobody", "not this one, surely")
        .of(&served.router)
        .await;
    assert_eq!((wrong.status, wrong.json()), (nobody.status, nobody.json()));
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_the_session_is_renewed_and_ends_when_told() {
    let served = empty().await;
    people(&served).await;
    let first = cookie(
        &sign_in("marlow", PASSWORD).of(&served.router).await,
        "proofwing_session",
    );
    // Signing in again leaves no session behind, and never takes one that was handed to the browser.
    let again = sign_in("marlow", PASSWORD)
        .session(&first)
        .of(&served.router)
        .await;
    let second = cookie(&again, "proofwing_session");
    assert_ne!(first, second);
    assert_eq!(
        (me(&served, &first).await, me(&served, &second).await),
        (401, 200)
    );
    let line = again.headers.get_all("set-cookie").iter().find_map(|line| {
        let line = line.to_str().ok()?;
        line.starts_with("proofwing_session")
            .then(|| line.to_owned())
    });
    let line = line.unwrap();
    assert!(
        line.contains("; HttpOnly")
            && line.contains("; SameSite=Strict")
            && line.contains("; Path=/"),
        "{line}"
    );
    let out = ask("DELETE", "/api/v1/session")
        .session(&second)
        .of(&served.router)
        .await;
    assert_eq!(out.status, 204);
    assert_eq!(cookie(&out, "proofwing_session"), "");
    assert_eq!(me(&served, &second).await, 401);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_sign_out_everywhere_ends_every_session_and_only_ones_own() {
    let served = empty().await;
    let (chief, _, student, other, _) = people(&served).await;
    let session = async |id: &str| served.school.start_session(id, "a test").await.unwrap();
    let (here, there) = (session(&student.id).await, session(&student.id).await);
    let others = session(&other.id).await;
    let answer = ask("DELETE", "/api/v1/sessions")
        .session(&here)
        .of(&served.router)
        .await;
    assert_eq!(answer.status, 204);
    assert_eq!(
        (me(&served, &here).await, me(&served, &there).await),
        (401, 401)
    );
    assert_eq!(me(&served, &others).await, 200);
    // The chief instructor can do it for another.
    let (again, chiefs) = (session(&student.id).await, session(&chief.id).await);
    let path = format!("/api/v1/people/{}/sessions", student.id);
    assert_eq!(
        ask("DELETE", &path)
            .session(&chiefs)
            .of(&served.router)
            .await
            .status,
        204
    );
    assert_eq!(
        (me(&served, &again).await, me(&served, &chiefs).await),
        (401, 200)
    );
}

/// The secret at the end of a link's path.
fn secret(answer: &Answer) -> String {
    let path = answer.json()["link_path"].as_str().unwrap().to_owned();
    path.strip_prefix("/invite/").unwrap().to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_an_invitation_lets_in_once_and_not_for_ever() {
    let served = empty().await;
    let (chief, ..) = people(&served).await;
    let chiefs = served
        .school
        .start_session(&chief.id, "a test")
        .await
        .unwrap();
    let invite = async || {
        let form = json!({"role": "student", "name": "Ivo Lark"});
        ask("POST", "/api/v1/invites")
            .json(&form)
            .session(&chiefs)
            .of(&served.router)
            .await
    };
    let link = format!("/api/v1/invites/{}", secret(&invite().await));
    let seen = ask("GET", &link).of(&served.router).await;
    assert_eq!(
        (seen.status.as_u16(), seen.json()["name"].as_str()),
        (200, Some("Ivo Lark"))
    );
    let form = json!({"login": "lark", "password": PASSWORD});
    let joined = ask("POST", &link).json(&form).of(&served.router).await;
    assert_eq!(joined.status, 200, "{:?}", joined.json());
    assert_eq!(joined.json()["person"]["role"], "student");
    assert_eq!(
        me(&served, &cookie(&joined, "proofwing_session")).await,
        200
    );
    let form = json!({"login": "lark2", "password": PASSWORD});
    assert_eq!(
        ask("POST", &link)
            .json(&form)
            .of(&served.router)
            .await
            .status,
        404,
        "used twice"
    );
    // Withdrawn, and too late.
    let made = invite().await;
    let id = made.json()["invite"]["id"].as_str().unwrap().to_owned();
    let withdrawn = ask("DELETE", &format!("/api/v1/invites/{id}"))
        .session(&chiefs)
        .of(&served.router)
        .await;
    assert_eq!(withdrawn.status, 204);
    let late = invite().await;
    served.school.clock().shift(school::invites::JOIN_S + 1);
    for made in [&made, &late] {
        let link = format!("/api/v1/invites/{}", secret(made));
        assert_eq!(ask("GET", &link).of(&served.router).await.status, 404);
        assert_eq!(
            ask("POST", &link)
                .json(&form)
                .of(&served.router)
                .await
                .status,
            404
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_reset_link_sets_a_password_and_ends_what_was_open() {
    let served = empty().await;
    let (chief, _, student, ..) = people(&served).await;
    let chiefs = served
        .school
        .start_session(&chief.id, "a test")
        .await
        .unwrap();
    let open = served
        .school
        .start_session(&student.id, "a test")
        .await
        .unwrap();
    let (_, token) = served
        .school
        .make_token(&Actor::from(&student), "a script", 3)
        .await
        .unwrap();
    let reset = async || {
        let path = format!("/api/v1/people/{}/reset", student.id);
        let made = ask("POST", &path)
            .json(&json!({}))
            .session(&chiefs)
            .of(&served.router)
            .await;
        assert_eq!(made.status, 200, "{:?}", made.json());
        format!("/api/v1/invites/{}", secret(&made))
    };
    let new = json!({"password": "nine brown ducks under ice"});
    let link = reset().await;
    let done = ask("POST", &link).json(&new).of(&served.router).await;
    assert_eq!(done.status, 200, "{:?}", done.json());
    assert_eq!(me(&served, &open).await, 401);
    assert_eq!(
        ask("GET", "/api/v1/me")
            .token(&token)
            .of(&served.router)
            .await
            .status,
        401
    );
    assert_eq!(
        sign_in("marlow", PASSWORD).of(&served.router).await.status,
        401
    );
    assert_eq!(
        sign_in("marlow", "nine brown ducks under ice")
            .of(&served.router)
            .await
            .status,
        200
    );
    assert_eq!(
        ask("POST", &link)
            .json(&new)
            .of(&served.router)
            .await
            .status,
        404,
        "used twice"
    );
    let link = reset().await;
    served.school.clock().shift(school::invites::RESET_S + 1);
    assert_eq!(
        ask("POST", &link)
            .json(&new)
            .of(&served.router)
            .await
            .status,
        404,
        "too late"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_changed_password_ends_the_other_sessions() {
    let served = empty().await;
    let (_, _, student, ..) = people(&served).await;
    let here = served
        .school
        .start_session(&student.id, "here")
        .await
        .unwrap();
    let there = served
        .school
        .start_session(&student.id, "there")
        .await
        .unwrap();
    let change = |old: &str, new: &str| {
        ask("POST", "/api/v1/me/password").json(&json!({"old": old, "new": new}))
    };
    let wrong = change("not this one, surely", "nine brown ducks under ice")
        .session(&here)
        .of(&served.router)
        .await;
    assert_eq!(
        (wrong.status.as_u16(), wrong.json()["field"].as_str()),
        (403, Some("old"))
    );
    let easy = change(PASSWORD, "password1234")
        .session(&here)
        .of(&served.router)
        .await;
    assert_eq!(
        (easy.status.as_u16(), easy.json()["field"].as_str()),
        (422, Some("new"))
    );
    let done = change(PASSWORD, "nine brown ducks under ice")
        .session(&here)
        .of(&served.router)
        .await;
    assert_eq!(done.status, 200, "{:?}", done.json());
    assert_eq!(
        (me(&served, &here).await, me(&served, &there).await),
        (401, 401)
    );
    assert_eq!(me(&served, &cookie(&done, "proofwing_session")).await, 200);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_guessing_while_signed_in_waits_too() {
    let served = empty().await;
    let (_, _, student, ..) = people(&served).await;
    let open = served
        .school
        .start_session(&student.id, "an unattended screen")
        .await
        .unwrap();
    let form = json!({"old": "not this one, surely", "new": "nine brown ducks under ice"});
    let mut refused = 0;
    for _ in 0..12 {
        let answer = ask("POST", "/api/v1/me/password")
            .json(&form)
            .session(&open)
            .of(&served.router)
            .await;
        refused += u32::from(answer.status == 429);
    }
    assert!(refused >= 5, "{refused} of 12");
    assert_eq!(
        sign_in("marlow", PASSWORD).of(&served.router).await.status,
        200,
        "the person was locked out"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_token_is_told_once_and_ends() {
    let served = empty().await;
    let (_, instructor, ..) = people(&served).await;
    let session = served
        .school
        .start_session(&instructor.id, "a test")
        .await
        .unwrap();
    let form = json!({"label": "a script", "days": 2});
    let made = ask("POST", "/api/v1/tokens")
        .json(&form)
        .session(&session)
        .of(&served.router)
        .await;
    let secret = made.json()["secret"].as_str().unwrap().to_owned();
    assert!(secret.starts_with("pw_") && secret.len() > 40);
    let list = ask("GET", "/api/v1/tokens")
        .session(&session)
        .of(&served.router)
        .await;
    assert!(!String::from_utf8_lossy(&list.bytes).contains(&secret));
    // A script needs neither cookie nor our pages' header.
    let use_it = async || {
        ask("GET", "/api/v1/lessons")
            .plain()
            .token(&secret)
            .of(&served.router)
            .await
    };
    assert_eq!(use_it().await.status, 200);
    let both = ask("GET", "/api/v1/me")
        .token(&secret)
        .session(&session)
        .of(&served.router)
        .await;
    assert_eq!(both.status, 400);
    served.school.clock().shift(2 * 86_400 + 1);
    assert_eq!(use_it().await.code(), "bad_token");
}

#[tokio::test(flavor = "multi_thread")]
async fn val_every_answer_says_what_a_browser_may_do_with_it() {
    // OWASP Content Security Policy Cheat Sheet: no unsafe-inline, no unsafe-eval, nothing from elsewhere.
    let served = empty().await;
    for path in [
        "/",
        "/lessons/none",
        "/assets/none.js",
        "/api/v1/status",
        "/api/v1/me",
        "/api/v1/nothing",
    ] {
        let answer = ask("GET", path).of(&served.router).await;
        let header = |name: &str| {
            answer
                .headers
                .get(name)
                .and_then(|value| value.to_str().ok())
                .unwrap_or_default()
                .to_owned()
        };
        let policy = header("content-security-policy");
        assert!(
            policy.contains("default-src 'none'") && policy.contains("script-src 'self'"),
            "{path}: {policy}"
        );
        assert!(
            policy.contains("frame-ancestors 'none'") && policy.contains("base-uri 'none'"),
            "{path}: {policy}"
        );
        for bad in ["unsafe-inline", "unsafe-eval", "http:", "https:", "*"] {
            assert!(!policy.contains(bad), "{path}: {policy}");
        }
        assert_eq!(header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(header("referrer-policy"), "no-referrer", "{path}");
        assert_eq!(header("x-frame-options"), "DENY", "{path}");
        // Over plain HTTP a browser ignores it, and must (RFC 6797 section 7.2).
        assert_eq!(header("strict-transport-security"), "", "{path}");
        if path.starts_with("/api") {
            assert_eq!(header("cache-control"), "no-store", "{path}");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_another_name_for_this_computer_is_turned_away() {
    // A page elsewhere lets its own name point here (DNS rebinding): the browser sends that name.
    let served = empty().await;
    let (chief, ..) = people(&served).await;
    let session = served
        .school
        .start_session(&chief.id, "a test")
        .await
        .unwrap();
    for host in [
        "elsewhere.example",
        "elsewhere.example:8440",
        "127.0.0.1.elsewhere.example",
        "",
    ] {
        let answer = ask("GET", "/api/v1/people")
            .session(&session)
            .host(host)
            .of(&served.router)
            .await;
        assert_eq!(answer.status, 421, "{host}");
    }
    for host in ["localhost:8440", "127.0.0.1", "[::1]:8440", "LOCALHOST:1"] {
        let answer = ask("GET", "/api/v1/people")
            .session(&session)
            .host(host)
            .of(&served.router)
            .await;
        assert_eq!(answer.status, 200, "{host}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_first_run_works_once() {
    let served = empty().await;
    let status = ask("GET", "/api/v1/status").of(&served.router).await.json();
    assert_eq!(
        (&status["first_run"], &status["school"]),
        (&json!(true), &Value::Null)
    );
    let form = json!({"school": "Pellwick School", "name": "Ada Thorne", "login": "ada", "password": PASSWORD});
    let made = ask("POST", "/api/v1/first-run")
        .json(&form)
        .of(&served.router)
        .await;
    assert_eq!(made.status, 200, "{:?}", made.json());
    assert_eq!(made.json()["person"]["role"], "chief");
    assert_eq!(me(&served, &cookie(&made, "proofwing_session")).await, 200);
    let again = ask("POST", "/api/v1/first-run")
        .json(&form)
        .of(&served.router)
        .await;
    assert_eq!(again.status, 409, "{:?}", again.json());
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_body_that_cannot_be_read_is_told_in_words() {
    let served = empty().await;
    people(&served).await;
    let large = json!({"login": "x".repeat(2_000_000), "password": PASSWORD});
    let answer = ask("POST", "/api/v1/session")
        .json(&large)
        .of(&served.router)
        .await;
    assert_eq!(
        (answer.status.as_u16(), answer.code().as_str()),
        (413, "too_large")
    );
    let form =
        ask("POST", "/api/v1/session").header("content-type", "application/x-www-form-urlencoded");
    let answer = form.bytes(b"login=ada&password=x").of(&served.router).await;
    assert_eq!(
        (answer.status.as_u16(), answer.code().as_str()),
        (415, "not_json")
    );
    let broken = ask("POST", "/api/v1/session")
        .header("content-type", "application/json")
        .bytes(b"{\"login\":");
    let answer = broken.of(&served.router).await;
    assert_eq!(
        (answer.status.as_u16(), answer.code().as_str()),
        (422, "bad_json")
    );
    assert!(answer.json()["hint"].is_string());
}
