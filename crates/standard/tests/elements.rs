//! The elements of each task against those that the published documents have.

use maneuver::Kind;
use standard::{Task, pack};

/// Every skill element of each task, once and no other: counted in FAA-S-ACS-6C and 7B, November 2023 (the
/// private stall tasks have eleven since 6C added resource management, the commercial ones ten), and in FAA-S-ACS-25
/// (as the commercial ones, and one more: analyze and correct common errors; but no runway incursions in AI.VII.B, F
/// and N). PA.V.B and AI.IX.E stand three times: once for each figure that the evaluator may choose. AI.X.H stands
/// twice, after either stall.
///
/// From memory: S8 of PA.IV.A, S1 of PA.VIII.A to C, how CA.V.B parts bank (S3) and radius (S4), S1 of AI.X.F to H,
/// S16 and S17 of AI.VII.A, S7 of AI.XII.B.
#[test]
fn val_every_element_is_there() {
    let expected: [(&str, &[(&str, usize)]); 3] = [
        (
            "faa-private",
            &[
                ("PA.V.A", 5),
                ("PA.V.B", 7),
                ("PA.VII.A", 5),
                ("PA.VII.B", 11),
                ("PA.VII.C", 11),
                ("PA.VIII.A", 2),
                ("PA.VIII.B", 3),
                ("PA.VIII.C", 3),
                ("PA.VIII.D", 1),
                ("PA.VIII.E", 1),
                ("PA.IX.A", 8),
                ("PA.IX.B", 6),
                ("PA.III.B", 6),
                ("PA.IV.A", 15),
                ("PA.IV.B", 12),
                ("PA.IV.C", 14),
                ("PA.IV.D", 13),
                ("PA.IV.E", 15),
                ("PA.IV.F", 13),
                ("PA.IV.N", 9),
                ("PA.IV.M", 9),
            ],
        ),
        (
            "faa-commercial",
            &[
                ("CA.V.A", 5),
                ("CA.V.B", 6),
                ("CA.V.C", 8),
                ("CA.V.D", 10),
                ("CA.V.E", 8),
                ("CA.VII.A", 5),
                ("CA.VII.B", 10),
                ("CA.VII.C", 10),
                ("CA.VII.D", 9),
                ("CA.IX.A", 7),
                ("CA.IX.B", 6),
                ("CA.III.B", 6),
                ("CA.IV.A", 15),
                ("CA.IV.B", 12),
                ("CA.IV.C", 14),
                ("CA.IV.D", 13),
                ("CA.IV.E", 15),
                ("CA.IV.F", 13),
                ("CA.IV.N", 9),
                ("CA.IV.M", 8),
            ],
        ),
        (
            "faa-instructor",
            &[
                ("AI.IX.A", 6),
                ("AI.IX.B", 7),
                ("AI.IX.C", 9),
                ("AI.IX.D", 11),
                ("AI.X.A", 6),
                ("AI.X.C", 11),
                ("AI.X.D", 11),
                ("AI.X.E", 10),
                ("AI.X.F", 8),
                ("AI.X.G", 9),
                ("AI.X.H", 5),
                ("AI.XI.A", 3),
                ("AI.XI.B", 4),
                ("AI.XI.C", 4),
                ("AI.XI.D", 2),
                ("AI.XI.E", 2),
                ("AI.XII.A", 7),
                ("AI.XII.B", 7),
                ("AI.VI.B", 7),
                ("AI.VII.A", 17),
                ("AI.VII.B", 12),
                ("AI.VII.C", 15),
                ("AI.VII.D", 14),
                ("AI.VII.E", 16),
                ("AI.VII.F", 13),
                ("AI.VII.M", 10),
                ("AI.VII.N", 9),
                ("AI.VII.O", 9),
                ("AI.IX.E", 8),
                ("AI.IX.F", 9),
            ],
        ),
    ];
    for (id, tasks) in expected {
        let pack = pack(id).unwrap();
        let mut known: Vec<&str> = pack.tasks.iter().map(|task| task.code.as_str()).collect();
        known.sort_unstable();
        known.dedup();
        let mut listed: Vec<&str> = tasks.iter().map(|(code, _)| *code).collect();
        listed.sort_unstable();
        assert_eq!(known, listed);
        for (code, count) in tasks {
            for task in pack.tasks.iter().filter(|task| task.code == *code) {
                let found: Vec<String> = task
                    .elements
                    .iter()
                    .map(|element| element.code.clone())
                    .collect();
                assert_eq!(found, wanted(task, *count), "{code} {}", task.title);
            }
        }
    }
}

/// `S1` to the number of the last, but for those that the documents part or leave to seaplanes.
fn wanted(task: &Task, last: usize) -> Vec<String> {
    let every = (1..=last).map(|number| format!("S{number}"));
    match task.code.as_str() {
        // Of the lazy eight's S5 each of the five parts is marked for itself; they follow S4 and take the place of S5.
        "CA.V.D" | "AI.IX.D" => {
            let parts = ["S5a", "S5b", "S5c", "S5d", "S5e"];
            let mut codes: Vec<String> =
                (1..=last - 4).map(|number| format!("S{number}")).collect();
            codes.splice(4..5, parts.map(str::to_owned));
            codes
        }
        // The three figures over the ground are one task, and its S3 has a part for each.
        "PA.V.B" | "AI.IX.E" => {
            let part = match task.kind {
                Kind::RectangularCourse => "S3a",
                Kind::STurns => "S3b",
                _ => "S3c",
            };
            every
                .map(|code| if code == "S3" { part.to_owned() } else { code })
                .collect()
        }
        // Of the takeoff's, S8 is for seaplanes and S10 archived.
        "PA.IV.A" | "CA.IV.A" => every.filter(|code| code != "S8" && code != "S10").collect(),
        "AI.VII.A" => every
            .filter(|code| code != "S7" && code != "S9" && code != "S10")
            .collect(),
        _ => every.collect(),
    }
}
