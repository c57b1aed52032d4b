//! The figures of a stall.

use super::scene::Scene;
use super::{Moment, Story, share};
use crate::Kind;
use crate::phases::flaps;
use crate::phases::sheet::Sheet;
use flight::{FlapStep, Origin};

/// Time an excursion must last to count, s.
const HOLD_S: f64 = 1.0;

/// Writes every figure that the recorder supports.
pub fn write(
    scene: &Scene,
    story: &Story,
    steps: &[FlapStep],
    bounds: (f64, f64),
    sheet: &mut Sheet,
) {
    sheet.fact(
        "full_stall_probability",
        story.full_probability,
        "1",
        0.0,
        verdict_origin(scene),
    );
    sheet.fact(
        "secondary_stall_probability",
        story.secondary.probability,
        "1",
        0.0,
        verdict_origin(scene),
    );
    heights(scene, story, bounds, sheet);
    speeds(scene, story, sheet);
    attitude(scene, story, sheet);
    to_the_stall(scene, story, sheet);
    timing(scene, story, sheet);
    power(scene, story, sheet);
    flap_facts(scene, story, steps, bounds, sheet);
}

fn verdict_origin(scene: &Scene) -> Origin {
    if scene.vane && scene.critical_known {
        Origin::Measured
    } else {
        Origin::Derived
    }
}

/// Until when height may still be lost: the positive climb, else half a minute.
fn climb_at(scene: &Scene, story: &Story) -> f64 {
    let start = story.recovery.start.at_s;
    story
        .recovery
        .positive_climb
        .map_or((start + 30.0).min(scene.motion.to_s), |climb| climb.at_s)
}

fn heights(scene: &Scene, story: &Story, (start, end): (f64, f64), sheet: &mut Sheet) {
    let motion = scene.motion;
    let altitude = motion.altitude.smooth(0.3);
    let moment = story.moment();
    let (sigma, origin) = motion.altitude_quality(moment.at_s);
    let entry = motion.altitude.mean(start - 1.5, start + 0.5);
    sheet.fact("entry_altitude", entry, "m", sigma, origin);
    let at_stall = altitude.at(moment.at_s);
    sheet.fact("altitude_at_stall", at_stall, "m", sigma, origin);
    let Some((lowest_at, lowest)) = altitude.lowest(moment.at_s, climb_at(scene, story)) else {
        return;
    };
    sheet.fact("lowest_altitude", lowest, "m", sigma, origin);
    let moment_s = moment.at_s;
    height_lost(scene, story, origin, sheet);
    sheet.fact(
        "seconds_to_lowest",
        lowest_at - moment_s,
        "s",
        0.7,
        Origin::Derived,
    );
    let (sigma, origin) = motion.quality(motion.flight.agl.as_ref(), lowest_at);
    if let Some((_, lowest)) = motion.agl.lowest(start, end) {
        sheet.fact("lowest_agl", lowest, "m", sigma, origin);
    }
}

/// Height from the stall to the lowest point, of the true height where it is known: what the static port
/// reads off near the stall, as speed and angle change, is no height.
fn height_lost(scene: &Scene, story: &Story, origin: Origin, sheet: &mut Sheet) {
    let motion = scene.motion;
    let moment = story.moment();
    let true_height = motion.height.at(moment.at_s).is_finite();
    let height = if true_height {
        motion.height.smooth(0.3)
    } else {
        motion.altitude.smooth(0.3)
    };
    let Some((lowest_at, lowest)) = height.lowest(moment.at_s, climb_at(scene, story)) else {
        return;
    };
    let lost = (height.at(moment.at_s) - lowest).max(0.0);
    // The time of the stall is not known exactly: at the rate of climb there, that is height. Both ends
    // carry the reading's own noise.
    let rate = motion.climb.at(moment.at_s);
    let by_time = if rate.is_finite() {
        rate * moment.sigma_s.min(2.5)
    } else {
        0.0
    };
    let port = if true_height {
        0.0
    } else {
        port_error_m(motion.ias.at(moment.at_s), motion.ias.at(lowest_at))
    };
    let sigma = motion
        .altitude_change_sigma_m(rate)
        .hypot(by_time)
        .hypot(port)
        .hypot(1.5);
    sheet.fact(
        "altitude_lost",
        lost,
        "m",
        sigma,
        Origin::Derived.max(origin),
    );
}

/// What a static port may read off between two airspeeds, m: an uncorrected error of two hundredths of the
/// dynamic pressure's change, the order of what certification lets it be (30 ft per 100 kt, former 14 CFR
/// 23.1325), with V²/2g as the height of that pressure.
fn port_error_m(from_mps: f64, to_mps: f64) -> f64 {
    const SHARE: f64 = 0.02;
    let head = (to_mps * to_mps - from_mps * from_mps).abs() / (2.0 * 9.806_65);
    if head.is_finite() { SHARE * head } else { 0.0 }
}

fn speeds(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let motion = scene.motion;
    let moment = story.moment();
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), moment.at_s);
    // Pitot systems read a knot off at high angles of attack and more where speed changes quickly.
    let sigma = sigma.max(if origin == Origin::Measured { 0.6 } else { 2.5 });
    let ias = motion.ias.smooth(0.5);
    let entry = story.entry.setup.at_s;
    sheet.fact(
        "entry_ias",
        motion.ias.mean(entry - 1.5, entry + 0.5),
        "m/s",
        sigma,
        origin,
    );
    let drift = ias.rate(2.0).at(moment.at_s) * moment.sigma_s;
    let sigma_at = sigma.hypot(if drift.is_finite() { drift } else { 0.0 });
    sheet.fact("ias_at_stall", ias.at(moment.at_s), "m/s", sigma_at, origin);
    let climb = climb_at(scene, story);
    if let Some((_, slowest)) = ias.lowest(story.entry.pitch_up.at_s, climb) {
        sheet.fact("ias_min", slowest, "m/s", sigma.hypot(0.7), origin);
    }
    if let Some((fastest_at, fastest)) = ias.highest(story.recovery.start.at_s, climb) {
        let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), fastest_at);
        // What hangs on when the climb began: the highest up to a little later, less that to a little earlier.
        let from = story.recovery.start.at_s;
        let highest = |until: f64| ias.highest(from, until).map_or(fastest, |(_, top)| top);
        let late = story.recovery.positive_climb.map_or(0.0, |climb| {
            0.5 * (highest(climb.at_s + climb.sigma_s) - highest(climb.at_s - climb.sigma_s))
        });
        sheet.fact(
            "ias_max_before_climb",
            fastest,
            "m/s",
            sigma.hypot(late),
            origin,
        );
    }
    let at_pitch_up = motion
        .ias
        .mean(story.entry.pitch_up.at_s - 1.0, story.entry.pitch_up.at_s);
    sheet.fact("ias_at_pitch_up", at_pitch_up, "m/s", sigma, origin);
    // Speed lost per second in the last seconds before the stall, positive when slowing down.
    let rate = -ias.rate(4.0).at(moment.at_s - 2.0);
    sheet.fact(
        "entry_deceleration",
        rate,
        "m/s²",
        0.15 * scene.air_factor(),
        Origin::Derived,
    );
}

fn attitude(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let motion = scene.motion;
    let moment = story.moment();
    let (from, to) = (story.entry.pitch_up.at_s, climb_at(scene, story));
    let stalled = story.recovery.start.at_s.max(moment.at_s) + 0.5;
    let pitch = motion.pitch.smooth(0.3);
    let (sigma, origin) = motion.quality(motion.flight.pitch.as_ref(), moment.at_s);
    if let Some((_, highest)) = pitch.highest(from, moment.at_s + 0.5) {
        // A slow sampler misses the top by the part of a second between its samples.
        let missed = 0.5f64.to_radians() * (1.0 + motion.pitch.step_s());
        sheet.fact("pitch_max", highest, "rad", sigma.hypot(missed), origin);
    }
    // Rate over half a second: a jolt is not a pull. At one sample a second it is the mean of two.
    let width = (0.5f64).max(2.0 * motion.pitch.step_s());
    if let Some((_, quickest)) = motion.pitch.rate(width).highest(from, moment.at_s) {
        let sigma = (0.3 + 0.4 * motion.pitch.step_s()).to_radians() * scene.air_factor();
        sheet.fact(
            "pitch_rate_max",
            quickest,
            "rad/s",
            sigma,
            Origin::Derived.max(origin),
        );
    }
    let (sigma, origin) = motion.quality(motion.flight.aoa.as_ref(), moment.at_s);
    if let Some((_, most)) = scene.aoa.highest(from, stalled + 1.0) {
        sheet.fact(
            "aoa_max",
            most,
            "rad",
            sigma.max(scene.aoa_sigma_rad),
            origin,
        );
    }
    let (sigma, origin) = motion.quality(motion.flight.load.as_ref(), moment.at_s);
    if let Some((_, least)) = motion
        .load
        .smooth(0.3)
        .lowest(moment.at_s - 0.5, stalled + 3.0)
    {
        sheet.fact("load_min", least, "g", sigma, origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.bank.as_ref(), moment.at_s);
    if let Some((_, most)) = motion
        .bank
        .map(f64::abs)
        .highest(moment.at_s, to.min(moment.at_s + 15.0))
    {
        sheet.fact(
            "bank_max_recovery",
            most,
            "rad",
            sigma.max(1f64.to_radians()),
            origin,
        );
    }
}

/// Heading, bank and ball from the stick coming back to the stall.
fn to_the_stall(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let motion = scene.motion;
    let moment = story.moment();
    let from = story.entry.pitch_up.at_s;
    // The heading to hold is the one the setup began on.
    let setup = story.entry.setup.at_s;
    let (_, origin) = motion.quality(motion.flight.heading.as_ref(), from);
    let zero = motion.heading.mean(setup - 1.5, setup + 0.5);
    if let Some((low, high)) = motion.heading.held(setup, moment.at_s, HOLD_S) {
        let sigma = if origin == Origin::Measured {
            2f64
        } else {
            5.0
        }
        .to_radians();
        sheet.fact(
            "heading_change_to_stall_low",
            low - zero,
            "rad",
            sigma,
            origin,
        );
        sheet.fact(
            "heading_change_to_stall_high",
            high - zero,
            "rad",
            sigma,
            origin,
        );
    }
    let (sigma, origin) = motion.quality(motion.flight.bank.as_ref(), from);
    if let Some((low, high)) = motion.bank.held(from, moment.at_s, HOLD_S) {
        sheet.fact("bank_to_stall_low", low, "rad", sigma, origin);
        sheet.fact("bank_to_stall_high", high, "rad", sigma, origin);
    }
    // The ball as a pilot would have seen it: mean size over the last five seconds.
    let ball = motion
        .lateral
        .smooth(0.6)
        .map(f64::abs)
        .mean(moment.at_s - 5.0, moment.at_s - 0.3);
    let (_, origin) = motion.quality(motion.flight.lateral.as_ref(), from);
    sheet.fact("lateral_before_stall", ball, "g", 0.012, origin);
}

fn timing(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let start = story.recovery.start;
    if story.is_full() {
        let full = story.breaking.full;
        let sigma = start.sigma_s.hypot(full.sigma_s);
        let seconds = (start.at_s - full.at_s).max(0.0);
        sheet.fact("seconds_stalled", seconds, "s", sigma, Origin::Derived);
    }
    if let Some(cue) = story.cue {
        let sigma = start.sigma_s.hypot(cue.sigma_s);
        sheet.fact(
            "recovery_after_cue",
            start.at_s - cue.at_s,
            "s",
            sigma,
            Origin::Derived,
        );
    }
    if let Some(Moment { at_s, sigma_s, .. }) = story.recovery.full_power {
        let sigma = start.sigma_s.hypot(sigma_s);
        sheet.fact(
            "power_delay",
            at_s - start.at_s,
            "s",
            sigma,
            Origin::Derived,
        );
    }
    if scene.span.kind == Kind::PowerOffStall {
        let steady = story.entry.steady_s;
        sheet.fact(
            "steady_descent_duration",
            steady,
            "s",
            // The start of it hangs on a knot or so of airspeed, a second and a half of a usual slowing down.
            story.entry.pitch_up.sigma_s.hypot(1.5 * scene.air_factor()),
            Origin::Derived,
        );
    }
}

/// Power at the stall.
fn power(scene: &Scene, story: &Story, sheet: &mut Sheet) {
    let motion = scene.motion;
    if story.recovery.full_power.is_some() {
        let was = f64::from(u8::from(story.recovery.power_was_full));
        sheet.fact("power_was_full", was, "1", 0.0, Origin::Derived);
    }
    let Some(share) = share::at_stall(motion, story.judged_s()) else {
        return;
    };
    sheet.fact(
        "power_of_rated_at_stall",
        share.of_rated,
        "1",
        share.reading_sigma,
        share.reading_origin,
    );
    if let Some((value, sigma, origin)) = share.of_available {
        sheet.fact("power_share_at_stall", value, "1", sigma, origin);
    }
}

fn flap_facts(
    scene: &Scene,
    story: &Story,
    steps: &[FlapStep],
    (_, end): (f64, f64),
    sheet: &mut Sheet,
) {
    let motion = scene.motion;
    let before = story.moment().at_s - 0.5;
    let (angle, origin) = flaps::angle_at(motion, before);
    let sigma = 2f64.to_radians();
    sheet.fact("flap_at_entry", angle, "rad", sigma, origin);
    sheet.fact(
        "flap_out_at_entry",
        flaps::out_at(motion, before),
        "1",
        0.0,
        origin,
    );
    // At the end of the maneuver the lever counts: flaps still on their way up are up.
    let last = steps.iter().rfind(|step| step.at_s <= end);
    let (angle, origin) = flaps::angle_at(motion, end);
    let angle = last
        .filter(|step| step.at_s > end - 10.0)
        .map_or(angle, |step| step.to_rad);
    sheet.fact("flap_at_end", angle, "rad", sigma, origin);
    sheet.fact(
        "flap_out_at_end",
        flaps::out_at(motion, end),
        "1",
        0.0,
        origin,
    );
    if motion.flight.flaps.is_some() {
        let up = |step: &&FlapStep| !flaps::is_down(step) && step.at_s > before;
        let count = steps.iter().filter(up).count();
        sheet.fact("flap_steps_up", count as f64, "1", 0.0, origin);
    }
}
