//! Links that let a person in, or let them choose a new password.

use crate::app::App;
use crate::caller::Caller;
use crate::error::ApiResult;
use crate::extract::{Body, Part};
use crate::routes::session::{device, signed_in};
use crate::wire::{InviteMade, InviteUse, InviteView, Me, NewInvite};
use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use school::invites::Accepted;
use school::model::Invite;

/// Path of the page behind a link.
pub fn link_path(secret: &str) -> String {
    format!("/invite/{secret}")
}

/// What a link is for, as the one who holds it sees it.
#[utoipa::path(get, path = "/invites/{token}", tag = "invites",
    params(("token" = String, Path, description = "The secret of the link")),
    responses((status = 200, body = InviteView)))]
pub async fn view(
    State(app): State<App>,
    Part(token): Part<String>,
) -> ApiResult<Json<InviteView>> {
    let invite = app.school.invite_by_secret(&token).await?;
    let school = app.school.settings().await?.name;
    let Invite {
        purpose,
        role,
        name,
        expires_utc,
        ..
    } = invite;
    Ok(Json(InviteView {
        purpose,
        school,
        role,
        name,
        expires_utc,
    }))
}

/// Uses a link: makes the account or sets the new password, and signs in.
#[utoipa::path(post, path = "/invites/{token}", tag = "invites", request_body = InviteUse,
    params(("token" = String, Path, description = "The secret of the link")),
    responses((status = 200, body = Me)))]
pub async fn accept(
    State(app): State<App>,
    headers: HeaderMap,
    Part(token): Part<String>,
    Body(form): Body<InviteUse>,
) -> ApiResult<Response> {
    let accepted = Accepted {
        login: form.login,
        name: form.name,
        password: form.password,
    };
    let person = app.school.accept_invite(&token, &accepted).await?;
    let secret = app
        .school
        .start_session(&person.id, &device(&headers))
        .await?;
    signed_in(&app, &headers, person, &secret).await
}

/// Every invitation and reset, newest first.
#[utoipa::path(get, path = "/invites", tag = "invites", responses((status = 200, body = Vec<Invite>)))]
pub async fn list(State(app): State<App>, caller: Caller) -> ApiResult<Json<Vec<Invite>>> {
    Ok(Json(app.school.invites(&caller.actor()).await?))
}

/// Invites a person. The link is told this once.
#[utoipa::path(post, path = "/invites", tag = "invites", request_body = NewInvite,
    responses((status = 200, body = InviteMade)))]
pub async fn make(
    State(app): State<App>,
    caller: Caller,
    Body(form): Body<NewInvite>,
) -> ApiResult<Json<InviteMade>> {
    let (invite, secret) = app
        .school
        .invite(&caller.actor(), form.role, &form.name)
        .await?;
    Ok(Json(InviteMade {
        invite,
        link_path: link_path(&secret),
    }))
}

/// Withdraws an invitation.
#[utoipa::path(delete, path = "/invites/{token}", tag = "invites",
    params(("token" = String, Path, description = "The invitation's id")),
    responses((status = 204)))]
pub async fn withdraw(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    app.school.withdraw_invite(&caller.actor(), &id).await?;
    Ok(StatusCode::NO_CONTENT.into_response())
}
