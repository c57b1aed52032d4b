//! Power-off 180° accuracy approach: power closed abeam the point on downwind, glide to a touchdown.
//!
//! FAA-S-ACS-7B CA.IV.M. The same ground as a landing; what differs is the energy: idle from abeam on.

use super::{Case, Grammar, fpm, landing, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{ContactKind, Features};
use crate::phases::power::Lever;
use crate::phases::runway::arrival::{self, Arrival};
use crate::phases::sheet::Sheet;
use crate::{Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::PowerOff180, propose).worked_out(
    detail,
    &[
        "abeam",
        "idle",
        "base",
        "final_turn",
        "final",
        "approach_end",
        "flare",
        "touchdown",
        "bounce",
        "roll_out_end",
    ],
    landing::FIGURES,
);

/// A landing, and when the power was closed and whether it stayed so.
fn detail(case: &Case) -> Maneuver {
    let mut sheet = Sheet::new(case.span);
    if let Some(arrival) = arrival::write(case, "abeam", &mut sheet) {
        closed(&arrival, &mut sheet);
    }
    sheet.finish()
}

/// A burst to clear the engine may follow the lever's way to idle at once, s.
const AFTER_IDLE_S: f64 = 6.0;

fn closed(arrival: &Arrival, sheet: &mut Sheet) {
    let motion = &arrival.motion;
    let Some(lever) = Lever::best(motion) else {
        for name in ["idle_after_abeam", "power_used"] {
            sheet.missing(name, "nothing recorded shows the power");
        }
        return;
    };
    let from_s = if arrival.abeam_s.is_finite() {
        arrival.abeam_s - 15.0
    } else {
        motion.from_s
    };
    let base_s = arrival.legs.base_s;
    let to_s = if base_s.is_finite() {
        base_s + 10.0
    } else {
        from_s + 40.0
    };
    let Some(idle_s) = lever.idle_at(from_s, to_s) else {
        sheet.missing("idle_after_abeam", "the power was not seen to close");
        return;
    };
    sheet.event("idle", idle_s, 1.5 * lever.sigma_s, lever.origin);
    let late = idle_s - arrival.abeam_s;
    sheet.fact("idle_after_abeam", late, "s", 3.0, Origin::Derived);
    let until_s = arrival.touchdown.at_s;
    if let Some((_, most)) = lever.wave.held(idle_s + AFTER_IDLE_S, until_s, 1.0) {
        sheet.fact("power_used", most.max(0.0), "1", 0.05, lever.origin);
    }
}

/// One for each touchdown.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Touchdown)
    {
        let start_s = landing::start(features, contact);
        let glide = features.window(start_s + 6.0, contact.at_s - 8.0);
        let evidence = Evidence::base(12.0)
            .ramp(
                glide.share(&features.power, |p| p < 0.15),
                0.6,
                -6.0,
                0.95,
                2.0,
            )
            .ramp(
                -glide.mean_energy_rate() / features.scale.k,
                fpm(520.0),
                -3.0,
                fpm(700.0),
                1.0,
            )
            .ramp(contact.at_s + 9.0 - start_s, 112.0, 0.5, 130.0, -3.0);
        let end_s = (contact.at_s + 9.0).min(features.end_s());
        let candidate = Candidate::maneuver(
            Kind::PowerOff180,
            landing::pattern_side(features, start_s, contact.at_s),
            start_s,
            end_s,
            evidence.total(),
        );
        out.push(candidate.anchored(contact.at_s));
    }
}
