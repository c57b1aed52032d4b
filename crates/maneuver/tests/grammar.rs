//! What tells neighbors apart: each law is one mechanism of the grammar, flown kinematically.

mod common;

use aircraft::Aircraft;
use common::{Goal, Pilot, aircraft};
use flight::{Air, Fit};
use maneuver::features::Features;
use maneuver::{Kind, Span, find, kinds, maneuvers};

const FITS: [Fit; 4] = [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss];

/// Flies toward a speed (stall speeds), level unless said otherwise.
fn goal(pilot: &Pilot, share: f64, rate: f64, power: f64) -> Goal {
    Goal {
        kt: share * pilot.vs,
        kt_per_s: rate,
        fpm: 0.0,
        bank: 0.0,
        power,
    }
}

fn kinds_of(spans: &[Span]) -> Vec<Kind> {
    spans.iter().map(|span| span.kind).collect()
}

fn told(pilot: &Pilot, fit: Fit) -> Vec<Span> {
    find(&pilot.land(fit), &aircraft(pilot.vs))
}

/// Energy that only changes its form is no emergency descent, however fast the sink.
#[test]
fn prop_height_turned_into_speed_is_no_emergency_descent() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(30.0);
    pilot.fly(60.0, goal(&pilot, 2.4, 1.0, 0.9));
    // 2.4 to 1.4 stall speeds are 420 ft, up in 20 s and down in 20 s.
    let up = Goal {
        fpm: 1300.0,
        bank: 20.0,
        ..goal(&pilot, 1.4, 2.5, 0.9)
    };
    let down = Goal {
        fpm: -1500.0,
        ..Goal {
            bank: 20.0,
            ..goal(&pilot, 2.5, 2.7, 0.9)
        }
    };
    for side in [1.0, -1.0] {
        pilot.turn_through(90.0 * side, up);
        pilot.turn_as(90.0 * side, down);
    }
    pilot.fly(60.0, goal(&pilot, 2.4, 1.0, 0.9));
    for fit in FITS {
        let flight = pilot.land(fit);
        let features = Features::new(&flight, &aircraft(50.0));
        let descents: Vec<_> = kinds::proposals(&features)
            .into_iter()
            .filter(|c| c.kind() == Some(Kind::EmergencyDescent) && c.score > 0.0)
            .collect();
        assert!(descents.is_empty(), "{fit:?}: {descents:?}");
        assert_eq!(kinds_of(&told(&pilot, fit)), [Kind::LazyEight], "{fit:?}");
    }
}

/// Slow flight, then the whole setup of a stall with its stabilized descent: each takes its own part.
#[test]
fn prop_a_stall_with_its_descent_out_of_slow_flight_is_both() {
    for descent_s in [15.0, 30.0, 45.0] {
        let mut pilot = Pilot::new(50.0);
        pilot.cruise(80.0).slow_flight(1.17, 80.0);
        let reduced_s = pilot.t;
        let descent = Goal {
            fpm: -600.0,
            ..goal(&pilot, 1.2, 0.5, 0.05)
        };
        pilot.fly(descent_s, descent);
        pilot.stall(0.0, 0.93, 0.7, 0.0).flaps(false).cruise(80.0);
        for fit in FITS {
            let spans = told(&pilot, fit);
            assert_eq!(
                kinds_of(&spans),
                [Kind::SlowFlight, Kind::PowerOffStall],
                "{fit:?} {descent_s}: {spans:#?}"
            );
            let off = spans[1].start_s - reduced_s;
            assert!(off.abs() < 6.0, "{fit:?} {descent_s}: {off} s off");
        }
    }
}

/// Slow cruise before the clearing of the throttle is no setup; a gentle deceleration is.
#[test]
fn prop_a_setup_begins_with_its_own_reduction() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0).slow_to(1.5 * 50.0, 1.0);
    pilot.fly(60.0, goal(&pilot, 1.5, 1.0, 0.45));
    let reduced_s = pilot.t;
    pilot
        .slow_to(1.25 * 50.0, 1.0)
        .stall(0.85, 0.95, 0.7, 0.0)
        .cruise(60.0);
    for fit in FITS {
        let spans = told(&pilot, fit);
        assert_eq!(kinds_of(&spans), [Kind::PowerOnStall], "{fit:?}");
        let off = spans[0].start_s - reduced_s;
        assert!(off.abs() < 5.0, "{fit:?}: {off} s off");
    }
    // 0.5 kt/s for 70 s with the power once reduced: all of it is the setup.
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(90.0);
    let reduced_s = pilot.t;
    pilot.fly(70.0, goal(&pilot, 1.2, 0.5, 0.25));
    pilot.stall(0.0, 0.93, 0.7, 0.0).cruise(60.0);
    for fit in FITS {
        let spans = told(&pilot, fit);
        assert_eq!(kinds_of(&spans), [Kind::PowerOffStall], "{fit:?}");
        let off = spans[0].start_s - reduced_s;
        assert!(off.abs() < 8.0, "{fit:?}: {off} s off");
    }
}

/// The bank is held for four seconds, up to the least speed, and recovered at the first cue.
#[test]
fn prop_an_accelerated_stall_recovered_at_its_cue() {
    for bank in [45.0, -45.0] {
        let mut pilot = Pilot::new(50.0);
        pilot.cruise(80.0).slow_to(1.35 * 50.0, 1.0);
        let pull = Goal {
            bank,
            ..goal(&pilot, 1.24, 1.0, 0.18)
        };
        pilot.fly(7.0, pull);
        let recovery = Goal {
            fpm: -500.0,
            ..goal(&pilot, 1.5, 2.3, 1.0)
        };
        pilot.fly(5.0, recovery);
        pilot.fly(
            12.0,
            Goal {
                fpm: 600.0,
                ..recovery
            },
        );
        pilot.cruise(60.0);
        for fit in [Fit::Rich, Fit::Panel] {
            let spans = told(&pilot, fit);
            assert_eq!(kinds_of(&spans), [Kind::AcceleratedStall], "{fit:?} {bank}");
        }
    }
}

/// Circles one way without a pause: cut where the bank was let go, not at half of the sum.
#[test]
fn prop_circles_in_one_go_are_cut_where_the_bank_is_least() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0);
    let steep = Goal {
        bank: 46.0,
        ..goal(&pilot, 1.9, 1.0, 0.8)
    };
    pilot.turn_through(340.0, steep);
    pilot.fly(
        3.0,
        Goal {
            bank: 15.0,
            ..steep
        },
    );
    let flattest_s = pilot.t;
    pilot.turn_as(370.0, steep).cruise(60.0);
    for fit in FITS {
        let spans = told(&pilot, fit);
        assert_eq!(kinds_of(&spans), [Kind::SteepTurn; 2], "{fit:?}");
        let off = spans[0].end_s - flattest_s;
        assert!(off.abs() < 1.6, "{fit:?}: {off} s off");
        // Each keeps to its own circle: neither takes up the rolls of the other.
        let detail = maneuvers(&pilot.land(fit), &aircraft(50.0));
        let off = [detail[0].end_s, detail[1].start_s].map(|t| t - flattest_s);
        assert!(off.iter().all(|t| t.abs() < 2.1), "{fit:?}: {off:?} s off");
    }
}

/// Crab into the wind makes an S-turn's half circles 200° and more: together they are still S-turns.
#[test]
fn prop_crabbed_half_circles_are_no_eights_on_pylons() {
    for (degrees, halves, kind) in [(200.0, 4, Kind::STurns), (205.0, 2, Kind::STurns)] {
        let mut pilot = Pilot::new(50.0);
        pilot.at_height(1300.0).cruise(60.0);
        for half in 0..halves {
            let side = if half % 2 == 0 { 1.0 } else { -1.0 };
            pilot.turn(degrees * side, 30.0);
        }
        pilot.cruise(60.0);
        for fit in FITS {
            assert_eq!(kinds_of(&told(&pilot, fit)), [kind], "{fit:?} {degrees}");
        }
    }
    let mut pilot = Pilot::new(50.0);
    pilot.at_height(1300.0).cruise(60.0);
    pilot.turn(265.0, 30.0).cruise(5.0).turn(-265.0, 30.0);
    pilot.cruise(60.0);
    for fit in FITS {
        assert_eq!(
            kinds_of(&told(&pilot, fit)),
            [Kind::EightsOnPylons],
            "{fit:?}"
        );
    }
}

/// The same gust is rougher for a slower aircraft.
#[test]
fn prop_gusts_count_by_the_stall_speed() {
    let air = |vs: f64| {
        let mut pilot = Pilot::new(vs).gusts(1.0);
        pilot.cruise(120.0);
        let mut flight = pilot.land(Fit::GnssAttitude);
        flight.gust_mps = 1.0;
        Features::new(&flight, &aircraft(vs)).air
    };
    assert_eq!(air(39.0), Air::Rough);
    assert_eq!(air(60.0), Air::Light);
}

/// Gusts in slow flight are no stalls, and in cruise neither.
#[test]
fn prop_gusts_in_slow_flight_are_no_stalls() {
    let mut pilot = Pilot::new(39.0).gusts(1.0);
    pilot
        .cruise(120.0)
        .slow_flight(1.19, 80.0)
        .speed_up()
        .cruise(120.0);
    pilot.fly(120.0, goal(&pilot, 1.5, 1.0, 0.45)).cruise(60.0);
    for fit in FITS {
        let mut flight = pilot.land(fit);
        flight.gust_mps = 1.0;
        let spans = find(&flight, &aircraft(39.0));
        assert_eq!(kinds_of(&spans), [Kind::SlowFlight], "{fit:?}: {spans:#?}");
    }
}

/// Under power and 20° of bank the heading comes round by half a circle before the wing stalls.
#[test]
fn prop_a_turning_power_on_stall_is_no_chandelle() {
    let mut pilot = Pilot::new(46.0);
    pilot.cruise(60.0).slow_to(1.25 * 46.0, 1.0);
    let climb = Goal {
        fpm: 1000.0,
        bank: 21.0,
        ..goal(&pilot, 1.1, 0.35, 0.95)
    };
    pilot.fly(20.0, climb);
    pilot.stall(0.95, 0.96, 1.0, 21.0).cruise(60.0);
    for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude] {
        let features = Features::new(&pilot.land(fit), &aircraft(46.0));
        let best = kinds::proposals(&features)
            .into_iter()
            .filter(|c| c.kind() == Some(Kind::Chandelle))
            .fold(0.0, |best: f64, c| best.max(c.score));
        assert!(best < 2.0, "{fit:?}: chandelle {best}");
        let spans = told(&pilot, fit);
        assert_eq!(
            kinds_of(&spans),
            [Kind::PowerOnStall],
            "{fit:?}: {spans:#?}"
        );
    }
}

/// Flown level out of the stall, turned to another heading, and only then climbed: the stall ends with its
/// recovery; without the turn the late climb is its end.
#[test]
fn prop_a_stall_ends_before_the_next_turn() {
    for turn in [true, false] {
        let mut pilot = Pilot::new(50.0);
        pilot.cruise(60.0).slow_to(1.35 * 50.0, 1.1);
        let sink = |fpm: f64, goal: Goal| Goal { fpm, ..goal };
        pilot.fly(18.0, sink(-450.0, goal(&pilot, 0.94, 1.2, 0.0)));
        pilot.fly(4.0, sink(-1000.0, goal(&pilot, 1.3, 3.5, 1.0)));
        pilot.fly(4.0, sink(-300.0, goal(&pilot, 1.4, 2.5, 1.0)));
        pilot.fly(12.0, goal(&pilot, 1.7, 1.5, 1.0));
        let level_s = pilot.t;
        if turn {
            pilot.turn(90.0, 20.0);
        } else {
            pilot.fly(15.0, goal(&pilot, 1.7, 1.5, 0.8));
        }
        let climb_s = pilot.t;
        pilot.fly(40.0, sink(700.0, goal(&pilot, 1.5, 1.0, 1.0)));
        pilot.cruise(40.0);
        for file in [aircraft(50.0), Aircraft::default()] {
            let spans = find(&pilot.land(Fit::Panel), &file);
            assert_eq!(kinds_of(&spans), [Kind::PowerOffStall]);
            let end_s = spans[0].end_s;
            let right = if turn {
                end_s < level_s
            } else {
                end_s > climb_s
            };
            assert!(right, "turn {turn}: {end_s}, {level_s}, {climb_s}");
        }
    }
}

/// A zoom that is pulled up right out of a figure is explained away as any other zoom.
#[test]
fn prop_a_zoom_right_after_a_steep_turn_is_no_upset() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0);
    let fast = Goal {
        bank: 46.0,
        ..goal(&pilot, 2.3, 1.0, 0.9)
    };
    pilot.fly(30.0, Goal { bank: 0.0, ..fast });
    pilot.turn_as(360.0, fast);
    let zoom = Goal {
        fpm: 2000.0,
        ..goal(&pilot, 1.32, 2.8, 0.95)
    };
    pilot.fly(18.0, zoom).cruise(60.0);
    for fit in FITS {
        let spans = told(&pilot, fit);
        assert_eq!(kinds_of(&spans), [Kind::SteepTurn], "{fit:?}: {spans:#?}");
    }
}

/// An accelerated stall is at √n stall speeds: 1.19 at 45° of bank, for n = 1/cos 45° (lift equation; FAA-H-8083-3C
/// chapter 5, accelerated stalls). With half of the power in the recovery the speed falls on through the roll-out and
/// nothing is climbed away from; the pull shows all the same, and where it was.
#[test]
fn val_a_pulled_stall_is_found_where_the_lift_was_used_up() {
    for side in [1.0, -1.0] {
        let mut pilot = Pilot::new(50.0);
        pilot.cruise(60.0).slow_to(1.36 * 50.0, 2.2);
        let banked = Goal {
            bank: 45.0 * side,
            fpm: -250.0,
            ..goal(&pilot, 1.0 / 45f64.to_radians().cos().sqrt(), 1.4, 0.2)
        };
        pilot.fly(7.5, banked);
        let stalled_s = pilot.t;
        let poorly = Goal {
            fpm: -350.0,
            ..goal(&pilot, 1.13, 0.8, 0.55)
        };
        pilot.fly(6.0, poorly);
        pilot.fly(60.0, goal(&pilot, 1.5, 0.35, 0.55));
        for fit in [Fit::Rich, Fit::Panel] {
            let spans = told(&pilot, fit);
            assert_eq!(kinds_of(&spans), [Kind::AcceleratedStall], "{fit:?} {side}");
            let anchor = spans.first().and_then(|span| span.anchor_s);
            let off = anchor.map_or(f64::NAN, |at| (at - stalled_s).abs());
            assert!(off < 1.6, "{fit:?}: {anchor:?}, pulled until {stalled_s}");
        }
    }
}

/// The same bank at twice the speed uses a third of the lift: a steep turn, and nothing is pulled.
#[test]
fn val_a_steep_turn_pulls_nothing() {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0).turn(360.0, 47.0).cruise(40.0);
    let flight = pilot.land(Fit::Panel);
    let features = Features::new(&flight, &aircraft(50.0));
    assert!(features.pulls.is_empty(), "{:?}", features.pulls);
}
