//! What happens on a runway and around it: the strip that a roll shows, lift-off and touchdown, the legs of
//! the pattern, the approach, the climb away.
//!
//! Takeoff, landing, power-off 180 and go-around are made of these parts.

pub mod approach;
pub mod arrival;
pub mod climb_out;
pub mod contact;
pub mod gate;
pub mod ground;
pub mod legs;
pub mod lift_off;
pub mod strip;
mod wheels;
pub mod wind;

/// The word for figures that hang on the ends of the runway.
pub const NO_RUNWAY: &str =
    "the runway was not given: where it begins is not known (`[[runway]]` in the briefing)";
/// The word for figures that hang on the position.
pub const NO_POSITION: &str = "no position was recorded";
/// The word for figures that hang on the attitude.
pub const NO_PITCH: &str = "no pitch was recorded";
/// The word for figures that hang on the airspeed.
pub const NO_AIRSPEED: &str = "no airspeed was recorded, and the wind is not known";
/// The word for figures that hang on the wind.
pub const NO_WIND: &str = "the wind is not known";
