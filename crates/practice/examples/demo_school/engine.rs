//! What the engine's instruments of the demo school show. The flight model has neither fuel nor a manifold: both follow
//! here from the throttle, the propeller and the air, by straight lines.

use air::atmosphere::{RHO0_KGPM3, density_kgpm3};
use air::units::{PA_PER_INHG, W_PER_HP};
use dynamics::Airframe;
use practice::log::Sample;

/// Fuel for a horsepower-hour at full power, lb (from memory: 0.45 to 0.5, mixture rich).
const LB_PER_HPH: f64 = 0.48;
/// Weight of a gallon, lb (common practice, no source).
const LB_PER_GAL: f64 = 6.0;
/// What an idling engine burns beyond its share, gal/h (assumed).
const IDLING_GPH: f64 = 1.6;
/// Pressure in the manifold at which no torque would be left, inHg (assumed).
const NOTHING_INHG: f64 = 8.0;
/// What the air filter and the open throttle leave of the air outside (assumed).
const OPEN: f64 = 0.97;

/// How full the cylinders are, 0 to 1: idle leaves its share, the rest goes with the throttle.
fn filled(airframe: &Airframe, sample: &Sample) -> f64 {
    let idle = airframe.engine.idle;
    idle + (1.0 - idle) * sample.surfaces.throttle.clamp(0.0, 1.0)
}

/// Manifold pressure, inHg.
pub fn manifold_inhg(airframe: &Airframe, sample: &Sample) -> f64 {
    let open = OPEN * sample.pressure_pa / PA_PER_INHG;
    NOTHING_INHG + (open - NOTHING_INHG) * filled(airframe, sample)
}

/// Fuel flow, gal/h.
pub fn fuel_gph(airframe: &Airframe, sample: &Sample) -> f64 {
    let engine = &airframe.engine;
    let sigma = density_kgpm3(sample.pressure_pa, sample.temperature_k) / RHO0_KGPM3;
    let full = engine.rated_w / W_PER_HP * LB_PER_HPH / LB_PER_GAL;
    let turning = sample.spin_radps / engine.rated_radps;
    IDLING_GPH + (full - IDLING_GPH) * sigma * turning * filled(airframe, sample)
}
