//! Bodies, queries and path parts read so that what cannot be read is told in the API's own error shape.

use crate::error::ApiError;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{FromRequest, FromRequestParts, Path, Query, Request};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::http::request::Parts;
use serde::de::DeserializeOwned;

/// A JSON body.
pub struct Body<T>(pub T);

/// The query.
pub struct Asked<T>(pub T);

/// The variable parts of the path.
pub struct Part<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = ApiError;

    async fn from_request(request: Request, state: &S) -> Result<Body<T>, ApiError> {
        // A form of another site can send text or form fields, but not JSON without the browser asking first.
        let kind = request
            .headers()
            .get(CONTENT_TYPE)
            .and_then(|value| value.to_str().ok())
            .unwrap_or_default();
        let kind = kind.split(';').next().unwrap_or_default().trim();
        if !kind.eq_ignore_ascii_case("application/json") {
            let message = format!("The body is `{kind}`, not JSON.");
            let error = ApiError::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "not_json", message);
            return Err(error.hint("Send it with the header `Content-Type: application/json`."));
        }
        let bytes = Bytes::from_request(request, state).await.map_err(unread)?;
        serde_json::from_slice(&bytes).map(Body).map_err(|error| {
            ApiError::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "bad_json",
                format!("The body cannot be used: {error}."),
            )
            .hint("Compare it with the description at /api/v1/openapi.json.")
        })
    }
}

/// A body that did not come whole.
fn unread(rejection: BytesRejection) -> ApiError {
    if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
        return too_large();
    }
    ApiError::bad_request("The body did not come whole.").hint("Send it again.")
}

/// A body beyond the limit.
pub fn too_large() -> ApiError {
    ApiError::new(StatusCode::PAYLOAD_TOO_LARGE, "too_large", "This is larger than the server takes.")
        .hint("JSON may have 1 MB, a recording 512 MB. Pack a recording with gzip, or cut it into flights.")
}

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Asked<T> {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Asked<T>, ApiError> {
        let query = Query::<T>::from_request_parts(parts, state).await;
        query.map(|Query(asked)| Asked(asked)).map_err(|rejection| {
            ApiError::bad_request(format!(
                "The query cannot be used: {}.",
                rejection.body_text()
            ))
            .hint("Compare it with the description at /api/v1/openapi.json.")
        })
    }
}

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for Part<T> {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Part<T>, ApiError> {
        // A number that is none, a broken escape: there is nothing at such an address.
        let path = Path::<T>::from_request_parts(parts, state).await;
        path.map(|Path(part)| Part(part))
            .map_err(|_| ApiError::not_found())
    }
}
