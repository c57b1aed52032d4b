//! From maneuvers and a standards pack (data) to marks with evidence.

mod model;
pub use model::*;
