//! Stalls that an instructor shows: secondary, cross-controlled, elevator trim (FAA-S-ACS-25 AI.X.F to H).
//!
//! A student's stall may have a little of each: a wing held up with aileron, a pull that comes too soon. So a form is
//! only given on evidence of what makes it: controls seen at work, not what the airplane did. Without the controls
//! the sheet says why it is not known. The numbers are assumed, well beyond what an ordinary stall takes.

use super::Story;
use super::scene::Scene;
use crate::Kind;
use crate::phases::sheet::Sheet;
use crate::phases::wave::Wave;
use flight::PowerState;

/// What was meant only people know: no form is surer than this.
const SUREST: f64 = 0.9;

/// Writes the forms that are there, and why others cannot be told.
pub fn write(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    secondary(scene, story, sheet);
    if !scene.accelerated() {
        cross_controlled(scene, story, sheet);
        elevator_trim(scene, story, sheet);
    }
}

/// The stick came back as far as in the first stall, and the wing was held beyond the critical angle again. A pull
/// that is only too early stops when the warning sounds.
fn secondary(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    const AGAIN: f64 = 0.9;
    const HELD_S: f64 = 1.0;
    const SEEN: f64 = 0.9;
    let Some(second) = story.secondary.moment else {
        return;
    };
    if !story.is_full() || story.secondary.probability.is_nan() || story.secondary.probability < 0.5
    {
        return;
    }
    let stick = &scene.motion.elevator;
    if !stick.is_known() {
        let why =
            "whether the second stall was provoked cannot be told without the elevator's position";
        return sheet.missing("secondary", why);
    }
    let first = story.breaking.full.at_s;
    let back = |from_s: f64, to_s: f64| stick.highest(from_s, to_s).map_or(f64::NAN, |top| top.1);
    let recovered = story.recovery.start.at_s;
    let again = back(second.at_s - 2.0, second.at_s + 1.5) >= AGAIN * back(first - 3.0, recovered);
    let held = scene
        .aoa
        .first_held(
            recovered + 0.4,
            second.at_s + 3.0,
            scene.critical_rad,
            true,
            HELD_S,
        )
        .is_some();
    if again && held && story.secondary.probability >= SEEN {
        sheet.variant(
            "secondary",
            story.secondary.probability.min(SUREST),
            "in the recovery the stick came all the way back again and the wing was held stalled",
        );
    }
}

/// Rudder into the turn, aileron against it, throttle closed, for the seconds before the stall.
fn cross_controlled(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    const RUDDER: f64 = 0.2;
    const AILERON: f64 = 0.15;
    /// A medium bank, deg: less is no turn.
    const BANK_DEG: f64 = 10.0;
    /// The body is pushed aside, g.
    const SIDE_G: f64 = 0.04;
    if scene.span.kind != Kind::PowerOffStall {
        return;
    }
    let flight = scene.motion.flight;
    let at_s = story.judged_s();
    let cut = |series: Option<&flight::Series>| {
        Wave::cut_option(flight, series, scene.motion.from_s, scene.motion.to_s)
    };
    let (rudder, aileron) = (cut(flight.rudder.as_ref()), cut(flight.aileron.as_ref()));
    if !rudder.is_known() || !aileron.is_known() {
        let why = "crossed controls cannot be told without the positions of rudder and aileron";
        return sheet.missing("cross_controlled", why);
    }
    let (from_s, to_s) = (at_s - 4.5, at_s - 0.5);
    // From where the control rests in the glide before: a rig and a propeller take some.
    let moved = |wave: &Wave| {
        let rest = wave.median(story.entry.setup.at_s, at_s - 12.0);
        wave.median(from_s, to_s) - if rest.is_finite() { rest } else { 0.0 }
    };
    let bank = scene.motion.bank.median(from_s, to_s);
    let into = bank.signum();
    let lateral = scene.motion.lateral.median(from_s, to_s).abs();
    let crossed = moved(&rudder) * into >= RUDDER && moved(&aileron) * into <= -AILERON;
    let skidding = lateral.is_nan() || lateral >= SIDE_G;
    if bank.abs() >= BANK_DEG.to_radians() && crossed && skidding {
        sheet.variant(
            "cross_controlled",
            SUREST,
            "in the turn before the stall the rudder was held into it and the ailerons against it",
        );
    }
}

/// Full power in a trimmed glide, and the nose rises though the stick does not come back.
fn elevator_trim(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    /// Rise of the nose, deg: a power-on stall's climb attitude.
    const RISE_DEG: f64 = 10.0;
    /// The elevator stays within this share of its travel.
    const STILL: f64 = 0.08;
    /// Trimmed for the glide: so far nose up of the flight's usual trim.
    const NOSE_UP: f64 = 0.03;
    let flight = scene.motion.flight;
    let (Some(trim), true) = (&flight.trim, scene.motion.elevator.is_known()) else {
        let why = "a trim stall cannot be told without the positions of trim and elevator";
        return sheet.missing("elevator_trim", why);
    };
    let at_s = story.judged_s();
    let Some(power_s) = opened_s(flight, story.entry.setup.at_s, at_s) else {
        return;
    };
    let pitch = scene.motion.pitch.smooth(0.6);
    let top = pitch
        .highest(power_s, at_s + 1.0)
        .map_or(f64::NAN, |top| top.1);
    let rise = top - pitch.mean(power_s - 2.0, power_s);
    let stick = &scene.motion.elevator;
    let rest = stick.median(power_s - 3.0, power_s);
    let back = stick.highest(power_s, at_s).map_or(f64::NAN, |top| top.1) - rest;
    let whole = flight.clock.time_s(flight.clock.len);
    let usual = Wave::cut(flight, trim, 0.0, whole).median(0.0, whole);
    let set = Wave::cut(flight, trim, power_s - 3.0, power_s).median(power_s - 3.0, power_s);
    if rise >= RISE_DEG.to_radians() && back <= STILL && set - usual >= NOSE_UP {
        sheet.variant(
            "elevator_trim",
            SUREST,
            "with the trim set for the glide full power raised the nose to the stall, and the stick was not pulled",
        );
    }
}

/// When the throttle went to full from little, in the half minute before the stall, s.
fn opened_s(flight: &flight::Flight, setup_s: f64, at_s: f64) -> Option<f64> {
    let clock = flight.clock;
    let (first, last) = (clock.index(setup_s.max(at_s - 30.0)), clock.index(at_s));
    let state = |index: usize| flight.power_state.get(index).copied();
    let full = (first..last).find(|index| state(*index) == Some(PowerState::Full))?;
    let before = clock.index(clock.time_s(full) - 4.0);
    let little = (before..full).any(|index| state(index) == Some(PowerState::Idle));
    little.then(|| clock.time_s(full))
}
