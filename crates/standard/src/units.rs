//! From SI to the units of the published standards, for the criteria that name a quantity freely.

use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};

/// SI unit, unit of a standard, and the size of the latter in the former.
const UNITS: [(&str, &str, f64); 11] = [
    ("m", "ft", M_PER_FT),
    // The international nautical mile (1929), exact.
    ("m", "NM", 1852.0),
    ("m/s", "kt", MPS_PER_KT),
    ("m/s", "ft/min", MPS_PER_FPM),
    ("rad", "deg", std::f64::consts::PI / 180.0),
    ("rad/s", "deg/s", std::f64::consts::PI / 180.0),
    ("s", "s", 1.0),
    ("g", "g", 1.0),
    ("1", "", 1.0),
    ("1", "turns", 1.0),
    ("1", "%", 0.01),
];

/// Size of a standard's unit in an SI unit; none where the two do not measure the same thing.
pub(crate) fn per_unit(si: &str, printed: &str) -> Option<f64> {
    UNITS
        .iter()
        .find(|(from, to, _)| *from == si && *to == printed)
        .map(|(_, _, size)| *size)
}

/// The units that an SI unit may be printed in.
pub(crate) fn printed(si: &str) -> Vec<&'static str> {
    UNITS
        .iter()
        .filter(|(from, _, _)| *from == si)
        .map(|(_, to, _)| *to)
        .collect()
}
