//! Safety events on flights whose truth is known in closed form, and their silence where nothing happened.

mod common;

use air::units::{G0_MPS2, M_PER_FT, MPS_PER_KT};
use aircraft::{Aircraft, Detent};
use common::{Pilot, blank, series};
use flight::{Fit, Flaps, Flight, Origin, Series};
use maneuver::safety::{Safety, find};
use maneuver::{Agreement, Kind, Maneuver, SetBy, maneuvers};

const VS_KT: f64 = 50.0;

fn trainer() -> Aircraft {
    let mut aircraft = common::aircraft(VS_KT);
    let knots = |kt: f64| Some(kt * MPS_PER_KT);
    aircraft.speeds.va_mps = knots(105.0);
    aircraft.speeds.vno_mps = knots(125.0);
    aircraft.speeds.vne_mps = knots(150.0);
    aircraft.speeds.vfe_mps = knots(85.0);
    aircraft.speeds.approach_mps = knots(65.0);
    let detent = |deg: f64, stall: f64| Detent {
        angle_rad: deg.to_radians(),
        stall_mps: knots(stall),
        ..Detent::default()
    };
    aircraft.flaps = vec![detent(0.0, VS_KT), detent(30.0, 0.92 * VS_KT)];
    aircraft.completed()
}

/// Level in cruise at 2,000 ft above ground, at 1 Hz or another step; everything recorded.
fn cruise(seconds: f64, step_s: f64) -> Flight {
    let n = (seconds / step_s) as usize + 1;
    let mut flight = blank(n, step_s, Fit::Rich);
    let flat = |value: f64| Some(series(vec![value; n]));
    flight.ias = flat(100.0 * MPS_PER_KT);
    flight.tas = flight.ias.clone();
    flight.bank = flat(0.0);
    flight.pitch = flat(0.03);
    flight.heading = flat(1.0);
    flight.load = flat(1.0);
    flight.climb = flat(0.0);
    flight.agl = flat(2000.0 * M_PER_FT);
    let precise = [
        &mut flight.bank,
        &mut flight.pitch,
        &mut flight.heading,
        &mut flight.load,
    ];
    for series in precise.into_iter().flatten() {
        series.sigma = flight::Sigma::Constant(0.01);
    }
    flight
}

fn put(series: &mut Option<Series>, from: usize, values: &[f64]) {
    if let Some(series) = series {
        series.values[from..from + values.len()].copy_from_slice(values);
    }
}

fn ids(safety: &Safety) -> Vec<(&'static str, bool)> {
    safety
        .events
        .iter()
        .map(|event| (event.id, event.sure))
        .collect()
}

fn look(flight: &Flight) -> Safety {
    find(flight, &trainer(), &[])
}

#[test]
fn prop_an_ordinary_lesson_has_no_event() {
    let mut pilot = Pilot::new(VS_KT).gusts(0.5);
    pilot.cruise(60.0).clearing_turns().cruise(10.0);
    pilot
        .turn(360.0, 46.0)
        .cruise(10.0)
        .turn(-360.0, 50.0)
        .cruise(30.0);
    pilot.power_off_stall(0.93, 1.0, 0.0).cruise(60.0);
    pilot.power_on_stall(0.93, 1.0, 15.0).cruise(60.0);
    pilot.slow_flight(1.15, 90.0).speed_up().cruise(30.0);
    for fit in [Fit::Rich, Fit::Panel, Fit::GnssAttitude, Fit::Gnss] {
        for step_s in [1.0, 0.2] {
            let flight = pilot.sampled(fit, step_s);
            let found = maneuvers(&flight, &trainer());
            let safety = find(&flight, &trainer(), &found);
            assert_eq!(ids(&safety), [], "{fit:?} {step_s}: {:#?}", safety.events);
        }
    }
}

/// Limits of the aircraft's file; 14 CFR 91.307(c) for the angles; 14 CFR 23.337 (amendment 62, from memory) for
/// the loads: 3.8 and −0.4 of it.
#[test]
fn val_what_was_kept_up_beyond_a_limit_is_told_with_its_size() {
    type Case = (&'static str, fn(&mut Flight), f64, f64);
    let cases: [Case; 7] = [
        (
            "above_vne",
            |f| put(&mut f.ias, 50, &[154.0 * MPS_PER_KT; 4]),
            154.0 * MPS_PER_KT,
            150.0 * MPS_PER_KT,
        ),
        (
            "load_above_limit",
            |f| put(&mut f.load, 50, &[4.1; 4]),
            4.1,
            3.8,
        ),
        (
            "load_below_limit",
            |f| put(&mut f.load, 50, &[-1.8; 4]),
            -1.8,
            -1.52,
        ),
        (
            "bank_beyond_60",
            |f| put(&mut f.bank, 50, &[-1.15; 4]),
            -1.15,
            60_f64.to_radians(),
        ),
        (
            "pitch_above_30",
            |f| put(&mut f.pitch, 50, &[0.6; 4]),
            0.6,
            30_f64.to_radians(),
        ),
        (
            "pitch_below_minus_30",
            |f| put(&mut f.pitch, 50, &[-0.6; 4]),
            -0.6,
            -30_f64.to_radians(),
        ),
        (
            "sink_near_ground",
            |f| {
                put(&mut f.agl, 40, &[300.0 * M_PER_FT; 30]);
                put(&mut f.climb, 50, &[-7.0; 5]);
            },
            7.0,
            1000.0 * 0.3048 / 60.0,
        ),
    ];
    for (id, spoil, value, limit) in cases {
        let mut flight = cruise(120.0, 1.0);
        spoil(&mut flight);
        let safety = look(&flight);
        assert_eq!(ids(&safety), [(id, true)], "{:#?}", safety.events);
        let event = &safety.events[0];
        assert!((event.value.value - value).abs() < 1e-9, "{event:?}");
        assert!((event.limit - limit).abs() < 1e-9, "{event:?}");
        assert!((50.0..=54.0).contains(&event.at_s), "{event:?}");
    }
}

#[test]
fn prop_one_sample_beyond_and_noise_are_no_event() {
    let mut flight = cruise(120.0, 1.0);
    put(&mut flight.ias, 50, &[170.0 * MPS_PER_KT]);
    put(&mut flight.load, 60, &[5.0]);
    put(&mut flight.bank, 70, &[1.4]);
    put(&mut flight.ias, 90, &[151.0 * MPS_PER_KT; 5]);
    assert_eq!(ids(&look(&flight)), []);
    // Beyond by more than one and less than two of 1.2 kt and the smoother's own: probably.
    put(&mut flight.ias, 90, &[152.0 * MPS_PER_KT; 5]);
    assert_eq!(ids(&look(&flight)), [("above_vne", false)]);
}

/// A bank that was worked out from the turn, and a load from that, can be anything where a wing drops.
#[test]
fn prop_what_was_not_measured_is_not_watched() {
    let mut flight = cruise(120.0, 1.0);
    put(&mut flight.bank, 50, &[1.3; 6]);
    put(&mut flight.load, 50, &[5.0; 6]);
    for series in [&mut flight.bank, &mut flight.load] {
        series.as_mut().unwrap().origin = Origin::Derived;
    }
    let safety = look(&flight);
    assert_eq!(ids(&safety), []);
    for id in ["bank_beyond_60", "load_above_limit", "spin_entry"] {
        assert!(safety.not_watched.iter().any(|one| one.id == id), "{id}");
    }
}

/// Rate of turn of a wing at its greatest lift, g·(V/VS)²·sin φ/V, against one that swings at 120° a second
/// (FAA-H-8083-3C, chapter 5: in a spin the airplane rolls and yaws the same way, slow and nose low).
fn swinging(rate_deg_s: f64, kt: f64, bank_deg: f64, pitch_deg: f64) -> Flight {
    let step_s = 0.5;
    let mut flight = cruise(120.0, step_s);
    let (from, n) = (100, 16);
    let ramp = |i: usize, to: f64| to * (i as f64 / 4.0).min(1.0);
    let of = |f: &dyn Fn(usize) -> f64| (0..n).map(f).collect::<Vec<f64>>();
    put(&mut flight.ias, from - 8, &vec![kt * MPS_PER_KT; n + 16]);
    put(&mut flight.tas, from - 8, &vec![kt * MPS_PER_KT; n + 16]);
    put(
        &mut flight.bank,
        from,
        &of(&|i| ramp(i, -bank_deg).to_radians()),
    );
    put(
        &mut flight.pitch,
        from,
        &of(&|i| ramp(i, pitch_deg).to_radians()),
    );
    let swing = of(&|i| 1.0 - (rate_deg_s * step_s * i as f64).to_radians());
    let after = *swing.last().unwrap();
    put(&mut flight.heading, from, &swing);
    let rest = flight.clock.len - from - n;
    put(&mut flight.heading, from + n, &vec![after; rest]);
    flight
}

#[test]
fn val_a_nose_that_no_flying_wing_can_swing_is_a_spin() {
    let safety = look(&swinging(120.0, 48.0, 70.0, -50.0));
    let (first, sure) = ids(&safety)[0];
    assert_eq!((first, sure), ("spin_entry", true), "{:#?}", safety.events);
    assert!(safety.events[0].value.value < -2.0, "to the left");
    // The tightest turn at 1.2 VS and 60° of bank: within what lift allows, and no spin.
    let v = 1.2 * VS_KT * MPS_PER_KT;
    let rate = (G0_MPS2 * 1.44 * 60_f64.to_radians().sin() / v).to_degrees();
    for flight in [
        swinging(rate, 1.2 * VS_KT, 60.0, -20.0),
        // A spiral dive is fast.
        swinging(40.0, 110.0, 70.0, -40.0),
        // A wing drop that is caught: 40° of heading.
        swinging(5.0, 48.0, 50.0, -20.0),
    ] {
        let all = ids(&look(&flight));
        assert!(all.iter().all(|(id, _)| *id != "spin_entry"), "{all:?}");
    }
}

/// VS/√cos φ (FAA-H-8083-25C, chapter 5): with flaps at 46 kt, at 45° 54.7 kt, of which 1.2 is 65.6 kt.
#[test]
fn val_a_slow_turn_near_the_ground() {
    let slow = |kt: f64, bank_deg: f64, feet: f64| {
        let mut flight = cruise(120.0, 1.0);
        put(&mut flight.ias, 40, &[kt * MPS_PER_KT; 30]);
        put(&mut flight.bank, 50, &[bank_deg.to_radians(); 6]);
        put(&mut flight.agl, 40, &[feet * M_PER_FT; 30]);
        look(&flight)
    };
    let safety = slow(56.0, 45.0, 500.0);
    assert_eq!(ids(&safety), [("slow_turn_low", true)]);
    let limit_kt = safety.events[0].limit / MPS_PER_KT;
    assert!((limit_kt - 65.6).abs() < 0.1, "{limit_kt}");
    // As usual on base to final, high up, and straight: nothing.
    for (kt, bank, feet) in [
        (65.0, 28.0, 500.0),
        (56.0, 45.0, 3000.0),
        (58.0, 3.0, 400.0),
    ] {
        assert_eq!(ids(&slow(kt, bank, feet)), [], "{kt} {bank} {feet}");
    }
}

#[test]
fn val_flaps_and_controls_beyond_their_speeds() {
    let mut flight = cruise(120.0, 1.0);
    let n = flight.clock.len;
    let mut angle = series(vec![0.0; n]);
    angle.values[50..60].fill(30_f64.to_radians());
    flight.flaps = Some(Flaps {
        angle,
        out: vec![0.0; n],
        steps: Vec::new(),
    });
    let safety = look(&flight);
    assert_eq!(ids(&safety), [("flaps_above_vfe", true)]);
    assert!((safety.events[0].limit / MPS_PER_KT - 85.0).abs() < 1e-6);

    let mut flight = cruise(120.0, 1.0);
    flight.elevator = Some(series(vec![0.1; n]));
    put(&mut flight.elevator, 50, &[0.99; 3]);
    assert_eq!(ids(&look(&flight)), [], "slower than VA");
    put(&mut flight.ias, 45, &[115.0 * MPS_PER_KT; 20]);
    assert_eq!(ids(&look(&flight)), [("full_deflection_above_va", true)]);
}

fn flown(kind: Kind, start_s: f64, end_s: f64) -> Maneuver {
    Maneuver {
        kind,
        direction: maneuver::Direction::Straight,
        start_s,
        end_s,
        confidence: 0.99,
        agreement: Agreement::Both,
        set_by: SetBy::Program,
        phases: Vec::new(),
        events: Vec::new(),
        facts: Default::default(),
        missing: Default::default(),
        variants: Vec::new(),
    }
}

/// FAA-S-ACS-6C PA.VII.B: not below 1,500 ft above ground; FAA-S-ACS-7B CA.VII.D: 3,000 ft.
#[test]
fn val_least_heights_of_the_standards() {
    let mut flight = cruise(200.0, 1.0);
    let low = |kind| find(&flight, &trainer(), &[flown(kind, 20.0, 100.0)]);
    assert_eq!(ids(&low(Kind::PowerOffStall)), [], "2,000 ft");
    assert_eq!(ids(&low(Kind::SteepTurn)), [], "no published least height");
    let event = low(Kind::AcceleratedStall).events.remove(0);
    assert_eq!((event.id, event.sure), ("below_minimum_height", true));
    assert_eq!(event.maneuver, Some(0));
    put(&mut flight.agl, 60, &[1480.0 * M_PER_FT; 10]);
    let near = find(&flight, &trainer(), &[flown(Kind::SlowFlight, 20.0, 100.0)]);
    assert_eq!(
        ids(&near),
        [],
        "20 ft are within what is known of the terrain"
    );
    put(&mut flight.agl, 60, &[1200.0 * M_PER_FT; 10]);
    let low = find(&flight, &trainer(), &[flown(Kind::SlowFlight, 20.0, 100.0)]);
    assert_eq!(ids(&low), [("below_minimum_height", true)]);
    flight.agl = None;
    let unknown = find(&flight, &trainer(), &[flown(Kind::SlowFlight, 20.0, 100.0)]);
    assert!(
        unknown
            .not_watched
            .iter()
            .any(|one| one.id == "below_minimum_height")
    );
}

/// Out of a roll at 250 m, east at 50 m/s: sinking 1,500 ft/min at 300 ft above that runway is told a mile from it, with a
/// height that is derived; five miles from it nobody knows the ground, and that is said.
#[test]
fn val_near_a_runway_its_altitude_stands_for_the_ground() {
    let n = 400;
    let away = |seconds: usize| {
        let mut flight = cruise(n as f64 - 1.0, 1.0);
        flight.agl = None;
        let east = |i: usize| 50.0 * i.saturating_sub(20) as f64;
        flight.east = Some(series((0..n).map(east).collect()));
        flight.north = Some(series(vec![0.0; n]));
        let height = |i: usize| match i {
            0..20 => 250.0,
            i if (seconds..seconds + 8).contains(&i) => 250.0 + 300.0 * M_PER_FT,
            _ => 1000.0,
        };
        flight.altitude = Some(series((0..n).map(height).collect()));
        flight.height = flight.altitude.clone();
        flight.on_ground[..20].fill(true);
        put(&mut flight.climb, seconds, &[-1500.0 * M_PER_FT / 60.0; 8]);
        look(&flight)
    };
    let told = |safety: &Safety| {
        safety
            .not_watched
            .iter()
            .any(|one| one.id == "sink_near_ground")
    };
    // 1,852 m a mile at 50 m/s.
    let near = away(20 + 37);
    assert_eq!(ids(&near), [("sink_near_ground", true)]);
    assert!(told(&near), "the rest of the flight is further away");
    let far = away(20 + 5 * 37);
    assert_eq!(ids(&far), []);
    assert!(told(&far));
    let why = far.not_watched.iter().find(|one| one.id == "slow_turn_low");
    assert!(why.is_some_and(|one| one.why.contains("3 NM") && one.why.contains("derived")));
    // Without a roll nothing is known of the ground.
    let mut nowhere = cruise(50.0, 1.0);
    nowhere.agl = None;
    let safety = look(&nowhere);
    assert!(
        safety
            .not_watched
            .iter()
            .any(|one| one.why.contains("no roll"))
    );
}

#[test]
fn prop_ruins_and_holes_do_not_panic() {
    for (n, step_s) in [(0, 1.0), (1, 1.0), (2, 0.0), (5, f64::NAN), (50, 1e-9)] {
        let flight = blank(n, step_s, Fit::Rich);
        assert_eq!(look(&flight).events, []);
    }
    for spoil in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        let mut flight = swinging(120.0, 48.0, 70.0, -50.0);
        for series in [
            &mut flight.ias,
            &mut flight.bank,
            &mut flight.agl,
            &mut flight.heading,
        ] {
            series
                .as_mut()
                .unwrap()
                .values
                .iter_mut()
                .step_by(3)
                .for_each(|v| *v = spoil);
        }
        flight.known.truncate(20);
        let _ = look(&flight);
    }
    let mut flight = cruise(120.0, 1.0);
    put(&mut flight.ias, 50, &[160.0 * MPS_PER_KT; 10]);
    flight.known[45..70].fill(false);
    assert_eq!(ids(&look(&flight)), [], "nothing is known in a hole");
}
