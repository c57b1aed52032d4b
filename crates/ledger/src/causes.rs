//! The causes that height is charged to, and how a recovery without each would have been flown.
//!
//! The order is that of time, and fixed: what comes first in the recovery is put right first.

use crate::actions::{Actions, Climb, Course, Style};
use crate::recovery::{ComingBack, Recovery};

/// A cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The wing was kept stalled.
    StallHeld,
    /// The nose went further down, or for longer, than it takes to fly again.
    UnloadedTooFar,
    /// Pulled into another stall.
    SecondaryStall,
    /// Full power came late.
    LateFullPower,
    /// Less than full power.
    WeakPower,
    /// Flaps up in one go.
    FlapsTogether,
    /// Flaps stayed down.
    FlapsLeftDown,
    /// Accelerated beyond the speed of climb instead of climbing.
    ClimbedLate,
}

impl Cause {
    /// All, in the order in which they are put right.
    pub const ALL: [Cause; 8] = [
        Cause::StallHeld,
        Cause::UnloadedTooFar,
        Cause::SecondaryStall,
        Cause::LateFullPower,
        Cause::WeakPower,
        Cause::FlapsTogether,
        Cause::FlapsLeftDown,
        Cause::ClimbedLate,
    ];

    /// The finding's id.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Cause::StallHeld => "stall_held",
            Cause::UnloadedTooFar => "unloaded_too_far",
            Cause::SecondaryStall => "secondary_stall",
            Cause::LateFullPower => "late_full_power",
            Cause::WeakPower => "weak_power",
            Cause::FlapsTogether => "flaps_retracted_together",
            Cause::FlapsLeftDown => "flaps_left_down",
            Cause::ClimbedLate => "climbed_late",
        }
    }
}

/// What counts as well done, and how far from it a pilot may be before it is charged. All of it is `assumed`: the
/// handbook (FAA-H-8083-3C ch. 5, stall recovery template) says *promptly*, *smoothly* and in which order, no seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// Full stall to unloaded: time to notice and for the nose to answer, s; charged beyond the second.
    pub unload_s: [f64; 2],
    /// Unloaded to the lever fully open, s; charged beyond the second.
    pub power_s: [f64; 2],
    /// Unloaded to half of the power at work, s: where there was power, and out of idle, where the engine has to run up.
    pub half_s: [f64; 2],
    /// How a recovery is flown that is neither timid nor rough: what this pilot did in the flight's other recoveries
    /// where there are some.
    pub style: Style,
    /// What the flow that comes back costs, by half seconds after the unloading.
    pub coming_back: ComingBack,
    /// Beyond the reference by so much is charged: path, rad, and airspeed over the stall speed at the pull.
    pub deeper: [f64; 2],
    /// Power that counts as full.
    pub full: f64,
    /// What full power comes to on the day: a fixed propeller does not let the engine turn up at the speed of a recovery.
    pub comes_to: f64,
    /// First step of flaps after the release, s.
    pub first_flap_s: f64,
    /// Further steps after the lowest point, and apart from each other, s.
    pub flap_apart_s: f64,
    /// Later than the reference by this, s, is charged.
    pub flap_late_s: f64,
    /// Beyond the climb speed, m/s, it has been left behind.
    pub fast_mps: f64,
    /// Share of height in what is gained until then: from the first up nothing is charged, below the second all.
    pub climbed: [f64; 2],
}

impl Default for Reference {
    fn default() -> Self {
        Reference {
            unload_s: [1.2, 2.5],
            power_s: [1.0, 2.6],
            half_s: [0.9, 1.3],
            style: Style {
                unload_load: 0.75,
                steepest_rad: -0.33,
                pull_at: 1.15,
                pull_load: 1.3,
                lift_used: 0.95,
            },
            // Near the stall drag is above the parabola, for some seconds: a tenth of the weight, fading (judgment).
            coming_back: [
                -0.02, -0.08, -0.065, -0.055, -0.045, -0.035, -0.03, -0.02, -0.015, -0.01,
            ],
            deeper: [0.12, 0.15],
            full: 0.9,
            comes_to: 0.97,
            first_flap_s: 1.5,
            flap_apart_s: 3.0,
            flap_late_s: 6.0,
            fast_mps: 3.0,
            climbed: [0.45, 0.25],
        }
    }
}

/// A recovery with some causes put right.
pub struct Corrected {
    /// The actions.
    pub actions: Actions,
    /// Where it begins.
    pub from_s: f64,
}

fn between(a: &Style, b: &Style, part: f64) -> Style {
    let mix = |a: f64, b: f64| a + part * (b - a);
    Style {
        unload_load: mix(a.unload_load, b.unload_load),
        steepest_rad: mix(a.steepest_rad, b.steepest_rad),
        pull_at: mix(a.pull_at, b.pull_at),
        pull_load: mix(a.pull_load, b.pull_load),
        lift_used: mix(a.lift_used, b.lift_used),
    }
}

/// How much later than good the unloading came, s; nothing inside the tolerance.
#[must_use]
pub fn held_s(recovery: &Recovery, reference: &Reference) -> f64 {
    let took = recovery.times.release_s - recovery.times.stall_s;
    if took > reference.unload_s[1] {
        took - reference.unload_s[0]
    } else {
        0.0
    }
}

/// Power as flown: before it was opened, when it was half opened, and what it came to.
#[must_use]
pub fn opening(recovery: &Recovery) -> (f64, Option<f64>, f64) {
    let times = &recovery.times;
    let power = &recovery.actions.power;
    let window: Vec<(f64, f64)> = power
        .values
        .iter()
        .enumerate()
        .map(|(k, v)| (power.first_s + k as f64 * power.step_s, *v))
        .filter(|(t, _)| *t >= times.stall_s - 1.0 && *t <= times.end_s)
        .collect();
    let before = power.at(times.stall_s - 1.0);
    let mut late: Vec<f64> = window
        .iter()
        .filter(|(t, _)| *t > times.release_s)
        .map(|(_, v)| *v)
        .collect();
    late.sort_by(f64::total_cmp);
    let came_to = late
        .get((late.len().saturating_sub(1)) * 7 / 10)
        .copied()
        .unwrap_or(before);
    let half = 0.5 * (before + came_to);
    let opened = (came_to > before + 0.15)
        .then(|| window.iter().find(|(_, v)| *v > half).map(|(t, _)| *t))
        .flatten();
    (before, opened, came_to)
}

/// The recovery with a set of causes put right.
#[must_use]
pub fn corrected(recovery: &Recovery, reference: &Reference, right: &[Cause]) -> Corrected {
    let times = &recovery.times;
    let mut actions = recovery.actions.clone();
    let mut from_s = recovery.last_release_s();
    // Power and flaps hang on the release: put right, it takes them with it.
    let mut earlier = 0.0;
    let has = |cause: Cause| right.contains(&cause);

    if has(Cause::SecondaryStall) && times.second_s.is_some() {
        from_s = times.release_s;
        actions.style = reference.style;
    }
    let held = held_s(recovery, reference);
    if has(Cause::StallHeld) && held > 0.0 && from_s <= times.release_s {
        from_s = times.stall_s + reference.unload_s[0];
        earlier = times.release_s - from_s;
        actions.style = reference.style;
    }
    if has(Cause::UnloadedTooFar) {
        let part = too_far(recovery, reference);
        actions.style = between(&actions.style, &reference.style, part);
    }
    let (before, opened, came_to) = opening(recovery);
    let mut ahead = earlier;
    if has(Cause::LateFullPower)
        && let Some(late) = late_s(recovery, reference)
    {
        ahead += late;
        // Without speed there is nothing to pull with: with power in time there is.
        actions.style.pull_load = actions.style.pull_load.max(reference.style.pull_load);
    }
    if ahead > 0.0 && opened.is_some_and(|t| t > from_s) {
        let flown = actions.power.clone();
        actions.power = flown.map(|t, v| {
            if t < times.stall_s {
                v
            } else {
                flown.at(t).max(flown.at(t + ahead))
            }
        });
    }
    if has(Cause::WeakPower) && came_to < reference.full {
        actions.style.pull_load = actions.style.pull_load.max(reference.style.pull_load);
        let flown = actions.power.clone();
        let opening_at = opened.map_or(from_s, |t| t - ahead);
        actions.power = flown.map(|t, v| {
            if t < opening_at - 1.0 {
                v
            } else if opened.is_some() {
                before + (v - before) * (reference.comes_to - before) / (came_to - before)
            } else {
                reference.comes_to
            }
            .clamp(0.0, 1.0)
        });
    }
    let low = (times.low_s - earlier).min(from_s + DIVE_S);
    if has(Cause::FlapsTogether) && together(recovery).is_some() {
        actions.flaps = in_steps(recovery, reference, from_s, low, &actions.flaps);
    }
    if has(Cause::FlapsLeftDown) && left_down(recovery, reference) {
        actions.flaps = in_steps(recovery, reference, from_s, low, &actions.flaps);
    } else if earlier > 0.0 {
        let flown = actions.flaps.clone();
        actions.flaps = flown.map(|t, v| {
            if t < times.stall_s {
                v
            } else {
                flown.at(t + earlier)
            }
        });
    }
    if recovery.elsewhere(from_s) {
        actions.bank = rolled_out(recovery, from_s);
    }
    // What is put right leaves power for the climb: it is flown at the speed of climb, or as fast as it was.
    let end = recovery.flown.at(times.end_s).tas * recovery.flown.about.density_root;
    let better = [
        (Cause::SecondaryStall, times.second_s.is_some()),
        (Cause::StallHeld, held > 0.0),
        (Cause::LateFullPower, late_s(recovery, reference).is_some()),
        (Cause::WeakPower, came_to < reference.full),
        (Cause::FlapsTogether, together(recovery).is_some()),
        (Cause::FlapsLeftDown, left_down(recovery, reference)),
        (Cause::UnloadedTooFar, too_far(recovery, reference) > 0.0),
    ];
    if better.iter().any(|(cause, there)| *there && has(*cause)) {
        actions.climb = Climb::Hold(end.max(recovery.airplane.climb_mps));
    }
    let late = climbed_late(recovery, reference);
    if has(Cause::ClimbedLate) && late > 0.0 {
        let own = end.max(recovery.airplane.climb_mps);
        actions.climb = Climb::Hold(own + late * (recovery.airplane.climb_mps - own));
    }
    Corrected { actions, from_s }
}

/// The dive is over by then, s after the unloading, though the lowest point may come later with the flaps still down.
pub(crate) const DIVE_S: f64 = 8.0;

/// Bank comes off this fast, rad/s, and so long after the unloading, s (assumed: half of what ailerons do at such speeds).
const ROLL: (f64, f64) = (0.3, 0.4);

/// The bank as flown until a time, and rolled out from there.
#[must_use]
pub fn rolled_out(recovery: &Recovery, from_s: f64) -> Course {
    let there = recovery.actions.bank.at(from_s);
    recovery.actions.bank.map(|t, v| {
        if t <= from_s {
            v
        } else {
            there.signum() * (there.abs() - ROLL.0 * (t - from_s - ROLL.1).max(0.0)).max(0.0)
        }
    })
}

/// How surely the nose went down too far, 0 to 1: not at all within a third of what is allowed, wholly a little below it.
#[must_use]
pub fn too_far(recovery: &Recovery, reference: &Reference) -> f64 {
    let (flown, good) = (&recovery.actions.style, &reference.style);
    // After a stall that was held the nose is down anyway.
    if held_s(recovery, reference) > 0.0 || recovery.times.second_s.is_some() {
        return 0.0;
    }
    let [path, speed] = reference.deeper;
    let deeper = (good.steepest_rad - flown.steepest_rad) / path;
    let faster = (flown.pull_at - good.pull_at) / speed;
    ((deeper + faster - 0.33) / 0.67).clamp(0.0, 1.0)
}

/// By how much full power came later than it should, after the release, s.
#[must_use]
pub fn late_s(recovery: &Recovery, reference: &Reference) -> Option<f64> {
    let after = lever_s(recovery)?;
    (after > reference.power_s[1]).then(|| after - reference.power_s[0])
}

/// When the lever was fully open, after the unloading, s; `None` where power was not opened.
fn lever_s(recovery: &Recovery) -> Option<f64> {
    let (_, opened, _) = opening(recovery);
    let opened = opened?;
    // The lever where it was told; the engine follows it, and what is recorded of the engine follows that.
    let lever = recovery.power_told_s.unwrap_or(opened - LAG_S);
    Some(lever - recovery.times.release_s)
}

/// Share of power below which the engine idles.
const IDLE: f64 = 0.15;

/// From the lever to half of the power as recorders have it, s (assumed).
const LAG_S: f64 = 1.3;

/// When the flaps went more than one detent up in one go, from and to, rad.
#[must_use]
pub fn together(recovery: &Recovery) -> Option<(f64, f64, f64)> {
    let detents = &recovery.airplane.detents;
    if detents.len() < 3 {
        return None;
    }
    let nearest = |angle: f64| {
        (0..detents.len()).min_by(|a, b| {
            let off = |k: &usize| {
                detents
                    .get(*k)
                    .map_or(f64::INFINITY, |d| (d.angle_rad - angle).abs())
            };
            off(a).total_cmp(&off(b))
        })
    };
    let flaps = &recovery.actions.flaps;
    let mut t = recovery.times.release_s;
    while t < recovery.times.end_s {
        // What travels without a stop within six seconds and skips a detent was one movement.
        let (now, then) = (flaps.at(t), flaps.at(t + 4.0));
        let (a, b) = (nearest(now)?, nearest(then)?);
        let moving = flaps.at(t + 0.3) < now - 1e-3;
        if moving && b == 0 && a >= 2 && still_moving(flaps, t, then) {
            return Some((t, now, then));
        }
        t += 0.2;
    }
    None
}

/// Without a stop: steps that follow each other closely leave the flaps at rest for a moment.
fn still_moving(flaps: &Course, from: f64, to_angle: f64) -> bool {
    let mut t = from;
    while flaps.at(t) > to_angle + 1e-3 && t < from + 12.0 {
        if flaps.at(t + REST_S) > flaps.at(t) - 1e-3 {
            return false;
        }
        t += 0.1;
    }
    true
}

/// Flaps that do not move for so long, s, have stopped.
const REST_S: f64 = 0.3;

/// Whether flaps stayed down for longer than they should.
#[must_use]
pub fn left_down(recovery: &Recovery, reference: &Reference) -> bool {
    let flaps = &recovery.actions.flaps;
    let times = &recovery.times;
    if flaps.at(times.release_s) < 0.02 {
        return false;
    }
    let steps = recovery.airplane.detents.len().saturating_sub(1) as f64;
    let low = times.low_s.min(times.release_s + DIVE_S);
    let due = low + reference.flap_apart_s * steps + reference.flap_late_s;
    let at = due.min(times.end_s - 1.0);
    flaps.at(at) > 0.03
}

/// How surely the airplane was accelerated past the speed of climb instead of climbing, 0 to 1: by the share of height in
/// what was gained after the lowest point, until that speed was left behind. What is done once it climbs is no part of
/// the recovery.
#[must_use]
pub fn climbed_late(recovery: &Recovery, reference: &Reference) -> f64 {
    let times = &recovery.times;
    let root = recovery.flown.about.density_root;
    let fast = recovery.airplane.climb_mps + reference.fast_mps;
    let low = recovery.flown.at(times.low_s);
    let after = recovery
        .flown
        .span(times.low_s + 2.0, recovery.over_s())
        .find(|s| s.tas * root > fast);
    let Some(after) = after else { return 0.0 };
    let height = (after.height - low.height).max(0.0);
    let speed = (after.tas * after.tas - low.tas * low.tas) / (2.0 * air::units::G0_MPS2);
    let climbed = height / (height + speed).max(1.0);
    let [none, all] = reference.climbed;
    ((none - climbed) / (none - all)).clamp(0.0, 1.0)
}

/// Flaps as they should come up: one detent once the power is on, the others one at a time after the lowest point.
pub fn in_steps(
    recovery: &Recovery,
    reference: &Reference,
    from_s: f64,
    low_s: f64,
    flown: &Course,
) -> Course {
    let start = recovery.actions.flaps.at(from_s);
    let lower: Vec<f64> = recovery
        .airplane
        .detents
        .iter()
        .map(|d| d.angle_rad)
        .filter(|a| *a < start - 0.02)
        .collect();
    let first = from_s + reference.first_flap_s;
    let mut steps: Vec<(f64, f64)> = Vec::new();
    for (k, angle) in lower.iter().rev().enumerate() {
        let at = if k == 0 {
            first
        } else {
            low_s.max(first) + reference.flap_apart_s * k as f64
        };
        steps.push((at, *angle));
    }
    // 6° a second, what electric flaps of light airplanes do (from memory).
    let speed = 6.0_f64.to_radians();
    let mut now = start;
    flown.map(|t, v| {
        if t < from_s {
            return v;
        }
        let goal = steps.iter().rev().find(|s| s.0 <= t).map_or(start, |s| s.1);
        now = (now - speed * flown.step_s).max(goal);
        now
    })
}

/// The causes that are in a recovery.
#[must_use]
pub fn present(recovery: &Recovery, reference: &Reference) -> Vec<Cause> {
    Cause::ALL
        .into_iter()
        .filter(|cause| match cause {
            Cause::StallHeld => held_s(recovery, reference) > 0.0,
            Cause::UnloadedTooFar => too_far(recovery, reference) > 0.0,
            Cause::SecondaryStall => recovery.times.second_s.is_some(),
            Cause::LateFullPower => late_s(recovery, reference).is_some(),
            Cause::WeakPower => opening(recovery).2 < reference.full,
            Cause::FlapsTogether => together(recovery).is_some(),
            Cause::FlapsLeftDown => left_down(recovery, reference),
            Cause::ClimbedLate => climbed_late(recovery, reference) > 0.0,
        })
        .collect()
}

impl Reference {
    /// Unloaded to half of the power at work, s, with so much power before.
    #[must_use]
    pub fn half(&self, before: f64) -> f64 {
        self.half_s[usize::from(before < IDLE)]
    }

    /// What this pilot did in the flight's other recoveries, drawn toward what is usual as if that were one more.
    #[must_use]
    pub fn with_others(mut self, others: &[&Recovery]) -> Reference {
        let good: Vec<&&Recovery> = others
            .iter()
            .filter(|o| o.times.second_s.is_none() && held_s(o, &self) <= 0.0)
            .collect();
        if good.is_empty() {
            return self;
        }
        let usual = self;
        let drawn_of = |values: Vec<f64>, usual: f64| {
            let n = values.len() as f64;
            (usual + n * middle(values, usual)) / (1.0 + n)
        };
        let drawn = |value: &dyn Fn(&Recovery) -> f64, usual: f64| {
            drawn_of(good.iter().map(|o| value(o)).collect(), usual)
        };
        self.style = Style {
            unload_load: drawn(&|o| o.actions.style.unload_load, usual.style.unload_load),
            steepest_rad: drawn(&|o| o.actions.style.steepest_rad, usual.style.steepest_rad),
            pull_at: drawn(&|o| o.actions.style.pull_at, usual.style.pull_at),
            pull_load: drawn(&|o| o.actions.style.pull_load, usual.style.pull_load),
            lift_used: drawn(&|o| o.actions.style.lift_used, usual.style.lift_used),
        };
        self.comes_to = drawn(&|o| opening(o).2, usual.comes_to).clamp(self.full, 1.0);
        let later = |o: &&&Recovery| {
            let (before, opened, _) = opening(o);
            opened.map(|t| t - o.times.release_s - usual.half(before))
        };
        let later = drawn_of(good.iter().filter_map(later).collect(), 0.0);
        self.half_s = usual.half_s.map(|half| (half + later).clamp(0.0, 2.5));
        let lever = drawn_of(
            good.iter().filter_map(|o| lever_s(o)).collect(),
            usual.power_s[0],
        )
        .clamp(0.0, 1.6);
        self.power_s = [lever, lever + usual.power_s[1] - usual.power_s[0]];
        self.first_flap_s = drawn_of(
            good.iter().filter_map(|o| first_flap_s(o)).collect(),
            usual.first_flap_s,
        )
        .clamp(0.0, FIRST_FLAP_S);
        for (k, value) in self.coming_back.iter_mut().enumerate() {
            let of = |o: &Recovery| o.coming_back().get(k).copied().unwrap_or(0.0);
            *value = drawn(&of, usual.coming_back[k]);
        }
        let took = |o: &Recovery| o.times.release_s - o.times.stall_s;
        let unload = drawn(&took, usual.unload_s[0]).clamp(0.5, 2.3);
        self.unload_s = [unload, unload + usual.unload_s[1] - usual.unload_s[0]];
        self
    }
}

/// Later than this after the unloading, s, the first step of the flaps is no habit but late.
const FIRST_FLAP_S: f64 = 7.0;

/// When the flaps first came up after the unloading, s.
fn first_flap_s(recovery: &Recovery) -> Option<f64> {
    let (flaps, times) = (&recovery.actions.flaps, &recovery.times);
    let out = flaps.at(times.release_s);
    let known = recovery.flown.about.flaps_known && out > 0.05;
    let moved = |s: &&crate::flown::Sample| s.flap < out - 0.035;
    known
        .then(|| {
            recovery
                .flown
                .span(times.release_s, times.end_s)
                .find(moved)
        })
        .flatten()
        .map(|s| s.t - times.release_s)
}

/// The middle of some values; of an even number the mean of the two in the middle.
fn middle(mut values: Vec<f64>, empty: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    match (values.get(n / 2), values.get(n.saturating_sub(1) / 2)) {
        (Some(a), Some(b)) => 0.5 * (a + b),
        _ => empty,
    }
}
