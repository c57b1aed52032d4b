//! Lazy eight: two turns of 180° in opposite directions, each climbing to its 90° point and descending
//! back to the entry height and speed.
//!
//! FAA-S-ACS-7B CA.V.D. The unit is one half: halves are flown alone and with pauses in real lessons.
//! Bounded by wings level at the start of the first and the end of the second half.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, ft, pair, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::phases::turning::Turning;
use crate::phases::wave::Wave;
use crate::{Direction, Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::LazyEight, propose).worked_out(
    detail,
    &["point_45", "point_90", "point_135", "point_180"],
    &[
        figure(
            "altitude_at_180",
            "m",
            "altitude at the 180° points against the entry",
        ),
        figure(
            "airspeed_at_180",
            "m/s",
            "airspeed at the 180° points against the entry",
        ),
        figure(
            "heading_at_180",
            "rad",
            "heading at the 180° points against the entry's reverse and the entry",
        ),
        figure("bank_max", "rad", "greatest bank"),
        figure(
            "steepest_at",
            "rad",
            "where the bank was greatest: turned since the half began",
        ),
        figure(
            "slowest_at",
            "rad",
            "where the airspeed was least: turned since the half began",
        ),
        figure(
            "highest_pitch_at",
            "rad",
            "where the nose was highest: turned since the half began",
        ),
        figure("top_left", "m", "height gained in the half to the left"),
        figure("top_right", "m", "height gained in the half to the right"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Halves, alone and in pairs.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let halves: Vec<(Turn, f64)> = features
        .turns
        .iter()
        .filter_map(|turn| half(features, turn).map(|score| (*turn, score)))
        .collect();
    for (turn, score) in &halves {
        let alone = Candidate::maneuver(
            Kind::LazyEight,
            side(turn.turned_rad),
            turn.start_s,
            turn.end_s,
            *score,
        );
        out.push(alone);
    }
    for two in halves.windows(2) {
        let ((a, first), (b, second)) = (&two[0], &two[1]);
        let pause = b.start_s - a.end_s;
        if a.right() != b.right() && pause < 30.0 {
            let score = first + second + 2.0 - 0.5 * ((pause - 12.0).max(0.0) / 8.0).powi(2);
            let whole = Candidate::maneuver(
                Kind::LazyEight,
                pair(a.turned_rad),
                a.start_s,
                b.end_s,
                score,
            );
            out.push(whole);
        }
    }
}

/// Log-odds of one half.
fn half(features: &Features, turn: &Turn) -> Option<f64> {
    let window = features.window(turn.start_s, turn.end_s);
    if window.unknown() > MOST_UNKNOWN || turn.range_m < ft(70.0) {
        return None;
    }
    let start = features.at(&features.altitude, turn.start_s);
    let top = window.max(&features.altitude) - start;
    let low = start - window.min(&features.altitude);
    let (v0, v1) = (
        features.at(&features.ias, turn.start_s),
        features.at(&features.ias, turn.end_s),
    );
    let lost = 1.0 - window.min(&features.ias) / v0;
    let top_at = (window.time_of_max(&features.altitude) - turn.start_s) / turn.seconds();
    let cruise = features.scale.cruise_mps;
    // It holds a climb, a dive and a turn, any two of which ordinary flying explains by themselves.
    let evidence = Evidence::base(8.5)
        .within(turn.turned_rad.abs(), deg(155.0), deg(205.0), deg(12.0))
        .within(top, ft(110.0), ft(700.0), ft(35.0))
        .mostly(
            turn.gained_m.abs(),
            0.0,
            0.45 * top + ft(50.0),
            ft(60.0),
            5.0,
        )
        .mostly(low, 0.0, ft(120.0), ft(60.0), 4.0)
        // The speed dips at the top and comes back.
        .within(lost, 0.12, 0.50, 0.04)
        .within((v1 - v0).abs() / cruise, 0.0, 0.13, 0.05)
        .mostly(top_at, 0.3, 0.72, 0.08, 5.0)
        .within(turn.greatest_bank_rad, deg(15.0), deg(48.0), deg(6.0))
        .lasting(turn.seconds(), 52.0, 0.5);
    Some(evidence.total())
}

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;

/// Each half with its points, and how the 180° points compare with the entry.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let both = matches!(span.direction, Direction::LeftRight | Direction::RightLeft);
    let early = span.start_s + if both { 0.2 } else { 0.4 } * (span.end_s - span.start_s);
    let Some(first) = Turning::new(&motion, span, early) else {
        return sheet.finish();
    };
    let mut halves = vec![Half::new(&first, first.roll_in_s, early, span.end_s)];
    if both && let Some(begun) = halves.first().map(|half| half.end_s) {
        let mirrored = first.mirrored();
        let inside = begun + 0.4 * (span.end_s - begun);
        halves.push(Half::new(
            &mirrored,
            begun,
            inside,
            motion.to_s.min(span.end_s + REACH_S),
        ));
    }
    let Some(end_s) = halves.last().map(|half| half.end_s) else {
        return sheet.finish();
    };
    sheet.bounds(first.roll_in_s, end_s);
    entry::write(&motion, first.roll_in_s, end_s, &mut sheet);
    for half in &halves {
        half.write(&motion, &mut sheet);
    }
    points(&motion, &first, &halves, &mut sheet);
    let names = ["first_half", "second_half"];
    let starts: Vec<(&'static str, f64)> = names
        .into_iter()
        .zip(halves.iter().map(|half| half.start_s))
        .collect();
    sheet.phases_in_order(&starts, end_s);
    sheet.finish()
}

/// One half: a turn of 180°, from wings level to wings level.
struct Half {
    sign: f64,
    start_s: f64,
    end_s: f64,
    bank: Wave,
    turned: Wave,
    origin: Origin,
}

impl Half {
    fn new(turn: &Turning, start_s: f64, inside_s: f64, to_s: f64) -> Half {
        // The wings pass level from one half into the next: no time is spent there.
        let end_s = turn
            .bank
            .first_beyond(inside_s, to_s, 0.0, false)
            .unwrap_or(to_s);
        let from = turn.turned.at(start_s);
        Half {
            sign: turn.sign,
            start_s,
            end_s,
            bank: turn.bank.clone(),
            turned: turn.turned.map(|angle| angle - from),
            origin: turn.origin,
        }
    }

    fn write(&self, motion: &Motion, sheet: &mut Sheet) {
        let sigma = if self.origin == Origin::Measured {
            0.5
        } else {
            1.2
        };
        for (name, angle) in [("point_45", 45.0), ("point_90", 90.0), ("point_135", 135.0)] {
            let at = self
                .turned
                .first_beyond(self.start_s, self.end_s, deg(angle), true);
            if let Some(at_s) = at {
                sheet.event(name, at_s, sigma, self.origin);
            }
        }
        sheet.event("point_180", self.end_s, sigma, self.origin);
        let (_, origin) = motion.altitude_quality(self.start_s);
        let from = motion.altitude.mean(self.start_s - 0.7, self.start_s + 0.7);
        if let Some((_, top)) = motion.altitude.highest(self.start_s, self.end_s) {
            let name = if self.sign > 0.0 {
                "top_right"
            } else {
                "top_left"
            };
            let sigma = motion.altitude_change_sigma_m(2.0);
            sheet.fact(name, top - from, "m", sigma, origin);
        }
    }

    /// Where in the turn a quantity was greatest.
    fn turned_at(&self, at_s: Option<(f64, f64)>) -> f64 {
        at_s.map_or(f64::NAN, |(at_s, _)| self.turned.at(at_s))
    }
}

/// The 180° points against the entry, the worst of them; and where the first half had its extremes.
fn points(motion: &Motion, first: &Turning, halves: &[Half], sheet: &mut Sheet) {
    let start_s = first.roll_in_s;
    let about = |wave: &Wave, at_s: f64| wave.mean(at_s - 0.7, at_s + 0.7);
    let before = |wave: &Wave| wave.mean(start_s - 1.5, start_s + 0.5);
    let worst = |deviations: Vec<f64>| {
        deviations
            .into_iter()
            .filter(|deviation| deviation.is_finite())
            .max_by(|a, b| a.abs().total_cmp(&b.abs()))
            .unwrap_or(f64::NAN)
    };
    let ends = || halves.iter().map(|half| half.end_s);
    let (_, origin) = motion.altitude_quality(start_s);
    let altitude = ends().map(|at| about(&motion.altitude, at) - before(&motion.altitude));
    let sigma = motion.altitude_change_sigma_m(3.0);
    sheet.fact(
        "altitude_at_180",
        worst(altitude.collect()),
        "m",
        sigma,
        origin,
    );
    let (_, origin) = motion.quality(motion.flight.ias.as_ref(), start_s);
    let ias = ends().map(|at| about(&motion.ias, at) - before(&motion.ias));
    let sigma = motion.ias_change_sigma_mps();
    sheet.fact(
        "airspeed_at_180",
        worst(ias.collect()),
        "m/s",
        sigma,
        origin,
    );
    let half_turn = std::f64::consts::PI;
    let heading = ends().map(|at| air::units::wrap_pi(about(&first.turned, at) - half_turn));
    // The second point is to be on the entry heading again.
    let heading = heading.enumerate().map(|(index, off)| {
        if index % 2 == 0 {
            off
        } else {
            air::units::wrap_pi(off + half_turn)
        }
    });
    sheet.fact(
        "heading_at_180",
        worst(heading.collect()),
        "rad",
        first.sigma_rad(),
        first.origin,
    );
    let (sigma, origin) = motion.bank_quality(start_s);
    let banks = halves
        .iter()
        .filter_map(|half| half.bank.held(half.start_s, half.end_s, HOLD_S));
    let steepest = banks.map(|(_, high)| high).fold(f64::NAN, f64::max);
    sheet.fact("bank_max", steepest, "rad", sigma, origin);
    let Some(half) = halves.first() else { return };
    let (from, to) = (half.start_s, half.end_s);
    let sigma = deg(5.0);
    for (name, at) in [
        ("steepest_at", half.bank.smooth(2.0).highest(from, to)),
        ("slowest_at", motion.ias.smooth(2.0).lowest(from, to)),
        (
            "highest_pitch_at",
            motion.pitch.smooth(2.0).highest(from, to),
        ),
    ] {
        sheet.fact(name, half.turned_at(at), "rad", sigma, half.origin);
    }
}
