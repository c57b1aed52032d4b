//! A break that came after the recovery had begun: then the stall was an earlier one, and this is the secondary.
//!
//! A secondary stall may fall much farther than the first and is then taken for *the* stall. What tells is the hand: a
//! pilot opens the throttle to recover (FAA-H-8083-3C chapter 5, stall recovery template). Where a stall out of idle or
//! low power is seen to break seconds after the throttle was opened, the wing is looked at before that.

use super::breaking::{Breaking, Search, find_in};
use super::scene::Scene;
use super::verdict;
use crate::Kind;

/// The throttle is opened at least this much of its range, from below half of it.
const OPENED: f64 = 0.35;
const LOW: f64 = 0.6;
/// So long before the break, s: power and unloading go together, and who is late opens it after.
const BEFORE_S: [f64; 2] = [12.0, 1.2];
/// The first break is looked for from so long before the opening until so long after it, s.
const AROUND_S: [f64; 2] = [7.0, 0.5];

/// The break before the throttle was opened, if there was one that stalled the wing, and how sure that is.
pub fn stall(scene: &Scene, breaking: &Breaking) -> Option<(Breaking, f64)> {
    if scene.span.kind == Kind::PowerOnStall || scene.pull_seen {
        return None;
    }
    let opened_s = opened(scene, breaking.full.at_s)?;
    let search = Search {
        from_s: (opened_s - AROUND_S[0]).max(scene.motion.from_s),
        to_s: opened_s + AROUND_S[1],
        anchor_s: opened_s - 1.5,
        anchor_sigma_s: 2.5,
        until_s: opened_s + 1.5,
    };
    let first = find_in(scene, &search);
    let chance = verdict::full_stall(scene, &first, None);
    // In between the wing flew: else it is one break.
    let flew = scene
        .aoa
        .lowest(first.full.at_s, breaking.full.at_s)
        .is_none_or(|(_, low)| low < scene.critical_rad);
    (chance >= 0.5 && flew && first.full.at_s < breaking.full.at_s - BEFORE_S[1])
        .then_some((first, chance))
}

/// When the throttle was opened before a break, and stayed open.
fn opened(scene: &Scene, break_s: f64) -> Option<f64> {
    let lever = scene.lever.as_ref()?;
    let wave = lever.wave.smooth(0.5);
    let (from, to) = (break_s - BEFORE_S[0], break_s - BEFORE_S[1]);
    let (low_at, low) = wave.lowest(from, to)?;
    let (_, top) = wave.highest(low_at, break_s)?;
    if low > LOW || top - low < OPENED {
        return None;
    }
    let half = wave.first_beyond(low_at, to, 0.5 * (low + top), true)? - lever.delay_s();
    let stays = wave
        .lowest(half + 1.5, break_s)
        .is_some_and(|(_, least)| least > 0.5 * (low + top));
    (stays && half < to).then_some(half)
}
