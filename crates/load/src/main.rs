//! `load PROOFWING [SECONDS]`: starts the demo school on loopback, lets 200 people read lessons and 10
//! instructors bring flights in for a bounded time, and prints what they had to wait.
//!
//! Before that, one person moves the sliders of what-ifs on a quiet server that was just started.
//!
//! A reader opens the list, a lesson and its series, then reads for one to five seconds; an importing
//! instructor brings in a recording that the school does not have, then waits ten seconds. Server and
//! clients share the machine, so the figures are upper bounds of what the server alone would give.

mod client;
mod server;
mod sliders;
mod tally;
mod wait;

use client::Client;
use server::Server;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};
use tally::Tally;
use wait::Wait;

const READERS: u64 = 200;
const IMPORTERS: u64 = 10;

fn main() -> ExitCode {
    let mut arguments = std::env::args_os().skip(1);
    let Some(program) = arguments.next().map(PathBuf::from) else {
        eprintln!("usage: load PROOFWING [SECONDS]   (path of the built program)");
        return ExitCode::from(2);
    };
    let seconds = arguments
        .next()
        .and_then(|text| text.to_str()?.parse().ok())
        .unwrap_or(120);
    match run(&program, Duration::from_secs(seconds)) {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("load: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(program: &std::path::Path, length: Duration) -> Result<u64, String> {
    let recording = proofwing::demo::recording_text()?;
    let mut server = Server::start(program)?;
    server.restart(program)?;
    let failed = sliders::run(&server)?;
    println!(
        "{READERS} readers and {IMPORTERS} importing instructors, {} s, server and clients on one machine",
        length.as_secs()
    );
    // Signing in costs an argon2id hash each, on purpose: a few people share each session here, so that
    // the run measures reading and not the doors.
    let readers = sessions(&server, &server.logins, 8)?;
    let importers = sessions(&server, &server.instructors, 4)?;
    let end = Instant::now() + length;
    let tally = Arc::new(Tally::default());
    thread::scope(|scope| {
        for number in 0..READERS {
            let client = readers.get(number as usize % readers.len()).cloned();
            let tally = Arc::clone(&tally);
            scope.spawn(move || {
                if let Some(client) = client {
                    read_until(end, &client.again(), &tally, number);
                }
            });
        }
        for number in 0..IMPORTERS {
            let client = importers.get(number as usize % importers.len()).cloned();
            let tally = Arc::clone(&tally);
            let recording = &recording;
            scope.spawn(move || {
                if let Some(client) = client {
                    import_until(end, &client.again(), &tally, number, recording);
                }
            });
        }
    });
    tally.print(length);
    Ok(failed + tally.errors())
}

/// Signs in as each login, as often as needed to have `count` sessions.
fn sessions(
    server: &Server,
    logins: &[(String, String)],
    count: usize,
) -> Result<Vec<Client>, String> {
    if logins.is_empty() {
        return Err("the server printed no demo logins".to_owned());
    }
    (0..count)
        .filter_map(|index| logins.get(index % logins.len()))
        .map(|(login, password)| Client::sign_in(&server.address, login, password))
        .collect()
}

fn read_until(end: Instant, client: &Client, tally: &Tally, number: u64) {
    let mut wait = Wait::new(number);
    // Not everybody at the same moment.
    wait.between(0, 3_000, end);
    while Instant::now() < end {
        if let Some(lesson) = client.lessons(tally, number as usize) {
            client.lesson(tally, &lesson);
        }
        wait.between(1_000, 5_000, end);
    }
}

fn import_until(end: Instant, client: &Client, tally: &Tally, number: u64, recording: &str) {
    let mut wait = Wait::new(1_000 + number);
    wait.between(0, 10_000, end);
    let mut turn = 0u64;
    while Instant::now() < end {
        // One more line makes a recording that the school does not have, of the same length.
        let last = recording.lines().last().unwrap_or_default();
        let mut mine = recording.to_owned();
        for _ in 0..=(number + turn * IMPORTERS) {
            mine.push_str(last);
            mine.push('\n');
        }
        client.import(tally, &format!("load {number}-{turn}.csv"), mine.as_bytes());
        turn += 1;
        wait.between(8_000, 12_000, end);
    }
}
