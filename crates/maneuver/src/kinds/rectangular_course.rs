//! Rectangular course: straight leg, four corners of about 90° the same way with straight legs between,
//! level, at pattern height.
//!
//! FAA-S-ACS-6C PA.V.B. Bounded by the leg before the first corner, from where the rectangle closes, and the end of
//! the last corner. A traffic pattern has the same corners but ends on the ground.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, ft, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases::entry;
use crate::phases::field;
use crate::phases::given::{self, Given};
use crate::phases::ground::Ground;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::{Sheet, poorer};
use crate::phases::turn_blocks::{self, Block};
use crate::{Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::RectangularCourse, propose).worked_out(
    detail,
    &[
        "corner_1",
        "corner_2",
        "corner_3",
        "corner_4",
        "wings_level",
    ],
    &[
        figure(
            "track_on_legs",
            "rad",
            "greatest angle between the track on a leg and its side of the rectangle",
        ),
        figure(
            "crab_missing",
            "rad",
            "the most by which the nose was held too little into the wind on a leg",
        ),
        figure(
            "side_distance",
            "m",
            "mean distance of the legs outside the sides of the field that was given",
        ),
        figure(
            "side_distance_spread",
            "m",
            "difference of the greatest and the least of those distances, leg by leg",
        ),
        figure("bank_most", "rad", "steepest bank"),
        figure("entry_agl", "m", "height above ground at the entry"),
        figure(
            "entry_off_downwind",
            "rad",
            "track at the entry against straight downwind",
        ),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Runs of four corners the same way.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let corners = corners(&features.turns);
    for (place, four) in corners.windows(4).enumerate() {
        let same = four.windows(2).all(|two| two[0].right() == two[1].right());
        if same {
            let before = place.checked_sub(1).and_then(|i| corners.get(i));
            out.extend(candidate(features, four, before));
        }
    }
}

/// The turns with small corrections the other way (a corner overshot, the wind found late) added to the
/// corner before them.
fn corners(turns: &[Turn]) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    for turn in turns {
        match out.last_mut() {
            Some(last)
                if turn.turned_rad.abs() < deg(50.0)
                    && turn.turned_rad.abs() < 0.6 * last.turned_rad.abs()
                    && turn.start_s - last.end_s < 15.0 =>
            {
                // The corner ends where it ended: the correction is flown on the leg.
                last.turned_rad += turn.turned_rad;
            }
            _ => out.push(*turn),
        }
    }
    out
}

fn candidate(features: &Features, corners: &[Turn], before: Option<&Turn>) -> Option<Candidate> {
    let (first, last) = (corners.first()?, corners.last()?);
    // The entry leg is as long as the legs of the same side, but begins after the last other turn.
    let leg = corners.get(2)?.start_s - corners.get(1)?.end_s;
    let free = before.map_or(0.0, |turn| turn.end_s);
    let start_s = (first.start_s - leg)
        .max(free + 1.0)
        .min(first.start_s)
        .max(0.0);
    let window = features.window(start_s, last.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let net: f64 = corners.iter().map(|turn| turn.turned_rad.abs()).sum();
    let straight = 1.0 - corners.iter().map(Turn::seconds).sum::<f64>() / window.seconds();
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let mut evidence = Evidence::base(11.0)
        .within(net, deg(320.0), deg(385.0), deg(18.0))
        .within(straight, 0.25, 0.80, 0.08)
        .within(window.height_range(), 0.0, ft(260.0), ft(80.0))
        .within(agl, ft(350.0), ft(1500.0), ft(250.0))
        .lasting(window.seconds(), 170.0, 0.5);
    for corner in corners {
        evidence = evidence
            .within(corner.turned_rad.abs(), deg(58.0), deg(122.0), deg(14.0))
            // The turn onto the first leg is one of about 45°, and no corner.
            .plus(-0.5 * (off_square(features, corner) / deg(25.0)).powi(2))
            .within(corner.held_bank_rad, deg(9.0), deg(36.0), deg(4.0));
    }
    for two in corners.windows(2) {
        evidence = evidence.within(two[1].start_s - two[0].end_s, 4.0, 80.0, 3.0);
    }
    Some(Candidate::maneuver(
        Kind::RectangularCourse,
        side(first.turned_rad),
        start_s,
        last.end_s,
        evidence.total(),
    ))
}

/// How far a corner is from a right angle, by the nose or over the ground, whichever is nearer: held against the wind
/// it is square over the ground, otherwise by the nose.
fn off_square(features: &Features, corner: &Turn) -> f64 {
    let course = |from_s: f64, to_s: f64| {
        let ends = features.window(from_s, to_s);
        ends.ends(&features.east).atan2(ends.ends(&features.north))
    };
    let before = course(corner.start_s - 6.0, corner.start_s);
    let after = course(corner.end_s, corner.end_s + 6.0);
    let over_ground = air::units::wrap_pi(after - before).abs();
    let off = |turned: f64| (turned - std::f64::consts::FRAC_PI_2).abs();
    off(corner.turned_rad.abs()).min(off(over_ground))
}

/// A turn of less is a correction on a leg and no corner, rad.
const CORNER_RAD: f64 = deg(40.0);
/// How nearly straight along its side a leg is flown, rad (2.5°).
const HANDLING_RAD: f64 = deg(2.5);
/// Bank that is more than keeping a track, rad.
const BANKED_RAD: f64 = deg(8.0);
const CORNERS: [&str; 4] = ["corner_1", "corner_2", "corner_3", "corner_4"];
const BANKS: [&str; 4] = [
    "corner_bank_1",
    "corner_bank_2",
    "corner_bank_3",
    "corner_bank_4",
];
const TRACK_ERRORS: [&str; 4] = [
    "track_error_1",
    "track_error_2",
    "track_error_3",
    "track_error_4",
];
const NEEDED: [&str; 4] = [
    "crab_needed_1",
    "crab_needed_2",
    "crab_needed_3",
    "crab_needed_4",
];
const FLOWN: [&str; 4] = [
    "crab_flown_1",
    "crab_flown_2",
    "crab_flown_3",
    "crab_flown_4",
];
const LENGTHS: [&str; 4] = [
    "leg_length_1",
    "leg_length_2",
    "leg_length_3",
    "leg_length_4",
];
const PLAIN: [&str; 4] = ["leg_1", "leg_2", "leg_3", "leg_4"];
/// From downwind on, as the pattern goes round (FAA-H-8083-3C, chapter 7).
const BY_WIND: [&str; 4] = ["downwind_leg", "base_leg", "upwind_leg", "crosswind_leg"];

/// A leg between two corners.
#[derive(Clone, Copy)]
struct Leg {
    from_s: f64,
    to_s: f64,
    course_rad: f64,
}

/// Corners, legs, and how well each leg lay along its side.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, 2.0 * REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let found = four(&motion, span.start_s, span.end_s);
    let (Some(first), Some(last)) = (found.first(), found.last()) else {
        return sheet.finish();
    };
    let sign = first.sign();
    sheet.direction(side(sign));
    let (_, origin) = motion.quality(motion.flight.bank.as_ref(), first.start_s);
    let sigma = if origin == Origin::Measured { 0.5 } else { 1.2 };
    let (bank_sigma, bank_origin) = motion.bank_quality(first.start_s);
    for ((corner, name), bank_name) in found.iter().zip(CORNERS).zip(BANKS) {
        sheet.event(name, corner.start_s, sigma, origin);
        if let Some((_, bank)) = motion
            .bank
            .map(f64::abs)
            .held(corner.start_s, corner.end_s, 1.0)
        {
            sheet.fact(bank_name, bank, "rad", bank_sigma, bank_origin);
        }
    }
    let first_bank = motion.bank.map(f64::abs);
    if let Some((_, most)) = first_bank.held(first.start_s, last.end_s, 1.0) {
        sheet.fact("bank_most", most, "rad", bank_sigma, bank_origin);
    }
    let ground = Ground::new(&motion, first.start_s, last.end_s);
    let start_s = ground.as_ref().map_or(span.start_s, |ground| {
        entry_s(ground, &motion, (first, last), span.start_s)
    });
    sheet.bounds(start_s, last.end_s);
    sheet.event("wings_level", last.end_s, 1.4 * sigma, origin);
    entry::write(&motion, start_s, last.end_s, &mut sheet);
    entry::height_above_ground(&motion, start_s, &mut sheet);
    let Some(ground) = ground else {
        sheet.missing("track_on_legs", "no position was recorded");
        sheet.missing("crab_missing", "no position was recorded");
        return sheet.finish();
    };
    ground.write_wind(start_s + 3.0, &mut sheet);
    let legs = legs(&motion, &ground, &found, start_s);
    let side_rad = along_the_sides(&ground, &legs, sign);
    let quarters = |place: usize| side_rad + sign * place as f64 * std::f64::consts::FRAC_PI_2;
    let directions = match case.given {
        Some(Given::Corners(corners)) => {
            let courses: Vec<f64> = legs.iter().map(|leg| leg.course_rad).collect();
            field::sides(*corners, &courses, sign)
                .filter(|sides| field::is_inside(sides, &ground, (start_s, last.end_s), sign))
        }
        _ => None,
    };
    match (&directions, case.given) {
        (Some(sides), _) => {
            given::used(&mut sheet);
            let stretches: Vec<(f64, f64)> =
                legs.iter().map(|leg| (leg.from_s, leg.to_s)).collect();
            field::write(sides, &ground, &stretches, sign, &mut sheet);
        }
        (None, given) => {
            if given.is_some() {
                given::refused(&mut sheet, f64::NAN);
            }
            // Which field it was about cannot be seen: only how far the sides were from each other.
            sheet.missing(
                "side_distance",
                "the field that it was flown around is not known from the path",
            );
        }
    }
    let along: [f64; 4] = std::array::from_fn(|place| {
        let given = directions.as_ref().and_then(|sides| sides.get(place));
        given.map_or(quarters(place), field::Side::direction_rad)
    });
    on_the_legs(&motion, &ground, (&legs, &along), &mut sheet);
    let names = names(&ground, side_rad, sign);
    let mut parts: Vec<(&'static str, f64)> = Vec::new();
    for (place, name) in names.into_iter().enumerate() {
        let from_s = match place.checked_sub(1) {
            None => Some(start_s),
            Some(before) => found.get(before).map(|corner| corner.start_s),
        };
        parts.extend(from_s.map(|from_s| (name, from_s)));
    }
    sheet.phases_in_order(&parts, last.end_s);
    sheet.finish()
}

/// The four corners one way that lie most within the span; corrections the other way are flown on the legs.
fn four(motion: &Motion, start_s: f64, end_s: f64) -> Vec<Block> {
    let all = turn_blocks::find(motion, motion.from_s, motion.to_s, CORNER_RAD);
    let inside = |block: &Block| block.middle_s() > start_s - 4.0 && block.middle_s() < end_s + 4.0;
    let net: f64 = all
        .iter()
        .filter(|one| inside(one))
        .map(|one| one.turned_rad)
        .sum();
    let mut corners: Vec<Block> = all
        .into_iter()
        .filter(|block| inside(block) && block.sign() == net.signum())
        .collect();
    // More than four: the last four end where the decoder says that it ended.
    let surplus = corners.len().saturating_sub(CORNERS.len());
    corners.drain(..surplus);
    if corners.len() == CORNERS.len() {
        corners
    } else {
        Vec::new()
    }
}

/// The entry leg begins where the rectangle closes: where it is met by the fourth side. No earlier than the wings were
/// last banked for something else.
fn entry_s(ground: &Ground, motion: &Motion, (first, last): (&Block, &Block), found_s: f64) -> f64 {
    let corner = ground.at(first.start_s);
    let course = ground.course(first.start_s - 8.0, first.start_s);
    let free = motion
        .bank
        .map(f64::abs)
        .last_beyond(motion.from_s, first.start_s - 2.0, deg(12.0), true)
        .unwrap_or(motion.from_s);
    let (sin, cos) = course.sin_cos();
    let along = |place: (f64, f64)| (place.0 - corner.0) * sin + (place.1 - corner.1) * cos;
    let closes = along(ground.at(last.start_s));
    let begun = ground
        .points(free, first.start_s)
        .find(|(_, place)| along(*place) >= closes)
        .map(|(time_s, _)| time_s);
    match begun {
        // An entry leg of no length is no leg.
        Some(at_s) if first.start_s - at_s > 5.0 => at_s.max(free),
        _ => found_s.clamp(free.min(first.start_s), first.start_s),
    }
}

/// The legs between the corners, each from where its corner was done with: what was rolled the other way after a corner
/// flown too wide belongs to the corner.
fn legs(motion: &Motion, ground: &Ground, corners: &[Block], start_s: f64) -> Vec<Leg> {
    let bank = motion.bank.smooth(1.0).map(f64::abs);
    let mut from_s = start_s;
    let mut out = Vec::new();
    for corner in corners {
        let to_s = corner.start_s - 0.5;
        let late_s = from_s + 0.65 * (to_s - from_s);
        let settled_s = bank
            .last_beyond(from_s, late_s, BANKED_RAD, true)
            .unwrap_or(from_s);
        let a = (settled_s + 1.0).min(late_s);
        out.push(Leg {
            from_s: a,
            to_s,
            course_rad: ground.track.median(a, to_s),
        });
        from_s = corner.end_s;
    }
    out
}

/// Direction of the first side of the best rectangle, rad. A leg across the wind is where an uncorrected wind shows,
/// so it says less of the side that was meant.
fn along_the_sides(ground: &Ground, legs: &[Leg], sign: f64) -> f64 {
    let Some(reference) = legs
        .iter()
        .map(|leg| leg.course_rad)
        .find(|one| one.is_finite())
    else {
        return f64::NAN;
    };
    let (mut sum, mut weights) = (0.0, 0.0);
    for (place, leg) in legs
        .iter()
        .enumerate()
        .filter(|(_, leg)| leg.course_rad.is_finite())
    {
        let first = leg.course_rad - sign * place as f64 * std::f64::consts::FRAC_PI_2;
        let drift = ground.wind.map_or(deg(5.0), |wind| {
            let across = wind.speed_mps() * (leg.course_rad - wind.downwind_rad()).sin();
            (across / 45.0).abs()
        });
        let weight = (HANDLING_RAD.powi(2) + (0.5 * drift).powi(2)).recip();
        sum += weight * air::units::wrap_pi(first - reference);
        weights += weight;
    }
    reference + sum / weights.max(1e-9)
}

/// Track against the side, and the crab that was needed and flown, leg by leg.
fn on_the_legs(
    motion: &Motion,
    ground: &Ground,
    (legs, along): (&[Leg], &[f64; 4]),
    sheet: &mut Sheet,
) {
    let origin = poorer(ground.origin, Origin::Derived);
    let (mut worst, mut crab_off) = (f64::NAN, f64::NAN);
    let (_, heading_origin) = motion.quality(motion.flight.heading.as_ref(), 0.0);
    for (place, (leg, side)) in legs.iter().zip(along.iter().copied()).enumerate() {
        let error = air::units::wrap_pi(leg.course_rad - side);
        worst = f64::max(worst, error.abs());
        let (from, to) = (ground.at(leg.from_s), ground.at(leg.to_s));
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        if let (Some(error_name), Some(length_name)) = (TRACK_ERRORS.get(place), LENGTHS.get(place))
        {
            sheet.fact(error_name, error, "rad", deg(1.5), origin);
            sheet.fact(length_name, length, "m", ground.sigma_m.hypot(20.0), origin);
        }
        let Some(wind) = ground.wind else { continue };
        let speed = ground.speed.mean(leg.from_s, leg.to_s);
        let airspeed = (speed * leg.course_rad.sin() - wind.east_mps)
            .hypot(speed * leg.course_rad.cos() - wind.north_mps);
        let across = wind.speed_mps() * (wind.downwind_rad() - side).sin();
        let needed = -(across / airspeed.max(1.0)).clamp(-1.0, 1.0).asin();
        // What was held against the wind: the nose against the side that was to be followed.
        let flown = air::units::wrap_pi(motion.heading.mean(leg.from_s, leg.to_s) - side);
        let sigma = (wind.sigma_mps / airspeed.max(1.0)).hypot(deg(1.5));
        if let (Some(needed_name), Some(flown_name)) = (NEEDED.get(place), FLOWN.get(place)) {
            sheet.fact(
                needed_name,
                needed,
                "rad",
                sigma,
                poorer(wind.origin, origin),
            );
            let sigma = sigma.hypot(deg(1.5));
            sheet.fact(
                flown_name,
                flown,
                "rad",
                sigma,
                poorer(heading_origin, origin),
            );
        }
        let short = (needed - flown) * needed.signum();
        if needed.abs() > deg(3.0) && short.is_finite() {
            crab_off = f64::max(crab_off, short);
        }
    }
    sheet.fact("track_on_legs", worst, "rad", deg(1.2), origin);
    if ground.wind.is_none() {
        sheet.missing("crab_missing", "the wind is not known");
    } else if crab_off.is_finite() {
        sheet.fact("crab_missing", crab_off, "rad", deg(2.0), origin);
    } else {
        sheet.does_not_apply("crab_missing");
    }
}

/// What the legs are called by the wind; by their number where there is none to speak of.
fn names(ground: &Ground, side_rad: f64, sign: f64) -> [&'static str; 4] {
    let felt = ground.wind.filter(crate::phases::ground::Wind::is_felt);
    let Some(wind) = felt.filter(|_| side_rad.is_finite()) else {
        return PLAIN;
    };
    let quarter = std::f64::consts::FRAC_PI_2;
    // How many legs after the downwind one the first is.
    let after = sign * (side_rad - wind.downwind_rad()) / quarter;
    let after = (after.round() as i64).rem_euclid(4) as usize;
    [0, 1, 2, 3].map(|place| BY_WIND.get((place + after) % 4).copied().unwrap_or("leg"))
}
