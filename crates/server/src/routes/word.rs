//! What people say of a lesson: their acts, the signature, and what was signed.

use crate::app::App;
use crate::caller::Caller;
use crate::client::Network;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Asked, Body, Part};
use crate::routes::account::asked_again;
use crate::routes::session::too_often;
use crate::wire::{NewEntry, Sign};
use axum::Json;
use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::http::{Extensions, StatusCode};
use axum::response::{IntoResponse, Response};
use debrief::Difference;
use school::SchoolError;
use school::model::{Entry, LessonView, SignedBrief};
use serde::Deserialize;
use std::time::Instant;
use utoipa::IntoParams;

/// With what a signed version is compared.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct With {
    /// Another version; absent = what the program computes now.
    pub with: Option<i64>,
}

/// Every act on a lesson, in order.
#[utoipa::path(get, path = "/lessons/{id}/entries", tag = "word", params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, body = Vec<Entry>)))]
pub async fn entries(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Json<Vec<Entry>>> {
    Ok(Json(app.school.history(&caller.actor(), &id).await?))
}

/// Adds an act. Setting, briefing and corrections mark the lesson anew at once.
#[utoipa::path(post, path = "/lessons/{id}/entries", tag = "word", request_body = NewEntry,
    params(("id" = String, Path, description = "Lesson id")), responses((status = 200, body = LessonView)))]
pub async fn add(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Body(form): Body<NewEntry>,
) -> ApiResult<Json<LessonView>> {
    Ok(Json(
        app.school
            .act(&caller.actor(), &id, form.expected_entry_seq, form.act)
            .await?,
    ))
}

/// Signs the debrief as the signer saw it; 409 when somebody wrote meanwhile, or what it is marked by was changed.
#[utoipa::path(post, path = "/lessons/{id}/sign", tag = "word", request_body = Sign,
    params(("id" = String, Path, description = "Lesson id")), responses((status = 200, body = SignedBrief)))]
pub async fn sign(
    State(app): State<App>,
    caller: Caller,
    extensions: Extensions,
    Part(id): Part<String>,
    Body(form): Body<Sign>,
) -> ApiResult<Json<SignedBrief>> {
    let network = Network::of_request(&extensions);
    let trier = asked_again(&caller);
    app.throttle
        .attempt(&trier, network, Instant::now())
        .map_err(too_often)?;
    app.school
        .check_password(&caller.person.id, &form.password)
        .await
        .map_err(|error| match error {
            SchoolError::Denied { message } => {
                ApiError::new(StatusCode::FORBIDDEN, "wrong_password", message).field("password")
            }
            other => other.into(),
        })?;
    app.throttle.right(&trier, network);
    Ok(Json(
        app.school
            .sign(
                &caller.actor(),
                &id,
                form.expected_entry_seq,
                form.expected_inputs_sha256.as_deref(),
            )
            .await?,
    ))
}

/// Signed versions, oldest first.
#[utoipa::path(get, path = "/lessons/{id}/signed", tag = "word", params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, body = Vec<SignedBrief>)))]
pub async fn signed(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Json<Vec<SignedBrief>>> {
    Ok(Json(app.school.signed(&caller.actor(), &id).await?))
}

/// The exact bytes that were signed (`proofwing/signed/1`): their SHA-256 is the digest.
#[utoipa::path(get, path = "/lessons/{id}/signed/{version}", tag = "word",
    params(("id" = String, Path, description = "Lesson id"), ("version" = i64, Path, description = "1, 2, …")),
    responses((status = 200, description = "The signed bytes", content_type = "application/json", body = Object)))]
pub async fn signed_bytes(
    State(app): State<App>,
    caller: Caller,
    Part((id, version)): Part<(String, i64)>,
) -> ApiResult<Response> {
    let bytes = app
        .school
        .signed_bytes(&caller.actor(), &id, version)
        .await?;
    Ok(([(CONTENT_TYPE, "application/json")], bytes).into_response())
}

/// What differs between a signed version and another, or what the program computes now.
#[utoipa::path(get, path = "/lessons/{id}/signed/{version}/difference", tag = "word",
    params(("id" = String, Path, description = "Lesson id"), ("version" = i64, Path, description = "1, 2, …"), With),
    responses((status = 200, body = Vec<Object>)))]
pub async fn difference(
    State(app): State<App>,
    caller: Caller,
    Part((id, version)): Part<(String, i64)>,
    Asked(asked): Asked<With>,
) -> ApiResult<Json<Vec<Difference>>> {
    Ok(Json(
        app.school
            .difference(&caller.actor(), &id, version, asked.with)
            .await?,
    ))
}
