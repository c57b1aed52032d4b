//! What a maneuver cost in height: the ledgers and the what-ifs of the document.

mod airplane;
mod cut;
mod gliding;
mod recoveries;
mod sheet;
mod words;

use crate::document::{Debrief, WhatIfTrace};
use aircraft::Aircraft;
use flight::Flight;
use ledger::what_if::Change;
use maneuver::{Kind, Maneuver};
use performance::DayFit;
use recoveries::Day;

/// One thing done otherwise, in the units of people.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Deserialize, serde::Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default, deny_unknown_fields)]
pub struct WhatIfChange {
    /// Unloaded so long after the stall, s; absent = as flown.
    pub unload_s: Option<f64>,
    /// Half of the power so long after the unloading, s; absent = as flown.
    pub power_s: Option<f64>,
    /// Full power.
    pub full_power: bool,
    /// Flaps one detent at a time.
    pub flaps_in_steps: bool,
    /// Climb at this indicated airspeed, kt; absent = as flown.
    pub climb_kias: Option<f64>,
}

/// Fills the ledgers and the what-ifs of a document; findings get what they cost.
pub fn height_ledgers(
    document: &mut Debrief,
    flight: &Flight,
    fit: &DayFit,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
) {
    let day = Day {
        flight,
        fit,
        aircraft,
        maneuvers,
    };
    for (sheet, maneuver) in document.maneuvers.iter_mut().zip(maneuvers) {
        if recoveries::recovers(maneuver.kind) {
            sheet::recovery(&day, maneuver, sheet);
        } else if maneuver.kind == Kind::PowerOff180 {
            gliding::fill(&day, maneuver, sheet);
        }
    }
}

/// The recovery of a maneuver flown otherwise; in words why it cannot be told.
///
/// # Errors
/// Not a recovery, or the recording lacks what it takes.
pub fn what_if(
    flight: &Flight,
    fit: &DayFit,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
    index: usize,
    change: &WhatIfChange,
) -> Result<WhatIfTrace, &'static str> {
    let day = Day {
        flight,
        fit,
        aircraft,
        maneuvers,
    };
    let maneuver = maneuvers.get(index).ok_or("there is no such maneuver")?;
    if !recoveries::recovers(maneuver.kind) {
        return Err("only stalls and go-arounds can be flown otherwise");
    }
    let read = recoveries::read(&day, maneuver)?;
    let finite = |value: Option<f64>, from: f64, to: f64| {
        value.filter(|v| v.is_finite()).map(|v| v.clamp(from, to))
    };
    let change = Change {
        unload_s: finite(change.unload_s, 0.3, 20.0),
        power_s: finite(change.power_s, -1.0, 20.0),
        full_power: change.full_power,
        flaps_in_steps: change.flaps_in_steps,
        climb_mps: finite(change.climb_kias, 20.0, 250.0)
            .map(|kt| aircraft.calibrated_mps(kt * air::units::MPS_PER_KT, 0.0)),
    };
    let root = read.recovery.flown.about.density_root;
    let airplanes = airplane::draws(fit, aircraft, root);
    Ok(sheet::trace(&day, &read, &change, &airplanes))
}
