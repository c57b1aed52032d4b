//! Small flights whose truth is known: a point mass with a pitch axis and a wing that stalls.
//!
//! Lift grows straight with the angle of attack to its critical value and falls beyond; past it the nose is
//! pulled down with a chosen strength (`break_strength`: 1 is a usual trainer, 0.3 mushes). Nothing here
//! comes from a recording or from another program.

use air::units::{G0_MPS2, MPS_PER_FPM};
use aircraft::{Aircraft, Detent};
use flight::{Air, Clock, Fit, FlapStep, Flaps, Flight, Origin, PowerState, Series, Sigma};
use maneuver::{Agreement, Direction, Kind, Span};

/// Seconds between samples.
pub const STEP_S: f64 = 0.1;
/// Critical angle of attack, rad.
pub const CRITICAL_RAD: f64 = 16.0 * std::f64::consts::PI / 180.0;
const ZERO_LIFT_RAD: f64 = -3.0 * std::f64::consts::PI / 180.0;
const LIFT_SLOPE: f64 = 4.8;
const MASS_KG: f64 = 1000.0;
const AREA_M2: f64 = 16.0;
const DENSITY: f64 = 1.1;
const THRUST_N: f64 = 2600.0;

/// Series with a constant σ.
pub fn series(values: Vec<f64>, sigma: f64, origin: Origin) -> Option<Series> {
    Some(Series {
        values,
        sigma: Sigma::Constant(sigma),
        origin,
    })
}

/// A flight with a clock and nothing else.
pub fn bare(len: usize) -> Flight {
    Flight {
        name: "synthetic".to_owned(),
        known: vec![true; len],
        fit: Fit::Rich,
        air: Air::Calm,
        gust_mps: f64::NAN,
        origin_latitude_rad: 0.7,
        origin_longitude_rad: 0.1,
        variation_rad: 0.0,
        power_state: vec![PowerState::Unknown; len],
        on_ground: vec![false; len],
        remarks: Vec::new(),
        ..Flight::empty(Clock {
            step_s: STEP_S,
            len,
        })
    }
}

/// The aircraft that belongs to the model.
pub fn aircraft() -> Aircraft {
    let stall = stall_speed_mps();
    let mut aircraft = Aircraft {
        critical_aoa_rad: Some(CRITICAL_RAD),
        ..Aircraft::default()
    };
    aircraft.speeds.vs1_mps = Some(stall);
    aircraft.speeds.vx_mps = Some(1.25 * stall);
    aircraft.speeds.vy_mps = Some(1.45 * stall);
    aircraft.flaps = vec![Detent {
        warning_aoa_rad: Some(0.6 * CRITICAL_RAD),
        ..Detent::default()
    }];
    aircraft
}

/// Stall speed of the model at 1 g, m/s.
pub fn stall_speed_mps() -> f64 {
    let most = LIFT_SLOPE * (CRITICAL_RAD - ZERO_LIFT_RAD);
    (2.0 * MASS_KG * G0_MPS2 / (DENSITY * AREA_M2 * most)).sqrt()
}

/// How a stall is flown.
#[derive(Clone, Copy)]
pub struct Script {
    /// How hard the nose drops past the critical angle.
    pub break_strength: f64,
    /// Seconds from the stall (or the cue) to the pilot's unloading.
    pub reaction_s: f64,
    /// Recover at the first cue.
    pub at_cue: bool,
    /// Pull too hard in the recovery.
    pub pull_again: bool,
    /// Power in the entry, 0 to 1.
    pub entry_power: f64,
    /// Vane recorded; else the angle is an estimate with this much error, deg.
    pub estimate_error_deg: Option<f64>,
}

impl Default for Script {
    fn default() -> Self {
        Script {
            break_strength: 1.0,
            reaction_s: 1.0,
            at_cue: false,
            pull_again: false,
            entry_power: 0.0,
            estimate_error_deg: None,
        }
    }
}

/// What really happened, s and m.
#[derive(Clone, Copy, Debug, Default)]
pub struct Truth {
    pub setup_s: f64,
    pub pitch_up_s: f64,
    pub cue_s: f64,
    pub full_s: Option<f64>,
    pub recovery_s: Option<f64>,
    pub full_power_s: f64,
    pub lost_m: f64,
    pub second_s: Option<f64>,
    pub end_s: f64,
}

struct Body {
    v: f64,
    gamma: f64,
    theta: f64,
    q: f64,
    h: f64,
    power: f64,
}

impl Body {
    fn alpha(&self) -> f64 {
        self.theta - self.gamma
    }
    fn lift_coefficient(&self) -> f64 {
        let alpha = self.alpha();
        let top = LIFT_SLOPE * (CRITICAL_RAD - ZERO_LIFT_RAD);
        if alpha < CRITICAL_RAD {
            LIFT_SLOPE * (alpha - ZERO_LIFT_RAD)
        } else {
            (top - 2.5 * (alpha - CRITICAL_RAD)).max(0.5 * top)
        }
    }
    /// One step of `dt` toward an angle of attack asked for by the stick.
    fn step(&mut self, asked: f64, throttle: f64, break_strength: f64, dt: f64) -> f64 {
        self.power += (throttle - self.power).clamp(-dt, dt);
        let pressure = 0.5 * DENSITY * self.v * self.v * AREA_M2;
        let cl = self.lift_coefficient();
        let past = (self.alpha() - CRITICAL_RAD).max(0.0);
        let drag = pressure * (0.035 + 0.06 * cl * cl + 1.5 * past);
        let thrust = THRUST_N * self.power;
        let load = (pressure * cl + thrust * self.alpha().sin()) / (MASS_KG * G0_MPS2);
        self.v += dt * ((thrust - drag) / MASS_KG - G0_MPS2 * self.gamma.sin());
        self.gamma += dt * G0_MPS2 / self.v * (load - self.gamma.cos());
        let stiffness = (self.v / 30.0).powi(2);
        let pull =
            6.0 * stiffness * (asked - self.alpha()) - 3.5 * self.q - break_strength * 25.0 * past;
        self.q += dt * pull;
        self.theta += dt * self.q;
        self.h += dt * self.v * self.gamma.sin();
        load
    }
}

/// Flies a stall with the wings level; gives the flight, the truth, and the exact span.
pub fn stall(script: Script) -> (Flight, Truth, Span) {
    let dt = 0.01;
    let stall = stall_speed_mps();
    let mut body = Body {
        v: 1.7 * stall,
        gamma: 0.0,
        theta: 0.06,
        q: 0.0,
        h: 1200.0,
        power: 0.55,
    };
    let mut truth = Truth {
        setup_s: 10.0,
        pitch_up_s: 45.0,
        ..Truth::default()
    };
    let mut rows: Vec<[f64; 8]> = Vec::new();
    let mut asked = 0.06;
    let (mut peak, mut past_s) = (f64::MIN, None::<f64>);
    let mut input_s = f64::INFINITY;
    let (mut at_moment, mut lowest) = (f64::NAN, f64::INFINITY);
    let mut climbing_s = f64::INFINITY;
    let mut pulled = false;
    for tick in 0..14_000 {
        let t = f64::from(tick) * dt;
        let throttle = if t < truth.setup_s {
            0.6
        } else if t < truth.pitch_up_s {
            0.35
        } else if t < input_s + 0.3 {
            script.entry_power
        } else {
            1.0
        };
        let alpha = body.alpha();
        // The stick: hold a speed before, come back steadily in the entry, unload, then climb.
        let hold =
            |speed: f64| 0.085 + 0.02 * (body.v - speed) - 0.3 * body.q - 0.4 * (body.gamma + 0.05);
        asked = if t < truth.pitch_up_s {
            hold(if t < truth.setup_s {
                1.7 * stall
            } else {
                1.4 * stall
            })
            .clamp(0.0, 0.2)
        } else if t < input_s {
            (asked + dt * 1.6f64.to_radians()).min(0.45)
        } else if t < input_s + 1.5 {
            0.06
        } else if script.pull_again && !pulled && t < input_s + 3.5 {
            if alpha > CRITICAL_RAD + 0.02 {
                pulled = true;
            }
            0.5
        } else {
            hold(1.45 * stall).clamp(0.02, 0.19)
        };
        let load = body.step(asked, throttle, script.break_strength, dt);
        let alpha = body.alpha();
        if t >= truth.pitch_up_s {
            if truth.cue_s == 0.0
                && body.lift_coefficient() > 0.83 * LIFT_SLOPE * (CRITICAL_RAD - ZERO_LIFT_RAD)
            {
                truth.cue_s = t;
                if script.at_cue {
                    input_s = t + script.reaction_s;
                    at_moment = body.h;
                }
            }
            if truth.full_s.is_none() && !script.at_cue {
                peak = f64::max(peak, body.theta);
                if alpha > CRITICAL_RAD && past_s.is_none() {
                    past_s = Some(t);
                }
                let sinking = body.v * body.gamma.sin() < -400.0 * MPS_PER_FPM;
                let stop = past_s.is_some_and(|past| t > past + 1.0 && asked > 0.43);
                if past_s.is_some() && (body.theta < peak - 1.5f64.to_radians() || sinking || stop)
                {
                    truth.full_s = Some(t);
                    at_moment = body.h;
                    input_s = t + script.reaction_s;
                }
            }
            let unloaded = truth.full_s.is_some() && t > input_s && alpha < CRITICAL_RAD;
            if unloaded && truth.recovery_s.is_none() {
                truth.recovery_s = Some(t);
            }
            if script.at_cue && t >= input_s && truth.recovery_s.is_none() {
                truth.recovery_s = Some(t);
            }
            if truth.recovery_s.is_some_and(|at| t > at + 0.5)
                && alpha > CRITICAL_RAD
                && truth.second_s.is_none()
            {
                truth.second_s = Some(t);
            }
            if t > input_s && truth.full_power_s == 0.0 && body.power > 0.97 {
                truth.full_power_s = t;
            }
            let climb = body.v * body.gamma.sin();
            if t > input_s + 2.0 && climb > 200.0 * MPS_PER_FPM && climbing_s.is_infinite() {
                climbing_s = t;
            }
            if at_moment.is_finite() && climbing_s.is_infinite() {
                lowest = lowest.min(body.h);
            }
        }
        if tick % 10 == 0 {
            rows.push([
                body.v,
                body.h,
                body.v * body.gamma.sin(),
                body.theta,
                alpha,
                load,
                body.power,
                asked,
            ]);
        }
        if t > climbing_s + 25.0 {
            break;
        }
    }
    truth.lost_m = (at_moment - lowest).max(0.0);
    truth.end_s = climbing_s + 8.0;
    let moment = truth.full_s.unwrap_or(truth.cue_s);
    let kind = if script.entry_power < 0.2 {
        Kind::PowerOffStall
    } else {
        Kind::PowerOnStall
    };
    let span = Span {
        kind,
        direction: Direction::Straight,
        start_s: truth.setup_s,
        end_s: truth.end_s,
        score: 5.0,
        agreement: Agreement::Both,
        anchor_s: Some(moment),
        bounds: maneuver::Bounds::Sought,
    };
    (recorded(&rows, script), truth, span)
}

/// What a recorder keeps of it.
fn recorded(rows: &[[f64; 8]], script: Script) -> Flight {
    let column = |index: usize| rows.iter().map(|row| row[index]).collect::<Vec<f64>>();
    let mut flight = bare(rows.len());
    flight.ias = series(column(0), 0.5, Origin::Measured);
    flight.altitude = series(column(1), 3.0, Origin::Measured);
    flight.agl = series(column(1), 8.0, Origin::Derived);
    flight.climb = series(column(2), 0.3, Origin::Derived);
    flight.pitch = series(column(3), 0.01, Origin::Measured);
    flight.bank = series(vec![0.0; rows.len()], 0.01, Origin::Measured);
    flight.heading = series(vec![1.0; rows.len()], 0.02, Origin::Measured);
    flight.load = series(column(5), 0.02, Origin::Measured);
    flight.lateral = series(vec![0.01; rows.len()], 0.01, Origin::Measured);
    flight.throttle = series(column(6), 0.01, Origin::Measured);
    flight.power = series(column(6), 0.05, Origin::Derived);
    let stall = stall_speed_mps();
    let ratio = rows
        .iter()
        .map(|row| row[5] * (stall / row[0]).powi(2))
        .collect();
    flight.lift_ratio = series(ratio, 0.07, Origin::Derived);
    match script.estimate_error_deg {
        None => {
            flight.aoa = series(column(4), 0.5f64.to_radians(), Origin::Measured);
            flight.elevator = series(
                rows.iter().map(|row| row[7] / 0.45).collect(),
                0.01,
                Origin::Measured,
            );
            let horn = rows
                .iter()
                .map(|row| f64::from(u8::from(row[4] > 0.6 * CRITICAL_RAD)));
            flight.stall_warning = series(horn.collect(), 0.0, Origin::Measured);
        }
        Some(error) => {
            let off = error.to_radians();
            flight.aoa = series(
                column(4).iter().map(|a| a + off).collect(),
                0.8f64.to_radians(),
                Origin::Derived,
            );
            flight.fit = Fit::Panel;
        }
    }
    flight
}

/// Flaps that are recorded.
pub fn with_flaps(mut flight: Flight, steps: &[(f64, f64, f64)]) -> Flight {
    let len = flight.clock.len;
    let angle = (0..len).map(|index| {
        let at = flight.clock.time_s(index);
        steps
            .iter()
            .rev()
            .find(|step| step.0 <= at)
            .map_or(0.0, |step| step.2)
    });
    let angle: Vec<f64> = angle.collect();
    flight.flaps = Some(Flaps {
        out: angle
            .iter()
            .map(|angle| f32::from(u8::from(*angle > 0.0)))
            .collect(),
        angle: Series {
            values: angle,
            sigma: Sigma::Constant(0.01),
            origin: Origin::Measured,
        },
        steps: steps
            .iter()
            .map(|&(at_s, from_rad, to_rad)| FlapStep {
                at_s,
                sigma_s: 0.1,
                from_rad,
                to_rad,
                probability: 1.0,
                origin: Origin::Measured,
            })
            .collect(),
    });
    flight
}

/// A level flight whose bank is given by time; heading follows from coordinated flight (PHAK, turns: rate =
/// g·tan φ / V), altitude from `climb_mps`.
pub fn turning(
    seconds: f64,
    speed_mps: f64,
    bank_rad: impl Fn(f64) -> f64,
    climb_mps: impl Fn(f64) -> f64,
) -> Flight {
    let len = (seconds / STEP_S) as usize + 1;
    let mut flight = bare(len);
    let (mut heading, mut altitude) = (0.3, 1500.0);
    let (mut banks, mut headings, mut altitudes) = (Vec::new(), Vec::new(), Vec::new());
    for index in 0..len {
        let t = index as f64 * STEP_S;
        banks.push(bank_rad(t));
        headings.push(heading);
        altitudes.push(altitude);
        heading += STEP_S * G0_MPS2 * bank_rad(t).tan() / speed_mps;
        altitude += STEP_S * climb_mps(t);
    }
    flight.climb = series(
        (0..len).map(|i| climb_mps(i as f64 * STEP_S)).collect(),
        0.2,
        Origin::Derived,
    );
    flight.bank = series(banks, 0.01, Origin::Measured);
    flight.heading = series(headings, 0.02, Origin::Measured);
    flight.altitude = series(altitudes, 3.0, Origin::Measured);
    flight.ias = series(vec![speed_mps; len], 0.5, Origin::Measured);
    flight
}

/// A span of a kind.
pub fn span(kind: Kind, direction: Direction, start_s: f64, end_s: f64) -> Span {
    Span {
        kind,
        direction,
        start_s,
        end_s,
        score: 5.0,
        agreement: Agreement::Both,
        anchor_s: None,
        bounds: maneuver::Bounds::Sought,
    }
}
