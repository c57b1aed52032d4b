//! The school's aircraft.

use crate::app::App;
use crate::caller::Caller;
use crate::error::ApiResult;
use crate::extract::{Body, Part};
use crate::wire::{AircraftChange, AircraftChecked, AircraftText};
use axum::Json;
use axum::extract::State;
use school::model::{AircraftBrief, AircraftView};

/// Every aircraft, those in use first.
#[utoipa::path(get, path = "/aircraft", tag = "aircraft", responses((status = 200, body = Vec<AircraftBrief>)))]
pub async fn list(State(app): State<App>) -> ApiResult<Json<Vec<AircraftBrief>>> {
    Ok(Json(app.school.aircraft().await?))
}

/// One aircraft with its file, what looks odd in it, and every file it had.
#[utoipa::path(get, path = "/aircraft/{id}", tag = "aircraft", params(("id" = String, Path, description = "Aircraft id")),
    responses((status = 200, body = AircraftView)))]
pub async fn view(State(app): State<App>, Part(id): Part<String>) -> ApiResult<Json<AircraftView>> {
    Ok(Json(app.school.aircraft_view(&id).await?))
}

/// Adds an aircraft.
#[utoipa::path(post, path = "/aircraft", tag = "aircraft", request_body = AircraftText,
    responses((status = 200, body = AircraftView)))]
pub async fn add(
    State(app): State<App>,
    caller: Caller,
    Body(form): Body<AircraftText>,
) -> ApiResult<Json<AircraftView>> {
    Ok(Json(
        app.school
            .add_aircraft(&caller.actor(), &form.name, &form.toml)
            .await?,
    ))
}

/// Changes an aircraft's name or file, or whether it is in use. Its former files stay on record.
#[utoipa::path(put, path = "/aircraft/{id}", tag = "aircraft", request_body = AircraftChange,
    params(("id" = String, Path, description = "Aircraft id")), responses((status = 200, body = AircraftView)))]
pub async fn change(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Body(form): Body<AircraftChange>,
) -> ApiResult<Json<AircraftView>> {
    let change = school::aircraft::AircraftChange {
        name: form.name,
        toml: form.toml,
        active: form.active,
    };
    Ok(Json(
        app.school
            .change_aircraft(&caller.actor(), &id, &change)
            .await?,
    ))
}

/// Checks an aircraft file without keeping it: its problems by line and column (422), or what looks odd.
#[utoipa::path(post, path = "/aircraft/check", tag = "aircraft", request_body = AircraftText,
    responses((status = 200, body = AircraftChecked)))]
pub async fn check(Body(form): Body<AircraftText>) -> ApiResult<Json<AircraftChecked>> {
    let notices = school::aircraft::check_aircraft_file(&form.toml)?;
    Ok(Json(AircraftChecked { notices }))
}
