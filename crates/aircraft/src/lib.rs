//! What the school knows of its aircraft: a documented TOML file with speeds, flap detents, weights,
//! engine, wing and recorder quirks, turned into SI.
//!
//! Speeds are *indicated* in the aircraft's own airspeed system (KIAS in the file, m/s here), because
//! that is what the manual prints and what the recorder sees. Everything but the name is optional: a
//! missing entry makes the marks that need it `not_recorded`, never a guess.
//!
//! - [`parse`] reads the file, [`write()`] makes one.
//! - The methods of [`Aircraft`] give stall speed, maneuvering speed and flap limits for the mass and
//!   load factor at hand, each with where it came from.

mod file;
mod model;
mod place;
mod speeds;
mod write;

pub use file::parse;
pub use model::*;
pub use place::{Notice, Place, Problem};
pub use speeds::{Basis, Figure};
pub use write::write;
