//! Laws that hold whatever is flown.

mod common;

use aircraft::Aircraft;
use common::{Pilot, aircraft, blank};
use flight::{Fit, Flight};
use maneuver::{Direction, explain, find};

fn lesson(mut pilot: Pilot) -> Pilot {
    pilot
        .cruise(60.0)
        .clearing_turns()
        .cruise(8.0)
        .turn(360.0, 45.0)
        .cruise(6.0)
        .turn(-360.0, 45.0)
        .cruise(40.0);
    pilot
        .power_off_stall(0.94, 0.7, 18.0)
        .cruise(60.0)
        .power_on_stall(0.95, 0.7, 0.0)
        .cruise(40.0);
    pilot.slow_flight(1.15, 90.0).speed_up().cruise(60.0);
    pilot
}

fn flip(direction: Direction) -> Direction {
    match direction {
        Direction::Left => Direction::Right,
        Direction::Right => Direction::Left,
        Direction::LeftRight => Direction::RightLeft,
        Direction::RightLeft => Direction::LeftRight,
        other => other,
    }
}

#[test]
fn prop_the_mirror_image_has_the_mirrored_directions() {
    let plain = find(&lesson(Pilot::new(50.0)).land(Fit::Panel), &aircraft(50.0));
    let mirror = find(
        &lesson(Pilot::new(50.0).mirrored()).land(Fit::Panel),
        &aircraft(50.0),
    );
    assert!(plain.len() >= 6, "{plain:#?}");
    assert_eq!(plain.len(), mirror.len());
    for (a, b) in plain.iter().zip(&mirror) {
        assert_eq!(a.kind, b.kind);
        assert_eq!(flip(a.direction), b.direction);
        assert!(
            (a.start_s - b.start_s).abs() < 1.1 && (a.end_s - b.end_s).abs() < 1.1,
            "{a:?} {b:?}"
        );
    }
}

#[test]
fn prop_starting_the_recorder_earlier_shifts_everything() {
    let late = find(&lesson(Pilot::new(50.0)).land(Fit::Panel), &aircraft(50.0));
    let mut pilot = Pilot::new(50.0);
    pilot.cruise(37.0);
    let early = find(&lesson(pilot).land(Fit::Panel), &aircraft(50.0));
    assert_eq!(late.len(), early.len());
    for (a, b) in late.iter().zip(&early) {
        assert_eq!((a.kind, a.direction), (b.kind, b.direction));
        assert!(
            (b.start_s - a.start_s - 37.0).abs() < 1.1 && (b.end_s - a.end_s - 37.0).abs() < 1.1,
            "{a:?} {b:?}"
        );
    }
}

#[test]
fn prop_the_rate_of_the_recorder_does_not_matter() {
    let pilot = lesson(Pilot::new(50.0));
    let slow = find(&pilot.sampled(Fit::Panel, 1.0), &aircraft(50.0));
    for step_s in [0.1, 0.2, 0.5] {
        let fast = find(&pilot.sampled(Fit::Panel, step_s), &aircraft(50.0));
        let kinds = |spans: &[maneuver::Span]| spans.iter().map(|s| s.kind).collect::<Vec<_>>();
        assert_eq!(kinds(&slow), kinds(&fast), "step {step_s} s");
    }
}

#[test]
fn prop_spans_are_in_order_apart_and_inside() {
    for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss] {
        let pilot = lesson(Pilot::new(47.0).gusts(0.8));
        let spans = find(&pilot.land(fit), &Aircraft::default());
        for span in &spans {
            assert!(
                span.start_s >= 0.0 && span.end_s > span.start_s && span.end_s <= pilot.t,
                "{span:?}"
            );
        }
        assert!(
            spans.windows(2).all(|two| two[0].end_s <= two[1].start_s),
            "{spans:#?}"
        );
    }
}

#[test]
fn prop_every_second_is_accounted_for_once() {
    let pilot = lesson(Pilot::new(50.0));
    let all = explain(&pilot.land(Fit::Panel), &aircraft(50.0));
    let mut pieces: Vec<(f64, f64)> = all.spans.iter().map(|s| (s.start_s, s.end_s)).collect();
    pieces.extend(all.legs.iter().map(|l| (l.start_s, l.end_s)));
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(pieces[0].0.abs() < 1e-9, "{pieces:?}");
    assert!(
        pieces
            .windows(2)
            .all(|two| (two[0].1 - two[1].0).abs() < 1e-6),
        "{pieces:#?}"
    );
    assert!(
        (pieces.last().unwrap().1 - pilot.t).abs() < 1.6,
        "{pieces:?}"
    );
}

#[test]
fn prop_nothing_panics_on_holes_and_ruins() {
    let whole = lesson(Pilot::new(50.0)).land(Fit::Rich);
    // Every series ruined in turn.
    let ruin: [fn(&mut Flight); 8] = [
        |f| f.ias = None,
        |f| f.altitude = None,
        |f| f.bank = None,
        |f| f.heading.as_mut().unwrap().values.fill(f64::NAN),
        |f| f.climb.as_mut().unwrap().values.truncate(100),
        |f| {
            f.ias
                .as_mut()
                .unwrap()
                .values
                .iter_mut()
                .step_by(3)
                .for_each(|v| *v = f64::INFINITY)
        },
        |f| {
            f.known
                .iter_mut()
                .skip(200)
                .take(300)
                .for_each(|k| *k = false)
        },
        |f| f.known.clear(),
    ];
    for spoil in ruin {
        let mut flight = whole.clone();
        spoil(&mut flight);
        for span in find(&flight, &aircraft(50.0)) {
            assert!(span.start_s.is_finite() && span.end_s.is_finite());
        }
    }
    for n in [0, 1, 2, 3, 7, 20] {
        assert!(find(&blank(n, 1.0, Fit::Panel), &Aircraft::default()).is_empty());
        assert!(find(&blank(n, 0.0, Fit::Panel), &Aircraft::default()).is_empty());
        assert!(find(&blank(n, f64::NAN, Fit::Gnss), &Aircraft::default()).is_empty());
    }
}

#[test]
fn prop_a_hole_of_a_minute_costs_only_what_lies_in_it() {
    let mut flight = lesson(Pilot::new(50.0)).land(Fit::Panel);
    let whole = find(&flight, &aircraft(50.0));
    let first_after = whole[0].end_s + 1.0;
    // The hole lies in the cruise before the first maneuver.
    flight
        .known
        .iter_mut()
        .skip(2)
        .take(30)
        .for_each(|k| *k = false);
    let holed = find(&flight, &aircraft(50.0));
    assert!(first_after > 60.0);
    assert_eq!(
        whole.iter().map(|s| s.kind).collect::<Vec<_>>(),
        holed.iter().map(|s| s.kind).collect::<Vec<_>>()
    );
}
