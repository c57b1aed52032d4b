//! Exact conversion factors, and the two angle wraps everybody needs.
//!
//! Each factor is "SI per unit": multiply to get SI, divide to get the unit.

/// Standard gravity, m/s². Exact by definition (3rd CGPM, 1901).
pub const G0_MPS2: f64 = 9.806_65;
/// Meters in an international foot. Exact (1959 agreement).
pub const M_PER_FT: f64 = 0.3048;
/// Meters in an international nautical mile. Exact (1929).
pub const M_PER_NM: f64 = 1852.0;
/// Meters a second in a knot.
pub const MPS_PER_KT: f64 = 1852.0 / 3600.0;
/// Meters a second in a foot a minute.
pub const MPS_PER_FPM: f64 = 0.3048 / 60.0;
/// Meters a second in a kilometer an hour.
pub const MPS_PER_KMH: f64 = 1.0 / 3.6;
/// Meters a second in a statute mile an hour.
pub const MPS_PER_MPH: f64 = 1609.344 / 3600.0;
/// Kilograms in a pound. Exact.
pub const KG_PER_LB: f64 = 0.453_592_37;
/// Pascals in an inch of mercury (conventional, 0 °C).
pub const PA_PER_INHG: f64 = 3_386.389;
/// Pascals in a hectopascal.
pub const PA_PER_HPA: f64 = 100.0;
/// Watts in a mechanical horsepower.
pub const W_PER_HP: f64 = 745.699_871_582_270_2;
/// Kelvin at 0 °C.
pub const K_AT_0_C: f64 = 273.15;
/// Cubic meters a second in a US gallon an hour. Exact (231 cubic inches).
pub const M3PS_PER_GPH: f64 = 3.785_411_784e-3 / 3600.0;
/// Cubic meters a second in a liter an hour.
pub const M3PS_PER_LPH: f64 = 1e-3 / 3600.0;

/// Wraps an angle to (−π, π].
#[must_use]
pub fn wrap_pi(angle_rad: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    let wrapped = angle_rad - turn * (angle_rad / turn).round();
    if wrapped <= -std::f64::consts::PI {
        wrapped + turn
    } else {
        wrapped
    }
}

/// Wraps an angle to [0, 2π).
#[must_use]
pub fn wrap_tau(angle_rad: f64) -> f64 {
    let wrapped = angle_rad.rem_euclid(std::f64::consts::TAU);
    if wrapped >= std::f64::consts::TAU {
        0.0
    } else {
        wrapped
    }
}
