//! A wing drop: the roll that the stall itself made.
//!
//! Threshold: a wings-level stall must be one from which no more than 15 degrees of roll come with normal
//! use of the controls, a turning one no more than 60 degrees the way of the turn and 30 the other way
//! (14 CFR 23.201 and 23.203, amendment 62). So a drop is more than 15 degrees of bank that were not there
//! before the stall, beyond the doubt of the bank.

use super::{Case, plain};
use crate::document::Finding;
use crate::words::{sentence, side, with_sigma};

const ROLL_DEG: f64 = 15.0;
/// The roll belongs to the stall until this long after the recovery began, s.
const AFTER_S: f64 = 3.0;

pub(super) fn find(case: &Case) -> Option<Finding> {
    let bank = case.flight.bank.as_ref()?;
    let stall = case
        .maneuver
        .event("full_stall")
        .filter(|event| event.probability >= 0.5)?;
    let recovery = case
        .maneuver
        .event("recovery_start")
        .map_or(stall.at_s + 2.0, |event| event.at_s);
    let clock = case.flight.clock;
    let before = bank.at(clock.index(stall.at_s - 1.0)).to_degrees();
    let (first, last) = (
        clock.index(stall.at_s - 0.5),
        clock.index(recovery + AFTER_S),
    );
    let (index, rolled) = (first..=last)
        .map(|index| (index, bank.at(index).to_degrees()))
        .filter(|(_, angle)| angle.is_finite() && (angle - before).abs() > 0.0)
        .map(|(index, angle)| (index, (angle, angle - before)))
        // Only a roll away from level counts: leveling out of a turn is the recovery.
        .filter(|(_, (angle, change))| angle * change > 0.0)
        .max_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()))?;
    let (angle, change) = rolled;
    let size = angle.abs().min(change.abs());
    let sigma = bank.sigma_at(index).to_degrees().max(1.0);
    let probability = standard::decide::within(size, size, Some(ROLL_DEG), None, sigma);
    if probability < standard::decide::MET_FROM {
        return None;
    }
    let text = format!(
        "the {} wing went down {} in the stall, to {} of bank",
        side(change),
        with_sigma(change.abs(), sigma, "deg"),
        with_sigma(angle.abs(), sigma, "deg")
    );
    let kind = case.maneuver.kind.id();
    let mut finding = plain(
        "wing_drop",
        kind,
        sentence(&text),
        clock.time_s(index),
        probability,
    )?;
    (finding.size, finding.unit, finding.sigma) = (Some(change), "deg".to_owned(), Some(sigma));
    Some(finding)
}
