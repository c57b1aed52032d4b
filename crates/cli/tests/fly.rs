//! `proofwing fly` as a person uses it: what it prints, what it writes and does not, how it ends.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../data")
        .join(name)
}

fn fly(folder: &Path, words: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_proofwing"));
    let output = command.arg("fly").args(words).current_dir(folder).output();
    output.unwrap()
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

const SHORT: &str = "schema = \"proofwing-script-1\"\nname = \"short\"\n[[fly]]\nleg = \"cruise\"\nseconds = 5\n\n[[fly]]\nkind = \"steep_turn\"\nfaults = [{ id = \"altitude_drift\" }]\n";

#[test]
fn a_flight_is_written_with_its_truth_and_its_aircraft_and_debriefed_at_once() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("s.toml"), SHORT).unwrap();
    let output = fly(
        folder.path(),
        &[
            "s.toml",
            "--seed",
            "3",
            "--recorder",
            "panel",
            "--out",
            "f.csv",
        ],
    );
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let text = said(&output.stdout);
    assert!(text.contains("steep_turn: altitude_drift"), "{text}");
    assert!(text.contains("A training aid for use on the ground"));
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let truth = std::fs::read(folder.path().join("f.truth.json")).unwrap();
    let truth: serde_json::Value = serde_json::from_slice(&truth).unwrap();
    assert_eq!(
        (&truth["fit"], &truth["seed"]),
        (&"panel".into(), &3.into())
    );
    assert_eq!(truth["file"], "f.csv");
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 4, "no half files: {left:?}");

    let mut debrief = Command::new(env!("CARGO_BIN_EXE_proofwing"));
    let debrief = debrief
        .args([
            "debrief",
            "f.csv",
            "--aircraft",
            "f.aircraft.toml",
            "--standard",
            "faa-private",
        ])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(debrief.status.code(), Some(0), "{}", said(&debrief.stderr));
    assert!(said(&debrief.stdout).contains("Steep turn to the right"));
}

#[test]
fn the_same_seed_writes_the_same_bytes_and_nothing_is_overwritten_unasked() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("s.toml"), SHORT).unwrap();
    let names = ["f.csv", "f.truth.json", "f.aircraft.toml"];
    let bytes = || names.map(|name| std::fs::read(folder.path().join(name)).unwrap());
    let words = ["s.toml", "--seed", "8", "--out", "f.csv"];
    assert_eq!(fly(folder.path(), &words).status.code(), Some(0));
    let first = bytes();
    let again = fly(folder.path(), &["s.toml", "--seed", "9", "--out", "f.csv"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(
        said(&again.stderr)
            .contains("f.csv is there already\nhint: choose another name, or add --force")
    );
    assert_eq!(bytes(), first);
    let forced = fly(
        folder.path(),
        &["s.toml", "--seed", "8", "--out", "f.csv", "--force"],
    );
    assert_eq!(forced.status.code(), Some(0));
    assert_eq!(bytes(), first);
}

#[test]
fn what_cannot_be_is_refused_kindly() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("s.toml"), SHORT).unwrap();
    std::fs::write(
        folder.path().join("bad.toml"),
        SHORT.replace("steep_turn", "steep"),
    )
    .unwrap();
    let refused = |words: &[&str], says: &str| {
        let output = fly(folder.path(), words);
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        let text = said(&output.stderr);
        assert!(text.contains(says), "{text}");
    };
    refused(&["s.toml"], "add --out s.csv");
    refused(
        &["s.toml", "--out", "f.txt"],
        "name a file that ends in .csv",
    );
    refused(
        &["bad.toml", "--out", "f.csv"],
        "bad.toml line 8, column 8: kind = \"steep\" is not known; write one of",
    );
    refused(
        &["none.toml", "--out", "f.csv"],
        "check the name and the folder",
    );
    refused(
        &["s.toml", "--airframe", "s.toml", "--out", "f.csv"],
        "s.toml line",
    );
    refused(
        &["s.toml", "--recorder", "tape", "--out", "f.csv"],
        "gps_att",
    );
    refused(&[], "<SCRIPT>");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn the_figures_fit_the_terminal_and_say_where_they_come_from() {
    let airframe = data("airframes/demo.toml").display().to_string();
    for words in [&["--figures"][..], &["--figures", "--airframe", &airframe]] {
        let output = fly(Path::new("."), words);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
        let text = said(&output.stdout);
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        for word in [
            "VX",
            "VY, flaps 10°",
            "glide ratio",
            "flaps 40°",
            "KCAS",
            "lb/hp",
            "14 CFR 23.49",
            "not for use in flight",
        ] {
            // Words may stand on two lines.
            let text = text.to_lowercase();
            let words: Vec<&str> = text.split_whitespace().collect();
            let there = words.join(" ").contains(&word.to_lowercase());
            assert!(there, "{word} is not in\n{text}");
        }
    }
}
