//! The airplane of the day as the ledger wants it, from the fit of the day.

use aircraft::Aircraft;
use ledger::airplane::{Airplane, Detent};
use performance::{DayFit, Point, Power};
use rand::SeedableRng;
use rand_pcg::Pcg64;

/// Speeds, in stall speeds, that the lines and parabolas are laid through: those of a recovery.
const SLOW: f64 = 1.1;
const FAST: f64 = 1.6;
/// Speed that drag is split at.
const MIDDLE: f64 = 1.3;
/// Draws of what is believed.
const DRAWS: usize = 24;

/// The likeliest airplane.
pub(super) fn likeliest(fit: &DayFit, aircraft: &Aircraft, density_root: f64) -> Airplane {
    of(fit, climb_mps(fit, aircraft), density_root)
}

/// Airplanes that could be the real one.
pub(super) fn draws(fit: &DayFit, aircraft: &Aircraft, density_root: f64) -> Vec<Airplane> {
    let climb = climb_mps(fit, aircraft);
    let mut random = Pcg64::seed_from_u64(7);
    (0..DRAWS)
        .map(|_| of(&fit.draw(&mut random), climb, density_root))
        .collect()
}

/// The speed to climb at: the file's VY, which is what was taught; without it the flight's own, or what is usual.
fn climb_mps(fit: &DayFit, aircraft: &Aircraft) -> f64 {
    let file = aircraft
        .speeds
        .vy_mps
        .map(|vy| aircraft.calibrated_mps(vy, 0.0));
    let flown = || {
        let rows = fit.speeds();
        rows.iter()
            .find(|row| row.id == "vy")
            .and_then(|row| row.cas)
            .map(|(value, _)| value)
    };
    file.or_else(flown).unwrap_or(1.45 * fit.vs1_cas_mps)
}

fn of(fit: &DayFit, climb_mps: f64, density_root: f64) -> Airplane {
    let at = |u: f64, load_factor: f64, flap_rad: f64, share: f64| Point {
        cas_mps: u * fit.vs1_cas_mps,
        tas_mps: u * fit.vs1_cas_mps / density_root,
        load_factor,
        flap_rad,
        power: Power::Share(share),
        density_ratio: density_root * density_root,
    };
    // Two load factors at one speed split the drag into that with lift and that without.
    let u2 = MIDDLE * MIDDLE;
    let straight = fit.drag(&at(MIDDLE, 1.0, 0.0, 0.0));
    let pulled = fit.drag(&at(MIDDLE, 2.0, 0.0, 0.0));
    let induced = (pulled - straight) / 3.0 * u2;
    let line = |share: f64| {
        let thrust = |u: f64| fit.thrust(&at(u, 1.0, 0.0, share));
        let slope = (thrust(FAST) - thrust(SLOW)) / (FAST - SLOW);
        [thrust(SLOW) - (SLOW - 1.0) * slope, slope]
    };
    let detents = fit.detents_rad.iter().map(|angle| Detent {
        angle_rad: *angle,
        stall_mps: fit.stall_cas_mps(*angle).0.max(10.0),
        drag: (fit.drag(&at(MIDDLE, 1.0, *angle, 0.0)) - straight) / u2,
    });
    Airplane {
        detents: detents.collect(),
        parasite: (straight - induced / u2) / u2,
        induced,
        full: line(1.0),
        idle: line(0.0),
        climb_mps,
    }
}
