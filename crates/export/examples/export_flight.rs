//! Writes every export of a recording's first flight into a folder.
//!
//! `cargo run -p export --example export_flight RECORDING AIRCRAFT.toml FOLDER`

use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().collect();
    let [_, recording, aircraft, folder] = words.as_slice() else {
        return Err("give a recording, an aircraft file and a folder".into());
    };
    let folder = Path::new(folder);
    let read = recording::read(
        recording,
        &std::fs::read(recording)?,
        &recording::ReadOptions::default(),
    )?;
    let first = read.recordings.first().ok_or("the file holds no flight")?;
    let (aircraft, _) =
        aircraft::parse(&std::fs::read_to_string(aircraft)?, aircraft).map_err(|problems| {
            problems
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join("\n")
        })?;
    let pack = standard::pack("faa-private")?;
    let briefed = standard::Briefed::default();
    let setting = pipeline::Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &briefed,
        surroundings: flight::Surroundings::default(),
    };
    let done = pipeline::debrief(first, &setting);
    let (flight, document) = (&done.flight, &done.document);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("flight.pws"), export::series(flight, &aircraft))?;
    std::fs::write(folder.join("path.kml"), export::kml(flight, document))?;
    std::fs::write(folder.join("path.gpx"), export::gpx(flight, document))?;
    std::fs::write(folder.join("flight.csv"), export::csv(flight, document))?;
    std::fs::write(
        folder.join("flight.parquet"),
        export::parquet(flight, document)?,
    )?;
    Ok(())
}
