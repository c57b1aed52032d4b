//! The two cookies: the session, and the mark of a device that signed in before.
//!
//! HttpOnly, SameSite=Strict, Path=/ and no Domain; under TLS also Secure and the name prefix `__Host-`, with which
//! a browser refuses a cookie that another host of the same site has set (RFC 6265bis section 4.1.3).

use axum::http::HeaderMap;
use axum::http::header::{COOKIE, HeaderValue};

/// Name of the session's cookie; under TLS it stands behind `__Host-`.
const SESSION: &str = "proofwing_session";
/// Name of the device's cookie.
const DEVICE: &str = "proofwing_device";
/// How long a browser keeps the device's mark, s: half a year.
const DEVICE_S: u64 = 182 * 86_400;

/// Which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cookie {
    /// The session.
    Session,
    /// The device's mark.
    Device,
}

impl Cookie {
    /// The name as sent.
    #[must_use]
    pub fn name(self, secure: bool) -> String {
        let name = match self {
            Cookie::Session => SESSION,
            Cookie::Device => DEVICE,
        };
        if secure {
            format!("__Host-{name}")
        } else {
            name.to_owned()
        }
    }

    /// The value a request carries. Two of the same name are a trick and count as none.
    #[must_use]
    pub fn read(self, secure: bool, headers: &HeaderMap) -> Option<String> {
        let name = self.name(secure);
        let lines = headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|line| line.to_str().ok());
        let pairs = lines
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='));
        let mut values = pairs
            .filter(|(key, _)| *key == name)
            .map(|(_, value)| value);
        let value = values.next()?;
        values.next().is_none().then(|| value.to_owned())
    }

    /// Sets it.
    #[must_use]
    pub fn set(self, secure: bool, value: &str) -> Option<HeaderValue> {
        let life = match self {
            // It ends with the browser, or earlier when the server says so.
            Cookie::Session => String::new(),
            Cookie::Device => format!("; Max-Age={DEVICE_S}"),
        };
        self.line(secure, value, &life)
    }

    /// Takes it away.
    #[must_use]
    pub fn clear(self, secure: bool) -> Option<HeaderValue> {
        self.line(secure, "", "; Max-Age=0")
    }

    fn line(self, secure: bool, value: &str, life: &str) -> Option<HeaderValue> {
        let safe = if secure { "; Secure" } else { "" };
        let name = self.name(secure);
        HeaderValue::try_from(format!(
            "{name}={value}; Path=/; HttpOnly; SameSite=Strict{safe}{life}"
        ))
        .ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_host_prefix_has_what_rfc_6265bis_asks() {
        // RFC 6265bis section 4.1.3.2: `__Host-` needs Secure, Path=/ and no Domain.
        let line = Cookie::Session.set(true, "abc").unwrap();
        let line = line.to_str().unwrap();
        assert_eq!(
            line,
            "__Host-proofwing_session=abc; Path=/; HttpOnly; SameSite=Strict; Secure"
        );
        assert!(
            !Cookie::Session
                .set(false, "abc")
                .unwrap()
                .to_str()
                .unwrap()
                .contains("Secure")
        );
    }

    #[test]
    fn prop_reads_its_own_and_only_once() {
        let mut headers = HeaderMap::new();
        headers.insert(
            COOKIE,
            HeaderValue::from_static("a=1; proofwing_session=abc; proofwing_device=x.y"),
        );
        assert_eq!(
            Cookie::Session.read(false, &headers).as_deref(),
            Some("abc")
        );
        assert_eq!(Cookie::Device.read(false, &headers).as_deref(), Some("x.y"));
        assert_eq!(Cookie::Session.read(true, &headers), None);
        headers.append(COOKIE, HeaderValue::from_static("proofwing_session=other"));
        assert_eq!(Cookie::Session.read(false, &headers), None);
    }
}
