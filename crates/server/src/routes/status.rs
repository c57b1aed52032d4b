//! What anybody may ask, and the first account.

use crate::app::App;
use crate::client::Network;
use crate::error::{ApiError, ApiResult};
use crate::extract::Body;
use crate::routes::session::{device, signed_in};
use crate::throttle::Trier;
use crate::wire::{CAUTION, FirstRun, Me, Status};
use axum::Json;
use axum::extract::State;
use axum::http::{Extensions, HeaderMap, StatusCode};
use axum::response::Response;
use std::time::Instant;
use subtle::ConstantTimeEq;

/// What anybody may know of this server.
#[utoipa::path(get, path = "/status", tag = "status", responses((status = 200, body = Status)))]
pub async fn status(State(app): State<App>) -> ApiResult<Json<Status>> {
    let first_run = app.school.first_run().await?;
    let school = if first_run {
        None
    } else {
        Some(app.school.settings().await?.name)
    };
    Ok(Json(Status {
        first_run,
        first_run_code: first_run && app.first_run_code.is_some(),
        school,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        demo: app.demo.clone(),
        caution: CAUTION.to_owned(),
    }))
}

/// This description.
#[utoipa::path(get, path = "/openapi.json", tag = "status",
    responses((status = 200, description = "OpenAPI 3.1", content_type = "application/json", body = Object)))]
pub async fn openapi() -> Response {
    let headers = [(axum::http::header::CONTENT_TYPE, "application/json")];
    axum::response::IntoResponse::into_response((headers, crate::openapi::text()))
}

/// Makes the school and its chief instructor's account, and signs them in. Works once.
#[utoipa::path(post, path = "/first-run", tag = "status", request_body = FirstRun,
    responses((status = 200, body = Me)))]
pub async fn first_run(
    State(app): State<App>,
    extensions: Extensions,
    headers: HeaderMap,
    Body(form): Body<FirstRun>,
) -> ApiResult<Response> {
    if let Some(code) = &app.first_run_code {
        // Whoever reads the screen of the computer that holds the record is the school.
        let trier = Trier::Stranger(String::new(), Network::of_request(&extensions));
        let network = Network::of_request(&extensions);
        app.throttle
            .attempt(&trier, network, Instant::now())
            .map_err(super::session::too_often)?;
        let given = form
            .code
            .as_deref()
            .unwrap_or_default()
            .trim()
            .to_lowercase();
        if !bool::from(given.as_bytes().ct_eq(code.as_bytes())) {
            let error = ApiError::new(
                StatusCode::FORBIDDEN,
                "wrong_code",
                "This is not the code for the first account.",
            );
            return Err(error
                .hint("It was printed where the server was started.")
                .field("code"));
        }
        app.throttle.right(&trier, network);
    }
    let person = app
        .school
        .found(&form.school, &form.name, &form.login, &form.password)
        .await?;
    let secret = app
        .school
        .start_session(&person.id, &device(&headers))
        .await?;
    signed_in(&app, &headers, person, &secret).await
}
