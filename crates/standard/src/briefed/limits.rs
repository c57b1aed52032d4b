//! What an aircraft can be asked for, and the words when something else is written: the same for the file
//! and for JSON.

/// Limits of a number by its key, both included.
#[derive(Clone, Copy)]
pub(super) struct Limit {
    key: &'static str,
    low: f64,
    high: f64,
}

const fn limit(key: &'static str, low: f64, high: f64) -> Limit {
    Limit { key, low, high }
}

/// Eleven days: longer than any recording.
pub(super) const AT_S: Limit = limit("at_s", 0.0, 1e6);
pub(super) const BANK_DEG: Limit = limit("bank_deg", 0.0, 75.0);
pub(super) const HEADING_DEG: Limit = limit("heading_deg", 0.0, 360.0);
pub(super) const SPEED_KIAS: Limit = limit("speed_kias", 20.0, 400.0);
pub(super) const ALTITUDE_FT: Limit = limit("altitude_ft", -1500.0, 40000.0);

pub(super) const MEND_NUMBER: &str = "correct the number";
pub(super) const COUNTING: &str = "counting starts at 1";
pub(super) const MEND_COUNTING: &str = "write 1 for the first";
pub(super) const MEND_RECOVERY: &str = "write full_stall or first_indication";
pub(super) const MEND_KIND: &str = "write the id of a maneuver, e.g. power_off_stall";

impl Limit {
    /// The number, or what is wrong with it.
    pub(super) fn checked(self, number: f64) -> Result<f64, String> {
        let Limit { key, low, high } = self;
        if (low..=high).contains(&number) {
            Ok(number)
        } else {
            Err(format!("{key} {number} is not {low} to {high}"))
        }
    }
}

pub(super) fn unknown_recovery(word: &str) -> String {
    format!("recovery '{word}' is not known")
}

pub(super) fn unknown_kind(word: &str) -> String {
    format!("kind '{word}' is not known")
}
