//! The ledger of a recovery on its sheet.

use super::recoveries::{Day, Read};
use super::{airplane, recoveries, words};
use crate::convert::tidy;
use crate::document::{
    FactDebrief, HeightLedger, LedgerLine, LedgerReading, ManeuverDebrief, WhatIf, WhatIfTrace,
};
use air::units::{M_PER_FT, MPS_PER_KT};
use ledger::causes::opening;
use ledger::ledger::Measure;
use ledger::what_if::{Change, what_if};
use ledger::{Airplane, Ledger};
use maneuver::{Kind, Maneuver};

/// Fills ledger, what-if and what the findings cost.
pub(super) fn recovery(day: &Day<'_>, maneuver: &Maneuver, sheet: &mut ManeuverDebrief) {
    let read = match recoveries::read(day, maneuver) {
        Ok(read) => read,
        Err(why) => {
            sheet.height_ledger = Some(HeightLedger::missing(why));
            return;
        }
    };
    let root = read.recovery.flown.about.density_root;
    let airplanes = airplane::draws(day.fit, day.aircraft, root);
    let ledger = Ledger::new(
        &read.recovery,
        &read.reference,
        &airplanes,
        read.release_sigma_s,
    );
    for finding in &mut sheet.findings {
        let share = ledger.shares.iter().find(|s| s.cause.id() == finding.id);
        finding.cost_ft = share.map(|share| {
            let (low, later) = (share.lowest.value_m, share.later.value_m);
            tidy(if later.abs() > low.abs() { later } else { low } / M_PER_FT)
        });
    }
    sheet.what_if = Some(right(day, &read, &airplanes));
    sheet.height_ledger = Some(written(day, maneuver, &read, &ledger));
}

/// A drop that is so far from the stall that the sheet tells is named: the two losses differ then.
const DROPPED_S: f64 = 0.3;

fn written(day: &Day<'_>, maneuver: &Maneuver, read: &Read, ledger: &Ledger) -> HeightLedger {
    let mut said = words::remarks(&read.recovery, &read.reference, ledger);
    if !day.fit.support.drag {
        let earlier = match day.fit.support.earlier {
            0 => "",
            _ => "its earlier flights, ",
        };
        said.push(format!(
            "The flight does not show the airplane's drag and thrust: those of {earlier}the aircraft file and of what is usual were taken."
        ));
    }
    let around = maneuver.kind == Kind::GoAround;
    let titles = if around {
        [
            "from the decision to the lowest point",
            "after the decision",
        ]
    } else if read.recovery.dropped_before_s().abs() > DROPPED_S {
        [
            "from where it dropped to the lowest point",
            "after it dropped",
        ]
    } else if read.full {
        [
            "from the full stall to the lowest point",
            "after the full stall",
        ]
    } else {
        [
            "from the recovery's start to the lowest point",
            "after the recovery's start",
        ]
    };
    let others = read.reference != ledger::Reference::default();
    let reading = |k: usize, name: &str, title: String, seconds: f64| {
        let (lost, any) = if k == 0 {
            (ledger.lost_lowest, ledger.any_recovery[0])
        } else {
            (ledger.lost_later, ledger.any_recovery[1])
        };
        LedgerReading {
            name: name.to_owned(),
            title,
            seconds: tidy(seconds),
            lost: feet(&lost, "measured"),
            any_recovery: feet(&any, "derived"),
            any_title: if around {
                "any go-around".to_owned()
            } else {
                "any recovery".to_owned()
            },
            lines: lines(ledger, k),
        }
    };
    let low = read.recovery.times.low_s - read.recovery.times.stall_s;
    HeightLedger {
        caution: words::CAUTION.to_owned(),
        reference: words::reference(&read.reference, others),
        why_not: None,
        readings: vec![
            reading(0, "lowest_point", titles[0].to_owned(), low),
            reading(
                1,
                "after_30_s",
                format!("{:.0} s {}", ledger.later_s, titles[1]),
                ledger.later_s,
            ),
        ],
        words: said,
        replay_off_ft: Some(ledger.replay_off_m.map(|m| tidy(m / M_PER_FT))),
    }
}

fn lines(ledger: &Ledger, reading: usize) -> Vec<LedgerLine> {
    ledger
        .shares
        .iter()
        .zip(&ledger.orderless)
        .map(|(share, orderless)| {
            let measure = if reading == 0 {
                share.lowest
            } else {
                share.later
            };
            let orderless = orderless.get(reading).copied();
            LedgerLine::new(
                share.cause.id(),
                words::title(share.cause),
                feet(&measure, "derived"),
                orderless
                    .filter(|m| m.is_finite())
                    .map(|m| tidy(m / M_PER_FT)),
            )
        })
        .collect()
}

fn feet(measure: &Measure, origin: &str) -> FactDebrief {
    FactDebrief {
        value: tidy(measure.value_m / M_PER_FT),
        unit: "ft".to_owned(),
        sigma: Some(tidy(measure.sigma_m / M_PER_FT)),
        origin: origin.to_owned(),
    }
}

/// The recovery as flown, and with everything done right.
fn right(day: &Day<'_>, read: &Read, airplanes: &[Airplane]) -> WhatIf {
    let recovery = &read.recovery;
    let times = &recovery.times;
    let count = ((times.end_s - times.stall_s) / 0.5).floor().max(0.0) as usize;
    let stall = recovery.flown.at(times.stall_s);
    let flown = (0..=count).map(|k| recovery.flown.at(times.stall_s + 0.5 * k as f64));
    let root = recovery.flown.about.density_root;
    let (_, opened, came_to) = opening(recovery);
    let all = Change::all(recovery, &read.reference);
    WhatIf {
        caution: words::CAUTION.to_owned(),
        start_s: tidy(times.stall_s),
        step_s: 0.5,
        flown_height_ft: flown
            .clone()
            .map(|s| short((s.height - stall.height) / M_PER_FT))
            .collect(),
        flown_ias_kt: flown
            .map(|s| short(day.aircraft.indicated_mps(s.tas * root, s.flap) / MPS_PER_KT))
            .collect(),
        flown_unload_s: tidy(times.release_s - times.stall_s),
        flown_power_s: opened.map(|t| tidy(t - times.release_s)),
        flown_power_share: tidy(came_to.min(1.0)),
        right_unload_s: tidy(read.reference.unload_s[0]),
        right_power_s: tidy(read.reference.power_s[0]),
        climb_kias: tidy(day.aircraft.indicated_mps(recovery.airplane.climb_mps, 0.0) / MPS_PER_KT),
        flaps_were_out: recovery.actions.flaps.at(times.release_s) > 0.02,
        right: trace(day, read, &all, airplanes),
    }
}

/// One change as a trace.
pub(super) fn trace(
    day: &Day<'_>,
    read: &Read,
    change: &Change,
    airplanes: &[Airplane],
) -> WhatIfTrace {
    let points = what_if(&read.recovery, &read.reference, change, airplanes);
    let indicated = |eas: f64| day.aircraft.indicated_mps(eas, 0.0) / MPS_PER_KT;
    let lowest = points.iter().map(|p| p.height_m).fold(0.0, f64::min);
    WhatIfTrace {
        height_ft: points
            .iter()
            .map(|p| short(p.height_m / M_PER_FT))
            .collect(),
        height_sigma_ft: points
            .iter()
            .map(|p| short(p.height_sigma_m / M_PER_FT))
            .collect(),
        ias_kt: points.iter().map(|p| short(indicated(p.eas_mps))).collect(),
        ias_sigma_kt: points
            .iter()
            .map(|p| short(p.eas_sigma_mps / MPS_PER_KT))
            .collect(),
        lost_ft: tidy(-lowest / M_PER_FT),
        at_end_ft: points.last().map_or(0.0, |p| tidy(p.height_m / M_PER_FT)),
    }
}

/// Tenths are enough for a line.
fn short(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
