//! Everything put together: routes, gate, pages, headers, limits.

use crate::app::App;
use crate::error::ApiError;
use crate::gate::{BASE, gate};
use crate::{headers, host, pages};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::Response;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::IntoResponse;
use std::any::Any;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{NotForContentType, Predicate, SizeAbove};

/// Largest JSON body, bytes.
pub const JSON_BYTES: usize = 1_000_000;

/// The whole server as one service.
pub fn router(app: App) -> Router {
    let (api, _) = crate::routes::all().split_for_parts();
    let api = api
        .fallback(nothing)
        .method_not_allowed_fallback(wrong_method);
    let packed = SizeAbove::new(1024)
        .and(NotForContentType::const_new("application/zip"))
        .and(NotForContentType::const_new("application/pdf"))
        .and(NotForContentType::const_new(
            "application/vnd.apache.parquet",
        ));
    let api = api
        .layer(from_fn_with_state(app.clone(), gate))
        .layer(DefaultBodyLimit::max(JSON_BYTES))
        .layer(CompressionLayer::new().compress_when(packed));
    Router::new()
        .nest(BASE, api)
        .fallback(pages::pages)
        .layer(CatchPanicLayer::custom(panicked))
        .layer(from_fn_with_state(app.clone(), host::only_ours))
        .layer(from_fn(crate::log::log))
        .layer(from_fn_with_state(app.clone(), headers::dress))
        .with_state(app)
}

async fn nothing() -> ApiError {
    ApiError::not_found()
}

async fn wrong_method() -> ApiError {
    ApiError::new(
        axum::http::StatusCode::METHOD_NOT_ALLOWED,
        "wrong_method",
        "This address does not take that method.",
    )
}

/// A mistake of ours in one request must not be heard in another.
fn panicked(what: Box<dyn Any + Send + 'static>) -> Response<axum::body::Body> {
    let words = what
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| what.downcast_ref::<&str>().copied());
    ApiError::internal(format!(
        "a handler broke off: {}",
        words.unwrap_or("without words")
    ))
    .into_response()
}
