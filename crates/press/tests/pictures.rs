//! Each kind's picture from flights of known shape: circles, half circles, a rectangle, a 3° path. What the picture
//! says must be what was flown, no word may be cut or written over, and nothing is drawn from nothing.

mod fixture;

use debrief::{Debrief, EventDebrief, ManeuverDebrief};
use fixture::{Fits, maneuver};
use flight::{Clock, Flight, Origin, Series, Sigma};
use press::frame::Frame;
use press::picture::{self, PICTURES};
use press::svg::{Drawing, Item, Rect};
use std::f64::consts::{PI, TAU};

const FT: f64 = 0.3048;
const STEP_S: f64 = 0.25;

fn series(values: Vec<f64>, sigma: f64) -> Option<Series> {
    Some(Series {
        values,
        sigma: Sigma::Constant(sigma),
        origin: Origin::Measured,
    })
}

/// A flight along a path in still air: speed and direction are those of the path.
fn along(
    seconds: f64,
    place: impl Fn(f64) -> (f64, f64, f64),
    attitude: impl Fn(f64) -> (f64, f64),
) -> Flight {
    let clock = Clock {
        step_s: STEP_S,
        len: (seconds / STEP_S) as usize + 1,
    };
    let times: Vec<f64> = (0..clock.len).map(|index| clock.time_s(index)).collect();
    let mut flight = Flight::empty(clock);
    let each = |value: &dyn Fn(f64) -> f64| times.iter().map(|t| value(*t)).collect::<Vec<f64>>();
    let speed = |t: f64| {
        let (a, b) = (place(t - 0.05), place(t + 0.05));
        ((b.0 - a.0) / 0.1, (b.1 - a.1) / 0.1)
    };
    let mut track = each(&|t| speed(t).0.atan2(speed(t).1));
    for index in 1..track.len() {
        let turned = (track[index] - track[index - 1] + PI).rem_euclid(TAU) - PI;
        track[index] = track[index - 1] + turned;
    }
    flight.east = series(each(&|t| place(t).0), 2.0);
    flight.north = series(each(&|t| place(t).1), 2.0);
    flight.altitude = series(each(&|t| place(t).2), 1.0);
    flight.agl = series(each(&|t| place(t).2), 10.0);
    flight.ground_speed = series(each(&|t| speed(t).0.hypot(speed(t).1)), 0.3);
    flight.ias = series(each(&|t| speed(t).0.hypot(speed(t).1)), 0.6);
    flight.heading = series(track.clone(), 0.02);
    flight.track = series(track, 0.02);
    flight.pitch = series(each(&|t| attitude(t).0), 0.01);
    flight.bank = series(each(&|t| attitude(t).1), 0.02);
    flight
}

/// A circle of 400 m about (1000, 500) to the right at 50 m/s, `turns` times.
fn circles(turns: f64) -> (Flight, f64) {
    let (radius, speed) = (400.0, 50.0);
    let seconds = turns * TAU * radius / speed;
    let place = move |t: f64| {
        let angle = t * speed / radius;
        (
            1000.0 + radius * angle.sin(),
            500.0 + radius * angle.cos(),
            300.0,
        )
    };
    (along(seconds, place, |_| (0.03, 0.56)), seconds)
}

/// Half circles of 350 m along a line that bears 060°, first to the left of it.
fn serpentine(halves: usize) -> (Flight, f64) {
    let (radius, speed, bearing) = (350.0, 50.0, 60.0_f64.to_radians());
    let half_s = PI * radius / speed;
    let place = move |t: f64| {
        let number = (t / half_s).floor();
        let angle = (t - number * half_s) / half_s * PI;
        let side = if number.rem_euclid(2.0) < 0.5 {
            -1.0
        } else {
            1.0
        };
        let ahead = 2.0 * radius * number + radius * (1.0 - angle.cos());
        let right = side * radius * angle.sin();
        (
            ahead * bearing.sin() + right * bearing.cos(),
            ahead * bearing.cos() - right * bearing.sin(),
            300.0,
        )
    };
    let bank = move |t: f64| {
        // A turn on the left of the line goes to the right.
        let side = if (t / half_s).floor().rem_euclid(2.0) < 0.5 {
            1.0
        } else {
            -1.0
        };
        (0.03, side * 0.6)
    };
    let seconds = half_s * halves as f64;
    (along(seconds - STEP_S, place, bank), seconds - STEP_S)
}

/// A final of 3° onto a runway that bears 090°, then 20 s on the ground.
fn approach() -> (Flight, f64, f64) {
    let (speed, seconds) = (32.0, 120.0);
    let down_s = 100.0;
    let place = move |t: f64| {
        let ahead = (t - down_s) * speed;
        (
            ahead,
            0.0,
            (-ahead * 3.0_f64.to_radians().tan()).max(0.0) + 60.0,
        )
    };
    (along(seconds, place, |_| (-0.02, 0.0)), seconds, down_s)
}

/// 20 s on a runway that bears 090°, then a climb of 5°.
fn departure() -> (Flight, f64, f64) {
    let (speed, off_s) = (32.0, 20.0);
    let place = move |t: f64| {
        let ahead = (t - off_s) * speed;
        (
            ahead,
            0.0,
            (ahead * 5.0_f64.to_radians().tan()).max(0.0) + 60.0,
        )
    };
    (along(90.0, place, |_| (0.1, 0.0)), 90.0, off_s)
}

/// A climbing half turn, banked 30° and rolled out.
fn half_turn() -> (Flight, f64) {
    let (speed, seconds) = (45.0, 40.0);
    let angle = move |t: f64| PI * t / seconds;
    let radius = speed * seconds / PI;
    let place = move |t: f64| {
        (
            radius * (1.0 - angle(t).cos()),
            radius * angle(t).sin(),
            900.0 + 4.0 * t,
        )
    };
    let attitude = move |t: f64| {
        let bank = if t < 20.0 {
            30.0
        } else {
            30.0 * (40.0 - t) / 20.0
        };
        ((t / 2.0_f64).min(12.0).to_radians(), bank.to_radians())
    };
    (along(seconds, place, attitude), seconds)
}

/// A rectangle to the left, 60 s and 40 s long.
fn rectangle() -> (Flight, f64) {
    let speed = 45.0;
    let corners: [(f64, f64); 5] = [
        (0.0, 0.0),
        (2700.0, 0.0),
        (2700.0, 1800.0),
        (0.0, 1800.0),
        (0.0, 0.0),
    ];
    let place = move |t: f64| {
        let mut left = t.max(0.0) * speed;
        for pair in corners.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let long = (b.0 - a.0).hypot(b.1 - a.1);
            if left <= long {
                return (
                    a.0 + (b.0 - a.0) * left / long,
                    a.1 + (b.1 - a.1) * left / long,
                    300.0,
                );
            }
            left -= long;
        }
        (0.0, 0.0, 300.0)
    };
    let bank = |t: f64| {
        let corner = [60.0, 100.0, 160.0]
            .iter()
            .any(|at: &f64| (t - at).abs() < 3.0);
        (0.02, if corner { -0.4 } else { 0.0 })
    };
    (along(199.0, place, bank), 199.0)
}

fn event(name: &str, at_s: f64) -> EventDebrief {
    EventDebrief {
        name: name.to_owned(),
        at_s,
        sigma_s: 0.3,
        value: None,
        origin: "derived".to_owned(),
        probability: 1.0,
    }
}

/// A flight and a maneuver of a kind that fit each other.
fn flown(kind: &str) -> (Debrief, ManeuverDebrief, Flight) {
    let (flight, seconds, events) = match kind {
        "chandelle" => {
            let (flight, seconds) = half_turn();
            (flight, seconds, vec![event("roll_in", 0.0)])
        }
        "lazy_eight" => {
            let (flight, seconds) = serpentine(2);
            let half = seconds / 2.0;
            (
                flight,
                seconds,
                vec![event("point_180", half), event("point_180", seconds)],
            )
        }
        "s_turns" => {
            let (flight, seconds) = serpentine(5);
            let crossings = (0..5).map(|number| {
                event(
                    &format!("crossing_{}", number + 1),
                    f64::from(number) * PI * 350.0 / 50.0,
                )
            });
            (flight, seconds, crossings.collect())
        }
        "eights_on_pylons" => {
            let (flight, seconds) = serpentine(2);
            (flight, seconds, Vec::new())
        }
        "rectangular_course" => {
            let (flight, seconds) = rectangle();
            let corners = [60.0, 100.0, 160.0].iter().enumerate();
            let events = corners.map(|(i, t)| event(&format!("corner_{}", i + 1), *t));
            (flight, seconds, events.collect())
        }
        "takeoff" => {
            let (flight, seconds, off_s) = departure();
            (
                flight,
                seconds,
                vec![event("rotate", off_s - 2.0), event("lift_off", off_s)],
            )
        }
        "landing" | "power_off_180" | "go_around" => {
            let (flight, seconds, down_s) = approach();
            let events = [("final", 20.0), ("flare", 97.0), ("touchdown", down_s)];
            let events = events.iter().map(|(name, t)| event(name, *t)).collect();
            (
                flight,
                seconds,
                if kind == "landing" {
                    events
                } else {
                    Vec::new()
                },
            )
        }
        "unusual_attitude_recovery" => {
            let (flight, seconds) = half_turn();
            let names = [
                "recovery_start",
                "power_changed",
                "wings_level",
                "pull",
                "level",
            ];
            let events = names
                .iter()
                .enumerate()
                .map(|(i, name)| event(name, 8.0 * i as f64));
            (flight, seconds, events.collect())
        }
        _ => {
            let (flight, seconds) = circles(2.6);
            (flight, seconds, Vec::new())
        }
    };
    let mut one = maneuver(1, kind, "As flown", "right", (0.0, seconds));
    one.events = events;
    (fixture::debrief(Fits::Rich, 0), one, flight)
}

fn drawn(kind: &str, frame: &Frame) -> Drawing {
    let (debrief, maneuver, flight) = flown(kind);
    picture::draw(&debrief, &maneuver, &flight, frame)
        .unwrap_or_else(|| panic!("no picture of {kind}"))
}

fn frames() -> [Frame; 4] {
    [
        Frame::wide(),
        Frame::wide().lower(0.66),
        Frame::desk(),
        Frame::narrow(),
    ]
}

#[test]
fn prop_the_table_names_kinds_that_exist_and_each_once() {
    for (index, (kind, _)) in PICTURES.iter().enumerate() {
        assert!(
            ::maneuver::Kind::ALL.iter().any(|(_, id, _)| id == kind),
            "{kind}"
        );
        assert!(
            PICTURES
                .iter()
                .skip(index + 1)
                .all(|(other, _)| other != kind)
        );
    }
}

#[test]
fn prop_words_of_a_picture_are_whole_and_apart() {
    for (kind, _) in PICTURES {
        for frame in frames() {
            let drawing = drawn(kind, &frame);
            let labels: Vec<(Rect, &str)> = drawing.labels().collect();
            assert!(labels.len() > 4, "{kind}");
            for (index, (one, words)) in labels.iter().enumerate() {
                assert!(
                    one.x0 >= -0.5
                        && one.x1 <= drawing.width + 0.5
                        && one.y0 >= -0.5
                        && one.y1 <= drawing.height + 0.5,
                    "{kind} {:.0}: “{words}” {one:?} of {:.0} × {:.0}",
                    frame.width,
                    drawing.width,
                    drawing.height
                );
                for (other, more) in labels.iter().skip(index + 1) {
                    assert!(
                        !one.grown(-0.3).overlaps(&other.grown(-0.3)),
                        "{kind} {:.0}: “{words}” over “{more}”",
                        frame.width
                    );
                }
            }
        }
    }
}

/// Nothing on a screen is under 12 px (the look's rule on type).
#[test]
fn prop_words_on_a_screen_are_twelve_px_at_least() {
    for (kind, _) in PICTURES {
        for frame in [Frame::desk(), Frame::narrow()] {
            for item in &drawn(kind, &frame).items {
                if let Item::Text { style, text, .. } = item {
                    assert!(style.size >= 12.0 - 1e-9, "{kind}: “{text}” {}", style.size);
                }
            }
        }
    }
}

#[test]
fn prop_every_picture_is_described_in_words_that_are_numbers() {
    for (kind, _) in PICTURES {
        let drawing = drawn(kind, &Frame::wide());
        assert!(
            drawing.title.contains(": ") && drawing.desc.len() > 10,
            "{kind}"
        );
        let all: Vec<&str> = drawing.labels().map(|(_, words)| words).collect();
        for words in all.iter().chain([&drawing.desc.as_str()]) {
            assert!(
                !words.contains("NaN") && !words.contains("inf") && !words.contains("unknown"),
                "{kind}: {words}"
            );
        }
    }
}

/// A circle of 400 m: 1,312 ft (exact foot of 0.3048 m); 2.6 turns are two whole ones and a begun third.
#[test]
fn val_geometry_mean_distance_of_a_circle() {
    let drawing = drawn("turns_around_a_point", &Frame::wide());
    let feet = (400.0 / FT).round();
    assert_eq!(feet, 1312.0);
    assert!(
        drawing.desc.contains("mean 1,312\u{A0}ft"),
        "{}",
        drawing.desc
    );
    assert!(drawing.desc.contains("over 3 turns"), "{}", drawing.desc);
}

/// Half circles of 350 m along 060°: 1,148 ft each.
#[test]
fn val_geometry_half_circles_and_the_bearing_of_their_line() {
    let drawing = drawn("s_turns", &Frame::wide());
    assert!(
        drawing.desc.starts_with("4 half circles along 060° true"),
        "{}",
        drawing.desc
    );
    let radii: Vec<f64> = drawing
        .desc
        .split("\u{A0}ft")
        .filter_map(|before| before.rsplit(' ').next()?.replace(',', "").parse().ok())
        .collect();
    assert_eq!(radii.len(), 4, "{}", drawing.desc);
    // Between two samples the path is a chord: 0.06 m off a circle of 350 m, and the top may lie between two.
    assert!(
        radii.iter().all(|feet| (feet - 350.0 / FT).abs() < 3.0),
        "{radii:?}"
    );
}

/// Height over distance of a path of 3° is a line of 3°.
#[test]
fn val_geometry_path_angle_of_a_final() {
    let drawing = drawn("landing", &Frame::wide());
    assert!(
        drawing.desc.contains("Flown down at 3.0°"),
        "{}",
        drawing.desc
    );
    assert!(
        drawing.desc.contains("from the touchdown"),
        "{}",
        drawing.desc
    );
    let climb = drawn("takeoff", &Frame::wide());
    assert!(climb.desc.contains("Flown up at 5.0°"), "{}", climb.desc);
    assert!(climb.desc.contains("from the lift-off"), "{}", climb.desc);
}

/// Where nobody worked out the touchdown, the picture says what its distances are from, and names no touchdown.
#[test]
fn prop_without_a_touchdown_none_is_named() {
    let (debrief, mut maneuver, flight) = flown("landing");
    maneuver.events.clear();
    let drawing = picture::draw(&debrief, &maneuver, &flight, &Frame::wide()).expect("a picture");
    assert!(drawing.desc.contains("last 15 ft up"), "{}", drawing.desc);
    assert!(
        drawing
            .labels()
            .all(|(_, words)| !words.contains("touchdown"))
    );
}

/// Still air: the nose is along every leg. With the nose turned by hand it says by how much and to which side.
#[test]
fn val_geometry_crab_on_the_legs_of_a_rectangle() {
    let (debrief, maneuver, mut flight) = flown("rectangular_course");
    let still = picture::draw(&debrief, &maneuver, &flight, &Frame::wide()).expect("a picture");
    assert!(
        still
            .desc
            .starts_with("4 legs. 1: track 090°, nose along it"),
        "{}",
        still.desc
    );
    let heading = flight.heading.as_mut().expect("a heading");
    for value in &mut heading.values {
        *value += 8.0_f64.to_radians();
    }
    let turned = picture::draw(&debrief, &maneuver, &flight, &Frame::wide()).expect("a picture");
    assert_eq!(
        turned.desc.matches("nose 8° right").count(),
        4,
        "{}",
        turned.desc
    );
}

/// Flown as FAA-H-8083-3C, chapter 10, describes it: 30° of bank still held at the 90° point.
#[test]
fn val_afh_chandelle_bank_at_the_ninety_degree_point() {
    let drawing = drawn("chandelle", &Frame::wide());
    assert!(drawing.desc.contains("Bank 30° at 90°"), "{}", drawing.desc);
    // 4 m/s for 40 s are 160 m, 525 ft.
    assert!(
        drawing.desc.contains("Height 525\u{A0}ft at 180°"),
        "{}",
        drawing.desc
    );
}

/// The order in which it was done is written with seconds from the beginning of the recovery.
#[test]
fn prop_the_order_of_a_recovery_is_told() {
    let drawing = drawn("unusual_attitude_recovery", &Frame::wide());
    let first = drawing.desc.find("1 recovery").expect("the first");
    let pull = drawing.desc.find("4 pull, 24.0").expect("the pull");
    assert!(first < pull, "{}", drawing.desc);
}

/// A school's own kind, and kinds that time shows best, have ribbons and traces over time and no picture of their own.
#[test]
fn prop_any_other_kind_is_drawn_over_time() {
    let (flight, seconds) = circles(1.0);
    let debrief = fixture::debrief(Fits::Rich, 0);
    for kind in ["our_own_drill", "power_off_stall", "emergency_descent", ""] {
        let one = maneuver(1, kind, "Drill", "right", (0.0, seconds));
        assert!(
            picture::draw(&debrief, &one, &flight, &Frame::wide()).is_none(),
            "{kind}"
        );
    }
}

/// What a recorder does not carry is not drawn, and nothing stops: every subset of a few channels, holes, nonsense.
#[test]
fn prop_missing_and_broken_channels_draw_less_and_never_nonsense() {
    for (kind, _) in PICTURES {
        for mask in 0..64_u32 {
            let (debrief, mut one, mut flight) = flown(kind);
            let gone = |bit: u32| mask & (1 << bit) != 0;
            if gone(0) {
                (flight.east, flight.north) = (None, None);
            }
            if gone(1) {
                flight.bank = None;
            }
            if gone(2) {
                (flight.heading, flight.track) = (None, None);
            }
            if gone(3) {
                (flight.altitude, flight.agl) = (None, None);
            }
            if gone(4) {
                (flight.ias, flight.ground_speed, flight.pitch) = (None, None, None);
            }
            if gone(5) {
                for (index, known) in flight.known.iter_mut().enumerate() {
                    *known = index % 50 > 8;
                }
                for series in [&mut flight.altitude, &mut flight.bank]
                    .into_iter()
                    .flatten()
                {
                    for value in series.values.iter_mut().step_by(37) {
                        *value = f64::NAN;
                    }
                }
                one.events.push(event("touchdown", f64::NAN));
                one.events.push(event("crossing_2", 1e12));
            }
            for frame in [Frame::wide(), Frame::narrow()] {
                let Some(drawing) = picture::draw(&debrief, &one, &flight, &frame) else {
                    continue;
                };
                let svg = drawing.to_svg("p", "fig");
                assert!(
                    !svg.contains("NaN") && !svg.contains("inf,"),
                    "{kind} {mask}"
                );
                assert!(
                    drawing.height.is_finite() && drawing.height < 1200.0,
                    "{kind} {mask}"
                );
            }
        }
    }
    // Nothing known at all.
    let (debrief, one, _) = flown("landing");
    let empty = Flight::empty(Clock {
        step_s: 0.2,
        len: 0,
    });
    assert!(picture::draw(&debrief, &one, &empty, &Frame::wide()).is_none());
}

/// Bank that holds a circle of 400 m at 50 m/s: atan(50² / (9.80665 · 400)) = 32.5°, which is what is flown here within
/// half a degree: the dashed line lies on the solid one. Source: coordinated level turn, tan φ = v² / (g·R).
#[test]
fn val_physics_bank_asked_for_lies_on_the_bank_flown() {
    let asked = (50.0_f64.powi(2) / (9.80665 * 400.0)).atan();
    let (debrief, one, mut flight) = flown("turns_around_a_point");
    if let Some(bank) = flight.bank.as_mut() {
        bank.values.fill(asked);
    }
    let drawing = picture::draw(&debrief, &one, &flight, &Frame::wide()).expect("a picture");
    let mean = |dashed: bool| {
        let role = if dashed {
            press::palette::Role::Deviation
        } else {
            press::palette::Role::Ink
        };
        let mut levels = Vec::new();
        for item in &drawing.items {
            let Item::Path {
                segments,
                stroke: Some(stroke),
                ..
            } = item
            else {
                continue;
            };
            let is = (stroke.dash == press::svg::Dash::Dashed) == dashed && stroke.role == role;
            for segment in segments.iter().filter(|_| is) {
                if let press::svg::Segment::Line((x, y)) = segment {
                    // Right of the plan, and in the second of the three rows.
                    if *x > 330.0 {
                        levels.push(*y);
                    }
                }
            }
        }
        levels
    };
    let (asked, flown) = (mean(true), mean(false));
    assert!(asked.len() >= 3, "{asked:?}");
    for level in &asked {
        assert!(
            flown.iter().any(|other| (other - level).abs() < 0.6),
            "{level} {flown:?}"
        );
    }
}
