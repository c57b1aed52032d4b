//! Which maneuvers are recoveries, and how each is read.

use super::{airplane, cut};
use aircraft::Aircraft;
use flight::{Flight, Origin};
use ledger::{Recovery, Reference, Told};
use maneuver::{Kind, Maneuver};
use performance::DayFit;

/// What the ledger is drawn up from.
#[derive(Clone, Copy)]
pub(super) struct Day<'a> {
    pub flight: &'a Flight,
    pub fit: &'a DayFit,
    pub aircraft: &'a Aircraft,
    pub maneuvers: &'a [Maneuver],
}

/// A recovery with what it is held against.
pub(super) struct Read {
    pub recovery: Recovery,
    pub reference: Reference,
    /// How well the moment of the unloading is known, s.
    pub release_sigma_s: f64,
    /// Whether it went past the break.
    pub full: bool,
}

/// Before the stall, s, for what was flown until then.
const BEFORE_S: f64 = 8.0;

/// Whether a kind has a height ledger of a recovery.
pub(super) fn recovers(kind: Kind) -> bool {
    is_stall(kind) || kind == Kind::GoAround
}

fn is_stall(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall
    )
}

/// Reads a recovery; in words why it cannot be.
pub(super) fn read(day: &Day<'_>, maneuver: &Maneuver) -> Result<Read, &'static str> {
    let one = alone(day, maneuver)?;
    let others: Vec<Recovery> = day
        .maneuvers
        .iter()
        .filter(|other| {
            is_stall(other.kind)
                && is_stall(maneuver.kind)
                && (other.start_s - maneuver.start_s).abs() > 1.0
                && other
                    .event("full_stall")
                    .is_some_and(|e| e.probability > 0.5)
        })
        .filter_map(|other| alone(day, other).ok())
        .map(|read| read.recovery)
        .collect();
    let reference = Reference::default().with_others(&others.iter().collect::<Vec<_>>());
    Ok(Read { reference, ..one })
}

fn alone(day: &Day<'_>, maneuver: &Maneuver) -> Result<Read, &'static str> {
    let likely = |name: &str| maneuver.event(name).filter(|e| e.probability > 0.5);
    let full = likely("full_stall");
    let (stall_s, release_s, release_sigma_s) = if maneuver.kind == Kind::GoAround {
        let decision = likely("decision").ok_or("the decision to go around was not seen")?;
        (decision.at_s, decision.at_s, decision.sigma_s)
    } else {
        let release = likely("recovery_start").ok_or("the recovery was not seen")?;
        let stall = full.map_or(release.at_s, |stall| stall.at_s);
        (stall, release.at_s, release.sigma_s)
    };
    let to_s = stall_s + ledger::recovery::READING_S + 1.0;
    let flown = cut::cut(day.flight, day.fit, stall_s - BEFORE_S, to_s)?;
    let root = flown.about.density_root;
    let airplane = airplane::likeliest(day.fit, day.aircraft, root);
    // What comes off the wing again takes most of a second to be unloaded again.
    let second = likely("secondary_stall").map(|stall| stall.at_s + 0.7);
    // In a turn the angle is passed up to a second before the airplane shows it; without a vane the two are not told apart.
    let by_vane = full.is_some_and(|stall| stall.origin == Origin::Measured);
    let late_s = if maneuver.kind == Kind::AcceleratedStall && !by_vane {
        0.4
    } else {
        0.0
    };
    let told = Told {
        stall_s,
        stall_sigma_s: full.map_or(1.0, |stall| stall.sigma_s.hypot(late_s)),
        release_s,
        second_s: second,
        full: full.is_some(),
    };
    let recovery = Recovery::read(flown, airplane, told)
        .ok_or("the recovery cannot be told from what was recorded")?
        .with_power(likely("full_power").map(|event| event.at_s))
        .with_end(Some(maneuver.end_s));
    Ok(Read {
        recovery,
        reference: Reference::default(),
        release_sigma_s,
        full: full.is_some(),
    })
}
