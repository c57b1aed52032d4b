//! Turns around a point: two (or more) level circles one way at 20 to 45° of bank, low.
//!
//! FAA-S-ACS-6C PA.V.B: 600 to 1,000 ft above the ground, altitude ± 100 ft. The bank varies with the
//! wind but the wings never come level. May end while still banked.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, ft, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases::circle;
use crate::phases::entry;
use crate::phases::given::{self, Given};
use crate::phases::ground::Ground;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::needed_bank;
use crate::phases::point::{self, Point};
use crate::phases::sheet::{Sheet, poorer};
use crate::phases::turn;
use crate::phases::turning::Turning;
use crate::{Kind, Maneuver};
use flight::Origin;
use std::f64::consts::TAU;

/// How it takes part.
pub const ROW: Grammar = row(Kind::TurnsAroundAPoint, propose).worked_out(
    detail,
    &[
        "roll_in",
        "bank_established",
        "roll_out_start",
        "wings_level",
    ],
    &[
        figure("turns", "1", "full turns"),
        figure("radius_mean", "m", "mean distance from the point"),
        figure("radius_least", "m", "least distance from the point"),
        figure("radius_greatest", "m", "greatest distance from the point"),
        figure(
            "radius_variation",
            "1",
            "difference of the greatest and the least distance from the point, over the mean",
        ),
        figure(
            "drift_share",
            "1",
            "share of the wind that was not held against: 0 none, 1 all of it",
        ),
        figure(
            "drift_per_turn",
            "m",
            "how far the circle moved downwind in one turn",
        ),
        figure(
            "bank_follows",
            "1",
            "change of the bank for each degree that the wind asked for: 1 as needed, 0 not varied",
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

/// Long level turns of moderate bank.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for turn in &features.turns {
        if turn.turned_rad.abs() > deg(500.0) {
            out.extend(several(features, turn));
        } else if turn.turned_rad.abs() > deg(290.0) {
            out.extend(single(features, turn));
        }
    }
}

fn several(features: &Features, turn: &Turn) -> Option<Candidate> {
    let window = features.window(turn.start_s, turn.end_s);
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let turns = turn.turned_rad.abs() / TAU;
    // Each turn more is another one that ordinary flying would have to make.
    let evidence = Evidence::base(13.0 + 4.0 * (turns - 2.0).max(0.0))
        .within(turn.turned_rad.abs(), deg(620.0), deg(1900.0), deg(40.0))
        .mostly(agl, ft(400.0), ft(1400.0), ft(250.0), 3.0);
    proposed(features, turn, evidence, turns)
}

/// One turn is what a steep turn or an orbit for spacing is as well. It counts where neither is flown: lower than a
/// steep turn may be (1,500 ft), with the bank that keeps the circle over the ground.
fn single(features: &Features, turn: &Turn) -> Option<Candidate> {
    let window = features.window(turn.start_s, turn.end_s);
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    if agl.is_nan() {
        return None;
    }
    let path: Vec<(f64, f64)> = window
        .slice(&features.east)
        .iter()
        .copied()
        .zip(window.slice(&features.north).iter().copied())
        .collect();
    let round = circle::fit(&path).map_or(f64::NAN, |circle| circle.rms_m / circle.radius_m);
    let evidence = Evidence::base(8.0)
        .within(turn.turned_rad.abs(), deg(325.0), deg(420.0), deg(20.0))
        .within(agl, ft(450.0), ft(1200.0), ft(120.0))
        .mostly(round, 0.0, 0.06, 0.03, 4.0);
    proposed(features, turn, evidence, 1.0)
}

fn proposed(features: &Features, turn: &Turn, evidence: Evidence, turns: f64) -> Option<Candidate> {
    let window = features.window(turn.start_s, turn.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let evidence = evidence
        .within(window.mean_abs_bank(), deg(16.0), deg(39.0), deg(2.5))
        .within(window.height_range(), 0.0, ft(260.0), ft(80.0))
        .within(window.net_height().abs(), 0.0, ft(180.0), ft(70.0))
        .lasting(turn.seconds() / turns.max(1.0), 52.0, 0.5);
    Some(Candidate::maneuver(
        Kind::TurnsAroundAPoint,
        side(turn.turned_rad),
        turn.start_s,
        turn.end_s,
        evidence.total(),
    ))
}

/// Turns, bank, and the point that they were flown about.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let banked = motion.bank.map(f64::abs);
    let early = banked
        .first_held(span.start_s - 2.0, motion.to_s, deg(12.0), true, 1.0)
        .unwrap_or(span.start_s);
    let Some(turn) = Turning::new(&motion, span, early) else {
        return sheet.finish();
    };
    // The bank is given back on the upwind side: what ends it is level wings near the end.
    let late = span.end_s - 0.15 * (span.end_s - span.start_s);
    let level_s = turn
        .bank
        .first_beyond(late, motion.to_s, turn::LEVEL_RAD, false)
        .unwrap_or(span.end_s);
    let middle = 0.5 * (turn.roll_in_s + level_s);
    let there = 0.6 * turn.bank.median(turn.roll_in_s, level_s);
    let established_s = turn
        .bank
        .first_beyond(turn.roll_in_s, middle, there, true)
        .unwrap_or(turn.roll_in_s);
    let roll_out_s = turn
        .bank
        .last_beyond(middle, level_s, there, true)
        .unwrap_or(level_s);
    sheet.direction(side(turn.sign));
    sheet.bounds(turn.roll_in_s, level_s);
    let sigma = if turn.origin == Origin::Measured {
        0.4
    } else {
        1.0
    };
    sheet.event("roll_in", turn.roll_in_s, sigma, turn.origin);
    sheet.event("bank_established", established_s, 1.4 * sigma, turn.origin);
    sheet.event("roll_out_start", roll_out_s, 1.4 * sigma, turn.origin);
    sheet.event("wings_level", level_s, 1.4 * sigma, turn.origin);
    for (number, name) in (1_u32..).zip(["turn_1", "turn_2", "turn_3", "turn_4"]) {
        if let Some(at_s) = turn.reached(turn.roll_in_s, level_s, f64::from(number) * TAU) {
            sheet.event(name, at_s, 1.5 * sigma, turn.origin);
        }
    }
    entry::write(&motion, turn.roll_in_s, level_s, &mut sheet);
    entry::height_above_ground(&motion, turn.roll_in_s, &mut sheet);
    let turns = turn.settled(level_s) / TAU;
    sheet.fact("turns", turns, "1", turn.sigma_rad() / TAU, turn.origin);
    over_the_ground(
        (&motion, case.given),
        turn.sign,
        (turn.roll_in_s, level_s),
        turns,
        &mut sheet,
    );
    sheet.phases_in_order(
        &[
            ("entry", turn.roll_in_s),
            ("established", established_s),
            ("rollout", roll_out_s),
        ],
        level_s,
    );
    sheet.finish()
}

const OF_THE_GROUND: [&str; 6] = [
    "radius_mean",
    "radius_least",
    "radius_greatest",
    "radius_variation",
    "drift_share",
    "bank_follows",
];

fn over_the_ground(
    (motion, given): (&Motion, Option<&Given>),
    sign: f64,
    (from_s, to_s): (f64, f64),
    turns: f64,
    sheet: &mut Sheet,
) {
    let Some(ground) = Ground::new(motion, from_s, to_s) else {
        for name in OF_THE_GROUND {
            sheet.missing(name, "no position was recorded");
        }
        return;
    };
    ground.write_wind(from_s, sheet);
    let solved = point::solve(&ground, from_s, to_s);
    let Some(point) = about(&ground, given, solved, (from_s, to_s, sign), sheet) else {
        for name in OF_THE_GROUND {
            sheet.missing(name, "no circle fits the path over the ground");
        }
        return;
    };
    let origin = poorer(ground.origin, Origin::Derived);
    let sigma = point.sigma_m;
    sheet.fact("point_east", point.east_m, "m", sigma, origin);
    sheet.fact("point_north", point.north_m, "m", sigma, origin);
    let radius_m = distances(&ground, &point, (from_s, to_s), sheet);
    drift(&ground, &point, (to_s - from_s) / turns.max(0.5), sheet);
    needed_bank::write(
        motion,
        &ground,
        (sign, radius_m),
        (from_s + 4.0, to_s - 4.0),
        sheet,
    );
}

/// The point that was given, where the path goes around it, else the one that the path shows.
fn about(
    ground: &Ground,
    given: Option<&Given>,
    solved: Option<Point>,
    (from_s, to_s, sign): (f64, f64, f64),
    sheet: &mut Sheet,
) -> Option<Point> {
    let Some(place) = given.and_then(Given::point) else {
        return solved;
    };
    let path = ground.points(from_s, to_s).map(|(_, place)| place);
    if !given::goes_around(path, place, sign, std::f64::consts::PI) {
        let off_m = solved.map_or(f64::NAN, |point| point.distance(place));
        given::refused(sheet, off_m);
        return solved;
    }
    given::used(sheet);
    Some(Point {
        east_m: place.0,
        north_m: place.1,
        sigma_m: given::SIGMA_M,
        share: solved.map_or((f64::NAN, f64::NAN), |point| point.share),
    })
}

/// Writes the distances from the point; gives their mean.
fn distances(ground: &Ground, point: &Point, (from_s, to_s): (f64, f64), sheet: &mut Sheet) -> f64 {
    let all: Vec<f64> = ground
        .points(from_s, to_s)
        .map(|(_, place)| point.distance(place))
        .collect();
    let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
    let least = all.iter().copied().fold(f64::NAN, f64::min);
    let most = all.iter().copied().fold(f64::NAN, f64::max);
    let origin = poorer(ground.origin, Origin::Derived);
    let of_one = ground.sigma_m.hypot(point.sigma_m);
    sheet.fact("radius_mean", mean, "m", ground.sigma_m, origin);
    sheet.fact("radius_least", least, "m", of_one, origin);
    sheet.fact("radius_greatest", most, "m", of_one, origin);
    // A point a little off adds to one side what it takes from the other.
    let spread = (1.4 * ground.sigma_m).hypot(1.4 * point.sigma_m) / mean.max(1.0);
    sheet.fact(
        "radius_variation",
        (most - least) / mean.max(1.0),
        "1",
        spread,
        origin,
    );
    mean
}

fn drift(ground: &Ground, point: &Point, seconds: f64, sheet: &mut Sheet) {
    let (share, sigma) = point.share;
    let (Some(wind), true) = (ground.wind, share.is_finite()) else {
        sheet.does_not_apply("drift_share");
        return;
    };
    let origin = poorer(wind.origin, Origin::Derived);
    sheet.fact("drift_share", share, "1", sigma, origin);
    let carried = wind.speed_mps() * seconds;
    sheet.fact(
        "drift_per_turn",
        share * carried,
        "m",
        sigma * carried,
        origin,
    );
}
