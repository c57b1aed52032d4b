//! Our model beside an independent flight dynamics library flying the same airframe (`dynamics::outside`).
//!
//! `.ci/jsbsim cargo test --workspace --test outside` installs the library and runs this; without
//! `PROOFWING_TEST_JSBSIM` every check says loudly that it was skipped. What is asked of the two was written down before
//! they were compared: a tenth of a degree, a hundredth of a control's travel, one to three percent of a period or a rate,
//! all below what a recorder or a pilot could tell apart.

#[path = "../support/mod.rs"]
mod support;

mod glide;
mod modes;
mod plant;
mod states;
mod steady;
