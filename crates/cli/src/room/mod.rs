//! The commands of the debrief room: serve it, fill it, keep it safe, prove it.

pub mod args;
mod demo;
mod demo_school;
mod import;
mod keep;
mod place;
mod remote;
mod serve;

pub use demo::run as demo;
pub use import::run as import;
pub use keep::{backup, restore, verify};
pub use serve::run as serve;

use crate::failure::Failure;
use std::future::Future;

/// Runs an act to its end on as many threads as there are cores.
fn block_on<T>(act: impl Future<Output = Result<T, Failure>>) -> Result<T, Failure> {
    tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|error| Failure::Output(format!("cannot start: {error}")))?
        .block_on(act)
}

/// What the record refused, for a person.
fn refused(error: &school::SchoolError) -> Failure {
    let hint = error
        .hint()
        .map_or_else(String::new, |hint| format!("\nhint: {hint}"));
    match error {
        school::SchoolError::Store(_) => Failure::Output(error.for_log()),
        _ => Failure::Usage(format!("{error}{hint}")),
    }
}
