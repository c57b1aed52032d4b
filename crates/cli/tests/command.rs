//! The command as a person uses it: what it prints, where it writes, how it ends.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder of its own for each test, removed at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path =
            std::env::temp_dir().join(format!("proofwing-test-{}-{name}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.0.join(name);
        std::fs::write(&path, text).unwrap();
        path
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../data")
        .join(name)
}

fn proofwing(folder: &Folder) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_proofwing"));
    command
        .env("PROOFWING_MAPS", folder.0.join("maps"))
        .current_dir(&folder.0);
    command
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn regress_demo_writes_page_print_and_document_and_says_where() {
    let folder = Folder::new("demo");
    let output = proofwing(&folder)
        .args(["demo", "--out", "here"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    for name in ["debrief.html", "debrief.pdf", "debrief.json"] {
        assert!(text.contains(name), "{text}");
    }
    let page = std::fs::read_to_string(folder.0.join("here/debrief.html")).unwrap();
    assert!(page.contains("A training aid for use on the ground"));
    for attribute in ["src=\"http", "href=\"http", "url(http", "@import"] {
        assert!(
            !page.contains(attribute),
            "the page reaches outside: {attribute}"
        );
    }
    assert!(
        std::fs::read(folder.0.join("here/debrief.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );
    let document: serde_json::Value =
        serde_json::from_slice(&std::fs::read(folder.0.join("here/debrief.json")).unwrap())
            .unwrap();
    assert_eq!(document["schema"], "proofwing/debrief/1");
    assert!(
        document["maneuvers"]
            .as_array()
            .is_some_and(|all| all.len() > 5)
    );
}

/// The summary is for an 80-column terminal, and piped text carries no color.
#[test]
fn prop_summary_fits_80_columns_without_escape_codes() {
    let folder = Folder::new("summary");
    let output = proofwing(&folder)
        .arg("debrief")
        .arg(data("demo/lesson.csv.gz"))
        .arg("--aircraft")
        .arg(data("aircraft/demo.toml"))
        .args(["--standard", "faa-private", "--terrain-ft", "900"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        stderr(&output).is_empty(),
        "quiet when piped: {}",
        stderr(&output)
    );
    let text = stdout(&output);
    for line in text.lines() {
        assert!(
            line.chars().count() <= 80,
            "{} columns: {line}",
            line.chars().count()
        );
        assert!(!line.contains('\u{1b}'), "{line:?}");
    }
    assert!(
        text.contains("height lost") && text.contains("Findings, worst first in each maneuver"),
        "{text}"
    );
}

#[test]
fn regress_inspect_fits_80_columns() {
    let folder = Folder::new("inspect");
    let output = proofwing(&folder)
        .arg("inspect")
        .arg(data("demo/lesson.csv.gz"))
        .output()
        .unwrap();
    let text = stdout(&output);
    assert!(
        text.contains("airspeed_indicated") && text.contains("airspeed_ind [kt]"),
        "{text}"
    );
    for line in text.lines() {
        assert!(
            line.chars().count() <= 80,
            "{} columns: {line}",
            line.chars().count()
        );
    }
}

#[test]
fn regress_several_recordings_become_an_array_and_a_folder() {
    let folder = Folder::new("several");
    let output = proofwing(&folder)
        .arg("debrief")
        .arg(data("demo/lesson.csv.gz"))
        .arg(data("demo/lesson.csv.gz"))
        .args(["--standard", "faa-commercial", "--json", "-"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", stderr(&output));
    let documents: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(documents.as_array().map(Vec::len), Some(2));
}

/// The card to brief the next stalls from: a page for each kind of the lesson, and nothing else is printed.
#[test]
fn regress_a_brief_card_is_a_pdf_of_its_own() {
    let folder = Folder::new("card");
    let output = proofwing(&folder)
        .arg("debrief")
        .arg(data("demo/lesson.csv.gz"))
        .arg("--aircraft")
        .arg(data("aircraft/demo.toml"))
        .args(["--standard", "faa-private", "--terrain-ft", "900"])
        .args(["--brief-card", "card.pdf"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(stdout(&output).is_empty(), "{}", stdout(&output));
    let card = std::fs::read(folder.0.join("card.pdf")).unwrap();
    assert!(card.starts_with(b"%PDF-"));
    let text = String::from_utf8_lossy(&card);
    assert!(text.contains("Brief card"));
    // Power off and power on.
    let pages = text.matches("/Type /Page\n").count() + text.matches("/Type /Page /").count();
    assert_eq!(pages, 2);
}

/// The same card for the screen; a name that says neither is told which can be, before the flight is read.
#[test]
fn regress_a_brief_card_is_a_page_where_its_name_says_so() {
    let folder = Folder::new("card-page");
    let card = |target: &str| {
        proofwing(&folder)
            .arg("debrief")
            .arg(data("demo/lesson.csv.gz"))
            .arg("--aircraft")
            .arg(data("aircraft/demo.toml"))
            .args(["--standard", "faa-private", "--terrain-ft", "900"])
            .args(["--brief-card", target])
            .output()
            .unwrap()
    };
    let output = card("card.HTML");
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let page = std::fs::read_to_string(folder.0.join("card.HTML")).unwrap();
    assert!(page.starts_with("<!doctype html>"));
    assert_eq!(page.matches("<section").count(), 2);
    assert!(page.contains("Before the next power-off stall"));
    for wrong in ["card.docx", "card"] {
        let output = card(wrong);
        assert_eq!(output.status.code(), Some(2));
        let told = stderr(&output);
        assert!(told.contains(".pdf") && told.contains(".html"), "{told}");
        assert!(!folder.0.join(wrong).exists());
    }
}

/// A flight is drawn to those of its aircraft that were over before it, and to no others; what cannot be used is told with
/// how to mend it.
#[test]
fn prop_earlier_flights_are_those_before_and_of_the_same_aircraft() {
    let folder = Folder::new("earlier");
    let flight = |day: &str| data(&format!("demo/school/{day}-pellwick-a.csv.gz"));
    let debrief = |day: &str, json: &str, earlier: &[&str]| {
        let mut command = proofwing(&folder);
        command.arg("debrief").arg(flight(day)).arg("--aircraft");
        command.arg(data("aircraft/demo.toml"));
        command.args(["--standard", "faa-private", "--json", json]);
        if !earlier.is_empty() {
            command.arg("--earlier").args(earlier);
        }
        command.output().unwrap()
    };
    let fit = |output: &Output| {
        assert!(output.status.success(), "{}", stderr(output));
        let document: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        document["fit_of_the_day"].clone()
    };
    let (first, last) = ("2025-12-03", "2026-03-05");
    assert!(debrief(first, "first.json", &[]).status.success());
    assert!(debrief(last, "last.json", &[]).status.success());
    // Twice the same is once.
    let drawn = fit(&debrief(last, "-", &["first.json", "first.json"]));
    assert_eq!(drawn["earlier"], 1);
    assert!(
        drawn["words"]
            .to_string()
            .contains("Drawn to 1 earlier flight of this aircraft")
    );
    let before = debrief(first, "-", &["last.json"]);
    assert_eq!(fit(&before)["earlier"], 0);
    assert!(
        stderr(&before).contains("1 of 1 flights"),
        "{}",
        stderr(&before)
    );
    let refused = |earlier: &str, words: &str| {
        let output = debrief(last, "-", &[earlier]);
        assert_eq!(output.status.code(), Some(2));
        let told = stderr(&output);
        assert!(
            told.contains(earlier) && told.contains(words) && told.contains("hint: "),
            "{told}"
        );
    };
    let text = std::fs::read_to_string(folder.0.join("first.json")).unwrap();
    let name = "\"name\":\"Pellwick 180\"";
    assert!(text.contains(name));
    folder.file("other.json", &text.replace(name, "\"name\":\"Another\""));
    folder.file(
        "old.json",
        &text.replace("\"program\":\"", "\"program\":\"0."),
    );
    folder.file("none.json", "[]");
    refused("other.json", "Another");
    refused("old.json", "was written by");
    refused("none.json", "is no debrief");
    refused("missing.json", "check the name");
}

#[test]
fn regress_unreadable_recording_ends_with_3_and_says_how_to_mend_it() {
    let folder = Folder::new("unreadable");
    let broken = folder.file("broken.csv", "this is not a recording\nat all\n");
    let output = proofwing(&folder)
        .arg("debrief")
        .arg(&broken)
        .args(["--standard", "faa-private"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(
        stderr(&output).contains("broken.csv") && stderr(&output).contains("; "),
        "{}",
        stderr(&output)
    );
    assert!(output.stdout.is_empty());
}

#[test]
fn regress_wrong_usage_ends_with_2() {
    let folder = Folder::new("usage");
    let lesson = data("demo/lesson.csv.gz");
    let no_standard = proofwing(&folder)
        .arg("debrief")
        .arg(&lesson)
        .output()
        .unwrap();
    assert_eq!(no_standard.status.code(), Some(2));
    let unknown = proofwing(&folder)
        .arg("debrief")
        .arg(&lesson)
        .args(["--standard", "faa-airship"])
        .output()
        .unwrap();
    assert_eq!(unknown.status.code(), Some(2));
    assert!(
        stderr(&unknown).contains("faa-private"),
        "{}",
        stderr(&unknown)
    );
    let aircraft = folder.file(
        "bad.toml",
        "name = \"Trainer\"\n[speeds]\nvs0_kias = 60\nvs1_kias = 50\n",
    );
    let swapped = proofwing(&folder)
        .arg("debrief")
        .arg(&lesson)
        .args(["--standard", "faa-private", "--aircraft"])
        .arg(&aircraft)
        .output()
        .unwrap();
    assert_eq!(swapped.status.code(), Some(2));
    assert!(
        stderr(&swapped).contains("bad.toml line 3"),
        "{}",
        stderr(&swapped)
    );
}

/// A recorder whose columns say nothing: a person maps one, and the next file with that header is
/// read the same way without being told.
#[test]
fn regress_saved_map_is_found_by_the_header() {
    let folder = Folder::new("map");
    let mut rows = String::from("time,qqq,lat,lon\n");
    for second in 0..300 {
        let east = f64::from(second) * 5e-4;
        rows += &format!(
            "2025-05-08T20:{:02}:{:02}Z,{:.1},40.0,{:.6}\n",
            second / 60,
            second % 60,
            83.0,
            -105.0 + east
        );
    }
    let first = folder.file("first.csv", &rows);
    let saved = proofwing(&folder)
        .arg("inspect")
        .arg(&first)
        .args([
            "--map",
            "airspeed_indicated=qqq:kt",
            "--save-map",
            "club-one",
        ])
        .output()
        .unwrap();
    assert!(saved.status.success(), "{}", stderr(&saved));
    assert!(stdout(&saved).contains("Remembered"), "{}", stdout(&saved));
    let second = folder.file("second.csv", &rows);
    let again = proofwing(&folder)
        .arg("inspect")
        .arg(&second)
        .output()
        .unwrap();
    let text = stdout(&again);
    assert!(
        text.contains("remembered map \"club-one\"") && text.contains("airspeed_indicated"),
        "{text}"
    );
}

/// FAA-S-ACS-7B, CA.V.C.S7: the chandelle ends within 10 degrees of 180.
#[test]
fn standards_lists_shows_and_checks() {
    let folder = Folder::new("standards");
    let said = |words: &[&str]| {
        let output = proofwing(&folder)
            .arg("standards")
            .args(words)
            .output()
            .unwrap();
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        (
            output.status.code(),
            text(&output.stdout),
            text(&output.stderr),
        )
    };
    let (code, all, _) = said(&[]);
    assert_eq!(code, Some(0));
    assert!(
        all.contains("faa-private") && all.contains("FAA-S-ACS-7B"),
        "{all}"
    );
    let (code, one, _) = said(&["faa-commercial", "--kind", "chandelle"]);
    assert_eq!(code, Some(0));
    assert!(one.contains("CA.V.C Chandelles"), "{one}");
    assert!(
        one.contains("heading at wings level, from 180 degrees turned: −10 to 10°"),
        "{one}"
    );
    assert!(
        one.contains("(assumed)") && !one.contains("CA.V.A"),
        "{one}"
    );
    let (code, _, wrong) = said(&["faa-private", "--kind", "chandelle"]);
    assert_eq!(code, Some(2));
    assert!(wrong.contains("has no task for chandelle"), "{wrong}");
    let text = std::fs::read_to_string(data("standards/faa-commercial.toml")).unwrap();
    let own = folder.file(
        "own.toml",
        &text.replace("figure = \"final_ias\"", "figure = \"last_ias\""),
    );
    let (code, _, wrong) = said(&[own.to_str().unwrap()]);
    assert_eq!(code, Some(2));
    assert!(
        wrong.contains("figure 'last_ias' is not known in chandelle"),
        "{wrong}"
    );
    assert!(
        wrong.contains("own.toml line ") && wrong.contains("final_ias"),
        "{wrong}"
    );
}

/// Each published pack reads in an 80-column terminal.
#[test]
fn prop_standards_keep_to_the_terminal() {
    let folder = Folder::new("narrow");
    for id in [
        "faa-private",
        "faa-commercial",
        "faa-instructor",
        "easa-ppl",
    ] {
        let output = proofwing(&folder).args(["standards", id]).output().unwrap();
        let text = stdout(&output);
        let wide = text.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{id}");
        assert!(text.contains("Not in this pack"), "{id}");
    }
}

/// What a pack leaves out is told; the example of the documentation is read, shown and used.
#[test]
fn a_schools_own_pack_is_shown_and_used() {
    let folder = Folder::new("own-pack");
    let output = proofwing(&folder)
        .args(["standards", "easa-ppl"])
        .output()
        .unwrap();
    let text = stdout(&output);
    assert!(
        text.contains("Not in this pack") && text.contains("remembered only"),
        "{text}"
    );

    let page = std::fs::read_to_string(data("../docs/standards.md")).unwrap();
    let from = page.find("id = \"our-school\"").unwrap();
    let example = page[from..].split("```").next().unwrap();
    let pack = folder.file("our-school.toml", example);
    let output = proofwing(&folder)
        .arg("standards")
        .arg(&pack)
        .output()
        .unwrap();
    let text = stdout(&output);
    assert!(text.contains("on top of faa-private"), "{text}");
    assert!(
        text.contains("altitude in the turn: ±75 ft (assumed)"),
        "{text}"
    );
    assert!(
        text.contains("school_box School box, by its steps: step_1, first_turn, climb_out"),
        "{text}"
    );

    let output = proofwing(&folder)
        .arg("debrief")
        .arg(data("demo/lesson.csv.gz"))
        .arg("--aircraft")
        .arg(data("aircraft/demo.toml"))
        .arg("--standard")
        .arg(&pack)
        .args(["--json", "-"])
        .output()
        .unwrap();
    let text = stdout(&output);
    assert!(
        text.contains("the school's own on FAA-S-ACS-6C"),
        "{}",
        stderr(&output)
    );
}
