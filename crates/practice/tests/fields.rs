//! Takeoffs and landings on short and soft fields, by what the handbook and the standard say makes them (AFH,
//! FAA-H-8083-3C, ch. 6 and 9; FAA-S-ACS-6C, PA.IV.C to F).

#[path = "support/scripts.rs"]
mod scripts;

use air::units::{M_PER_FT, MPS_PER_KT};
use practice::log::Sample;
use practice::recorder::Fit;
use practice::script::{Flight, Script};
use scripts::{at, between, flown, of};

const KT: f64 = MPS_PER_KT;

fn takeoff(entries: &str) -> Flight {
    let text = format!(
        "[start]\nwhere = \"runway\"\n[pilot]\nwander = 0.3\n[[fly]]\nkind = \"takeoff\"\n{entries}\n"
    );
    flown(&text, Fit::Rich, 3)
}

fn landing(entries: &str) -> Flight {
    let text = format!(
        "[start]\nheight_ft = 1000\n[pilot]\nwander = 0.3\n[[fly]]\nkind = \"landing\"\n{entries}\n"
    );
    flown(&text, Fit::Rich, 3)
}

/// VX as the flight's own aircraft file and truth have it, m/s.
fn vx(flight: &Flight) -> f64 {
    flight.truth["aircraft"]["vx_kias"].as_f64().expect("VX") * KT
}

fn first(samples: &[&Sample], is: impl Fn(&Sample) -> bool) -> Sample {
    **samples.iter().find(|s| is(s)).expect("it happens")
}

#[test]
fn off_a_short_field_the_power_comes_against_the_brakes_and_vx_clears_the_obstacle() {
    // PA.IV.E.S7 (power against the brakes), S10 (+10/−5 kt of the obstacle speed until 50 ft).
    let flight = takeoff("form = \"short_field\"");
    let one = of(&flight, "takeoff");
    let all = between(&flight, one.start_s, one.end_s);
    let held = all
        .iter()
        .filter(|s| s.surfaces.throttle > 0.95 && s.seen.groundspeed < 0.5);
    assert!(held.count() >= 20, "two seconds of full power standing");
    let over = between(&flight, at(one, "obstacle_height"), one.end_s)[0].seen;
    let off = (over.ias - vx(&flight)) / KT;
    println!("at 50 ft {off:.1} kt of VX");
    assert!((-5.0..10.0).contains(&off));
    let wrong = takeoff(
        "form = \"short_field\"\nfaults = [{ id = \"obstacle_speed_not_held\", size = 16 }]",
    );
    let one = of(&wrong, "takeoff");
    let over = between(&wrong, at(one, "obstacle_height"), one.end_s)[0].seen;
    let off = (over.ias - vx(&wrong)) / KT;
    println!("with the fault {off:.1} kt");
    assert!((10.0..22.0).contains(&off));
}

#[test]
fn off_a_soft_field_it_leaves_the_wheels_early_and_the_cushion_late() {
    // PA.IV.C.S6 (no stop), S8 (weight to the wings early), S9 (lowest airspeed, in ground effect until VX or VY).
    let hard = takeoff("");
    let flight = takeoff("form = \"soft_field\"");
    let lift_off = |flight: &Flight| {
        let one = of(flight, "takeoff");
        between(flight, at(one, "lift_off"), one.end_s)[0].seen.ias
    };
    println!(
        "{:.1}, {:.1} kt",
        lift_off(&flight) / KT,
        lift_off(&hard) / KT
    );
    assert!(lift_off(&flight) < lift_off(&hard) - 1.0 * KT);
    let one = of(&flight, "takeoff");
    let roll = between(&flight, one.start_s, at(one, "lift_off"));
    assert!(roll.iter().all(|s| s.seen.groundspeed > 1.0), "no stop");
    let nose = first(&roll, |s| s.seen.pitch > 5_f64.to_radians());
    assert!(nose.seen.ias < 45.0 * KT, "nose wheel off early");
    // Out of ground effect a span above the ground (FAA-H-8083-25C, ch. 5): VX less 5 kt at least (assumed in the packs).
    let span = |flight: &Flight| {
        let one = of(flight, "takeoff");
        let air = between(flight, at(one, "lift_off"), one.end_s);
        (first(&air, |s| s.seen.agl > 12.0).seen.ias - vx(flight)) / KT
    };
    println!("a span up {:.1} kt of VX", span(&flight));
    assert!(span(&flight) > -3.0);
    let wrong = takeoff(
        "form = \"soft_field\"\nfaults = [{ id = \"left_ground_effect_early\", size = 8 }]",
    );
    println!("early {:.1} kt", span(&wrong));
    assert!((-11.0..-5.0).contains(&span(&wrong)));
}

#[test]
fn on_a_short_field_it_touches_at_the_point_and_stops_soon() {
    // PA.IV.F.S10: 0 to 200 ft beyond the point, hardly any float; S11: brakes.
    let hard = landing("point_ft = 500");
    let flight = landing("form = \"short_field\"\npoint_ft = 500");
    let beyond = |flight: &Flight| of(flight, "landing").numbers["touchdown_distance_ft"] - 500.0;
    println!("{} ft beyond, usual {}", beyond(&flight), beyond(&hard));
    assert!((0.0..200.0).contains(&beyond(&flight)));
    let roll = |flight: &Flight| {
        let touched = at(of(flight, "landing"), "touchdown");
        let after = between(flight, touched, touched + 60.0);
        let stops = first(&after, |s| s.seen.groundspeed < 3.0).seen;
        let place = after[0].seen.place;
        (stops.place[0] - place[0]).hypot(stops.place[1] - place[1])
    };
    println!("roll {:.0} m, usual {:.0} m", roll(&flight), roll(&hard));
    assert!(roll(&flight) < 0.8 * roll(&hard));
    let long = landing(
        "form = \"short_field\"\npoint_ft = 500\nfaults = [{ id = \"long_touchdown\", size = 600 }]",
    );
    println!("long: {} ft", beyond(&long));
    assert!((beyond(&long) - beyond(&flight) - 600.0).abs() < 150.0);
}

#[test]
fn on_a_soft_field_the_nose_stays_up() {
    // PA.IV.D.S9, S10: the nose wheel held off, the least sink; 180 ft/min and 2 s are assumed in the packs.
    // On three wheels the demonstration's airplane points 2° down.
    let nose = |flight: &Flight| {
        let touched = at(of(flight, "landing"), "touchdown");
        let after = between(flight, touched, touched + 30.0);
        let up = first(&after, |s| s.seen.pitch < -1.3_f64.to_radians())
            .seen
            .t
            - touched;
        let before = between(flight, touched - 0.5, touched);
        let sink = -before
            .iter()
            .map(|s| s.seen.climb)
            .fold(f64::INFINITY, f64::min);
        (up, sink * 60.0 / M_PER_FT)
    };
    let (up, sink) = nose(&landing("form = \"soft_field\""));
    println!("nose up {up:.1} s, sink {sink:.0} ft/min");
    assert!(up > 3.0 && sink < 180.0);
    let (up, _) = nose(&landing(
        "form = \"soft_field\"\nfaults = [{ id = \"nose_not_held_off\" }]",
    ));
    println!("not held {up:.1} s");
    assert!(up < 2.0);
}

#[test]
fn a_fault_of_a_form_asks_for_the_form() {
    for (kind, id) in [
        ("takeoff", "obstacle_speed_not_held"),
        ("takeoff", "left_ground_effect_early"),
        ("landing", "nose_not_held_off"),
    ] {
        let start = if kind == "takeoff" {
            "where = \"runway\""
        } else {
            "height_ft = 1000"
        };
        let text = format!(
            "schema = \"proofwing-script-1\"\n[start]\n{start}\n[[fly]]\nkind = \"{kind}\"\nfaults = [{{ id = \"{id}\" }}]\n"
        );
        let problem = Script::parse(&text, "check.toml")
            .expect_err("refused")
            .to_string();
        assert!(problem.contains("form = \"s"), "{problem}");
    }
}
