//! The turns between downwind and final.

use crate::phases::motion::Motion;
use crate::phases::wave::Wave;
use flight::Origin;

/// Bank from which it is a turn and not a gust, rad: a standard-rate turn at 65 kt takes 10°.
const BANKED_RAD: f64 = 6.5 * std::f64::consts::PI / 180.0;
/// Wings level for less than this is one turn, s.
const PAUSE_S: f64 = 3.0;
/// A turn of the pattern turns by this much at least, rad.
const LEAST_TURN_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// More than this in one turn is both turns in one, rad.
const BOTH_RAD: f64 = 130.0 * std::f64::consts::PI / 180.0;
/// A turn that ends within this of the runway's direction is the one to final, rad.
const LINED_UP_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// A roll rate of 12°/s reaches the bank of a turn this long after it began, s.
const LEAD_S: f64 = 0.5;

/// When each leg began, s; NaN where it was not flown.
#[derive(Clone, Copy, Debug)]
pub struct Legs {
    /// The turn from downwind to base began.
    pub base_s: f64,
    /// The turn from base to final began.
    pub final_turn_s: f64,
    /// Wings level on final.
    pub final_s: f64,
    /// Both were one turn.
    pub in_one: bool,
    /// 1-σ of each, s.
    pub sigma_s: f64,
    /// Origin.
    pub origin: Origin,
}

struct Turn {
    from_s: f64,
    to_s: f64,
    turned_rad: f64,
}

/// Finds them between the start of the approach and the touchdown.
pub fn find(motion: &Motion, from_s: f64, touchdown_s: f64, course_rad: f64) -> Legs {
    let (_, origin) = motion.bank_quality(from_s);
    let sigma_s: f64 = if origin == Origin::Measured { 1.0 } else { 2.0 };
    let mut legs = Legs {
        base_s: f64::NAN,
        final_turn_s: f64::NAN,
        final_s: f64::NAN,
        in_one: false,
        sigma_s: sigma_s.max(0.8 * motion.bank.step_s()),
        origin,
    };
    let turns = turns(motion, from_s, touchdown_s - 4.0);
    let lined_up = |turn: &&Turn| {
        let off = motion.heading.at(turn.to_s) - course_rad;
        air::units::wrap_pi(off).abs() < LINED_UP_RAD
    };
    let Some(last) = turns.iter().rev().find(lined_up) else {
        return legs;
    };
    legs.final_s = last.to_s;
    if last.turned_rad.abs() > BOTH_RAD {
        legs.in_one = true;
        legs.base_s = last.from_s;
        // Halfway round: there is no base leg between.
        let half = motion.heading.at(last.from_s) + 0.5 * last.turned_rad;
        legs.final_turn_s = motion
            .heading
            .first_beyond(last.from_s, last.to_s, half, last.turned_rad > 0.0)
            .unwrap_or(f64::NAN);
        return legs;
    }
    legs.final_turn_s = last.from_s;
    let before = turns.iter().rev().find(|turn| {
        turn.to_s <= last.from_s && turn.turned_rad.signum() == last.turned_rad.signum()
    });
    if let Some(base) = before {
        legs.base_s = base.from_s;
    }
    legs
}

/// Stretches of bank one way that turn by enough.
fn turns(motion: &Motion, from_s: f64, to_s: f64) -> Vec<Turn> {
    let bank: Wave = motion.bank.smooth(1.0);
    let mut stretches: Vec<(f64, f64, f64)> = Vec::new();
    for (at_s, bank) in bank.samples(from_s, to_s) {
        if bank.abs() < BANKED_RAD {
            continue;
        }
        let side = bank.signum();
        match stretches.last_mut() {
            Some((_, last_s, was)) if *was == side && at_s - *last_s <= PAUSE_S => *last_s = at_s,
            _ => stretches.push((at_s, at_s, side)),
        }
    }
    stretches
        .into_iter()
        .map(|(from_s, to_s, _)| Turn {
            from_s: from_s - LEAD_S,
            to_s: to_s + LEAD_S,
            turned_rad: motion.heading.at(to_s + LEAD_S) - motion.heading.at(from_s - LEAD_S),
        })
        .filter(|turn| turn.turned_rad.abs() > LEAST_TURN_RAD)
        .collect()
}
