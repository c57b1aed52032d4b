//! What can hurt, whatever was flown: limits that a flight went beyond, maneuver or not.
//!
//! Each file looks for one kind of event; the rules that they share stand in `scene` and `held`. What is beyond
//! its limit by two standard deviations, kept up, is told as sure, by one as probable; less is noise and not told. A
//! recorder that cannot show a kind gives no event of it but a [`NotWatched`] with the reason. Sources and limits:
//! `docs/safety-events.md`.

mod attitude;
mod controls;
mod final_approach;
mod flaps;
mod height;
mod held;
mod learned;
mod load;
mod scene;
mod sink;
mod slow_turn;
mod speeds;
mod spin;

use crate::{Fact, Maneuver};
use aircraft::Aircraft;
use flight::Flight;
use scene::Scene;

/// Whose a limit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitOrigin {
    /// A published standard or regulation.
    Published,
    /// The aircraft's file.
    Aircraft,
    /// Common practice or our own number.
    Assumed,
}

impl LimitOrigin {
    /// Stable id.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            LimitOrigin::Published => "published",
            LimitOrigin::Aircraft => "aircraft",
            LimitOrigin::Assumed => "assumed",
        }
    }
}

/// A limit that the flight went beyond.
#[derive(Clone, Debug, PartialEq)]
pub struct SafetyEvent {
    /// Stable id, e.g. `above_vne`.
    pub id: &'static str,
    /// From when it was probably beyond, s.
    pub start_s: f64,
    /// Until when, s.
    pub end_s: f64,
    /// When it was worst, s.
    pub at_s: f64,
    /// The worst that was kept up, SI.
    pub value: Fact,
    /// The limit at that moment, in the unit of `value`.
    pub limit: f64,
    /// Whose limit.
    pub limit_origin: LimitOrigin,
    /// Document and place, or `common practice, no source`.
    pub source: &'static str,
    /// Two standard deviations beyond the limit; otherwise probably beyond.
    pub sure: bool,
    /// Place of the maneuver in which it was worst.
    pub maneuver: Option<usize>,
}

/// A kind of event that this recording cannot show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotWatched {
    /// Stable id of the kind.
    pub id: &'static str,
    /// Why, in words: `no bank was recorded`.
    pub why: &'static str,
}

/// What was found, and what could not be looked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Safety {
    /// What can kill at once first, then in order of time.
    pub events: Vec<SafetyEvent>,
    /// Kinds that this recording, aircraft file or terrain cannot show.
    pub not_watched: Vec<NotWatched>,
}

/// What a kind answers: its events, or why it cannot look.
type Answer = Result<Vec<SafetyEvent>, &'static str>;
/// How a kind looks.
type Look = fn(&Scene) -> Answer;

/// Every kind with its id, the gravest first.
const KINDS: [(&str, Look); 16] = [
    ("spin_entry", spin::find),
    ("load_above_limit", load::above),
    ("load_below_limit", load::below),
    ("above_vne", speeds::above_vne),
    ("slow_turn_low", slow_turn::find),
    ("sink_near_ground", sink::find),
    ("slow_on_final", final_approach::slow),
    ("banked_on_final", final_approach::banked),
    ("fast_on_final", final_approach::fast),
    ("below_minimum_height", height::find),
    ("full_deflection_above_va", controls::find),
    ("flaps_above_vfe", flaps::find),
    ("bank_beyond_60", attitude::bank),
    ("pitch_above_30", attitude::nose_high),
    ("pitch_below_minus_30", attitude::nose_low),
    ("above_vno_in_rough_air", speeds::above_vno),
];

/// Kinds that look at the height above ground wherever it was flown.
const OVER_THE_GROUND: [&str; 3] = ["slow_turn_low", "sink_near_ground", "below_minimum_height"];
const NEAR_RUNWAYS: &str = "further than 3 NM from a runway that was rolled on: the elevation of the terrain was not given (nearer the height is derived, above that runway)";

/// Ids of every kind of event, the gravest first.
pub fn ids() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|(id, _)| *id)
}

/// Looks through a flight. `maneuvers` are those that stand, in order of time.
#[must_use]
pub fn find(flight: &Flight, aircraft: &Aircraft, maneuvers: &[Maneuver]) -> Safety {
    let scene = Scene::new(flight, aircraft, maneuvers);
    let mut safety = Safety::default();
    for (id, look) in KINDS {
        match look(&scene) {
            Ok(mut events) => {
                events.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
                safety.events.extend(events);
                if OVER_THE_GROUND.contains(&id) && scene.watches_near_runways_only() {
                    let why = NEAR_RUNWAYS;
                    safety.not_watched.push(NotWatched { id, why });
                }
            }
            Err(why) => safety.not_watched.push(NotWatched { id, why }),
        }
    }
    safety
}
