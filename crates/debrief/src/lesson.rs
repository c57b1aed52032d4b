//! The whole flight for people: every second as a maneuver or a leg, and how the time was spent.

use crate::convert::tidy;
use crate::document::{Lesson, LessonPiece, LessonTime};
use crate::words;
use flight::Flight;
use maneuver::{Kind, Leg, Maneuver, Piece, tiles};

/// What time is summed under. A leg that no row names is its own group.
const LEGS: [(&str, &str); 9] = [
    ("turn", "turns"),
    ("level", "straight and level"),
    ("upwind", PATTERN),
    ("crosswind", PATTERN),
    ("downwind", PATTERN),
    ("base", PATTERN),
    ("final", PATTERN),
    ("short final", PATTERN),
    ("taxi", "on the ground"),
];
const PATTERN: &str = "takeoffs, landings and the pattern";

fn of_kind(kind: Kind) -> &'static str {
    match kind {
        Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall => "stalls",
        Kind::SlowFlight => "slow flight",
        Kind::SteepTurn => "steep turns",
        Kind::ClearingTurns => "clearing turns",
        Kind::Chandelle | Kind::LazyEight | Kind::SteepSpiral => "performance maneuvers",
        Kind::EightsOnPylons | Kind::TurnsAroundAPoint | Kind::STurns | Kind::RectangularCourse => {
            "ground reference"
        }
        Kind::EmergencyDescent => "emergency descents",
        Kind::EngineOutApproach => "engine-out approaches",
        Kind::ConstantAirspeedClimb
        | Kind::ConstantAirspeedDescent
        | Kind::TurnToHeading
        | Kind::StraightAndLevel
        | Kind::UnusualAttitudeRecovery => "instrument work",
        Kind::Takeoff
        | Kind::Landing
        | Kind::GoAround
        | Kind::PowerOff180
        | Kind::ForwardSlip
        | Kind::TrafficPattern => PATTERN,
    }
}

fn of_leg(name: &'static str) -> &'static str {
    LEGS.iter()
        .find(|(leg, _)| *leg == name)
        .map_or(name, |(_, group)| group)
}

/// Every second of the flight, from its first sample to its last, and the sums.
///
/// `legs` are those of [`maneuver::found`]; `maneuvers` those that stand after a person's corrections, so that the
/// account follows them. The pieces meet end to end, and the times add up to the flight.
#[must_use]
pub fn lesson(flight: &Flight, legs: &[Leg], maneuvers: &[Maneuver]) -> Lesson {
    let end_s = flight.clock.time_s(flight.clock.len.saturating_sub(1));
    let pieces: Vec<LessonPiece> = tiles(end_s, maneuvers, legs)
        .into_iter()
        .map(|tile| {
            let (group, name, direction, number) = match tile.what {
                Piece::Leg(name, direction) => (of_leg(name), name.to_owned(), direction, None),
                Piece::Maneuver(place) => maneuvers.get(place).map_or(
                    (
                        "not recorded",
                        String::new(),
                        maneuver::Direction::None,
                        None,
                    ),
                    |found| {
                        let title = words::title(found);
                        (of_kind(found.kind), title, found.direction, Some(place + 1))
                    },
                ),
            };
            LessonPiece {
                start_s: tidy(tile.start_s),
                end_s: tidy(tile.end_s),
                group: group.to_owned(),
                name,
                direction: direction.id().to_owned(),
                maneuver: number,
            }
        })
        .collect();
    Lesson {
        times: times(&pieces),
        pieces,
    }
}

/// Seconds by group, most first.
fn times(pieces: &[LessonPiece]) -> Vec<LessonTime> {
    let mut times: Vec<LessonTime> = Vec::new();
    for piece in pieces {
        let seconds = piece.end_s - piece.start_s;
        match times.iter_mut().find(|time| time.group == piece.group) {
            Some(time) => {
                time.seconds += seconds;
                time.pieces += 1;
            }
            None => times.push(LessonTime {
                group: piece.group.clone(),
                seconds,
                pieces: 1,
            }),
        }
    }
    for time in &mut times {
        time.seconds = tidy(time.seconds);
    }
    times.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
    times
}
