//! How an airplane moves: a rigid body with six degrees of freedom, air with wind and gusts, engine,
//! propeller, flaps, wheels, and a stall that has depth, delay and a wing to drop.
//!
//! It stands apart from `aircraft`, which is what the school knows of its airplanes (a manual's figures) and
//! which everything needs; this is how one *moves*, which only the height ledger, the what-if and practice
//! flights need.
//!
//! - [`parse`] reads an airframe file into an [`Airframe`].
//! - [`Flying`] flies it: [`Flying::step`] with [`Controls`], by the [`Method`] that is asked for.
//! - [`trim`](trim::trim) finds steady flight, [`figures`](figures::figures) what a manual would print.
//!
//! SI throughout; frames and signs in [`state`].

pub mod aero;
pub mod airframe;
pub mod figures;
mod file;
pub mod gear;
mod method;
pub mod model;
pub mod outside;
pub mod propulsion;
pub mod stall;
pub mod state;
pub mod trim;
pub mod weather;

pub use airframe::Airframe;
pub use file::{SCHEMA, parse};
pub use method::Method;
pub use model::{Felt, Flying};
pub use state::{Controls, State, Surfaces};
pub use weather::{Turbulence, Weather, WindAt};
