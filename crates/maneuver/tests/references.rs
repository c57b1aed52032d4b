//! Figures over the ground about a landmark that a person gave, against circles, half circles and rectangles of which
//! everything is known in closed form.

mod common;

use air::geodesy::{LocalFrame, Place};
use common::{aircraft, series};
use flight::{Fit, Flight, Origin};
use maneuver::{
    Agreement, Bounds, Direction, Kind, Maneuver, Reference, SetBy, Span, phases, reference,
};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

const SPEED: f64 = 48.0;
const RADIUS: f64 = 400.0;

/// A path of constant speed in still air by its places, one a second; headings along it, coordinated bank.
fn flight(path: &[(f64, f64)]) -> Flight {
    let n = path.len();
    let at = |i: usize| path[i.min(n - 1)];
    let track = |i: usize| {
        let (a, b) = (at(i.saturating_sub(1)), at(i + 1));
        (b.0 - a.0).atan2(b.1 - a.1)
    };
    let mut heading: Vec<f64> = (0..n).map(track).collect();
    for i in 1..n {
        heading[i] = heading[i - 1] + air::units::wrap_pi(heading[i] - heading[i - 1]);
    }
    let rate = |i: usize| {
        (heading[(i + 1).min(n - 1)] - heading[i.saturating_sub(1)])
            / ((i + 1).min(n - 1) - i.saturating_sub(1)) as f64
    };
    let bank = (0..n).map(|i| (SPEED * rate(i) / 9.80665).atan()).collect();
    let mut flight = common::blank(n, 1.0, Fit::Panel);
    flight.east = Some(series(path.iter().map(|p| p.0).collect()));
    flight.north = Some(series(path.iter().map(|p| p.1).collect()));
    flight.ias = Some(series(vec![SPEED; n]));
    flight.tas = flight.ias.clone();
    flight.ground_speed = flight.ias.clone();
    flight.altitude = Some(series(vec![600.0; n]));
    flight.height = flight.altitude.clone();
    flight.agl = Some(series(vec![SPEED * SPEED / 9.80665; n]));
    flight.climb = Some(series(vec![0.0; n]));
    flight.bank = Some(series(bank));
    flight.track = Some(series(heading.clone()));
    flight.air_track = flight.track.clone();
    flight.heading = Some(series(heading));
    flight.wind_east = Some(series(vec![0.0; n]));
    flight.wind_north = flight.wind_east.clone();
    flight
}

/// A path from pieces: straight for so many meters (0 rad turned), or an arc of `RADIUS` by so much, right positive.
fn path(start: (f64, f64), mut course: f64, pieces: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (mut place, mut out) = (start, vec![start]);
    for (meters, turned) in pieces {
        let length = if *turned == 0.0 {
            *meters
        } else {
            turned.abs() * *meters
        };
        let steps = (length / SPEED).round().max(1.0) as usize;
        for _ in 0..steps {
            let by = turned / steps as f64;
            // Chord of the arc.
            let chord = if *turned == 0.0 {
                length / steps as f64
            } else {
                2.0 * meters * (by.abs() / 2.0).sin()
            };
            let along = course + by / 2.0;
            place = (place.0 + chord * along.sin(), place.1 + chord * along.cos());
            course += by;
            out.push(place);
        }
    }
    out
}

fn worked_out(flight: &Flight, kind: Kind, (start_s, end_s): (f64, f64)) -> Maneuver {
    let span = Span {
        kind,
        direction: Direction::Right,
        start_s,
        end_s,
        score: 10.0,
        agreement: Agreement::Both,
        anchor_s: None,
        bounds: Bounds::Sought,
    };
    phases::detail(flight, &aircraft(50.0), &span, &[])
}

/// The same with what was given, places in meters east and north of the origin.
fn about(
    flight: &Flight,
    one: &Maneuver,
    given: impl Fn(&dyn Fn(f64, f64) -> Place) -> Reference,
) -> Maneuver {
    let origin = Place {
        latitude_rad: flight.origin_latitude_rad,
        longitude_rad: flight.origin_longitude_rad,
    };
    let frame = LocalFrame::new(origin, 0.0).unwrap();
    let place = |east: f64, north: f64| frame.place(east, north, 0.0);
    let mut all = vec![one.clone()];
    reference::place(flight, &aircraft(50.0), &[Some(given(&place))], &mut all);
    all.remove(0)
}

fn near(what: &str, found: f64, truth: f64, within: f64) {
    assert!(
        (found - truth).abs() <= within,
        "{what}: {found:.2}, {truth:.2} ± {within}"
    );
}

/// Two circles about the origin. About a point 100 m beside it the distance runs from R − 100 to R + 100: a variation of
/// 200 over a mean of R (1 + 100²/4R²), and the place that was given is the place that is written.
#[test]
fn val_distances_are_from_the_point_that_was_given() {
    let path = path(
        (-RADIUS, -600.0),
        0.0,
        &[(600.0, 0.0), (RADIUS, 2.0 * TAU), (600.0, 0.0)],
    );
    let flight = flight(&path);
    let circle_s = 2.0 * TAU * RADIUS / SPEED;
    let found = worked_out(&flight, Kind::TurnsAroundAPoint, (12.5, 12.5 + circle_s));
    near("variation", found.fact("radius_variation"), 0.0, 0.06);
    assert!(!found.facts.contains_key("reference_given"));
    let given = about(&flight, &found, |at| Reference::Point(at(100.0, 0.0)));
    near("used", given.fact("reference_given"), 1.0, 0.0);
    near("east", given.fact("point_east"), 100.0, 0.5);
    near("least", given.fact("radius_least"), RADIUS - 100.0, 6.0);
    near(
        "greatest",
        given.fact("radius_greatest"),
        RADIUS + 100.0,
        6.0,
    );
    near(
        "mean",
        given.fact("radius_mean"),
        RADIUS * (1.0 + 100.0 * 100.0 / (4.0 * RADIUS * RADIUS)),
        6.0,
    );
    // A point outside the circles is not what was flown around.
    let far = about(&flight, &found, |at| Reference::Point(at(900.0, 0.0)));
    near("refused", far.fact("reference_given"), 0.0, 0.0);
    near("off", far.fact("reference_off"), 900.0, 20.0);
    near(
        "solved again",
        far.fact("radius_mean"),
        found.fact("radius_mean"),
        1e-6,
    );
    // And a line is nothing that a point maneuver looks at.
    let line = about(&flight, &found, |at| {
        Reference::Line([at(0.0, 0.0), at(500.0, 0.0)])
    });
    assert_eq!(line.facts, found.facts);
}

/// Four half circles across the x axis. Across a line 60 m north of it they reach R − 60 and R + 60 far; a line far
/// beside, or one along the flight, is none that was flown across.
#[test]
fn val_half_circles_are_measured_from_the_line_that_was_given() {
    let mut pieces = vec![(500.0, 0.0)];
    for half in 0..4 {
        pieces.push((RADIUS, if half % 2 == 0 { PI } else { -PI }));
    }
    pieces.push((500.0, 0.0));
    let path = path((0.0, -500.0), 0.0, &pieces);
    let flight = flight(&path);
    let end_s = 500.0 / SPEED + 4.0 * PI * RADIUS / SPEED;
    let found = worked_out(&flight, Kind::STurns, (500.0 / SPEED, end_s));
    near("halves", found.fact("halves"), 4.0, 0.0);
    let given = about(&flight, &found, |at| {
        Reference::Line([at(-500.0, 60.0), at(3500.0, 60.0)])
    });
    near("used", given.fact("reference_given"), 1.0, 0.0);
    near("direction", given.fact("line_direction"), FRAC_PI_2, 0.01);
    near("north", given.fact("extent_2"), RADIUS + 60.0, 12.0);
    near("south", given.fact("extent_3"), RADIUS - 60.0, 12.0);
    let aside = about(&flight, &found, |at| {
        Reference::Line([at(-500.0, 900.0), at(3500.0, 900.0)])
    });
    near("aside", aside.fact("reference_given"), 0.0, 0.0);
    near("off", aside.fact("reference_off"), 900.0, 60.0);
    let along = about(&flight, &found, |at| {
        Reference::Line([at(1600.0, -900.0), at(1600.0, 900.0)])
    });
    near("along", along.fact("reference_given"), 0.0, 0.0);
}

/// Three quarters of a circle one way and of one the other way. About their centers the pylons are abeam all the way;
/// about places 60 m ahead of each center along x, at the most asin(60/R) ahead of or behind the wing.
#[test]
fn val_pylons_lie_ahead_of_the_wing_by_what_they_are_off() {
    let turn = 1.5 * PI;
    let run = 300.0;
    let path = path(
        (-RADIUS, -600.0),
        0.0,
        &[
            (600.0, 0.0),
            (RADIUS, turn),
            (run, 0.0),
            (RADIUS, -turn),
            (600.0, 0.0),
        ],
    );
    let flight = flight(&path);
    let start_s = 600.0 / SPEED;
    let end_s = start_s + (2.0 * turn * RADIUS + run) / SPEED;
    let found = worked_out(&flight, Kind::EightsOnPylons, (start_s, end_s));
    assert!(found.missing.contains_key("pylon_ahead"));
    // After three quarters to the right about the origin it flies west at (0, −R); then left about (−run, −2R).
    let (first, second) = ((0.0, 0.0), (-run, -2.0 * RADIUS));
    for swapped in [false, true] {
        let given = about(&flight, &found, |at| {
            let two = [at(first.0, first.1), at(second.0, second.1)];
            Reference::Pylons(if swapped { [two[1], two[0]] } else { two })
        });
        near("used", given.fact("reference_given"), 1.0, 0.0);
        near("abeam", given.fact("pylon_ahead").to_degrees(), 0.0, 2.5);
        near("least", given.fact("pylon_1_least"), RADIUS, 12.0);
        near("greatest", given.fact("pylon_2_greatest"), RADIUS, 12.0);
    }
    let off = about(&flight, &found, |at| {
        Reference::Pylons([at(first.0 + 60.0, first.1), at(second.0, second.1)])
    });
    let most = (60.0_f64 / RADIUS).asin().to_degrees();
    near(
        "ahead",
        off.fact("pylon_ahead").abs().to_degrees(),
        most,
        2.5,
    );
    let wrong = about(&flight, &found, |at| {
        Reference::Pylons([at(3000.0, 0.0), at(5000.0, 0.0)])
    });
    near("refused", wrong.fact("reference_given"), 0.0, 0.0);
}

/// A square course at 500 m outside of a square field.
#[test]
fn val_legs_are_measured_from_the_field_that_was_given() {
    let side = 1200.0;
    let corner = (300.0, FRAC_PI_2);
    let leg = (side, 0.0);
    let path = path(
        (0.0, 0.0),
        0.0,
        &[
            leg,
            corner,
            leg,
            corner,
            leg,
            corner,
            leg,
            corner,
            (400.0, 0.0),
        ],
    );
    let flight = flight(&path);
    let end_s = 4.0 * (side + 300.0 * FRAC_PI_2) / SPEED;
    let found = worked_out(&flight, Kind::RectangularCourse, (0.0, end_s));
    assert!(found.missing.contains_key("side_distance"));
    // The legs enclose x from 0 to side + 600, y from −300 to side + 300; the field is 500 m inside.
    let (low, high) = ((500.0, 200.0), (side + 100.0, side - 200.0));
    let given = about(&flight, &found, |at| {
        Reference::Corners([
            at(low.0, low.1),
            at(low.0, high.1),
            at(high.0, high.1),
            at(high.0, low.1),
        ])
    });
    near("used", given.fact("reference_given"), 1.0, 0.0);
    near("distance", given.fact("side_distance"), 500.0, 12.0);
    near("spread", given.fact("side_distance_spread"), 0.0, 20.0);
    near("track", given.fact("track_on_legs").to_degrees(), 0.0, 1.0);
    // Turned by ten degrees about its middle: every leg is ten degrees off.
    let (x, y) = (0.5 * (low.0 + high.0), 0.5 * (low.1 + high.1));
    let turned = |at: &dyn Fn(f64, f64) -> Place, corner: (f64, f64)| {
        let (sin, cos) = 10_f64.to_radians().sin_cos();
        let (e, n) = (corner.0 - x, corner.1 - y);
        at(x + e * cos + n * sin, y - e * sin + n * cos)
    };
    let askew = about(&flight, &found, |at| {
        Reference::Corners([low, (low.0, high.1), high, (high.0, low.1)].map(|one| turned(at, one)))
    });
    near("askew", askew.fact("track_on_legs").to_degrees(), 10.0, 1.0);
    let away = about(&flight, &found, |at| {
        Reference::Corners([
            at(5000.0, 0.0),
            at(5000.0, 800.0),
            at(5800.0, 800.0),
            at(5800.0, 0.0),
        ])
    });
    near("refused", away.fact("reference_given"), 0.0, 0.0);
}

/// A person's bounds stay as they are.
#[test]
fn prop_given_bounds_hold() {
    let path = path(
        (-RADIUS, -600.0),
        0.0,
        &[(600.0, 0.0), (RADIUS, 2.0 * TAU), (600.0, 0.0)],
    );
    let flight = flight(&path);
    let mut one = worked_out(&flight, Kind::TurnsAroundAPoint, (12.0, 110.0));
    (one.set_by, one.start_s, one.end_s) = (SetBy::Person, 20.0, 100.0);
    let given = about(&flight, &one, |at| Reference::Point(at(0.0, 0.0)));
    assert_eq!((given.start_s, given.end_s), (20.0, 100.0));
    assert_eq!(given.set_by, SetBy::Person);
    assert!(matches!(
        flight.ias.as_ref().map(|ias| ias.origin),
        Some(Origin::Measured)
    ));
}
