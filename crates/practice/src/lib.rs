//! Flights to practice on: a pilot who flies what is asked for, well or with faults, recorders that
//! write it down as recorders do, and the truth beside it.

pub mod craft;
pub mod faults;
pub mod goal;
pub mod log;
pub mod maneuvers;
pub mod pilot;
pub mod plant;
pub mod recorder;
pub mod runway;
pub mod script;
pub mod slips;
pub mod speeds;
pub mod truth;
