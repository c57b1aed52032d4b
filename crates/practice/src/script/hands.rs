//! Between the maneuvers: up or down to the height, the clearing turns, the faults of the hand; and the truth around it.

use super::table::{self, KindRow, Where};
use super::{Script, Start, Task};
use crate::faults::Fault;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::maneuvers::{legs, pattern, turns};
use crate::pilot::Pilot;
use crate::slips::Slips;
use crate::speeds::Speeds;
use air::geodesy::LocalFrame;
use air::units::M_PER_FT;

/// A pilot with a script.
pub(super) struct Hands<'a> {
    pub pilot: Pilot<'a>,
    pub speeds: Speeds,
    pub script: &'a Script,
    pub frame: Option<LocalFrame>,
}

impl Hands<'_> {
    /// Flies one task and writes its truth.
    pub fn fly(&mut self, task: &Task) {
        match task.kind.and_then(table::kind) {
            None => self.leg(task),
            Some(row) => {
                let cleared = self.get_ready(task, row);
                let trims = self.pilot.trims;
                self.pilot.trims = !task.faults.has(Fault::NotTrimmed);
                self.pilot.slips = Slips::of(&task.faults, self.pilot.seen.t);
                let flown = self.maneuver(task);
                self.pilot.slips = Slips::default();
                self.pilot.trims = trims;
                for one in flown {
                    self.keep(one, task, row, cleared);
                }
            }
        }
    }

    /// Whether the airplane was where only a landing takes it.
    pub fn crashed(&self, task: &Task) -> bool {
        let near = |seen: &crate::pilot::Seen| seen.agl < 0.4 || seen.bank.abs() > 1.5;
        let row = task.kind.and_then(table::kind);
        let rolls = row.is_some_and(|row| matches!(row.at, Where::Runway | Where::ToRunway));
        let low = self.pilot.seen.on_ground && !rolls;
        low || near(&self.pilot.seen) || !self.pilot.seen.height.is_finite()
    }

    /// Some seconds more, so that the recorder sees the end of the last maneuver.
    pub fn finish(&mut self) {
        if self.pilot.seen.on_ground {
            let wings = Wings::Crossed {
                bank: 0.0,
                heading: self.script.runway.course,
            };
            self.pilot
                .hold(15.0, Goal::new(Nose::Still, wings, Power::Throttle(0.0)));
        } else {
            let height = self.pilot.seen.height;
            legs::settle(&mut self.pilot, height, &self.speeds);
        }
    }

    fn keep(&mut self, mut flown: Flown, task: &Task, row: &KindRow, cleared: Option<(f64, f64)>) {
        flown.faults = task.faults.truth();
        flown.optional |= row.optional && flown.kind == row.id;
        if flown.kind.ends_with("stall") {
            let word = if task.at_cue {
                "first_indication"
            } else {
                "full_stall"
            };
            flown.words.insert("specified_recovery", word);
        }
        if let Some((start, end)) = cleared {
            flown.moment("clearing_turns_start", start);
            flown.moment("clearing_turns_end", end);
        }
        self.pilot.log.flown.push(flown);
        self.pilot
            .log
            .flown
            .sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    }

    /// Entry height, m above the field.
    fn entry_height(&self, task: &Task, row: &KindRow) -> f64 {
        if let Some(below) = task.faults.size(Fault::BelowMinimumHeight) {
            // What it goes down on its own from the entry to the lowest point, m (from flights without faults).
            let down = match row.id {
                "power_off_stall" => 95.0,
                "accelerated_stall" => 45.0,
                "steep_spiral" => 240.0 * task.turns.unwrap_or(3.0),
                _ => 10.0,
            };
            return row.least_ft * M_PER_FT - below + down;
        }
        let usual = row.height_ft * M_PER_FT;
        let base = match self.script.start {
            Start::Air { height, .. } if usual > 1500.0 * M_PER_FT => height.max(usual),
            _ => usual,
        };
        task.height.unwrap_or(base)
    }

    /// To where it begins; the times of the clearing turns, if there were any.
    fn get_ready(&mut self, task: &Task, row: &KindRow) -> Option<(f64, f64)> {
        if row.at != Where::Area || row.height_ft == 0.0 {
            return None;
        }
        let height = self.entry_height(task, row);
        self.ready_at(height);
        let wanted = task.clearing.unwrap_or(row.clears);
        if !wanted || task.faults.has(Fault::NoClearingTurns) {
            return None;
        }
        let flown = turns::clearing(&mut self.pilot, &self.speeds);
        let times = (flown.start_s, flown.end_s);
        self.pilot.log.flown.push(flown);
        legs::cruise(&mut self.pilot, self.speeds.cruise, 6.0);
        Some(times)
    }

    /// At a height and in cruise; a few seconds when it is there already.
    pub fn ready_at(&mut self, height: f64) {
        let seen = self.pilot.seen;
        let there = (seen.height - height).abs() < 15.0
            && (seen.ias - self.speeds.cruise).abs() < 3.0
            && seen.flap < 0.01;
        if there {
            legs::cruise(&mut self.pilot, self.speeds.cruise, 10.0);
        } else {
            legs::settle(&mut self.pilot, height, &self.speeds);
        }
    }

    fn leg(&mut self, task: &Task) {
        let (pilot, speeds) = (&mut self.pilot, &self.speeds);
        let start_s = pilot.seen.t;
        let height = task.to_height.unwrap_or(pilot.seen.height);
        let leg = task.leg.unwrap_or("cruise");
        match leg {
            "turn" => {
                let side = task.side.filter(|side| *side != 0.0).unwrap_or(1.0);
                let by = side * task.turn.unwrap_or(std::f64::consts::FRAC_PI_2);
                let bank = task.bank.unwrap_or(0.35);
                legs::turn(pilot, by, bank, speeds.cruise);
            }
            "climb" => legs::climb_to(pilot, height, task.speed.unwrap_or(speeds.vy)),
            "descend" => legs::descend_to(pilot, height, 2.5, task.speed.unwrap_or(speeds.cruise)),
            _ => {
                let speed = task.speed.unwrap_or(speeds.cruise);
                legs::cruise(pilot, speed, task.seconds.unwrap_or(60.0));
            }
        }
        let mut flown = Flown::new(leg, start_s);
        flown.end_s = pilot.seen.t;
        pilot.log.fillers.push(flown);
    }

    /// The pattern of the runway to the side that was asked for.
    pub fn pattern(&self, task: &Task, lacking: f64) -> pattern::Pattern {
        pattern::Pattern {
            runway: self.script.runway,
            side: task.side.filter(|side| *side != 0.0).unwrap_or(-1.0),
            lacking,
        }
    }
}
