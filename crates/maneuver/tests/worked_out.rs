//! What is worked out of the kinds beyond the first five, on flights that are simply commanded: the command is
//! the truth.

mod common;

use common::{Goal, Pilot, aircraft};
use flight::Fit;
use maneuver::{Kind, Maneuver, maneuvers};

const FITS: [Fit; 4] = [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss];
const FT: f64 = air::units::M_PER_FT;
const KT: f64 = air::units::MPS_PER_KT;

fn the(pilot: &Pilot, fit: Fit, kind: Kind) -> Maneuver {
    let found = maneuvers(&pilot.land(fit), &aircraft(pilot.vs));
    let kinds: Vec<Kind> = found.iter().map(|one| one.kind).collect();
    let wanted = found.into_iter().find(|one| one.kind == kind);
    wanted.unwrap_or_else(|| panic!("{fit:?}: no {kind:?} among {kinds:?}"))
}

fn near(what: &str, fit: Fit, found: f64, truth: f64, within: f64) {
    assert!(
        (found - truth).abs() <= within,
        "{fit:?} {what}: {found:.2}, commanded {truth:.2} ± {within}"
    );
}

/// Times σ of GNSS without an attitude are wider: the wind is taken out of the path first.
fn wide(fit: Fit) -> f64 {
    if fit == Fit::Gnss { 2.0 } else { 1.0 }
}

#[test]
fn prop_a_chandelle_has_its_bank_its_roll_out_and_its_last_speed() {
    for side in [1.0, -1.0] {
        let mut pilot = Pilot::new(50.0);
        let vs = pilot.vs;
        pilot.cruise(80.0);
        let begun_s = pilot.t;
        let up = Goal {
            kt: 1.12 * vs,
            kt_per_s: 0.75,
            fpm: 900.0,
            bank: 30.0 * side,
            power: 1.0,
        };
        pilot.turn_through(90.0 * side, up);
        let ninety_s = pilot.t;
        let less = Goal {
            bank: 14.0 * side,
            ..up
        };
        pilot.turn_as(84.0 * side, less);
        let level_s = pilot.t;
        let on = Goal {
            kt: 1.2 * vs,
            kt_per_s: 0.5,
            fpm: 100.0,
            bank: 0.0,
            power: 1.0,
        };
        pilot.fly(10.0, on).cruise(60.0);
        for fit in FITS {
            let one = the(&pilot, fit, Kind::Chandelle);
            near("start", fit, one.start_s, begun_s, 2.0);
            near("end", fit, one.end_s, level_s, 4.0);
            let ninety = one
                .event("ninety_point")
                .map_or(f64::NAN, |event| event.at_s);
            near("90 degrees", fit, ninety, ninety_s, 3.0 * wide(fit));
            near(
                "bank",
                fit,
                one.fact("bank_first_half").to_degrees(),
                30.0,
                3.0 * wide(fit),
            );
            assert!(
                one.fact("rollout_error").to_degrees().abs() < 14.0,
                "{fit:?} {one:#?}"
            );
            assert!(one.fact("altitude_gain") > 300.0 * FT, "{fit:?}");
            assert!(one.fact("sag") < 20.0 * FT, "{fit:?}");
            let last = one.fact("final_ias") / KT;
            assert!((1.0 * vs..1.4 * vs).contains(&last), "{fit:?} {last}");
        }
    }
}

/// A roll-out 25° short is told as one, whatever the wind.
#[test]
fn prop_a_roll_out_short_of_180_degrees_shows() {
    let mut pilot = Pilot::new(50.0).wind(12.0, -8.0);
    let vs = pilot.vs;
    pilot.cruise(80.0);
    let up = Goal {
        kt: 1.15 * vs,
        kt_per_s: 0.75,
        fpm: 900.0,
        bank: 30.0,
        power: 1.0,
    };
    pilot
        .turn_as(90.0, up)
        .turn_as(65.0, Goal { bank: 16.0, ..up });
    pilot.fly(12.0, Goal { bank: 0.0, ..up }).cruise(60.0);
    for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude] {
        let short = the(&pilot, fit, Kind::Chandelle)
            .fact("rollout_error")
            .to_degrees();
        near("roll-out", fit, short, -25.0, 9.0);
    }
}

#[test]
fn prop_a_steep_spiral_counts_its_turns_and_finds_its_point() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(7000.0).cruise(60.0).slow_to(1.5 * vs, 1.0);
    let goal = Goal {
        kt: 1.5 * vs,
        kt_per_s: 1.0,
        fpm: -1100.0,
        bank: 42.0,
        power: 0.0,
    };
    pilot.turn_as(1080.0, goal).cruise(60.0);
    for fit in FITS {
        let one = the(&pilot, fit, Kind::SteepSpiral);
        near("turns", fit, one.fact("turns"), 3.0, 0.12);
        near(
            "bank",
            fit,
            one.fact("bank_max").to_degrees(),
            42.0,
            3.0 * wide(fit),
        );
        near(
            "speed",
            fit,
            one.fact("target_ias") / KT,
            1.5 * vs,
            3.0 * wide(fit),
        );
        // Without wind the point stays where it is: airspeed² ÷ (g tan φ).
        let tas = 1.5 * vs * KT;
        let radius = tas * tas / (9.806_65 * 42_f64.to_radians().tan());
        near(
            "radius",
            fit,
            one.fact("radius_mean"),
            radius,
            0.12 * radius,
        );
        assert!(
            one.fact("radius_variation") < 0.35,
            "{fit:?} {}",
            one.fact("radius_variation")
        );
    }
}

/// The same bank all around in wind drifts off its point: the distance varies the more, the more wind there is.
#[test]
fn prop_a_spiral_that_drifts_with_the_wind_shows_in_its_radius() {
    let varied = |wind: f64| {
        let mut pilot = Pilot::new(50.0).wind(wind, 0.0);
        let vs = pilot.vs;
        pilot.at_height(7000.0).cruise(60.0).slow_to(1.5 * vs, 1.0);
        let goal = Goal {
            kt: 1.5 * vs,
            kt_per_s: 1.0,
            fpm: -1100.0,
            bank: 40.0,
            power: 0.0,
        };
        pilot.turn_as(1080.0, goal).cruise(60.0);
        the(&pilot, Fit::Panel, Kind::SteepSpiral).fact("radius_variation")
    };
    let (calm, some, much) = (varied(0.0), varied(10.0), varied(20.0));
    assert!(calm < 0.5 * some && some < much, "{calm} {some} {much}");
}

/// Half a lazy eight: up and slower to the 90° point, down and faster to the 180° point.
fn half_eight(pilot: &mut Pilot, degrees: f64, down_fpm: f64) {
    let vs = pilot.vs;
    let goal = Goal {
        kt: 1.35 * vs,
        kt_per_s: 1.2,
        fpm: 900.0,
        bank: 20.0,
        power: 0.65,
    };
    pilot.turn_through(degrees / 2.0, goal);
    let down = Goal {
        kt: 1.9 * vs,
        fpm: down_fpm,
        ..goal
    };
    pilot.turn_as(degrees / 2.0, down);
}

#[test]
fn prop_a_lazy_eight_compares_its_points_with_the_entry() {
    for (down, low) in [(-900.0, false), (-1500.0, true)] {
        let mut pilot = Pilot::new(50.0);
        pilot.cruise(60.0);
        half_eight(&mut pilot, 180.0, down);
        pilot.cruise(2.0);
        half_eight(&mut pilot, -180.0, -900.0);
        pilot.cruise(60.0);
        for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude] {
            let one = the(&pilot, fit, Kind::LazyEight);
            let points = one
                .events
                .iter()
                .filter(|event| event.name == "point_180")
                .count();
            assert_eq!(points, 2, "{fit:?}");
            near(
                "heading",
                fit,
                one.fact("heading_at_180").to_degrees(),
                0.0,
                12.0,
            );
            near("bank", fit, one.fact("bank_max").to_degrees(), 20.0, 3.0);
            let off = one.fact("altitude_at_180") / FT;
            assert_eq!(off < -100.0, low, "{fit:?} {off} ft");
            assert!(one.fact("top_right") > 150.0 * FT, "{fit:?}");
        }
    }
}

#[test]
fn prop_an_emergency_descent_has_its_speed_bank_and_level_off() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(7000.0).cruise(60.0);
    let goal = Goal {
        kt: 2.2 * vs,
        kt_per_s: 1.5,
        fpm: -1900.0,
        bank: 35.0,
        power: 0.0,
    };
    let begun_s = pilot.t;
    pilot
        .turn_as(260.0, goal)
        .fly(12.0, Goal { bank: 0.0, ..goal });
    let level_s = pilot.t;
    pilot.cruise(80.0);
    for fit in FITS {
        let one = the(&pilot, fit, Kind::EmergencyDescent);
        near("start", fit, one.start_s, begun_s, 2.5);
        near(
            "level-off",
            fit,
            one.event("level").map_or(f64::NAN, |e| e.at_s),
            level_s,
            5.0,
        );
        near(
            "bank",
            fit,
            one.fact("bank_max").to_degrees(),
            35.0,
            3.0 * wide(fit),
        );
        near(
            "fastest",
            fit,
            one.fact("fastest_held") / KT,
            2.2 * vs,
            4.0 * wide(fit),
        );
        near(
            "sink",
            fit,
            one.fact("sink_mean") / FT * 60.0,
            1900.0,
            150.0,
        );
    }
}

/// Banked and diving; the wings come level before or after the pull.
fn upset(level_first: bool) -> Pilot {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(6000.0).cruise(60.0);
    let dive = Goal {
        kt: 2.3 * vs,
        kt_per_s: 4.0,
        fpm: -2600.0,
        bank: 45.0,
        power: 0.6,
    };
    pilot.fly(6.0, dive);
    if level_first {
        pilot.fly(
            4.0,
            Goal {
                bank: 0.0,
                power: 0.1,
                ..dive
            },
        );
        pilot.fly(
            6.0,
            Goal {
                bank: 0.0,
                fpm: 0.0,
                power: 0.1,
                ..dive
            },
        );
    } else {
        pilot.fly(3.0, Goal { fpm: 0.0, ..dive });
        pilot.fly(
            6.0,
            Goal {
                bank: 0.0,
                fpm: 0.0,
                ..dive
            },
        );
    }
    pilot.cruise(60.0);
    pilot
}

#[test]
fn prop_wings_before_the_pull_can_be_told_from_the_pull_before_the_wings() {
    for fit in [Fit::Rich, Fit::Panel] {
        let right = the(&upset(true), fit, Kind::UnusualAttitudeRecovery);
        let wrong = the(&upset(false), fit, Kind::UnusualAttitudeRecovery);
        let (right, wrong) = (
            right.fact("roll_before_pull"),
            wrong.fact("roll_before_pull"),
        );
        assert!(right > 0.0 && wrong < 0.0, "{fit:?}: {right} and {wrong} s");
    }
}

/// Nothing is made up where nothing was recorded, and nothing panics.
#[test]
fn prop_every_kind_stands_a_flight_of_which_nothing_is_known() {
    let mut nothing = common::blank(600, 1.0, Fit::Sparse);
    nothing.known = vec![false; 600];
    for (kind, _, _) in Kind::ALL {
        let span = maneuver::Span {
            kind,
            direction: maneuver::Direction::None,
            start_s: 100.0,
            end_s: 200.0,
            score: 3.0,
            agreement: maneuver::Agreement::Both,
            anchor_s: None,
            bounds: maneuver::Bounds::Sought,
        };
        let one = maneuver::phases::detail(&nothing, &aircraft(50.0), &span, &[]);
        assert!(
            one.facts.values().all(|fact| fact.value.is_finite()),
            "{kind:?}"
        );
        assert_eq!(one.kind, kind);
    }
}

/// Every figure that a kind writes down is in its list with its unit, so that a pack may name it.
#[test]
fn prop_what_a_kind_lists_is_what_it_works_out() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(7000.0).cruise(60.0);
    let goal = Goal {
        kt: 2.2 * vs,
        kt_per_s: 1.5,
        fpm: -1900.0,
        bank: 35.0,
        power: 0.0,
    };
    pilot.turn_as(260.0, goal).cruise(80.0);
    for one in maneuvers(&pilot.land(Fit::Rich), &aircraft(vs)) {
        let grammar = maneuver::kinds::grammar(one.kind);
        for figure in grammar.map_or(&[][..], |grammar| grammar.figures) {
            if let Some(fact) = one.facts.get(figure.name) {
                assert_eq!(fact.unit, figure.unit, "{:?} {}", one.kind, figure.name);
            }
        }
    }
}
