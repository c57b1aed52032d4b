//! Reads a recording, builds the flight several times and says how long each took.
//!
//! `cargo run --release -p flight --example time_build RECORDING AIRCRAFT`

use std::time::Instant;

/// Processor time of this thread, s, where the system tells (Linux).
fn processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split(' ').next()?.parse::<f64>().ok()? / 1e9)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(file), Some(aircraft)) = (arguments.next(), arguments.next()) else {
        return Err("usage: time_build RECORDING AIRCRAFT".into());
    };
    let bytes = std::fs::read(&file)?;
    let start = Instant::now();
    let read = recording::read(&file, &bytes, &recording::ReadOptions::default())?;
    println!(
        "read           {:8.1} ms",
        start.elapsed().as_secs_f64() * 1e3
    );
    let parsed = aircraft::parse(&std::fs::read_to_string(&aircraft)?, &aircraft);
    let (aircraft, _) = parsed.map_err(|problems| format!("{problems:?}"))?;
    let recording = read.recordings.first().ok_or("no recording")?;
    println!(
        "{} rows, {} channels",
        recording.time_s.len(),
        recording.channels.len()
    );
    let surroundings = flight::Surroundings {
        terrain_m: Some(300.0),
    };
    let mut best = f64::INFINITY;
    for _ in 0..5 {
        let start = Instant::now();
        let before = processor_s();
        let (flight, stages) = flight::build_timed(recording, &aircraft, &surroundings);
        let busy = processor_s();
        let total = start.elapsed().as_secs_f64() * 1e3;
        if total < best {
            best = total;
            let busy = before
                .zip(busy)
                .map_or(f64::NAN, |(before, after)| (after - before) * 1e3);
            println!(
                "build          {total:8.1} ms, processor {busy:.1} ms  ({} samples)",
                flight.clock.len
            );
            for (name, seconds) in stages {
                println!("  {name:<12} {:8.1} ms", seconds * 1e3);
            }
        }
    }
    Ok(())
}
