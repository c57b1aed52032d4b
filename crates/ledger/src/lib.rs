//! What a recovery cost in height, cause by cause, and what it would have cost flown otherwise.
//!
//! A recovery as it was recorded ([`flown::Flown`]) and the airplane of the day ([`airplane::Airplane`]) become a
//! [`recovery::Recovery`]: its moments, the few numbers that describe what the pilot did ([`actions::Actions`]), and what
//! the recording shows beyond the airplane at every moment. With those the recovery can be flown again in a short
//! simulation ([`mod@run`]) with one thing done right ([`causes`]); the differences make the [`ledger::Ledger`], and any
//! other change a [`mod@what_if`]. [`mod@glide`] shares out the height of a glide.
//!
//! SI throughout; equivalent airspeeds say so. No input panics; what cannot be told is `None`.
//!
//! For use on the ground. It never advises a technique against the aircraft's approved manual.

pub mod actions;
pub mod airplane;
pub mod causes;
pub mod flown;
pub mod glide;
pub mod good;
mod gusts;
pub mod ledger;
pub mod recovery;
pub mod run;
mod stall;
pub mod what_if;

pub use airplane::Airplane;
pub use causes::{Cause, Reference};
pub use flown::Flown;
pub use ledger::Ledger;
pub use recovery::{Recovery, Told};
