//! The school's record: people, aircraft, recordings, lessons, the instructor's word, what was signed, and the
//! trail that proves it.
//!
//! [`School::open`] gives the handle; its methods are the acts. Each act that writes takes who acts ([`Actor`]) and
//! adds its row to the audit trail in the same transaction. What is kept and how the parts speak:
//! `docs/contract.md`; how it is kept: `docs/storage.md`.

mod actor;
mod acts;
pub mod aircraft;
pub mod audit;
pub mod backup;
pub mod carried;
mod checks;
pub mod clock;
pub mod compute;
mod config;
pub mod db;
pub mod derived;
pub mod entries;
mod error;
pub mod files;
pub mod fold;
pub mod guess;
pub mod import;
pub mod inputs;
pub mod invites;
pub mod lessons;
pub mod maneuvers;
pub mod maps;
pub mod model;
pub mod objects;
pub mod packs;
pub mod passwords;
pub mod people;
pub mod reading;
pub mod record;
mod recordings;
pub mod refused;
mod remark;
pub mod restore;
mod school;
pub mod seal;
pub mod secret;
pub mod sessions;
pub mod settings;
mod sheet;
mod sign;
pub mod sign_in;
pub mod signed;
pub mod standards;
pub mod tokens;
pub mod verify;
mod view;

pub use actor::Actor;
pub use config::Config;
pub use error::{Result, SchoolError, StoreError};
pub use school::{School, new_id};
