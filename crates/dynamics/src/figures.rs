//! The figures that a manual prints, as they follow from the model: nothing here is an input.

use crate::airframe::Airframe;
use crate::trim::{Path, Wanted, trim};
use air::units::G0_MPS2;

/// Figures at a mass and density.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// For each detent: angle, rad, and calibrated stall speed power off, m/s.
    pub stall: Vec<(f64, f64)>,
    /// Speed of the best rate of climb and the rate, m/s.
    pub best_rate: Option<(f64, f64)>,
    /// Speed of the best angle of climb and the angle, m/s and rad.
    pub best_angle: Option<(f64, f64)>,
    /// Speed of the best glide, throttle closed, and the glide ratio.
    pub best_glide: Option<(f64, f64)>,
    /// Greatest level speed, m/s.
    pub level: Option<f64>,
}

/// Calibrated stall speed, power off, by the greatest static lift (14 CFR 23.49 as amended to 1996: power idle), m/s at sea-level density.
#[must_use]
pub fn stall_speed_mps(airframe: &Airframe, flap_rad: f64) -> f64 {
    let (_, lift) = airframe.critical(flap_rad);
    let weight = airframe.inertia.mass_kg * G0_MPS2;
    (2.0 * weight / (air::atmosphere::RHO0_KGPM3 * airframe.wing.area_m2 * lift)).sqrt()
}

/// Best climb at full throttle and best glide with it closed, flaps as given.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Best {
    /// Speed of the best rate of climb and the rate, m/s.
    pub rate: Option<(f64, f64)>,
    /// Speed of the best angle of climb and the angle, m/s and rad.
    pub angle: Option<(f64, f64)>,
    /// Speed of the best glide and the glide ratio.
    pub glide: Option<(f64, f64)>,
    /// Greatest level speed, m/s.
    pub level: Option<f64>,
}

/// Works out climb, glide and level flight with a flap angle at a density, speeds as equivalent airspeeds.
#[must_use]
pub fn best(airframe: &Airframe, density_kgpm3: f64, flap_rad: f64) -> Best {
    let slow = stall_speed_mps(airframe, flap_rad);
    let to_eas = (density_kgpm3 / air::atmosphere::RHO0_KGPM3).sqrt();
    let steady = |eas: f64, throttle: f64| {
        let wanted = Wanted {
            tas_mps: eas / to_eas,
            bank_rad: 0.0,
            flap_rad,
            path: Path::Throttle(throttle),
            density_kgpm3,
        };
        trim(airframe, &wanted).map(|found| (eas, found.path_rad))
    };
    let speeds = || (0..200).map(|step| slow * (1.05 + 0.01 * f64::from(step)));
    let climbs: Vec<(f64, f64)> = speeds().filter_map(|v| steady(v, 1.0)).collect();
    let glides: Vec<(f64, f64)> = speeds().filter_map(|v| steady(v, 0.0)).collect();
    let rate = |&(v, path): &(f64, f64)| v / to_eas * path.sin();
    let best = |rows: &[(f64, f64)], worth: &dyn Fn(&(f64, f64)) -> f64| {
        rows.iter()
            .copied()
            .max_by(|a, b| worth(a).total_cmp(&worth(b)))
    };
    Best {
        rate: best(&climbs, &rate).map(|row| (row.0, rate(&row))),
        angle: best(&climbs, &|row| row.1),
        glide: best(&glides, &|row| row.1).map(|(v, path)| (v, -1.0 / path.tan())),
        level: climbs
            .iter()
            .filter(|(_, path)| *path >= 0.0)
            .map(|(v, _)| *v)
            .reduce(f64::max),
    }
}

/// Works them out at a density, speeds as equivalent airspeeds.
#[must_use]
pub fn figures(airframe: &Airframe, density_kgpm3: f64) -> Figures {
    let stall: Vec<(f64, f64)> = airframe
        .flaps
        .iter()
        .map(|flap| (flap.angle_rad, stall_speed_mps(airframe, flap.angle_rad)))
        .collect();
    let found = best(airframe, density_kgpm3, 0.0);
    Figures {
        best_rate: found.rate,
        best_angle: found.angle,
        best_glide: found.glide,
        level: found.level,
        stall,
    }
}

/// Greatest level speed with part of the throttle, equivalent, m/s.
#[must_use]
pub fn level_speed_mps(airframe: &Airframe, density_kgpm3: f64, throttle: f64) -> Option<f64> {
    let slow = stall_speed_mps(airframe, 0.0);
    let to_eas = (density_kgpm3 / air::atmosphere::RHO0_KGPM3).sqrt();
    let level = |eas: &f64| {
        let wanted = Wanted {
            tas_mps: eas / to_eas,
            bank_rad: 0.0,
            flap_rad: 0.0,
            path: Path::Throttle(throttle),
            density_kgpm3,
        };
        trim(airframe, &wanted).is_some_and(|found| found.path_rad >= 0.0)
    };
    (0..200)
        .map(|step| slow * (1.05 + 0.01 * f64::from(step)))
        .filter(level)
        .reduce(f64::max)
}
