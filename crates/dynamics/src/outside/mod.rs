//! The same airframe in an independent flight dynamics library, [JSBSim](https://github.com/JSBSim-Team/jsbsim), as a
//! check from outside: other equations of motion, other axes, units and integration, another earth; only the
//! coefficients are ours.
//!
//! - [`write()`] writes the airframe as that library reads it.
//! - [`Outside`] flies it there, through `outside/plant.py`, one step at a time.
//!
//! Nothing else in the workspace needs it; it is for tests, `make bench` and practice flights in another's motion.

mod expression;
mod fdm;
mod flying;
mod process;

pub use fdm::{Earth, aircraft, planet, write};
pub use process::{Lost, Outside, Told};
