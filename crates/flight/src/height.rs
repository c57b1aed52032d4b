//! Height above mean sea level: baro for the short run, GNSS for the long run, the terrain where the
//! wheels touched it.

use recording::Quantity;

use crate::grid::Grid;
use crate::normal::Normal;
use crate::stats;
use crate::stats::Errors;
use crate::stretch;
use crate::vertical::Vertical;

/// Speed at which the static correction is counted as 1, m/s.
const REFERENCE_MPS: f64 = 50.0;
/// 1-σ of a GNSS height with respect to sea level, m: receiver 4 m, geoid model and rounding 3 m
/// (common practice, no source).
const GNSS_SIGMA_M: f64 = 5.0;
/// 1-σ of an altimeter that was set by the nearest report, m: setting 0.7 hPa (6 m), instrument 30 ft
/// (the limit of 14 CFR part 43 appendix E near sea level is 20 to 30 ft).
const ALTIMETER_SIGMA_M: f64 = 10.0;

/// Height over the flight.
pub struct Height {
    /// Above mean sea level, m.
    pub values: Vec<f64>,
    /// 1-σ of a single value, m.
    pub sigma_m: f64,
    /// What the debrief must say, if anything.
    pub remark: Option<String>,
}

/// What the static port's error goes by.
pub struct Speed<'a> {
    /// Indicated airspeed, m/s.
    pub ias: &'a [f64],
    /// Angle of attack over the critical one, where known.
    pub steep: Option<&'a [f64]>,
    /// Stall speed, for want of the angle, m/s.
    pub stall_mps: f64,
}

/// Finds the height. `terrain_m` is what the caller knows of the ground below.
pub fn find(
    grid: &Grid<'_>,
    vertical: &Vertical,
    speed: Option<&Speed<'_>>,
    on_ground: &[bool],
    terrain_m: Option<f64>,
) -> Height {
    let gnss = if vertical.barometric {
        grid.values(Quantity::AltitudeGnss)
    } else {
        None
    };
    let mut height = match gnss {
        Some(gnss) => with_gnss(grid, vertical, &gnss, speed, terrain_m),
        None if vertical.barometric => {
            let values = corrected(vertical, terrain_m);
            let range = spread_of_height(&values, terrain_m);
            // A column of air 2 °C off the probe's value is 0.7 % of the height.
            Height {
                values,
                sigma_m: ALTIMETER_SIGMA_M.with(0.007 * range),
                remark: None,
            }
        }
        None => Height {
            values: vertical.altitude.clone(),
            sigma_m: GNSS_SIGMA_M + 1.0,
            remark: None,
        },
    };
    tie_to_ground(&mut height, on_ground, terrain_m);
    height
}

/// Baro altitude turned into height: exact at the terrain, where the setting came from.
fn corrected(vertical: &Vertical, terrain_m: Option<f64>) -> Vec<f64> {
    let base = terrain_m.unwrap_or(0.0);
    vertical
        .altitude
        .iter()
        .map(|value| base + (value - base) * vertical.scale)
        .collect()
}

fn spread_of_height(values: &[f64], terrain_m: Option<f64>) -> f64 {
    let middle = stats::median(values.iter().step_by(10).copied());
    let range = (middle - terrain_m.unwrap_or(0.0)).abs();
    if range.is_finite() {
        range.min(5_000.0)
    } else {
        1_000.0
    }
}

fn with_gnss(
    grid: &Grid<'_>,
    vertical: &Vertical,
    gnss: &[f64],
    speed: Option<&Speed<'_>>,
    terrain_m: Option<f64>,
) -> Height {
    let mut baro = corrected(vertical, terrain_m);
    if let Some(speed) = speed {
        let error = static_error(grid, &baro, gnss, speed, &vertical.climb);
        for (i, baro) in baro.iter_mut().enumerate() {
            if let Some([v, c]) = port_row(speed, i) {
                *baro += error[0] * v + error[1] * c;
            }
        }
    }
    let difference: Vec<f64> = gnss.iter().zip(&baro).map(|(a, b)| a - b).collect();
    // GNSS errors stay alike for half a minute or more.
    let sigma = 2.0 * 60_f64.sqrt();
    let [walked] = stretch::slow(
        &[difference],
        sigma,
        0.05 * 0.05,
        1e6,
        &grid.stretches,
        grid.clock.step_s,
    );
    let offset = walked.value;
    let middle = stats::median(offset.iter().step_by(10).copied());
    // Whether the setting was true at the field or counts a standard column from the sea is not known.
    let column = (vertical.scale - 1.0).abs() * terrain_m.unwrap_or(0.0).abs();
    let own = ALTIMETER_SIGMA_M
        .with(0.007 * spread_of_height(&baro, terrain_m))
        .with(column);
    // How the setting was wrong is not known, so the altimeter has a say in the level by its weight.
    let (level, sigma_m, remark) = if middle.abs() < 4.0 * own {
        let share = own.powi(2) / (own.powi(2) + GNSS_SIGMA_M.powi(2));
        (share, GNSS_SIGMA_M * share.sqrt(), None)
    } else {
        let words = format!(
            "the GNSS altitude stands {:.0} ft {} the altimeter's: it may count from the ellipsoid, or the \
             altimeter was not set; heights rest on the altimeter",
            middle.abs() / air::units::M_PER_FT,
            if middle > 0.0 { "above" } else { "below" }
        );
        (0.0, own.max(0.5 * middle.abs().min(60.0)), Some(words))
    };
    let values = baro
        .iter()
        .zip(&offset)
        .map(|(baro, offset)| baro + offset - (1.0 - level) * middle)
        .collect();
    Height {
        values,
        sigma_m,
        remark,
    }
}

/// How the static port's error shows: by the square of the speed, 1 at its reference, and at high angles
/// of attack, 1 at the critical one and steep before it (fourth power; the form is ours).
fn port_row(speed: &Speed<'_>, i: usize) -> Option<[f64; 2]> {
    let ias = *speed.ias.get(i)?;
    let lifted = speed.steep.and_then(|steep| steep.get(i)).map_or_else(
        || (speed.stall_mps / ias.max(0.8 * speed.stall_mps)).powi(2),
        |share| share.clamp(0.0, 1.3),
    );
    let row = [(ias / REFERENCE_MPS).powi(2) - 1.0, lifted.powi(4)];
    row.iter().all(|value| value.is_finite()).then_some(row)
}

/// What the static port adds to the altitude, m per unit of [`port_row`].
///
/// A port that reads p + k·q is off in height by k·V²/2g, so that GNSS minus baro follows V². Differences over ten seconds take the slow wandering of both
/// out; the climb rate stands beside it for what the lags leave. Source of the form: FAA AC 23-8C,
/// flight test guide, static source position error.
fn static_error(
    grid: &Grid<'_>,
    baro: &[f64],
    gnss: &[f64],
    speed: &Speed<'_>,
    climb: &[f64],
) -> [f64; 2] {
    let lag = (10.0 / grid.clock.step_s) as usize;
    let stride = ((2.0 / grid.clock.step_s) as usize).max(1);
    let at = |i: usize| {
        let [v, c] = port_row(speed, i)?;
        let row = [gnss.get(i)? - baro.get(i)?, v, c, *climb.get(i)?];
        row.iter().all(|value| value.is_finite()).then_some(row)
    };
    let mut rows = Vec::new();
    for i in (0..baro.len().saturating_sub(lag)).step_by(stride) {
        if let (Some(a), Some(b)) = (at(i), at(i + lag)) {
            rows.push((b[0] - a[0], [b[1] - a[1], b[2] - a[2], b[3] - a[3]]));
        }
    }
    let mut x = [0.0; 3];
    let mut sigma = 3.0_f64;
    for round in 0..4 {
        // Ports of light aircraft are within two knots or so: 6 m at 50 m/s, and 4 m at the stall; lags
        // within half a second.
        let mut normal = Normal::with_prior([0.0; 3], [6.0, 4.0, 0.5]);
        let mut residuals = Vec::with_capacity(rows.len());
        for (y, row) in &rows {
            let residual = y - (0..3).map(|k| row[k] * x[k]).sum::<f64>();
            residuals.push(residual);
            let z = residual / sigma;
            let weight = if round == 0 { 1.0 } else { 5.0 / (4.0 + z * z) };
            // Overlapping differences repeat themselves: one in five is new.
            normal.add(row, *y, weight / (5.0 * sigma * sigma));
        }
        x = normal.solve().0;
        let seen = stats::spread(residuals);
        sigma = if seen.is_finite() {
            seen.clamp(0.5, 20.0)
        } else {
            3.0
        };
    }
    if x.iter().all(|value| value.is_finite()) {
        [x[0], x[1]]
    } else {
        [0.0; 2]
    }
}

/// Where the aircraft stood, its height is the terrain's. A field far from the told terrain is
/// another field and ties nothing.
fn tie_to_ground(height: &mut Height, on_ground: &[bool], terrain_m: Option<f64>) {
    let Some(terrain) = terrain_m else { return };
    let standing: Vec<f64> = height
        .values
        .iter()
        .zip(on_ground)
        .filter(|(_, ground)| **ground)
        .map(|(value, _)| *value)
        .collect();
    if standing.len() < 5 {
        return;
    }
    // Antenna and static port sit some metre above the wheels.
    let above = stats::median(standing) - terrain - 1.0;
    if above.abs() < 3.0 * height.sigma_m.max(10.0) {
        let trust = height.sigma_m.powi(2) / (height.sigma_m.powi(2) + 9.0);
        for value in &mut height.values {
            *value -= trust * above;
        }
        height.sigma_m *= (1.0 - trust).sqrt();
        height.sigma_m = height.sigma_m.with(2.0);
    }
}
