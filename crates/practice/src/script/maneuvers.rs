//! From a task to the maneuver that is flown.

use super::Task;
use super::hands::Hands;
use crate::faults::Fault;
use crate::log::Flown;
use crate::maneuvers::attitudes::{self, Attitude};
use crate::maneuvers::engine_out::{self, Glide};
use crate::maneuvers::field::Form;
use crate::maneuvers::go_around::{self, GoAround};
use crate::maneuvers::ground_reference::{self, Ground};
use crate::maneuvers::landing::{self, Landing, Slip};
use crate::maneuvers::performance::{self, Down};
use crate::maneuvers::pylons::{self, Pylons};
use crate::maneuvers::slow_flight::{self, SlowFlight};
use crate::maneuvers::stalls::{self, Entry, Stall};
use crate::maneuvers::takeoff::{self, Takeoff};
use crate::maneuvers::{instrument, pattern, power_off_180, turns};
use air::units::{G0_MPS2, M_PER_FT};

/// Slow flight above the speed at which the warning sounds (FAA-S-ACS-6C VII.A: without it).
const ABOVE_WARNING: f64 = 1.06;

/// The break alone takes the nose so much below where the recovery wants it, rad (seen on clean ones of the model).
const BREAK_RAD: f64 = 0.10;

/// Flaps up step by step, s: at 5°/s the largest step of the demonstration's airplane moves for three, and they have stopped
/// before the next (assumed).
const STEP_S: f64 = 4.0;

impl Hands<'_> {
    /// Flies what a task asks for, from where the airplane is; the truths of it, mostly one.
    pub(super) fn maneuver(&mut self, task: &Task) -> Vec<Flown> {
        let right = task.side.is_none_or(|side| side > 0.0);
        let side = if right { 1.0 } else { -1.0 };
        let past = task.faults.or_zero(Fault::RolloutOffHeading);
        let (pilot, speeds) = (&mut self.pilot, &self.speeds);
        let one = match task.kind.unwrap_or_default() {
            "clearing_turns" => turns::clearing(pilot, speeds),
            "slow_flight" => self.slow_flight(task),
            "steep_turn" => {
                let bank = task.bank.unwrap_or(45_f64.to_radians());
                turns::steep_past(pilot, speeds, right, bank, past)
            }
            "power_off_stall" => self.stall(task, Entry::PowerOff),
            "power_on_stall" => self.stall(task, Entry::PowerOn),
            "accelerated_stall" => self.stall(task, Entry::Accelerated),
            "chandelle" => performance::chandelle_past(pilot, speeds, right, past),
            "lazy_eight" => {
                let first = performance::half_eight(pilot, right);
                let second = performance::half_eight(pilot, !right);
                let mut both = first;
                both.direction = Some(if right { "right_left" } else { "left_right" });
                both.moment("point_180", both.end_s);
                both.moment("point_360", second.end_s);
                both.end_s = second.end_s;
                both
            }
            "steep_spiral" => performance::spiral(pilot, speeds, right, task.turns.unwrap_or(3.0)),
            "eights_on_pylons" => self.pylons(task, side),
            "turns_around_a_point" => {
                let how = self.ground(task, 2.0);
                ground_reference::enter(&mut self.pilot, &how);
                self.after_entry();
                ground_reference::around_a_point(&mut self.pilot, &how, self.frame.as_ref())
            }
            "s_turns" => {
                let how = self.ground(task, 4.0);
                ground_reference::enter(&mut self.pilot, &how);
                self.after_entry();
                ground_reference::s_turns(&mut self.pilot, &how, self.frame.as_ref())
            }
            "rectangular_course" => {
                let how = self.ground(task, 1.0);
                ground_reference::enter(&mut self.pilot, &how);
                self.after_entry();
                ground_reference::rectangle(&mut self.pilot, &how)
            }
            "emergency_descent" => {
                let low = pilot.seen.height - 1500.0 * M_PER_FT;
                let how = Down {
                    right,
                    speed: task.speed.unwrap_or(1.02 * speeds.cruise),
                    to_height: task.to_height.unwrap_or(low),
                };
                performance::emergency_descent_by(pilot, speeds, &how)
            }
            "engine_out_approach" => {
                // 500 ft above the ground: what a simulated failure is broken off at (common practice, no source).
                let low = pilot.seen.height - (pilot.seen.agl - 500.0 * M_PER_FT);
                let how = Glide {
                    right,
                    speed: task.speed.unwrap_or(speeds.glide),
                    to_height: task.to_height.unwrap_or(low),
                };
                engine_out::engine_out_approach(pilot, speeds, &how)
            }
            "constant_airspeed_climb" => {
                let to = task.to_height.unwrap_or(pilot.seen.height + 150.0);
                instrument::change(pilot, speeds, task.speed.unwrap_or(speeds.vy), to)
            }
            "constant_airspeed_descent" => {
                let to = task.to_height.unwrap_or(pilot.seen.height - 150.0);
                let speed = task.speed.unwrap_or(0.95 * speeds.cruise);
                instrument::change(pilot, speeds, speed, to)
            }
            "turn_to_heading" => {
                let heading = task.heading.unwrap_or(pilot.seen.heading + 1.5);
                let bank = task.bank.unwrap_or(0.3);
                let side = task.side.unwrap_or(0.0);
                instrument::to_heading(pilot, speeds, heading, side, bank, past)
            }
            "straight_and_level" => {
                let speed = task.speed.unwrap_or(speeds.cruise);
                instrument::straight_and_level(pilot, speed, task.seconds.unwrap_or(60.0))
            }
            "unusual_attitude_recovery" => {
                let how = Attitude {
                    nose_low: task.nose_low,
                    side,
                    pull_s: task.faults.or_zero(Fault::PulledBeforeRolling),
                    late_power_s: task.faults.or_zero(Fault::LateFullPower),
                };
                attitudes::fly(pilot, speeds, &how)
            }
            "takeoff" => {
                // Of a short field the speed is the obstacle's, as in the briefing; after it comes VY. Off a soft one VY or VX.
                let short = task.form == Form::Short;
                let obstacle = task.speed.filter(|_| short).unwrap_or(speeds.vx);
                let how = Takeoff {
                    speed: task.speed.filter(|_| !short).unwrap_or(speeds.vy),
                    form: task.form,
                    obstacle,
                    obstacle_off: task.faults.or_zero(Fault::ObstacleSpeedNotHeld),
                    early: task.faults.or_zero(Fault::LeftGroundEffectEarly),
                };
                takeoff::fly_as(pilot, speeds, &self.script.runway, &how)
            }
            _ => return self.circuit(task),
        };
        vec![one]
    }

    /// Faults of the hand begin with the maneuver, not on the way to it.
    fn after_entry(&mut self) {
        self.pilot.slips.since_s = self.pilot.seen.t;
    }

    fn circuit(&mut self, task: &Task) -> Vec<Flown> {
        let slips = std::mem::take(&mut self.pilot.slips);
        let lacking = task.faults.or_zero(Fault::NoWindCorrection);
        let kind = task.kind.unwrap_or_default();
        let about = self.pattern(task, lacking);
        let how = self.landing(task);
        let (pilot, speeds) = (&mut self.pilot, &self.speeds);
        let downwind = 1.28 * speeds.approach;
        if kind == "traffic_pattern" {
            pilot.slips = slips;
            let speed = task.speed.unwrap_or(downwind);
            let mut flown = pattern::to_abeam(pilot, speeds, &about, speed);
            flown.optional = true;
            return vec![flown];
        }
        pattern::to_abeam(pilot, speeds, &about, downwind);
        pilot.slips = slips;
        match kind {
            "go_around" => {
                let over = GoAround {
                    at_height: task.at_height.unwrap_or(150.0 * M_PER_FT),
                    late_power_s: task.faults.or_zero(Fault::LateFullPower),
                    level_s: task.faults.or_zero(Fault::ClimbedLate),
                    together: task.faults.has(Fault::FlapsRetractedTogether),
                    flaps_stay: task.faults.has(Fault::FlapsLeftDown),
                };
                vec![go_around::fly(pilot, speeds, &about, &how, &over)]
            }
            "power_off_180" => {
                let glide = Landing {
                    speed: speeds.glide,
                    flown_speed: speeds.glide + (how.flown_speed - how.speed),
                    ..how
                };
                vec![power_off_180::fly(pilot, speeds, &about, &glide)]
            }
            "forward_slip" => {
                let slip = Slip {
                    wing: task.side.filter(|side| *side != 0.0).unwrap_or(-1.0),
                    bank: task.bank.unwrap_or(0.26),
                };
                landing::slipped(pilot, speeds, &about, &how, &slip).into()
            }
            _ => vec![landing::fly(pilot, speeds, &about, &how)],
        }
    }

    fn landing(&self, task: &Task) -> Landing {
        // At most 1.3 VS0 where no manual says otherwise (FAA-S-ACS-6C, PA.IV.F.S7); a short field leaves no room for more.
        let usual = match task.form {
            Form::Short => 1.3 * self.speeds.vs0,
            _ => self.speeds.approach,
        };
        let speed = task.speed.unwrap_or(usual);
        let last = self.pilot.airframe().flaps.len().saturating_sub(1);
        Landing {
            speed,
            flown_speed: speed + task.faults.or_zero(Fault::FastApproach),
            detent: task.flaps.map_or(last, |angle| self.detent(angle)),
            flaps_over: task.faults.or_zero(Fault::FlapsAboveVfe),
            point: task.point.unwrap_or(500.0 * M_PER_FT),
            high: 0.0,
            form: task.form,
            long: task.faults.or_zero(Fault::LongTouchdown),
            nose_falls: task.faults.has(Fault::NoseNotHeldOff),
        }
    }

    fn detent(&self, angle: f64) -> usize {
        let flaps = &self.pilot.airframe().flaps;
        let near = |flap: &dynamics::airframe::Flap| (flap.angle_rad - angle).abs() < 0.005;
        flaps.iter().position(near).unwrap_or(0)
    }

    fn ground(&self, task: &Task, turns: f64) -> Ground {
        let wind = self.script.weather.wind(task.height.unwrap_or(240.0));
        Ground {
            side: task.side.filter(|side| *side != 0.0).unwrap_or(-1.0),
            radius: task.radius.unwrap_or(1600.0 * M_PER_FT),
            turns: task.turns.unwrap_or(turns),
            speed: task.speed.unwrap_or(0.95 * self.speeds.cruise),
            lacking: task.faults.or_zero(Fault::NoWindCorrection),
            downwind: if wind[0].hypot(wind[1]) > 0.5 {
                wind[1].atan2(wind[0])
            } else {
                self.pilot.seen.heading
            },
        }
    }

    /// In at the pivotal altitude of the downwind entry, 45° across the wind.
    fn pylons(&mut self, task: &Task, side: f64) -> Flown {
        let ground = self.ground(task, 1.0);
        let slips = std::mem::take(&mut self.pilot.slips);
        let mut height = self.speeds.cruise.powi(2) / G0_MPS2;
        for _ in 0..2 {
            self.ready_at(height);
            let entry = Ground {
                downwind: ground.downwind + side * 0.78,
                ..ground
            };
            ground_reference::enter(&mut self.pilot, &entry);
            height = self.pilot.seen.groundspeed.powi(2) / G0_MPS2;
        }
        self.pilot.slips = slips;
        self.after_entry();
        let how = Pylons {
            side,
            distance: task.radius.unwrap_or(1250.0 * M_PER_FT),
            speed: ground.speed,
        };
        pylons::fly(&mut self.pilot, &how, self.frame.as_ref())
    }

    fn slow_flight(&mut self, task: &Task) -> Flown {
        let airframe = self.pilot.airframe();
        let detent = task.flaps.map_or(0, |angle| self.detent(angle));
        let flap = airframe
            .flaps
            .get(detent)
            .map_or(0.0, |flap| flap.angle_rad);
        let stall = dynamics::figures::stall_speed_mps(airframe, flap);
        // Lift and speed at the angle of the warning.
        let (critical, most) = airframe.critical(flap);
        let at = airframe.static_lift(critical - airframe.warning_before_rad, flap);
        let warned = (most / at.max(0.1)).sqrt();
        let full = airframe.flaps.last().map_or(1.0, |flap| flap.angle_rad);
        let between = self.speeds.vs1 + (self.speeds.vs0 - self.speeds.vs1) * flap / full.max(1e-9);
        let speed = task.speed.unwrap_or(ABOVE_WARNING * warned * stall);
        let turn = task.turn.unwrap_or(0.0) * task.side.unwrap_or(1.0);
        let how = SlowFlight {
            seconds: task.seconds.unwrap_or(60.0),
            margin: speed / between,
            detent,
            turn,
            recover: true,
        };
        slow_flight::fly(&mut self.pilot, &self.speeds, &how)
    }

    fn stall(&mut self, task: &Task, entry: Entry) -> Flown {
        let faults = &task.faults;
        let mut how = Stall::clean(entry);
        if let Some(angle) = task.flaps {
            how.detent = self.detent(angle);
        }
        let side = task.side.unwrap_or(0.0);
        how.bank = match (entry, side) {
            (Entry::Accelerated, s) if s < 0.0 => -task.bank.unwrap_or(0.78),
            (Entry::Accelerated, _) => task.bank.unwrap_or(0.78),
            (_, s) => s * task.bank.unwrap_or(if s == 0.0 { 0.0 } else { 0.26 }),
        };
        how.descent_s = task.seconds.unwrap_or(how.descent_s);
        how.descent_s = faults.size(Fault::NotEstablished).unwrap_or(how.descent_s);
        how.at_cue = task.at_cue || faults.has(Fault::RecoveredBeforeFullStall);
        how.held_s = faults.size(Fault::StallHeld).unwrap_or(how.held_s);
        how.late_power_s = faults
            .size(Fault::LateFullPower)
            .unwrap_or(how.late_power_s);
        how.together = faults.has(Fault::FlapsRetractedTogether);
        how.flaps_stay = faults.has(Fault::FlapsLeftDown);
        how.step_s = STEP_S;
        how.level_s = faults.or_zero(Fault::ClimbedLate);
        how.second = faults.has(Fault::SecondaryStall);
        if let Some(lower) = faults.size(Fault::UnloadedTooFar) {
            how.deep = BREAK_RAD + lower;
            how.deep_whole = true;
        }
        how.abrupt = faults.or_zero(Fault::PitchedUpAbruptly);
        how.kick = faults.or_zero(Fault::WingDrop);
        if let Some(missing) = faults.size(Fault::WeakPower) {
            how.throttle = 1.0 - missing;
        }
        if let Some(over) = faults.size(Fault::FlapsAboveVfe) {
            how.flaps_over = over;
            let fast = self.speeds.vfe + over + 2.0;
            if fast > self.speeds.cruise {
                crate::maneuvers::legs::cruise(&mut self.pilot, fast, 20.0);
            }
        }
        let mut flown = stalls::fly(&mut self.pilot, &self.speeds, &how);
        if how.bank != 0.0 {
            let bank = how.bank.abs().to_degrees();
            flown.numbers.insert("specified_bank", bank);
        }
        flown
    }
}
