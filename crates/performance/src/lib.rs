//! The fit of the day: what a flight itself says of its aircraft's drag, thrust, stall speeds and best speeds, each with
//! its σ, held against what the aircraft file and earlier flights say.
//!
//! **Not the manual's figures and not for use in flight**: the approved manual, the rules in force and a
//! licensed instructor come first.
//!
//! - [`fit`] makes a [`DayFit`]; it never fails, and says in [`Support`] what the flight does not show.
//! - [`DayFit::excess`] is (T − D)/W at a [`Point`], with its σ; [`DayFit::draw`] takes one of the possible laws.
//! - [`DayFit::speeds`] are the rows for people, [`DayFit::carried`] is what the next flight may know.
//!
//! The law and its sources are in [`model`]; `docs/fit-of-the-day.md` is for people.

mod carried;
mod fit;
pub mod lift;
pub mod linear;
pub mod model;
pub mod prior;
pub mod regress;
pub mod samples;
mod speeds;
pub mod stall;

pub use carried::Carried;
pub use fit::fit;
pub use model::{DayFit, Point, Power, Support};
pub use speeds::{Measure, Speed};
