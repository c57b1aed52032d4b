//! Maneuvers by ground reference (AFH ch. 7): begun downwind, the bank by the speed over the ground.

use super::legs;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::runway::{Line, around, follow};
use air::geodesy::LocalFrame;
use air::units::{M_PER_FT, wrap_pi};
use std::f64::consts::{FRAC_PI_2, TAU};

/// How they are flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// First turn: −1 left, +1 right.
    pub side: f64,
    /// Radius over the ground, m.
    pub radius: f64,
    /// Turns, or half turns.
    pub turns: f64,
    /// Indicated airspeed, m/s.
    pub speed: f64,
    /// Share of the wind correction that is missing.
    pub lacking: f64,
    /// Heading that is downwind, rad.
    pub downwind: f64,
}

/// Turns onto the downwind heading and settles there.
pub fn enter(pilot: &mut Pilot, how: &Ground) {
    let by = wrap_pi(how.downwind - pilot.seen.heading);
    if by.abs() > 0.05 {
        legs::turn(pilot, by, 0.4, how.speed);
    }
    let height = pilot.seen.height;
    pilot.hold(
        12.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(how.downwind),
            Power::Speed(how.speed),
        ),
    );
}

fn begun(kind: &'static str, pilot: &Pilot, how: &Ground, direction: &'static str) -> Flown {
    let mut flown = Flown::new(kind, pilot.seen.t);
    flown.direction = Some(direction);
    flown.asked.insert("entry_ias", how.speed);
    flown
}

/// Latitude and longitude of a place, into the truth.
fn write_place(
    flown: &mut Flown,
    frame: Option<&LocalFrame>,
    place: [f64; 2],
    names: [&'static str; 2],
) {
    if let Some(frame) = frame {
        let on_earth = frame.place(place[1], place[0], 0.0);
        flown
            .numbers
            .insert(names[0], on_earth.latitude_rad.to_degrees());
        flown
            .numbers
            .insert(names[1], on_earth.longitude_rad.to_degrees());
    }
}

/// Turns about a point abeam, at the radius that was asked for.
pub fn around_a_point(pilot: &mut Pilot, how: &Ground, frame: Option<&LocalFrame>) -> Flown {
    let direction = if how.side > 0.0 { "right" } else { "left" };
    let mut flown = begun("turns_around_a_point", pilot, how, direction);
    let path = Line {
        from: pilot.seen.place,
        course: pilot.seen.track,
    };
    let point = path.place(0.0, how.side * how.radius);
    let height = pilot.seen.height;
    let (mut turned, mut last) = (0.0, path.course);
    pilot.fly(600.0, |p| {
        turned += how.side * wrap_pi(p.seen.track - last);
        last = p.seen.track;
        (turned < how.turns * TAU - 0.15).then(|| {
            let wings = around(&p.seen, point, how.radius, how.side, how.lacking);
            Goal::new(Nose::Height(height), wings, Power::Speed(how.speed))
        })
    });
    flown.end_s = pilot.seen.t;
    write_place(&mut flown, frame, point, ["point_lat", "point_lon"]);
    flown.numbers.insert("turns", how.turns);
    flown.numbers.insert("radius_ft", how.radius / M_PER_FT);
    flown
}

/// Half circles across a line that lies across the wind, to one side and the other.
pub fn s_turns(pilot: &mut Pilot, how: &Ground, frame: Option<&LocalFrame>) -> Flown {
    let direction = if how.side > 0.0 {
        "right_first"
    } else {
        "left_first"
    };
    let mut flown = begun("s_turns", pilot, how, direction);
    let height = pilot.seen.height;
    // The road lies a few seconds ahead, across the track.
    let path = Line {
        from: pilot.seen.place,
        course: how.downwind,
    };
    let ahead = 6.0 * pilot.seen.groundspeed;
    let road = path.turned(ahead, 0.0, how.side * FRAC_PI_2);
    pilot.fly(60.0, |p| {
        (path.along(p.seen.place) < ahead).then(|| {
            let wings = follow(&p.seen, &path, 0.3, how.lacking);
            Goal::new(Nose::Height(height), wings, Power::Speed(how.speed))
        })
    });
    let mut start = road.along(pilot.seen.place);
    for half in 0..how.turns as usize {
        let side = if half % 2 == 0 { how.side } else { -how.side };
        let center = road.place(start + how.radius, 0.0);
        let from = pilot.seen.t;
        // Past the road on the side where this half lies, until it comes back to it.
        let beyond = if half % 2 == 0 { -how.side } else { how.side };
        pilot.fly(120.0, |p| {
            let inside = beyond * road.across(p.seen.place);
            // Wings level over the road: the roll-out begins before it.
            let comes = inside < 1.4 * p.seen.groundspeed && p.seen.t - from > 10.0;
            (inside > 0.0 || p.seen.t - from < 6.0).then(|| {
                let wings = if comes {
                    Wings::Bank(0.0)
                } else {
                    around(&p.seen, center, how.radius, side, how.lacking)
                };
                Goal::new(Nose::Height(height), wings, Power::Speed(how.speed))
            })
        });
        flown.moment(format!("crossing_{}", half + 1), pilot.seen.t);
        // The next half begins where this one ended: a pilot sees the road, not a plan.
        start = road.along(pilot.seen.place);
    }
    flown.end_s = pilot.seen.t;
    write_place(
        &mut flown,
        frame,
        road.place(0.0, 0.0),
        ["road_lat", "road_lon"],
    );
    let bearing = road.course.rem_euclid(TAU).to_degrees();
    flown.numbers.insert("road_bearing", bearing);
    flown.numbers.insert("radius_ft", how.radius / M_PER_FT);
    flown.numbers.insert("halves", how.turns.floor());
    flown
}

/// Sides of the rectangle, m: along and across the wind.
const SIDES_M: [f64; 2] = [2700.0, 1900.0];

/// Once around a rectangle and on into its first leg.
pub fn rectangle(pilot: &mut Pilot, how: &Ground) -> Flown {
    let direction = if how.side > 0.0 { "right" } else { "left" };
    let mut flown = begun("rectangular_course", pilot, how, direction);
    let height = pilot.seen.height;
    let mut line = Line {
        from: pilot.seen.place,
        course: how.downwind,
    };
    flown
        .numbers
        .insert("first_track", line.course.rem_euclid(TAU).to_degrees());
    for leg in 0..5 {
        let length = if leg == 4 {
            0.5 * SIDES_M[0]
        } else {
            SIDES_M[leg % 2]
        };
        let from = pilot.seen.t;
        pilot.fly(200.0, |p| {
            let lead = if leg == 4 {
                0.0
            } else {
                super::pattern::lead(&p.seen)
            };
            // In the turn the pilot looks at the ground; on the leg the wind shows.
            let lacking = if p.seen.t - from < 14.0 && leg > 0 {
                0.0
            } else {
                how.lacking
            };
            (line.along(p.seen.place) < length - lead).then(|| {
                let wings = follow(&p.seen, &line, 0.47, lacking);
                Goal::new(Nose::Height(height), wings, Power::Speed(how.speed))
            })
        });
        if leg < 4 {
            flown.moment(format!("corner_{}", leg + 1), pilot.seen.t);
            line = line.turned(length, 0.0, how.side * FRAC_PI_2);
        }
    }
    flown.end_s = pilot.seen.t;
    flown
}
