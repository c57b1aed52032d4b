//! Kinematic flights: what an aircraft does when speed, climb, bank and power are simply commanded.
//! No recording and no simulator behind it: only turn rate = g·tan φ / V, position = speed + wind, and lift
//! ratio = n·(Vs/V)². Stall "breaks" are commanded pitch and climb changes of a chosen sharpness.
#![allow(dead_code)]

pub mod over_ground;

use air::units::{G0_MPS2, M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{Air, Clock, Fit, Flight, Origin, PowerState, Series, Sigma};

const DT: f64 = 0.1;

/// What is commanded during a stretch.
#[derive(Clone, Copy)]
pub struct Goal {
    /// Airspeed to go to, kt.
    pub kt: f64,
    /// At this rate, kt/s.
    pub kt_per_s: f64,
    /// Climb rate, ft/min.
    pub fpm: f64,
    /// Bank, deg, right positive.
    pub bank: f64,
    /// Power, 0 to 1.
    pub power: f64,
}

#[derive(Clone, Copy, Default)]
struct Row {
    ias: f64,
    altitude: f64,
    climb: f64,
    heading: f64,
    bank: f64,
    pitch: f64,
    load: f64,
    lift: f64,
    power: f64,
    flaps: f64,
    east: f64,
    north: f64,
    ground: bool,
}

/// A flight being flown.
#[derive(Clone)]
pub struct Pilot {
    /// Seconds flown.
    pub t: f64,
    v: f64,
    h: f64,
    climb: f64,
    psi: f64,
    bank: f64,
    power: f64,
    flaps: bool,
    droop: f64,
    east: f64,
    north: f64,
    wind: (f64, f64),
    gust: f64,
    ou: [f64; 3],
    seed: u64,
    mirror: f64,
    /// Clean stall speed of the aircraft, kt.
    pub vs: f64,
    rows: Vec<Row>,
}

impl Pilot {
    /// In cruise at 3,500 ft with a given stall speed; cruise is 1.9 of it.
    pub fn new(vs: f64) -> Pilot {
        Pilot {
            t: 0.0,
            v: 1.9 * vs,
            h: 3500.0,
            climb: 0.0,
            psi: 40.0,
            bank: 0.0,
            power: 0.65,
            flaps: false,
            droop: 0.0,
            east: 0.0,
            north: 0.0,
            wind: (0.0, 0.0),
            gust: 0.0,
            ou: [0.0; 3],
            seed: 7,
            mirror: 1.0,
            vs,
            rows: Vec::new(),
        }
    }
    /// Wind from west and from south, kt.
    pub fn wind(mut self, west: f64, south: f64) -> Pilot {
        self.wind = (west, south);
        self
    }
    /// Gusts of this many m/s (1-σ), correlated over 2 s.
    pub fn gusts(mut self, mps: f64) -> Pilot {
        self.gust = mps;
        self
    }
    /// Every turn the other way.
    pub fn mirrored(mut self) -> Pilot {
        self.mirror = -1.0;
        self
    }
    fn normal(&mut self) -> f64 {
        let mut sum = -6.0;
        for _ in 0..12 {
            self.seed = self
                .seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            sum += (self.seed >> 11) as f64 / (1u64 << 53) as f64;
        }
        sum
    }
    /// Flies toward a goal.
    pub fn fly(&mut self, seconds: f64, goal: Goal) -> &mut Pilot {
        for _ in 0..(seconds / DT).round() as usize {
            self.step(goal);
        }
        self
    }
    fn step(&mut self, goal: Goal) {
        let toward = |x: f64, to: f64, rate: f64| x + (to - x).clamp(-rate * DT, rate * DT);
        self.v = toward(self.v, goal.kt, goal.kt_per_s);
        self.bank = toward(self.bank, goal.bank * self.mirror, 12.0);
        let before = self.climb;
        self.climb += (goal.fpm - self.climb) * DT / 1.2;
        self.power = toward(self.power, goal.power, 0.5);
        self.h += self.climb / 60.0 * DT;
        let mps = self.v * MPS_PER_KT;
        self.psi += (G0_MPS2 * self.bank.to_radians().tan() / mps.max(5.0) * DT).to_degrees();
        for i in 0..3 {
            let noise = self.normal();
            self.ou[i] += -self.ou[i] * DT / 2.0 + noise * (2.0 * DT / 2.0_f64).sqrt();
        }
        let n = 1.0 / self.bank.to_radians().cos();
        let vs = if self.flaps { 0.92 * self.vs } else { self.vs };
        let lift = n * (vs / self.v.max(5.0)).powi(2);
        let gamma = (self.climb * MPS_PER_FPM / mps.max(5.0)).atan();
        let psi = self.psi.to_radians();
        self.east += (mps * psi.sin() + self.wind.0 * MPS_PER_KT) * DT;
        self.north += (mps * psi.cos() + self.wind.1 * MPS_PER_KT) * DT;
        self.rows.push(Row {
            ias: mps + self.gust * self.ou[0],
            altitude: self.h * M_PER_FT,
            climb: self.climb * MPS_PER_FPM + 0.7 * self.gust * self.ou[1],
            heading: psi,
            bank: self.bank.to_radians() + 0.03 * self.gust * self.ou[2],
            pitch: gamma + (17.0 * lift.min(1.1) - 3.0 - self.droop).to_radians(),
            // Lift carries the weight and bends the path, leaned over by the bank.
            load: n * (1.0 + (self.climb - before) * MPS_PER_FPM / DT / G0_MPS2),
            lift,
            power: self.power,
            flaps: f64::from(u8::from(self.flaps)),
            east: self.east,
            north: self.north,
            ground: false,
        });
        self.t += DT;
    }

    /// Level at the present speed.
    pub fn cruise(&mut self, seconds: f64) -> &mut Pilot {
        let kt = 1.9 * self.vs;
        self.fly(
            seconds,
            Goal {
                kt,
                kt_per_s: 2.0,
                fpm: 0.0,
                bank: 0.0,
                power: 0.65,
            },
        )
    }
    /// Turns by so many degrees (right positive) at a bank, level.
    pub fn turn(&mut self, degrees: f64, bank: f64) -> &mut Pilot {
        let kt = self.v;
        self.turn_as(
            degrees,
            Goal {
                kt,
                kt_per_s: 1.0,
                fpm: 0.0,
                bank,
                power: self.power,
            },
        )
    }
    /// The same with a goal for the rest; its bank is without sign.
    pub fn turn_as(&mut self, degrees: f64, goal: Goal) -> &mut Pilot {
        let start = self.psi;
        let bank = goal.bank.abs() * degrees.signum();
        // Roll-out takes bank / 12 s, at half the rate of turn.
        for _ in 0..20_000 {
            let rate = (G0_MPS2 * self.bank.to_radians().tan() / (self.v * MPS_PER_KT))
                .to_degrees()
                .abs();
            let lead = rate * self.bank.abs() / 12.0 / 2.0;
            if (self.psi - start).abs() >= degrees.abs() - lead {
                break;
            }
            self.step(Goal { bank, ..goal });
        }
        self.fly(goal.bank.abs() / 12.0 + 0.3, Goal { bank: 0.0, ..goal })
    }
    /// Turns by so many degrees without rolling out.
    pub fn turn_through(&mut self, degrees: f64, goal: Goal) -> &mut Pilot {
        let start = self.psi;
        let bank = goal.bank.abs() * degrees.signum();
        for _ in 0..20_000 {
            if (self.psi - start).abs() >= degrees.abs() {
                break;
            }
            self.step(Goal { bank, ..goal });
        }
        self
    }
    /// Sets the height, ft.
    pub fn at_height(&mut self, feet: f64) -> &mut Pilot {
        self.h = feet;
        self
    }
    /// Two quarter turns and back.
    pub fn clearing_turns(&mut self) -> &mut Pilot {
        self.turn(-90.0, 27.0).fly_level(2.0).turn(90.0, 27.0)
    }
    fn fly_level(&mut self, seconds: f64) -> &mut Pilot {
        let kt = self.v;
        self.fly(
            seconds,
            Goal {
                kt,
                kt_per_s: 1.0,
                fpm: 0.0,
                bank: 0.0,
                power: self.power,
            },
        )
    }
    /// Slow down level with low power.
    pub fn slow_to(&mut self, kt: f64, rate: f64) -> &mut Pilot {
        let seconds = (self.v - kt).abs() / rate;
        self.fly(
            seconds,
            Goal {
                kt,
                kt_per_s: rate,
                fpm: -30.0,
                bank: 0.0,
                power: 0.15,
            },
        )
    }
    /// Flaps out or in.
    pub fn flaps(&mut self, out: bool) -> &mut Pilot {
        self.flaps = out;
        self
    }
    /// From slow and configured: nose up to the stall, break, recovery, climb. `sharpness` 1 is a clean
    /// break, 0.2 one that is hardly there; `bottom` the least speed as a share of the stall speed.
    pub fn stall(&mut self, power: f64, bottom: f64, sharpness: f64, bank: f64) -> &mut Pilot {
        let kt = bottom * self.vs;
        let fpm = if power > 0.5 { 350.0 } else { -450.0 };
        let seconds = ((self.v - kt) / 1.2).max(2.0);
        self.fly(
            seconds,
            Goal {
                kt,
                kt_per_s: 1.2,
                fpm,
                bank,
                power,
            },
        );
        // The nose falls, the wing flies again, power comes.
        let steps = (2.5 / DT) as usize;
        for i in 0..steps {
            self.droop = 12.0 * sharpness * (i as f64 / steps as f64);
            self.step(Goal {
                kt: 1.1 * self.vs,
                kt_per_s: 1.5 + 2.0 * sharpness,
                fpm: fpm.min(0.0) - 1100.0 * sharpness,
                bank: 0.0,
                power: 1.0,
            });
        }
        for i in 0..steps {
            self.droop = 12.0 * sharpness * (1.0 - i as f64 / steps as f64);
            self.step(Goal {
                kt: 1.3 * self.vs,
                kt_per_s: 2.0 + 1.5 * sharpness,
                fpm: -300.0,
                bank: 0.0,
                power: 1.0,
            });
        }
        self.droop = 0.0;
        self.fly(
            10.0,
            Goal {
                kt: 1.45 * self.vs,
                kt_per_s: 1.5,
                fpm: 450.0,
                bank: 0.0,
                power: 1.0,
            },
        )
    }
    /// Whole power-off stall from cruise.
    pub fn power_off_stall(&mut self, bottom: f64, sharpness: f64, bank: f64) -> &mut Pilot {
        let approach = 1.35 * self.vs;
        self.slow_to(approach + 5.0, 1.1).flaps(true);
        self.fly(
            22.0,
            Goal {
                kt: approach,
                kt_per_s: 1.0,
                fpm: -600.0,
                bank,
                power: 0.1,
            },
        );
        self.stall(0.0, bottom, sharpness, bank).flaps(false);
        self.fly(
            5.0,
            Goal {
                kt: 1.45 * self.vs,
                kt_per_s: 1.0,
                fpm: 600.0,
                bank: 0.0,
                power: 1.0,
            },
        )
    }
    /// Whole power-on stall from cruise.
    pub fn power_on_stall(&mut self, bottom: f64, sharpness: f64, bank: f64) -> &mut Pilot {
        self.slow_to(1.25 * self.vs, 1.3);
        self.stall(0.85, bottom, sharpness, bank)
    }
    /// Slow flight at a share of the stall speed, with a turn each way.
    pub fn slow_flight(&mut self, share: f64, seconds: f64) -> &mut Pilot {
        let kt = share * self.vs;
        self.slow_to(kt, 1.0).flaps(true);
        let goal = Goal {
            kt,
            kt_per_s: 0.5,
            fpm: 0.0,
            bank: 0.0,
            power: 0.5,
        };
        self.fly(seconds * 0.4, goal);
        let before = self.t;
        self.turn_as(60.0, Goal { bank: 12.0, ..goal });
        let used = self.t - before;
        self.fly((seconds * 0.6 - used).max(1.0), goal)
    }
    /// Speed up again.
    pub fn speed_up(&mut self) -> &mut Pilot {
        self.flaps(false);
        let kt = 1.9 * self.vs;
        self.fly(
            22.0,
            Goal {
                kt,
                kt_per_s: 2.0,
                fpm: 0.0,
                bank: 0.0,
                power: 1.0,
            },
        )
    }

    /// The flight as the smoother would hand it over, one sample a second.
    pub fn land(&self, fit: Fit) -> Flight {
        self.sampled(fit, 1.0)
    }
    /// The same with another step, s.
    pub fn sampled(&self, fit: Fit, step_s: f64) -> Flight {
        let every = (step_s / DT).round().max(1.0) as usize;
        let rows: Vec<Row> = self.rows.iter().copied().step_by(every).collect();
        let n = rows.len();
        let attitude = fit != Fit::Gnss;
        let engine = matches!(fit, Fit::Rich | Fit::Panel);
        let rich = fit == Fit::Rich;
        let of = |f: &dyn Fn(&Row) -> f64| series(rows.iter().map(f).collect());
        let when = |yes: bool, f: &dyn Fn(&Row) -> f64| yes.then(|| of(f));
        let rate = |f: &dyn Fn(&Row) -> f64| {
            let v: Vec<f64> = rows.iter().map(f).collect();
            let r = |i: usize| (v[(i + 1).min(n - 1)] - v[i.saturating_sub(1)]) / (2.0 * step_s);
            series((0..n).map(r).collect())
        };
        let energy = |r: &Row| r.altitude + r.ias * r.ias / (2.0 * G0_MPS2);
        let power_state = rows.iter().map(|r| match (engine, r.power) {
            (false, _) => PowerState::Unknown,
            (_, p) if p < 0.12 => PowerState::Idle,
            (_, p) if p > 0.9 => PowerState::Full,
            _ => PowerState::Partial,
        });
        let mut flight = blank(n, step_s, fit);
        flight.air = if self.gust > 1.2 {
            Air::Rough
        } else if self.gust > 0.4 {
            Air::Light
        } else {
            Air::Calm
        };
        flight.power_state = power_state.collect();
        flight.on_ground = rows.iter().map(|r| r.ground).collect();
        flight.east = Some(of(&|r| r.east));
        flight.north = Some(of(&|r| r.north));
        flight.altitude = Some(of(&|r| r.altitude));
        flight.height = flight.altitude.clone();
        flight.agl = Some(of(&|r| r.altitude - 150.0));
        flight.climb = Some(of(&|r| r.climb));
        flight.ias = Some(of(&|r| r.ias));
        flight.tas = flight.ias.clone();
        flight.tas_rate = Some(rate(&|r| r.ias));
        flight.heading = Some(of(&|r| r.heading));
        flight.air_track = flight.heading.clone();
        flight.turn_rate = Some(rate(&|r| r.heading));
        flight.bank = Some(of(&|r| r.bank));
        flight.pitch = when(attitude, &|r| r.pitch);
        flight.load = when(attitude, &|r| r.load);
        flight.lift_ratio = Some(of(&|r| r.lift));
        flight.energy = Some(of(&energy));
        flight.excess_power = Some(rate(&energy));
        flight.power = when(engine, &|r| r.power);
        flight.stall_warning = when(rich, &|r| f64::from(u8::from(r.lift > 0.8)));
        flight.ground_speed = Some(of(&|r| r.ias));
        flight
    }
}

pub fn series(values: Vec<f64>) -> Series {
    Series {
        values,
        sigma: Sigma::Constant(0.1),
        origin: Origin::Measured,
    }
}

/// A flight of which nothing is known but its clock.
pub fn blank(n: usize, step_s: f64, fit: Fit) -> Flight {
    Flight {
        name: "kinematic".to_owned(),
        known: vec![true; n],
        fit,
        air: Air::Calm,
        gust_mps: f64::NAN,
        origin_latitude_rad: 0.6,
        origin_longitude_rad: -1.4,
        variation_rad: 0.0,
        power_state: Vec::new(),
        on_ground: vec![false; n],
        remarks: Vec::new(),
        ..Flight::empty(Clock { step_s, len: n })
    }
}

/// An aircraft file with nothing but stall speeds, kt.
pub fn aircraft(vs1: f64) -> Aircraft {
    let mut aircraft = Aircraft {
        name: "kinematic trainer".to_owned(),
        ..Aircraft::default()
    };
    aircraft.speeds.vs1_mps = Some(vs1 * MPS_PER_KT);
    aircraft.speeds.vs0_mps = Some(0.92 * vs1 * MPS_PER_KT);
    aircraft.speeds.vy_mps = Some(1.45 * vs1 * MPS_PER_KT);
    aircraft
}
