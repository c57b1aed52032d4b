//! What the school knows of its aircraft: a documented TOML file with speeds, flap detents, weights,
//! engine, wing and recorder quirks, turned into SI.
//!
//! Speeds are *indicated* in the aircraft's own airspeed system (KIAS in the file, m/s here), because
//! that is what the manual prints and what the recorder sees. Everything but the name is optional: a
//! missing entry makes the marks that need it `not_recorded`, never a guess.

mod model;
pub use model::*;
