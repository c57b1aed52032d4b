//! Whether the pilot had begun the recovery before the wing stalled again.
//!
//! A secondary stall comes after a recovery was begun: the stick let forward, the power opened, and then pulled too early
//! (FAA-H-8083-3C chapter 5, secondary stall). An airplane whose stick is kept back bobs: the nose drops, the flow
//! returns, the wing stalls again. That is one stall that is held, however often it lets go.

use super::breaking::Breaking;
use super::recovery::{self, Recovery};
use super::scene::Scene;
use super::secondary::{self, Secondary};
use crate::phases::wave::Wave;

/// The throttle is opened by at least this much of its range; engine speed alone rises by less in a dive.
const OPENED: f64 = 0.25;
/// More than this is all the power there is: opening it shows nothing.
const FULL: f64 = 0.9;
/// A stick that was let forward by less, share of its travel, was kept back: a hand that holds wanders by so much
/// (assumed; one that unloads moves it by more, and keeps it there).
const EASED: f64 = 0.15;
/// Without a stick: the nose came up by so much, rad, or the wing was leveled by so much out of a steep bank, rad.
const RAISED_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;
const LEVELED_RAD: f64 = 15.0 * std::f64::consts::PI / 180.0;
/// No airplane bobs more often than this before its pilot does something.
const BOBS: usize = 5;

/// The recovery and what came after it, where a wing that stalled again before the pilot had begun to recover counts as
/// still stalled.
pub fn once_begun(
    scene: &Scene,
    breaking: &Breaking,
    found: Recovery,
    again: Secondary,
) -> (Recovery, Secondary) {
    let (mut recovery, mut secondary) = (found, again);
    for _ in 0..BOBS {
        let likely = secondary.probability >= 0.5;
        let Some(second) = secondary.moment.filter(|_| likely) else {
            break;
        };
        let until_s = secondary
            .top_s
            .unwrap_or(second.at_s)
            .max(second.at_s + 0.5);
        if begun(scene, breaking, &recovery, (second.at_s, until_s)) {
            break;
        }
        let Some(start) = recovery::unloaded_after(scene, breaking, second.at_s) else {
            break;
        };
        recovery = recovery::from(scene, breaking, start, true);
        secondary = secondary::find(scene, breaking, &recovery);
    }
    (recovery, secondary)
}

/// Whether it was, when the wing let go again; the nose is looked at until the angle was greatest.
fn begun(
    scene: &Scene,
    breaking: &Breaking,
    recovery: &Recovery,
    (second_s, to_s): (f64, f64),
) -> bool {
    let full_s = breaking.full.at_s;
    if opened(scene, full_s, second_s) {
        return true;
    }
    let motion = scene.motion;
    if motion.elevator.is_known() {
        return eased(&motion.elevator, full_s, second_s);
    }
    let bank = motion.bank.map(f64::abs);
    if scene.accelerated() && fell(&bank, full_s, to_s) >= LEVELED_RAD {
        return true;
    }
    // A nose that is not raised again was not pulled.
    let pitch = motion.pitch.smooth(0.3);
    let low = pitch.lowest(recovery.start.at_s, to_s);
    let top = low.and_then(|(at, _)| pitch.highest(at, to_s));
    match (low, top) {
        (Some((_, low)), Some((_, top))) => top - low >= RAISED_RAD,
        _ => true,
    }
}

/// From the first to the least after it.
fn fell(wave: &Wave, from_s: f64, to_s: f64) -> f64 {
    let least = wave.lowest(from_s, to_s).map_or(f64::NAN, |(_, low)| low);
    wave.at(from_s) - least
}

/// The throttle went up before the second stall; unknown counts as no.
fn opened(scene: &Scene, full_s: f64, second_s: f64) -> bool {
    let Some(lever) = scene.lever.as_ref() else {
        return false;
    };
    let late = lever.delay_s();
    let before = lever.wave.mean(full_s - 2.0, full_s);
    let after = lever.wave.highest(full_s, second_s + late);
    before < FULL && after.is_some_and(|(_, top)| top - before >= OPENED)
}

/// The stick was let forward between the stall and the second one.
fn eased(stick: &Wave, full_s: f64, second_s: f64) -> bool {
    let stick = stick.smooth(0.3);
    let low = stick.lowest(full_s, second_s);
    low.is_some_and(|(at, low)| {
        let back = stick.highest(full_s - 1.0, at);
        back.is_some_and(|(_, back)| back - low >= EASED)
    })
}
