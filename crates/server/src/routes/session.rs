//! Signing in and out.

use crate::app::App;
use crate::caller::Caller;
use crate::client::Network;
use crate::cookies::Cookie;
use crate::error::{ApiError, ApiResult};
use crate::extract::Body;
use crate::throttle::Trier;
use crate::wire::{Me, Permissions, SignIn};
use axum::Json;
use axum::extract::State;
use axum::http::header::{SET_COOKIE, USER_AGENT};
use axum::http::{Extensions, HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use school::SchoolError;
use school::model::{Person, Session};
use std::time::Instant;

/// Signs in. A wrong password makes the next try from the same address wait; it never shuts out the login elsewhere.
#[utoipa::path(post, path = "/session", tag = "account", request_body = SignIn, responses((status = 200, body = Me)))]
pub async fn sign_in(
    State(app): State<App>,
    extensions: Extensions,
    headers: HeaderMap,
    Body(form): Body<SignIn>,
) -> ApiResult<Response> {
    let login = form.login.trim().to_lowercase();
    let network = Network::of_request(&extensions);
    let mark = Cookie::Device.read(app.secure, &headers);
    let trier = match mark.and_then(|mark| app.devices.known(&login, &mark)) {
        Some(device) => Trier::Device(login.clone(), device),
        // A login longer than any there is must not fill the memory that counts attempts.
        None => Trier::Stranger(login.chars().take(64).collect(), network),
    };
    app.throttle
        .attempt(&trier, network, Instant::now())
        .map_err(too_often)?;
    let signed = app.school.sign_in(&login, &form.password, &device(&headers)).await.map_err(|error| match error {
        SchoolError::Denied { message } => ApiError::new(StatusCode::UNAUTHORIZED, "wrong_password", message)
            .hint("Look at the keyboard's language and at capitals. The chief instructor can make a link for a new password."),
        other => other.into(),
    })?;
    app.throttle.right(&trier, network);
    // The session that this browser had before is not left behind.
    if let Some(before) = Cookie::Session.read(app.secure, &headers) {
        app.school.end_session(&before).await?;
    }
    self::signed_in(&app, &headers, signed.person, &signed.secret).await
}

/// Signs out here.
#[utoipa::path(delete, path = "/session", tag = "account", responses((status = 204)))]
pub async fn sign_out(State(app): State<App>, caller: Caller) -> ApiResult<Response> {
    if let Some(secret) = caller.session() {
        app.school.end_session(secret).await?;
    }
    Ok(cleared(&app))
}

/// Where one is signed in.
#[utoipa::path(get, path = "/sessions", tag = "account", responses((status = 200, body = Vec<Session>)))]
pub async fn sessions(State(app): State<App>, caller: Caller) -> ApiResult<Json<Vec<Session>>> {
    Ok(Json(
        app.school
            .sessions(&caller.person.id, caller.session())
            .await?,
    ))
}

/// Signs out everywhere, here too.
#[utoipa::path(delete, path = "/sessions", tag = "account", responses((status = 204)))]
pub async fn sign_out_everywhere(State(app): State<App>, caller: Caller) -> ApiResult<Response> {
    app.school
        .end_sessions(&caller.actor(), &caller.person.id)
        .await?;
    Ok(cleared(&app))
}

/// Too many wrong passwords: how long to wait.
pub fn too_often(seconds: u64) -> ApiError {
    let wait = if seconds < 90 {
        format!("{seconds} s")
    } else {
        format!("{} min", seconds.div_ceil(60))
    };
    ApiError::new(
        StatusCode::TOO_MANY_REQUESTS,
        "too_often",
        format!("Too many wrong tries from here. Wait {wait}."),
    )
    .hint("Elsewhere, and on a device that signed in before, signing in still works.")
    .retry_after(seconds)
}

/// What the browser tells of itself; the record keeps it as the name of the session.
pub fn device(headers: &HeaderMap) -> String {
    headers
        .get(USER_AGENT)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default()
        .chars()
        .take(300)
        .collect()
}

/// Who is signed in, as the page needs it.
pub async fn me(app: &App, person: Person) -> ApiResult<Me> {
    let permissions = Permissions::of(person.role);
    Ok(Me {
        school: app.school.settings().await?,
        permissions,
        person,
    })
}

/// The answer that signs somebody in: who they are, the session's cookie, and the device's mark.
pub async fn signed_in(
    app: &App,
    headers: &HeaderMap,
    person: Person,
    secret: &str,
) -> ApiResult<Response> {
    let known = Cookie::Device
        .read(app.secure, headers)
        .filter(|mark| app.devices.known(&person.login, mark).is_some());
    let mark = match known {
        Some(mark) => mark,
        None => app
            .devices
            .mark(&person.login)
            .map_err(ApiError::internal)?,
    };
    let mut response = Json(me(app, person).await?).into_response();
    let lines = [
        Cookie::Session.set(app.secure, secret),
        Cookie::Device.set(app.secure, &mark),
    ];
    for line in lines.into_iter().flatten() {
        response.headers_mut().append(SET_COOKIE, line);
    }
    Ok(response)
}

fn cleared(app: &App) -> Response {
    let mut response = StatusCode::NO_CONTENT.into_response();
    if let Some(line) = Cookie::Session.clear(app.secure) {
        response.headers_mut().append(SET_COOKIE, line);
    }
    response
}
