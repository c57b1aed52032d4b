//! The best explanation of the whole flight: segmental Viterbi over proposed segments.
//!
//! Each kind proposes segments with a score, the log of how much better it explains that span than
//! ordinary flying does. Ordinary flying (filler) scores 0 everywhere, and named look-alikes propose
//! segments too, so that a plain 180° turn or a zoom climb is explained away instead of being matched by
//! the nearest maneuver. The best set of segments that do not overlap is found exactly by dynamic
//! programming (hidden semi-Markov decoding with segment-level features; Yu 2010, *Hidden semi-Markov
//! models*): with boundaries proposed from change points instead of all pairs, it is n² in a few hundred
//! proposals.

mod candidate;
mod evidence;
mod viterbi;

pub use candidate::{Candidate, Label};
pub use evidence::Evidence;
pub use viterbi::best;
