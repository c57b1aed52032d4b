//! The record's clock: UTC with milliseconds, in a text that sorts as time does.

use crate::error::{Result, SchoolError};
use jiff::{SignedDuration, Timestamp};
use std::sync::atomic::{AtomicI64, Ordering};

/// The computer's clock, which a test or the making of a demo school can set forward or back.
#[derive(Debug, Default)]
pub struct Clock {
    offset_ms: AtomicI64,
}

impl Clock {
    /// Now.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        let offset = SignedDuration::from_millis(self.offset_ms.load(Ordering::Relaxed));
        let now = Timestamp::now();
        now.checked_add(offset).unwrap_or(now)
    }

    /// Now as the record writes it.
    #[must_use]
    pub fn now_utc(&self) -> String {
        to_utc(self.now())
    }

    /// `seconds` from now (negative = before) as the record writes it.
    #[must_use]
    pub fn from_now_utc(&self, seconds: i64) -> String {
        let now = self.now();
        to_utc(
            now.checked_add(SignedDuration::from_secs(seconds))
                .unwrap_or(now),
        )
    }

    /// Moves the clock by `seconds`; adds up. For tests, and for a demo school that needs a past.
    pub fn shift(&self, seconds: i64) {
        self.offset_ms
            .fetch_add(seconds.saturating_mul(1000), Ordering::Relaxed);
    }
}

/// RFC 3339 in UTC with milliseconds, always 24 characters for the years 0 to 9999: sorts as time does.
#[must_use]
pub fn to_utc(at: Timestamp) -> String {
    format!("{at:.3}")
}

/// The moment that a text of the record names.
///
/// # Errors
/// When the text is no RFC 3339 time.
pub fn from_utc(text: &str) -> Result<Timestamp> {
    text.parse().map_err(|_| {
        SchoolError::invalid(
            "time",
            format!("`{text}` is no time."),
            "Write it as 2026-05-04T14:31:20Z, in UTC.",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_times_follow_rfc_3339() {
        // RFC 3339 section 5.8, first example: 20 minutes and 50.52 seconds after the 23rd hour of April 12th, 1985.
        let at = from_utc("1985-04-12T23:20:50.52Z").unwrap();
        assert_eq!(at.as_millisecond(), 482_196_050_520);
        assert_eq!(to_utc(at), "1985-04-12T23:20:50.520Z");
        assert!(from_utc("yesterday").is_err());
    }

    #[test]
    fn prop_a_shifted_clock_sorts_after() {
        let clock = Clock::default();
        let before = clock.now_utc();
        clock.shift(3600);
        assert!(clock.now_utc() > before);
        assert!(clock.from_now_utc(60) > clock.now_utc());
        assert_eq!(before.len(), 24);
    }
}
