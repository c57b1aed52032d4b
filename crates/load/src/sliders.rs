//! One person at the sliders of a what-if, on a quiet server: how long an answer takes.

use crate::client::Client;
use crate::server::Server;
use crate::tally::Tally;
use serde_json::json;
use std::time::Instant;

/// Lessons that are opened.
const LESSONS: usize = 10;
/// Moves in each.
const MOVES: u32 = 20;

/// Opens lessons one after the other, as the page does, and moves the sliders of a recovery; gives how many calls failed.
pub fn run(server: &Server) -> Result<u64, String> {
    let (login, password) = server.logins.first().ok_or("no login was printed")?;
    let client = Client::sign_in(&server.address, login, password)?;
    let recoveries = client.recoveries(&Tally::default());
    if recoveries.is_empty() {
        return Err("no lesson of the demo school has a recovery to fly otherwise".to_owned());
    }
    let tally = Tally::default();
    let start = Instant::now();
    for recovery in recoveries.iter().take(LESSONS) {
        client.lesson(&tally, &recovery.0);
        // The page asks once when the sheet is there, before anybody moves anything.
        client.what_if(&tally, "what-if, as it opens", recovery, &json!({}));
        for step in 0..MOVES {
            let later = f64::from(step);
            let change = match step % 4 {
                0 => json!({"unload_s": 0.5 + 0.1 * later}),
                1 => json!({"unload_s": 1.0, "power_s": 0.1 * later}),
                2 => json!({"unload_s": 1.0, "full_power": true, "flaps_in_steps": true}),
                _ => json!({"unload_s": 1.0, "climb_kias": 60.0 + later}),
            };
            client.what_if(&tally, "what-if, a slider moved", recovery, &change);
        }
    }
    println!(
        "One person, {} lessons opened after a start, a slider moved {MOVES} times in each",
        recoveries.len().min(LESSONS)
    );
    tally.print(start.elapsed());
    println!();
    Ok(tally.errors())
}
