//! Forward slip: bank one way with the path held straight by opposite rudder, descending.
//!
//! FAA-S-ACS-6C PA.IV.M. It can be told only where attitude is recorded: bank without turn. Coordinated
//! flight at the same bank would turn at g·tan φ / V.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::{Kind, Maneuver};
use air::units::G0_MPS2;
use flight::{Fit, Origin};

/// How it takes part.
pub const ROW: Grammar = row(Kind::ForwardSlip, propose).worked_out(
    detail,
    &["slip_start", "slip_end"],
    &[
        figure("bank_held", "rad", "bank held in the slip, the median"),
        figure(
            "slip_angle",
            "rad",
            "nose beside the path through the air, the median",
        ),
        figure("side_load", "g", "sideways load, the median"),
        figure("turned", "rad", "change of the track over the ground"),
        figure("sink", "m/s", "rate of descent, the mean"),
        figure("ias_held", "m/s", "airspeed, the median; wrong in a slip"),
        figure("height_lost", "m", "height lost in it"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Bank from which it slips, rad.
const SLIPS_RAD: f64 = deg(5.0);

/// Where the bank was held, and what came of it.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let middle = 0.5 * (span.start_s + span.end_s);
    let (sigma, origin) = motion.bank_quality(middle);
    let side = motion.bank.median(span.start_s, span.end_s).signum();
    let bank = motion.bank.smooth(1.0).map(|bank| bank * side);
    let start_s = bank
        .last_beyond(motion.from_s, middle, SLIPS_RAD, false)
        .unwrap_or(span.start_s);
    let end_s = bank
        .first_beyond(middle, motion.to_s, SLIPS_RAD, false)
        .unwrap_or(span.end_s);
    sheet.bounds(start_s, end_s);
    sheet.event("slip_start", start_s, 1.0, origin);
    sheet.event("slip_end", end_s, 1.0, origin);
    entry::write(&motion, start_s, end_s, &mut sheet);
    let held = motion.bank.median(start_s, end_s);
    if origin == Origin::Measured {
        sheet.fact("bank_held", held, "rad", sigma, origin);
    } else {
        sheet.missing(
            "bank_held",
            "no bank was recorded: a slip does not show in the path",
        );
    }
    angle(&motion, start_s, end_s, &mut sheet);
    let (sigma, origin) = motion.quality(motion.flight.lateral.as_ref(), middle);
    let lateral = motion.lateral.median(start_s, end_s);
    if lateral.is_finite() {
        sheet.fact("side_load", lateral, "g", sigma.max(0.02), origin);
    } else {
        sheet.missing("side_load", "no sideways load was recorded");
    }
    let turned = motion.air_track.at(end_s) - motion.air_track.at(start_s);
    sheet.fact("turned", turned, "rad", deg(3.0), Origin::Derived);
    let (_, origin) = motion.quality(motion.flight.climb.as_ref(), middle);
    let sink = -motion.climb.mean(start_s, end_s);
    sheet.fact("sink", sink, "m/s", 0.3, origin);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), middle);
    // The pitot tube and the static port look aside: common practice has 5 kt and more.
    let ias = motion.ias.median(start_s, end_s);
    sheet.fact("ias_held", ias, "m/s", sigma.max(2.5), origin);
    let (_, origin) = motion.altitude_quality(middle);
    let lost = motion.altitude.at(start_s) - motion.altitude.at(end_s);
    let sigma = motion.altitude_change_sigma_m(4.0);
    sheet.fact("height_lost", lost, "m", sigma, origin);
    sheet.phase("slip", start_s, end_s);
    sheet.finish()
}

/// The nose beside the path through the air: needs a compass, and the wind.
fn angle(motion: &Motion, from_s: f64, to_s: f64, sheet: &mut Sheet) {
    let compass = motion.flight.heading.as_ref();
    let compass = compass.is_some_and(|heading| heading.origin == Origin::Measured);
    if !compass || !motion.air_track.is_known() {
        sheet.missing("slip_angle", "it takes a recorded heading and the wind");
        return;
    }
    let heading = motion.heading.median(from_s, to_s);
    let track = motion.air_track.median(from_s, to_s);
    let angle = air::units::wrap_pi(heading - track);
    sheet.fact("slip_angle", angle, "rad", deg(3.0), Origin::Derived);
}

/// Stretches of bank without turn.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    if features.fit == Fit::Gnss {
        return;
    }
    let mut index = 0;
    while index < features.len {
        if !slips(features, index) {
            index += 1;
            continue;
        }
        let from = index;
        while index + 1 < features.len && slips(features, index + 1) {
            index += 1;
        }
        out.extend(candidate(features, from, index));
        index += 1;
    }
}

fn slips(features: &Features, index: usize) -> bool {
    features.known[index]
        && features.bank[index].abs() > deg(7.0)
        && features.climb[index] < -fpm(300.0)
}

fn candidate(features: &Features, from: usize, to: usize) -> Option<Candidate> {
    let (start_s, end_s) = (features.time_s(from), features.time_s(to));
    let window = features.window(start_s, end_s);
    if window.seconds() < 7.0 || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let expected: f64 = (from..=to)
        .map(|i| G0_MPS2 * features.bank[i].tan() / features.tas[i].max(15.0) * STEP_S)
        .sum();
    let share = window.net_turn() / expected;
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let evidence = Evidence::base(5.0)
        .within(share, -0.3, 0.25, 0.1)
        .within(-window.mean_climb(), fpm(600.0), fpm(3000.0), fpm(120.0))
        .within(expected.abs(), deg(40.0), deg(2000.0), deg(10.0))
        .mostly(agl, 0.0, ft_high(), 100.0, 2.0)
        .lasting(window.seconds(), 18.0, 0.6);
    Some(Candidate::maneuver(
        Kind::ForwardSlip,
        side(expected),
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Slips are for the approach: most are flown under 1,500 ft above the ground.
const fn ft_high() -> f64 {
    super::ft(1500.0)
}
