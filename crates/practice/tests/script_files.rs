//! Scripts as files: those that come with the program, and what is said of wrong ones.

use practice::faults;
use practice::recorder::Fit;
use practice::script::{KINDS, Script, default_airframe};

const GOOD: &str = r#"schema = "proofwing-script-1"
name = "one"

[start]
height_ft = 3000

[[fly]]
kind = "steep_turn"
direction = "left"
faults = [{ id = "altitude_drift", size = 150 }]
"#;

/// Line, column and words of the problem of the good script with one thing changed.
fn wrong(was: &str, now: &str) -> (usize, usize, String) {
    assert_eq!(GOOD.matches(was).count(), 1, "{was} stands there once");
    let problem = Script::parse(&GOOD.replace(was, now), "s.toml").expect_err("refused");
    let text = problem.to_string();
    assert!(text.starts_with("s.toml line "), "{text}");
    assert!(!problem.mend.is_empty());
    (problem.place.line, problem.place.column, text)
}

#[test]
fn the_scripts_that_come_along_are_read() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/scripts");
    let mut read = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&path).expect("a text");
        let script = Script::parse(&text, &path.display().to_string());
        assert!(!script.expect("a script").tasks.is_empty());
        read += 1;
    }
    assert!(read >= 4);
}

#[test]
fn every_kind_of_the_debrief_can_be_asked_for() {
    let ours: Vec<&str> = KINDS.iter().map(|row| row.id).collect();
    let theirs: Vec<&str> = maneuver::Kind::ALL.iter().map(|row| row.1).collect();
    assert_eq!(ours, theirs);
}

#[test]
fn every_fault_belongs_to_some_kind_and_the_guide_tells_of_both() {
    let guide = include_str!("../../../docs/practice-flights.md");
    for row in &faults::ALL {
        let used = KINDS.iter().any(|kind| kind.faults.contains(&row.fault));
        assert!(used, "{}", row.id);
        assert!(guide.contains(&format!("`{}`", row.id)), "{}", row.id);
    }
    for kind in &KINDS {
        assert!(guide.contains(&format!("`{}`", kind.id)), "{}", kind.id);
        for key in kind.keys {
            assert!(guide.contains(&format!("`{key}`")), "{key}");
        }
    }
}

#[test]
fn what_is_wrong_is_told_with_its_place_and_how_to_mend_it() {
    let says = |found: (usize, usize, String), line: usize, column: usize, words: &str| {
        assert_eq!((found.0, found.1), (line, column), "{}", found.2);
        assert!(found.2.contains(words), "{} lacks: {words}", found.2);
    };
    says(wrong("script-1", "script-9"), 1, 10, "proofwing-script-1");
    says(
        wrong("name =", "nam ="),
        2,
        1,
        "'nam' is no entry of a script",
    );
    says(
        wrong("height_ft", "hight_ft"),
        5,
        1,
        "write one of where, height_ft",
    );
    says(
        wrong("= 3000", "= \"high\""),
        5,
        13,
        "is no number; write a number from 500 to 12000 ft",
    );
    says(wrong("= 3000", "= 90000"), 5, 13, "out of range");
    says(wrong("= 3000", "= nan"), 5, 13, "out of range");
    says(
        wrong("\"steep_turn\"", "\"steep\""),
        8,
        8,
        "write one of clearing_turns, slow_flight",
    );
    says(
        wrong("kind = \"steep_turn\"", "seconds = 3"),
        7,
        1,
        "neither or both",
    );
    says(
        wrong("direction = \"left\"", "seconds = 30"),
        9,
        1,
        "no entry of steep_turn",
    );
    says(wrong("\"left\"", "\"up\""), 9, 13, "write one of \"left\"");
    says(
        wrong("altitude_drift", "stall_held"),
        10,
        18,
        "steep_turn cannot have the fault stall_held; steep_turn can have",
    );
    says(
        wrong("altitude_drift", "sleepy"),
        10,
        18,
        "the fault sleepy is not known",
    );
    says(
        wrong("size = 150", "size = 9000"),
        10,
        43,
        "from -600 to 600 ft",
    );
    says(
        wrong("size = 150", "sise = 150"),
        10,
        36,
        "'sise' is no entry",
    );
    let open = wrong("150 }]", "150 }");
    assert!(open.0 >= 10, "{}", open.2);
}

#[test]
fn what_cannot_be_flown_one_after_the_other_is_refused() {
    let refused = |text: &str, line: usize, words: &str| {
        let problem = Script::parse(text, "s.toml").expect_err("refused");
        assert_eq!(problem.place.line, line, "{problem}");
        assert!(problem.to_string().contains(words), "{problem}");
    };
    let head = "schema = \"proofwing-script-1\"\n";
    refused(head, 1, "nothing is to be flown");
    refused(
        &format!("{head}[[fly]]\nkind = \"takeoff\"\n"),
        2,
        "while in the air",
    );
    let runway = format!("{head}[start]\nwhere = \"runway\"\n");
    refused(
        &format!("{runway}[[fly]]\nkind = \"chandelle\"\n"),
        4,
        "standing on the runway",
    );
    let twice = "[[fly]]\nkind = \"power_off_stall\"\nrecovery = \"first_indication\"\nfaults = [{ id = \"recovered_before_full_stall\" }]\n";
    refused(&format!("{head}{twice}"), 5, "no fault");
    let bank = "[[fly]]\nkind = \"power_off_stall\"\nfaults = [{ id = \"bank_out_of_limits\" }]\n";
    refused(&format!("{head}{bank}"), 4, "needs a bank");
    let time = "[start]\ntime = \"yesterday\"\n[[fly]]\nkind = \"chandelle\"\n";
    refused(&format!("{head}{time}"), 3, "no time that can be flown at");
}

#[test]
fn a_flap_angle_that_the_airframe_lacks_is_told_with_those_it_has() {
    let text = "schema = \"proofwing-script-1\"\n[[fly]]\nkind = \"slow_flight\"\nflaps_deg = 17\n";
    let script = Script::parse(text, "s.toml").expect("reads");
    let airframe = default_airframe().expect("reads");
    let problem = script.fly(&airframe, Fit::Rich, 1).expect_err("refused");
    assert_eq!((problem.place.line, problem.place.column), (4, 13));
    assert!(problem.to_string().contains("0, 10, 25, 40"), "{problem}");
}

#[test]
fn any_text_is_a_script_or_a_problem_and_never_a_crash() {
    // Every line of the good script left out, cut short and doubled.
    for (index, line) in GOOD.lines().enumerate() {
        let others: Vec<&str> = GOOD.lines().collect();
        for change in ["", &line[..line.len() / 2], "x = [", "\u{1F6E9} = 1", line] {
            let mut lines = others.clone();
            lines[index] = change;
            let _ = Script::parse(&lines.join("\n"), "s.toml");
            lines.insert(index, line);
            let _ = Script::parse(&lines.join("\n"), "s.toml");
        }
    }
}
