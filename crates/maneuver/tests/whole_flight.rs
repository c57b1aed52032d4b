//! The account of the whole flight: pieces that meet, whatever was recorded and whatever a person corrected.

mod common;

use common::{Pilot, aircraft, blank};
use flight::{Fit, Flight};
use maneuver::corrections::{Was, apply};
use maneuver::{Correction, Found, Kind, Maneuver, Piece, Tile, found, tiles};

fn lesson() -> Pilot {
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(60.0).clearing_turns().cruise(6.0);
    pilot
        .turn(360.0, 46.0)
        .cruise(8.0)
        .turn(-360.0, 46.0)
        .cruise(40.0);
    pilot.power_off_stall(0.93, 1.0, 0.0).cruise(60.0);
    pilot.slow_flight(1.15, 80.0).speed_up().cruise(30.0);
    pilot
}

/// Meets end to end from 0 to the last sample, nothing empty, the sum is the flight.
fn check(flight: &Flight, maneuvers: &[Maneuver], found: &Found) -> Vec<Tile> {
    let end_s = flight.clock.time_s(flight.clock.len.saturating_sub(1));
    let all = tiles(end_s, maneuvers, &found.legs);
    assert_eq!(all.first().map_or(0.0, |tile| tile.start_s), 0.0);
    assert_eq!(
        all.last().map_or(end_s, |tile| tile.end_s),
        end_s,
        "{all:#?}"
    );
    for two in all.windows(2) {
        assert_eq!(two[0].end_s, two[1].start_s, "{all:#?}");
    }
    assert!(all.iter().all(|tile| tile.end_s > tile.start_s), "{all:#?}");
    let sum: f64 = all.iter().map(|tile| tile.end_s - tile.start_s).sum();
    assert!((sum - end_s).abs() < 1e-6);
    all
}

#[test]
fn prop_the_pieces_are_the_flight() {
    for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss] {
        for step_s in [1.0, 0.2] {
            let flight = lesson().sampled(fit, step_s);
            let found = found(&flight, &aircraft(50.0));
            assert!(found.maneuvers.len() >= 4);
            let all = check(&flight, &found.maneuvers, &found);
            for place in 0..found.maneuvers.len() {
                assert!(all.iter().any(|tile| tile.what == Piece::Maneuver(place)));
            }
        }
    }
}

#[test]
fn prop_holes_missing_channels_and_ruins_leave_no_gap() {
    let whole = lesson().sampled(Fit::Panel, 1.0);
    let spoil: [fn(&mut Flight); 6] = [
        |f| f.known[100..260].fill(false),
        |f| f.known.fill(false),
        |f| (f.east, f.north, f.track, f.ground_speed) = (None, None, None, None),
        |f| (f.ias, f.tas, f.altitude, f.height, f.climb) = (None, None, None, None, None),
        |f| f.altitude.as_mut().unwrap().values.fill(f64::NAN),
        |f| f.known.clear(),
    ];
    for ruin in spoil {
        let mut flight = whole.clone();
        ruin(&mut flight);
        let found = found(&flight, &aircraft(50.0));
        check(&flight, &found.maneuvers, &found);
    }
    for n in [0, 1, 2, 3, 30] {
        let flight = blank(n, 1.0, Fit::Sparse);
        let found = found(&flight, &aircraft(50.0));
        check(&flight, &found.maneuvers, &found);
    }
    let mut hole = whole.clone();
    hole.known[10..50].fill(false);
    let found = found(&hole, &aircraft(50.0));
    let all = check(&hole, &found.maneuvers, &found);
    let unknown = all
        .iter()
        .any(|tile| matches!(tile.what, Piece::Leg("not recorded", _)));
    assert!(unknown, "{all:#?}");
}

#[test]
fn prop_the_account_follows_a_person() {
    let flight = lesson().sampled(Fit::Panel, 1.0);
    let file = aircraft(50.0);
    let found = found(&flight, &file);
    let turn = found
        .maneuvers
        .iter()
        .position(|one| one.kind == Kind::SteepTurn)
        .unwrap();
    let one = &found.maneuvers[turn];
    let was = Was {
        kind: one.kind,
        start_s: one.start_s,
        end_s: one.end_s,
    };
    let gone = apply(
        &flight,
        &file,
        &found.maneuvers,
        &[Correction::Remove { was }],
    );
    let all = check(&flight, &gone.maneuvers, &found);
    let middle = 0.5 * (was.start_s + was.end_s);
    let there = all
        .iter()
        .find(|tile| tile.start_s <= middle && middle <= tile.end_s)
        .unwrap();
    // What a person says was no steep turn is a turn all the same.
    assert!(matches!(there.what, Piece::Leg("turn", _)), "{there:?}");

    let set = Correction::Set {
        was: Some(was),
        kind: Kind::SteepTurn,
        direction: None,
        start_s: was.start_s - 7.0,
        end_s: was.end_s - 3.0,
    };
    let moved = apply(&flight, &file, &found.maneuvers, &[set]);
    let all = check(&flight, &moved.maneuvers, &found);
    assert!(
        all.iter()
            .any(|tile| (tile.start_s - (was.start_s - 7.0)).abs() < 1e-9)
    );
}

/// A landing within a traffic pattern is told as the landing, and the pattern around it.
#[test]
fn prop_the_shorter_of_two_wins() {
    let flight = lesson().sampled(Fit::Panel, 1.0);
    let found = found(&flight, &aircraft(50.0));
    let of = |start_s: f64, end_s: f64| Maneuver {
        start_s,
        end_s,
        ..found.maneuvers[0].clone()
    };
    let nested = [of(100.0, 300.0), of(180.0, 220.0), of(290.0, 400.0)];
    let all = check(&flight, &nested, &found);
    let kinds: Vec<Piece> = all
        .iter()
        .map(|tile| tile.what)
        .filter(|what| matches!(what, Piece::Maneuver(_)))
        .collect();
    let expected = [0, 1, 0, 2].map(Piece::Maneuver);
    assert_eq!(kinds, expected);
}
