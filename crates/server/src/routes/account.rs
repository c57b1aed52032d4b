//! One's own account.

use crate::app::App;
use crate::caller::Caller;
use crate::client::Network;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Body, Part};
use crate::routes::session::{device, signed_in, too_often};
use crate::throttle::Trier;
use crate::wire::{Me, NewToken, PasswordChange, TokenMade};
use axum::Json;
use axum::extract::State;
use axum::http::{Extensions, HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use school::SchoolError;
use school::model::Token;
use std::time::Instant;

/// Who is signed in and what they may do.
#[utoipa::path(get, path = "/me", tag = "account", responses((status = 200, body = Me)))]
pub async fn me(State(app): State<App>, caller: Caller) -> ApiResult<Json<Me>> {
    Ok(Json(super::session::me(&app, caller.person).await?))
}

/// Changes one's own password. Every other session ends; this one goes on with a new cookie.
#[utoipa::path(post, path = "/me/password", tag = "account", request_body = PasswordChange,
    responses((status = 200, body = Me)))]
pub async fn change_password(
    State(app): State<App>,
    caller: Caller,
    extensions: Extensions,
    headers: HeaderMap,
    Body(form): Body<PasswordChange>,
) -> ApiResult<Response> {
    let network = Network::of_request(&extensions);
    let trier = asked_again(&caller);
    app.throttle
        .attempt(&trier, network, Instant::now())
        .map_err(too_often)?;
    app.school
        .change_password(&caller.actor(), &form.old, &form.new)
        .await
        .map_err(|error| match error {
            SchoolError::Denied { message } => {
                ApiError::new(StatusCode::FORBIDDEN, "wrong_password", message).field("old")
            }
            SchoolError::Invalid { message, hint, .. } => {
                ApiError::new(StatusCode::UNPROCESSABLE_ENTITY, "invalid", message)
                    .hint(hint)
                    .field("new")
            }
            other => other.into(),
        })?;
    app.throttle.right(&trier, network);
    let secret = app
        .school
        .start_session(&caller.person.id, &device(&headers))
        .await?;
    signed_in(&app, &headers, caller.person, &secret).await
}

/// Who tries a password while signed in: counted by session, so that an unattended screen is no place to guess.
pub fn asked_again(caller: &Caller) -> Trier {
    let session = caller
        .session()
        .map(school::secret::kept)
        .unwrap_or_default();
    Trier::Device(caller.person.login.clone(), session)
}

/// One's own tokens that still work.
#[utoipa::path(get, path = "/tokens", tag = "account", responses((status = 200, body = Vec<Token>)))]
pub async fn tokens(State(app): State<App>, caller: Caller) -> ApiResult<Json<Vec<Token>>> {
    Ok(Json(app.school.tokens(&caller.person.id).await?))
}

/// Makes a personal access token for a script. Its secret is told this once.
#[utoipa::path(post, path = "/tokens", tag = "account", request_body = NewToken,
    responses((status = 200, body = TokenMade)))]
pub async fn make_token(
    State(app): State<App>,
    caller: Caller,
    Body(form): Body<NewToken>,
) -> ApiResult<Json<TokenMade>> {
    let (token, secret) = app
        .school
        .make_token(&caller.actor(), &form.label, i64::from(form.days))
        .await?;
    Ok(Json(TokenMade { secret, token }))
}

/// Revokes a token.
#[utoipa::path(delete, path = "/tokens/{id}", tag = "account", params(("id" = String, Path, description = "Token id")),
    responses((status = 204)))]
pub async fn revoke_token(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    app.school.revoke_token(&caller.actor(), &id).await?;
    Ok(StatusCode::NO_CONTENT.into_response())
}
