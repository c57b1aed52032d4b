//! Who asks.

use crate::app::App;
use crate::cookies::Cookie;
use crate::error::{ApiError, ApiResult};
use axum::extract::FromRequestParts;
use axum::http::HeaderMap;
use axum::http::header::AUTHORIZATION;
use axum::http::request::Parts;
use school::Actor;
use school::model::Person;

/// Longest secret that is looked at.
const LONGEST: usize = 200;

/// The person who asks and how they showed it.
#[derive(Clone, Debug)]
pub struct Caller {
    /// The person.
    pub person: Person,
    /// How.
    pub by: By,
}

/// How a person showed who they are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum By {
    /// Signed in; the session's secret.
    Session(String),
    /// A personal access token.
    Token,
}

impl Caller {
    /// As the record names who acts.
    #[must_use]
    pub fn actor(&self) -> Actor {
        Actor::from(&self.person)
    }

    /// The session's secret, if by session.
    #[must_use]
    pub fn session(&self) -> Option<&str> {
        match &self.by {
            By::Session(secret) => Some(secret),
            By::Token => None,
        }
    }
}

/// Finds out who asks; none = nobody.
///
/// # Errors
/// When a token is wrong, or token and cookie come together.
pub async fn identify(app: &App, headers: &HeaderMap) -> ApiResult<Option<Caller>> {
    let cookie = Cookie::Session
        .read(app.secure, headers)
        .filter(|secret| secret.len() <= LONGEST);
    if let Some(line) = headers.get(AUTHORIZATION) {
        if cookie.is_some() {
            return Err(
                ApiError::bad_request("Both a cookie and a token were sent.")
                    .hint("Send one of them."),
            );
        }
        let secret = line.to_str().ok().and_then(|line| {
            let (scheme, secret) = line.split_once(' ')?;
            scheme
                .eq_ignore_ascii_case("bearer")
                .then_some(secret.trim())
        });
        let person = match secret.filter(|secret| secret.len() <= LONGEST) {
            Some(secret) => app.school.token_person(secret).await?,
            None => None,
        };
        let person = person.ok_or_else(|| {
            ApiError::new(
                axum::http::StatusCode::UNAUTHORIZED,
                "bad_token",
                "This token does not work (any more).",
            )
            .hint("Make a new one on your account's page.")
        })?;
        return Ok(Some(Caller {
            person,
            by: By::Token,
        }));
    }
    let Some(secret) = cookie else {
        return Ok(None);
    };
    let person = app.school.session_person(&secret).await?;
    Ok(person.map(|person| Caller {
        person,
        by: By::Session(secret),
    }))
}

impl<S: Send + Sync> FromRequestParts<S> for Caller {
    type Rejection = ApiError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Caller, ApiError> {
        // The gate put it there; without the gate nobody is anybody.
        parts
            .extensions
            .get::<Caller>()
            .cloned()
            .ok_or_else(ApiError::signed_out)
    }
}
