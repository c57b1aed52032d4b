//! A landing from downwind (or the straight approach) to the end of the roll, however it was flown.

use super::contact::{self, Touchdown};
use super::ground::{Ground, PLACES_M};
use super::legs::{self, Legs};
use super::lift_off::power_up;
use super::strip::Strip;
use super::{NO_AIRSPEED, NO_PITCH, NO_POSITION, NO_RUNWAY, approach, gate, wheels, wind};
use crate::Fact;
use crate::kinds::Case;
use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use crate::phases::wave::Wave;
use crate::phases::{entry, flaps};
use air::units::{M_PER_FT, MPS_PER_KT};
use flight::{Fit, Origin};

/// The roll has ended at a walking pace, m/s.
const WALKS_MPS: f64 = 7.0 * MPS_PER_KT;
/// A flare begins below this, m: 40 ft; the handbook has the round-out at 10 to 20 ft (FAA-H-8083-3C, chapter 9).
const FLARE_BELOW_M: f64 = 40.0 * M_PER_FT;
/// Where a flare should have begun at the latest, m: 15 ft.
const SHORT_M: f64 = 15.0 * M_PER_FT;
/// The sink of the approach is eased to this share when the flare has begun.
const EASED: f64 = 0.6;
/// From here to the touchdown it floats, m: 10 ft, the lower end of the round-out.
const FLOAT_M: f64 = 10.0 * M_PER_FT;

/// What the two kinds go on with.
pub struct Arrival<'a> {
    /// Channels.
    pub motion: Motion<'a>,
    /// Channels over the ground.
    pub ground: Ground,
    /// The strip.
    pub strip: Strip,
    /// The touchdown.
    pub touchdown: Touchdown,
    /// Abeam the touchdown on downwind, s; NaN without a downwind.
    pub abeam_s: f64,
    /// The legs.
    pub legs: Legs,
}

/// Works out a landing onto a sheet; `None` when the recording shows no ground. `abeam` is what the kind calls
/// the first event.
pub fn write<'a>(case: &Case<'a>, abeam: &'static str, sheet: &mut Sheet) -> Option<Arrival<'a>> {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, 15.0, 45.0);
    let ground = Ground::new(&motion, span.start_s - 20.0, span.end_s + 60.0);
    let about_s = span.anchor_s.unwrap_or_else(|| guess(&motion, span));
    let (slow_s, slowed) = roll_end(&ground, &motion, about_s);
    let roll = (about_s + 1.5, slow_s.min(about_s + 12.0).max(about_s + 4.0));
    let strip = Strip::of_roll(&motion, &ground, roll.0, roll.1)?;
    let touchdown = contact::touchdown(&motion, &strip, about_s, slow_s)?;
    let at_s = touchdown.at_s;
    let legs = legs::find(&motion, motion.from_s, at_s, strip.course_rad);
    let final_s = if legs.final_s.is_finite() {
        legs.final_s
    } else {
        span.start_s
    };
    let abeam_s = abeam_at(&ground, &strip, at_s, motion.from_s, &legs);
    let start_s = if abeam_s.is_finite() {
        abeam_s
    } else {
        span.start_s
    };
    // A touch-and-go's roll ends where the power comes up again.
    let again = (!slowed)
        .then(|| power_up(&motion, &ground, at_s + 1.0, motion.to_s))
        .flatten()
        .map(|moment| moment.at_s);
    let end_s = again
        .map_or(slow_s, |again| again.min(slow_s))
        .max(at_s + 3.0);
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let flare_s = flare(&motion, &height, final_s, at_s);
    sheet.bounds(start_s, end_s.min(motion.to_s));

    // What was touched is not always what was aimed at: by 150 m or so (the private tolerance is 400 ft).
    let over_ground = ground.speed.at(abeam_s).max(20.0);
    sheet.event(
        abeam,
        abeam_s,
        (150.0 / over_ground).hypot(0.5),
        Origin::Derived,
    );
    sheet.event("base", legs.base_s, legs.sigma_s, legs.origin);
    sheet.event("final_turn", legs.final_turn_s, legs.sigma_s, legs.origin);
    sheet.event("final", legs.final_s, 1.5 * legs.sigma_s, legs.origin);
    sheet.event(
        "flare",
        flare_s,
        1.0_f64.hypot(0.5 * height.step_s()),
        strip.origin,
    );
    // Without a flare the approach ends at the height where one would have begun.
    let low_s = height
        .first_beyond(final_s, at_s, SHORT_M, false)
        .unwrap_or(at_s - 3.0);
    let before = if flare_s.is_finite() { flare_s } else { low_s };
    sheet.event("approach_end", before, 1.0, strip.origin);
    sheet.event("touchdown", at_s, touchdown.sigma_s, touchdown.origin);
    sheet.event("roll_out_end", end_s, 2.0, Origin::Derived);
    sheet.phases_in_order(
        &[
            ("downwind", abeam_s),
            ("base", legs.base_s),
            ("final", legs.final_s),
            ("flare", flare_s),
            ("roll_out", at_s),
        ],
        end_s,
    );
    entry::write(&motion, start_s, at_s - 20.0, sheet);
    let arrival = Arrival {
        motion,
        ground,
        strip,
        touchdown,
        abeam_s,
        legs,
    };
    pattern(&arrival, &height, sheet);
    approach::write(
        &arrival.motion,
        &arrival.ground,
        &strip,
        (final_s, before),
        sheet,
    );
    approach::slipped(&arrival.motion, final_s, before, sheet);
    gate::write(&arrival, &height, sheet);
    flared(&arrival, &height, flare_s, sheet);
    touched(&arrival, sheet);
    nose_off(&arrival, end_s, sheet);
    bounced(&arrival.touchdown, sheet);
    rolled(&arrival, end_s, sheet);
    let steps = flaps::steps(&arrival.motion, start_s, at_s);
    flaps::write(&arrival.motion, &steps, sheet);
    let winds = wind::write(
        &arrival.motion,
        &arrival.ground,
        strip.course_rad,
        (at_s - 25.0, at_s),
        sheet,
    );
    if let Some((_, crosswind, sigma)) = winds {
        wind::variant(crosswind, sigma, sheet);
    }
    without_flaps(case, &arrival, sheet);
    sheet.missing("touchdown_beyond_threshold", NO_RUNWAY);
    sheet.missing("touchdown_offset", NO_RUNWAY);
    Some(arrival)
}

/// The touchdown of a span that somebody else gave: the last time well above what it ends at.
fn guess(motion: &Motion, span: &crate::Span) -> f64 {
    let level = motion
        .altitude
        .quantile(0.5 * (span.start_s + span.end_s), span.end_s, 0.1);
    motion
        .altitude
        .last_beyond(span.start_s, span.end_s, level + 3.0, true)
        .unwrap_or(span.end_s - 5.0)
}

/// When the roll was slow, and whether it came to a walking pace at all.
fn roll_end(ground: &Ground, motion: &Motion, about_s: f64) -> (f64, bool) {
    let speed = if ground.speed.is_known() {
        &ground.speed
    } else {
        &motion.ias
    };
    if let Some(at_s) = speed.first_beyond(about_s, motion.to_s, WALKS_MPS, false) {
        return (at_s, true);
    }
    let slowest = speed.lowest(about_s, motion.to_s);
    (slowest.map_or(motion.to_s, |(at_s, _)| at_s), false)
}

/// Abeam the touchdown: the last time before base at which the place was not yet past it, going the other way.
fn abeam_at(ground: &Ground, strip: &Strip, touchdown_s: f64, from_s: f64, legs: &Legs) -> f64 {
    let Some(touched) = ground.place(touchdown_s) else {
        return f64::NAN;
    };
    if !legs.base_s.is_finite() {
        return f64::NAN;
    }
    let (sin, cos) = strip.course_rad.sin_cos();
    let mut abeam_s = f64::NAN;
    let mut before: Option<(f64, f64)> = None;
    for (at_s, _) in ground.east.samples(from_s, legs.base_s) {
        let Some(place) = ground.place(at_s) else {
            continue;
        };
        let along = (place.0 - touched.0) * sin + (place.1 - touched.1) * cos;
        if let Some((t0, was)) = before
            && was >= 0.0
            && along < 0.0
        {
            abeam_s = t0 + (at_s - t0) * was / (was - along);
        }
        before = Some((at_s, along));
    }
    abeam_s
}

/// When the sink of the approach was first eased below [`FLARE_BELOW_M`]; NaN when it never was.
fn flare(motion: &Motion, height: &Wave, final_s: f64, touchdown_s: f64) -> f64 {
    let Some(low_s) = height.first_beyond(final_s, touchdown_s, FLARE_BELOW_M, false) else {
        return f64::NAN;
    };
    let sink = motion.climb.map(|climb| -climb).smooth(1.0);
    let held = sink.median(final_s.max(low_s - 20.0), low_s);
    if held.is_nan() || held <= 0.5 {
        return f64::NAN;
    }
    sink.first_beyond(low_s, touchdown_s, EASED * held, false)
        .map_or(f64::NAN, |at_s| (at_s - 0.5).max(low_s))
}

/// Heights, widths and lengths of the legs.
fn pattern(arrival: &Arrival, height: &Wave, sheet: &mut Sheet) {
    let Arrival {
        ground,
        strip,
        touchdown,
        abeam_s,
        legs,
        ..
    } = arrival;
    let sigma = strip.height_sigma_m;
    sheet.fact(
        "downwind_height",
        height.at(*abeam_s),
        "m",
        sigma,
        strip.origin,
    );
    sheet.fact(
        "base_height",
        height.at(legs.base_s),
        "m",
        sigma.hypot(3.0),
        strip.origin,
    );
    sheet.fact(
        "final_height",
        height.at(legs.final_s),
        "m",
        sigma.hypot(4.0),
        strip.origin,
    );
    sheet.fact("runway_altitude", strip.level_m, "m", sigma, strip.origin);
    sheet.fact(
        "runway_course",
        strip.course_rad,
        "rad",
        strip.course_sigma_rad,
        Origin::Derived,
    );
    let Some(touched) = ground.place(touchdown.at_s) else {
        for name in ["downwind_width", "downwind_length", "final_length"] {
            sheet.missing(name, NO_POSITION);
        }
        return;
    };
    let from_touchdown = |at_s: f64| {
        let place = ground.place(at_s)?;
        let (sin, cos) = strip.course_rad.sin_cos();
        let (east, north) = (place.0 - touched.0, place.1 - touched.1);
        Some((east * sin + north * cos, east * cos - north * sin))
    };
    let along_sigma = (ground.speed.at(touchdown.at_s) * touchdown.sigma_s).hypot(PLACES_M);
    if let Some((_, across)) = from_touchdown(*abeam_s) {
        // The line of the roll is carried out to the side: only its distance matters there.
        sheet.fact(
            "downwind_width",
            across.abs(),
            "m",
            3.0 * PLACES_M,
            Origin::Derived,
        );
    }
    if let Some((along, _)) = from_touchdown(legs.base_s) {
        let moved = ground.speed.at(legs.base_s) * legs.sigma_s;
        let sigma = along_sigma.hypot(moved);
        sheet.fact("downwind_length", -along, "m", sigma, Origin::Derived);
    }
    if let Some((along, _)) = from_touchdown(legs.final_s) {
        let moved = ground.speed.at(legs.final_s) * legs.sigma_s;
        let sigma = along_sigma.hypot(moved);
        sheet.fact("final_length", -along, "m", sigma, Origin::Derived);
    }
}

/// Height of the flare and the float after it.
fn flared(arrival: &Arrival, height: &Wave, flare_s: f64, sheet: &mut Sheet) {
    let (strip, touchdown) = (&arrival.strip, &arrival.touchdown);
    let at_s = touchdown.at_s;
    if flare_s.is_finite() {
        let sink = arrival.motion.climb.at(flare_s).abs();
        let sigma = strip.height_sigma_m.hypot(sink);
        sheet.fact("flare_height", height.at(flare_s), "m", sigma, strip.origin);
    } else {
        sheet.missing(
            "flare_height",
            "the sink was not eased before the touchdown",
        );
    }
    let Some(low_s) = height.first_beyond(at_s - 40.0, at_s, FLOAT_M, false) else {
        return;
    };
    let sink = arrival.motion.climb.at(low_s).abs().max(0.5);
    let sigma_s = touchdown.sigma_s.hypot(strip.height_sigma_m / sink);
    let seconds = (at_s - low_s).max(0.0);
    sheet.fact("float_time", seconds, "s", sigma_s, strip.origin);
    if let Some(distance) = arrival.ground.between(low_s, at_s) {
        let speed = arrival.ground.speed.at(at_s);
        sheet.fact(
            "float_distance",
            distance,
            "m",
            speed * sigma_s,
            strip.origin,
        );
    }
}

/// What was flown at the moment of touchdown.
fn touched(arrival: &Arrival, sheet: &mut Sheet) {
    let (motion, at_s) = (&arrival.motion, arrival.touchdown.at_s);
    let sigma_s = arrival.touchdown.sigma_s;
    let drift = |wave: &Wave| {
        let rate = wave.rate(2.0).at(at_s).abs() * sigma_s;
        if rate.is_finite() { rate } else { 0.0 }
    };
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), at_s);
    let ias = motion.ias.at(at_s);
    if ias.is_finite() {
        let sigma = sigma.hypot(drift(&motion.ias));
        sheet.fact("touchdown_ias", ias, "m/s", sigma, origin);
    } else {
        sheet.missing("touchdown_ias", NO_AIRSPEED);
    }
    let (sigma, origin) = motion.quality(motion.flight.climb.as_ref(), at_s);
    let own = match motion.flight.fit {
        Fit::Rich => 0.3,
        Fit::Panel | Fit::Sparse => 0.5,
        Fit::GnssAttitude | Fit::Gnss => 0.7,
    };
    let sink = -motion.climb.mean(at_s - 1.5, at_s - 0.3);
    let sigma = sigma.max(own).hypot(drift(&motion.climb));
    sheet.fact(
        "touchdown_sink",
        sink,
        "m/s",
        sigma,
        Origin::Derived.max(origin),
    );
    if motion.pitch.is_known() {
        let pitch = motion.pitch.mean(at_s - 0.6, at_s + 0.2);
        let speed = arrival.ground.speed.at(at_s);
        let on_wheels = wheels::attitude(motion, at_s, speed);
        let (rolling, place) =
            on_wheels.unwrap_or((motion.pitch.median(at_s + 3.0, at_s + 9.0), 0.0));
        let sigma = 0.7_f64.to_radians().hypot(drift(&motion.pitch));
        sheet.fact("touchdown_pitch", pitch, "rad", sigma, Origin::Measured);
        // What is wrong with the attitude on the whole cancels against the roll on all wheels.
        sheet.fact(
            "nose_above_roll",
            pitch - rolling,
            "rad",
            sigma.hypot(place),
            Origin::Measured,
        );
    } else {
        sheet.missing("touchdown_pitch", NO_PITCH);
        sheet.missing("nose_above_roll", NO_PITCH);
    }
    crab(arrival, sheet);
    let load = motion.flight.load.as_ref();
    if load.is_some_and(|load| load.origin == Origin::Measured)
        && let Some((_, most)) = motion.load.highest(at_s - 0.5, at_s + 2.0)
    {
        // Between two samples it may have been more.
        let sigma = if motion.load.step_s() > 0.3 {
            0.3
        } else {
            0.05
        };
        sheet.fact("touchdown_load", most, "g", sigma, Origin::Measured);
    }
}

/// The nose wheel is down within this of the attitude on all wheels, rad.
const DOWN_RAD: f64 = 1.2 * std::f64::consts::PI / 180.0;

/// How long the nose was held off after the touchdown: until the pitch was that on all wheels, as the airplane rolls
/// slowly; where it never does, as it rolls late.
fn nose_off(arrival: &Arrival, end_s: f64, sheet: &mut Sheet) {
    let (motion, touchdown) = (&arrival.motion, &arrival.touchdown);
    if motion.flight.pitch.is_none() {
        sheet.missing("nose_held_off", NO_PITCH);
        return;
    }
    let at_s = touchdown.at_s;
    let late_s = at_s + 0.65 * (end_s - at_s);
    let on_wheels = wheels::attitude(motion, at_s, arrival.ground.speed.at(at_s));
    let rolling = on_wheels.map_or_else(|| motion.pitch.median(late_s, end_s), |(pitch, _)| pitch);
    // A late roll is no three-wheel attitude before it has lasted.
    let latest_s = if on_wheels.is_some() { end_s } else { late_s };
    let down = motion
        .pitch
        .smooth(0.5)
        .first_held(at_s, end_s, rolling + DOWN_RAD, false, 1.0)
        .filter(|down_s| *down_s < latest_s && end_s - at_s > 6.0);
    let Some(down_s) = down else {
        sheet.missing(
            "nose_held_off",
            "the roll was too short to see the nose wheel come down",
        );
        return;
    };
    let sigma = touchdown
        .sigma_s
        .hypot(0.7)
        .hypot(0.5 * motion.pitch.step_s());
    let seconds = (down_s - at_s).max(0.0);
    sheet.fact("nose_held_off", seconds, "s", sigma, Origin::Measured);
}

/// How far the nose pointed beside the way it went. Rolling wheels follow the nose: what is wrong with the
/// compass is what they then seem to drift.
fn crab(arrival: &Arrival, sheet: &mut Sheet) {
    let (motion, ground, at_s) = (&arrival.motion, &arrival.ground, arrival.touchdown.at_s);
    let heading = motion.flight.heading.as_ref();
    if heading.is_none_or(|heading| heading.origin != Origin::Measured) {
        sheet.missing("touchdown_drift", "no heading was recorded");
        return;
    }
    let off = |from_s: f64, to_s: f64| {
        air::units::wrap_pi(ground.track.median(from_s, to_s) - motion.heading.median(from_s, to_s))
    };
    let drift = air::units::wrap_pi(off(at_s - 1.5, at_s) - off(at_s + 2.0, at_s + 8.0));
    let sigma = 1.5_f64
        .to_radians()
        .hypot(0.5_f64.to_radians() * motion.heading.step_s());
    sheet.fact("touchdown_drift", drift, "rad", sigma, Origin::Measured);
}

fn bounced(touchdown: &Touchdown, sheet: &mut Sheet) {
    for (at_s, height) in &touchdown.bounces {
        let value = height.is_finite().then_some(Fact {
            value: *height,
            unit: "m",
            sigma: 1.0,
            origin: Origin::Derived,
        });
        sheet.event_full(
            "bounce",
            *at_s,
            touchdown.sigma_s.max(0.5),
            Origin::Derived,
            0.9,
            value,
        );
    }
    let count = touchdown.bounces.len() as f64;
    if touchdown.hops_show || count > 0.0 {
        sheet.fact("bounces", count, "1", 0.2, touchdown.origin);
    } else {
        sheet.missing(
            "bounces",
            "a hop of a second does not show in this recording",
        );
    }
    let highest = touchdown.bounces.iter().map(|(_, height)| *height);
    let highest = highest
        .filter(|height| height.is_finite())
        .fold(f64::NAN, f64::max);
    sheet.fact("bounce_height", highest, "m", 1.0, Origin::Derived);
}

fn rolled(arrival: &Arrival, end_s: f64, sheet: &mut Sheet) {
    let (ground, touchdown) = (&arrival.ground, &arrival.touchdown);
    let speed = ground.speed.at(touchdown.at_s);
    let (sigma, origin) = arrival
        .motion
        .quality(arrival.motion.flight.ground_speed.as_ref(), touchdown.at_s);
    sheet.fact(
        "touchdown_ground_speed",
        speed,
        "m/s",
        sigma.max(0.3),
        origin,
    );
    match ground.between(touchdown.at_s, end_s) {
        Some(distance) => {
            let sigma = (speed * touchdown.sigma_s).hypot(PLACES_M);
            sheet.fact("roll_out", distance, "m", sigma, Origin::Derived);
        }
        None => sheet.missing("roll_out", NO_POSITION),
    }
}

/// Flaps up at the touchdown of an aircraft that has some.
fn without_flaps(case: &Case, arrival: &Arrival, sheet: &mut Sheet) {
    let (angle, origin) = flaps::angle_at(&arrival.motion, arrival.touchdown.at_s - 5.0);
    let out = flaps::out_at(&arrival.motion, arrival.touchdown.at_s - 5.0);
    if angle.is_finite() && origin == Origin::Measured {
        sheet.fact(
            "flaps_at_touchdown",
            angle,
            "rad",
            1_f64.to_radians(),
            origin,
        );
    }
    if case.aircraft.flaps.len() > 1 && out.is_finite() && out < 0.2 {
        let why = if origin == Origin::Measured {
            "the flaps were up"
        } else {
            "it flew as with the flaps up (inferred)"
        };
        sheet.variant("no_flap", 1.0 - out, why);
    }
}
