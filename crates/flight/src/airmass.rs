//! Density and temperature along the flight, from what the recorder knows.

use air::atmosphere;
use recording::Quantity;

use crate::grid::Grid;
use crate::stats;

/// The air the flight was in.
pub struct AirMass {
    /// √(density / standard sea-level density) per sample: IAS = TAS · this.
    pub density_root: Vec<f64>,
    /// Outside air temperature, K, where recorded.
    pub temperature: Option<Vec<f64>>,
    /// True metres in an indicated one.
    pub scale: f64,
}

/// Standard sea-level density, kg/m³ (U.S. Standard Atmosphere 1976).
const RHO0: f64 = 1.225;
/// Table spacing of pressure altitude, m; between entries √density is straight to a millionth.
const SPACING_M: f64 = 50.0;

/// Finds pressure altitude and temperature; without them the standard atmosphere at what altitude there is.
pub fn find(grid: &Grid<'_>) -> AirMass {
    let len = grid.clock.len;
    let setting = grid
        .glance(Quantity::AltimeterSetting)
        .map_or(f64::NAN, |setting| stats::median(setting.iter().copied()));
    let shift = if setting > 80_000.0 {
        atmosphere::pressure_altitude_from_indicated_m(0.0, setting)
    } else {
        0.0
    };
    let pressure_altitude = grid
        .filled(Quantity::AltitudePressure)
        .or_else(|| {
            grid.filled(Quantity::AltitudeIndicated)
                .map(|values| values.into_iter().map(|v| v + shift).collect())
        })
        .or_else(|| grid.filled(Quantity::AltitudeGnss));
    let temperature = grid.filled(Quantity::OutsideAirTemperature);
    let Some(altitude) = pressure_altitude else {
        return AirMass {
            density_root: vec![1.0; len],
            temperature,
            scale: 1.0,
        };
    };
    // One deviation from standard for the whole flight: probes lag and heat up in the sun, and the
    // deviation hardly changes over a practice area.
    let deviation = temperature.as_ref().map_or(f64::NAN, |temperature| {
        stats::median(
            altitude
                .iter()
                .zip(temperature)
                .map(|(h, t)| t - atmosphere::standard_temperature_k(*h)),
        )
    });
    let deviation = if deviation.abs() < 60.0 {
        deviation
    } else {
        0.0
    };
    let mut table: Vec<f64> = Vec::new();
    for k in 0..260 {
        let h = f64::from(k) * SPACING_M - 500.0;
        let t = atmosphere::standard_temperature_k(h) + deviation;
        table.push((atmosphere::density_kgpm3(atmosphere::pressure_pa(h), t) / RHO0).sqrt());
    }
    let mut last = 1.0;
    let density_root = altitude
        .iter()
        .map(|h| {
            if h.is_finite() {
                let at = ((h + 500.0) / SPACING_M).clamp(0.0, 258.0);
                let k = at as usize;
                last = table[k] + (at - k as f64) * (table[k + 1] - table[k]);
            }
            last
        })
        .collect();
    let middle = stats::median(altitude.iter().copied());
    let scale = atmosphere::true_height_ratio(
        middle,
        atmosphere::standard_temperature_k(middle) + deviation,
    );
    AirMass {
        density_root,
        temperature,
        scale: if scale.is_finite() { scale } else { 1.0 },
    }
}

/// Year and day of the year of a Unix time; a flight without a date gets the middle of the model's years.
pub fn date(unix_s: Option<f64>) -> (i32, u16) {
    let Some(unix_s) = unix_s.filter(|unix_s| (0.0..4e9).contains(unix_s)) else {
        return (2025, 180);
    };
    let mut days = (unix_s / 86_400.0) as i64;
    let mut year = 1970;
    loop {
        let length = if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) {
            366
        } else {
            365
        };
        if days < length {
            return (year, days as u16 + 1);
        }
        days -= length;
        year += 1;
    }
}
