//! A recovery flown otherwise, as the page asks for it and gets it.

use debrief::{WhatIfChange, WhatIfTrace};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// One thing done otherwise; what is absent stays as it was flown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Otherwise {
    /// Unloaded so long after the stall, s.
    pub unload_s: Option<f64>,
    /// Half of the power so long after the unloading, s.
    pub power_s: Option<f64>,
    /// Full power.
    pub full_power: bool,
    /// Flaps one detent at a time.
    pub flaps_in_steps: bool,
    /// Climb at this indicated airspeed, kt.
    pub climb_kias: Option<f64>,
}

impl From<Otherwise> for WhatIfChange {
    fn from(asked: Otherwise) -> Self {
        Self {
            unload_s: asked.unload_s,
            power_s: asked.power_s,
            full_power: asked.full_power,
            flaps_in_steps: asked.flaps_in_steps,
            climb_kias: asked.climb_kias,
        }
    }
}

/// The computed recovery, every half second from the stall on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FlownOtherwise {
    /// ft against the height at the stall.
    pub height_ft: Vec<f64>,
    /// 1-σ, ft.
    pub height_sigma_ft: Vec<f64>,
    /// kt indicated.
    pub ias_kt: Vec<f64>,
    /// 1-σ, kt.
    pub ias_sigma_kt: Vec<f64>,
    /// Lost to the lowest point, ft.
    pub lost_ft: f64,
    /// At the end against the stall, ft.
    pub at_end_ft: f64,
}

impl From<WhatIfTrace> for FlownOtherwise {
    fn from(trace: WhatIfTrace) -> Self {
        Self {
            height_ft: trace.height_ft,
            height_sigma_ft: trace.height_sigma_ft,
            ias_kt: trace.ias_kt,
            ias_sigma_kt: trace.ias_sigma_kt,
            lost_ft: trace.lost_ft,
            at_end_ft: trace.at_end_ft,
        }
    }
}
