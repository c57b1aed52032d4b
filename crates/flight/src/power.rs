//! Power from what the engine channels say.

use aircraft::Aircraft;

use crate::{Origin, PowerState, Series, Sigma, stats};

/// Engine channels on the time base.
#[derive(Default)]
pub struct Engine {
    /// rad/s.
    pub speed: Option<Vec<f64>>,
    /// Pa.
    pub manifold: Option<Vec<f64>>,
    /// m³/s.
    pub fuel: Option<Vec<f64>>,
    /// 0 to 1.
    pub throttle: Option<Vec<f64>>,
    /// Share of rated, as recorded.
    pub share: Option<Vec<f64>>,
}

/// Power over the flight: share of what is available, and its class.
pub fn estimate(engine: &Engine, aircraft: &Aircraft, len: usize) -> (Option<Series>, Vec<PowerState>) {
    let fuel = engine.fuel.as_ref().and_then(|fuel| by_range(fuel, 0.12));
    let manifold = engine.manifold.as_ref().and_then(|manifold| by_range(manifold, 0.0));
    let speed = engine.speed.as_ref().and_then(|speed| by_speed(speed, aircraft));
    let (share, sigma) = match (&engine.share, fuel, manifold, speed) {
        (Some(share), ..) => (share.clone(), 0.05),
        (None, Some(fuel), _, _) => (fuel, 0.08),
        (None, None, Some(manifold), _) => (manifold, 0.12),
        (None, None, None, Some(speed)) => (speed, 0.15),
        (None, None, None, None) => return (None, vec![PowerState::Unknown; len]),
    };
    let states = share.iter().map(|share| classify(*share)).collect();
    let series = Series { values: share, sigma: Sigma::Constant(sigma), origin: Origin::Derived };
    (Some(series), states)
}

fn classify(share: f64) -> PowerState {
    if share.is_nan() {
        PowerState::Unknown
    } else if share < 0.12 {
        PowerState::Idle
    } else if share > 0.9 {
        PowerState::Full
    } else {
        PowerState::Partial
    }
}

/// Straight between the lowest and the highest of the flight; `idle` is what idle burns of full.
fn by_range(values: &[f64], idle: f64) -> Option<Vec<f64>> {
    let high = stats::quantile(values.iter().copied(), 0.99);
    let low = stats::quantile(values.iter().copied(), 0.01).max(idle * high);
    (high > 1.2 * low).then(|| {
        values.iter().map(|value| ((value - low) / (high - low)).clamp(0.0, 1.0)).collect()
    })
}

/// Cube of the engine speed over the rated or the highest one.
fn by_speed(values: &[f64], aircraft: &Aircraft) -> Option<Vec<f64>> {
    let high = stats::quantile(values.iter().copied(), 0.99);
    let top = aircraft.engine.rated_speed_radps.map_or(high, |rated| rated.min(high.max(0.8 * rated)));
    (top > 0.0).then(|| values.iter().map(|value| (value / top).powi(3).clamp(0.0, 1.0)).collect())
}
