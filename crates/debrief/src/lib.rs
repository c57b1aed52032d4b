//! From marks to the debrief document: story, findings, strengths, and the versioned JSON.

mod document;
pub use document::*;
