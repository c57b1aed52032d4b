//! How long each step takes, and the document: `time_marking RECORDING AIRCRAFT BRIEFED TERRAIN_FT [OUT.json]`.
//!
//! The first maneuver is corrected by moving its start 3 s, as a person drags it. Then every maneuver is corrected
//! in turn and what changed is printed.

use flight::Surroundings;
use maneuver::corrections::Was;
use maneuver::{Correction, Kind};
use pipeline::{RecordingHead, Setting, mark, reconstruct};
use recording::ReadOptions;
use standard::Briefed;
use std::error::Error;
use std::time::Instant;

const TIMES: usize = 50;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [recording, aircraft, briefed, terrain_ft, out @ ..] = arguments.as_slice() else {
        return Err("name RECORDING AIRCRAFT BRIEFED TERRAIN_FT [OUT.json]".into());
    };
    let bytes = std::fs::read(recording)?;
    let read = recording::read(recording, &bytes, &ReadOptions::default())?;
    let recording = read.recordings.first().ok_or("no flight")?;
    let (aircraft, _) = aircraft::parse(&std::fs::read_to_string(aircraft)?, aircraft)
        .map_err(|problems| format!("{problems:?}"))?;
    let briefed = Briefed::read(&std::fs::read_to_string(briefed)?, briefed)?;
    let pack = standard::pack("faa-private")?;
    let surroundings = Surroundings {
        terrain_m: Some(terrain_ft.parse::<f64>()? * 0.3048),
    };
    let setting = Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &briefed,
        surroundings,
    };
    let clock = Instant::now();
    let reconstructed = reconstruct(recording, &aircraft, surroundings);
    println!("reconstruct {:.1} ms", 1e3 * clock.elapsed().as_secs_f64());
    let head = RecordingHead::from(recording);
    let first = reconstructed.found.first().ok_or("no maneuver")?;
    let was = Was {
        kind: first.kind,
        start_s: first.start_s,
        end_s: first.end_s,
    };
    let dragged = Correction::Set {
        was: Some(was),
        kind: first.kind,
        direction: None,
        start_s: first.start_s - 3.0,
        end_s: first.end_s,
    };
    for (name, corrections) in [("as found", vec![]), ("one dragged", vec![dragged])] {
        let mut times: Vec<f64> = (0..TIMES)
            .map(|_| {
                let clock = Instant::now();
                let document = mark(&head, &reconstructed, &setting, &corrections);
                let taken = 1e3 * clock.elapsed().as_secs_f64();
                assert!(!document.maneuvers.is_empty());
                taken
            })
            .collect();
        times.sort_by(f64::total_cmp);
        let (middle, last) = (times.get(TIMES / 2), times.last());
        println!(
            "mark, {name}: median {:.2} ms, worst {:.2} ms, {} maneuvers",
            middle.unwrap_or(&f64::NAN),
            last.unwrap_or(&f64::NAN),
            reconstructed.found.len()
        );
    }
    println!("what each change says:");
    let found = mark(&head, &reconstructed, &setting, &[]);
    for (index, one) in reconstructed.found.iter().enumerate() {
        let was = Was {
            kind: one.kind,
            start_s: one.start_s,
            end_s: one.end_s,
        };
        let changed = match index % 3 {
            0 => Correction::Remove { was },
            _ => Correction::Set {
                was: Some(was),
                kind: if index % 3 == 1 {
                    one.kind
                } else {
                    Kind::PowerOnStall
                },
                direction: None,
                start_s: one.start_s + 5.0,
                end_s: one.end_s - 12.0,
            },
        };
        let marked = mark(&head, &reconstructed, &setting, &[changed]);
        for difference in debrief::differences(&found, &marked) {
            println!("  {}: {}", difference.what, difference.sentence);
        }
    }
    if let Some(path) = out.first() {
        let document = mark(&head, &reconstructed, &setting, &[]);
        std::fs::write(path, debrief::to_json(&document)?)?;
    }
    Ok(())
}
