//! The demonstration's airplane, and airplanes from which something was taken away so that a closed form holds.
#![allow(dead_code)] // each test program uses its own part

use air::atmosphere::RHO0_KGPM3;
use dynamics::trim::{Path, Trimmed, Wanted, trim};
use dynamics::{Airframe, Controls, Flying, Method, Weather, parse};

pub const STEP_S: f64 = 0.01;
/// What is asked of a flight is asked of each.
pub const METHODS: [Method; 3] = [Method::RungeKutta4, Method::Heun, Method::AdamsBashforth2];
pub const DEMO: &str = include_str!("../../../../data/airframes/demo.toml");

pub fn demo() -> Airframe {
    parse(DEMO, "demo.toml").expect("the demonstration's airframe reads")
}

/// Without a propeller: no thrust, no torque, no stream.
pub fn glider() -> Airframe {
    let mut airframe = demo();
    airframe.propeller.thrust = [0.0; 3];
    airframe.propeller.power = [0.0; 3];
    airframe
}

/// The glider with both halves of the wing alike.
pub fn even() -> Airframe {
    let mut airframe = glider();
    airframe.separation.uneven_rad = 0.0;
    airframe
}

/// Steady flight at sea level, flaps up.
pub fn steady(airframe: &Airframe, tas_mps: f64, bank_deg: f64, path: Path) -> Option<Trimmed> {
    let wanted = Wanted {
        tas_mps,
        bank_rad: bank_deg.to_radians(),
        flap_rad: 0.0,
        path,
        density_kgpm3: RHO0_KGPM3,
    };
    trim(airframe, &wanted)
}

/// Hands that hold what was found.
pub fn held(found: &Trimmed) -> Controls {
    Controls {
        elevator: found.surfaces.elevator,
        aileron: found.surfaces.aileron,
        rudder: found.surfaces.rudder,
        throttle: found.surfaces.throttle,
        ..Controls::default()
    }
}

/// In flight from what was found, the ground far below.
pub fn aloft<'a>(
    airframe: &'a Airframe,
    weather: &'a Weather,
    found: &Trimmed,
    seed: u64,
) -> Flying<'a> {
    let mut flying = Flying::new(airframe, weather, found.state, &held(found), seed);
    flying.ground_m = -10_000.0;
    flying
}
