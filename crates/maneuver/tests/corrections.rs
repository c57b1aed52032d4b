//! A person's corrections of what was recognized.

mod common;

use aircraft::Aircraft;
use common::{Pilot, aircraft};
use flight::{Fit, Flight};
use maneuver::corrections::{Outcome, Was, apply};
use maneuver::{Correction, Direction, Kind, Maneuver, SetBy, maneuvers};

/// Clearing turns, a power-off stall, a steep turn to the left and one to the right, a power-on stall.
fn lesson() -> (Flight, Aircraft, Vec<Maneuver>) {
    let mut pilot = Pilot::new(48.0).wind(6.0, -4.0);
    pilot.cruise(60.0).clearing_turns().cruise(6.0);
    pilot.power_off_stall(0.95, 1.0, 0.0).cruise(60.0);
    pilot.turn(-360.0, 46.0).cruise(20.0).turn(360.0, 46.0);
    pilot
        .cruise(60.0)
        .power_on_stall(0.95, 1.0, 0.0)
        .cruise(60.0);
    let aircraft = aircraft(pilot.vs);
    let flight = pilot.land(Fit::Rich);
    let found = maneuvers(&flight, &aircraft);
    (flight, aircraft, found)
}

fn was(maneuver: &Maneuver) -> Was {
    Was {
        kind: maneuver.kind,
        start_s: maneuver.start_s,
        end_s: maneuver.end_s,
    }
}

fn set(was: Option<Was>, kind: Kind, start_s: f64, end_s: f64) -> Correction {
    Correction::Set {
        was,
        kind,
        direction: None,
        start_s,
        end_s,
    }
}

#[track_caller]
fn of(found: &[Maneuver], kind: Kind) -> &Maneuver {
    found
        .iter()
        .find(|maneuver| maneuver.kind == kind)
        .unwrap_or_else(|| panic!("no {kind:?}"))
}

/// In order, sound, without overlap of what a person set, nothing reaching out of what a person set.
#[track_caller]
fn is_sound(flight: &Flight, maneuvers: &[Maneuver]) {
    let last_s = flight.clock.time_s(flight.clock.len - 1);
    for pair in maneuvers.windows(2) {
        assert!(pair[0].start_s <= pair[1].start_s);
    }
    for (index, one) in maneuvers.iter().enumerate() {
        assert!(one.start_s < one.end_s && one.start_s >= 0.0 && one.end_s <= last_s + 1e-9);
        assert!((0.0..=1.0).contains(&one.confidence));
        if one.set_by != SetBy::Person {
            continue;
        }
        let inside = one.start_s - 1e-9..=one.end_s + 1e-9;
        assert!(one.events.iter().all(|event| inside.contains(&event.at_s)));
        for phase in &one.phases {
            assert!(inside.contains(&phase.start_s) && inside.contains(&phase.end_s));
            assert!(phase.start_s < phase.end_s);
        }
        for (_, other) in maneuvers.iter().enumerate().filter(|(at, _)| *at != index) {
            let common = one.end_s.min(other.end_s) - one.start_s.max(other.start_s);
            assert!(common < 1e-9, "{:?} over {:?}", one.kind, other.kind);
        }
    }
}

fn same(a: &Maneuver, b: &Maneuver) -> bool {
    format!("{a:?}") == format!("{b:?}")
}

/// What a person did not touch stays as it was found.
#[test]
fn prop_without_corrections_nothing_changes() {
    let (flight, aircraft, found) = lesson();
    assert!(found.len() >= 5, "{found:?}");
    let corrected = apply(&flight, &aircraft, &found, &[]);
    assert!(corrected.outcomes.is_empty());
    assert_eq!(corrected.maneuvers.len(), found.len());
    assert!(
        corrected
            .maneuvers
            .iter()
            .zip(&found)
            .all(|(a, b)| same(a, b))
    );
    let stall = of(&found, Kind::PowerOffStall);
    let dragged = set(
        Some(was(stall)),
        Kind::PowerOffStall,
        stall.start_s + 2.0,
        stall.end_s,
    );
    let corrected = apply(&flight, &aircraft, &found, &[dragged]);
    is_sound(&flight, &corrected.maneuvers);
    let touched = |one: &&Maneuver| one.kind != Kind::PowerOffStall;
    let left: Vec<&Maneuver> = corrected.maneuvers.iter().filter(touched).collect();
    let before: Vec<&Maneuver> = found.iter().filter(touched).collect();
    assert_eq!(left.len(), before.len());
    assert!(left.iter().zip(&before).all(|(a, b)| same(a, b)));
}

/// Where a drag leaves the break within, the break stays where it was: it is a fact of the flight.
#[test]
fn prop_a_dragged_boundary_stands_and_leaves_the_break() {
    let (flight, aircraft, found) = lesson();
    let stall = of(&found, Kind::PowerOffStall);
    let full_s = stall.event("full_stall").expect("a clean break").at_s;
    for moved_s in [-8.0, -3.0, 4.0, 9.0] {
        let (start_s, end_s) = (stall.start_s + moved_s, stall.end_s + 0.5 * moved_s);
        let corrections = [set(Some(was(stall)), stall.kind, start_s, end_s)];
        let corrected = apply(&flight, &aircraft, &found, &corrections);
        assert_eq!(corrected.outcomes, [Outcome::Applied]);
        is_sound(&flight, &corrected.maneuvers);
        let one = of(&corrected.maneuvers, Kind::PowerOffStall);
        assert_eq!((one.start_s, one.end_s), (start_s, end_s));
        assert_eq!((one.set_by, one.confidence), (SetBy::Person, 1.0));
        assert_eq!(one.direction, Direction::Straight);
        let again_s = one.event("full_stall").expect("still stalled").at_s;
        assert!((again_s - full_s).abs() < 0.5, "{again_s} was {full_s}");
        let lost = (one.fact("altitude_lost") - stall.fact("altitude_lost")).abs();
        assert!(lost < 3.0, "height lost moved by {lost} m");
        assert_eq!(one.phases.first().map(|phase| phase.start_s), Some(start_s));
        assert_eq!(one.phases.last().map(|phase| phase.end_s), Some(end_s));
    }
}

#[test]
fn a_wrong_kind_is_put_right() {
    let (flight, aircraft, found) = lesson();
    let stall = of(&found, Kind::PowerOnStall);
    let corrections = [set(
        Some(was(stall)),
        Kind::PowerOffStall,
        stall.start_s,
        stall.end_s,
    )];
    let corrected = apply(&flight, &aircraft, &found, &corrections);
    assert_eq!(corrected.maneuvers.len(), found.len());
    assert!(
        corrected
            .maneuvers
            .iter()
            .all(|one| one.kind != Kind::PowerOnStall)
    );
    let one = corrected.maneuvers.last().expect("there are maneuvers");
    assert_eq!((one.kind, one.set_by), (Kind::PowerOffStall, SetBy::Person));
    let apart = one.event("full_stall").unwrap().at_s - stall.event("full_stall").unwrap().at_s;
    assert!(apart.abs() < 0.5, "{apart}");
}

/// Direction from the flight: the turns were flown left and right, the clearing turns left first.
#[test]
fn directions_come_from_the_flight() {
    let (flight, aircraft, found) = lesson();
    let turns: Vec<&Maneuver> = found
        .iter()
        .filter(|one| one.kind == Kind::SteepTurn)
        .collect();
    assert_eq!(turns.len(), 2);
    for (turn, way) in turns.iter().zip([Direction::Left, Direction::Right]) {
        let removed = Correction::Remove { was: was(turn) };
        let added = set(None, Kind::SteepTurn, turn.start_s - 2.0, turn.end_s + 2.0);
        let corrected = apply(&flight, &aircraft, &found, &[removed, added]);
        assert_eq!(corrected.outcomes, [Outcome::Applied; 2]);
        let one = corrected
            .maneuvers
            .iter()
            .find(|one| one.set_by == SetBy::Person)
            .unwrap();
        assert_eq!(one.direction, way);
        let turned = one.fact("heading_turned").to_degrees().abs();
        assert!((turned - 360.0).abs() < 10.0, "{turned}");
    }
    let clearing = of(&found, Kind::ClearingTurns);
    for (kind, way) in [
        (Kind::ClearingTurns, Direction::LeftRight),
        (Kind::LazyEight, Direction::LeftRight),
        (Kind::SlowFlight, Direction::None),
        (Kind::Landing, Direction::Straight),
    ] {
        let set = set(Some(was(clearing)), kind, clearing.start_s, clearing.end_s);
        let corrected = apply(&flight, &aircraft, &found, &[set]);
        assert_eq!(of(&corrected.maneuvers, kind).direction, way, "{kind:?}");
    }
    let told = Correction::Set {
        was: Some(was(clearing)),
        kind: Kind::ClearingTurns,
        direction: Some(Direction::RightLeft),
        start_s: clearing.start_s,
        end_s: clearing.end_s,
    };
    let corrected = apply(&flight, &aircraft, &found, &[told]);
    let one = of(&corrected.maneuvers, Kind::ClearingTurns);
    assert_eq!(one.direction, Direction::RightLeft, "a person's word");
}

#[test]
fn neighbors_give_way() {
    let (flight, aircraft, found) = lesson();
    let turn = of(&found, Kind::SteepTurn);
    let (start_s, end_s) = (turn.start_s - 30.0, turn.start_s + 4.0);
    let corrections = [set(None, Kind::ClearingTurns, start_s, end_s)];
    let corrected = apply(&flight, &aircraft, &found, &corrections);
    is_sound(&flight, &corrected.maneuvers);
    let trimmed = of(&corrected.maneuvers, Kind::SteepTurn);
    assert_eq!((trimmed.start_s, trimmed.end_s), (end_s, turn.end_s));
    assert_eq!(trimmed.set_by, SetBy::Program);
    assert_eq!(trimmed.confidence, turn.confidence);
    // Four seconds of it are no turn any more.
    let most = [set(None, Kind::ClearingTurns, start_s, turn.end_s - 4.0)];
    let corrected = apply(&flight, &aircraft, &found, &most);
    is_sound(&flight, &corrected.maneuvers);
    let turns = corrected
        .maneuvers
        .iter()
        .filter(|one| one.kind == Kind::SteepTurn);
    assert_eq!(turns.count(), 1);
    // A stall whose break now belongs to another is none, however long the rest.
    let stall = of(&found, Kind::PowerOffStall);
    let full_s = stall.event("full_stall").unwrap().at_s;
    let taken = [set(None, Kind::PowerOnStall, full_s - 4.0, stall.end_s)];
    let corrected = apply(&flight, &aircraft, &found, &taken);
    is_sound(&flight, &corrected.maneuvers);
    let off = |one: &&Maneuver| one.kind == Kind::PowerOffStall;
    assert_eq!(corrected.maneuvers.iter().filter(off).count(), 0);
}

#[test]
fn each_correction_tells_what_became_of_it() {
    let (flight, aircraft, found) = lesson();
    let last_s = flight.clock.time_s(flight.clock.len - 1);
    let nowhere = Was {
        kind: Kind::Chandelle,
        start_s: 0.0,
        end_s: 50.0,
    };
    let turn = of(&found, Kind::SteepTurn);
    let corrections = [
        Correction::Remove { was: nowhere },
        set(Some(nowhere), Kind::GoAround, 2.0, 20.0),
        set(None, Kind::Landing, last_s - 20.0, last_s + 500.0),
        set(None, Kind::Landing, last_s + 1.0, last_s + 50.0),
        set(None, Kind::Landing, 30.0, 30.0),
        set(None, Kind::Landing, f64::NAN, 30.0),
        set(None, Kind::Landing, 30.0, 34.0),
        Correction::Remove { was: was(turn) },
        Correction::Remove { was: was(turn) },
    ];
    let corrected = apply(&flight, &aircraft, &found, &corrections);
    assert_eq!(
        corrected.outcomes,
        [
            Outcome::NoMatch,
            Outcome::Added,
            Outcome::Applied,
            Outcome::OutsideFlight,
            Outcome::OutsideFlight,
            Outcome::OutsideFlight,
            Outcome::TooShort,
            Outcome::Applied,
            Outcome::NoMatch,
        ]
    );
    is_sound(&flight, &corrected.maneuvers);
    let landing = of(&corrected.maneuvers, Kind::Landing);
    assert_eq!(landing.end_s, last_s, "clamped to the flight");
    for outcome in corrected.outcomes {
        assert_eq!(outcome.words().is_empty(), outcome == Outcome::Applied);
    }
}

/// Bounds that a later program puts a little differently still name the same maneuver, and never its neighbor.
#[test]
fn prop_the_meant_one_is_found_again() {
    let (flight, aircraft, found) = lesson();
    for (index, one) in found.iter().enumerate() {
        for moved_s in [-6.0, -1.0, 1.0, 6.0] {
            let was = Was {
                kind: one.kind,
                start_s: one.start_s + moved_s,
                end_s: one.end_s + 0.5 * moved_s,
            };
            let remove = [Correction::Remove { was }];
            let left = apply(&flight, &aircraft, &found, &remove).maneuvers;
            assert_eq!(left.len(), found.len() - 1);
            let others = found.iter().enumerate().filter(|(at, _)| *at != index);
            assert!(others.zip(&left).all(|((_, a), b)| same(a, b)));
        }
    }
}

/// Any kind anywhere, in any fit and on flights of which nothing is known: a maneuver with those bounds, no
/// panic, no event outside.
#[test]
fn prop_any_kind_anywhere() {
    let (rich, aircraft, _) = lesson();
    let last_s = rich.clock.time_s(rich.clock.len - 1);
    let mut sparse = rich.clone();
    (sparse.pitch, sparse.ias, sparse.bank) = (None, None, None);
    sparse.aoa = None;
    let empty = Flight::empty(rich.clock);
    for flight in [&rich, &sparse, &empty] {
        for (kind, id, _) in Kind::ALL {
            for start_s in [0.0, 61.5, 140.2, 333.0, last_s - 6.0] {
                for seconds in [5.0, 23.7, 400.0] {
                    let set = [set(None, kind, start_s, start_s + seconds)];
                    let corrected = apply(flight, &aircraft, &[], &set);
                    assert_eq!(corrected.outcomes, [Outcome::Applied], "{id} {start_s}");
                    is_sound(flight, &corrected.maneuvers);
                    let one = &corrected.maneuvers[0];
                    assert_eq!((one.kind, one.start_s), (kind, start_s));
                    assert!(
                        one.facts.values().all(|fact| fact.value.is_finite()),
                        "{id}"
                    );
                }
            }
        }
    }
}

/// The last word is the one that stands: applied in their order, a later span trims an earlier one.
#[test]
fn the_later_of_two_words_wins() {
    let (flight, aircraft, found) = lesson();
    let corrections = [
        set(None, Kind::StraightAndLevel, 10.0, 30.0),
        set(None, Kind::StraightAndLevel, 24.0, 50.0),
    ];
    let corrected = apply(&flight, &aircraft, &found, &corrections);
    is_sound(&flight, &corrected.maneuvers);
    let mine: Vec<(f64, f64)> = corrected
        .maneuvers
        .iter()
        .filter(|one| one.set_by == SetBy::Person)
        .map(|one| (one.start_s, one.end_s))
        .collect();
    assert_eq!(mine, [(10.0, 24.0), (24.0, 50.0)]);
}

/// The JSON that pages write and the store keeps: every id there and back, nothing else let in.
#[test]
fn json_goes_there_and_back() {
    let text = r#"[{"do":"set","was":{"kind":"power_on_stall","start_s":812.0,"end_s":890.5},"kind":"power_off_stall","direction":"left","start_s":805.0,"end_s":890.5},{"do":"set","was":null,"kind":"steep_turn","direction":null,"start_s":1210.0,"end_s":1248.0},{"do":"remove","was":{"kind":"clearing_turns","start_s":640.0,"end_s":690.0}}]"#;
    let corrections: Vec<Correction> = serde_json::from_str(text).unwrap();
    assert_eq!(serde_json::to_string(&corrections).unwrap(), text);
    for (kind, id, _) in Kind::ALL {
        assert_eq!(serde_json::to_string(&kind).unwrap(), format!("\"{id}\""));
        let short = format!(r#"{{"do":"set","kind":"{id}","start_s":1,"end_s":9}}"#);
        let read: Correction = serde_json::from_str(&short).unwrap();
        assert_eq!(read, set(None, kind, 1.0, 9.0));
    }
    let wrong = |text: &str| {
        serde_json::from_str::<Correction>(text)
            .unwrap_err()
            .to_string()
    };
    let kind = wrong(r#"{"do":"set","kind":"loop","start_s":1,"end_s":9}"#);
    assert!(
        kind.contains("'loop'") && kind.contains("power_off_stall"),
        "{kind}"
    );
    let way = wrong(r#"{"do":"set","kind":"steep_turn","direction":"up","start_s":1,"end_s":9}"#);
    assert!(way.contains("'up'") && way.contains("left_right"), "{way}");
    let key = wrong(r#"{"do":"set","kind":"steep_turn","start_s":1,"end_s":9,"until_s":3}"#);
    assert!(key.contains("until_s"), "{key}");
    assert!(wrong(r#"{"do":"remove","was":null}"#).contains("null"));
    assert!(wrong(r#"{"do":"swap"}"#).contains("swap"));
}
