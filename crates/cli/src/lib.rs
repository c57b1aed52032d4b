//! What the `proofwing` command is made of, usable from other programs of the workspace.

mod day_fit;
pub mod demo;
mod heights;
pub mod layout;
pub mod summary;
mod whole_flight;

/// The way through, from a recording to its document.
pub use pipeline;
