//! Figures over the ground in wind: what was prescribed is found again. The flights are closed form (a path over the
//! ground, a wind, the wind triangle), so no program stands behind the truth.

mod common;

use common::aircraft;
use common::over_ground::Course;
use flight::Fit;
use maneuver::{Kind, Maneuver, maneuvers};

const FITS: [Fit; 4] = [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss];
const WINDS: [f64; 4] = [0.0, 8.0, 15.0, 25.0];
const KT: f64 = air::units::MPS_PER_KT;
const VS: f64 = 48.0;
/// A roll-out has its middle where the prescribed curve ends, and is done so much later.
const ROLL_OUT_S: f64 = 1.2;

fn found(course: &Course, fit: Fit) -> Vec<Maneuver> {
    maneuvers(&course.land(fit), &aircraft(VS))
}

/// The only maneuver of the flight.
fn the(what: &str, course: &Course, fit: Fit, kind: Kind) -> Maneuver {
    let mut found = found(course, fit);
    let kinds: Vec<(Kind, f64, f64)> = found
        .iter()
        .map(|one| (one.kind, one.start_s, one.end_s))
        .collect();
    assert!(
        found.len() == 1 && found[0].kind == kind,
        "{what} {fit:?}: {kind:?} expected, found {kinds:?}"
    );
    found.remove(0)
}

fn near(what: &str, fit: Fit, found: f64, truth: f64, within: f64) {
    assert!(
        (found - truth).abs() <= within,
        "{fit:?} {what}: {found:.3}, prescribed {truth:.3} ± {within}"
    );
}

fn event(one: &Maneuver, name: &str) -> f64 {
    one.event(name).map_or(f64::NAN, |event| event.at_s)
}

/// Around a point downwind of the start: radius, point, turns, and the bank that the wind asks for.
#[test]
fn prop_turns_around_a_point_find_their_point() {
    for wind in WINDS {
        for (side, turns) in [(1.0, 2.0), (-1.0, 3.0), (1.0, 1.0)] {
            let mut course = Course::new(20.0, 200.0, wind);
            course.straight(70.0);
            let begun_s = course.t;
            let radius = 380.0;
            let across = course.track + side * std::f64::consts::FRAC_PI_2;
            let point = (
                course.east + radius * across.sin(),
                course.north + radius * across.cos(),
            );
            course.arc(radius, side * turns * 360.0);
            let ended_s = course.t;
            course.straight(70.0);
            for fit in FITS {
                let what = format!("{turns} turns in {wind} kt");
                let one = the(&what, &course, fit, Kind::TurnsAroundAPoint);
                near("start", fit, one.start_s, begun_s, 2.0);
                near("end", fit, one.end_s, ended_s + ROLL_OUT_S, 1.5);
                near("turns", fit, one.fact("turns"), turns, 0.1);
                near("east", fit, one.fact("point_east"), point.0, 15.0);
                near("north", fit, one.fact("point_north"), point.1, 15.0);
                near("radius", fit, one.fact("radius_mean"), radius, 8.0);
                assert!(one.fact("radius_variation") < 0.12, "{what} {fit:?}");
                near("wind", fit, one.fact("wind_speed") / KT, wind, 1.5);
                if wind > 5.0 {
                    assert!(one.fact("drift_share").abs() < 0.1, "{what} {fit:?}");
                    assert!(one.fact("entry_off_downwind").to_degrees() < 8.0, "{what}");
                    near("bank follows", fit, one.fact("bank_follows"), 1.0, 0.35);
                    // Downwind, where the ground speed is highest, the bank is steepest.
                    // In a light wind it hardly varies, and where it was steepest cannot be told.
                    let off = one.fact("steepest_off_downwind").to_degrees();
                    assert!(off.abs() < 25.0 || wind < 10.0, "{what} {fit:?} {off}");
                    let most = 95.0 * KT + wind * KT;
                    let steepest = (most * most / (9.80665 * radius)).atan();
                    near(
                        "bank needed",
                        fit,
                        one.fact("bank_needed_most").to_degrees(),
                        steepest.to_degrees(),
                        2.0,
                    );
                }
            }
        }
    }
}

/// One bank all the way and nothing held against the wind: the circle is carried downwind at the wind's own speed, and
/// the point is where its center stood at the beginning.
#[test]
fn prop_a_circle_that_the_wind_carries_shows_its_drift() {
    for wind in [10.0, 16.0, 24.0] {
        let mut course = Course::new(0.0, 180.0, wind);
        course.straight(70.0);
        let begun = (course.east, course.north);
        let bank = 31.0_f64;
        let radius = (95.0 * KT).powi(2) / (9.80665 * bank.to_radians().tan());
        course.carried(bank, 720.0);
        course.straight(70.0);
        for fit in FITS {
            let one = the("carried", &course, fit, Kind::TurnsAroundAPoint);
            near("share", fit, one.fact("drift_share"), 1.0, 0.15);
            near("east", fit, one.fact("point_east"), begun.0 + radius, 50.0);
            near("north", fit, one.fact("point_north"), begun.1, 70.0);
            let seconds = std::f64::consts::TAU * radius / (95.0 * KT);
            near(
                "drift",
                fit,
                one.fact("drift_per_turn"),
                wind * KT * seconds,
                60.0,
            );
            assert!(one.fact("radius_variation") > 0.5, "{fit:?}");
            near("bank follows", fit, one.fact("bank_follows"), 0.0, 0.35);
        }
    }
}

/// Badly flown, twice as far on one side as on the other, but held against the wind: still about the point.
#[test]
fn prop_an_oval_is_no_drift() {
    let mut course = Course::new(0.0, 180.0, 15.0);
    course.straight(70.0);
    course.arc_as(720.0, |turned| 400.0 + 130.0 * turned.to_radians().sin());
    course.straight(70.0);
    for fit in FITS {
        let one = the("oval", &course, fit, Kind::TurnsAroundAPoint);
        assert!(
            one.fact("drift_share") < 0.35,
            "{fit:?} {}",
            one.fact("drift_share")
        );
        assert!(one.fact("radius_variation") > 0.25, "{fit:?}");
    }
}

/// Half circles across a line that lies across the wind, each begun over it and done with the wings level over it
/// again: the line, its crossings, the radii.
#[test]
fn prop_s_turns_find_their_line() {
    for wind in WINDS {
        for (side, halves) in [(1.0, 4), (-1.0, 3), (1.0, 2), (-1.0, 6)] {
            let mut course = Course::new(30.0, 210.0, wind);
            course.straight(70.0);
            let on = (course.east, course.north);
            for half in 0..halves {
                course.half(400.0, if half % 2 == 0 { side } else { -side });
                course.straight(1.0);
            }
            course.straight(70.0);
            let mut times = course.crossings(on, 120.0);
            times.dedup_by(|b, a| *b - *a < 5.0);
            assert_eq!(times.len(), halves + 1, "{times:?}");
            let radii: Vec<f64> = times
                .windows(2)
                .flat_map(|two| course.half_circle(on, 120.0, two[0], two[1]))
                .collect();
            let mean = radii.iter().sum::<f64>() / radii.len() as f64;
            let most = radii.iter().copied().fold(0.0, f64::max);
            let least = radii.iter().copied().fold(f64::INFINITY, f64::min);
            let variation = (most - least) / mean;
            for fit in FITS {
                let what = format!("{halves} half circles in {wind} kt");
                let one = the(&what, &course, fit, Kind::STurns);
                near("start", fit, one.start_s, times[0], 2.0);
                near("end", fit, one.end_s, times[halves], 3.0);
                near("halves", fit, one.fact("halves"), halves as f64, 0.0);
                let line = one.fact("line_direction").to_degrees();
                near(&format!("{what} line"), fit, line, 120.0, 4.0);
                for (number, at_s) in times.iter().enumerate().skip(1) {
                    let name = format!("crossing_{number}");
                    near(&name, fit, event(&one, &name), *at_s, 3.0);
                }
                near("radius", fit, one.fact("radius_mean"), mean, 20.0);
                let found = one.facts["radius_variation"];
                let sigmas = (found.value - variation) / found.sigma;
                assert!(
                    sigmas.abs() < 2.0,
                    "{what} {fit:?}: {found:?}, true {variation}"
                );
                // In more wind the line is known less well, and the σ says so.
                if wind < 10.0 {
                    near(&what, fit, found.value, variation, 0.2);
                }
                let square = one.facts["crossing_off_square"];
                let most = 3.0 * square.sigma;
                assert!(square.value < most, "{what} {fit:?}: {square:?}");
                let beside = one.facts["reversal_distance"];
                let most = 3.0 * beside.sigma;
                assert!(beside.value < most, "{what} {fit:?}: {beside:?}");
            }
        }
    }
}

/// Half circles of one bank, carried downwind: the line stays across the wind and where it was first crossed, and the
/// half circles are unequal about it.
#[test]
fn prop_s_turns_that_are_carried_are_unequal() {
    let mut course = Course::new(0.0, 180.0, 18.0);
    course.straight(70.0);
    for side in [1.0, -1.0, 1.0, -1.0] {
        course.carried(28.0, 180.0 * side);
    }
    course.straight(70.0);
    for fit in FITS {
        let one = the("carried", &course, fit, Kind::STurns);
        let line = one.fact("line_direction").to_degrees();
        near("line", fit, line, 90.0, 9.0);
        assert!(one.fact("radius_variation") > 0.4, "{fit:?}");
    }
}

fn rectangle(wind_from: f64, wind: f64, side: f64) -> (Course, f64, Vec<f64>) {
    // Entered at 45° to the downwind leg (FAA-S-ACS-6C, PA.V.B.S3a).
    let mut course = Course::new(15.0 - side * 45.0, wind_from, wind);
    course.straight(60.0).arc(500.0, side * 45.0);
    let begun_s = course.t;
    let mut corners = Vec::new();
    for length in [1500.0, 1000.0, 2300.0, 1000.0] {
        course.leg(length);
        corners.push(course.t);
        course.arc(400.0, side * 90.0);
    }
    (course, begun_s, corners)
}

/// Around a rectangle both ways: four corners, the legs by the wind, and tracks along the sides.
#[test]
fn prop_rectangles_have_corners_and_sides() {
    for wind in WINDS {
        for side in [1.0, -1.0] {
            let (mut course, begun_s, corners) = rectangle(195.0, wind, side);
            let ended_s = course.t;
            course.straight(90.0);
            for fit in FITS {
                let what = format!("rectangle in {wind} kt, side {side}");
                let one = the(&what, &course, fit, Kind::RectangularCourse);
                near("start", fit, one.start_s, begun_s, 5.0);
                near("end", fit, one.end_s, ended_s + ROLL_OUT_S, 1.5);
                for (number, at_s) in corners.iter().enumerate() {
                    let name = format!("corner_{}", number + 1);
                    near(&name, fit, event(&one, &name), *at_s - ROLL_OUT_S, 1.5);
                }
                let track = one.fact("track_on_legs").to_degrees();
                assert!(track < 2.0, "{what} {fit:?}: {track}");
                let names: Vec<&str> = one.phases.iter().map(|phase| phase.name).collect();
                if wind > 5.0 {
                    assert_eq!(
                        names,
                        ["downwind_leg", "base_leg", "upwind_leg", "crosswind_leg"],
                        "{what} {fit:?}"
                    );
                    let needed = (wind / 95.0).asin().to_degrees();
                    let flown = one.fact("crab_flown_2").abs().to_degrees();
                    near("crab", fit, flown, needed, 2.0);
                    assert!(
                        one.missing.contains_key("crab_missing")
                            || one.fact("crab_missing").to_degrees() < 2.0,
                        "{what} {fit:?}"
                    );
                } else {
                    assert_eq!(
                        names,
                        ["leg_1", "leg_2", "leg_3", "leg_4"],
                        "{what} {fit:?}"
                    );
                }
            }
        }
    }
}

/// Headings flown as if there were no wind: the legs across it are off by the angle of drift.
#[test]
fn prop_a_rectangle_without_crab_is_off_its_sides() {
    let wind = 15.0_f64;
    for side in [1.0, -1.0] {
        let mut course = Course::new(15.0, 195.0, wind);
        course.straight(60.0);
        for seconds in [30.0, 22.0, 45.0, 22.0] {
            course.carried_straight(seconds).carried(24.0, 90.0 * side);
        }
        course.straight(90.0);
        let drift = (wind / 95.0).atan().to_degrees();
        for fit in FITS {
            let one = the("no crab", &course, fit, Kind::RectangularCourse);
            near(
                "track",
                fit,
                one.fact("track_on_legs").to_degrees(),
                drift,
                2.5,
            );
            near(
                "crab",
                fit,
                one.fact("crab_missing").to_degrees(),
                drift,
                2.5,
            );
        }
    }
}

/// Two pylons with the wing on each, the height following the ground speed. Pivotal altitude: ground speed in knots
/// squared over 11.3 (FAA-H-8083-3C, chapter 7, from memory).
fn eights(wind: f64, count: usize, follow: bool) -> (Course, f64, f64) {
    let mut course = Course::new(0.0, 225.0, wind);
    course.at(95.0 * 95.0 / 11.3);
    course.pivotal = follow;
    course.straight(70.0);
    let begun_s = course.t;
    for number in 0..count {
        let side = if number % 2 == 0 { -1.0 } else { 1.0 };
        // The pylon lies off the wing where the turn begins.
        let across = course.track + side * std::f64::consts::FRAC_PI_2;
        let pylon = (
            course.east + 420.0 * across.sin(),
            course.north + 420.0 * across.cos(),
        );
        course.pylon(pylon, side * 285.0);
        if number + 1 < count {
            course.straight(8.0);
        }
    }
    let ended_s = course.t;
    course.straight(70.0);
    (course, begun_s, ended_s)
}

#[test]
fn prop_eights_on_pylons_follow_the_pivotal_altitude() {
    for wind in [0.0, 10.0, 18.0] {
        for count in [2, 4] {
            let (course, begun_s, ended_s) = eights(wind, count, true);
            for fit in FITS {
                let what = format!("{count} circles in {wind} kt");
                let one = the(&what, &course, fit, Kind::EightsOnPylons);
                near("start", fit, one.start_s, begun_s, 2.5);
                near("end", fit, one.end_s, ended_s + ROLL_OUT_S, 1.5);
                near("circles", fit, one.fact("turns"), count as f64, 0.0);
                let off = one.fact("pivotal_error") / 0.3048;
                assert!(off.abs() < 75.0, "{what} {fit:?}: {off} ft");
                // Eight seconds from arc to arc, less roll-out and roll-in.
                near(
                    "straight",
                    fit,
                    one.fact("straight_seconds"),
                    8.0 - 2.0 * ROLL_OUT_S,
                    2.0,
                );
                if wind > 5.0 {
                    near("follows", fit, one.fact("height_follows"), 1.0, 0.3);
                }
            }
        }
    }
}

/// One height all the way: in 18 kt of wind the pivotal altitude moves by some 600 ft between upwind and downwind.
#[test]
fn prop_eights_at_one_height_do_not_follow() {
    let (course, ..) = eights(18.0, 2, false);
    for fit in FITS {
        let one = the("one height", &course, fit, Kind::EightsOnPylons);
        assert!(one.fact("pivotal_error").abs() / 0.3048 > 150.0, "{fit:?}");
        near("follows", fit, one.fact("height_follows"), 0.0, 0.2);
    }
}

/// Rough air changes nothing of what is found.
#[test]
fn prop_rough_air_hides_no_figure() {
    let start = || Course::new(20.0, 200.0, 14.0).gusts(1.5);
    let mut point = start();
    point.straight(70.0).arc(380.0, 720.0).straight(70.0);
    let mut across = start();
    across.straight(70.0);
    for side in [1.0, -1.0, 1.0, -1.0] {
        across.arc(400.0, 180.0 * side);
    }
    across.straight(70.0);
    let mut around = start();
    around.straight(70.0);
    for length in [1500.0, 1000.0, 2000.0, 1000.0] {
        around.leg(length).arc(400.0, 90.0);
    }
    around.straight(90.0);
    for fit in FITS {
        the("rough", &point, fit, Kind::TurnsAroundAPoint);
        the("rough", &across, fit, Kind::STurns);
        the("rough", &around, fit, Kind::RectangularCourse);
    }
}

/// What ordinary flying is made of is none of the four.
#[test]
fn prop_ordinary_turns_are_no_ground_reference() {
    let figures = [
        Kind::TurnsAroundAPoint,
        Kind::STurns,
        Kind::RectangularCourse,
        Kind::EightsOnPylons,
    ];
    for wind in WINDS {
        let mut course = Course::new(20.0, 240.0, wind);
        course.straight(60.0);
        // Course reversals, one after the other and far apart; a dog leg; a procedure turn.
        course.carried(25.0, 180.0).straight(60.0);
        course.carried(20.0, -180.0).straight(60.0);
        course
            .carried(20.0, 90.0)
            .straight(70.0)
            .carried(20.0, 90.0);
        course.straight(90.0).carried(18.0, -45.0).straight(60.0);
        course.carried(18.0, 225.0).straight(90.0);
        // An orbit high up.
        course
            .at(4500.0)
            .straight(60.0)
            .carried(28.0, 360.0)
            .straight(60.0);
        for fit in FITS {
            let kinds: Vec<Kind> = found(&course, fit).iter().map(|one| one.kind).collect();
            assert!(
                !kinds.iter().any(|kind| figures.contains(kind)),
                "{wind} kt {fit:?}: {kinds:?}"
            );
        }
    }
}
