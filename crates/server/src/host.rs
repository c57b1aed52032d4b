//! Which names this server answers to. A page of another site that makes its own name point here (DNS rebinding)
//! still sends its own name as Host, and is turned away.

use crate::app::App;
use crate::error::ApiError;
use crate::options::Options;
use axum::extract::{Request, State};
use axum::http::header::HOST;
use axum::http::{StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Names by which a server with these options may be asked, lower case, without port.
#[must_use]
pub fn hosts(options: &Options) -> Vec<String> {
    let mut hosts: Vec<String> = ALWAYS.iter().map(|&name| name.to_owned()).collect();
    hosts.extend(
        options
            .host_names
            .iter()
            .map(|name| name.trim().to_lowercase()),
    );
    let ip = options.address.ip();
    if !ip.is_unspecified() && !ip.is_loopback() {
        hosts.push(in_url(ip));
    }
    hosts
}

/// Names of the computer itself.
pub const ALWAYS: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];

/// An address as a URL writes it.
#[must_use]
pub fn in_url(ip: std::net::IpAddr) -> String {
    match ip {
        std::net::IpAddr::V4(ip) => ip.to_string(),
        std::net::IpAddr::V6(ip) => format!("[{ip}]"),
    }
}

/// The host a request is for: from the request line (HTTP/2) or the Host header.
#[must_use]
pub fn asked_host(uri: &Uri, headers: &axum::http::HeaderMap) -> Option<String> {
    if let Some(authority) = uri.authority() {
        return Some(authority.as_str().to_lowercase());
    }
    let mut values = headers.get_all(HOST).iter();
    let host = values.next()?.to_str().ok()?.to_lowercase();
    // Two Host headers are a trick (RFC 9112 section 3.2).
    values.next().is_none().then_some(host)
}

/// The host without its port.
#[must_use]
pub fn without_port(host: &str) -> &str {
    match host.rsplit_once(':') {
        Some((name, port))
            if !port.is_empty() && port.bytes().all(|byte| byte.is_ascii_digit()) =>
        {
            name
        }
        _ => host,
    }
}

/// Turns away requests for other names.
pub async fn only_ours(State(app): State<App>, request: Request, next: Next) -> Response {
    let asked = asked_host(request.uri(), request.headers());
    let ours = asked
        .as_deref()
        .map(without_port)
        .is_some_and(|host| app.hosts.iter().any(|name| name == host));
    if ours {
        return next.run(request).await;
    }
    let asked: String = asked.unwrap_or_default().chars().take(100).collect();
    ApiError::new(
        StatusCode::MISDIRECTED_REQUEST,
        "wrong_host",
        format!("This server does not go by the name `{asked}`."),
    )
    .hint("Use the address it printed when it was started, or start it with `--host-name NAME`.")
    .into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_hosts_are_written_as_in_rfc_3986() {
        // RFC 3986 section 3.2.2: IPv6 literals stand in brackets, and only a colon after them is a port.
        assert_eq!(without_port("[::1]:8440"), "[::1]");
        assert_eq!(without_port("[::1]"), "[::1]");
        assert_eq!(without_port("school.example:443"), "school.example");
        assert_eq!(without_port("school.example"), "school.example");
        assert_eq!(in_url("2001:db8::7".parse().unwrap()), "[2001:db8::7]");
    }
}
