//! One line of the log for each request: never a query, a header or a body, which may hold names or secrets.

use axum::extract::{MatchedPath, Request};
use axum::middleware::Next;
use axum::response::Response;
use std::time::Instant;

/// Logs a request.
pub async fn log(request: Request, next: Next) -> Response {
    let begun = Instant::now();
    let method = request.method().clone();
    // The pattern, not the path: an invitation's path holds its secret.
    let path = request
        .extensions()
        .get::<MatchedPath>()
        .map_or_else(|| "(page)".to_owned(), |path| path.as_str().to_owned());
    let response = next.run(request).await;
    let (status, ms) = (response.status().as_u16(), begun.elapsed().as_millis());
    tracing::info!(target: "proofwing::requests", %method, path, status, ms);
    response
}
