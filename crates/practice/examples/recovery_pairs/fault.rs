//! Faults of a recovery, each of a size.

use practice::maneuvers::stalls::Stall;
use rand::RngExt;
use rand::seq::SliceRandom;
use rand_pcg::Pcg64;
use serde_json::{Value, json};

/// A fault as it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault {
    /// Which.
    pub kind: Kind,
    /// How much, in the unit of the kind.
    pub size: f64,
    /// How brisk or how early, 0 to 1.
    pub brisk: f64,
}

/// Which fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    StallHeld,
    LateFullPower,
    WeakPower,
    UnloadedTooFar,
    SecondaryStall,
    FlapsLeftDown,
    FlapsRetractedTogether,
    ClimbedLate,
}

use Kind::*;

const ALL: [Kind; 8] = [
    StallHeld,
    LateFullPower,
    WeakPower,
    UnloadedTooFar,
    SecondaryStall,
    FlapsLeftDown,
    FlapsRetractedTogether,
    ClimbedLate,
];

impl Kind {
    /// Id, and what its size is in.
    pub fn id_and_unit(self) -> (&'static str, &'static str) {
        match self {
            StallHeld => ("stall_held", "s longer than the clean recovery"),
            LateFullPower => ("late_full_power", "s later than in the clean recovery"),
            WeakPower => ("weak_power", "throttle, 0 to 1"),
            UnloadedTooFar => ("unloaded_too_far", "deg of pitch"),
            SecondaryStall => ("secondary_stall", "s held"),
            FlapsLeftDown => ("flaps_left_down", "deg of flap"),
            FlapsRetractedTogether => ("flaps_retracted_together", "deg of flap"),
            ClimbedLate => ("climbed_late", "s level"),
        }
    }

    /// Whether this stall offers it: flaps must be down to be left or to come up in more than one step.
    fn fits(self, stall: &Stall) -> bool {
        match self {
            FlapsLeftDown => stall.detent > 0,
            FlapsRetractedTogether => stall.detent > 1,
            _ => true,
        }
    }

    /// One of a size that an instructor would see.
    fn draw(self, stall: &Stall, flap_deg: f64, dice: &mut Pcg64) -> Fault {
        let size = match self {
            StallHeld => dice.random_range(2.0..6.0),
            LateFullPower => dice.random_range(2.0..7.0),
            // Power-on stalls have power already: there the hand does not go further, or a little back.
            WeakPower => match stall.entry_throttle {
                Some(entry) if entry > 0.5 => entry * dice.random_range(0.8..1.0),
                _ => dice.random_range(0.45..0.8),
            },
            UnloadedTooFar => dice.random_range(4.0..12.0),
            SecondaryStall => dice.random_range(0.0..1.2),
            FlapsLeftDown | FlapsRetractedTogether => flap_deg,
            ClimbedLate => dice.random_range(6.0..24.0),
        };
        Fault {
            kind: self,
            size,
            brisk: dice.random(),
        }
    }
}

impl Fault {
    /// Puts it into a stall.
    pub fn put(&self, stall: &mut Stall) {
        match self.kind {
            StallHeld => stall.held_s += self.size,
            LateFullPower => stall.late_power_s += self.size,
            WeakPower => stall.recovery_throttle = self.size,
            UnloadedTooFar => {
                stall.deep = self.size.to_radians();
                stall.unload_s = 0.8 + 0.7 * self.brisk;
            }
            SecondaryStall => {
                stall.second = true;
                stall.second_held_s = self.size;
                stall.second_rate_per_s = 0.4 + 0.4 * self.brisk;
            }
            FlapsLeftDown => stall.flaps_stay = true,
            // With the power, or once the nose comes up: both are seen.
            FlapsRetractedTogether => {
                stall.together = true;
                if self.brisk < 0.5 {
                    stall.together_in_unload_s = Some(0.3 + 3.0 * self.brisk);
                }
            }
            ClimbedLate => stall.level_s = self.size,
        }
    }

    /// For the truth.
    pub fn told(&self) -> Value {
        let (id, unit) = self.kind.id_and_unit();
        let tidy = crate::truth::tidy;
        json!({ "id": id, "size": tidy(self.size), "unit": unit, "brisk": tidy(self.brisk) })
    }
}

/// Every single fault that the stall offers, then so many pairs of them that can be made in one recovery.
pub fn all(stall: &Stall, flap_deg: f64, doubles: usize, dice: &mut Pcg64) -> Vec<Vec<Fault>> {
    let kinds: Vec<Kind> = ALL.into_iter().filter(|kind| kind.fits(stall)).collect();
    let mut out: Vec<Vec<Fault>> = kinds
        .iter()
        .map(|kind| vec![kind.draw(stall, flap_deg, dice)])
        .collect();
    let mut both: Vec<(Kind, Kind)> = Vec::new();
    for (index, one) in kinds.iter().enumerate() {
        for other in kinds.iter().skip(index + 1) {
            // Flaps that stay do not come up together.
            if (*one, *other) != (FlapsLeftDown, FlapsRetractedTogether) {
                both.push((*one, *other));
            }
        }
    }
    both.shuffle(dice);
    for (one, other) in both.into_iter().take(doubles) {
        out.push(vec![
            one.draw(stall, flap_deg, dice),
            other.draw(stall, flap_deg, dice),
        ]);
    }
    out
}
