//! Whether a request was made by our own page (CSRF).
//!
//! A request that changes something must carry `X-Proofwing-Request: 1`, which a form of another site cannot send and
//! a script of another site cannot without this server agreeing first (it never does). Where the browser tells
//! `Origin` or `Sec-Fetch-Site`, these must say the same (OWASP Cross-Site Request Forgery Prevention Cheat Sheet:
//! custom request headers, Fetch Metadata, verifying the origin).

use crate::error::ApiError;
use crate::host::asked_host;
use axum::http::header::ORIGIN;
use axum::http::request::Parts;
use axum::http::{Method, StatusCode};

/// The header that our pages send with every request that changes something.
pub const HEADER: &str = "x-proofwing-request";

/// Whether a method changes nothing (RFC 9110 section 9.2.1).
#[must_use]
pub fn is_safe(method: &Method) -> bool {
    matches!(*method, Method::GET | Method::HEAD | Method::OPTIONS)
}

/// Checks that a request with a cookie, or without anything, comes from our own page.
///
/// # Errors
/// 403 with what is missing.
pub fn check(parts: &Parts) -> Result<(), ApiError> {
    // `none` is a person typing an address; our own pages' requests are `same-origin`.
    let site = parts
        .headers
        .get("sec-fetch-site")
        .and_then(|value| value.to_str().ok());
    if !matches!(site, None | Some("same-origin" | "none")) {
        return Err(foreign());
    }
    if is_safe(&parts.method) {
        return Ok(());
    }
    if let Some(origin) = parts.headers.get(ORIGIN) {
        let host = asked_host(&parts.uri, &parts.headers);
        let origin = origin
            .to_str()
            .ok()
            .and_then(|origin| origin.split_once("://"));
        // `null` has no host and is refused.
        if !matches!((origin, host), (Some((_, origin)), Some(host)) if origin.eq_ignore_ascii_case(&host))
        {
            return Err(foreign());
        }
    }
    if parts.headers.get(HEADER).is_none_or(|value| value != "1") {
        return Err(ApiError::new(
            StatusCode::FORBIDDEN,
            "no_request_header",
            "This request did not come from the page.",
        )
        .hint("A script uses a personal access token instead of the cookie."));
    }
    Ok(())
}

fn foreign() -> ApiError {
    ApiError::new(
        StatusCode::FORBIDDEN,
        "foreign_origin",
        "This request came from another site.",
    )
    .hint("Open the page by the address that the server printed.")
}
