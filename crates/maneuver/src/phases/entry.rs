//! What every maneuver sets out from, and how low it came.

use super::motion::Motion;
use super::sheet::Sheet;
use flight::Origin;

/// Writes altitude, airspeed and heading before the start (the mean of two seconds about it), and the lowest
/// height above ground until the end.
pub fn write(motion: &Motion, start_s: f64, end_s: f64, sheet: &mut Sheet) {
    let (from, to) = (start_s - 1.5, start_s + 0.5);
    let (sigma, origin) = motion.altitude_quality(start_s);
    let altitude = motion.altitude.mean(from, to);
    sheet.fact("entry_altitude", altitude, "m", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), start_s);
    sheet.fact("entry_ias", motion.ias.mean(from, to), "m/s", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.heading.as_ref(), start_s);
    let entry = motion.heading.mean(from, to);
    sheet.fact(
        "entry_heading",
        air::units::wrap_tau(entry),
        "rad",
        sigma,
        origin,
    );
    lowest(motion, start_s, end_s, sheet);
}

/// Writes the lowest height above ground.
pub fn lowest(motion: &Motion, start_s: f64, end_s: f64, sheet: &mut Sheet) {
    let (sigma, origin) = motion.quality(motion.flight.agl.as_ref(), start_s);
    if let Some((_, lowest)) = motion.agl.lowest(start_s, end_s) {
        sheet.fact("lowest_agl", lowest, "m", sigma, origin);
    }
}

/// Writes the height above ground at the entry, where figures flown low are to begin.
pub fn height_above_ground(motion: &Motion, start_s: f64, sheet: &mut Sheet) {
    let (sigma, origin) = motion.quality(motion.flight.agl.as_ref(), start_s);
    let height = motion.agl.mean(start_s - 1.5, start_s + 0.5);
    if height.is_finite() {
        sheet.fact("entry_agl", height, "m", sigma, origin);
    } else {
        sheet.missing(
            "entry_agl",
            "the height above ground is not known: give the terrain",
        );
    }
}

/// 1-σ of a change of heading within a maneuver, rad: a compass swings by a degree or two, a heading from
/// track and wind is as good as the wind of the moment.
pub fn heading_change_sigma_rad(origin: Origin) -> f64 {
    if origin == Origin::Measured {
        1.5_f64
    } else {
        4.0
    }
    .to_radians()
}
