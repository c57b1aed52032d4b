//! The pages, embedded. A debug build reads them from disk, so that a page can be changed without building anew.

use axum::body::Body;
use axum::http::header::{
    ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, ETAG, IF_NONE_MATCH, VARY,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::{EmbeddedFile, RustEmbed};

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
#[allow_missing = true]
struct Dist;

/// What `/` says in a program that was built without pages.
const WITHOUT: &str = "Proofwing was built without its pages; the API answers at /api/v1.\n\
     To have the pages, run `make pages` with Node 20 or newer, and build again.\n";

/// Answers with a page's file; a path that is a page's address (no file of that name, no dot) gets the page itself.
pub async fn pages(method: Method, uri: Uri, headers: HeaderMap) -> Response {
    if !matches!(method, Method::GET | Method::HEAD) {
        return StatusCode::METHOD_NOT_ALLOWED.into_response();
    }
    let path = uri.path().trim_start_matches('/');
    if !path.is_empty() && is_file_name(path) {
        return match file(path, &headers) {
            Some(response) => response,
            None => plain(StatusCode::NOT_FOUND, "There is no such file.\n"),
        };
    }
    file("index.html", &headers).unwrap_or_else(|| plain(StatusCode::SERVICE_UNAVAILABLE, WITHOUT))
}

/// A file's last part has a dot, a page's address has none.
fn is_file_name(path: &str) -> bool {
    path.rsplit('/')
        .next()
        .is_some_and(|last| last.contains('.'))
        || path.starts_with("assets/")
}

fn file(path: &str, headers: &HeaderMap) -> Option<Response> {
    // Packed files lie beside the plain ones; they are no addresses of their own.
    if path.ends_with(".gz") || path.split('/').any(|part| part == "..") {
        return None;
    }
    let plain = Dist::get(path)?;
    let etag = HeaderValue::try_from(format!(
        "\"{}\"",
        school::secret::hex(&plain.metadata.sha256_hash())
    ))
    .ok()?;
    if headers
        .get(IF_NONE_MATCH)
        .is_some_and(|known| known == etag)
    {
        return Some(with(StatusCode::NOT_MODIFIED.into_response(), path, etag));
    }
    let packed = if accepts_gzip(headers) {
        Dist::get(&format!("{path}.gz"))
    } else {
        None
    };
    let is_packed = packed.is_some();
    let mut response = body(packed.unwrap_or(plain)).into_response();
    if is_packed {
        response
            .headers_mut()
            .insert(CONTENT_ENCODING, HeaderValue::from_static("gzip"));
    }
    Some(with(response, path, etag))
}

fn with(mut response: Response, path: &str, etag: HeaderValue) -> Response {
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind(path)));
    headers.insert(ETAG, etag);
    headers.insert(VARY, HeaderValue::from_static("accept-encoding"));
    // Under `assets/` the build puts the content's digest into the name.
    let hashed = path.starts_with("assets/");
    let keep = if hashed {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    headers.insert(CACHE_CONTROL, HeaderValue::from_static(keep));
    response
}

fn body(file: EmbeddedFile) -> Body {
    match file.data {
        std::borrow::Cow::Borrowed(bytes) => Body::from(bytes),
        std::borrow::Cow::Owned(bytes) => Body::from(bytes),
    }
}

/// Whether gzip is welcome (RFC 9110 section 12.5.3; `q=0` says no).
fn accepts_gzip(headers: &HeaderMap) -> bool {
    let lines = headers
        .get_all(ACCEPT_ENCODING)
        .iter()
        .filter_map(|line| line.to_str().ok());
    lines.flat_map(|line| line.split(',')).any(|choice| {
        let mut parts = choice.split(';').map(str::trim);
        let name = parts.next().unwrap_or_default();
        let refused = parts.any(|part| matches!(part, "q=0" | "q=0.0" | "q=0.00" | "q=0.000"));
        name.eq_ignore_ascii_case("gzip") && !refused
    })
}

fn kind(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "wasm" => "application/wasm",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn plain(status: StatusCode, text: &'static str) -> Response {
    (status, [(CONTENT_TYPE, "text/plain; charset=utf-8")], text).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_gzip_is_sent_only_to_who_takes_it() {
        // RFC 9110 section 12.5.3, examples.
        let asks = |value: &'static str| {
            let mut headers = HeaderMap::new();
            headers.insert(ACCEPT_ENCODING, HeaderValue::from_static(value));
            accepts_gzip(&headers)
        };
        assert!(asks("compress, gzip"));
        assert!(asks("gzip;q=1.0, identity; q=0.5, *;q=0"));
        assert!(!asks("compress;q=0.5, gzip;q=0"));
        assert!(!accepts_gzip(&HeaderMap::new()));
    }

    #[test]
    fn prop_addresses_of_pages_are_no_files() {
        assert!(!is_file_name("lessons/0193-abc"));
        assert!(is_file_name("assets/index-3fk2.js") && is_file_name("favicon.svg"));
        assert!(is_file_name("assets/missing"));
    }
}
