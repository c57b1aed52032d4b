//! Times, answers and limits in words.

use crate::document::Debrief;
use crate::words::{exact, iso_utc, with_sigma};
use standard::{Mark, Verdict};

/// Times of a debrief as people read them: UTC where the recording tells, else from its start.
#[derive(Clone, Copy)]
pub(super) struct Times<'a> {
    start_utc: Option<&'a str>,
}

impl<'a> Times<'a> {
    pub(super) fn of(document: &'a Debrief) -> Times<'a> {
        Times {
            start_utc: document.recording.start_utc.as_deref(),
        }
    }

    /// `14:31:20 UTC`, or `12:05 from the start` in minutes and seconds.
    pub(super) fn at(self, time_s: f64) -> String {
        let clock = self
            .start_utc
            .and_then(unix_s)
            .and_then(|start_s| iso_utc(start_s + time_s))
            .and_then(|text| Some(text.get(11..19)?.to_owned()));
        match clock {
            Some(clock) => format!("{clock} UTC"),
            None => {
                let seconds = time_s.max(0.0).round();
                let (minutes, seconds) = ((seconds / 60.0).floor(), seconds.rem_euclid(60.0));
                format!("{minutes:.0}:{seconds:02.0} from the start")
            }
        }
    }

    /// The same to a tenth of a second from the recording's start: `at 14:31:20 UTC (812.4 s)`.
    pub(super) fn exact(self, time_s: f64) -> String {
        format!("{} ({time_s:.1} s)", self.at(time_s))
    }
}

/// Seconds of the day of an ISO 8601 time in UTC; the day itself does not matter here.
fn unix_s(text: &str) -> Option<f64> {
    let clock = text.get(11..19)?;
    let mut seconds = 0.0;
    for part in clock.split(':') {
        seconds = 60.0 * seconds + part.parse::<f64>().ok()?;
    }
    Some(seconds)
}

/// `met, worst 14 ± 2°`.
pub(super) fn answer(mark: &Mark) -> String {
    let word = match mark.mark {
        Verdict::Met => "met",
        Verdict::NotMet => "not met",
        Verdict::TooClose => "too close to call",
        Verdict::NotRecorded => "not recorded",
        Verdict::ForInstructor => "for the instructor",
    };
    match mark.worst {
        Some(worst) => {
            let sigma = mark.sigma.unwrap_or(f64::NAN);
            format!("{word} at {}", with_sigma(worst, sigma, &mark.unit))
        }
        None => word.to_owned(),
    }
}

/// `80 to 100°`, `at least 1,500 ft`; empty = none.
pub(super) fn limit(mark: &Mark) -> String {
    // A limit about what was flown moves in its tenths with every boundary: nobody reads those.
    let shown = |value: f64| match mark.unit.as_str() {
        "ft" | "kt" | "deg" | "%" => exact(value.round(), &mark.unit),
        unit => exact((value * 100.0).round() / 100.0, unit),
    };
    match (mark.low, mark.high) {
        (Some(low), Some(high)) => format!("{} to {}", shown(low), shown(high)),
        (Some(low), None) => format!("at least {}", shown(low)),
        (None, Some(high)) => format!("at most {}", shown(high)),
        (None, None) => String::new(),
    }
}

/// Where a recovery was to begin.
pub(super) fn recovery(id: &str) -> String {
    match id {
        "full_stall" => "after a full stall".to_owned(),
        "first_indication" => "at the first indication".to_owned(),
        other => other.replace('_', " "),
    }
}
