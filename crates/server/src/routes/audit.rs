//! The audit trail, and work in the background.

use crate::app::App;
use crate::caller::Caller;
use crate::error::ApiResult;
use crate::extract::Asked;
use axum::Json;
use axum::extract::State;
use school::model::{AuditRow, Job, Verified};
use serde::Deserialize;
use utoipa::IntoParams;

/// Which rows.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Rows {
    /// Only those before this number, for the next page.
    pub before: Option<i64>,
    /// At most so many.
    pub limit: Option<i64>,
}

/// What was noted of the trail elsewhere.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct WrittenDown {
    /// `Verified.audit_head` as it was written down once, e.g. on paper: rows cut off since are then found too.
    pub head: Option<String>,
}

/// The audit trail, newest first.
#[utoipa::path(get, path = "/audit", tag = "audit", params(Rows), responses((status = 200, body = Vec<AuditRow>)))]
pub async fn rows(
    State(app): State<App>,
    Asked(asked): Asked<Rows>,
) -> ApiResult<Json<Vec<AuditRow>>> {
    Ok(Json(
        app.school
            .audit(asked.before, asked.limit.unwrap_or(200))
            .await?,
    ))
}

/// Checks the whole record: the trail's chain, what was signed, and the recordings' bytes.
#[utoipa::path(get, path = "/audit/verify", tag = "audit", params(WrittenDown),
    responses((status = 200, body = Verified)))]
pub async fn verify(
    State(app): State<App>,
    Asked(asked): Asked<WrittenDown>,
) -> ApiResult<Json<Verified>> {
    Ok(Json(app.school.verify(asked.head.as_deref()).await?))
}

/// Long works in the background, newest first.
#[utoipa::path(get, path = "/jobs", tag = "jobs", responses((status = 200, body = Vec<Job>)))]
pub async fn jobs(State(app): State<App>) -> ApiResult<Json<Vec<Job>>> {
    Ok(Json(app.school.jobs().await?))
}

/// Marks every lesson that is not signed anew, in the background; what was signed keeps what was signed.
#[utoipa::path(post, path = "/remark", tag = "jobs", responses((status = 200, body = Job)))]
pub async fn remark(State(app): State<App>, caller: Caller) -> ApiResult<Json<Job>> {
    Ok(Json(
        app.school
            .start_remark(&caller.actor(), "asked for by the chief instructor")
            .await?,
    ))
}
