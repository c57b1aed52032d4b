//! Bringing recordings in, and how they were read.

use crate::app::App;
use crate::caller::Caller;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Asked, Body, Part};
use crate::routes::files::attachment;
use crate::upload;
use crate::wire::MapText;
use axum::Json;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use school::import::{Given, Via};
use school::model::{Imported, RecordingBrief, RecordingView, Refused};
use serde::Deserialize;
use utoipa::IntoParams;

/// Which arrivals.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Arrivals {
    /// Only those before this time (RFC 3339), for the next page.
    pub before: Option<String>,
    /// At most so many.
    pub limit: Option<i64>,
}

/// How many.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Latest {
    /// At most so many (50 unless told).
    pub limit: Option<i64>,
}

/// What is known of a recording that is brought in.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct BringIn {
    /// Name of the file.
    pub name: String,
    /// Aircraft id; absent = guessed.
    pub aircraft: Option<String>,
    /// Student (person id); absent = guessed.
    pub student: Option<String>,
    /// Instructor (person id); absent = who brings it in.
    pub instructor: Option<String>,
}

/// Arrivals, newest first.
#[utoipa::path(get, path = "/recordings", tag = "recordings", params(Arrivals),
    responses((status = 200, body = Vec<RecordingBrief>)))]
pub async fn list(
    State(app): State<App>,
    caller: Caller,
    Asked(asked): Asked<Arrivals>,
) -> ApiResult<Json<Vec<RecordingBrief>>> {
    let limit = asked.limit.unwrap_or(200);
    Ok(Json(
        app.school
            .recordings(&caller.actor(), asked.before.as_deref(), limit)
            .await?,
    ))
}

/// Files of the watched folder that were not brought in, newest first, each with why.
#[utoipa::path(get, path = "/recordings/refused", tag = "recordings", params(Latest),
    responses((status = 200, body = Vec<Refused>)))]
pub async fn refused(
    State(app): State<App>,
    Asked(asked): Asked<Latest>,
) -> ApiResult<Json<Vec<Refused>>> {
    Ok(Json(app.school.refused(asked.limit.unwrap_or(50)).await?))
}

/// Brings a recording in: the file's bytes as they are, at most 512 MB. The same bytes twice are recognized.
#[utoipa::path(post, path = "/recordings", tag = "recordings", params(BringIn),
    request_body(content = Vec<u8>, content_type = "application/octet-stream", description = "The file's bytes"),
    responses((status = 200, body = Imported)))]
pub async fn bring_in(
    State(app): State<App>,
    caller: Caller,
    Asked(asked): Asked<BringIn>,
    headers: HeaderMap,
    body: axum::body::Body,
) -> ApiResult<Json<Imported>> {
    let file = upload::receive(&app, &headers, body).await?;
    let given = Given {
        aircraft_id: asked.aircraft,
        student_id: asked.student,
        instructor_id: asked.instructor,
    };
    let (name, actor) = (asked.name, caller.actor());
    // On a task of its own: a browser that is closed now still has its recording brought in.
    let work = tokio::spawn(async move {
        let _turn = app.turn().await?;
        let (bytes, _room) = file.into_memory(&app).await?;
        Ok::<_, ApiError>(
            app.school
                .import(&actor, &name, bytes, Via::Page, &given)
                .await?,
        )
    });
    work.await.map_err(ApiError::internal)?.map(Json)
}

/// One recording and how it was read.
#[utoipa::path(get, path = "/recordings/{sha256}", tag = "recordings",
    params(("sha256" = String, Path, description = "SHA-256 of the bytes, hex")),
    responses((status = 200, body = RecordingView)))]
pub async fn view(
    State(app): State<App>,
    caller: Caller,
    Part(sha256): Part<String>,
) -> ApiResult<Json<RecordingView>> {
    Ok(Json(app.school.recording(&caller.actor(), &sha256).await?))
}

/// The bytes as they were received.
#[utoipa::path(get, path = "/recordings/{sha256}/original", tag = "recordings",
    params(("sha256" = String, Path, description = "SHA-256 of the bytes, hex")),
    responses((status = 200, description = "The file", content_type = "application/octet-stream", body = Vec<u8>)))]
pub async fn original(
    State(app): State<App>,
    caller: Caller,
    Part(sha256): Part<String>,
) -> ApiResult<Response> {
    let (name, bytes) = app.school.original(&caller.actor(), &sha256).await?;
    Ok(attachment(&name, "application/octet-stream", bytes))
}

/// Says how the columns are to be read; the recording is read anew and the map is kept for files with this header.
#[utoipa::path(put, path = "/recordings/{sha256}/map", tag = "recordings", request_body = MapText,
    params(("sha256" = String, Path, description = "SHA-256 of the bytes, hex")),
    responses((status = 200, body = Imported)))]
pub async fn map(
    State(app): State<App>,
    caller: Caller,
    Part(sha256): Part<String>,
    Body(form): Body<MapText>,
) -> ApiResult<Json<Imported>> {
    Ok(Json(
        app.school
            .put_map(&caller.actor(), &sha256, &form.name, &form.entries)
            .await?,
    ))
}
