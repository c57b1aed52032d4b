//! Flights of a structure that real lessons have, made kinematically: what must be found and what must not.

mod common;

use aircraft::Aircraft;
use common::{Goal, Pilot, aircraft};
use flight::Fit;
use maneuver::{Direction, Kind, Span, find};

const FITS: [Fit; 4] = [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss];

/// Kinds found, in order, in every fit and with and without the aircraft file.
fn everywhere(pilot: &Pilot, expected: &[Kind]) {
    for fit in FITS {
        for told in [true, false] {
            let file = if told {
                aircraft(pilot.vs)
            } else {
                Aircraft::default()
            };
            let spans = find(&pilot.land(fit), &file);
            let kinds: Vec<Kind> = spans.iter().map(|span| span.kind).collect();
            assert_eq!(
                kinds, expected,
                "{fit:?}, aircraft told: {told}: {spans:#?}"
            );
        }
    }
}

fn panel(pilot: &Pilot) -> Vec<Span> {
    find(&pilot.land(Fit::Panel), &aircraft(pilot.vs))
}

#[test]
fn prop_a_pair_of_steep_turns_is_two() {
    let mut pilot = Pilot::new(50.0);
    pilot
        .cruise(60.0)
        .clearing_turns()
        .cruise(10.0)
        .turn(360.0, 46.0)
        .cruise(6.0)
        .turn(-360.0, 44.0)
        .cruise(60.0);
    // One power-off stall, so that the flight shows its stall speed when the aircraft file does not.
    pilot.power_off_stall(0.93, 1.0, 0.0).cruise(60.0);
    everywhere(
        &pilot,
        &[
            Kind::ClearingTurns,
            Kind::SteepTurn,
            Kind::SteepTurn,
            Kind::PowerOffStall,
        ],
    );
    let spans = panel(&pilot);
    assert_eq!(spans[1].direction, Direction::Right);
    assert_eq!(spans[2].direction, Direction::Left);
}

#[test]
fn prop_stalls_sharp_and_gentle_are_stalls() {
    for sharpness in [1.0, 0.5, 0.25] {
        let mut pilot = Pilot::new(50.0);
        pilot
            .cruise(60.0)
            .clearing_turns()
            .cruise(4.0)
            .power_off_stall(0.95, sharpness, 0.0)
            .cruise(60.0);
        pilot
            .clearing_turns()
            .cruise(4.0)
            .power_on_stall(0.95, sharpness, 0.0)
            .cruise(60.0);
        everywhere(
            &pilot,
            &[
                Kind::ClearingTurns,
                Kind::PowerOffStall,
                Kind::ClearingTurns,
                Kind::PowerOnStall,
            ],
        );
    }
}

#[test]
fn prop_recoveries_at_the_first_cue_are_stalls() {
    let mut pilot = Pilot::new(52.0);
    pilot
        .cruise(60.0)
        .power_off_stall(1.06, 0.25, 0.0)
        .cruise(60.0)
        .power_on_stall(1.08, 0.25, 0.0)
        .cruise(60.0);
    everywhere(&pilot, &[Kind::PowerOffStall, Kind::PowerOnStall]);
}

#[test]
fn prop_turning_stalls_go_their_way() {
    let mut pilot = Pilot::new(50.0);
    pilot
        .cruise(60.0)
        .power_off_stall(0.95, 0.8, 18.0)
        .cruise(60.0)
        .power_on_stall(0.95, 0.8, -18.0)
        .cruise(60.0);
    let spans = panel(&pilot);
    let ways: Vec<(Kind, Direction)> = spans.iter().map(|s| (s.kind, s.direction)).collect();
    assert_eq!(
        ways,
        [
            (Kind::PowerOffStall, Direction::Right),
            (Kind::PowerOnStall, Direction::Left)
        ]
    );
}

#[test]
fn prop_slow_flight_long_and_short() {
    for seconds in [65.0, 90.0, 240.0] {
        let mut pilot = Pilot::new(50.0);
        pilot
            .cruise(80.0)
            .slow_flight(1.15, seconds)
            .speed_up()
            .cruise(80.0);
        everywhere(&pilot, &[Kind::SlowFlight]);
    }
}

#[test]
fn prop_a_stall_straight_out_of_slow_flight_is_both() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(80.0).slow_flight(1.16, 90.0);
    pilot.stall(0.0, 0.93, 0.6, 0.0).flaps(false).cruise(80.0);
    everywhere(&pilot, &[Kind::SlowFlight, Kind::PowerOffStall]);
}

#[test]
fn prop_chained_stalls_are_counted_one_by_one() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(80.0);
    for _ in 0..3 {
        pilot.slow_to(66.0, 1.3).stall(0.0, 0.95, 0.6, 0.0);
    }
    pilot.cruise(60.0);
    everywhere(&pilot, &[Kind::PowerOffStall; 3]);
}

#[test]
fn prop_wind_of_25_knots_changes_nothing() {
    let fly = |mut pilot: Pilot| {
        pilot
            .cruise(60.0)
            .clearing_turns()
            .cruise(8.0)
            .turn(360.0, 45.0)
            .cruise(60.0)
            .power_off_stall(0.95, 0.6, 0.0);
        pilot.cruise(60.0);
        panel(&pilot).iter().map(|s| s.kind).collect::<Vec<_>>()
    };
    assert_eq!(
        fly(Pilot::new(50.0)),
        fly(Pilot::new(50.0).wind(18.0, -18.0))
    );
}

#[test]
fn prop_rough_air_in_a_slow_aircraft() {
    // 1 m/s of gust in a 44-kt stall is 4 % of the speed.
    let mut pilot = Pilot::new(44.0).gusts(1.0);
    pilot
        .cruise(90.0)
        .clearing_turns()
        .cruise(5.0)
        .power_off_stall(0.95, 0.7, 0.0)
        .cruise(120.0);
    pilot
        .clearing_turns()
        .cruise(5.0)
        .power_on_stall(0.95, 0.7, 0.0)
        .cruise(120.0);
    let kinds: Vec<Kind> = panel(&pilot).iter().map(|s| s.kind).collect();
    assert_eq!(
        kinds,
        [
            Kind::ClearingTurns,
            Kind::PowerOffStall,
            Kind::ClearingTurns,
            Kind::PowerOnStall
        ]
    );
}

#[test]
fn prop_ordinary_flying_is_no_maneuver() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot
        .cruise(60.0)
        .turn(180.0, 22.0)
        .cruise(60.0)
        .turn(-90.0, 20.0)
        .cruise(60.0)
        .turn(30.0, 15.0)
        .cruise(60.0);
    // Slow cruise, clean.
    pilot.slow_to(1.45 * vs, 0.8);
    pilot
        .fly(
            70.0,
            Goal {
                kt: 1.45 * vs,
                kt_per_s: 1.0,
                fpm: 0.0,
                bank: 0.0,
                power: 0.45,
            },
        )
        .cruise(60.0);
    // Zoom climb: pulled up from speed, pushed over at 1.4 stall speeds.
    pilot
        .fly(
            13.0,
            Goal {
                kt: 1.4 * vs,
                kt_per_s: 2.0,
                fpm: 1900.0,
                bank: 0.0,
                power: 0.9,
            },
        )
        .cruise(60.0);
    // Climbing turn and descent.
    pilot
        .turn_as(
            90.0,
            Goal {
                kt: 1.5 * vs,
                kt_per_s: 1.0,
                fpm: 600.0,
                bank: 20.0,
                power: 1.0,
            },
        )
        .cruise(60.0);
    pilot
        .fly(
            60.0,
            Goal {
                kt: 1.8 * vs,
                kt_per_s: 1.0,
                fpm: -600.0,
                bank: 0.0,
                power: 0.3,
            },
        )
        .cruise(60.0);
    everywhere(&pilot, &[]);
}

#[test]
fn prop_an_approach_at_altitude_with_a_go_around_is_no_stall() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(90.0).slow_to(1.4 * vs, 1.0).flaps(true);
    pilot.fly(
        45.0,
        Goal {
            kt: 1.3 * vs,
            kt_per_s: 1.0,
            fpm: -500.0,
            bank: 0.0,
            power: 0.25,
        },
    );
    pilot.fly(
        6.0,
        Goal {
            kt: 1.35 * vs,
            kt_per_s: 1.0,
            fpm: 300.0,
            bank: 0.0,
            power: 1.0,
        },
    );
    pilot
        .fly(
            25.0,
            Goal {
                kt: 1.5 * vs,
                kt_per_s: 1.0,
                fpm: 700.0,
                bank: 0.0,
                power: 1.0,
            },
        )
        .flaps(false)
        .cruise(90.0);
    everywhere(&pilot, &[]);
}

#[test]
fn prop_a_chandelle_is_not_a_power_on_stall() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(80.0);
    let goal = Goal {
        kt: 1.12 * vs,
        kt_per_s: 0.75,
        fpm: 900.0,
        bank: 30.0,
        power: 1.0,
    };
    pilot
        .turn_as(90.0, goal)
        .turn_as(88.0, Goal { bank: 14.0, ..goal });
    pilot
        .fly(
            10.0,
            Goal {
                kt: 1.2 * vs,
                kt_per_s: 0.5,
                fpm: 100.0,
                bank: 0.0,
                power: 1.0,
            },
        )
        .cruise(80.0);
    for fit in FITS {
        let kinds: Vec<Kind> = find(&pilot.land(fit), &aircraft(vs))
            .iter()
            .map(|s| s.kind)
            .collect();
        assert_eq!(kinds, [Kind::Chandelle], "{fit:?}");
    }
}

#[test]
fn prop_an_accelerated_stall_needs_its_bank() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(80.0).slow_to(1.35 * vs, 1.2);
    pilot.fly(
        6.0,
        Goal {
            kt: 1.12 * vs,
            kt_per_s: 3.0,
            fpm: 200.0,
            bank: 45.0,
            power: 0.2,
        },
    );
    pilot.stall(0.2, 1.10, 0.8, 0.0).cruise(80.0);
    let kinds: Vec<Kind> = panel(&pilot).iter().map(|s| s.kind).collect();
    assert_eq!(kinds, [Kind::AcceleratedStall]);
}

#[test]
fn prop_a_steep_spiral_is_no_pair_of_steep_turns() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(60.0).slow_to(1.5 * vs, 1.0);
    let goal = Goal {
        kt: 1.5 * vs,
        kt_per_s: 1.0,
        fpm: -1100.0,
        bank: 42.0,
        power: 0.0,
    };
    pilot.turn_as(1080.0, goal).cruise(60.0);
    for fit in FITS {
        let kinds: Vec<Kind> = find(&pilot.land(fit), &aircraft(vs))
            .iter()
            .map(|s| s.kind)
            .collect();
        assert_eq!(kinds, [Kind::SteepSpiral], "{fit:?}");
    }
}

#[test]
fn prop_an_emergency_descent_is_one() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(60.0);
    let goal = Goal {
        kt: 2.2 * vs,
        kt_per_s: 1.0,
        fpm: -1900.0,
        bank: 35.0,
        power: 0.0,
    };
    pilot
        .turn_as(200.0, goal)
        .fly(12.0, Goal { bank: 0.0, ..goal })
        .cruise(80.0);
    for fit in FITS {
        let kinds: Vec<Kind> = find(&pilot.land(fit), &aircraft(vs))
            .iter()
            .map(|s| s.kind)
            .collect();
        assert_eq!(kinds, [Kind::EmergencyDescent], "{fit:?}");
    }
}

/// Half a lazy eight: up and slower to the 90° point, down and faster to the 180° point.
fn half_eight(pilot: &mut Pilot, degrees: f64) {
    let vs = pilot.vs;
    let up = Goal {
        kt: 1.35 * vs,
        kt_per_s: 1.2,
        fpm: 900.0,
        bank: 20.0,
        power: 0.65,
    };
    let down = Goal {
        kt: 1.9 * vs,
        kt_per_s: 1.2,
        fpm: -900.0,
        bank: 20.0,
        power: 0.65,
    };
    let before = pilot.t;
    pilot.turn_through(degrees / 2.0, up);
    let climbed = pilot.t - before;
    pilot.turn_as(degrees / 2.0, down);
    assert!(climbed > 10.0);
}

#[test]
fn prop_lazy_eights_whole_and_half() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0);
    half_eight(&mut pilot, 180.0);
    pilot.cruise(2.0);
    half_eight(&mut pilot, -180.0);
    pilot.cruise(90.0);
    half_eight(&mut pilot, 180.0);
    pilot.cruise(60.0);
    for fit in FITS {
        let spans = find(&pilot.land(fit), &aircraft(50.0));
        let ways: Vec<(Kind, Direction)> = spans.iter().map(|s| (s.kind, s.direction)).collect();
        assert_eq!(
            ways,
            [
                (Kind::LazyEight, Direction::RightLeft),
                (Kind::LazyEight, Direction::Right)
            ],
            "{fit:?}"
        );
    }
}

#[test]
fn prop_ground_reference_figures_are_not_taken_apart() {
    let mut pilot = Pilot::new(50.0);
    pilot
        .at_height(1300.0)
        .cruise(60.0)
        .turn(720.0, 30.0)
        .cruise(60.0);
    for side in [1.0, -1.0, 1.0, -1.0] {
        pilot.turn(180.0 * side, 28.0);
    }
    pilot.cruise(60.0).cruise(25.0);
    for _ in 0..4 {
        pilot.turn(90.0, 22.0).cruise(22.0);
    }
    pilot.cruise(60.0);
    everywhere(
        &pilot,
        &[
            Kind::TurnsAroundAPoint,
            Kind::STurns,
            Kind::RectangularCourse,
        ],
    );
}

#[test]
fn prop_upsets_are_not_stalls() {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.cruise(60.0);
    // Nose high: speed runs out at 5 kt/s.
    pilot.fly(
        8.0,
        Goal {
            kt: 1.1 * vs,
            kt_per_s: 5.5,
            fpm: 2600.0,
            bank: 20.0,
            power: 0.1,
        },
    );
    pilot
        .fly(
            10.0,
            Goal {
                kt: 1.4 * vs,
                kt_per_s: 2.0,
                fpm: -300.0,
                bank: 0.0,
                power: 1.0,
            },
        )
        .cruise(80.0);
    // Nose low.
    pilot.fly(
        5.0,
        Goal {
            kt: 2.3 * vs,
            kt_per_s: 3.0,
            fpm: -3600.0,
            bank: 40.0,
            power: 0.5,
        },
    );
    pilot
        .fly(
            6.0,
            Goal {
                kt: 2.3 * vs,
                kt_per_s: 1.0,
                fpm: 0.0,
                bank: 0.0,
                power: 0.0,
            },
        )
        .cruise(80.0);
    for fit in FITS {
        let kinds: Vec<Kind> = find(&pilot.land(fit), &aircraft(vs))
            .iter()
            .map(|s| s.kind)
            .collect();
        assert_eq!(kinds, [Kind::UnusualAttitudeRecovery; 2], "{fit:?}");
    }
}

#[test]
fn prop_a_turning_stall_with_too_much_bank_is_not_accelerated() {
    let mut pilot = Pilot::new(50.0);
    pilot
        .cruise(60.0)
        .power_off_stall(0.97, 0.7, 31.0)
        .cruise(60.0);
    assert_eq!(
        panel(&pilot).iter().map(|s| s.kind).collect::<Vec<_>>(),
        [Kind::PowerOffStall]
    );
}
