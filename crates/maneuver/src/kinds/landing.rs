//! Landing: from abeam the touchdown point on downwind to the slowing roll.
//!
//! FAA-S-ACS-6C PA.IV.B. Without a downwind (straight-in) it starts at the descent through 800 ft. What is worked
//! out is in [`crate::phases::runway`].

use super::{Case, Figure, Grammar, deg, figure, ft, row};
use crate::decode::Candidate;
use crate::features::{Contact, ContactKind, Features, STEP_S};
use crate::phases::runway::arrival;
use crate::phases::sheet::Sheet;
use crate::{Direction, Kind, Maneuver};

/// How it takes part.
pub const ROW: Grammar = row(Kind::Landing, propose).worked_out(
    detail,
    &[
        "downwind_abeam",
        "base",
        "final_turn",
        "final",
        "approach_end",
        "flare",
        "touchdown",
        "bounce",
        "roll_out_end",
    ],
    FIGURES,
);

/// What a landing works out, whichever kind it is.
pub(super) const FIGURES: &[Figure] = &[
    figure(
        "downwind_height",
        "m",
        "height above the runway abeam the touchdown",
    ),
    figure(
        "downwind_width",
        "m",
        "distance beside the runway abeam the touchdown",
    ),
    figure(
        "downwind_length",
        "m",
        "how far past the touchdown the turn to base began",
    ),
    figure(
        "base_height",
        "m",
        "height above the runway at the turn to base",
    ),
    figure("final_height", "m", "height above the runway when on final"),
    figure("final_length", "m", "length of the final"),
    figure(
        "approach_ias",
        "m/s",
        "airspeed from 500 ft to the flare, the median",
    ),
    figure("approach_ias_low", "m/s", "lowest airspeed held there"),
    figure("approach_ias_high", "m/s", "highest airspeed held there"),
    figure("approach_ias_spread", "m/s", "difference of the two"),
    figure(
        "approach_sink",
        "m/s",
        "rate of descent from 500 ft to the flare, the mean",
    ),
    figure(
        "approach_sink_max",
        "m/s",
        "highest rate of descent held for three seconds there",
    ),
    figure(
        "approach_path",
        "rad",
        "angle of the path over the ground there",
    ),
    figure(
        "approach_offset",
        "m",
        "greatest distance beside the line of the roll there",
    ),
    figure(
        "gate_height",
        "m",
        "height above the runway half a mile before 10 ft",
    ),
    figure(
        "gate_path",
        "rad",
        "angle of the path from half a mile out down to 10 ft",
    ),
    figure(
        "nose_held_off",
        "s",
        "from the touchdown to the nose wheel on the ground",
    ),
    figure("flare_height", "m", "height at which the sink was eased"),
    figure(
        "float_time",
        "s",
        "from 10 ft above the runway to the touchdown",
    ),
    figure("float_distance", "m", "the same along the runway"),
    figure("touchdown_ias", "m/s", "airspeed at the touchdown"),
    figure(
        "touchdown_ground_speed",
        "m/s",
        "ground speed at the touchdown",
    ),
    figure("touchdown_sink", "m/s", "rate of descent at the touchdown"),
    figure("touchdown_pitch", "rad", "pitch at the touchdown"),
    figure(
        "nose_above_roll",
        "rad",
        "pitch at the touchdown above that of the roll on all wheels",
    ),
    figure(
        "touchdown_drift",
        "rad",
        "path to the right of the nose at the touchdown",
    ),
    figure(
        "touchdown_load",
        "g",
        "highest load factor at the touchdown",
    ),
    figure("bounces", "1", "how often it touched again"),
    figure("bounce_height", "m", "how high the highest bounce went"),
    figure("roll_out", "m", "length of the roll"),
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
    figure("runway_course", "rad", "true direction of the roll"),
    figure(
        "touchdown_beyond_threshold",
        "m",
        "touchdown beyond the runway's threshold",
    ),
    figure(
        "touchdown_offset",
        "m",
        "touchdown to the right of the runway's center",
    ),
    figure(
        "power_used",
        "1",
        "highest share of power after the power was closed",
    ),
    figure(
        "idle_after_abeam",
        "s",
        "how long after abeam the power was closed",
    ),
];

/// See [`arrival`].
fn detail(case: &Case) -> Maneuver {
    let mut sheet = Sheet::new(case.span);
    let _ = arrival::write(case, "downwind_abeam", &mut sheet);
    for name in ["power_used", "idle_after_abeam"] {
        sheet.does_not_apply(name);
    }
    sheet.finish()
}

/// One for each touchdown.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Touchdown)
    {
        let start_s = start(features, contact);
        let candidate = Candidate::maneuver(
            Kind::Landing,
            pattern_side(features, start_s, contact.at_s),
            start_s,
            (contact.at_s + 9.0).min(features.end_s()),
            12.0,
        );
        out.push(candidate.anchored(contact.at_s));
    }
}

/// Left or right traffic by the turns to final, straight in without any.
#[must_use]
pub fn pattern_side(features: &Features, start_s: f64, touchdown_s: f64) -> Direction {
    let net = features.window(start_s, touchdown_s).net_turn();
    if net.abs() > deg(60.0) {
        super::side(net)
    } else {
        Direction::Straight
    }
}

/// Abeam the touchdown point on downwind, else where the approach passes 800 ft above it.
#[must_use]
pub fn start(features: &Features, contact: &Contact) -> f64 {
    let final_heading = features.at(&features.heading, contact.at_s - 4.0);
    let (east, north) = (
        features.at(&features.east, contact.at_s),
        features.at(&features.north, contact.at_s),
    );
    let mut t = contact.at_s - 20.0;
    let first = (contact.at_s - 260.0).max(0.0);
    let mut high = f64::NAN;
    while t > first {
        let back = air::units::wrap_pi(features.at(&features.heading, t) - final_heading).abs();
        let along = (features.at(&features.east, t) - east) * final_heading.sin()
            + (features.at(&features.north, t) - north) * final_heading.cos();
        // Downwind, going the other way, and passing the touchdown point: `along` was behind it later on.
        if back > deg(140.0) && along >= 0.0 {
            return t;
        }
        let height = features.at(&features.altitude, t) - contact.altitude_m;
        if high.is_nan() && height > ft(800.0) {
            high = t;
        }
        t -= STEP_S;
    }
    if high.is_nan() {
        (contact.at_s - 120.0).max(0.0)
    } else {
        high
    }
}
