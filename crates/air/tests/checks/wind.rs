use air::AirError;
use air::units::{MPS_PER_KT, wrap_pi};
use air::wind::*;
use proptest::prelude::*;

use crate::{assert_near, table::rows};

const TABLE: &str = include_str!("../data/wind.csv");

/// Degrees between two directions, unsigned.
fn turned(a_rad: f64, b_deg: f64) -> f64 {
    wrap_pi(a_rad - b_deg.to_radians()).to_degrees().abs()
}

fn wind_of(row: &crate::table::Row) -> Wind {
    Wind::from_direction(
        row.number("wind_from_true").to_radians(),
        row.number("wind_kt") * MPS_PER_KT,
    )
}

/// Exact columns, computed apart from this code, printed to 0.001 kt and 0.001°; four rows are printed
/// problems: FAA-H-8083-25C, ch. 16 (two), a navigation exam bank, a worked example.
#[test]
fn val_heading_and_groundspeed_for_a_course() {
    let all = rows(TABLE, 30);
    let mut count = 0;
    for row in all
        .iter()
        .filter(|row| row.text("kind").starts_with("course->heading"))
    {
        count += 1;
        let (name, course) = (row.text("case"), row.number("track_true"));
        let tas = row.number("tas_kt") * MPS_PER_KT;
        let answer = heading_for_course(course.to_radians(), tas, wind_of(row)).unwrap();
        assert!(
            turned(answer.direction_rad, row.number("heading_true")) < 6e-4,
            "{name}"
        );
        assert_near(
            answer.speed_mps / MPS_PER_KT,
            row.number("groundspeed_kt"),
            6e-4,
            name,
        );
        assert!(
            turned(answer.direction_rad, course + row.number("wca_deg")) < 1.1e-3,
            "{name}"
        );
    }
    assert_eq!(count, 12);
}

/// FAA-H-8083-25C, ch. 16: course east, 120 kt, wind from the northeast at 40: 88 kt.
#[test]
fn val_handbook_wind_triangle() {
    let wind = Wind::from_direction(45_f64.to_radians(), 40.0 * MPS_PER_KT);
    let answer = heading_for_course(90_f64.to_radians(), 120.0 * MPS_PER_KT, wind).unwrap();
    assert_near(answer.speed_mps / MPS_PER_KT, 88.0, 0.5, "groundspeed");
    assert!(turned(answer.direction_rad, 76.0) < 0.5);
}

#[test]
fn val_track_and_wind_from_vectors() {
    let all = rows(TABLE, 30);
    let (mut tracks, mut winds) = (0, 0);
    for row in &all {
        let name = row.text("case");
        if row.text("kind").starts_with("heading->track") {
            tracks += 1;
            let heading = row.number("heading_true").to_radians();
            let ground = over_ground(heading, row.number("tas_kt") * MPS_PER_KT, wind_of(row));
            assert!(
                turned(ground.direction_rad, row.number("track_true")) < 6e-4,
                "{name}"
            );
            assert_near(
                ground.speed_mps / MPS_PER_KT,
                row.number("groundspeed_kt"),
                6e-4,
                name,
            );
        } else if row.text("kind").starts_with("track") {
            winds += 1;
            let vector = |direction: &str, speed: &str| Vector {
                direction_rad: row.number(direction).to_radians(),
                speed_mps: row.number(speed) * MPS_PER_KT,
            };
            let wind = wind_from_vectors(
                vector("track_true", "groundspeed_kt"),
                vector("heading_true", "tas_kt"),
            );
            assert!(
                turned(wind.direction_from_rad(), row.number("wind_from_true")) < 6e-4,
                "{name}"
            );
            assert_near(
                wind.speed_mps() / MPS_PER_KT,
                row.number("wind_kt"),
                6e-4,
                name,
            );
        }
    }
    assert_eq!((tracks, winds), (10, 1));
}

/// FAA-H-8083-25C, ch. 11, sample problem 10 (22 and 13 kt), and the crosswind chart of the FAA
/// knowledge-test supplement (23 and 19 kt), among others. Crosswind from the right is positive.
#[test]
fn val_runway_components() {
    let mut count = 0;
    for row in rows(TABLE, 30) {
        if row.text("kind") != "runway components" {
            continue;
        }
        count += 1;
        let (head, cross) = wind_of(&row).components(row.number("runway_true").to_radians());
        assert_near(
            head / MPS_PER_KT,
            row.number("headwind_kt"),
            6e-4,
            row.text("case"),
        );
        assert_near(
            cross / MPS_PER_KT,
            row.number("crosswind_kt"),
            6e-4,
            row.text("case"),
        );
    }
    assert_eq!(count, 5);
}

/// Three legs of a box at one airspeed: the wind that made them comes back. Legs print 0.001 kt.
#[test]
fn val_three_leg_box() {
    let mut count = 0;
    for row in rows(TABLE, 30) {
        if row.text("kind") != "three-leg GPS box" {
            continue;
        }
        count += 1;
        let legs: Vec<Vector> = row
            .text("printed_or_legs")
            .split(';')
            .map(|leg| {
                let numbers: Vec<f64> = leg
                    .split_whitespace()
                    .filter_map(|word| word.parse().ok())
                    .collect();
                Vector {
                    direction_rad: numbers[0].to_radians(),
                    speed_mps: numbers[1] * MPS_PER_KT,
                }
            })
            .collect();
        let (wind, tas) = wind_from_legs(&legs).unwrap();
        assert_near(
            tas / MPS_PER_KT,
            row.number("tas_kt"),
            0.005,
            row.text("case"),
        );
        assert_near(
            wind.speed_mps() / MPS_PER_KT,
            row.number("wind_kt"),
            0.005,
            row.text("case"),
        );
        assert!(turned(wind.direction_from_rad(), row.number("wind_from_true")) < 0.02);
        assert_eq!(wind_from_legs(&legs[..2]), Err(AirError::LegsTooAlike));
    }
    assert_eq!(count, 2);
}

/// Calm has no direction and reads 0; a wind of 1 m/s has one like any other.
#[test]
fn calm_and_light_winds_have_a_direction() {
    assert_eq!(Wind::default().direction_from_rad(), 0.0);
    assert_eq!(Wind::from_direction(2.0, 0.0).direction_from_rad(), 0.0);
    assert!((Wind::from_direction(2.0, 1.0).direction_from_rad() - 2.0).abs() < 1e-12);
    assert_eq!(over_ground(2.0, 0.0, Wind::default()).direction_rad, 0.0);
    assert!((over_ground(2.0, 1.0, Wind::default()).direction_rad - 2.0).abs() < 1e-12);
}

#[test]
fn refuses_a_course_that_cannot_be_held() {
    let gale = Wind::from_direction(0.0, 60.0);
    let across = heading_for_course(std::f64::consts::FRAC_PI_2, 50.0, gale);
    assert!(matches!(across, Err(AirError::CourseNotHeld { .. })));
    assert!(
        heading_for_course(0.0, 50.0, gale).is_err(),
        "blown backward"
    );
    assert!(heading_for_course(f64::NAN, 50.0, gale).is_err());
    assert!(heading_for_course(0.0, -50.0, Wind::default()).is_err());
    let same = Vector {
        direction_rad: 1.0,
        speed_mps: 50.0,
    };
    assert_eq!(wind_from_legs(&[same; 5]), Err(AirError::LegsTooAlike));
    let broken = Vector {
        direction_rad: f64::NAN,
        speed_mps: 50.0,
    };
    assert_eq!(
        wind_from_legs(&[same, broken, same]),
        Err(AirError::LegsTooAlike)
    );
}

proptest! {
    /// Flying the heading that a course asks for gives that course.
    #[test]
    fn prop_course_and_heading_close(
        course in 0.0..std::f64::consts::TAU, tas in 20.0..120.0_f64,
        from in 0.0..std::f64::consts::TAU, speed in 0.0..19.0_f64,
    ) {
        let wind = Wind::from_direction(from, speed);
        let answer = heading_for_course(course, tas, wind).unwrap();
        let ground = over_ground(answer.direction_rad, tas, wind);
        prop_assert!(wrap_pi(ground.direction_rad - course).abs() < 1e-9);
        prop_assert!((ground.speed_mps - answer.speed_mps).abs() < 1e-9);
        let air = Vector { direction_rad: answer.direction_rad, speed_mps: tas };
        let back = wind_from_vectors(ground, air);
        prop_assert!((back.north_mps - wind.north_mps).abs() < 1e-9);
        prop_assert!((back.east_mps - wind.east_mps).abs() < 1e-9);
        prop_assert!(speed < 1e-6 || wrap_pi(wind.direction_from_rad() - from).abs() < 1e-9);
        // A wind from the right has a positive crosswind and asks for a correction to the right.
        let (head, cross) = wind.components(course);
        prop_assert!((head.hypot(cross) - speed).abs() < 1e-9);
        prop_assert!(wrap_pi(answer.direction_rad - course) * cross >= -1e-12);
    }

    #[test]
    fn prop_legs_give_back_the_wind(
        tas in 20.0..120.0_f64, from in 0.0..6.2_f64, speed in 0.0..19.0_f64, count in 3_usize..40,
    ) {
        let wind = Wind::from_direction(from, speed);
        let legs: Vec<Vector> = (0..count)
            // Uneven on purpose: with even legs errors of the sums would cancel.
            .map(|leg| over_ground((leg as f64).powi(2) * 0.3 + leg as f64, tas, wind))
            .collect();
        let (found, airspeed) = wind_from_legs(&legs).unwrap();
        prop_assert!((found.north_mps - wind.north_mps).abs() < 1e-7);
        prop_assert!((found.east_mps - wind.east_mps).abs() < 1e-7);
        prop_assert!((airspeed - tas).abs() < 1e-7);
    }
}
