//! What is checked in an airframe file beyond its names: numbers with which nothing would fly.

use super::{File, SCHEMA};
use aircraft::{Place, Problem};
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// Where messages about a file point to.
struct Asked<'a> {
    text: &'a str,
    name: &'a str,
    table: DeTable<'a>,
}

impl Asked<'_> {
    fn problem(&self, at: usize, what: String, mend: &str) -> Problem {
        Problem {
            file: self.name.to_owned(),
            place: Place::of(self.text, at),
            what,
            mend: mend.to_owned(),
        }
    }

    /// Where the value of a section's key stands; the section's own place when it is not written.
    fn place(&self, section: &str, key: &str) -> usize {
        let Some(found) = self.table.get(section) else {
            return 0;
        };
        let inside = match found.get_ref() {
            DeValue::Table(table) => table.get(key),
            _ => None,
        };
        inside.map_or(found.span(), |value| value.span()).start
    }
}

/// The first thing that is wrong.
pub(super) fn check(file: &File, text: &str, name: &str) -> Result<(), Problem> {
    let Ok(table) = DeTable::parse(text) else {
        return Ok(());
    };
    let asked = Asked {
        text,
        name,
        table: table.into_inner(),
    };
    if file.schema != SCHEMA {
        let what = format!("schema = \"{}\" is not one that can be read", file.schema);
        let mend = format!("write schema = \"{SCHEMA}\"");
        return Err(asked.problem(asked.place("schema", ""), what, &mend));
    }
    if let Some(span) = no_number(&DeValue::Table(asked.table.clone())) {
        let written = text.get(span.clone()).unwrap_or_default();
        let what = format!("{written} is no number that can be flown with");
        return Err(asked.problem(span.start, what, "write a finite number"));
    }
    signs(file, &asked)?;
    body_and_flaps(file, &asked)
}

/// The first infinite number or not-a-number: TOML allows both.
fn no_number(value: &DeValue<'_>) -> Option<Range<usize>> {
    let inside = |inner: &toml::Spanned<DeValue<'_>>| match inner.get_ref() {
        DeValue::Float(float) => {
            let finite = float.as_str().parse::<f64>().is_ok_and(f64::is_finite);
            (!finite).then(|| inner.span())
        }
        other => no_number(other),
    };
    match value {
        DeValue::Table(table) => table.iter().find_map(|(_, inner)| inside(inner)),
        DeValue::Array(array) => array.iter().find_map(inside),
        _ => None,
    }
}

fn signs(file: &File, asked: &Asked<'_>) -> Result<(), Problem> {
    let above_zero = [
        ("inertia", "mass_kg", file.inertia.mass_kg),
        ("inertia", "xx_kgm2", file.inertia.xx_kgm2),
        ("inertia", "yy_kgm2", file.inertia.yy_kgm2),
        ("inertia", "zz_kgm2", file.inertia.zz_kgm2),
        ("wing", "area_m2", file.wing.area_m2),
        ("wing", "span_m", file.wing.span_m),
        ("wing", "chord_m", file.wing.chord_m),
        ("wing", "lift_slope", file.wing.lift_slope),
        ("wing", "drag_zero", file.wing.drag_zero),
        ("separation", "half_deg", file.separation.half_deg),
        (
            "separation",
            "sharpness_per_rad",
            file.separation.sharpness_per_rad,
        ),
        ("separation", "lag_s", file.separation.lag_s),
        ("engine", "rated_power_kw", file.engine.rated_power_kw),
        ("engine", "rated_speed_rpm", file.engine.rated_speed_rpm),
        ("propeller", "diameter_m", file.propeller.diameter_m),
        ("propeller", "inertia_kgm2", file.propeller.inertia_kgm2),
        ("controls", "surface_per_s", file.controls.surface_per_s),
        ("controls", "throttle_per_s", file.controls.throttle_per_s),
        ("controls", "flap_deg_per_s", file.controls.flap_deg_per_s),
    ];
    for (section, key, value) in above_zero {
        if value <= 0.0 {
            let what = format!("{key} = {value} cannot be");
            let at = asked.place(section, key);
            return Err(asked.problem(at, what, "write a number above zero"));
        }
    }
    let settles = [
        ("pitch", "alpha", file.pitch.alpha),
        ("pitch", "pitch_rate", file.pitch.pitch_rate),
        ("lateral", "roll_roll_rate", file.lateral.roll_roll_rate),
        ("lateral", "yaw_yaw_rate", file.lateral.yaw_yaw_rate),
    ];
    for (section, key, value) in settles {
        if value >= 0.0 {
            let what = format!("{key} = {value} would make the airplane run away");
            let at = asked.place(section, key);
            return Err(asked.problem(at, what, "write a number below zero"));
        }
    }
    Ok(())
}

fn body_and_flaps(file: &File, asked: &Asked<'_>) -> Result<(), Problem> {
    let body = &file.inertia;
    if body.xz_kgm2.powi(2) >= body.xx_kgm2 * body.zz_kgm2 {
        let what = format!("xz_kgm2 = {} is more than any body can have", body.xz_kgm2);
        let at = asked.place("inertia", "xz_kgm2");
        return Err(asked.problem(at, what, "its square must stay below xx times zz"));
    }
    let rising = file
        .flap
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a.angle_deg < b.angle_deg));
    let clean = file.flap.first().is_some_and(|flap| flap.angle_deg == 0.0);
    if !(rising && clean) {
        let what = "the flap detents do not rise from 0".to_owned();
        let mend = "begin with angle_deg = 0 and list them by rising angle";
        return Err(asked.problem(asked.place("flap", ""), what, mend));
    }
    Ok(())
}
