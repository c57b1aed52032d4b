//! The school's record: people, aircraft, recordings, lessons, the instructor's word, what was signed, and the
//! trail that proves it.
//!
//! What is kept and how the parts speak: `docs/contract.md`.

pub mod model;
