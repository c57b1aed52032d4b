//! Stalls: what happened between setting up and climbing away, when, and in figures.
//!
//! Meaning of the events (design page; FAA-H-8083-3C chapter 5):
//! * `first_cue`: the stall warning; where none is recorded, the angle of attack at which lift is 83 % of
//!   the greatest (about 1.1 of the stall speed, where a warning must have begun: former 14 CFR 23.207).
//! * `full_stall`: past the critical angle of attack and either the nose 1.5° below its peak without being
//!   pushed, or sinking over 400 ft/min with the stick well back, or the stick on the back stop for a
//!   second (former 14 CFR 23.201: uncontrollable pitch down, or control on its stop).
//! * `recovery_start`: below the critical angle again for good; for a recovery at the cue, the pilot's
//!   first input.
//!
//! Impending and full stall are kept apart: the published standards ask for one or the other.

mod breaking;
mod critical;
mod cue;
mod early;
mod entry;
mod facts;
mod first;
mod hand;
mod recovery;
mod scene;
mod secondary;
mod share;
mod variants;
mod verdict;

use crate::kinds::{Figure, figure};
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::phases::{flaps, motion};
use crate::{Kind, Maneuver, Span};
use aircraft::Aircraft;
use flight::{Flight, Origin};
use scene::Scene;

/// A moment with what is not known of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moment {
    /// When, s.
    pub at_s: f64,
    /// 1-σ, s.
    pub sigma_s: f64,
    /// Origin.
    pub origin: Origin,
}

impl Moment {
    pub(crate) fn new(at_s: f64, sigma_s: f64, origin: Origin) -> Moment {
        Moment {
            at_s,
            sigma_s,
            origin,
        }
    }
}

/// Everything that was found out about one stall, before it is written down.
pub(crate) struct Story {
    pub entry: entry::Entry,
    pub breaking: breaking::Breaking,
    pub cue: Option<Moment>,
    pub recovery: recovery::Recovery,
    pub full_probability: f64,
    pub secondary: secondary::Secondary,
}

impl Story {
    /// Whether the story is told as a full stall.
    pub fn is_full(&self) -> bool {
        self.full_probability >= 0.5
    }
    /// When the approach to the stall was over, s: the full stall; for a recovery at the cue its beginning, but
    /// soon after the cue where it seems to begin much later.
    pub fn judged_s(&self) -> f64 {
        const AFTER_CUE_S: f64 = 2.0;
        let recovery = self.recovery.start.at_s;
        match self.cue {
            _ if self.is_full() => self.breaking.full.at_s,
            Some(cue) if recovery > cue.at_s + AFTER_CUE_S => cue.at_s + 0.5 * AFTER_CUE_S,
            _ => recovery,
        }
    }
    /// The moment that the standards judge from: the full stall, else the cue.
    pub fn moment(&self) -> Moment {
        if self.is_full() {
            self.breaking.full
        } else {
            self.cue.unwrap_or(self.breaking.full)
        }
    }
}

/// Events by which a standard may bound what it grades.
pub const MOMENTS: &[&str] = &[
    "setup_start",
    "descent_stable",
    "idle",
    "power_set",
    "pitch_up",
    "first_cue",
    "full_stall",
    "recovery_start",
    "full_power",
    "positive_climb",
    "vy_reached",
    "stall",
    "stall_minus_5",
];
/// Figures that a standard may put a limit on.
pub const FIGURES: &[Figure] = &[
    figure(
        "altitude_lost",
        "m",
        "height lost from the stall to the lowest point",
    ),
    figure("lowest_agl", "m", "lowest height above ground"),
    figure("ias_at_stall", "m/s", "airspeed at the stall"),
    figure("ias_at_pitch_up", "m/s", "airspeed at the pull"),
    figure(
        "seconds_stalled",
        "s",
        "time from the full stall to the recovery",
    ),
    figure("pitch_max", "rad", "greatest pitch"),
    figure("bank_max_recovery", "rad", "greatest bank in the recovery"),
];

/// Works out one stall.
pub fn detail(flight: &Flight, aircraft: &Aircraft, span: &Span, others: &[Span]) -> Maneuver {
    let motion = Motion::new(flight, span, others, REACH_S, 1.5 * motion::REACH_S);
    let scene = Scene::new(&motion, aircraft, span);
    let mut sheet = Sheet::new(span);
    if !scene.can_tell() {
        return sheet.finish();
    }
    let story = tell(&scene);
    let steps = flaps::steps(&motion, story.entry.setup.at_s - 1.0, motion.to_s);
    let (start, end) = bounds(&scene, &story, &steps);
    sheet.bounds(start, end);
    write_events(&scene, &story, &mut sheet);
    flaps::write(&motion, &steps, &mut sheet);
    facts::write(&scene, &story, &steps, (start, end), &mut sheet);
    write_phases(&scene, &story, (start, end), &mut sheet);
    variants::write(&scene, &story, &mut sheet);
    sheet.finish()
}

fn tell(scene: &Scene) -> Story {
    let breaking = breaking::find(scene);
    if let Some((stall, chance)) = first::stall(scene, &breaking) {
        return stalled_before(scene, stall, chance, &breaking);
    }
    let entry = entry::find(scene, &breaking);
    let cue = cue::find(scene, &entry, &breaking);
    let full_probability = verdict::full_stall(scene, &breaking, cue.as_ref());
    if let Some(first) = early::unloading(scene, &breaking, cue.as_ref()) {
        return after_the_recovery(scene, entry, breaking, cue, first, full_probability);
    }
    let is_full = full_probability >= 0.5;
    let mut recovery = recovery::find(scene, &breaking, cue.as_ref(), is_full);
    // Where it is not sure which of the two it was, the recovery may have begun where the other would have it.
    let other = recovery::find(scene, &breaking, cue.as_ref(), !is_full);
    let doubt = (full_probability * (1.0 - full_probability)).sqrt();
    let apart = (recovery.start.at_s - other.start.at_s).abs();
    if doubt.is_finite() && apart.is_finite() {
        recovery.start.sigma_s = recovery.start.sigma_s.hypot(doubt * apart);
    }
    // A pilot who recovers at the cue has had it: an estimate that comes after the recovery is late.
    let cue = cue.map(|found| {
        if !is_full && found.origin != Origin::Measured && found.at_s > recovery.start.at_s {
            Moment::new(recovery.start.at_s - 0.4, 1.0, Origin::Derived)
        } else {
            found
        }
    });
    let mut secondary = secondary::find(scene, &breaking, &recovery);
    if is_full {
        (recovery, secondary) = hand::once_begun(scene, &breaking, recovery, secondary);
    }
    Story {
        entry,
        breaking,
        cue,
        recovery,
        full_probability,
        secondary,
    }
}

/// A stall, its recovery, and a deeper break after it that was a secondary stall.
fn stalled_before(
    scene: &Scene,
    stall: breaking::Breaking,
    chance: f64,
    deeper: &breaking::Breaking,
) -> Story {
    let entry = entry::find(scene, &stall);
    let cue = cue::find(scene, &entry, &stall);
    let recovery = recovery::find(scene, &stall, cue.as_ref(), true);
    let again = verdict::full_stall(scene, deeper, None);
    let secondary = if again >= 0.5 && deeper.full.at_s > recovery.start.at_s {
        secondary::Secondary {
            probability: again,
            moment: Some(deeper.full),
            top_s: None,
        }
    } else {
        secondary::find(scene, &stall, &recovery)
    };
    Story {
        entry,
        breaking: stall,
        cue,
        recovery,
        full_probability: chance,
        secondary,
    }
}

/// A recovery at the cue, and a break after it that is a secondary stall if it was one.
fn after_the_recovery(
    scene: &Scene,
    entry: entry::Entry,
    breaking: breaking::Breaking,
    cue: Option<Moment>,
    first: Moment,
    break_probability: f64,
) -> Story {
    let recovery = recovery::begun_at(scene, &breaking, first);
    let secondary = if break_probability >= 0.5 {
        secondary::Secondary {
            probability: break_probability,
            moment: Some(breaking.full),
            top_s: None,
        }
    } else {
        secondary::find(scene, &breaking, &recovery)
    };
    Story {
        entry,
        breaking,
        cue,
        recovery,
        full_probability: verdict::stalled_by(scene, first.at_s + 0.5),
        secondary,
    }
}

/// From the setup to some seconds into the climb: the last flap step, the positive climb or V<sub>Y</sub>,
/// whichever is last, and the 7 s in which a pilot lets the climb settle.
fn bounds(scene: &Scene, story: &Story, steps: &[flight::FlapStep]) -> (f64, f64) {
    let span = scene.span;
    let recovery = &story.recovery;
    let climb = recovery
        .positive_climb
        .map_or(recovery.start.at_s + 8.0, |climb| climb.at_s);
    let late = span.end_s + 6.0;
    let flaps_up = steps
        .iter()
        .filter(|step| !flaps::is_down(step) && step.at_s > recovery.start.at_s && step.at_s < late)
        .map(|step| step.at_s)
        .fold(climb, f64::max);
    let vy = recovery
        .vy
        .map(|vy| vy.at_s)
        .filter(|at| *at < late)
        .unwrap_or(climb);
    let end = flaps_up.max(vy) + 7.0;
    // The decoder has seen what follows; far from its end, the truth lies between.
    let end = if (end - span.end_s).abs() > 6.0 {
        0.5 * (end + span.end_s)
    } else {
        end
    };
    (
        story.entry.setup.at_s,
        end.max(recovery.start.at_s + 2.0).min(scene.motion.to_s),
    )
}

fn write_events(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let mut put = |name, moment: Option<Moment>, probability: f64| {
        if let Some(m) = moment {
            sheet.event_full(name, m.at_s, m.sigma_s, m.origin, probability, None);
        }
    };
    let entry = &story.entry;
    put("setup_start", Some(entry.setup), 1.0);
    if scene.span.kind == Kind::PowerOffStall {
        put("descent_stable", entry.descent_stable, 0.9);
        put("idle", entry.idle, 1.0);
    }
    if scene.span.kind == Kind::PowerOnStall {
        put("power_set", entry.power_set, 1.0);
    }
    put("pitch_up", Some(entry.pitch_up), 1.0);
    put("first_cue", story.cue, 1.0);
    if story.is_full() {
        put(
            "full_stall",
            Some(story.breaking.full),
            story.full_probability,
        );
    }
    let recovery = &story.recovery;
    put("recovery_start", Some(recovery.start), 1.0);
    put("full_power", recovery.full_power, 1.0);
    if story.secondary.probability >= 0.5 {
        put(
            "secondary_stall",
            story.secondary.moment,
            story.secondary.probability,
        );
    }
    put("positive_climb", recovery.positive_climb, 1.0);
    put("vx_reached", recovery.vx, 1.0);
    put("vy_reached", recovery.vy, 1.0);
}

fn write_phases(scene: &Scene, story: &Story, (start, end): (f64, f64), sheet: &mut Sheet) {
    let stall = story.moment().at_s;
    let climb = story
        .recovery
        .positive_climb
        .map_or(f64::NAN, |climb| climb.at_s);
    let descent = if scene.span.kind == Kind::PowerOffStall && story.entry.steady_s > 3.0 {
        story.entry.pitch_up.at_s - story.entry.steady_s
    } else {
        f64::NAN
    };
    let recovery = story.recovery.start.at_s;
    let stalled = if story.is_full() { stall } else { f64::NAN };
    sheet.phases_in_order(
        &[
            ("setup", start),
            ("established", descent),
            ("entry", story.entry.pitch_up.at_s),
            ("stall", stalled),
            ("recovery", recovery),
            ("climb", climb),
        ],
        end,
    );
}
