//! From maneuvers and a standards pack (data) to marks with evidence.
//!
//! [`pack()`] gives a pack that comes with the program, [`Pack::read`] one from text; [`Briefed`] is what
//! was asked for on the flight; [`mark()`] marks one maneuver. Inside SI; the numbers of a [`Mark`] are in
//! the units of the published standard.

mod briefed;
mod context;
pub mod decide;
mod draft;
pub mod held;
mod instrument;
mod mark;
mod measure;
mod model;
pub mod own;
mod pack;
mod ribbon;
mod units;
mod words;

pub use briefed::{Asked, Briefed, GivenRunway, LatLon, Recovery};
pub use mark::{TaskMarks, mark};
pub use model::*;
pub use pack::{
    BriefedBy, Channel, Criterion, EMBEDDED, Element, LimitFrom, LimitOrigin, Measure, Missing,
    NamedSpeed, OwnManeuver, PLAIN, Pack, PackError, Policy, Power, Primitive, Step, Target, Task,
    When, pack,
};
