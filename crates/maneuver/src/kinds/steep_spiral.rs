//! Steep spiral: three turns (at least 720° here, so that an interrupted one is found) one way with the
//! power off, losing height at a steady speed.
//!
//! FAA-S-ACS-7B CA.V.B: at least three 360° turns, bank not above 60°. Bounded by the turn itself.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, ft, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::Features;
use crate::phases::circle::{self, Circle};
use crate::phases::entry;
use crate::phases::given::{self, Given};
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::phases::turn;
use crate::phases::turning::Turning;
use crate::{Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::SteepSpiral, propose).worked_out(
    detail,
    &[
        "roll_in",
        "bank_established",
        "roll_out_start",
        "wings_level",
    ],
    &[
        figure("turns", "1", "full turns"),
        figure("bank_max", "rad", "greatest bank"),
        figure("target_ias", "m/s", "airspeed held, the median"),
        figure("rollout_heading", "rad", "heading at roll-out, magnetic"),
        figure(
            "entry_heading_magnetic",
            "rad",
            "heading at the entry, magnetic",
        ),
        figure("radius_mean", "m", "mean distance from the point"),
        figure(
            "radius_variation",
            "1",
            "difference of the greatest and the least distance from the point, over the mean",
        ),
        figure("altitude_lost", "m", "height lost"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Long descending turns; pieces one way with a short pause belong together.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for (place, first) in features.turns.iter().enumerate() {
        let (mut turned, mut last) = (first.turned_rad, first);
        out.extend(candidate(features, first.start_s, last.end_s, turned));
        for next in &features.turns[place + 1..] {
            if next.right() != first.right() || next.start_s - last.end_s > 12.0 {
                break;
            }
            turned += next.turned_rad;
            last = next;
            out.extend(candidate(features, first.start_s, last.end_s, turned));
        }
    }
}

fn candidate(features: &Features, start_s: f64, end_s: f64, turned: f64) -> Option<Candidate> {
    let window = features.window(start_s, end_s);
    let k = features.scale.k;
    if turned.abs() < deg(560.0)
        || window.net_height() > -ft(400.0)
        || window.unknown() > MOST_UNKNOWN
    {
        return None;
    }
    let evidence = Evidence::base(13.0)
        .within(turned.abs(), deg(700.0), deg(3000.0), deg(50.0))
        .within(-window.net_height(), ft(650.0) * k, ft(9000.0), ft(100.0))
        .within(-window.mean_climb(), fpm(450.0) * k, fpm(2600.0), fpm(80.0))
        .within(window.mean_abs_bank(), deg(18.0), deg(60.0), deg(4.0))
        .mostly(spread(&window, &features.ias), 0.0, 0.16, 0.06, 5.0);
    Some(Candidate::maneuver(
        Kind::SteepSpiral,
        side(turned),
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Middle half of the speeds over their median.
fn spread(window: &crate::features::Window<'_>, ias: &[f64]) -> f64 {
    let at = |share: f64| window.percentile(ias, share, |v| v);
    (at(0.9) - at(0.1)) / at(0.5)
}

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;

/// Turns, bank, speed, and the point on the ground that it went around.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    // Bank is given back against the wind, even to level for a moment: what counts is where it was first rolled in.
    let banked = motion.bank.map(f64::abs);
    let early = banked
        .first_held(span.start_s - 2.0, motion.to_s, deg(12.0), true, 1.0)
        .unwrap_or(span.start_s);
    let Some(turn) = Turning::new(&motion, span, early) else {
        return sheet.finish();
    };
    let middle = 0.5 * (span.start_s + span.end_s);
    let late = span.end_s - 0.15 * (span.end_s - span.start_s);
    let held = turn.bank.median(span.start_s, span.end_s);
    let level_s = turn
        .bank
        .first_beyond(late, motion.to_s, turn::LEVEL_RAD, false)
        .unwrap_or(span.end_s);
    let there = 0.7 * held;
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
    entry::write(&motion, turn.roll_in_s, level_s, &mut sheet);
    let whole = turn.settled(level_s) / std::f64::consts::TAU;
    let of_turns = turn.sigma_rad() / std::f64::consts::TAU;
    sheet.fact("turns", whole, "1", of_turns, turn.origin);
    headings(&motion, &turn, level_s, &mut sheet);
    let (sigma, origin) = motion.bank_quality(middle);
    if let Some((_, high)) = turn.bank.held(turn.roll_in_s, level_s, HOLD_S) {
        sheet.fact("bank_max", high, "rad", sigma, origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), middle);
    let ias = motion.ias.median(established_s, roll_out_s);
    sheet.fact(
        "target_ias",
        ias,
        "m/s",
        sigma.max(0.8),
        Origin::Assumed.max(origin),
    );
    let lost = motion.altitude.at(turn.roll_in_s) - motion.altitude.at(level_s);
    let (_, origin) = motion.altitude_quality(middle);
    sheet.fact(
        "altitude_lost",
        lost,
        "m",
        motion.altitude_change_sigma_m(5.0),
        origin,
    );
    about_a_point(
        (&motion, case.given, turn.sign),
        (established_s, roll_out_s),
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

fn headings(motion: &Motion, turn: &Turning, level_s: f64, sheet: &mut Sheet) {
    let variation = motion.flight.variation_rad;
    let magnetic = |heading: f64| air::units::wrap_tau(heading - variation);
    let entry = motion
        .heading
        .mean(turn.roll_in_s - 1.5, turn.roll_in_s + 0.2);
    let out = motion.heading.mean(level_s - 0.2, level_s + 1.5);
    let sigma = turn.sigma_rad();
    sheet.fact(
        "entry_heading_magnetic",
        magnetic(entry),
        "rad",
        0.0,
        turn.origin,
    );
    sheet.fact("rollout_heading", magnetic(out), "rad", sigma, turn.origin);
}

/// Where the point was not given it is the middle of the circle that fits the path over the ground best.
fn about_a_point(
    (motion, given, sign): (&Motion, Option<&Given>, f64),
    (from_s, to_s): (f64, f64),
    sheet: &mut Sheet,
) {
    let Some(path) = motion.path(from_s, to_s) else {
        sheet.missing("radius_mean", "no position was recorded");
        sheet.missing("radius_variation", "no position was recorded");
        return;
    };
    let Some(fitted) = circle::fit(&path.points) else {
        return;
    };
    let place = given.and_then(Given::point);
    let around = place.filter(|place| {
        given::goes_around(
            path.points.iter().copied(),
            *place,
            sign,
            std::f64::consts::PI,
        )
    });
    if let (Some(place), None) = (place, around) {
        given::refused(sheet, circle::distance(place, fitted));
    }
    let (circle, point_sigma) = match around {
        Some(place) => {
            given::used(sheet);
            (centered(&path.points, place, fitted), given::SIGMA_M)
        }
        None => (fitted, 0.0),
    };
    let distances = path
        .points
        .iter()
        .map(|point| circle::distance(*point, circle));
    let (least, most) = distances.fold((f64::INFINITY, 0.0_f64), |(least, most), distance| {
        (least.min(distance), most.max(distance))
    });
    sheet.fact(
        "radius_mean",
        circle.radius_m,
        "m",
        path.sigma_m,
        path.origin,
    );
    let variation = (most - least) / circle.radius_m.max(1.0);
    let sigma = 1.5 * path.sigma_m.hypot(point_sigma) / circle.radius_m.max(1.0);
    sheet.fact("radius_variation", variation, "1", sigma, path.origin);
}

/// The circle about a point that was given: its radius is the mean distance.
fn centered(points: &[(f64, f64)], (east_m, north_m): (f64, f64), fitted: Circle) -> Circle {
    let distances = points.iter().map(|p| (p.0 - east_m).hypot(p.1 - north_m));
    Circle {
        east_m,
        north_m,
        radius_m: distances.sum::<f64>() / points.len().max(1) as f64,
        ..fitted
    }
}
