//! S-turns across a road: half circles to alternating sides, level, low, rolling through wings level
//! over the line.
//!
//! FAA-S-ACS-6C PA.V.B. Two half circles at least; four are common. Bounded by the first and the last crossing of
//! the line, which is solved from the path; may end while still banked.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, ft, pair, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases::entry;
use crate::phases::given::{self, Given};
use crate::phases::ground::Ground;
use crate::phases::line::{self, Line};
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::{Sheet, poorer};
use crate::phases::turn_blocks::{self, Block};
use crate::{Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::STurns, propose).worked_out(
    detail,
    &CROSSINGS,
    &[
        figure("halves", "1", "half circles"),
        figure("radius_mean", "m", "mean of the half circles' extents and half chords"),
        figure(
            "radius_variation",
            "1",
            "difference of the greatest and the least of the half circles' extents and half chords, over their mean",
        ),
        figure(
            "crossing_off_square",
            "rad",
            "greatest angle between the track over the line and its perpendicular",
        ),
        figure("crossing_bank", "rad", "greatest bank over the line between two half circles"),
        figure(
            "reversal_distance",
            "m",
            "greatest distance from the line at which the wings came level between two half circles",
        ),
        figure("bank_most", "rad", "steepest bank"),
        figure("entry_agl", "m", "height above ground at the entry"),
        figure("entry_off_downwind", "rad", "track at the entry against straight downwind"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// The crossings after the first one, which is the start.
const CROSSINGS: [&str; 8] = [
    "crossing_1",
    "crossing_2",
    "crossing_3",
    "crossing_4",
    "crossing_5",
    "crossing_6",
    "crossing_7",
    "crossing_8",
];
const EXTENTS: [&str; 8] = [
    "extent_1", "extent_2", "extent_3", "extent_4", "extent_5", "extent_6", "extent_7", "extent_8",
];
const HALF_CHORDS: [&str; 8] = [
    "half_chord_1",
    "half_chord_2",
    "half_chord_3",
    "half_chord_4",
    "half_chord_5",
    "half_chord_6",
    "half_chord_7",
    "half_chord_8",
];

/// Runs of turns that alternate.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let turns = &features.turns;
    for first in 0..turns.len() {
        for last in first + 1..turns.len().min(first + 8) {
            let (a, b) = (&turns[last - 1], &turns[last]);
            // The line is crossed wings level, but only crossed.
            if a.right() == b.right() || b.start_s - a.end_s > 10.0 {
                break;
            }
            out.extend(candidate(features, &turns[first..=last]));
        }
    }
}

fn candidate(features: &Features, run: &[Turn]) -> Option<Candidate> {
    let (first, last) = (run.first()?, run.last()?);
    let window = features.window(first.start_s, last.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let count = run.len() as f64;
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    // Each half circle more is another coincidence that ordinary flying would have to make.
    let mut evidence = Evidence::base(3.5 * count - 1.5)
        .within(window.height_range(), 0.0, ft(240.0), ft(80.0))
        .mostly(
            window.total_turn() / count,
            deg(150.0),
            deg(215.0),
            deg(15.0),
            6.0,
        )
        .mostly(agl, ft(400.0), ft(1400.0), ft(250.0), 3.0)
        .lasting(window.seconds() / count, 28.0, 0.5);
    for (place, turn) in run.iter().enumerate() {
        // The first and the last half circle may be cut by entry and exit.
        let inner = place > 0 && place + 1 < run.len();
        let least = if inner { 140.0 } else { 110.0 };
        evidence = evidence
            .within(turn.turned_rad.abs(), deg(least), deg(235.0), deg(14.0))
            .within(turn.held_bank_rad, deg(13.0), deg(48.0), deg(4.0));
    }
    Some(Candidate::maneuver(
        Kind::STurns,
        pair(first.turned_rad),
        first.start_s,
        last.end_s,
        evidence.total(),
    ))
}

/// A turn of less is a correction and no half circle, rad.
const HALF_RAD: f64 = deg(70.0);
/// Between two half circles the wings are level no longer than this, s.
const PAUSE_S: f64 = 10.0;

/// From the first aileron to the bank that shows, s (common practice, no source: roll rates of 10 to 20 °/s build up
/// in half a second).
const ROLL_BUILD_UP_S: f64 = 0.5;

/// The line, its crossings, and how equal the half circles were.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let halves = halves(&motion);
    let (Some(first), Some(last)) = (halves.first(), halves.last()) else {
        return sheet.finish();
    };
    let (start_s, end_s) = (first.start_s, last.end_s);
    sheet.direction(pair(first.turned_rad));
    sheet.fact("halves", halves.len() as f64, "1", 0.0, Origin::Derived);
    let Some(ground) = Ground::new(&motion, start_s, end_s) else {
        sheet.bounds(start_s, end_s);
        entry::write(&motion, start_s, end_s, &mut sheet);
        entry::height_above_ground(&motion, start_s, &mut sheet);
        for name in [
            "radius_variation",
            "crossing_off_square",
            "crossing_bank",
            "reversal_distance",
        ] {
            sheet.missing(name, "no position was recorded");
        }
        return sheet.finish();
    };
    let level = levels(&halves);
    let solved = line::solve(&ground, &level);
    let Some(line) = across(&ground, case.given, solved, &halves, &mut sheet) else {
        sheet.bounds(start_s, end_s);
        return sheet.finish();
    };
    let crossings: Vec<f64> = level
        .iter()
        .map(|(time_s, _)| crossing(&ground, &line, *time_s, &motion))
        .collect();
    let (start_s, end_s) = (
        crossings.first().copied().unwrap_or(start_s),
        crossings.last().copied().unwrap_or(end_s),
    );
    sheet.bounds(start_s, end_s);
    let sigma = (line.sigma_m / 45.0).hypot(0.5);
    for (at_s, name) in crossings.iter().skip(1).zip(CROSSINGS) {
        sheet.event(name, *at_s, sigma, poorer(ground.origin, Origin::Derived));
    }
    entry::write(&motion, start_s, end_s, &mut sheet);
    entry::height_above_ground(&motion, start_s, &mut sheet);
    ground.write_wind(start_s, &mut sheet);
    write_line(&line, &ground, &mut sheet);
    radii(&ground, &line, &crossings, &mut sheet);
    reversals(&motion, &ground, &line, (&level, &crossings), &mut sheet);
    let names = [
        "half_1", "half_2", "half_3", "half_4", "half_5", "half_6", "half_7", "half_8",
    ];
    let parts: Vec<(&'static str, f64)> = names
        .into_iter()
        .zip(crossings.iter().copied())
        .take(crossings.len().saturating_sub(1))
        .collect();
    sheet.phases_in_order(&parts, end_s);
    sheet.finish()
}

/// The line that was given, where the half circles lie to alternate sides of it and it lies about across them, else the
/// one that the path shows.
fn across(
    ground: &Ground,
    given: Option<&Given>,
    solved: Option<Line>,
    halves: &[Block],
    sheet: &mut Sheet,
) -> Option<Line> {
    let Some(line) = given.and_then(Given::line) else {
        return solved;
    };
    let beside = |half: &Block| {
        let places = ground.points(half.start_s, half.end_s);
        places.map(|(_, place)| line.right_of(place)).sum::<f64>()
    };
    let alternate = halves
        .windows(2)
        .all(|two| two.iter().map(&beside).product::<f64>() < 0.0);
    let along = solved.is_none_or(|solved| {
        (solved.direction_rad - line.direction_rad).cos().abs() > std::f64::consts::FRAC_1_SQRT_2
    });
    if alternate && along {
        given::used(sheet);
        return Some(line);
    }
    let off_m = solved.map_or(f64::NAN, |solved| line.right_of(solved.on).abs());
    given::refused(sheet, off_m);
    solved
}

/// The longest run of turns that alternate.
fn halves(motion: &Motion) -> Vec<Block> {
    let blocks = turn_blocks::find(motion, motion.from_s, motion.to_s, HALF_RAD);
    let (mut best, mut run): (Vec<Block>, Vec<Block>) = (Vec::new(), Vec::new());
    for block in blocks {
        let follows = run.last().is_some_and(|last| {
            last.sign() != block.sign() && block.start_s - last.end_s < PAUSE_S
        });
        if !follows {
            run.clear();
        }
        run.push(block);
        if run.len() > best.len() {
            best.clone_from(&run);
        }
    }
    best.truncate(CROSSINGS.len());
    best
}

/// The moments of level wings with what each says of the line. The roll-in is begun over it if the first half circle
/// was a whole one; the roll-out may be anywhere, since nothing has to follow it.
fn levels(halves: &[Block]) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (halves.first(), halves.last()) else {
        return Vec::new();
    };
    let whole = |half: &Block, weight: f64| {
        let turned = half.turned_rad.abs();
        if (deg(155.0)..deg(225.0)).contains(&turned) {
            weight
        } else {
            0.0
        }
    };
    let mut level = vec![(first.start_s - ROLL_BUILD_UP_S, whole(first, 0.25))];
    for two in halves.windows(2) {
        level.push((0.5 * (two[0].end_s + two[1].start_s), 1.0));
    }
    level.push((last.end_s, whole(last, 0.1)));
    level
}

/// When the path crosses the line near a moment; that moment where it does not.
fn crossing(ground: &Ground, line: &Line, near_s: f64, motion: &Motion) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    let mut best: Option<f64> = None;
    let (from_s, to_s) = (
        (near_s - 9.0).max(motion.from_s),
        (near_s + 9.0).min(motion.to_s),
    );
    for (time_s, place) in ground.points(from_s, to_s) {
        let right = line.right_of(place);
        if let Some((t0, r0)) = before.filter(|(_, r0)| r0 * right <= 0.0 && *r0 != right) {
            let at_s = t0 + (time_s - t0) * r0 / (r0 - right);
            if best.is_none_or(|known: f64| (at_s - near_s).abs() < (known - near_s).abs()) {
                best = Some(at_s);
            }
        }
        before = Some((time_s, right));
    }
    best.unwrap_or(near_s)
}

fn write_line(line: &Line, ground: &Ground, sheet: &mut Sheet) {
    let origin = poorer(ground.origin, Origin::Derived);
    sheet.fact("line_east", line.on.0, "m", line.sigma_m, origin);
    sheet.fact("line_north", line.on.1, "m", line.sigma_m, origin);
    let sigma = line.direction_sigma_rad;
    sheet.fact("line_direction", line.direction_rad, "rad", sigma, origin);
}

/// How far along the line the crossings reach from its middle, m.
fn reach_m(ground: &Ground, line: &Line, crossings: &[f64]) -> f64 {
    crossings
        .iter()
        .map(|at_s| line.along(ground.at(*at_s)).abs())
        .fold(0.0, f64::max)
}

/// Half chord and extent of each half circle: both are its radius where it is one.
fn radii(ground: &Ground, line: &Line, crossings: &[f64], sheet: &mut Sheet) {
    let origin = poorer(ground.origin, Origin::Derived);
    let mut all: Vec<f64> = Vec::new();
    let of_extent = line.sigma_at(reach_m(ground, line, crossings));
    for (place, two) in crossings.windows(2).enumerate() {
        let (from_s, to_s) = (two[0], two[1]);
        let extent = ground
            .points(from_s, to_s)
            .map(|(_, place)| line.right_of(place).abs())
            .fold(f64::NAN, f64::max);
        let chord = line.along(ground.at(to_s)) - line.along(ground.at(from_s));
        let half_chord = 0.5 * chord.abs();
        if let (Some(extent_name), Some(chord_name)) = (EXTENTS.get(place), HALF_CHORDS.get(place))
        {
            sheet.fact(extent_name, extent, "m", of_extent, origin);
            sheet.fact(chord_name, half_chord, "m", ground.sigma_m, origin);
        }
        all.extend(
            [extent, half_chord]
                .into_iter()
                .filter(|radius| radius.is_finite()),
        );
    }
    let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
    let least = all.iter().copied().fold(f64::NAN, f64::min);
    let most = all.iter().copied().fold(f64::NAN, f64::max);
    sheet.fact("radius_mean", mean, "m", ground.sigma_m, origin);
    let sigma = of_extent.hypot(ground.sigma_m) / mean.max(1.0);
    sheet.fact(
        "radius_variation",
        (most - least) / mean.max(1.0),
        "1",
        sigma,
        origin,
    );
}

/// How the line was crossed: square to it, wings level, and the reversal over it.
fn reversals(
    motion: &Motion,
    ground: &Ground,
    line: &Line,
    (level, crossings): (&[(f64, f64)], &[f64]),
    sheet: &mut Sheet,
) {
    let origin = poorer(ground.origin, Origin::Derived);
    // The last crossing may be flown on into anything.
    let square = crossings
        .iter()
        .take(crossings.len().saturating_sub(1))
        .map(|at_s| line.off_square_rad(ground.track.at(*at_s)))
        .filter(|off| off.is_finite())
        .fold(f64::NAN, f64::max);
    // In a reversal the track turns by some eight degrees in a second, and the line is known to about one.
    let beside_s = line.sigma_at(reach_m(ground, line, crossings)) / 45.0;
    let sigma = line
        .direction_sigma_rad
        .hypot(deg(3.0))
        .hypot(beside_s * deg(8.0));
    sheet.fact("crossing_off_square", square, "rad", sigma, origin);
    let inner = crossings.len().saturating_sub(2);
    let smooth = motion.bank.smooth(1.0);
    let bank = crossings
        .iter()
        .skip(1)
        .take(inner)
        .map(|at_s| smooth.at(*at_s).abs())
        .filter(|bank| bank.is_finite())
        .fold(f64::NAN, f64::max);
    let (sigma, bank_origin) = motion.bank_quality(span_middle(crossings));
    // Where exactly the line is moves the moment, and the bank rolls through at some ten degrees a second.
    let sigma = sigma.hypot(line.sigma_m / 45.0 * deg(8.0));
    sheet.fact(
        "crossing_bank",
        bank,
        "rad",
        sigma,
        poorer(bank_origin, origin),
    );
    let beside = level
        .iter()
        .skip(1)
        .take(inner)
        .map(|(at_s, _)| line.right_of(ground.at(*at_s)).abs())
        .filter(|beside| beside.is_finite())
        .fold(f64::NAN, f64::max);
    sheet.fact(
        "reversal_distance",
        beside,
        "m",
        line.sigma_at(reach_m(ground, line, crossings)).hypot(20.0),
        origin,
    );
    let (from_s, to_s) = (
        crossings.first().copied().unwrap_or(0.0),
        crossings.last().copied().unwrap_or(0.0),
    );
    let (sigma, bank_origin) = motion.bank_quality(0.5 * (from_s + to_s));
    if let Some((_, most)) = motion.bank.map(f64::abs).held(from_s, to_s, 1.0) {
        sheet.fact("bank_most", most, "rad", sigma, bank_origin);
    }
}

fn span_middle(crossings: &[f64]) -> f64 {
    0.5 * (crossings.first().copied().unwrap_or(0.0) + crossings.last().copied().unwrap_or(0.0))
}
