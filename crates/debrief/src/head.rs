//! What a debrief needs of a recording once the flight is reconstructed: small enough to keep.

use recording::{Account, Quantity, Recording};
use serde::Serialize;

/// A recording without its samples, but for the two channels that no [`flight::Flight`] carries as recorded.
///
/// A program that marks a flight again and again (another pack, another briefing, a corrected maneuver) keeps
/// this beside the flight instead of the whole recording.
#[derive(Clone, Debug, Default)]
pub struct RecordingHead {
    /// File name or the like.
    pub name: String,
    /// UTC of the first sample, seconds since 1970, when the file tells.
    pub start_unix_s: Option<f64>,
    /// Seconds from the first sample to the last.
    pub duration_s: f64,
    /// Median interval between samples, s.
    pub interval_s: f64,
    /// Ids of the channels that were understood, in the recording's order.
    pub channels: Vec<String>,
    /// What was wrong, and what became of it.
    pub account: Account,
    /// Elevator and pitch trim as recorded, where both are.
    pub(crate) trim: Option<TrimTrace>,
}

/// Elevator and pitch trim over time.
#[derive(Clone, Debug, Default)]
pub(crate) struct TrimTrace {
    /// Seconds since the first sample.
    pub time_s: Vec<f64>,
    /// Share of travel, nose up positive; NaN where none was written.
    pub elevator: Vec<f64>,
    /// The same of the trim.
    pub trim: Vec<f64>,
}

impl From<&Recording> for RecordingHead {
    fn from(recording: &Recording) -> RecordingHead {
        let mut channels: Vec<String> = recording
            .channels
            .iter()
            .filter(|channel| channel.quantity != Quantity::Other)
            .filter_map(|channel| id(&channel.quantity))
            .collect();
        channels.dedup();
        let elevator = recording.values(Quantity::Elevator);
        let trim = recording.values(Quantity::PitchTrim);
        RecordingHead {
            name: recording.name.clone(),
            start_unix_s: recording.start_unix_s,
            duration_s: recording.time_s.last().copied().unwrap_or(0.0),
            interval_s: recording.interval_s,
            channels,
            account: recording.account.clone(),
            trim: elevator.zip(trim).map(|(elevator, trim)| TrimTrace {
                time_s: recording.time_s.clone(),
                elevator: elevator.to_vec(),
                trim: trim.to_vec(),
            }),
        }
    }
}

/// The snake-case id that serde gives a plain variant.
fn id<T: Serialize>(value: &T) -> Option<String> {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(id)) => Some(id),
        _ => None,
    }
}
