//! Published standards that come with the program, and the school's own.

use crate::app::App;
use crate::caller::Caller;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Body, Part};
use crate::wire::StandardText;
use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use school::model::{StandardBrief, StandardView};
use school::secret::sha256_hex;
use school::standards;
use standard::Pack;

/// Every standard that a lesson may be marked against.
#[utoipa::path(get, path = "/standards", tag = "standards", responses((status = 200, body = Vec<StandardBrief>)))]
pub async fn list(State(app): State<App>) -> ApiResult<Json<Vec<StandardBrief>>> {
    let own = app.school.packs().await?;
    let embedded = standard::EMBEDDED
        .iter()
        .filter(|(id, _)| !own.iter().any(|pack| pack.id == *id));
    let mut all = Vec::new();
    for (id, toml) in embedded {
        all.push(standards::brief(
            &read(id, toml)?,
            false,
            &sha256_hex(toml.as_bytes()),
        ));
    }
    for pack in &own {
        all.push(standards::brief(
            &read(&pack.id, &pack.toml)?,
            true,
            &pack.sha256,
        ));
    }
    Ok(Json(all))
}

/// One standard with its tasks, elements and limits.
#[utoipa::path(get, path = "/standards/{id}", tag = "standards", params(("id" = String, Path, description = "Pack id")),
    responses((status = 200, body = StandardView)))]
pub async fn view(State(app): State<App>, Part(id): Part<String>) -> ApiResult<Json<StandardView>> {
    if let Some(pack) = app
        .school
        .packs()
        .await?
        .into_iter()
        .find(|pack| pack.id == id)
    {
        return Ok(Json(standards::view(
            &read(&id, &pack.toml)?,
            true,
            &pack.sha256,
            &pack.toml,
        )));
    }
    let (_, toml) = standard::EMBEDDED
        .iter()
        .find(|(known, _)| *known == id)
        .ok_or_else(ApiError::not_found)?;
    Ok(Json(standards::view(
        &read(&id, toml)?,
        false,
        &sha256_hex(toml.as_bytes()),
        toml,
    )))
}

/// Puts a school's own standard in force. Errors in the text by line and column (422).
#[utoipa::path(put, path = "/standards/{id}", tag = "standards", request_body = StandardText,
    params(("id" = String, Path, description = "Pack id")), responses((status = 200, body = StandardView)))]
pub async fn put(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Body(form): Body<StandardText>,
) -> ApiResult<Json<StandardView>> {
    let pack = app
        .school
        .put_pack(&caller.actor(), &id, &form.toml)
        .await?;
    Ok(Json(standards::view(
        &read(&id, &pack.toml)?,
        true,
        &pack.sha256,
        &pack.toml,
    )))
}

/// Reads a pack that was checked before it was kept.
fn read(id: &str, toml: &str) -> ApiResult<Pack> {
    Pack::read(toml, id)
        .map_err(|error| ApiError::internal(format!("the standard {id} no longer reads: {error}")))
}

/// Retires a school's own standard: new lessons cannot use it, what was signed with it stays.
#[utoipa::path(delete, path = "/standards/{id}", tag = "standards",
    params(("id" = String, Path, description = "Pack id")), responses((status = 204)))]
pub async fn retire(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    app.school.retire_pack(&caller.actor(), &id).await?;
    Ok(axum::response::IntoResponse::into_response(
        StatusCode::NO_CONTENT,
    ))
}
