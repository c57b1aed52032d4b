//! From marks to the debrief document: story, findings, strengths, and the versioned JSON.
//!
//! [`debrief()`] takes what the stages before found and gives a [`Debrief`], in feet, knots and degrees;
//! [`to_json`] and [`from_json`] write and read it. The JSON Schema is `schema/debrief-1.schema.json`.

mod build;
mod convert;
mod cost;
mod day_fit;
mod differences;
mod document;
mod findings;
mod head;
mod json;
mod kinds;
mod lesson;
mod lines;
mod own;
mod safety;
#[cfg(feature = "schema")]
mod schema;
mod story;
mod strengths;
mod summary;
mod whole_feet;
mod words;

pub use build::{CAUTION, debrief, debrief_from};
pub use cost::{WhatIfChange, height_ledgers, what_if};
pub use day_fit::fit_of_the_day;
pub use differences::{Difference, differences, matched};
pub use document::*;
pub use head::RecordingHead;
pub use json::{JsonError, from_json, to_json};
pub use lesson::lesson;
#[cfg(feature = "schema")]
pub use schema::json_schema;
pub use whole_feet::WholeFeet;
