//! The height of a power-off 180.

use super::recoveries::Day;
use super::{airplane, cut, words};
use crate::convert::tidy;
use crate::document::{FactDebrief, HeightLedger, LedgerLine, LedgerReading, ManeuverDebrief};
use air::units::M_PER_FT;
use ledger::glide::{Glide, glide};
use maneuver::Maneuver;

/// Fills the ledger of a glide.
pub(super) fn fill(day: &Day<'_>, maneuver: &Maneuver, sheet: &mut ManeuverDebrief) {
    sheet.height_ledger = Some(match drawn_up(day, maneuver) {
        Ok(ledger) => ledger,
        Err(why) => HeightLedger::missing(why),
    });
}

fn drawn_up(day: &Day<'_>, maneuver: &Maneuver) -> Result<HeightLedger, &'static str> {
    let likely = |name: &str| maneuver.event(name).filter(|e| e.probability > 0.5);
    let from = likely("idle")
        .or(likely("abeam"))
        .ok_or("the closing of the throttle was not seen")?
        .at_s;
    let to = likely("flare")
        .or(likely("touchdown"))
        .ok_or("the touchdown was not seen")?
        .at_s;
    let flown = cut::cut(day.flight, day.fit, from - 2.0, to + 1.0)?;
    let airplane = airplane::likeliest(day.fit, day.aircraft, flown.about.density_root);
    let found = glide(&flown, &airplane, from, to).ok_or("the glide is too short")?;
    Ok(HeightLedger {
        caution: words::CAUTION.to_owned(),
        reference: "Held against a glide over the same way through the air, wings level, clean, at the speed of least drag: from \
                    the fit of the day."
            .to_owned(),
        why_not: None,
        readings: vec![reading(&found, to - from)],
        words: Vec::new(),
        replay_off_ft: None,
    })
}

fn reading(found: &Glide, seconds: f64) -> LedgerReading {
    let feet = |value: f64, sigma: f64| FactDebrief {
        value: tidy(value / M_PER_FT),
        unit: "ft".to_owned(),
        sigma: Some(tidy(sigma / M_PER_FT)),
        origin: "derived".to_owned(),
    };
    // A tenth: what drag of the day is known to (docs/fit-of-the-day.md), and a yard of height.
    let line = |cause: &str, title: &str, value: f64, sigma: f64| {
        let cost = feet(value, sigma);
        LedgerLine::new(cause, title, cost, None)
    };
    let tenth = |value: f64| (0.1 * value).hypot(1.0);
    LedgerReading {
        name: "glide".to_owned(),
        title: "from the closing of the throttle to the flare".to_owned(),
        seconds: tidy(seconds),
        lost: feet(found.lost_m, 1.5),
        any_recovery: feet(found.best_m, tenth(found.best_m)),
        any_title: "the way at best glide".to_owned(),
        lines: vec![
            line(
                "off_best_glide",
                "speed off best glide",
                found.speed_m,
                tenth(found.speed_m),
            ),
            line("turns", "turns", found.turns_m, tenth(found.turns_m)),
            line(
                "flaps",
                "flaps",
                found.flaps_m,
                (0.25 * found.flaps_m).hypot(1.0),
            ),
            line(
                "power",
                "power left on",
                found.power_m,
                tenth(found.power_m),
            ),
            line("speed_gained", "speed gained", found.kinetic_m, 1.5),
            line(
                "slip_and_air",
                "slip, rising and sinking air",
                found.rest_m,
                found.rest_sigma_m,
            ),
        ],
    }
}
