//! The two pylons: those that a person gave, with how far the aircraft was from each and how far each lay ahead of the
//! wing, else those that the wing pointed at.

use super::given::{self, Given};
use super::ground::Ground;
use super::motion::Motion;
use super::pivotal;
use super::sheet::{Sheet, poorer};
use super::turn_blocks::Block;
use super::wave::Wave;
use flight::Origin;
use std::f64::consts::FRAC_PI_2;

/// What each pylon has: place, distances, and the greatest angle ahead of the wing.
const NAMES: [[&str; 5]; 2] = [
    [
        "pylon_1_east",
        "pylon_1_north",
        "pylon_1_least",
        "pylon_1_greatest",
        "pylon_1_ahead",
    ],
    [
        "pylon_2_east",
        "pylon_2_north",
        "pylon_2_least",
        "pylon_2_greatest",
        "pylon_2_ahead",
    ],
];
/// A turn goes around its pylon by this share of what it turned at least.
const LEAST_SHARE: f64 = 0.5;
/// Roll-in and roll-out of a turn, in which the pylon is not held yet, s.
const ROLLING_S: f64 = 4.0;
/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;

/// Writes the pylons of turns that alternate about them.
pub fn write(
    motion: &Motion,
    ground: &Ground,
    given: Option<&Given>,
    turns: &[Block],
    sheet: &mut Sheet,
) {
    let why = "the pylons were not given (`pylons` in the briefing)";
    sheet.missing("pylon_ahead", why);
    let Some(Given::Pylons([a, b])) = given else {
        pivotal::pylons(motion, ground, turns, sheet);
        return;
    };
    let Some(pylons) = [[*a, *b], [*b, *a]]
        .into_iter()
        .find(|two| around(ground, turns, two))
    else {
        given::refused(sheet, f64::NAN);
        sheet.missing(
            "pylon_ahead",
            "the turns do not go around the pylons that were given",
        );
        pivotal::pylons(motion, ground, turns, sheet);
        return;
    };
    given::used(sheet);
    let origin = poorer(ground.origin, Origin::Derived);
    let (heading_sigma, heading_origin) =
        motion.quality(motion.flight.heading.as_ref(), motion.from_s);
    let mut worst = f64::NAN;
    for ((number, pylon), [east, north, least, greatest, ahead]) in
        pylons.into_iter().enumerate().zip(NAMES)
    {
        let of_place = given::SIGMA_M;
        sheet.fact(east, pylon.0, "m", of_place, origin);
        sheet.fact(north, pylon.1, "m", of_place, origin);
        let (mut near, mut far, mut off) = (f64::NAN, f64::NAN, f64::NAN);
        for turn in turns.iter().skip(number).step_by(2) {
            let (from_s, to_s) = (turn.start_s + ROLLING_S, turn.end_s - ROLLING_S);
            for (_, place) in ground.points(from_s, to_s) {
                let distance = (place.0 - pylon.0).hypot(place.1 - pylon.1);
                near = f64::min(near, distance);
                far = f64::max(far, distance);
            }
            let wave = ahead_of_the_wing(motion, ground, pylon, turn.sign());
            if let Some((low, high)) = wave.held(from_s, to_s, HOLD_S) {
                for one in [low, high] {
                    if off.is_nan() || one.abs() > off.abs() {
                        off = one;
                    }
                }
            }
        }
        let sigma = ground.sigma_m.hypot(of_place);
        sheet.fact(least, near, "m", sigma, origin);
        sheet.fact(greatest, far, "m", sigma, origin);
        // The nose is known to a degree or two, and the place of the pylon turns with its distance.
        let sigma = heading_sigma
            .max(1.5_f64.to_radians())
            .hypot(sigma / near.max(50.0));
        let of_angle = poorer(heading_origin, origin);
        sheet.fact(ahead, off, "rad", sigma, of_angle);
        if worst.is_nan() || off.abs() > f64::abs(worst) {
            worst = off;
            sheet.fact("pylon_ahead", worst, "rad", sigma, of_angle);
        }
    }
    if worst.is_finite() {
        sheet.known("pylon_ahead");
    } else {
        sheet.missing("pylon_ahead", "no heading is known");
    }
}

/// Whether the turns go around the two, in this order.
fn around(ground: &Ground, turns: &[Block], pylons: &[(f64, f64); 2]) -> bool {
    !turns.is_empty()
        && turns
            .iter()
            .zip(pylons.iter().cycle())
            .all(|(turn, pylon)| {
                let path = ground.points(turn.start_s, turn.end_s);
                let least = LEAST_SHARE * turn.turned_rad.abs();
                given::goes_around(path.map(|(_, place)| place), *pylon, turn.sign(), least)
            })
}

/// Angle from the wing line forward to the pylon, rad, negative behind it.
fn ahead_of_the_wing(motion: &Motion, ground: &Ground, pylon: (f64, f64), sign: f64) -> Wave {
    let bearing = ground.east.with(&ground.north, |east, north| {
        (pylon.0 - east).atan2(pylon.1 - north)
    });
    motion.heading.with(&bearing, |heading, bearing| {
        sign * air::units::wrap_pi(heading + sign * FRAC_PI_2 - bearing)
    })
}
