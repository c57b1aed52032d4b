//! From SI to what people read: feet, knots, degrees. The one place of the crate where units change.

use crate::document::FactDebrief;
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use flight::Origin;
use maneuver::Fact;

/// Factor, unit and name suffix of an SI unit for a quantity of a name.
fn shown(name: &str, unit: &str) -> (f64, &'static str, &'static str) {
    let vertical = ["climb", "sink", "descent", "vertical"]
        .iter()
        .any(|word| name.contains(word))
        && !name.contains("ias");
    match unit {
        "m" => (M_PER_FT, "ft", "_ft"),
        "m/s" if vertical => (MPS_PER_FPM, "ft/min", "_fpm"),
        "m/s" => (MPS_PER_KT, "kt", "_kt"),
        "rad" => (1_f64.to_radians(), "deg", "_deg"),
        "rad/s" => (1_f64.to_radians(), "deg/s", "_deg_s"),
        "m/s²" => (MPS_PER_KT, "kt/s", "_kt_s"),
        "s" => (1.0, "s", "_s"),
        "g" => (1.0, "g", "_g"),
        _ => (1.0, "", ""),
    }
}

/// A fact for people under its name with the unit; `None` when it is no number.
pub(crate) fn fact(name: &str, fact: &Fact) -> Option<(String, FactDebrief)> {
    let (factor, unit, suffix) = shown(name, fact.unit);
    let value = tidy(fact.value / factor);
    if !value.is_finite() {
        return None;
    }
    let sigma = Some(tidy((fact.sigma / factor).abs())).filter(|sigma| sigma.is_finite());
    let name = if name.ends_with(suffix) {
        name.to_owned()
    } else {
        format!("{name}{suffix}")
    };
    Some((
        name,
        FactDebrief {
            value,
            unit: unit.to_owned(),
            sigma,
            origin: origin(fact.origin).to_owned(),
        },
    ))
}

/// Four decimals: a ten-thousandth of a foot, a knot, a degree or a second is less than anybody measures.
pub(crate) fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// Id of an origin.
pub(crate) fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "measured",
        Origin::Derived => "derived",
        Origin::Assumed => "assumed",
    }
}
