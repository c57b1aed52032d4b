//! The people of the school, and the school itself.

use crate::app::App;
use crate::caller::Caller;
use crate::error::ApiResult;
use crate::extract::{Body, Part};
use crate::wire::{PersonChange, ResetLink, SchoolChange};
use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use school::model::{Person, School as SchoolHead};

/// Everybody, by name.
#[utoipa::path(get, path = "/people", tag = "people", responses((status = 200, body = Vec<Person>)))]
pub async fn people(State(app): State<App>) -> ApiResult<Json<Vec<Person>>> {
    Ok(Json(app.school.people().await?))
}

/// Changes a person's name or role, or whether they may sign in.
#[utoipa::path(patch, path = "/people/{id}", tag = "people", request_body = PersonChange,
    params(("id" = String, Path, description = "Person id")), responses((status = 200, body = Person)))]
pub async fn change(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Body(form): Body<PersonChange>,
) -> ApiResult<Json<Person>> {
    let change = school::people::PersonChange {
        name: form.name,
        role: form.role,
        active: form.active,
    };
    Ok(Json(
        app.school
            .change_person(&caller.actor(), &id, &change)
            .await?,
    ))
}

/// Makes a link by which a person chooses a new password. It is told this once.
#[utoipa::path(post, path = "/people/{id}/reset", tag = "people", params(("id" = String, Path, description = "Person id")),
    responses((status = 200, body = ResetLink)))]
pub async fn reset(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Json<ResetLink>> {
    let (invite, secret) = app.school.reset_password(&caller.actor(), &id).await?;
    Ok(Json(ResetLink {
        link_path: super::invites::link_path(&secret),
        expires_utc: invite.expires_utc,
    }))
}

/// Signs a person out everywhere.
#[utoipa::path(delete, path = "/people/{id}/sessions", tag = "people",
    params(("id" = String, Path, description = "Person id")), responses((status = 204)))]
pub async fn sign_out_everywhere(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    app.school.end_sessions(&caller.actor(), &id).await?;
    Ok(StatusCode::NO_CONTENT.into_response())
}

/// Changes the school's name, standard or elevation.
#[utoipa::path(patch, path = "/school", tag = "people", request_body = SchoolChange,
    responses((status = 200, body = SchoolHead)))]
pub async fn change_school(
    State(app): State<App>,
    caller: Caller,
    Body(form): Body<SchoolChange>,
) -> ApiResult<Json<SchoolHead>> {
    let change = school::settings::SchoolChange {
        name: form.name,
        standard: form.standard,
        terrain_ft: form.terrain_ft,
    };
    Ok(Json(
        app.school.change_settings(&caller.actor(), &change).await?,
    ))
}
