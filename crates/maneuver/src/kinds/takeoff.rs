//! Takeoff: from the start of the roll to 500 ft above the runway and some.
//!
//! FAA-S-ACS-6C PA.IV.A. Bounded by the first movement and the climb through 600 ft, or the first turn
//! or level-off before that.

use super::{Case, Grammar, deg, figure, ft, row};
use crate::decode::Candidate;
use crate::features::{ContactKind, Features, STEP_S};
use crate::phases::motion::Motion;
use crate::phases::runway::ground::{Ground, PLACES_M};
use crate::phases::runway::lift_off::{self, Moment};
use crate::phases::runway::strip::Strip;
use crate::phases::runway::{NO_AIRSPEED, NO_PITCH, NO_POSITION, climb_out, wind};
use crate::phases::sheet::Sheet;
use crate::phases::{entry, flaps};
use crate::{Direction, Kind, Maneuver};
use air::units::MPS_PER_KT;
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::Takeoff, propose).worked_out(
    detail,
    &[
        "power_up",
        "rotate",
        "lift_off",
        "obstacle_height",
        "positive_climb",
        "climb_steady",
        "vy_reached",
    ],
    &[
        figure("ground_roll", "m", "length of the roll to the lift-off"),
        figure("roll_time", "s", "from the power coming up to the lift-off"),
        figure("rotation_ias", "m/s", "airspeed at the rotation"),
        figure("lift_off_ias", "m/s", "airspeed at the lift-off"),
        figure(
            "distance_to_50_ft",
            "m",
            "from the start of the roll to 50 ft above the runway",
        ),
        figure("ias_at_50_ft", "m/s", "airspeed at 50 ft above the runway"),
        figure(
            "ias_climbing",
            "m/s",
            "airspeed in the steady climb, the median",
        ),
        figure("ias_climbing_low", "m/s", "lowest airspeed held there"),
        figure("ias_climbing_high", "m/s", "highest airspeed held there"),
        figure("climb_rate", "m/s", "rate of climb, the mean"),
        figure("swing", "rad", "greatest change of heading on the roll"),
        figure(
            "drift_after_lift_off",
            "m",
            "distance beside the line of the roll by 300 ft",
        ),
        figure("headwind", "m/s", "wind along the runway"),
        figure(
            "crosswind",
            "m/s",
            "wind across the runway, from the right positive",
        ),
        figure(
            "runway_altitude",
            "m",
            "altitude on the runway by the altimeter",
        ),
        figure(
            "ias_leaving_ground_effect",
            "m/s",
            "airspeed a wingspan above the runway",
        ),
        figure("runway_course", "rad", "true direction of the roll"),
    ],
);

/// The obstacle that performance tables are for, m: 50 ft (14 CFR 23.2115, from memory).
const OBSTACLE_M: f64 = ft(50.0);
/// Where the drift is looked at, m above the runway.
const DRIFT_AT_M: f64 = ft(300.0);
/// Faster than this on the roll the rudder has to hold it, m/s.
const ROLLS_MPS: f64 = 15.0 * MPS_PER_KT;

/// From the lever to 600 ft above the runway.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, 12.0, 20.0);
    let ground = Ground::new(&motion, span.start_s - 20.0, span.end_s + 20.0);
    let mut sheet = Sheet::new(span);
    let about_s = span.anchor_s.unwrap_or_else(|| guess(&motion));
    let roll_from = (about_s - 12.0).max(motion.from_s);
    let Some(strip) = Strip::of_roll(&motion, &ground, roll_from, about_s - 1.0) else {
        return sheet.finish();
    };
    let off = lift_off::lift_off(&motion, &strip, about_s, motion.to_s);
    let power = lift_off::power_up(&motion, &ground, motion.from_s, off.at_s);
    let start_s = power.map_or(span.start_s, |power| power.at_s);
    let rotated = lift_off::rotate(&motion, start_s, off.at_s);
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let end_s = height
        .first_beyond(off.at_s, motion.to_s, ft(600.0), true)
        .unwrap_or(span.end_s);
    sheet.bounds(start_s, end_s);
    if let Some(power) = power {
        sheet.event("power_up", power.at_s, power.sigma_s, power.origin);
    }
    if let Some(rotated) = rotated {
        sheet.event("rotate", rotated.at_s, rotated.sigma_s, rotated.origin);
    }
    sheet.event("lift_off", off.at_s, off.sigma_s, off.origin);
    entry::write(&motion, start_s, end_s, &mut sheet);
    rolled(&motion, &ground, start_s, (rotated, off), &mut sheet);
    obstacle(&motion, &ground, &strip, (start_s, off), &mut sheet);
    ground_effect(case, &motion, &strip, off, &mut sheet);
    let climb = climb_out::write(&motion, case.aircraft, (off.at_s, end_s), &mut sheet);
    drift(
        &ground,
        &strip,
        off.at_s,
        height.first_beyond(off.at_s, end_s, DRIFT_AT_M, true),
        &mut sheet,
    );
    let (sigma, origin) = (strip.height_sigma_m, strip.origin);
    sheet.fact("runway_altitude", strip.level_m, "m", sigma, origin);
    sheet.fact(
        "runway_course",
        strip.course_rad,
        "rad",
        strip.course_sigma_rad,
        Origin::Derived,
    );
    let along = (start_s, off.at_s + 20.0);
    if let Some((_, crosswind, sigma)) =
        wind::write(&motion, &ground, strip.course_rad, along, &mut sheet)
    {
        wind::variant(crosswind, sigma, &mut sheet);
    }
    let steps = flaps::steps(&motion, off.at_s - 2.0, end_s);
    flaps::write(&motion, &steps, &mut sheet);
    short_field(case, &motion, &ground, (start_s, off.at_s), &mut sheet);
    sheet.phases_in_order(
        &[
            ("roll", start_s),
            ("lift_off", rotated.map_or(off.at_s, |moment| moment.at_s)),
            (
                "climb",
                if climb.steady_s.is_finite() {
                    climb.steady_s
                } else {
                    climb.positive_s
                },
            ),
        ],
        end_s,
    );
    sheet.finish()
}

/// The lift-off of a span that somebody else gave: where it was last no higher than it began.
fn guess(motion: &Motion) -> f64 {
    let level = motion.altitude.quantile(motion.from_s, motion.to_s, 0.1);
    motion
        .altitude
        .last_beyond(motion.from_s, motion.to_s, level + 1.5, false)
        .unwrap_or(motion.from_s + 20.0)
}

/// Length and time of the roll, speeds at its end, and how straight it was.
fn rolled(
    motion: &Motion,
    ground: &Ground,
    start_s: f64,
    (rotated, off): (Option<Moment>, Moment),
    sheet: &mut Sheet,
) {
    sheet.fact(
        "roll_time",
        off.at_s - start_s,
        "s",
        off.sigma_s.hypot(1.0),
        off.origin,
    );
    match ground.between(start_s, off.at_s) {
        Some(roll) => {
            let sigma = (ground.speed.at(off.at_s) * off.sigma_s).hypot(PLACES_M);
            sheet.fact("ground_roll", roll, "m", sigma, Origin::Derived);
        }
        None => sheet.missing("ground_roll", NO_POSITION),
    }
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), off.at_s);
    let gathers = motion.ias.rate(3.0);
    let speed = |moment: Moment| {
        let rate = gathers.at(moment.at_s).abs();
        let drift = if rate.is_finite() {
            rate * moment.sigma_s
        } else {
            0.0
        };
        (motion.ias.at(moment.at_s), sigma.hypot(drift))
    };
    if motion.ias.is_known() {
        let (value, own) = speed(off);
        sheet.fact("lift_off_ias", value, "m/s", own, origin);
    } else {
        sheet.missing("lift_off_ias", NO_AIRSPEED);
    }
    match rotated {
        Some(rotated) if motion.ias.is_known() => {
            let (value, own) = speed(rotated);
            sheet.fact("rotation_ias", value, "m/s", own, origin);
        }
        Some(_) => sheet.missing("rotation_ias", NO_AIRSPEED),
        None if motion.pitch.is_known() => {
            sheet.missing("rotation_ias", "the nose rose too little to tell when");
        }
        None => sheet.missing("rotation_ias", NO_PITCH),
    }
    let fast_s = ground
        .speed
        .first_beyond(start_s, off.at_s, ROLLS_MPS, true)
        .unwrap_or(f64::NAN);
    let (sigma, origin) = motion.quality(motion.flight.heading.as_ref(), start_s);
    if origin == Origin::Measured
        && let Some((low, high)) = motion.heading.held(fast_s, off.at_s, 1.0)
        && fast_s.is_finite()
    {
        let middle = motion.heading.median(fast_s, off.at_s);
        let most = (high - middle).max(middle - low);
        sheet.fact("swing", most, "rad", sigma.max(deg(1.5)), origin);
    } else {
        sheet.missing("swing", "no heading was recorded on the roll");
    }
}

/// Where and how fast it passed the height of the obstacle.
fn obstacle(
    motion: &Motion,
    ground: &Ground,
    strip: &Strip,
    (start_s, off): (f64, Moment),
    sheet: &mut Sheet,
) {
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let Some(at_s) = height.first_beyond(off.at_s, motion.to_s, OBSTACLE_M, true) else {
        return;
    };
    let climb = motion.climb.at(at_s).max(1.0);
    let sigma_s = strip.height_sigma_m / climb;
    sheet.event("obstacle_height", at_s, sigma_s, strip.origin);
    if let Some(distance) = ground.between(start_s, at_s) {
        let sigma = (ground.speed.at(at_s) * sigma_s).hypot(PLACES_M);
        sheet.fact("distance_to_50_ft", distance, "m", sigma, Origin::Derived);
    }
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), at_s);
    sheet.fact(
        "ias_at_50_ft",
        motion.ias.at(at_s),
        "m/s",
        sigma.max(0.6),
        origin,
    );
}

/// A wing is out of ground effect a span above the ground, m (FAA-H-8083-25C, chapter 5, from memory); light trainers have 10
/// to 11 m (common practice, no source).
const SPAN_M: f64 = 10.5;

/// How fast it was when it left ground effect.
fn ground_effect(case: &Case, motion: &Motion, strip: &Strip, off: Moment, sheet: &mut Sheet) {
    let span_m = case.aircraft.wing_span_m.unwrap_or(SPAN_M);
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let name = "ias_leaving_ground_effect";
    let Some(at_s) = height.first_held(off.at_s, motion.to_s, span_m, true, 2.0) else {
        return;
    };
    if !motion.ias.is_known() {
        sheet.missing(name, NO_AIRSPEED);
        return;
    }
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), at_s);
    // It gathers speed while nobody knows to a meter how high it is.
    let climb = motion.climb.at(at_s).max(1.0);
    let drift = motion.ias.rate(3.0).at(at_s).abs() * strip.height_sigma_m / climb;
    let drift = if drift.is_finite() { drift } else { 1.0 };
    let sigma = sigma.max(0.6).hypot(drift);
    sheet.fact(name, motion.ias.at(at_s), "m/s", sigma, origin);
}

/// Beside the line of the roll at the height where the drift is looked at.
fn drift(ground: &Ground, strip: &Strip, off_s: f64, at_s: Option<f64>, sheet: &mut Sheet) {
    let (Some(at_s), Some(from)) = (at_s, ground.place(off_s)) else {
        return;
    };
    let across = |place| strip.along_across(place).map(|(_, across)| across);
    let then = ground.place(at_s).and_then(across);
    if let (Some(was), Some(then)) = (across(from), then) {
        let away = ground.between(off_s, at_s).unwrap_or(f64::NAN);
        let sigma = (away * strip.course_sigma_rad).hypot(PLACES_M);
        sheet.fact(
            "drift_after_lift_off",
            then - was,
            "m",
            sigma,
            Origin::Derived,
        );
    }
}

/// A short-field takeoff shows in two things together: full power against the brakes, and VX held to 50 ft
/// (FAA-S-ACS-6C, PA.IV.E.S7 and S10). One alone shows nothing.
fn short_field(
    case: &Case,
    motion: &Motion,
    ground: &Ground,
    (start_s, off_s): (f64, f64),
    sheet: &mut Sheet,
) {
    let speeds = &case.aircraft.speeds;
    let (Some(vx), Some(vy)) = (speeds.vx_mps, speeds.vy_mps) else {
        return;
    };
    let moves_s = ground
        .speed
        .first_beyond(start_s, off_s, 1.5, true)
        .unwrap_or(start_s);
    let top = motion.power.quantile(start_s, off_s, 0.9);
    let held = motion
        .power
        .seconds_beyond(start_s, moves_s, 0.85 * top, true);
    let climbs = motion.ias.median(off_s + 3.0, off_s + 10.0);
    if top > 0.5 && held >= 2.0 && climbs < 0.5 * (vx + vy) && vy - vx > 1.0 {
        sheet.variant(
            "short_field",
            0.75,
            "full power against the brakes, and VX rather than VY after the lift-off",
        );
    }
}

/// One for each lift-off.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::LiftOff)
    {
        let start_s = contact.roll_s;
        let mut t = contact.at_s;
        let limit = (contact.at_s + 150.0).min(features.end_s());
        while t < limit && features.at(&features.altitude, t) - contact.altitude_m < ft(597.0) {
            t += STEP_S;
        }
        let gained = features.at(&features.altitude, t) - contact.altitude_m;
        // A ground contact is sure by itself; what may be wrong is a hop.
        let score = if gained > ft(150.0) { 12.0 } else { 1.0 };
        let candidate = Candidate::maneuver(Kind::Takeoff, Direction::None, start_s, t, score);
        out.push(candidate.anchored(contact.at_s));
    }
}
