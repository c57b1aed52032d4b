//! The entries of a file against each other: what cannot be true of one aircraft at once.
//!
//! Each rule says in the pilot's words why the two figures do not go together. Margins allow for the
//! rounding of manuals (they print whole knots) and no more.

use air::units::{G0_MPS2, KG_PER_LB, MPS_PER_KT};

use super::check_flaps;
use super::section::Report;
use crate::Aircraft;

/// Sea-level density, kg/m³ (ICAO standard atmosphere).
const RHO0_KGPM3: f64 = 1.225;
/// Largest clean lift coefficients of light airplanes run 1.2 to 1.9. Indicated stall speeds may read
/// up to a fifth low, which raises the apparent one by half; the rest is room.
const CLEAN_LIFT_RANGE: (f64, f64) = (0.7, 3.5);
/// Aspect ratios from a stubby racer to a long-winged motor glider.
const ASPECT_RANGE: (f64, f64) = (3.0, 35.0);
/// A maneuvering speed of 1.3 VS1 would stall the wing at 1.7 g, which no airworthiness code allows
/// as a limit load (14 CFR 23.337, former part 23: 3.8 g, hence 1.95 VS1 in calibrated speeds).
const VA_OVER_VS1_MIN: f64 = 1.3;

pub(crate) fn check(report: &mut Report<'_>, aircraft: &Aircraft) {
    speeds_in_order(report, aircraft);
    check_flaps::check(report, aircraft);
    masses(report, aircraft);
    rest(report, aircraft);
}

struct Speed {
    path: &'static str,
    label: &'static str,
    value: Option<f64>,
}

pub(super) fn knots(mps: f64) -> String {
    let text = format!("{:.1}", mps / MPS_PER_KT);
    format!("{} kt", text.strip_suffix(".0").unwrap_or(&text))
}

pub(super) fn degrees(rad: f64) -> String {
    let text = format!("{:.1}", rad.to_degrees());
    format!("{}°", text.strip_suffix(".0").unwrap_or(&text))
}

/// Tells that `low` must not be above `high`, at the place of the one that stands later.
fn not_above(report: &mut Report<'_>, low: &Speed, high: &Speed, why: &str) {
    let (Some(a), Some(b)) = (low.value, high.value) else {
        return;
    };
    if a > b + 1e-9 {
        report.problem(
            report.spot(low.path).place,
            format!(
                "{} of {} is above {} of {}: {why}",
                low.label,
                knots(a),
                high.label,
                knots(b)
            ),
            format!(
                "check {} and {} on line {}",
                report.spot(low.path).key,
                report.spot(high.path).key,
                report.spot(high.path).place.line
            ),
        );
    }
}

fn speeds_in_order(report: &mut Report<'_>, aircraft: &Aircraft) {
    let s = &aircraft.speeds;
    let speed = |path, label, value| Speed { path, label, value };
    let vs0 = speed("speeds.vs0", "VS0", s.vs0_mps);
    let vs1 = speed("speeds.vs1", "VS1", s.vs1_mps);
    let vx = speed("speeds.vx", "VX", s.vx_mps);
    let vy = speed("speeds.vy", "VY", s.vy_mps);
    let va = speed("speeds.va", "VA", s.va_mps);
    let vfe = speed("speeds.vfe", "VFE", s.vfe_mps);
    let vno = speed("speeds.vno", "VNO", s.vno_mps);
    let vne = speed("speeds.vne", "VNE", s.vne_mps);
    let glide = speed("speeds.best_glide", "best glide speed", s.best_glide_mps);
    let approach = speed("speeds.approach", "approach speed", s.approach_mps);
    let rotate = speed("speeds.rotate", "rotation speed", s.rotate_mps);

    not_above(
        report,
        &vs0,
        &vs1,
        "flaps lower the stall speed, they never raise it",
    );
    not_above(report, &vs0, &vfe, "no speed is left to fly with full flap");
    not_above(
        report,
        &vs1,
        &vx,
        "no airplane climbs below its stall speed",
    );
    not_above(
        report,
        &vx,
        &vy,
        "the best angle of climb is never faster than the best rate",
    );
    not_above(
        report,
        &vs1,
        &glide,
        "no airplane glides best below its stall speed",
    );
    not_above(
        report,
        &vs0,
        &approach,
        "an approach is not flown below the stall speed",
    );
    not_above(
        report,
        &vs0,
        &rotate,
        "an airplane does not fly off below its stall speed",
    );
    not_above(report, &vy, &vne, "the never-exceed speed is the highest");
    not_above(
        report,
        &va,
        &vne,
        "full control travel is not allowed up to the never-exceed speed",
    );
    not_above(report, &vfe, &vne, "the never-exceed speed is the highest");
    not_above(
        report,
        &vno,
        &vne,
        "normal operation ends below the never-exceed speed",
    );
    if s.vno_mps.is_some() {
        not_above(
            report,
            &vy,
            &vno,
            "a climb is flown inside the normal range",
        );
    }
    if let (Some(slow), Some(maneuvering)) = (s.vs1_mps, s.va_mps)
        && maneuvering < VA_OVER_VS1_MIN * slow
    {
        let load = (maneuvering / slow).powi(2);
        report.problem(
            report.spot("speeds.va").place,
            format!(
                "VA of {} is only {:.2} times VS1 ({}): the wing would stall at {load:.1} g, and \
                 airplanes are built for 3.8 g (VA near twice VS1)",
                knots(maneuvering),
                maneuvering / slow,
                knots(slow)
            ),
            format!(
                "check {}, and that both are in the same unit",
                report.spot("speeds.va").key
            ),
        );
    }
}

fn masses(report: &mut Report<'_>, aircraft: &Aircraft) {
    let m = &aircraft.mass;
    let pounds = |kg: f64| format!("{:.0} lb ({kg:.0} kg)", kg / KG_PER_LB);
    let rules = [
        (
            "mass.actual",
            "actual mass",
            m.actual_kg,
            "maximum mass",
            m.maximum_kg,
        ),
        (
            "mass.reference",
            "reference mass",
            m.reference_kg,
            "maximum mass",
            m.maximum_kg,
        ),
        (
            "mass.empty",
            "empty mass",
            m.empty_kg,
            "maximum mass",
            m.maximum_kg,
        ),
        (
            "mass.empty",
            "empty mass",
            m.empty_kg,
            "actual mass",
            m.actual_kg,
        ),
        (
            "mass.empty",
            "empty mass",
            m.empty_kg,
            "reference mass",
            m.reference_kg,
        ),
    ];
    for (path, label, low, other, high) in rules {
        if let (Some(low), Some(high)) = (low, high)
            && low > high + 0.5
        {
            report.problem(
                report.spot(path).place,
                format!(
                    "{label} of {} is above the {other} of {}",
                    pounds(low),
                    pounds(high)
                ),
                "check both figures and their units",
            );
        }
    }
}

fn rest(report: &mut Report<'_>, aircraft: &Aircraft) {
    if let (Some(idle), Some(rated)) = (
        aircraft.engine.idle_speed_radps,
        aircraft.engine.rated_speed_radps,
    ) && idle >= 0.8 * rated
    {
        report.problem(
            report.spot("engine.idle").place,
            "idle is within a fifth of the rated speed, so power could not be told from idle",
            "check idle_rpm and rated_rpm",
        );
    }
    if let (Some(area), Some(span)) = (aircraft.wing_area_m2, aircraft.wing_span_m) {
        let aspect = span * span / area;
        if !(ASPECT_RANGE.0..=ASPECT_RANGE.1).contains(&aspect) {
            report.problem(
                report.spot("wing.area").place,
                format!(
                    "span²/area is {aspect:.1}; airplanes have {} to {}",
                    ASPECT_RANGE.0, ASPECT_RANGE.1
                ),
                "check area and span and their units",
            );
        }
    }
    if let (Some(area), Some(mass), Some(stall)) = (
        aircraft.wing_area_m2,
        aircraft.reference_mass_kg(),
        aircraft.speeds.vs1_mps,
    ) {
        let lift = mass * G0_MPS2 / (0.5 * RHO0_KGPM3 * stall * stall * area);
        if !(CLEAN_LIFT_RANGE.0..=CLEAN_LIFT_RANGE.1).contains(&lift) {
            report.problem(
                report.spot("wing.area").place,
                format!(
                    "mass, wing area and VS1 together ask for a lift coefficient of {lift:.2} at the \
                     clean stall; wings reach {} to {} by indicated speeds",
                    CLEAN_LIFT_RANGE.0, CLEAN_LIFT_RANGE.1
                ),
                "check the three figures and their units",
            );
        }
    }
    for (number, pair) in aircraft.calibration.iter().enumerate() {
        let off = (pair.calibrated_mps - pair.indicated_mps).abs();
        if off > 0.3 * pair.calibrated_mps {
            report.problem(
                report.spot(&format!("calibration.{number}")).place,
                format!(
                    "{} indicated for {} calibrated is an error of more than three tenths",
                    knots(pair.indicated_mps),
                    knots(pair.calibrated_mps)
                ),
                "check that both are in the same unit",
            );
        }
    }
    calibration_rises(report, aircraft);
}

/// Within one flap setting, more indicated must mean more calibrated, else the table has no inverse.
fn calibration_rises(report: &mut Report<'_>, aircraft: &Aircraft) {
    for (number, later) in aircraft.calibration.iter().enumerate() {
        for earlier in aircraft.calibration.iter().take(number) {
            let same_setting = earlier.flap_angle_rad.is_none()
                || later.flap_angle_rad.is_none()
                || earlier.flap_angle_rad == later.flap_angle_rad;
            let rise = (later.indicated_mps - earlier.indicated_mps)
                * (later.calibrated_mps - earlier.calibrated_mps);
            if same_setting && rise <= 0.0 {
                report.problem(
                    report.spot(&format!("calibration.{number}")).place,
                    format!(
                        "{} indicated for {} calibrated contradicts {} for {}: both must rise together",
                        knots(later.indicated_mps),
                        knots(later.calibrated_mps),
                        knots(earlier.indicated_mps),
                        knots(earlier.calibrated_mps)
                    ),
                    "check the two pairs, or give each its flap_deg",
                );
            }
        }
    }
}
