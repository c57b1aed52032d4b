//! The gate before every route: who asks, whether our own page asks, and whether the table lets them.

use crate::access::{ForStudent, Load, Rule, known_path, rule_of};
use crate::app::App;
use crate::caller::{By, Caller, identify};
use crate::error::{ApiError, ApiResult};
use crate::same_site;
use axum::body::Body;
use axum::extract::{MatchedPath, RawPathParams, Request, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_LENGTH;
use axum::http::request::Parts;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use futures_util::StreamExt;
use std::time::Duration;

/// Where the API stands.
pub const BASE: &str = "/api/v1";

/// Lets a request through to its handler, or answers it.
pub async fn gate(
    State(app): State<App>,
    params: RawPathParams,
    request: Request,
    next: Next,
) -> Response {
    let (mut parts, body) = request.into_parts();
    match let_in(&app, &params, &mut parts).await {
        Ok(rule) => run(&app, rule, Request::from_parts(parts, body), next).await,
        Err(error) => {
            hear_out(&parts, body).await;
            error.into_response()
        }
    }
}

/// Largest body that is taken although its request is turned away, bytes.
const HEARD_OUT: u64 = 32 << 20;

/// Takes what a client that is turned away still sends, and drops it: one that has not sent all of it would find the
/// connection closed, and never read why. Neither a large body nor a slow one is waited for.
async fn hear_out(parts: &Parts, body: Body) {
    let told = parts.headers.get(CONTENT_LENGTH);
    let told = told.and_then(|value| value.to_str().ok()?.parse::<u64>().ok());
    if !told.is_some_and(|bytes| bytes > 0 && bytes <= HEARD_OUT) {
        return;
    }
    let mut pieces = body.into_data_stream();
    let all = async { while let Some(Ok(_)) = pieces.next().await {} };
    // Whether it came whole does not matter any more.
    let _ = tokio::time::timeout(Duration::from_secs(5), all).await;
}

async fn let_in(app: &App, params: &RawPathParams, parts: &mut Parts) -> ApiResult<&'static Rule> {
    let matched = parts
        .extensions
        .get::<MatchedPath>()
        .map(|path| path.as_str().to_owned());
    let path = matched
        .as_deref()
        .and_then(|path| path.strip_prefix(BASE))
        .ok_or_else(ApiError::not_found)?;
    let rule = rule_of(&parts.method, path).ok_or_else(|| no_rule(path))?;
    let caller = identify(app, &parts.headers).await?;
    if !matches!(&caller, Some(Caller { by: By::Token, .. })) {
        same_site::check(parts)?;
    }
    if let Some(caller) = caller {
        if !rule.anyone {
            may(app, rule, &caller, params).await?;
        }
        parts.extensions.insert(caller);
    } else if !rule.anyone {
        return Err(ApiError::signed_out());
    }
    Ok(rule)
}

fn no_rule(path: &str) -> ApiError {
    if known_path(path) {
        return ApiError::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "wrong_method",
            "This address does not take that method.",
        );
    }
    ApiError::not_found()
}

async fn may(app: &App, rule: &Rule, caller: &Caller, params: &RawPathParams) -> ApiResult<()> {
    if caller.by == By::Token && !rule.token {
        return Err(ApiError::new(
            StatusCode::FORBIDDEN,
            "not_with_token",
            "A token may not do this.",
        )
        .hint("Sign in on the page."));
    }
    let id = params
        .iter()
        .find(|(name, _)| *name == "id")
        .map(|(_, value)| value)
        .unwrap_or_default();
    let theirs = match rule.allows(caller.person.role) {
        ForStudent::No => return Err(ApiError::forbidden()),
        ForStudent::Yes => true,
        ForStudent::Self_ => id == caller.person.id,
        ForStudent::OwnLesson => whose(app, id).await?.0.as_deref() == Some(&caller.person.id),
        ForStudent::OwnLessonOrDemonstration => {
            let (student, demonstration) = whose(app, id).await?;
            demonstration || student.as_deref() == Some(&caller.person.id)
        }
    };
    // Not 403: that a lesson exists is not told.
    if theirs {
        Ok(())
    } else {
        Err(ApiError::not_found())
    }
}

/// The student of a lesson, and whether it is a demonstration.
async fn whose(app: &App, lesson_id: &str) -> ApiResult<(Option<String>, bool)> {
    let lesson = app
        .school
        .lesson_brief(&school::Actor::program(), lesson_id)
        .await?;
    Ok((
        lesson.student.map(|student| student.id),
        lesson.demonstration,
    ))
}

/// Runs the handler with the time and the turn that its work may take.
async fn run(app: &App, rule: &Rule, request: Request, next: Next) -> Response {
    let (_turn, time) = match rule.load {
        Load::Light => (None, 30),
        Load::Heavy => match app.turn().await {
            Ok(turn) => (Some(turn), 180),
            Err(error) => return error.into_response(),
        },
        // It takes its turn when the bytes are here; they have a time of their own.
        Load::Recording => return next.run(request).await,
    };
    match tokio::time::timeout(Duration::from_secs(time), next.run(request)).await {
        Ok(response) => response,
        Err(_) => ApiError::new(
            StatusCode::GATEWAY_TIMEOUT,
            "too_slow",
            "This took too long and was stopped.",
        )
        .hint("Nothing was half-done. Try again when the server has less to do.")
        .into_response(),
    }
}
