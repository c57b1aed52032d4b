//! A pilot of flesh: loops that hold a goal, with a lag, a hand that wanders, and eyes on the instruments.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::{Log, Sample};
use crate::plant::{Mover, Plant};
use crate::slips::Slips;
use air::airspeed::{cas_from_tas_mps, tas_from_cas_mps};
use air::units::{G0_MPS2, wrap_pi};
use dynamics::outside::Lost;
use dynamics::state::rotate_back;
use dynamics::trim::{Path, Wanted, trim};
use dynamics::{Airframe, Controls, Felt, Flying, State, Weather};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

/// Step of the model, s.
pub const STEP_S: f64 = 0.01;
/// Steps of the model in one of the hand.
const HAND: usize = 2;
/// Samples of the log, s.
pub const LOG_S: f64 = 0.1;

/// What can be read off the instruments and felt.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Since the start, s.
    pub t: f64,
    /// Indicated (calibrated) airspeed, m/s.
    pub ias: f64,
    /// Height above the reference, m.
    pub height: f64,
    /// Height above the ground, m.
    pub agl: f64,
    /// Rate of climb, m/s.
    pub climb: f64,
    /// Bank, rad.
    pub bank: f64,
    /// Pitch, rad.
    pub pitch: f64,
    /// Heading, true, rad.
    pub heading: f64,
    /// Track, true, rad.
    pub track: f64,
    /// Groundspeed, m/s.
    pub groundspeed: f64,
    /// North and east of the reference, m.
    pub place: [f64; 2],
    /// Angle of attack, rad.
    pub alpha: f64,
    /// Lateral load, g, as the ball shows it.
    pub lateral_g: f64,
    /// Load factor.
    pub normal_g: f64,
    /// Attached share of the flow, the worse half.
    pub attached: f64,
    /// Flap angle, rad.
    pub flap: f64,
    /// True airspeed, m/s.
    pub tas: f64,
    /// Weight on the wheels.
    pub on_ground: bool,
}

/// How good the pilot is: the size of what wanders. One is a student on a fair day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skill {
    /// Size of wandering of pitch and bank.
    pub wander: f64,
}

/// Where a flight begins, in level flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Height above the reference, m.
    pub height_m: f64,
    /// Calibrated airspeed, m/s.
    pub cas_mps: f64,
    /// Heading, rad from true north.
    pub heading_rad: f64,
}

/// The pilot at the controls. A clone stands where this one does and flies our own model until [`Pilot::in_plant`].
#[derive(Clone)]
pub struct Pilot<'a> {
    /// The aircraft.
    pub flying: Flying<'a>,
    /// What the hands hold.
    pub controls: Controls,
    /// What is seen.
    pub seen: Seen,
    /// What was flown.
    pub log: Log,
    /// What the hands do wrong at the moment.
    pub slips: Slips,
    /// Whether the stick's force is trimmed away; off, the trim stays where it is.
    pub trims: bool,
    /// Stick and trim together: what the loops work on.
    stick: f64,
    skill: Skill,
    random: Pcg64,
    wander: [f64; 3],
    pitch_sum: f64,
    nose_sum: f64,
    nose_was: Option<u8>,
    power_sum: f64,
    power_was: Option<u8>,
    ball_sum: f64,
    crossed_was: bool,
    pitch_goal: f64,
    last_ias: f64,
    rate_ias: f64,
    next_log: f64,
    /// What moves the airplane, where it is not our own model.
    plant: Mover<'a>,
    /// Why it does not move any more.
    lost: Option<Lost>,
}

impl<'a> Pilot<'a> {
    /// Takes the controls.
    #[must_use]
    pub fn new(
        airframe: &'a Airframe,
        weather: &'a Weather,
        state: State,
        controls: Controls,
        skill: Skill,
        seed: u64,
    ) -> Pilot<'a> {
        let flying = Flying::new(airframe, weather, state, &controls, seed);
        let [bank, pitch, heading] = state.attitude();
        let seen = Seen {
            t: 0.0,
            ias: state.0[3],
            height: state.height_m(),
            agl: state.height_m(),
            climb: 0.0,
            bank,
            pitch,
            heading,
            track: heading,
            groundspeed: state.0[3],
            place: [0.0, 0.0],
            alpha: 0.05,
            lateral_g: 0.0,
            normal_g: 1.0,
            attached: 1.0,
            flap: controls.flap_rad,
            tas: state.0[3],
            on_ground: false,
        };
        Pilot {
            flying,
            controls,
            seen,
            log: Log::default(),
            slips: Slips::default(),
            trims: false,
            stick: controls.elevator + controls.trim,
            skill,
            random: Pcg64::seed_from_u64(seed ^ 0x5eed),
            wander: [0.0; 3],
            pitch_sum: controls.elevator,
            nose_sum: pitch,
            nose_was: None,
            power_sum: controls.throttle,
            power_was: None,
            ball_sum: 0.0,
            crossed_was: false,
            pitch_goal: pitch,
            last_ias: state.0[3],
            rate_ias: 0.0,
            next_log: 0.0,
            plant: Mover::default(),
            lost: None,
        }
    }

    /// Flies something else than our own model from here on, from the same state in the same air.
    ///
    /// # Errors
    /// When it does not begin.
    pub fn in_plant(mut self, mut plant: Box<dyn Plant + 'a>) -> Result<Pilot<'a>, Lost> {
        plant.begin(&self.flying)?;
        self.plant = Mover(Some(plant));
        Ok(self)
    }

    /// Why the flight ended before its time; none where all is well.
    #[must_use]
    pub fn lost(&self) -> Option<&Lost> {
        self.lost.as_ref()
    }

    /// Takes the controls in level flight at a height, m, and calibrated airspeed, m/s, on a heading, rad; none where
    /// the airplane cannot hold that.
    #[must_use]
    pub fn in_level_flight(
        airframe: &'a Airframe,
        weather: &'a Weather,
        start: &Start,
        skill: Skill,
        seed: u64,
    ) -> Option<Pilot<'a>> {
        let (pressure, temperature) = weather.pressure_and_temperature(start.height_m);
        let wanted = Wanted {
            tas_mps: tas_from_cas_mps(start.cas_mps, pressure, temperature),
            bank_rad: 0.0,
            flap_rad: 0.0,
            path: Path::Angle(0.0),
            density_kgpm3: weather.density_kgpm3(start.height_m),
        };
        let found = trim(airframe, &wanted)?;
        let mut state = found.state;
        state.0[2] = -start.height_m;
        let [bank, pitch, _] = state.attitude();
        state.set_attitude(bank, pitch, start.heading_rad);
        // The state moves over the ground: the wind carries it.
        let wind = rotate_back(&state.to_earth(), weather.wind(start.height_m));
        for (moving, wind) in state.0[3..6].iter_mut().zip(wind) {
            *moving += wind;
        }
        let controls = Controls {
            elevator: found.surfaces.elevator,
            aileron: found.surfaces.aileron,
            rudder: found.surfaces.rudder,
            throttle: found.surfaces.throttle,
            ..Controls::default()
        };
        Some(Pilot::new(airframe, weather, state, controls, skill, seed))
    }

    /// The airframe that is flown.
    #[must_use]
    pub fn airframe(&self) -> &'a Airframe {
        self.flying.airframe
    }

    /// Stick and trim for a takeoff: a little nose up, by the trim alone.
    pub fn trim_for_takeoff(&mut self) {
        self.stick = 0.08;
        self.pitch_sum = self.stick;
        self.controls.trim = self.stick;
        self.controls.elevator = 0.0;
        self.nose_was = None;
    }

    /// A random number of unit variance.
    pub fn chance(&mut self) -> f64 {
        StandardNormal.sample(&mut self.random)
    }

    /// Flies what `next` says until it says nothing more, at most `limit_s`.
    pub fn fly(&mut self, limit_s: f64, mut next: impl FnMut(&mut Pilot<'a>) -> Option<Goal>) {
        let until = self.seen.t + limit_s;
        while self.seen.t < until && self.lost.is_none() {
            let Some(goal) = next(self) else { break };
            self.hand(&goal);
        }
    }

    /// Holds one goal for a time.
    pub fn hold(&mut self, seconds: f64, goal: Goal) {
        self.fly(seconds, |_| Some(goal));
    }

    fn hand(&mut self, goal: &Goal) {
        let step = STEP_S * HAND as f64;
        let spoiled = self.slips.spoil(*goal, self.seen.t);
        let goal = &spoiled;
        self.drift(step);
        self.elevator(goal, step);
        self.trim_away(step);
        self.ailerons(goal, step);
        self.feet(goal, step);
        self.throttle(goal, step);
        for _ in 0..HAND {
            let moved = match &mut self.plant.0 {
                None => Ok(self.flying.step(&self.controls, STEP_S)),
                Some(plant) => plant.step(&mut self.flying, &self.controls, STEP_S),
            };
            match moved {
                Ok(felt) => self.look(&felt),
                Err(lost) => {
                    self.lost = Some(lost);
                    return;
                }
            }
        }
        let change = (self.seen.ias - self.last_ias) / step;
        self.last_ias = self.seen.ias;
        self.rate_ias += step / 0.8 * (change - self.rate_ias);
    }

    /// The hand wanders: a slow walk about the goal, with a memory of some seconds.
    fn drift(&mut self, step: f64) {
        let sizes = [0.35_f64.to_radians(), 1.0_f64.to_radians(), 0.012];
        let memory = [5.0, 4.0, 12.0];
        for axis in 0..3 {
            let keep = (-step / memory[axis]).exp();
            let noise = self.chance();
            self.wander[axis] = keep * self.wander[axis]
                + self.skill.wander * sizes[axis] * (1.0 - keep * keep).sqrt() * noise;
        }
    }

    fn elevator(&mut self, goal: &Goal, step: f64) {
        let seen = self.seen;
        let kind = match goal.nose {
            Nose::Pitch(_) => 0,
            Nose::Speed(_) => 1,
            Nose::Height(_) | Nose::Climb(_) => 2,
            Nose::Alpha(_) => 3,
            Nose::Back(_) | Nose::Still => 4,
        };
        if self.nose_was != Some(kind) {
            self.nose_sum = seen.pitch;
            self.pitch_goal = seen.pitch;
            self.nose_was = Some(kind);
        }
        // Whoever did not mean to stall lets the stick go forward, whatever else was wanted.
        let meant = matches!(goal.nose, Nose::Back(_) | Nose::Still | Nose::Alpha(_));
        let critical = self.airframe().critical_near(seen.flap);
        if !meant && !seen.on_ground && seen.alpha > critical - 0.01 {
            let forward = (self.stick - 1.2 * step).max(-0.35);
            self.stick = forward;
            self.pitch_sum = forward.max(-0.1);
            self.pitch_goal = seen.pitch;
            self.nose_sum = seen.pitch - 0.03;
            return;
        }
        let wanted = match goal.nose {
            Nose::Back(rate) => {
                self.stick = (self.stick + rate * step).clamp(-1.0, 1.0);
                self.pitch_sum = self.stick;
                return;
            }
            Nose::Still => return,
            Nose::Pitch(pitch) => pitch,
            Nose::Speed(speed) => {
                let off = seen.ias - speed;
                self.nose_sum = (self.nose_sum + 0.002 * off * step).clamp(-0.5, 0.6);
                (self.nose_sum + 0.012 * off + 0.03 * self.rate_ias).clamp(-0.45, 0.42)
            }
            Nose::Height(height) => {
                self.for_climb((0.12 * (height - seen.height)).clamp(-3.0, 3.0), step)
            }
            Nose::Climb(climb) => self.for_climb(climb, step),
            Nose::Alpha(alpha) => {
                let off = alpha - seen.alpha;
                seen.pitch + 1.2 * off
            }
        };
        let wanted = wanted + self.wander[0];
        let reach = goal.pitch_rate * step;
        self.pitch_goal += (wanted - self.pitch_goal).clamp(-reach, reach);
        // The surfaces bite with dynamic pressure: the hand moves less where they bite more.
        let bite = (45.0 / seen.tas.max(20.0)).powi(2);
        let off = self.pitch_goal - seen.pitch;
        let rate = self.flying.state.rates()[1];
        self.pitch_sum = (self.pitch_sum + 1.3 * bite * off * step).clamp(-1.0, 1.0);
        let stick = self.pitch_sum + bite * (1.8 * off - 0.55 * rate);
        self.stick = stick.clamp(-1.0, 1.0);
    }

    /// What is held for long goes to the trim wheel, by and by.
    fn trim_away(&mut self, step: f64) {
        if self.trims {
            let force = self.stick - self.controls.trim;
            self.controls.trim += (0.25 * force).clamp(-0.04, 0.04) * step;
        }
        self.controls.elevator = self.stick - self.controls.trim;
    }

    fn for_climb(&mut self, climb: f64, step: f64) -> f64 {
        let off = (climb - self.seen.climb) / self.seen.tas.max(20.0);
        // In a turn the wing needs more angle: part of it is known beforehand.
        let turn = 0.09 * (1.0 / self.seen.bank.cos().max(0.4) - 1.0);
        self.nose_sum = (self.nose_sum + 0.35 * off * step).clamp(-0.4, 0.5);
        (self.nose_sum + turn + 0.7 * off).clamp(-0.4, 0.5)
    }

    fn ailerons(&mut self, goal: &Goal, step: f64) {
        let seen = self.seen;
        let bank = match goal.wings {
            Wings::Free => {
                self.controls.aileron *= 1.0 - 2.0 * step;
                return;
            }
            Wings::Bank(bank) | Wings::Crossed { bank, .. } => bank,
            Wings::Heading(heading) => (1.4 * wrap_pi(heading - seen.heading)).clamp(-0.35, 0.35),
        } + self.wander[1];
        let roll = (1.3 * wrap_pi(bank - seen.bank)).clamp(-0.35, 0.35);
        let bite = 45.0 / seen.tas.max(20.0);
        let rate = self.flying.state.rates()[0];
        self.controls.aileron = (bite * (0.95 * roll + 0.5 * (roll - rate))).clamp(-1.0, 1.0);
    }

    fn feet(&mut self, goal: &Goal, step: f64) {
        let crossed = matches!(goal.wings, Wings::Crossed { .. });
        if crossed != self.crossed_was {
            self.ball_sum = 0.0;
            self.crossed_was = crossed;
        }
        if let Wings::Crossed { heading, .. } = goal.wings {
            self.steer(heading, step);
            return;
        }
        let ball = self.seen.lateral_g - self.slips.ball_g;
        self.ball_sum = (self.ball_sum - 0.8 * ball * step).clamp(-0.6, 0.6);
        let yaw = self.flying.state.rates()[2];
        let turning = G0_MPS2 * self.seen.bank.tan().clamp(-2.0, 2.0) / self.seen.tas.max(15.0)
            * self.seen.bank.cos();
        let damp = -0.35 * (yaw - turning);
        self.controls.rudder = (self.ball_sum - 0.7 * ball + damp + goal.foot).clamp(-1.0, 1.0);
    }

    /// Pedals that hold a heading, whatever the ball says: on the runway and in a slip.
    fn steer(&mut self, heading: f64, step: f64) {
        let off = wrap_pi(heading - self.seen.heading);
        let yaw = self.flying.state.rates()[2];
        self.ball_sum = (self.ball_sum + 1.2 * off * step).clamp(-0.6, 0.6);
        // The nose wheel bites with speed, the rudder does not at rest: less pedal the faster it rolls.
        let bite = if self.seen.on_ground {
            15.0 / self.seen.groundspeed.max(5.0)
        } else {
            1.0
        };
        self.controls.rudder = (self.ball_sum + bite * (2.2 * off - 1.1 * yaw)).clamp(-1.0, 1.0);
    }

    fn throttle(&mut self, goal: &Goal, step: f64) {
        let seen = self.seen;
        let kind = match goal.power {
            Power::Throttle(_) => 0,
            Power::Speed(_) => 1,
            Power::Height(_) | Power::Climb(_) => 2,
        };
        if self.power_was != Some(kind) {
            self.power_sum = self.controls.throttle;
            self.power_was = Some(kind);
        }
        self.controls.throttle = match goal.power {
            Power::Throttle(throttle) => throttle,
            Power::Speed(speed) => {
                let off = speed - seen.ias;
                self.power_sum = (self.power_sum + 0.012 * off * step).clamp(0.0, 1.0);
                self.power_sum + 0.06 * off - 0.12 * self.rate_ias + self.wander[2]
            }
            Power::Height(height) => {
                self.power_for((0.1 * (height - seen.height)).clamp(-2.0, 2.0), step)
            }
            Power::Climb(climb) => self.power_for(climb, step),
        }
        .clamp(0.0, 1.0);
    }

    fn power_for(&mut self, climb: f64, step: f64) -> f64 {
        let off = climb - self.seen.climb;
        self.power_sum = (self.power_sum + 0.05 * off * step).clamp(0.0, 1.0);
        self.power_sum + 0.10 * off + self.wander[2]
    }

    fn look(&mut self, felt: &Felt) {
        let state = &self.flying.state;
        let height = state.height_m();
        let (pressure, temperature) = self.flying.weather.pressure_and_temperature(height);
        let [bank, pitch, heading] = state.attitude();
        let [north, east, down] = state.velocity_ned();
        self.seen = Seen {
            t: self.flying.time_s,
            ias: cas_from_tas_mps(felt.flow.tas_mps, pressure, temperature),
            height,
            agl: height - self.flying.ground_m,
            climb: -down,
            bank,
            pitch,
            heading,
            track: east.atan2(north).rem_euclid(std::f64::consts::TAU),
            groundspeed: north.hypot(east),
            place: [state.0[0], state.0[1]],
            alpha: felt.flow.alpha_rad,
            lateral_g: felt.specific_force_g[1],
            normal_g: -felt.specific_force_g[2],
            attached: state.0[14].min(state.0[15]),
            flap: self.flying.surfaces.flap_rad,
            tas: felt.flow.tas_mps,
            on_ground: felt.on_ground,
        };
        if self.seen.t + 1e-9 >= self.next_log {
            self.next_log += LOG_S;
            let critical = self.airframe().critical_near(self.seen.flap);
            let warning = felt.flow.alpha_rad > critical - self.airframe().warning_before_rad
                && !felt.on_ground;
            self.log.samples.push(Sample {
                seen: self.seen,
                controls: self.controls,
                surfaces: self.flying.surfaces,
                spin_radps: state.0[13],
                power_share: felt.power_share,
                pressure_pa: pressure,
                temperature_k: temperature,
                warning,
                lift: felt.lift,
            });
        }
    }
}
