//! A circuit flown by kinematics alone: every moment of it is known because it was commanded. Turn rate =
//! g·tan φ / V, place = speed + wind; no recording and no simulator behind it.
#![allow(dead_code)]

use air::units::{G0_MPS2, M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use aircraft::{Aircraft, Detent};
use flight::{Clock, Fit, Flight, Origin, Series, Sigma};
use std::collections::BTreeMap;

const DT: f64 = 0.05;

#[derive(Clone, Copy, Default)]
struct Row {
    v: f64,
    h: f64,
    climb: f64,
    psi: f64,
    bank: f64,
    pitch: f64,
    load: f64,
    power: f64,
    east: f64,
    north: f64,
    slip: f64,
}

/// What is held for a while, SI and radians.
#[derive(Clone, Copy)]
pub struct Hold {
    /// Speed to go to, m/s.
    pub v: f64,
    /// At this rate, m/s².
    pub rate: f64,
    /// Climb to go to, m/s.
    pub climb: f64,
    /// Within about so many seconds.
    pub soon_s: f64,
    /// Bank, rad.
    pub bank: f64,
    /// Nose above the path, rad.
    pub alpha: f64,
    /// Power, 0 to 1.
    pub power: f64,
}

/// The flight as it goes.
#[derive(Clone)]
pub struct Circuit {
    now: Row,
    rows: Vec<Row>,
    t: f64,
    /// Times of what was commanded, s.
    pub moments: BTreeMap<&'static str, f64>,
    /// Altitude of the runway, m.
    pub runway_m: f64,
    /// Stall speed, m/s.
    pub vs: f64,
    /// Wind along the runway against the takeoff, m/s.
    pub headwind: f64,
    course: f64,
    side: f64,
    ground: bool,
    /// Where it touched, m east and north.
    pub touched: (f64, f64),
}

impl Circuit {
    /// Standing on a runway of a course, deg true, at an altitude, ft, with a stall speed, kt; left or right traffic.
    pub fn new(vs_kt: f64, course_deg: f64, altitude_ft: f64, left: bool) -> Circuit {
        let course = course_deg.to_radians();
        Circuit {
            now: Row {
                h: altitude_ft * M_PER_FT,
                psi: course,
                load: 1.0,
                pitch: 0.05,
                ..Row::default()
            },
            rows: Vec::new(),
            t: 0.0,
            moments: BTreeMap::new(),
            runway_m: altitude_ft * M_PER_FT,
            vs: vs_kt * MPS_PER_KT,
            headwind: 0.0,
            course,
            side: if left { -1.0 } else { 1.0 },
            ground: true,
            touched: (f64::NAN, f64::NAN),
        }
    }

    /// Wind against the takeoff, kt.
    pub fn headwind(mut self, kt: f64) -> Circuit {
        self.headwind = kt * MPS_PER_KT;
        self
    }

    /// Remembers this moment.
    pub fn mark(&mut self, name: &'static str) -> &mut Circuit {
        self.moments.insert(name, self.t);
        self
    }

    fn step(&mut self, hold: Hold) {
        let toward = |x: f64, to: f64, most: f64| x + (to - x).clamp(-most * DT, most * DT);
        let now = &mut self.now;
        now.v = toward(now.v, hold.v, hold.rate);
        let before = now.climb;
        now.climb += (hold.climb - now.climb) * (DT / hold.soon_s).min(1.0);
        if self.ground {
            now.climb = 0.0;
        }
        now.bank = toward(now.bank, hold.bank, 0.2);
        now.power = toward(now.power, hold.power, 0.5);
        now.h += now.climb * DT;
        if now.v > 5.0 && now.slip == 0.0 {
            now.psi += G0_MPS2 * now.bank.tan() / now.v * DT;
        }
        now.pitch = toward(
            now.pitch,
            (now.climb / now.v.max(10.0)).atan() + hold.alpha,
            0.07,
        );
        now.load = 1.0 / now.bank.cos() + (now.climb - before) / DT / G0_MPS2;
        let path = now.psi - now.slip;
        // Standing, no wind moves it.
        let wind = if self.ground && now.v < 0.1 {
            0.0
        } else {
            self.headwind
        };
        let (ve, vn) = (
            now.v * path.sin() - wind * self.course.sin(),
            now.v * path.cos() - wind * self.course.cos(),
        );
        now.east += ve * DT;
        now.north += vn * DT;
        self.rows.push(*now);
        self.t += DT;
    }

    /// Holds for some seconds.
    pub fn hold(&mut self, seconds: f64, hold: Hold) -> &mut Circuit {
        for _ in 0..(seconds / DT).round() as usize {
            self.step(hold);
        }
        self
    }

    fn turn(&mut self, hold: Hold, degrees: f64) {
        let start = self.now.psi;
        let bank = hold.bank.abs() * degrees.signum();
        let lead = |now: &Row| G0_MPS2 * now.bank.tan().abs() / now.v * now.bank.abs() / 0.2 / 2.0;
        while (self.now.psi - start).abs() < degrees.abs().to_radians() - lead(&self.now) {
            self.step(Hold { bank, ..hold });
        }
        while self.now.bank.abs() > 0.002 {
            self.step(Hold { bank: 0.0, ..hold });
        }
    }

    fn ordinary(&self, factor: f64, fpm: f64, power: f64) -> Hold {
        Hold {
            v: factor * self.vs,
            rate: 0.7,
            climb: fpm * MPS_PER_FPM,
            soon_s: 1.5,
            bank: 0.0,
            alpha: 0.05,
            power,
        }
    }

    /// Level at a share of the stall speed.
    pub fn level(&self, factor: f64) -> Hold {
        self.ordinary(factor, 0.0, 0.6)
    }

    /// Stands, takes off and climbs to some height, ft, straight out. Constant acceleration on the roll, m/s².
    pub fn take_off(&mut self, acceleration: f64, to_ft: f64) -> &mut Circuit {
        let still = Hold {
            v: 0.0,
            ..self.ordinary(0.0, 0.0, 0.1)
        };
        self.hold(15.0, still).mark("power_up");
        let roll = Hold {
            v: 9.0 * self.vs,
            rate: acceleration,
            ..self.ordinary(1.0, 0.0, 1.0)
        };
        // What the wind gives is there before it rolls.
        self.now.v = self.headwind.max(0.2);
        while self.now.v < 1.10 * self.vs {
            self.step(roll);
        }
        self.mark("rotate");
        while self.now.v < 1.20 * self.vs {
            self.step(Hold {
                alpha: 0.16,
                ..roll
            });
        }
        self.mark("lift_off");
        self.ground = false;
        let climb = Hold {
            alpha: 0.12,
            ..self.ordinary(1.45, 650.0, 1.0)
        };
        while self.now.h < self.runway_m + to_ft * M_PER_FT {
            self.step(climb);
        }
        self.mark("top")
    }

    /// From the climb around to downwind at 1,000 ft and on to abeam and past it.
    pub fn downwind(&mut self) -> &mut Circuit {
        let bank = 22_f64.to_radians();
        let climb = Hold {
            bank,
            alpha: 0.12,
            ..self.ordinary(1.45, 650.0, 1.0)
        };
        self.turn(climb, 90.0 * self.side);
        while self.now.h < self.runway_m + 1000.0 * M_PER_FT {
            self.step(Hold { bank: 0.0, ..climb });
        }
        let level = Hold {
            bank,
            ..self.ordinary(1.7, 0.0, 0.55)
        };
        self.turn(level, 90.0 * self.side);
        self.hold(45.0, Hold { bank: 0.0, ..level })
    }

    /// Descends at `fpm` by base and final at a share of the stall speed to `low_ft` above the runway. Power as given.
    pub fn approach(&mut self, factor: f64, fpm: f64, low_ft: f64, power: f64) -> &mut Circuit {
        self.mark("idle");
        let bank = 25_f64.to_radians();
        let down = Hold {
            bank,
            alpha: 0.07,
            ..self.ordinary(factor, -fpm, power)
        };
        self.hold(18.0, Hold { bank: 0.0, ..down }).mark("base");
        self.turn(down, 90.0 * self.side);
        self.hold(9.0, Hold { bank: 0.0, ..down })
            .mark("final_turn");
        self.turn(down, 90.0 * self.side);
        self.now.psi = self.course + (self.now.psi - self.course).round_to_turn();
        self.mark("final");
        while self.now.h > self.runway_m + low_ft * M_PER_FT {
            self.step(Hold { bank: 0.0, ..down });
        }
        self
    }

    /// From 15 ft: the sink is eased to `fpm`, and the wheels touch with it.
    pub fn land(&mut self, fpm: f64, hop_m: f64) -> &mut Circuit {
        self.mark("flare");
        let flare = Hold {
            soon_s: 1.2,
            rate: 1.1,
            alpha: 0.14,
            power: 0.02,
            ..self.ordinary(1.12, -fpm, 0.02)
        };
        while self.now.h > self.runway_m {
            self.step(flare);
        }
        self.touch();
        self.mark("touchdown");
        self.touched = (self.now.east, self.now.north);
        if hop_m > 0.0 {
            // Thrown up to `hop_m` and down again: h = v²/2g with an eighth of the weight not carried.
            let g = 0.25 * G0_MPS2;
            let mut up = (2.0 * g * hop_m).sqrt();
            self.now.h = self.runway_m + 0.01;
            while self.now.h > self.runway_m {
                up -= g * DT;
                let row = Hold {
                    climb: up,
                    soon_s: DT,
                    ..flare
                };
                self.step(row);
                if let Some(last) = self.rows.last_mut() {
                    last.load = 0.75;
                }
            }
            self.mark("bounce");
            self.touch();
        }
        self.ground = true;
        self.now.h = self.runway_m;
        let roll = Hold {
            v: 0.0,
            rate: 1.4,
            alpha: 0.05,
            ..self.ordinary(0.0, 0.0, 0.02)
        };
        while self.now.v > self.headwind + 0.5 {
            self.step(roll);
        }
        self.now.v = 0.0;
        self.mark("stopped");
        self.hold(20.0, roll)
    }

    /// The blow: the sink is stopped within a quarter of a second.
    fn touch(&mut self) {
        let blow = self.now.climb.abs() / 0.25 / G0_MPS2 + 0.3;
        self.now.climb = 0.0;
        self.now.h = self.runway_m;
        for _ in 0..5 {
            let mut row = self.now;
            row.load = 1.0 + blow;
            self.rows.push(row);
            let (sin, cos) = self.course.sin_cos();
            let over = (self.now.v - self.headwind) * DT;
            self.now.east += over * sin;
            self.now.north += over * cos;
            self.t += DT;
        }
    }

    /// Full power at this height and away.
    pub fn go_around(&mut self) -> &mut Circuit {
        self.mark("decision");
        let climb = Hold {
            soon_s: 2.5,
            alpha: 0.12,
            ..self.ordinary(1.45, 650.0, 1.0)
        };
        self.hold(75.0, climb)
    }

    /// Bank with the heading held aside and the path straight.
    pub fn slip(&mut self, seconds: f64, bank_deg: f64, aside_deg: f64) -> &mut Circuit {
        self.mark("slip_start");
        self.now.slip = aside_deg.to_radians();
        self.now.psi += self.now.slip;
        let hold = Hold {
            bank: bank_deg.to_radians(),
            ..self.ordinary(1.4, -1000.0, 0.1)
        };
        self.hold(seconds, hold).mark("slip_end");
        while self.now.bank.abs() > 0.002 {
            self.step(Hold { bank: 0.0, ..hold });
        }
        self.now.psi -= self.now.slip;
        self.now.slip = 0.0;
        self
    }

    /// As the smoother of a recorder hands it over: rich at 5 a second, panel and GNSS at one. Seeded noise.
    pub fn recorded(&self, fit: Fit, seed: u64) -> Flight {
        let step_s = if fit == Fit::Rich { 0.2 } else { 1.0 };
        let rows: Vec<Row> = self
            .rows
            .iter()
            .copied()
            .step_by((step_s / DT).round() as usize)
            .collect();
        let mut noise = Noise(seed.wrapping_mul(2).wrapping_add(1));
        let attitude = !matches!(fit, Fit::Gnss);
        let engine = matches!(fit, Fit::Rich | Fit::Panel);
        // Slow and fast part of what a height has wrong, m.
        let (fast, slow) = if engine { (0.25, 0.3) } else { (0.7, 1.2) };
        let mut wander = 0.0;
        let keep: f64 = (-step_s / 15.0_f64).exp();
        let heights: Vec<f64> = rows
            .iter()
            .map(|row| {
                wander = keep * wander + (1.0 - keep * keep).sqrt() * slow * noise.normal();
                row.h + wander + fast * noise.normal()
            })
            .collect();
        let mut of = |value: &dyn Fn(&Row) -> f64, sigma: f64, origin: Origin| Series {
            values: rows
                .iter()
                .map(|row| value(row) + sigma * noise.normal())
                .collect(),
            sigma: Sigma::Constant(sigma.max(0.01)),
            origin,
        };
        let measured = Origin::Measured;
        let mut flight = Flight::empty(Clock {
            step_s,
            len: rows.len(),
        });
        flight.fit = fit;
        flight.origin_latitude_rad = 0.75;
        flight.origin_longitude_rad = 0.2;
        flight.east = Some(of(&|row| row.east, 0.3, measured));
        flight.north = Some(of(&|row| row.north, 0.3, measured));
        flight.climb = Some(of(&|row| row.climb, 0.15, Origin::Derived));
        let wind = self.headwind;
        flight.ground_speed = Some(of(&|row| (row.v - wind).max(0.0), 0.1, measured));
        flight.track = Some(of(&|row| row.psi - row.slip, 0.01, measured));
        flight.ias = Some(of(
            &|row| row.v,
            0.3,
            if engine { measured } else { Origin::Derived },
        ));
        flight.tas = flight.ias.clone();
        let compass = if attitude { measured } else { Origin::Derived };
        flight.heading = Some(of(&|row| row.psi, 0.01, compass));
        flight.air_track = Some(of(&|row| row.psi - row.slip, 0.01, Origin::Derived));
        flight.bank = Some(of(&|row| row.bank, 0.01, compass));
        let (east, north) = (-wind * self.course.sin(), -wind * self.course.cos());
        flight.wind_east = Some(of(&|_| east, 0.2, Origin::Derived));
        flight.wind_north = Some(of(&|_| north, 0.2, Origin::Derived));
        if attitude {
            flight.pitch = Some(of(&|row| row.pitch, 0.004, measured));
            flight.load = Some(of(&|row| row.load, 0.02, measured));
        }
        if engine {
            flight.power = Some(of(&|row| row.power, 0.01, Origin::Derived));
        }
        let altitude = Series {
            values: heights,
            sigma: Sigma::Constant(fast),
            origin: measured,
        };
        flight.height = Some(altitude.clone());
        flight.altitude = Some(altitude);
        flight
    }

    /// An aircraft file that fits.
    pub fn aircraft(&self) -> Aircraft {
        let mut aircraft = Aircraft::unknown();
        aircraft.speeds.vs1_mps = Some(self.vs);
        aircraft.speeds.vs0_mps = Some(0.92 * self.vs);
        aircraft.speeds.vy_mps = Some(1.45 * self.vs);
        aircraft.speeds.approach_mps = Some(1.3 * self.vs);
        aircraft.flaps = vec![Detent::default()];
        aircraft
    }
}

trait RoundToTurn {
    fn round_to_turn(self) -> f64;
}

impl RoundToTurn for f64 {
    /// The nearest whole number of turns, rad.
    fn round_to_turn(self) -> f64 {
        (self / std::f64::consts::TAU).round() * std::f64::consts::TAU
    }
}

/// Normal noise: sum of twelve uniform numbers of a linear congruential generator.
struct Noise(u64);

impl Noise {
    fn normal(&mut self) -> f64 {
        let mut sum = -6.0;
        for _ in 0..12 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            sum += (self.0 >> 11) as f64 / (1u64 << 53) as f64;
        }
        sum
    }
}
