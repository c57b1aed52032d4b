//! `crash [KILLS] [SEED]`: a child process brings flights in, writes entries and signs, and tells each act on its
//! standard output only after the record acknowledged it. The parent kills it (SIGKILL) at a random moment, opens the
//! record, checks the whole of it, and looks for everything that was told. 200 times unless said otherwise.
//!
//! With `PROOFWING_TEST_POSTGRES` set, every other record lies on PostgreSQL.

mod child;
mod flight;
mod parent;
mod place;
mod random;

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let first = args.next();
    let result = if first.as_deref() == Some("child") {
        child::run(&place::Place::from_words(args))
    } else {
        let kills = first.map_or(Ok(200), |word| word.parse());
        let seed = args
            .next()
            .map_or_else(random::fresh_seed, |word| word.parse().map_err(Into::into));
        match (kills, seed) {
            (Ok(kills), Ok(seed)) => parent::run(kills, seed),
            _ => Err("usage: crash [KILLS] [SEED]".into()),
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("crash: {error}");
            ExitCode::FAILURE
        }
    }
}

/// Whatever went wrong, in words.
type Outcome<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;
