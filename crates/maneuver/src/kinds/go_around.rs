//! Go-around: an approach down to a few hundred feet or less, then full power and climb, no touchdown.
//!
//! FAA-S-ACS-6C PA.IV.N. At altitude the same figure is practice filler, no go-around: it hangs on the
//! height above ground. Bounded by the lowest point's approach and the climb through 540 ft above it.

use super::{Case, Grammar, figure, fpm, ft, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{ContactKind, Features, STEP_S};
use crate::phases::motion::Motion;
use crate::phases::power::Lever;
use crate::phases::runway::ground::Ground;
use crate::phases::runway::lift_off::{Moment, power_up};
use crate::phases::runway::{climb_out, strip};
use crate::phases::sheet::Sheet;
use crate::phases::wave::Wave;
use crate::phases::{entry, flaps};
use crate::{Direction, Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::GoAround, propose).worked_out(
    detail,
    &[
        "decision",
        "full_power",
        "lowest",
        "positive_climb",
        "climb_steady",
        "vy_reached",
        "flap_up",
    ],
    &[
        figure(
            "decision_height",
            "m",
            "height above the runway when the power came",
        ),
        figure("lowest_height", "m", "least height above the runway"),
        figure("height_lost", "m", "height lost after the power came"),
        figure(
            "seconds_to_full_power",
            "s",
            "from the first of the power to all of it",
        ),
        figure(
            "seconds_to_climb",
            "s",
            "from the first of the power to a positive climb",
        ),
        figure(
            "ias_climbing",
            "m/s",
            "airspeed in the steady climb, the median",
        ),
        figure("ias_climbing_low", "m/s", "lowest airspeed held there"),
        figure("ias_climbing_high", "m/s", "highest airspeed held there"),
        figure("climb_rate", "m/s", "rate of climb, the mean"),
        figure(
            "first_flap_before_climb",
            "s",
            "how long before the positive climb the first flap came up",
        ),
        figure(
            "unsettled_before",
            "s",
            "how long below 500 ft the approach was out of hand before the power came",
        ),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// From the power to the climb away.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, 20.0, 15.0);
    let ground = Ground::new(&motion, span.start_s - 25.0, span.end_s + 15.0);
    let mut sheet = Sheet::new(span);
    let about_s = span.anchor_s.unwrap_or(span.start_s + 5.0);
    let Some((low_s, lowest)) = motion.altitude.lowest(about_s - 10.0, about_s + 10.0) else {
        return sheet.finish();
    };
    // Once it climbs the decision was long made.
    let climbs_s = motion
        .climb
        .first_held(low_s - 1.0, motion.to_s, fpm(200.0), true, 2.0)
        .unwrap_or(low_s + 3.0);
    let decision = Lever::best(&motion)
        .and_then(|_| power_up(&motion, &ground, motion.from_s, climbs_s + 4.0))
        .unwrap_or_else(|| eased(&motion, low_s));
    let start_s = decision.at_s;
    let end_s = span.end_s;
    sheet.bounds(start_s, end_s);
    sheet.event("decision", start_s, decision.sigma_s, decision.origin);
    let (_, origin) = motion.altitude_quality(low_s);
    sheet.event("lowest", low_s, 1.0, origin);
    entry::write(&motion, start_s, end_s, &mut sheet);
    let lost = (motion.altitude.at(start_s) - lowest).max(0.0);
    let sigma = motion
        .altitude_change_sigma_m(2.0)
        .hypot(motion.climb.at(start_s).abs() * decision.sigma_s);
    sheet.fact("height_lost", lost, "m", sigma, origin);
    match strip::field_level(case.flight, case.others) {
        Some((level, sigma)) => {
            let at = motion.altitude.at(start_s);
            sheet.fact("decision_height", at - level, "m", sigma, origin);
            sheet.fact("lowest_height", lowest - level, "m", sigma, origin);
        }
        None => {
            let why = "no takeoff or landing of this flight shows the height of the runway";
            sheet.missing("decision_height", why);
            sheet.missing("lowest_height", why);
        }
    }
    unsettled(case, &motion, decision, &mut sheet);
    power(&motion, decision, &mut sheet);
    let climb = climb_out::write(&motion, case.aircraft, (low_s, end_s), &mut sheet);
    let until = climb.positive_s - start_s;
    sheet.fact(
        "seconds_to_climb",
        until,
        "s",
        decision.sigma_s.hypot(1.0),
        origin,
    );
    let steps = flaps::steps(&motion, start_s - 2.0, end_s + 5.0);
    flaps::write(&motion, &steps, &mut sheet);
    match steps.iter().find(|step| !flaps::is_down(step)) {
        Some(first) => {
            let early = climb.positive_s - first.at_s;
            let sigma = first.sigma_s.hypot(1.0);
            sheet.fact("first_flap_before_climb", early, "s", sigma, first.origin);
        }
        None => sheet.missing("first_flap_before_climb", "no flap was seen to come up"),
    }
    sheet.phases_in_order(
        &[
            ("decision", start_s),
            ("recovery", low_s),
            ("climb", climb.positive_s),
        ],
        end_s,
    );
    sheet.finish()
}

/// The decision where nothing shows the power: the sink was eased some seconds after it.
fn eased(motion: &Motion, low_s: f64) -> Moment {
    let sink = motion.climb.map(|climb| -climb).smooth(2.0);
    let held = sink.median(low_s - 20.0, low_s - 5.0);
    let at_s = sink
        .last_beyond(low_s - 15.0, low_s, 0.6 * held, true)
        .unwrap_or(low_s - 3.0);
    Moment {
        at_s: at_s - 1.5,
        sigma_s: 2.5,
        origin: Origin::Derived,
    }
}

/// Below this the approach is to be settled, m above the runway: 500 ft; more sink than this, or more speed above that of
/// the approach, for so long is out of hand (common practice, no source; the limits of `docs/safety-events.md`).
const SETTLED_M: f64 = ft(500.0);
const SINKS_MPS: f64 = fpm(1000.0);
const FAST_MPS: f64 = 20.0 * air::units::MPS_PER_KT;
const KEPT_UP_S: f64 = 3.0;
/// As long before the power as 500 ft take at 500 ft/min, s.
const APPROACH_S: f64 = 60.0;

/// Since when the approach was out of hand when the power came.
fn unsettled(case: &Case, motion: &Motion, decision: Moment, sheet: &mut Sheet) {
    let name = "unsettled_before";
    let Some((level, _)) = strip::field_level(case.flight, case.others) else {
        let why = "no takeoff or landing of this flight shows the height of the runway";
        sheet.missing(name, why);
        return;
    };
    // The approach is the same one, whatever the stretch before the power was called.
    let (from_s, to_s) = (decision.at_s - APPROACH_S, decision.at_s);
    let cut = |series: Option<&flight::Series>| Wave::cut_option(case.flight, series, from_s, to_s);
    let altitude = case.flight.altitude.as_ref();
    let low_s = cut(altitude.or(case.flight.height.as_ref()))
        .last_beyond(from_s, to_s, level + SETTLED_M, true)
        .unwrap_or(from_s);
    let sink = cut(case.flight.climb.as_ref()).map(|climb| -climb);
    let sinks = sink
        .smooth(2.0)
        .first_held(low_s, to_s, SINKS_MPS, true, KEPT_UP_S);
    let fast = case.aircraft.speeds.approach_mps.and_then(|speed| {
        let limit = speed + FAST_MPS;
        cut(case.flight.ias.as_ref()).first_held(low_s, to_s, limit, true, KEPT_UP_S)
    });
    let since = sinks.into_iter().chain(fast).reduce(f64::min);
    match since.filter(|since| to_s - since >= KEPT_UP_S) {
        Some(since) => {
            let (_, origin) = motion.quality(motion.flight.climb.as_ref(), to_s);
            let sigma = decision.sigma_s.hypot(1.0);
            sheet.fact(name, to_s - since, "s", sigma, origin.max(Origin::Derived));
        }
        None => sheet.does_not_apply(name),
    }
}

fn power(motion: &Motion, decision: Moment, sheet: &mut Sheet) {
    let why = "nothing recorded shows the power";
    let Some(lever) = Lever::best(motion) else {
        sheet.missing("seconds_to_full_power", why);
        return;
    };
    let top = lever
        .wave
        .quantile(decision.at_s, decision.at_s + 20.0, 0.9);
    let full = lever
        .wave
        .first_beyond(decision.at_s, decision.at_s + 20.0, 0.9 * top, true);
    let Some(full_s) = full else {
        sheet.missing("seconds_to_full_power", why);
        return;
    };
    let full_s = (full_s - lever.delay_s()).max(decision.at_s);
    let sigma = lever.sigma_s.hypot(0.5 * lever.wave.step_s());
    sheet.event("full_power", full_s, 1.5 * sigma, lever.origin);
    let seconds = full_s - decision.at_s;
    sheet.fact(
        "seconds_to_full_power",
        seconds,
        "s",
        1.5 * sigma,
        lever.origin,
    );
}

/// One for each low pass.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::LowPass)
    {
        let height = |t: f64| features.at(&features.altitude, t) - contact.altitude_m;
        let limit = (contact.at_s + 120.0).min(features.end_s());
        let mut end_s = contact.at_s;
        while end_s < limit && height(end_s) < ft(450.0) {
            end_s += STEP_S;
        }
        let mut start_s = contact.at_s;
        // The decision: the power comes, seen as the end of the descent at the latest.
        while start_s > contact.at_s - 20.0 && features.at(&features.climb, start_s) > -fpm(250.0) {
            start_s -= STEP_S;
        }
        let before = features
            .window(contact.at_s - 40.0, contact.at_s - 5.0)
            .mean_climb();
        let evidence = Evidence::base(10.0)
            .ramp(before, -fpm(150.0), -6.0, -fpm(350.0), 1.0)
            .ramp(height(end_s), ft(200.0), -5.0, ft(400.0), 0.0);
        let candidate = Candidate::maneuver(
            Kind::GoAround,
            Direction::None,
            start_s,
            end_s,
            evidence.total(),
        );
        out.push(candidate.anchored(contact.at_s));
    }
}
