//! When a turn begins and ends, from bank. Angles rad, times s, bank positive into the turn.

use super::wave::Wave;

/// Bank that counts as wings level, rad: pilots hold level to 2° or 3°; the roll is then over.
pub const LEVEL_RAD: f64 = 4.0 * std::f64::consts::PI / 180.0;
/// Bank at which a roll-in can be told from wandering wings, rad.
const SEEN_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// From the first aileron to [`SEEN_RAD`], s: a trainer needs about half a second to build up its roll
/// rate of 10 to 20 °/s (common practice, no source).
const ROLL_BUILD_UP_S: f64 = 0.35;
/// How near to the bank being held counts as being there, rad: the tolerance that both published
/// standards give for bank in a steep turn, 5° (FAA-S-ACS-6, task V.A).
const THERE_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Bank short of what is then held at which the roll-in is taken as done, rad: the last 10° are trimming.
const NEARLY_RAD: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// The four moments of a turn.
#[derive(Clone, Copy, Debug)]
pub struct Turn {
    /// First roll into the turn.
    pub roll_in_s: f64,
    /// Bank first within 10° of what is then held.
    pub established_s: f64,
    /// Bank last within 5° of what was held.
    pub roll_out_s: f64,
    /// Wings level again.
    pub level_s: f64,
    /// Median bank held, rad.
    pub held_rad: f64,
}

/// Finds the turn whose middle is near `middle_s`, inside `from_s..to_s`; it ends at the bank `level_rad`.
pub fn find(bank: &Wave, from_s: f64, to_s: f64, middle_s: f64, level_rad: f64) -> Option<Turn> {
    let into = bank.first_beyond(middle_s, to_s, SEEN_RAD, true)?;
    let seen = bank
        .last_beyond(from_s, into, SEEN_RAD, false)
        .unwrap_or(from_s);
    let level = bank
        .first_beyond(into, to_s, level_rad, false)
        .unwrap_or(to_s);
    // A roll straight into the opposite turn has no level part; the passage through level is the end.
    let held = held_bank(bank, seen, level);
    if !held.is_finite() {
        return None;
    }
    let there = (held - THERE_RAD).max(0.7 * held);
    let nearly = (held - NEARLY_RAD).max(0.7 * held);
    let established = bank.first_beyond(seen, level, nearly, true).unwrap_or(seen);
    let roll_out = bank
        .last_beyond(established, level, there, true)
        .unwrap_or(level);
    Some(Turn {
        roll_in_s: (seen - ROLL_BUILD_UP_S).max(from_s),
        established_s: established,
        roll_out_s: roll_out,
        level_s: level,
        held_rad: held,
    })
}

/// Bank in the middle half of the turn.
fn held_bank(bank: &Wave, from_s: f64, to_s: f64) -> f64 {
    let quarter = 0.25 * (to_s - from_s);
    bank.median(from_s + quarter, to_s - quarter)
}
