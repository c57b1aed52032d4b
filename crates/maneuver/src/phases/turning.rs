//! One turn from wings level on, as its kind looks at it: bank and heading counted into the turn.

use super::entry::heading_change_sigma_rad;
use super::motion::Motion;
use super::turn;
use super::wave::Wave;
use crate::{Direction, Span};
use flight::Origin;

/// A turn counted from its roll-in.
pub struct Turning {
    /// +1 to the right, −1 to the left.
    pub sign: f64,
    /// First roll into the turn, s.
    pub roll_in_s: f64,
    /// Bank into the turn, rad.
    pub bank: Wave,
    /// Turned since the roll-in, into the turn, rad.
    pub turned: Wave,
    /// Origin of the heading.
    pub origin: Origin,
}

impl Turning {
    /// The turn that is under way at `inside_s`; none where bank or heading is not known.
    #[must_use]
    pub fn new(motion: &Motion, span: &Span, inside_s: f64) -> Option<Turning> {
        let right = match span.direction {
            Direction::Left | Direction::LeftRight => false,
            Direction::Right | Direction::RightLeft => true,
            _ => motion.bank.median(span.start_s, span.end_s) > 0.0,
        };
        let sign = if right { 1.0 } else { -1.0 };
        let bank = motion.bank.map(|bank| sign * bank);
        let level = turn::LEVEL_RAD;
        let before = bank.last_beyond(motion.from_s, inside_s, level, false);
        let from_s = before.map_or(span.start_s, |_| motion.from_s);
        let found = turn::find(&bank, from_s, motion.to_s, inside_s, level)?;
        let roll_in_s = found.roll_in_s;
        let (_, origin) = motion.quality(motion.flight.heading.as_ref(), roll_in_s);
        let start = motion.heading.mean(roll_in_s - 1.5, roll_in_s + 0.2);
        if !start.is_finite() {
            return None;
        }
        let turned = motion.heading.map(|heading| sign * (heading - start));
        Some(Turning {
            sign,
            roll_in_s,
            bank,
            turned,
            origin,
        })
    }

    /// The same flight seen as a turn the other way.
    #[must_use]
    pub fn mirrored(&self) -> Turning {
        Turning {
            sign: -self.sign,
            roll_in_s: self.roll_in_s,
            bank: self.bank.map(|bank| -bank),
            turned: self.turned.map(|angle| -angle),
            origin: self.origin,
        }
    }

    /// When so much was turned, in a stretch of time.
    #[must_use]
    pub fn reached(&self, from_s: f64, to_s: f64, angle_rad: f64) -> Option<f64> {
        self.turned.first_beyond(from_s, to_s, angle_rad, true)
    }

    /// 1-σ of an angle turned, rad.
    #[must_use]
    pub fn sigma_rad(&self) -> f64 {
        heading_change_sigma_rad(self.origin)
    }

    /// Turned on the average of the second and a half from a moment: a compass system swings after a roll-out.
    #[must_use]
    pub fn settled(&self, at_s: f64) -> f64 {
        self.turned.mean(at_s - 0.2, at_s + 1.5)
    }
}
