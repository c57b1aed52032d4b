//! A school's pack on top of a published one, and maneuvers of its own.

mod support;

use air::units::{M_PER_FT, MPS_PER_KT};
use flight::Flight;
use maneuver::{Direction, Kind};
use standard::{LimitOrigin, Pack, PackError, Verdict};

/// The worked example of the documentation, as it stands there.
fn example() -> String {
    let page = include_str!("../../../docs/standards.md");
    let from = page.find("id = \"our-school\"").unwrap();
    let text = &page[from..];
    text[..text.find("```").unwrap()].to_owned()
}

fn read(text: &str) -> Result<Pack, PackError> {
    Pack::read(text, "our-school.toml")
}

/// The example with one thing changed.
fn broken(from: &str, to: &str) -> PackError {
    let text = example();
    assert!(text.contains(from), "{from}");
    read(&text.replacen(from, to, 1)).unwrap_err()
}

/// Level, a left turn of so many degrees, a climb, a second left turn of 90 degrees, level: flown by its equations
/// (rate of turn g·tan(bank)/v), banks rolled at 7 degrees a second, the climb at 600 ft/min and VY (74 kt).
fn boxed(first_turn_deg: f64, climb_ft: f64) -> Flight {
    const V: f64 = 74.0 * MPS_PER_KT;
    const STEP: f64 = support::STEP_S;
    let (mut heading, mut bank, mut climb, mut height) = (0.0_f64, 0.0_f64, 0.0_f64, 1000.0_f64);
    let mut rows: Vec<[f64; 4]> = Vec::new();
    let mut fly = |bank_deg: f64, climb_mps: f64, until: &dyn Fn(f64, f64, usize) -> bool| {
        let mut count = 0;
        while !until(heading, height, count) {
            let (roll, pitch) = (7.0_f64.to_radians() * STEP, STEP);
            bank += (bank_deg.to_radians() - bank).clamp(-roll, roll);
            climb += (climb_mps - climb).clamp(-pitch, pitch);
            heading += 9.80665 * bank.tan() / V * STEP;
            height += climb * STEP;
            rows.push([heading, bank, climb, height]);
            count += 1;
        }
    };
    let seconds = |s: f64| move |_: f64, _: f64, count: usize| count as f64 * STEP >= s;
    // Heading turned while the wings are rolled level at a constant rate: the integral of g·tan(bank)/v.
    let rolling_out = -9.80665 / (V * 7.0_f64.to_radians()) * 20.0_f64.to_radians().cos().ln();
    fly(0.0, 0.0, &seconds(60.0));
    let first = -first_turn_deg.to_radians() + rolling_out;
    fly(-20.0, 0.0, &|heading, _, _| heading <= first);
    fly(0.0, 0.0, &seconds(3.0));
    let top = 1000.0 + climb_ft * M_PER_FT;
    fly(0.0, 3.05, &|_, height, _| height >= top);
    fly(0.0, 0.0, &seconds(3.0));
    let second = first - 90.0_f64.to_radians();
    fly(-20.0, 0.0, &|heading, _, _| heading <= second);
    fly(0.0, 0.0, &seconds(60.0));
    let column = |index: usize| rows.iter().map(|row| row[index]).collect::<Vec<f64>>();
    let mut flight = support::empty(0.0);
    let len = rows.len();
    flight.clock.len = len;
    flight.known = vec![true; len];
    flight.on_ground = vec![false; len];
    flight.power_state = vec![flight::PowerState::Unknown; len];
    flight.heading = support::series(column(0), 0.01);
    flight.track = support::series(column(0), 0.01);
    flight.bank = support::series(column(1), 0.005);
    flight.climb = support::series(column(2), 0.2);
    flight.altitude = support::series(column(3), 1.0);
    flight.height = support::series(column(3), 1.0);
    flight.ias = support::series(vec![V; len], 0.3);
    flight.tas = support::series(vec![V; len], 0.3);
    flight
}

#[test]
fn the_example_is_right_and_builds_on_the_published_pack() {
    let pack = read(&example()).unwrap();
    let base = standard::pack("faa-private").unwrap();
    assert_eq!(pack.extends.as_deref(), Some("faa-private"));
    assert_eq!(pack.edition, base.edition);
    assert_eq!(pack.tasks.len(), base.tasks.len());
    let limits = |pack: &Pack, id: &str| {
        let task = pack.task(Kind::SteepTurn).unwrap();
        let mut criteria = task.elements.iter().flat_map(|element| &element.criteria);
        let found = criteria
            .find(|criterion| criterion.id == id)
            .unwrap()
            .clone();
        (found.low, found.high, found.origin, found.note)
    };
    let (low, high, origin, note) = limits(&pack, "altitude");
    assert_eq!(
        (low, high, origin),
        (Some(-75.0), Some(75.0), LimitOrigin::Assumed)
    );
    assert!(note.contains("FAA-S-ACS-6C gives ±100 ft"), "{note}");
    assert_eq!(limits(&pack, "airspeed"), limits(&base, "airspeed"));
    assert_eq!(pack.own[0].steps.len(), 5);
}

#[test]
fn the_box_is_found_and_marked() {
    let pack = read(&example()).unwrap();
    let flight = boxed(90.0, 500.0);
    let found = standard::own::find(&flight, &support::trainer(), &[], &pack);
    assert_eq!(found.len(), 1);
    let one = &found[0];
    assert_eq!(
        (one.id.as_str(), one.direction),
        ("school_box", Direction::Left)
    );
    // It begins ten seconds before the first turn, as its first step says.
    let turn = &one.steps[1];
    assert!((turn.1 - 60.0).abs() < 2.0, "{turn:?}");
    assert!(
        (one.start_s - (one.steps[0].2 - 10.0)).abs() < 0.6,
        "{}",
        one.start_s
    );
    let mark = |id: &str| {
        one.marks
            .marks
            .iter()
            .find(|mark| mark.criterion == id)
            .unwrap()
    };
    for id in ["first_turn", "climb_airspeed", "climb_height"] {
        assert_eq!(mark(id).mark, Verdict::Met, "{:?}", mark(id));
    }
    assert_eq!(mark("first_turn").element, "school_box.E1");
    assert!((mark("first_turn").worst.unwrap() - 90.0).abs() < 2.0);
    // 500 ft, less what the level-off at either end adds or leaves.
    assert!((mark("climb_height").worst.unwrap() - 500.0).abs() < 40.0);
}

/// What does not fit the steps is none; what fits them badly is marked so.
#[test]
fn other_flying_is_none_of_it() {
    let pack = read(&example()).unwrap();
    let find = |flight: &Flight| standard::own::find(flight, &support::trainer(), &[], &pack);
    assert!(find(&boxed(150.0, 500.0)).is_empty());
    assert!(find(&boxed(90.0, 1500.0)).is_empty());
    let sloppy = find(&boxed(104.0, 500.0));
    let mark = &sloppy[0].marks.marks[0];
    assert_ne!(mark.mark, Verdict::Met, "{mark:?}");
    assert!(find(&support::empty(300.0)).is_empty());
}

/// The time of a maneuver that the program knows is never taken.
#[test]
fn known_maneuvers_go_first() {
    let pack = read(&example()).unwrap();
    let flight = boxed(90.0, 500.0);
    let known = support::maneuver(Kind::SteepTurn, Direction::Left, 58.0, 82.0);
    let found = standard::own::find(&flight, &support::trainer(), &[known], &pack);
    assert!(found.is_empty(), "{found:?}");
    let elsewhere = support::maneuver(Kind::SteepTurn, Direction::Left, 5.0, 40.0);
    let found = standard::own::find(&flight, &support::trainer(), &[elsewhere], &pack);
    assert_eq!(found.len(), 1);
}

#[test]
fn looser_needs_a_reason() {
    let wider = broken("low = -75\nhigh = 75", "low = -150\nhigh = 75");
    assert!(wider.what.contains("goes below -100"), "{wider}");
    assert!(
        wider.mend.contains("loosened") && wider.line == 8,
        "{wider}"
    );
    let text = example().replacen(
        "low = -75\nhigh = 75",
        "low = -150\nhigh = 75\nloosened = \"gusty strip\"",
        1,
    );
    let pack = read(&text).unwrap();
    let task = pack.task(Kind::SteepTurn).unwrap();
    let mut criteria = task.elements.iter().flat_map(|element| &element.criteria);
    let altitude = criteria
        .find(|criterion| criterion.id == "altitude")
        .unwrap();
    assert!(altitude.note.contains("looser") && altitude.note.contains("gusty strip"));

    let head = "extends = \"faa-private\"\n";
    let policy = |held: &str| {
        broken(
            head,
            &format!("{head}[policy]\nheld_s = {held}\nprompt_s = 5.0\nforgiven = 0\n"),
        )
    };
    assert!(
        policy("2.0").what.contains("waits longer"),
        "{}",
        policy("2.0")
    );

    // A task that takes the place of the published one must ask for all of it.
    let task = "[[task]]\nkind = \"steep_turn\"\ncode = \"X\"\ntitle = \"t\"\n[[task.element]]\ncode = \"S1\"\n\
        skill = \"s\"\n[[task.element.criterion]]\nid = \"a\"\nmeasure = \"instructor\"\nquantity = \"q\"\norigin = \"assumed\"\n";
    let less = broken("[[maneuver]]\nid", &format!("{task}[[maneuver]]\nid"));
    assert!(less.what.contains("left out"), "{less}");
    let reasoned = task.replacen("title", "loosened = \"first lessons\"\ntitle", 1);
    let text = example().replacen(
        "[[limit]]\nelement = \"PA.V.A.S5\"\ncriterion = \"altitude\"\nlow = -75\nhigh = 75\n",
        "",
        1,
    );
    let pack = read(&text.replacen(
        "[[maneuver]]\nid",
        &format!("{reasoned}[[maneuver]]\nid"),
        1,
    ));
    assert_eq!(pack.unwrap().task(Kind::SteepTurn).unwrap().code, "X");
}

#[test]
fn mistakes_are_told_with_their_place() {
    let told = |error: &PackError, what: &str, mend: &str| {
        assert!(error.line > 0 && error.column > 0, "{error}");
        assert!(
            error.what.contains(what) && error.mend.contains(mend),
            "{error}"
        );
    };
    told(
        &broken("extends = \"faa-private\"", "extends = \"faa-privat\""),
        "faa-privat",
        "did you mean faa-private?",
    );
    told(&broken("PA.V.A.S5", "PA.V.A.S9"), "PA.V.A.S9", "PA.V.A.S5");
    told(
        &broken("criterion = \"altitude\"", "criterion = \"altitute\""),
        "altitute",
        "did you mean altitude?",
    );
    told(&broken("low = -75\nhigh = 75\n", ""), "no limit", "low");
    told(
        &broken("primitive = \"climb\"", "primitive = \"loop\""),
        "loop",
        "climb",
    );
    told(
        &broken("degrees = [75, 105]", "degrees = [105, 75]"),
        "no band",
        "least",
    );
    told(
        &broken("min_s = 10}", "min_s = 10, bank_deg = [0, 5]}"),
        "no turn",
        "take it out",
    );
    told(
        &broken("window = [\"climb_out\"]", "window = [\"climb_in\"]"),
        "climb_in",
        "climb_out",
    );
    told(
        &broken("figure = \"turned\"", "figure = \"turns\""),
        "turns",
        "turned",
    );
    told(
        &broken("id = \"school_box\"", "id = \"chandelle\""),
        "program knows",
        "another id",
    );
    told(
        &broken("name = \"climb_out\"", "name = \"first_turn\""),
        "second step",
        "own name",
    );
    told(
        &broken(
            "measure = \"series\"\nseries = \"airspeed\"",
            "measure = \"bank\"",
        ),
        "climb_airspeed",
        "series",
    );
    told(
        &broken("title = \"Our school", "titel = \"Our school"),
        "titel",
        "",
    );
    let alone = read("id = \"x\"\ntitle = \"t\"\n").unwrap_err();
    assert!(alone.what.contains("missing field 'policy'"), "{alone}");
}
