//! What a freely named quantity is measured from.

use crate::context::Context;
use crate::draft::{self, Aim};
use crate::model::Mark;
use crate::pack::{BriefedBy, Criterion, LimitFrom, LimitOrigin, Target};
use air::units::MPS_PER_KT;

/// A speed in a manual is printed to the knot.
const PRINTED_KT: f64 = 0.3;

/// Why there is no target.
pub(super) enum NoAim {
    /// The recording or the aircraft's file does not carry it.
    Unknown(String),
    /// Somebody has to say it.
    Ask(&'static str),
}

impl NoAim {
    /// The mark that says so.
    pub(super) fn answer(self, mark: Mark) -> Mark {
        match self {
            NoAim::Unknown(why) => draft::not_recorded(mark, &why),
            NoAim::Ask(what) => draft::for_instructor(mark, what),
        }
    }
}

/// The target of a criterion; none where its limits are absolute. `entry` is the value flown at the beginning,
/// `per_unit` the size of the criterion's unit in SI.
///
/// # Errors
/// Why there is none.
pub(super) fn aim(
    context: &Context,
    criterion: &Criterion,
    per_unit: f64,
    entry: Option<Aim>,
) -> Result<Option<Aim>, NoAim> {
    // What a document states is not the evaluator's to change; what it leaves open is.
    if let Target::Stated {
        value,
        origin: origin @ LimitOrigin::Published,
    } = criterion.target
    {
        return Ok(Some(exactly(value, origin)));
    }
    if criterion.target != Target::Absolute
        && let Some(value) = briefed(context, criterion)
    {
        return Ok(Some(exactly(value, LimitOrigin::Briefed)));
    }
    match criterion.target {
        Target::Absolute => Ok(None),
        Target::Stated { value, origin } => Ok(Some(exactly(value, origin))),
        Target::Entry => entry.map(Some).ok_or_else(|| {
            NoAim::Unknown("what was flown at the beginning is not known".to_owned())
        }),
        Target::Briefed => Err(NoAim::Ask(match criterion.briefed {
            Some(BriefedBy::Bank) => "no bank was briefed: which one was asked for?",
            Some(BriefedBy::Heading) => "no heading was briefed: which one was asked for?",
            Some(BriefedBy::Speed) => "no speed was briefed: which one was asked for?",
            Some(BriefedBy::Altitude) => "no altitude was briefed: which one was asked for?",
            Some(BriefedBy::Point) => "no touchdown point was briefed: which one was it?",
            None => "nothing was briefed: what was asked for?",
        })),
        Target::Speed(speed) => match speed.of(context.aircraft) {
            Some(value) => Ok(Some(Aim {
                value: value / per_unit,
                sigma: PRINTED_KT * MPS_PER_KT / per_unit,
                origin: LimitOrigin::AircraftFile,
            })),
            None => Err(NoAim::Unknown(format!(
                "the aircraft file gives no {}",
                speed.words()
            ))),
        },
        Target::Figure(name) => match context.maneuver.facts.get(name) {
            Some(fact) if fact.value.is_finite() => Ok(Some(Aim {
                value: fact.value / per_unit,
                sigma: Some(fact.sigma / per_unit)
                    .filter(|sigma| sigma.is_finite())
                    .unwrap_or(0.0),
                origin: LimitOrigin::Assumed,
            })),
            _ => Err(NoAim::Unknown(why_missing(context, name))),
        },
        Target::SlowFlight => Err(NoAim::Unknown(
            "the slow-flight speed is for slow flight alone".to_owned(),
        )),
    }
}

/// Why a figure is not there.
pub(super) fn why_missing(context: &Context, name: &str) -> String {
    context.maneuver.missing.get(name).map_or_else(
        || "this recording does not carry what it takes".to_owned(),
        |why| (*why).to_owned(),
    )
}

/// A limit of the aircraft's file in the criterion's unit; `Ok(None)` where the pack has its own.
pub(super) fn limit(
    context: &Context,
    criterion: &Criterion,
    per_unit: f64,
    mark: &mut Mark,
) -> Result<(), &'static str> {
    let speeds = &context.aircraft.speeds;
    let (value, none) = match criterion.limit_from {
        LimitFrom::Pack | LimitFrom::Flap => return Ok(()),
        LimitFrom::Va => (context.aircraft.va_mps(), "the aircraft file gives no VA"),
        LimitFrom::Vne => (speeds.vne_mps, "the aircraft file gives no VNE"),
        LimitFrom::Vno => (speeds.vno_mps, "the aircraft file gives no VNO"),
    };
    mark.high = Some(value.ok_or(none)? / per_unit);
    LimitOrigin::AircraftFile
        .id()
        .clone_into(&mut mark.limit_origin);
    Ok(())
}

fn briefed(context: &Context, criterion: &Criterion) -> Option<f64> {
    match criterion.briefed? {
        BriefedBy::Bank => context.asked.bank_deg,
        BriefedBy::Heading => context.asked.heading_deg,
        BriefedBy::Speed => context.asked.speed_kias,
        BriefedBy::Altitude => context.asked.altitude_ft,
        BriefedBy::Point => context.asked.point_ft,
    }
}

fn exactly(value: f64, origin: LimitOrigin) -> Aim {
    Aim {
        value,
        sigma: 0.0,
        origin,
    }
}
