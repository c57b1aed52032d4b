//! The same pilot in another plant, and flights that are one up to the stall they differ in.
//!
//! `.ci/jsbsim cargo test --workspace --test plant` installs the other plant; without it those checks say that they were skipped.

mod support;

use air::units::M_PER_FT;
use dynamics::outside::{Earth, Outside};
use dynamics::{Airframe, Weather};
use practice::log::Flown;
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::pilot::{Pilot, STEP_S};
use practice::speeds::Speeds;
use std::path::PathBuf;
use support::{demo, pilot};

/// The other library with this airframe, or a loud word.
fn outside(name: &str, airframe: &Airframe) -> Option<Outside> {
    let Some(python) = std::env::var_os("PROOFWING_TEST_JSBSIM") else {
        eprintln!(
            "SKIPPED {name}: PROOFWING_TEST_JSBSIM is not set; run .ci/jsbsim cargo test --workspace --test plant"
        );
        return None;
    };
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("plant-{name}"));
    let plant = Outside::start(python.as_ref(), &folder, airframe, STEP_S, Earth::Round);
    Some(plant.expect("the outside library flies"))
}

fn rough() -> Weather {
    Weather {
        gust_mps: 0.8,
        wind: vec![dynamics::WindAt {
            height_m: 0.0,
            toward_mps: [-6.0, 4.0],
        }],
        ..Weather::default()
    }
}

fn faulty(entry: Entry) -> Stall {
    Stall {
        held_s: 3.0,
        late_power_s: 4.0,
        ..Stall::clean(entry)
    }
}

/// The stall from cruise; `moved` puts another plant under the pilot.
fn fly<'a>(
    airframe: &'a Airframe,
    weather: &'a Weather,
    how: &Stall,
    moved: impl FnOnce(Pilot<'a>) -> Pilot<'a>,
) -> (Pilot<'a>, Flown) {
    let mut pilot = moved(pilot(airframe, weather, 5));
    let flown = stalls::fly(&mut pilot, &Speeds::of(airframe), how);
    if let Some(lost) = pilot.lost() {
        panic!("{lost}");
    }
    (pilot, flown)
}

/// Every sample up to the full stall, to the last bit; then they part.
fn one_up_to_the_stall(clean: &(Pilot, Flown), bad: &(Pilot, Flown)) {
    let full = clean.1.moments.get("full_stall").copied().expect("a stall");
    assert_eq!(bad.1.moments.get("full_stall").copied(), Some(full));
    let rows = |pilot: &Pilot, before: bool| -> Vec<String> {
        let samples = pilot.log.samples.iter();
        samples
            .filter(|s| (s.seen.t <= full) == before)
            .map(|s| format!("{s:?}"))
            .collect()
    };
    let one = rows(&clean.0, true);
    assert!(one.len() > 300, "{}", one.len());
    assert_eq!(one, rows(&bad.0, true));
    assert_ne!(rows(&clean.0, false), rows(&bad.0, false));
}

#[test]
fn prop_flights_that_differ_in_the_recovery_are_one_up_to_the_stall() {
    let (airframe, weather) = (demo(), rough());
    for entry in [Entry::PowerOff, Entry::PowerOn, Entry::Accelerated] {
        let fly = |how: &Stall| fly(&airframe, &weather, how, |pilot| pilot);
        one_up_to_the_stall(&fly(&Stall::clean(entry)), &fly(&faulty(entry)));
    }
}

#[test]
fn prop_a_clone_of_the_pilot_flies_on_as_the_pilot_does() {
    let (airframe, weather) = (demo(), rough());
    let how = Stall::clean(Entry::PowerOff);
    let (one, _) = fly(&airframe, &weather, &how, |pilot| pilot);
    let (other, _) = fly(&airframe, &weather, &how, |pilot| pilot.clone());
    assert_eq!(
        one.flying.state.0.map(f64::to_bits),
        other.flying.state.0.map(f64::to_bits)
    );
}

#[test]
fn prop_the_same_holds_in_the_other_plant() {
    let (airframe, weather) = (demo(), rough());
    let fly = |name: &str, how: &Stall| {
        let plant = outside(name, &airframe)?;
        Some(fly(&airframe, &weather, how, |pilot| {
            pilot.in_plant(Box::new(plant)).expect("it begins")
        }))
    };
    let entry = Entry::PowerOff;
    let Some(clean) = fly("clean", &Stall::clean(entry)) else {
        return;
    };
    let bad = fly("faulty", &faulty(entry)).expect("as the first");
    one_up_to_the_stall(&clean, &bad);
}

#[test]
fn val_a_stall_costs_the_same_height_in_the_other_plant() {
    // Asked for before it was flown: the full stall within 1 s, the height it costs within 30 ft; one pilot, calm air.
    let (airframe, weather) = (demo(), Weather::default());
    for entry in [Entry::PowerOff, Entry::PowerOn] {
        let how = Stall::clean(entry);
        let Some(plant) = outside("costs", &airframe) else {
            return;
        };
        let ours = fly(&airframe, &weather, &how, |pilot| pilot);
        let theirs = fly(&airframe, &weather, &how, |pilot| {
            pilot.in_plant(Box::new(plant)).expect("it begins")
        });
        let read = |(pilot, flown): &(Pilot, Flown)| {
            let full = flown.moments.get("full_stall").copied().expect("a stall");
            let after = pilot.log.samples.iter().filter(|s| s.seen.t >= full);
            let heights: Vec<f64> = after.map(|s| s.seen.height).collect();
            let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
            (full, (heights[0] - lowest) / M_PER_FT)
        };
        let ((full, lost), (full_there, lost_there)) = (read(&ours), read(&theirs));
        println!(
            "{entry:?}: full stall at {full:.2} s, {lost:.0} ft; theirs {full_there:.2} s, {lost_there:.0} ft"
        );
        assert!((full - full_there).abs() < 1.0 && (lost - lost_there).abs() < 30.0);
    }
}
