//! Lessons, as lists and whole.

use crate::app::App;
use crate::caller::Caller;
use crate::error::{ApiError, ApiResult};
use crate::extract::{Asked, Body, Part};
use crate::wire::SetAside;
use axum::Json;
use axum::extract::State;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use debrief::{WhatIfChange, WhatIfTrace};
use school::lessons::LessonFilter;
use school::maneuvers::ManeuverFilter;
use school::model::{LessonBrief, LessonState, LessonView, ManeuverBrief, ManeuverPicture};
use serde::Deserialize;
use utoipa::IntoParams;

/// Which lessons.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Wanted {
    /// Student (person id).
    pub student: Option<String>,
    /// Instructor (person id).
    pub instructor: Option<String>,
    /// Kind of maneuver that was flown.
    pub kind: Option<String>,
    /// State. Lessons that were set aside come only when asked for.
    pub state: Option<LessonState>,
    /// Only demonstrations (true), or only lessons that are none (false).
    pub demonstration: Option<bool>,
    /// Only those before this lesson (id) or time, for the next page.
    pub before: Option<String>,
    /// At most so many (200 unless told, 1,000 at most).
    pub limit: Option<i64>,
}

/// Which maneuvers.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct WantedManeuvers {
    /// Kind id; absent = every kind.
    pub kind: Option<String>,
    /// Student (person id), with the demonstrations besides; absent = all that one may see.
    pub student: Option<String>,
    /// At most so many (200 unless told, 1,000 at most).
    pub limit: Option<i64>,
}

/// Lessons, newest first; a student gets their own and the demonstrations.
#[utoipa::path(get, path = "/lessons", tag = "lessons", params(Wanted),
    responses((status = 200, body = Vec<LessonBrief>)))]
pub async fn list(
    State(app): State<App>,
    caller: Caller,
    Asked(asked): Asked<Wanted>,
) -> ApiResult<Json<Vec<LessonBrief>>> {
    let Wanted {
        student,
        instructor,
        kind,
        state,
        demonstration,
        before,
        limit,
    } = asked;
    let filter = LessonFilter {
        student,
        instructor,
        kind,
        state,
        demonstration,
        before,
        limit,
    };
    Ok(Json(app.school.list(&caller.actor(), &filter).await?))
}

/// Everything the debrief room shows of a lesson but the series.
#[utoipa::path(get, path = "/lessons/{id}", tag = "lessons", params(("id" = String, Path, description = "Lesson id")),
    responses((status = 200, body = LessonView)))]
pub async fn view(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Json<LessonView>> {
    Ok(Json(app.school.view(&caller.actor(), &id).await?))
}

/// The flight as typed columns (`PWS1`, docs/series.md). The ETag changes only when the flight is reconstructed anew.
#[utoipa::path(get, path = "/lessons/{id}/series", tag = "lessons",
    params(("id" = String, Path, description = "Lesson id")),
    responses(
        (status = 200, description = "PWS1", content_type = "application/octet-stream", body = Vec<u8>),
        (status = 304, description = "As the ETag says")))]
pub async fn series(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Part(id): Part<String>,
) -> ApiResult<Response> {
    let actor = caller.actor();
    let tag = format!("\"{}\"", app.school.series_tag(&actor, &id).await?);
    let known = headers
        .get(IF_NONE_MATCH)
        .is_some_and(|known| known == tag.as_str());
    let mut response = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        let series = app.school.series(&actor, &id).await?;
        ([(CONTENT_TYPE, "application/octet-stream")], series.bytes).into_response()
    };
    let kept = response.headers_mut();
    kept.insert(
        ETAG,
        HeaderValue::try_from(tag).map_err(ApiError::internal)?,
    );
    // Asked for each time, since who may see it can change; sent only when it is another flight.
    kept.insert(CACHE_CONTROL, HeaderValue::from_static("private, no-cache"));
    Ok(response)
}

/// The picture that shows a maneuver's kind best, as on its printed sheet: for a wide page and for a narrow one.
/// Both are null where traces over time say it best, or the recording does not support another.
#[utoipa::path(get, path = "/lessons/{id}/maneuvers/{number}/picture", tag = "lessons",
    params(("id" = String, Path, description = "Lesson id"),
        ("number" = usize, Path, description = "Number of the maneuver")),
    responses((status = 200, body = ManeuverPicture)))]
pub async fn picture(
    State(app): State<App>,
    caller: Caller,
    Part((id, number)): Part<(String, usize)>,
) -> ApiResult<Json<ManeuverPicture>> {
    Ok(Json(
        app.school.picture(&caller.actor(), &id, number).await?,
    ))
}

/// The recovery of a stall or go-around flown otherwise, over the real one. Nothing is kept.
#[utoipa::path(post, path = "/lessons/{id}/maneuvers/{number}/what-if", tag = "lessons", request_body = Object,
    params(("id" = String, Path, description = "Lesson id"),
        ("number" = usize, Path, description = "Number of the maneuver")),
    responses((status = 200, body = Object)))]
pub async fn what_if(
    State(app): State<App>,
    caller: Caller,
    Part((id, number)): Part<(String, usize)>,
    Body(asked): Body<WhatIfChange>,
) -> ApiResult<Json<WhatIfTrace>> {
    let actor = caller.actor();
    Ok(Json(
        app.school
            .flown_otherwise(&actor, &id, number, asked)
            .await?,
    ))
}

/// Sets a lesson aside that is none. Nothing is deleted.
#[utoipa::path(post, path = "/lessons/{id}/set-aside", tag = "lessons", request_body = SetAside,
    params(("id" = String, Path, description = "Lesson id")), responses((status = 200, body = LessonBrief)))]
pub async fn set_aside(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
    Body(form): Body<SetAside>,
) -> ApiResult<Json<LessonBrief>> {
    app.school
        .set_aside(&caller.actor(), &id, &form.reason)
        .await?;
    Ok(Json(app.school.lesson_brief(&caller.actor(), &id).await?))
}

/// Takes a lesson back that was set aside: it is in the lists again, as it was.
#[utoipa::path(post, path = "/lessons/{id}/take-back", tag = "lessons",
    params(("id" = String, Path, description = "Lesson id")), responses((status = 200, body = LessonBrief)))]
pub async fn take_back(
    State(app): State<App>,
    caller: Caller,
    Part(id): Part<String>,
) -> ApiResult<Json<LessonBrief>> {
    app.school.take_back(&caller.actor(), &id).await?;
    Ok(Json(app.school.lesson_brief(&caller.actor(), &id).await?))
}

/// Maneuvers of a kind over lessons, for comparing; a student gets their own and the demonstrations.
#[utoipa::path(get, path = "/maneuvers", tag = "lessons", params(WantedManeuvers),
    responses((status = 200, body = Vec<ManeuverBrief>)))]
pub async fn maneuvers(
    State(app): State<App>,
    caller: Caller,
    Asked(asked): Asked<WantedManeuvers>,
) -> ApiResult<Json<Vec<ManeuverBrief>>> {
    let filter = ManeuverFilter {
        kind: asked.kind,
        student: asked.student,
        limit: asked.limit,
    };
    Ok(Json(app.school.maneuvers(&caller.actor(), &filter).await?))
}
