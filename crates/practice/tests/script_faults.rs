//! Every fault against the same maneuver without it: the flight changes in the direction and by about the size that
//! was asked for. The sizes asked for are what each check rests on; a bound is half to double of them unless the fault is
//! a time or a speed that the pilot controls, which comes within a few tenths or knots.

#[path = "support/scripts.rs"]
mod scripts;

use air::units::{G0_MPS2, M_PER_FT, MPS_PER_KT, wrap_pi};
use practice::faults::ALL;
use practice::log::Flown;
use practice::script::{Flight, KINDS};
use scripts::{at, between, mean, most, of, one};
use std::f64::consts::TAU;

fn pair(kind: &str, entries: &str, fault: &str) -> (Flight, Flight) {
    let clean = one(kind, entries);
    let wrong = one(kind, &format!("{entries}\nfaults = [{{ {fault} }}]"));
    (clean, wrong)
}

fn moment(flown: &Flown, name: &str) -> Option<f64> {
    flown.moments.get(name).copied()
}

const KT: f64 = MPS_PER_KT;
const FT: f64 = M_PER_FT;

#[test]
fn the_truth_names_what_was_asked_for() {
    let (clean, wrong) = pair("steep_turn", "", "id = \"bank_out_of_limits\", size = -12");
    assert!(of(&clean, "steep_turn").faults.is_empty());
    assert_eq!(of(&wrong, "steep_turn").faults, ["bank_under"]);
    assert_eq!(wrong.truth["injected_errors"][0], "bank_under");
}

#[test]
fn nothing_falls_out_of_the_sky_with_all_faults_at_once() {
    // Smoke only, where no other check goes. The faults of a go-around together end on the ground, and rightly.
    let kinds = [
        "eights_on_pylons",
        "s_turns",
        "rectangular_course",
        "takeoff",
        "power_off_180",
        "forward_slip",
        "traffic_pattern",
    ];
    for kind in KINDS.iter().filter(|kind| kinds.contains(&kind.id)) {
        // A fault of a form goes with that form alone.
        let (start, forms) = if kind.id == "takeoff" {
            ("where = \"runway\"", &["", "short_field", "soft_field"][..])
        } else {
            ("height_ft = 1000", &[""][..])
        };
        for form in forms {
            let other = |id: &str| match id {
                "obstacle_speed_not_held" => *form != "short_field",
                "left_ground_effect_early" => *form != "soft_field",
                _ => false,
            };
            let ids = kind.faults.iter().map(|fault| fault.row().id);
            let list: Vec<String> = ids
                .filter(|id| !other(id))
                .map(|id| format!("{{ id = \"{id}\" }}"))
                .collect();
            let form = if form.is_empty() {
                String::new()
            } else {
                format!("form = \"{form}\"\n")
            };
            let fly = format!(
                "[start]\n{start}\n[[fly]]\nkind = \"{}\"\n{form}faults = [{}]\n",
                kind.id,
                list.join(", ")
            );
            let flight = scripts::flown(&fly, practice::recorder::Fit::Gnss, 2);
            let flown = of(&flight, kind.id);
            assert!(flown.end_s > flown.start_s, "{}", kind.id);
            assert_eq!(flown.faults.len(), list.len(), "{}", kind.id);
        }
    }
    assert_eq!(ALL.len(), 29);
}

#[test]
fn full_power_comes_late_in_a_go_around() {
    let high = "at_height_ft = 300";
    let (clean, wrong) = pair("go_around", high, "id = \"late_full_power\", size = 3");
    let late = |flight: &Flight| {
        let flown = of(flight, "go_around");
        at(flown, "full_power") - at(flown, "decision")
    };
    assert!(late(&clean) < 0.05 && (late(&wrong) - 3.0).abs() < 0.05);
    // Power is energy by the second: six seconds on, height and speed together are less (h + V²/2g).
    let energy = |flight: &Flight| {
        let time = at(of(flight, "go_around"), "decision") + 6.0;
        let rows = between(flight, time - 0.1, time + 0.1);
        mean(&rows, |s| {
            s.seen.height + s.seen.tas.powi(2) / (2.0 * G0_MPS2)
        })
    };
    let lost = energy(&clean) - energy(&wrong);
    println!("{lost:.1} m of energy height less");
    assert!(lost > 3.0);
}

#[test]
fn clearing_turns_are_left_out() {
    let (clean, wrong) = pair("power_on_stall", "", "id = \"no_clearing_turns\"");
    let cleared = |flight: &Flight| {
        flight
            .log
            .flown
            .iter()
            .any(|one| one.kind == "clearing_turns")
    };
    assert!(cleared(&clean) && !cleared(&wrong));
    assert!(moment(of(&clean, "power_on_stall"), "clearing_turns_end").is_some());
}

#[test]
fn a_stall_too_low_is_completed_so_far_below_the_least_height() {
    // FAA-S-ACS-6C VII.B: completed no lower than 1,500 ft above the ground.
    let (clean, wrong) = pair(
        "power_off_stall",
        "",
        "id = \"below_minimum_height\", size = 300",
    );
    let lowest = |flight: &Flight| {
        let flown = of(flight, "power_off_stall");
        let rows = between(flight, at(flown, "full_stall"), flown.end_s);
        -most(&rows, |s| -s.seen.agl) / FT
    };
    println!("lowest {:.0} and {:.0} ft", lowest(&clean), lowest(&wrong));
    assert!(lowest(&clean) > 1500.0);
    assert!((lowest(&wrong) - 1200.0).abs() < 150.0);
}

#[test]
fn a_descent_not_established_is_shorter() {
    let (clean, wrong) = pair("power_off_stall", "", "id = \"not_established\", size = 2");
    let descent = |flight: &Flight| {
        let flown = of(flight, "power_off_stall");
        at(flown, "idle") - at(flown, "flap_down_3")
    };
    // Fifteen seconds is what a clean one has.
    let shorter = descent(&clean) - descent(&wrong);
    assert!((shorter - 13.0).abs() < 1.0, "{shorter}");
}

#[test]
fn whoever_does_not_trim_leaves_the_trim_where_it_is() {
    let (clean, wrong) = pair("slow_flight", "flaps_deg = 25", "id = \"not_trimmed\"");
    let moved = |flight: &Flight| {
        let flown = of(flight, "slow_flight");
        let trim = |from: f64, to: f64| mean(&between(flight, from, to), |s| s.controls.trim);
        let held = trim(at(flown, "established") + 30.0, at(flown, "recovery_input"));
        (held - trim(flown.start_s + 0.05, flown.start_s + 0.3)).abs()
    };
    println!("trim moved {:.3} and {:.3}", moved(&clean), moved(&wrong));
    // A fiftieth of the travel is where the finding says that the trim was moved.
    assert!(moved(&clean) > 0.02 && moved(&wrong) < 1e-9);
}

#[test]
fn altitude_airspeed_and_heading_go_off_by_their_sizes() {
    let height = |flight: &Flight| {
        let flown = of(flight, "steep_turn");
        mean(&between(flight, flown.end_s - 12.0, flown.end_s), |s| {
            s.seen.height
        }) / FT
    };
    let (clean, wrong) = pair("steep_turn", "", "id = \"altitude_drift\", size = -200");
    let off = height(&wrong) - height(&clean);
    println!("height {off:.0} ft");
    assert!((-260.0..-140.0).contains(&off));

    let speed = |flight: &Flight| {
        let flown = of(flight, "slow_flight");
        let end = at(flown, "recovery_input");
        mean(&between(flight, end - 20.0, end), |s| s.seen.ias) / KT
    };
    let (clean, wrong) = pair("slow_flight", "", "id = \"airspeed_drift\", size = 12");
    let off = speed(&wrong) - speed(&clean);
    println!("airspeed {off:.1} kt");
    assert!((off - 12.0).abs() < 3.0);

    let swing = |flight: &Flight| {
        let flown = of(flight, "straight_and_level");
        let rows = between(flight, flown.start_s, flown.end_s);
        let from = rows.first().expect("samples").seen.heading;
        most(&rows, |s| wrap_pi(s.seen.heading - from).abs()).to_degrees()
    };
    let (clean, wrong) = pair(
        "straight_and_level",
        "",
        "id = \"heading_wander\", size = 20",
    );
    println!("heading {:.1} and {:.1}°", swing(&clean), swing(&wrong));
    assert!(swing(&clean) < 4.0 && (12.0..26.0).contains(&swing(&wrong)));
}

#[test]
fn a_steep_turn_is_too_steep_and_rolls_out_late() {
    let bank = |flight: &Flight| {
        let flown = of(flight, "steep_turn");
        let middle = 0.5 * (flown.start_s + flown.end_s);
        mean(&between(flight, middle - 6.0, middle + 6.0), |s| {
            s.seen.bank.abs()
        })
        .to_degrees()
    };
    let (clean, wrong) = pair("steep_turn", "", "id = \"bank_out_of_limits\", size = 10");
    assert!((bank(&wrong) - bank(&clean) - 10.0).abs() < 2.0);

    let turned = |flight: &Flight| {
        let flown = of(flight, "steep_turn");
        let rows = between(flight, flown.start_s, flown.end_s);
        let steps = rows
            .windows(2)
            .map(|two| wrap_pi(two[1].seen.heading - two[0].seen.heading));
        steps.sum::<f64>().abs().to_degrees()
    };
    let (clean, wrong) = pair("steep_turn", "", "id = \"rollout_off_heading\", size = 25");
    println!("turned {:.0} and {:.0}°", turned(&clean), turned(&wrong));
    assert!((turned(&clean) - 360.0).abs() < 6.0 && (turned(&wrong) - 385.0).abs() < 8.0);
}

#[test]
fn flaps_go_down_too_fast() {
    let (clean, wrong) = pair("power_off_stall", "", "id = \"flaps_above_vfe\", size = 6");
    let over = |flight: &Flight| {
        let limit = flight.truth["aircraft"]["vfe_kias"].as_f64().expect("VFE");
        let time = at(of(flight, "power_off_stall"), "flap_down_1");
        mean(&between(flight, time - 0.1, time + 0.1), |s| s.seen.ias) / KT - limit
    };
    println!("{:.1} and {:.1} kt above VFE", over(&clean), over(&wrong));
    assert!(over(&clean) < 0.0 && (over(&wrong) - 6.0).abs() < 2.0);
}

#[test]
fn the_pull_the_cue_and_the_hold_of_a_stall_are_as_asked() {
    let kind = "power_off_stall";
    let (clean, wrong) = pair(kind, "", "id = \"pitched_up_abruptly\", size = 9");
    let rate = |flight: &Flight| {
        let flown = of(flight, kind);
        let rows = between(flight, at(flown, "pitch_up"), at(flown, "full_stall"));
        let second = rows.windows(11).map(|w| w[10].seen.pitch - w[0].seen.pitch);
        second.fold(0.0, f64::max).to_degrees()
    };
    println!("pull {:.1} and {:.1}°/s", rate(&clean), rate(&wrong));
    assert!(rate(&clean) < 5.0 && (5.0..13.0).contains(&rate(&wrong)));

    let (_, wrong) = pair(kind, "", "id = \"recovered_before_full_stall\"");
    let flown = of(&wrong, kind);
    assert!(moment(flown, "full_stall").is_none() && moment(flown, "first_cue").is_some());
    assert_eq!(flown.words["specified_recovery"], "full_stall");

    let (clean, wrong) = pair(kind, "", "id = \"stall_held\", size = 4");
    let held = |flight: &Flight| {
        let flown = of(flight, kind);
        at(flown, "recovery_start") - at(flown, "full_stall")
    };
    println!("held {:.1} and {:.1} s", held(&clean), held(&wrong));
    assert!((held(&wrong) - held(&clean) - 3.6).abs() < 1.5);
}

#[test]
fn power_and_flaps_in_the_recovery_are_as_asked() {
    let kind = "power_off_stall";
    let (clean, wrong) = pair(kind, "", "id = \"late_full_power\", size = 4.5");
    let late = |flight: &Flight| {
        let flown = of(flight, kind);
        at(flown, "full_power") - at(flown, "full_stall")
    };
    // Half a second is what a clean one takes: the same hand until then, so to the tick.
    assert!((late(&wrong) - late(&clean) - 4.0).abs() < 0.05);
    let full = at(of(&wrong, kind), "full_power");
    assert!(
        most(&between(&wrong, full - 3.5, full - 0.2), |s| s
            .controls
            .throttle)
            < 0.05
    );
    assert!(most(&between(&wrong, full, full + 2.0), |s| s.surfaces.throttle) > 0.98);

    let steps = |flight: &Flight| {
        let names = of(flight, kind).moments.keys();
        names.filter(|name| name.starts_with("flap_up")).count()
    };
    let (clean, wrong) = pair(kind, "", "id = \"flaps_retracted_together\"");
    assert_eq!((steps(&clean), steps(&wrong)), (3, 1));
    let (_, wrong) = pair(kind, "", "id = \"flaps_left_down\"");
    assert_eq!(steps(&wrong), 0);
    let end = of(&wrong, kind).end_s;
    let flap = mean(&between(&wrong, end - 1.0, end), |s| s.seen.flap).to_degrees();
    assert!((flap - 40.0).abs() < 0.5, "{flap}");

    let (clean, wrong) = pair(kind, "", "id = \"climbed_late\", size = 9");
    let climbs = |flight: &Flight| {
        let flown = of(flight, kind);
        at(flown, "positive_climb") - at(flown, "recovery_start")
    };
    let later = climbs(&wrong) - climbs(&clean);
    println!("climbs {later:.1} s later");
    assert!((4.5..13.0).contains(&later));
}

#[test]
fn what_else_goes_wrong_in_stalls_does() {
    let kind = "power_off_stall";
    let (clean, wrong) = pair(kind, "", "id = \"secondary_stall\"");
    assert!(moment(of(&clean, kind), "secondary_stall").is_none());
    assert!(moment(of(&wrong, kind), "secondary_stall").is_some());

    let (clean, wrong) = pair(kind, "", "id = \"unloaded_too_far\", size = 8");
    let low = |flight: &Flight| {
        let flown = of(flight, kind);
        let rows = between(flight, at(flown, "full_stall"), flown.end_s);
        most(&rows, |s| -s.seen.pitch).to_degrees()
    };
    println!("nose {:.1} and {:.1}° low", low(&clean), low(&wrong));
    assert!((4.0..12.0).contains(&(low(&wrong) - low(&clean))));

    let (clean, wrong) = pair(kind, "", "id = \"wing_drop\", size = -60");
    let drop = |flight: &Flight| {
        let flown = of(flight, kind);
        let rows = between(
            flight,
            at(flown, "first_cue"),
            at(flown, "full_stall") + 4.0,
        );
        most(&rows, |s| -s.seen.bank).to_degrees()
    };
    println!("left wing {:.1} and {:.1}° low", drop(&clean), drop(&wrong));
    assert!(drop(&wrong) > drop(&clean) + 8.0);

    let (clean, wrong) = pair("power_on_stall", "", "id = \"weak_power\", size = 50");
    let power = |flight: &Flight| {
        let cue = at(of(flight, "power_on_stall"), "first_cue");
        mean(&between(flight, cue - 2.0, cue), |s| s.surfaces.throttle)
    };
    assert!((power(&wrong) - 0.5).abs() < 0.01 && power(&clean) > 0.8);
}

#[test]
fn the_ball_stays_out() {
    let entry = |flight: &Flight| {
        let flown = of(flight, "slow_flight");
        let from = at(flown, "established") + 10.0;
        mean(&between(flight, from, from + 30.0), |s| s.seen.lateral_g)
    };
    let (clean, wrong) = pair("slow_flight", "", "id = \"uncoordinated\", size = 0.06");
    println!("ball {:.3} and {:.3} g", entry(&clean), entry(&wrong));
    assert!(entry(&clean).abs() < 0.01 && (entry(&wrong) - 0.06).abs() < 0.02);
}

#[test]
fn whoever_pulls_first_rolls_later_and_feels_more() {
    let low = "attitude = \"nose_low\"";
    let kind = "unusual_attitude_recovery";
    let (clean, wrong) = pair(kind, low, "id = \"pulled_before_rolling\", size = 3");
    let level = |flight: &Flight| {
        let flown = of(flight, kind);
        at(flown, "wings_level") - flown.start_s
    };
    println!(
        "level after {:.1} and {:.1} s",
        level(&clean),
        level(&wrong)
    );
    assert!((level(&wrong) - level(&clean) - 3.0).abs() < 1.0);
    let load = |flight: &Flight| {
        let start = of(flight, kind).start_s;
        most(&between(flight, start, start + 3.0), |s| {
            if s.seen.bank.abs() > 0.35 {
                s.seen.normal_g
            } else {
                0.0
            }
        })
    };
    assert!(load(&wrong) > load(&clean) + 0.3);
}

#[test]
fn without_correction_the_wind_carries_the_circle_along() {
    // Plain kinematics: at one bank in a steady wind the center moves with the wind, 15 kt for as long as a turn takes.
    let wind = "[weather]\nwind_from_deg = 210\nwind_kt = 15\n[start]\nheight_ft = 900\nheading_deg = 30\n";
    let fly = |more: &str| {
        let text = format!("{wind}[[fly]]\nkind = \"turns_around_a_point\"\nturns = 2\n{more}\n");
        scripts::flown(&text, practice::recorder::Fit::Rich, 3)
    };
    let (clean, wrong) = (fly(""), fly("faults = [{ id = \"no_wind_correction\" }]"));
    let moved = |flight: &Flight| {
        let flown = of(flight, "turns_around_a_point");
        let rows = between(flight, flown.start_s + 8.0, flown.end_s);
        let turn_s = 0.5 * (flown.end_s - flown.start_s);
        let first = between(flight, flown.start_s + 8.0, flown.start_s + 8.0 + turn_s);
        let second = between(flight, flown.end_s - turn_s, flown.end_s);
        let center = |rows: &[&practice::log::Sample]| {
            [
                mean(rows, |s| s.seen.place[0]),
                mean(rows, |s| s.seen.place[1]),
            ]
        };
        let (a, b) = (center(&first), center(&second));
        let gap = flown.end_s - turn_s - (flown.start_s + 8.0);
        assert!(rows.len() > 500);
        (b[0] - a[0]).hypot(b[1] - a[1]) / gap
    };
    let (still, carried) = (moved(&clean) / KT, moved(&wrong) / KT);
    println!("the center moves at {still:.1} and {carried:.1} kt");
    assert!(still < 4.0 && (carried - 15.0).abs() < 4.0);
    // And still air's time of a turn is 2πV/(g tan φ).
    let flown = of(&wrong, "turns_around_a_point");
    let rows = between(&wrong, flown.start_s + 8.0, flown.end_s);
    let bank = mean(&rows, |s| s.seen.bank.abs());
    let tas = mean(&rows, |s| s.seen.tas);
    let turn = TAU * tas / (G0_MPS2 * bank.tan());
    assert!((0.5 * (flown.end_s - flown.start_s) / turn - 1.0).abs() < 0.1);
}

#[test]
fn a_fast_approach_is_fast_by_as_much() {
    let (clean, wrong) = pair("landing", "", "id = \"fast_approach\", size = 12");
    let speed = |flight: &Flight| {
        let touch = at(of(flight, "landing"), "touchdown");
        mean(&between(flight, touch - 22.0, touch - 10.0), |s| s.seen.ias) / KT
    };
    println!("final at {:.1} and {:.1} kt", speed(&clean), speed(&wrong));
    assert!((speed(&wrong) - speed(&clean) - 12.0).abs() < 3.0);
}
