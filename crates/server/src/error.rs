//! What a request is told when it is not done: `{code, message, hint?, field?}` with the right status.

use crate::wire::Problem;
use axum::Json;
use axum::http::header::{CACHE_CONTROL, RETRY_AFTER};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use school::SchoolError;

/// What a handler gives when it cannot do what was asked.
#[derive(Clone, Debug)]
pub struct ApiError {
    status: StatusCode,
    problem: Box<Problem>,
    retry_after_s: Option<u64>,
}

/// What a handler gives.
pub type ApiResult<T> = Result<T, ApiError>;

impl ApiError {
    /// An error with its status, stable code and words.
    pub fn new(status: StatusCode, code: &str, message: impl Into<String>) -> ApiError {
        let problem = Problem {
            code: code.to_owned(),
            message: message.into(),
            ..Problem::default()
        };
        ApiError {
            status,
            problem: Box::new(problem),
            retry_after_s: None,
        }
    }

    /// How to mend it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> ApiError {
        self.problem.hint = Some(hint.into());
        self
    }

    /// Which field is meant.
    #[must_use]
    pub fn field(mut self, field: impl Into<String>) -> ApiError {
        self.problem.field = Some(field.into());
        self
    }

    /// When to try again, s.
    #[must_use]
    pub fn retry_after(mut self, seconds: u64) -> ApiError {
        self.retry_after_s = Some(seconds);
        self
    }

    /// Its status.
    #[must_use]
    pub fn status(&self) -> StatusCode {
        self.status
    }

    /// Nothing is there, or nothing that the one who asks may know of: both read alike.
    #[must_use]
    pub fn not_found() -> ApiError {
        ApiError::new(StatusCode::NOT_FOUND, "not_found", "There is nothing here.")
            .hint("It may have been set aside, or it may not be yours to see.")
    }

    /// Nobody is signed in.
    #[must_use]
    pub fn signed_out() -> ApiError {
        ApiError::new(
            StatusCode::UNAUTHORIZED,
            "signed_out",
            "Nobody is signed in here.",
        )
        .hint("Sign in. What you had written is still on the page.")
    }

    /// Signed in, but the role does not allow it.
    #[must_use]
    pub fn forbidden() -> ApiError {
        ApiError::new(
            StatusCode::FORBIDDEN,
            "forbidden",
            "Your role does not allow this.",
        )
        .hint("Ask the chief instructor.")
    }

    /// A request that cannot be read.
    pub fn bad_request(message: impl Into<String>) -> ApiError {
        ApiError::new(StatusCode::BAD_REQUEST, "bad_request", message)
    }

    /// All places for such work are taken.
    #[must_use]
    pub fn busy() -> ApiError {
        ApiError::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "busy",
            "The server is busy with other work of this kind.",
        )
        .hint("Nothing was lost. Try again in a few seconds.")
        .retry_after(3)
    }

    /// A failure inside the program: `words` go to the log only, under a number that the answer tells.
    pub fn internal(words: impl std::fmt::Display) -> ApiError {
        let id = log_id();
        tracing::error!(log_id = %id, "{words}");
        let mut error = ApiError::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "internal",
            "Something failed inside the program. What was acknowledged before is kept.",
        )
        .hint(format!(
            "Try again. If it fails again, look for {id} in the program's log."
        ));
        error.problem.log_id = Some(id);
        error
    }
}

/// A short number by which a line of the log is found.
fn log_id() -> String {
    let mut bytes = [0u8; 6];
    // Without randomness the number is 0: still an answer, only harder to find.
    let _ = getrandom::fill(&mut bytes);
    school::secret::hex(&bytes)
}

impl From<SchoolError> for ApiError {
    fn from(error: SchoolError) -> ApiError {
        let status = match &error {
            SchoolError::NotFound { .. } => return ApiError::not_found(),
            SchoolError::Store(_) => return ApiError::internal(error.for_log()),
            SchoolError::Conflict { .. } => StatusCode::CONFLICT,
            SchoolError::Invalid { .. } | SchoolError::Problems(_) => {
                StatusCode::UNPROCESSABLE_ENTITY
            }
            SchoolError::Denied { .. } => StatusCode::FORBIDDEN,
        };
        let mut answer = ApiError::new(status, error.code(), error.to_string());
        answer.problem.hint = error.hint().map(str::to_owned);
        answer.problem.field = error.field().map(str::to_owned);
        if let SchoolError::Problems(problems) = error {
            answer.problem.problems = problems;
        }
        answer
    }
}

impl IntoResponse for ApiError {
    fn into_response(self) -> Response {
        let mut response = (self.status, Json(*self.problem)).into_response();
        response
            .headers_mut()
            .insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
        if let Some(seconds) = self.retry_after_s {
            response
                .headers_mut()
                .insert(RETRY_AFTER, HeaderValue::from(seconds));
        }
        response
    }
}
