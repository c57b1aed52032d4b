//! Lessons from scripts, against physics and the handbook, and found again by the program's own reader and decoder.

#[path = "support/scripts.rs"]
mod scripts;

use air::units::{G0_MPS2, M_PER_FT, MPS_PER_KT, wrap_pi};
use flight::Surroundings;
use practice::recorder::Fit;
use practice::script::{Flight, KINDS, Script, default_airframe};
use scripts::{at, between, mean, most, of, one};
use std::f64::consts::TAU;
use std::sync::OnceLock;

/// The scripts that come along, flown once.
fn lessons() -> &'static [(String, Script, Flight)] {
    static FLOWN: OnceLock<Vec<(String, Script, Flight)>> = OnceLock::new();
    FLOWN.get_or_init(|| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/scripts");
        let airframe = default_airframe().expect("an airframe");
        let mut paths: Vec<_> = std::fs::read_dir(folder)
            .expect("the folder")
            .map(|entry| entry.expect("an entry").path())
            .collect();
        paths.sort();
        let fly = |path: &std::path::PathBuf| {
            let text = std::fs::read_to_string(path).expect("a text");
            let script = Script::parse(&text, "lesson.toml").expect("a script");
            let flight = script.fly(&airframe, Fit::Rich, 4).expect("flies");
            let name = path.file_stem().expect("a name").to_string_lossy();
            (name.into_owned(), script, flight)
        };
        paths.iter().map(fly).collect()
    })
}

#[test]
fn the_decoder_finds_what_the_scripts_flew() {
    // Kinds by the truth; at least half of each span must be shared, as `score` asks. Optional ones cannot be told.
    for (name, script, flight) in lessons() {
        let read = recording::read(
            "lesson.csv",
            flight.recording.as_bytes(),
            &recording::ReadOptions::default(),
        );
        let recording = read.expect("reads").recordings.remove(0);
        let (aircraft, _) =
            aircraft::parse(&flight.aircraft, "lesson.aircraft.toml").expect("reads");
        let ground = Surroundings {
            terrain_m: Some(script.elevation_m),
        };
        let found = pipeline::reconstruct(&recording, &aircraft, ground).found;
        for flown in flight.log.flown.iter().filter(|one| !one.optional) {
            let hit = found.iter().find(|one| {
                let shared = flown.end_s.min(one.end_s) - flown.start_s.max(one.start_s);
                one.kind.id() == flown.kind
                    && shared > 0.5 * (flown.end_s - flown.start_s)
                    && shared > 0.5 * (one.end_s - one.start_s)
            });
            let what = format!("{name}: {} at {:.0} s", flown.kind, flown.start_s);
            assert!(
                hit.is_some(),
                "{what} is not among {:?}",
                found
                    .iter()
                    .map(|m| (m.kind.id(), m.start_s.round(), m.end_s.round()))
                    .collect::<Vec<_>>()
            );
        }
        // Beside them at most one that nobody flew: the climbing turn into the downwind after the go-around looks like half
        // a lazy eight.
        let flown = flight.log.flown.iter().filter(|one| !one.optional).count();
        println!("{name}: {} found of {flown}", found.len());
        assert!(found.len() <= flown + 1, "{name}");
    }
}

#[test]
fn the_same_seed_writes_the_same_lesson() {
    let fly = |seed: u64| {
        let text = "[weather]\ngust_kt = 1.5\n[[fly]]\nkind = \"steep_turn\"\n";
        let flight = scripts::flown(text, Fit::Panel, seed);
        (flight.recording, flight.truth.to_string(), flight.aircraft)
    };
    assert_eq!(fly(3), fly(3));
    assert_ne!(fly(3).0, fly(4).0);
}

#[test]
fn every_kind_is_flown_and_its_moments_lie_inside() {
    for row in &KINDS {
        let flight = match row.id {
            "takeoff" => scripts::flown(
                "[start]\nwhere = \"runway\"\n[[fly]]\nkind = \"takeoff\"\n",
                Fit::Gnss,
                2,
            ),
            id => one(id, ""),
        };
        let flown = of(&flight, row.id);
        assert!(flown.end_s > flown.start_s + 4.0, "{}", row.id);
        for (name, time) in &flown.moments {
            let before = name.starts_with("clearing_turns");
            let inside = (flown.start_s - 1e-9..=flown.end_s + 1e-9).contains(time);
            assert!(before || inside, "{} {name} at {time}", row.id);
        }
        let end = flight.log.samples.last().expect("samples").seen.t;
        assert!(flown.end_s <= end, "{}", row.id);
        assert_eq!(flown.optional, row.optional, "{}", row.id);
    }
}

#[test]
fn a_steep_turn_takes_the_time_of_its_circle() {
    // 2πV/(g tan φ), any textbook: from 60° to 300° of the turn, at the bank and the speed that were flown.
    let flight = one("steep_turn", "direction = \"right\"");
    let flown = of(&flight, "steep_turn");
    let rows = between(&flight, flown.start_s, flown.end_s);
    let entry = rows.first().expect("samples").seen.heading;
    let turned = |s: &practice::log::Sample| (s.seen.heading - entry).rem_euclid(TAU).to_degrees();
    let inside: Vec<_> = rows
        .iter()
        .copied()
        .filter(|s| (60.0..300.0).contains(&turned(s)))
        .collect();
    let took = inside.last().expect("samples").seen.t - inside.first().expect("samples").seen.t;
    let (bank, tas) = (
        mean(&inside, |s| s.seen.bank),
        mean(&inside, |s| s.seen.tas),
    );
    let circle = TAU * tas / (G0_MPS2 * bank.tan()) * 240.0 / 360.0;
    println!("{took:.1} s, by the circle {circle:.1} s");
    assert!((took / circle - 1.0).abs() < 0.03);
}

#[test]
fn landings_touch_down_on_the_runway_where_and_as_they_should() {
    // FAA-S-ACS-6C IV.B: within 400 ft beyond the point; 7B IV.M: within 200 ft. Here 100 ft before it is let pass. A sink of more
    // than 360 ft/min on the wheels is a hard landing (common practice, no source).
    let (_, script, flight) = lessons()
        .iter()
        .find(|(name, ..)| name == "pattern")
        .expect("it is there");
    let line = script.runway.line();
    let mut landed = 0;
    for flown in flight
        .log
        .flown
        .iter()
        .filter(|one| one.moments.contains_key("touchdown"))
    {
        let time = at(flown, "touchdown");
        let rows = between(flight, time - 0.2, time);
        let place = rows.last().expect("samples").seen.place;
        let (along, across) = (line.along(place) / M_PER_FT, line.across(place));
        let point = flown.numbers["point_ft"];
        let sink = -mean(&rows, |s| s.seen.climb) / M_PER_FT * 60.0;
        println!(
            "{}: {along:.0} ft for {point} ft, {across:.1} m aside, {sink:.0} ft/min",
            flown.kind
        );
        assert!(across.abs() < 8.0 && along < script.runway.length / M_PER_FT);
        let beyond = if flown.faults.is_empty() {
            200.0
        } else {
            400.0
        };
        assert!((-100.0..beyond).contains(&(along - point)));
        assert!((0.0..360.0).contains(&sink));
        landed += 1;
    }
    assert_eq!(landed, 3);
}

#[test]
fn a_power_off_180_is_flown_without_power() {
    let (_, _, flight) = lessons()
        .iter()
        .find(|(name, ..)| name == "pattern")
        .expect("it is there");
    let flown = of(flight, "power_off_180");
    let rows = between(flight, at(flown, "idle") + 1.5, at(flown, "touchdown"));
    assert!(most(&rows, |s| s.surfaces.throttle) < 0.01);
}

#[test]
fn a_takeoff_leaves_the_ground_above_the_stall_and_climbs_at_vy() {
    let (_, script, flight) = lessons()
        .iter()
        .find(|(name, ..)| name == "pattern")
        .expect("it is there");
    let flown = of(flight, "takeoff");
    let off = at(flown, "lift_off");
    let rows = between(flight, off - 0.1, off + 0.1);
    let (speeds, kt) = (&flight.truth["aircraft"], |v: f64| v / MPS_PER_KT);
    let vs1 = speeds["vs1_kias"].as_f64().expect("VS1");
    let ias = kt(mean(&rows, |s| s.seen.ias));
    assert!((vs1..1.4 * vs1).contains(&ias), "{ias}");
    // FAA-S-ACS-6C IV.A: VY +10/−5 kt, once it is reached.
    let vy = speeds["vy_kias"].as_f64().expect("VY");
    let rows = between(flight, flown.end_s - 20.0, flown.end_s);
    let (slow, fast) = (
        -most(&rows, |s| -kt(s.seen.ias)),
        most(&rows, |s| kt(s.seen.ias)),
    );
    assert!(
        slow > vy - 5.0 && fast < vy + 10.0,
        "{slow} to {fast} for {vy}"
    );
    let place = rows.last().expect("samples").seen.place;
    assert!(script.runway.line().across(place).abs() < 40.0);
}

#[test]
fn a_turn_about_a_point_keeps_its_distance_in_wind() {
    // FAA-S-ACS-6C V.B: ±100 ft, ±10 kt. AFH ch. 7: a constant radius, not above 45° of bank. The radius within a quarter
    // (as the sample truths have it).
    let (_, _, flight) = lessons()
        .iter()
        .find(|(name, ..)| name == "ground_reference")
        .expect("it is there");
    let flown = of(flight, "turns_around_a_point");
    let rows = between(flight, flown.start_s, flown.end_s);
    let height = rows.first().expect("samples").seen.height;
    assert!(most(&rows, |s| (s.seen.height - height).abs()) < 100.0 * M_PER_FT);
    assert!(most(&rows, |s| s.seen.bank.abs()) < 46.5_f64.to_radians());
    // Steepest where the ground goes by fastest.
    let fastest = rows
        .iter()
        .max_by(|a, b| a.seen.groundspeed.total_cmp(&b.seen.groundspeed));
    let slowest = rows
        .iter()
        .min_by(|a, b| a.seen.groundspeed.total_cmp(&b.seen.groundspeed));
    let bank = |s: Option<&&practice::log::Sample>| s.expect("samples").seen.bank.abs();
    assert!(bank(fastest) > bank(slowest) + 0.1);
}

#[test]
fn eights_on_pylons_are_flown_at_the_pivotal_altitude() {
    // AFH ch. 10: ground speed in knots squared over 11.3 is the height above the pylons in feet.
    let flight = one("eights_on_pylons", "");
    let flown = of(&flight, "eights_on_pylons");
    let rows = between(&flight, flown.start_s + 5.0, at(flown, "pylon_1_end") - 3.0);
    let off = mean(&rows, |s| {
        let kt = s.seen.groundspeed / MPS_PER_KT;
        (s.seen.agl / M_PER_FT - kt * kt / 11.3).abs()
    });
    println!("{off:.0} ft from the pivotal altitude");
    assert!(off < 60.0);
}

#[test]
fn a_nose_low_recovery_loses_little_and_a_nose_high_one_does_not_stall() {
    // AFH ch. 5: power, bank, pitch; not past the load and the speed that the airplane is built for (3.8 g, VNE of the file).
    for attitude in ["nose_low", "nose_high"] {
        let flight = one(
            "unusual_attitude_recovery",
            &format!("attitude = \"{attitude}\""),
        );
        let flown = of(&flight, "unusual_attitude_recovery");
        let rows = between(&flight, flown.start_s, flown.end_s);
        assert!(most(&rows, |s| s.seen.normal_g) < 2.5);
        assert!(-most(&rows, |s| -s.seen.attached) > 0.5, "{attitude}");
        let end = rows.last().expect("samples").seen;
        assert!(end.bank.abs() < 0.1 && end.climb.abs() < 3.0);
    }
}

#[test]
fn half_turns_are_half_turns_and_three_turns_three() {
    // AFH ch. 10: a chandelle turns by 180°, a lazy eight comes back to its heading, a spiral has three turns or more.
    let turned = |kind: &str, entries: &str| {
        let flight = one(kind, entries);
        let flown = of(&flight, kind);
        let rows = between(&flight, flown.start_s, flown.end_s);
        let step = |w: &[&practice::log::Sample]| wrap_pi(w[1].seen.heading - w[0].seen.heading);
        rows.windows(2).map(step).sum::<f64>().to_degrees()
    };
    assert!((turned("chandelle", "direction = \"left\"") + 180.0).abs() < 10.0);
    assert!(turned("lazy_eight", "").abs() < 12.0);
    assert!((turned("steep_spiral", "turns = 3") - 1080.0).abs() < 15.0);
    let to = turned(
        "turn_to_heading",
        "heading_deg = 120\ndirection = \"right\"",
    );
    assert!((to - 90.0).abs() < 10.0, "{to}");
}
