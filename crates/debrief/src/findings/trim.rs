//! Trim left alone in slow flight. Only a recording that carries trim and elevator can show it.
//!
//! Threshold: slow flight takes far more up elevator than cruise. Where the elevator moved by at least a
//! tenth of its travel between the setup and the established part, and the trim by less than a fiftieth,
//! the difference was held by hand for the whole time. Common practice, no source.

use super::{Case, plain};
use crate::document::Finding;
use maneuver::Kind;

const ELEVATOR_MOVED: f64 = 0.10;
const TRIM_MOVED: f64 = 0.02;
const HELD_S: f64 = 30.0;

pub(super) fn find(case: &Case) -> Option<Finding> {
    if case.maneuver.kind != Kind::SlowFlight {
        return None;
    }
    let established = case.maneuver.phase("established")?;
    if established.end_s - established.start_s < HELD_S {
        return None;
    }
    let before = (case.maneuver.start_s - 10.0, case.maneuver.start_s);
    let during = (established.start_s, established.end_s);
    let trace = case.recording.trim.as_ref()?;
    let moved = |values: &[f64]| {
        let mean = |(from_s, to_s): (f64, f64)| {
            let inside = trace.time_s.iter().zip(values);
            let known: Vec<f64> = inside
                .filter(|(time_s, value)| (from_s..=to_s).contains(time_s) && value.is_finite())
                .map(|(_, value)| *value)
                .collect();
            (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
        };
        Some((mean(during)? - mean(before)?).abs())
    };
    let (elevator, trim) = (moved(&trace.elevator)?, moved(&trace.trim)?);
    if elevator < ELEVATOR_MOVED || trim > TRIM_MOVED {
        return None;
    }
    let text = format!(
        "The elevator went {:.0} percent of its travel back and the trim {:.0}: you held the rest by hand for {:.0} s.",
        100.0 * elevator,
        100.0 * trim,
        during.1 - during.0
    );
    let mut finding = plain("not_trimmed", case.maneuver.kind.id(), text, during.0, 0.9)?;
    finding.until_s = Some(during.1);
    Some(finding)
}
