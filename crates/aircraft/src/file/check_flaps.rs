//! Flap detents against each other and against the speeds.

use air::units::MPS_PER_KT;

use super::check::{degrees, knots};
use super::section::Report;
use crate::{Aircraft, Detent};

/// Half a knot: two whole-knot figures that differ by less are the same figure.
const SAME_MPS: f64 = 0.5 * MPS_PER_KT;
pub(super) fn check(report: &mut Report<'_>, aircraft: &Aircraft) {
    detents(report, aircraft);
    detents_against_speeds(report, aircraft);
}

fn detents(report: &mut Report<'_>, aircraft: &Aircraft) {
    if let Some(first) = aircraft.flaps.first()
        && first.angle_rad > 1e-9
    {
        report.problem(
            report.spot("flaps.0.angle").place,
            format!(
                "the first flap detent is {}, not flaps up",
                degrees(first.angle_rad)
            ),
            "put a [[flaps]] with angle_deg = 0 before it; its stall speed is VS1",
        );
    }
    for (number, pair) in aircraft.flaps.windows(2).enumerate() {
        let [less, more] = pair else { continue };
        let at = |entry: &str| format!("flaps.{}.{entry}", number + 1);
        if more.angle_rad <= less.angle_rad + 1e-9 {
            report.problem(
                report.spot(&at("angle")).place,
                format!(
                    "flap detent {} comes after {}: detents stand in order, each once",
                    degrees(more.angle_rad),
                    degrees(less.angle_rad)
                ),
                "sort the [[flaps]] by angle_deg and remove what stands twice",
            );
            continue;
        }
        if let (Some(before), Some(after)) = (less.stall_mps, more.stall_mps)
            && after > before + 1e-9
        {
            report.problem(
                report.spot(&at("stall")).place,
                format!(
                    "the stall speed rises from {} at {} of flap to {} at {}: flaps lower it",
                    knots(before),
                    degrees(less.angle_rad),
                    knots(after),
                    degrees(more.angle_rad)
                ),
                "check stall_kias of both detents",
            );
        }
        if let (Some(before), Some(after)) = (less.limit_mps, more.limit_mps)
            && after > before + 1e-9
            && number > 0
        {
            report.problem(
                report.spot(&at("limit")).place,
                format!(
                    "the flap limit rises from {} at {} to {} at {}: more flap is never allowed faster",
                    knots(before),
                    degrees(less.angle_rad),
                    knots(after),
                    degrees(more.angle_rad)
                ),
                "check limit_kias of both detents",
            );
        }
    }
    for (number, detent) in aircraft.flaps.iter().enumerate() {
        one_detent(report, aircraft, number, detent);
    }
}

fn one_detent(report: &mut Report<'_>, aircraft: &Aircraft, number: usize, detent: &Detent) {
    let angle = degrees(detent.angle_rad);
    let at = |entry: &str| format!("flaps.{number}.{entry}");
    if let (Some(limit), Some(stall)) = (detent.limit_mps, detent.stall_mps)
        && limit <= stall
    {
        report.problem(
            report.spot(&at("limit")).place,
            format!(
                "at {angle} of flap the limit of {} is not above the stall speed of {}",
                knots(limit),
                knots(stall)
            ),
            "check limit_kias and stall_kias of this detent",
        );
    }
    if let (Some(warning), Some(critical)) = (detent.warning_aoa_rad, aircraft.critical_aoa_rad)
        && warning >= critical
    {
        report.problem(
            report.spot(&at("warning_aoa")).place,
            format!(
                "at {angle} of flap the warning would sound at {}, past the stall at {}",
                degrees(warning),
                degrees(critical)
            ),
            "check warning_aoa_deg and critical_aoa_deg",
        );
    }
    if number == 0
        && detent
            .aoa_offset_rad
            .is_some_and(|offset| offset.abs() > 1e-9)
    {
        report.problem(
            report.spot(&at("aoa_offset")).place,
            "the angle-of-attack offset is counted from flaps up, so here it is 0",
            "remove aoa_offset_deg from the first detent",
        );
    }
}

/// A figure that the file gives in two places must be one figure.
fn detents_against_speeds(report: &mut Report<'_>, aircraft: &Aircraft) {
    let s = &aircraft.speeds;
    let last = aircraft.flaps.len().saturating_sub(1);
    let clean = aircraft.flaps.first().and_then(|detent| detent.stall_mps);
    let full = aircraft.flaps.last();
    let full_stall = full.and_then(|detent| detent.stall_mps);
    let full_limit = full
        .and_then(|detent| detent.limit_mps)
        .filter(|_| last > 0);
    let pairs = [
        (
            "speeds.vs1",
            "VS1",
            s.vs1_mps,
            "flaps.0.stall".to_owned(),
            clean,
            "stall speed with flaps up",
        ),
        (
            "speeds.vs0",
            "VS0",
            s.vs0_mps,
            format!("flaps.{last}.stall"),
            full_stall,
            "stall speed of the last detent",
        ),
        (
            "speeds.vfe",
            "VFE",
            s.vfe_mps,
            format!("flaps.{last}.limit"),
            full_limit,
            "limit of the last detent",
        ),
    ];
    for (path, label, stated, other, value, what) in pairs {
        if let (Some(stated), Some(value)) = (stated, value)
            && (stated - value).abs() > SAME_MPS
        {
            let line = report.spot(&other).place.line;
            report.problem(
                report.spot(path).place,
                format!(
                    "{label} of {} and the {what} of {} (line {line}) are the same speed by meaning",
                    knots(stated),
                    knots(value)
                ),
                "correct one of the two",
            );
        }
    }
    if last == 0
        && full.is_some()
        && let (Some(vs0), Some(vs1)) = (s.vs0_mps, s.vs1_mps)
        && vs1 - vs0 > SAME_MPS
    {
        report.problem(
            report.spot("speeds.vs0").place,
            format!(
                "VS0 of {} differs from VS1 of {}, yet only flaps up is listed",
                knots(vs0),
                knots(vs1)
            ),
            "add the other [[flaps]], or give an airplane without flaps one stall speed",
        );
    }
}
