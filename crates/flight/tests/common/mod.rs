//! A flight made of accelerations, and what sensors would have written of it.

use recording::{Channel, Quantity, Recording};

/// The truth at one moment.
#[derive(Clone, Copy, Debug)]
pub struct State {
    pub position: [f64; 2],
    pub velocity: [f64; 2],
    pub height_m: f64,
    /// What a perfect altimeter would show.
    pub indicated_m: f64,
    pub climb_mps: f64,
    pub tas_mps: f64,
    pub ias_mps: f64,
    pub heading_rad: f64,
    pub bank_rad: f64,
    pub path_rad: f64,
    pub pitch_rad: f64,
    pub load: f64,
    pub wind: [f64; 2],
    pub ground_mps: f64,
}

/// A whole flight at a hundred steps a second.
pub struct Truth {
    pub states: Vec<State>,
    pub first_s: f64,
    pub last_s: f64,
    pub seed: u64,
}

const STEP: f64 = 0.01;
const G: f64 = 9.806_65;
/// Air warmer than standard, K: an indicated foot is more than a true one.
const WARMER_K: f64 = 10.0;
const VARIATION: f64 = 0.0;

impl Truth {
    pub fn at(&self, t: f64) -> Option<&State> {
        self.states.get((t / STEP).round() as usize)
    }

    pub fn rotated(&self, angle: f64) -> Self {
        let turn = |v: [f64; 2]| {
            let (sin, cos) = angle.sin_cos();
            [v[0] * cos + v[1] * sin, v[1] * cos - v[0] * sin]
        };
        self.mapped(|state| State {
            position: turn(state.position),
            velocity: turn(state.velocity),
            wind: turn(state.wind),
            heading_rad: state.heading_rad + angle,
            ..state
        })
    }

    pub fn mirrored(&self) -> Self {
        let flip = |v: [f64; 2]| [-v[0], v[1]];
        self.mapped(|state| State {
            position: flip(state.position),
            velocity: flip(state.velocity),
            wind: flip(state.wind),
            heading_rad: -state.heading_rad,
            bank_rad: -state.bank_rad,
            ..state
        })
    }

    fn mapped(&self, rule: impl Fn(State) -> State) -> Self {
        Self {
            states: self.states.iter().copied().map(rule).collect(),
            ..*self
        }
    }
}

/// What the recorder has.
#[derive(Clone, Copy)]
pub struct Channels {
    pub rate_hz: f64,
    pub panel: bool,
    pub load: bool,
    pub gnss_altitude: bool,
    pub lost_rows: f64,
}

impl Channels {
    pub fn panel() -> Self {
        Self {
            rate_hz: 1.0,
            panel: true,
            load: true,
            gnss_altitude: true,
            lost_rows: 0.0,
        }
    }

    pub fn gnss() -> Self {
        Self {
            panel: false,
            load: false,
            ..Self::panel()
        }
    }
}

pub fn aircraft() -> aircraft::Aircraft {
    let mut aircraft = aircraft::Aircraft::unknown();
    aircraft.speeds.vs1_mps = Some(25.0);
    aircraft.speeds.vs0_mps = Some(22.0);
    aircraft
}

/// A linear congruential generator and the sum of twelve, for a normal law without dependencies.
pub struct Noise(u64);

impl Noise {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x1234_5678)
    }

    pub fn even(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}

/// Bank (degrees) and climb (m/s) and airspeed (m/s) asked for from a time on.
const PLAN: [(f64, f64, f64, f64); 15] = [
    (0.0, 0.0, 0.0, 45.0),
    (60.0, 30.0, 0.0, 45.0),
    (100.0, 0.0, 3.0, 38.0),
    (160.0, -30.0, 0.0, 45.0),
    (210.0, 0.0, 0.0, 50.0),
    (260.0, 45.0, 0.0, 48.0),
    (295.0, -45.0, 0.0, 48.0),
    (335.0, 0.0, -3.0, 40.0),
    (390.0, 0.0, 0.0, 30.0),
    (440.0, 15.0, 0.0, 30.0),
    (520.0, 0.0, 4.0, 38.0),
    (570.0, -20.0, 0.0, 45.0),
    (650.0, 0.0, 0.0, 50.0),
    (700.0, 30.0, -4.0, 45.0),
    (760.0, 0.0, 0.0, 45.0),
];

/// Flies the plan in a wind (m/s at 1,200 m) with shear (m/s per 300 m, eastward) and gusts.
pub fn fly(gust: f64, wind: [f64; 2], shear: f64, seed: u64) -> Truth {
    let mut noise = Noise::new(seed);
    let (mut position, mut height) = ([0.0, 0.0], 1_200.0);
    let (mut heading, mut bank, mut climb, mut tas) = (0.4, 0.0, 0.0, 45.0);
    let mut gusts = [0.0; 3];
    let mut states = Vec::new();
    let last_s = 840.0;
    for k in 0..(last_s / STEP) as usize {
        let t = k as f64 * STEP;
        let (_, bank_goal, climb_goal, speed_goal) =
            *PLAN.iter().rev().find(|leg| leg.0 <= t).expect("plan");
        // First-order toward the goals, within what such aircraft do.
        let roll = ((bank_goal.to_radians() - bank) / 1.0).clamp(-0.35, 0.35);
        bank += roll * STEP;
        let up = ((climb_goal - climb) / 2.5).clamp(-1.5, 1.5);
        climb += up * STEP;
        let push = ((speed_goal - tas) / 6.0).clamp(-1.0, 1.0);
        tas += push * STEP;
        for value in &mut gusts {
            // Gusts that stay alike for four seconds (Ornstein–Uhlenbeck).
            *value += -*value / 4.0 * STEP + gust * (2.0 * STEP / 4.0_f64).sqrt() * noise.normal();
        }
        let path = (climb / tas).asin();
        let rate = (G + up) * bank.tan() / (tas * path.cos());
        heading += rate * STEP;
        let here = [wind[0] + shear * (height - 1_200.0) / 300.0, wind[1]];
        let flat = tas * path.cos();
        let velocity = [
            flat * heading.sin() + here[0] + 0.5 * gusts[0],
            flat * heading.cos() + here[1] + 0.5 * gusts[1],
        ];
        position[0] += velocity[0] * STEP;
        position[1] += velocity[1] * STEP;
        height += climb * STEP;
        let standard = 288.15 - 0.0065 * height;
        let indicated = height * standard / (standard + WARMER_K);
        // Density by pressure at the indicated altitude (standard setting) and the true temperature.
        let pressure = (1.0 - 0.0065 * indicated / 288.15).powf(5.255_88);
        let density = pressure * 288.15 / (standard + WARMER_K);
        let load = (G + up) / (G * bank.cos()) + 0.12 * gusts[2];
        states.push(State {
            position,
            velocity,
            height_m: height,
            indicated_m: indicated,
            climb_mps: climb,
            tas_mps: tas,
            ias_mps: tas * density.sqrt(),
            heading_rad: heading,
            bank_rad: bank,
            path_rad: path,
            pitch_rad: path + 0.05 * load * (40.0 / tas).powi(2),
            load,
            wind: here,
            ground_mps: velocity[0].hypot(velocity[1]),
        });
    }
    Truth {
        states,
        first_s: 10.0,
        last_s,
        seed,
    }
}

/// A first-order lag over the whole flight.
fn lagged(truth: &Truth, lag_s: f64, pick: impl Fn(&State) -> f64) -> Vec<f64> {
    let mut value = pick(&truth.states[0]);
    truth
        .states
        .iter()
        .map(|state| {
            value += (pick(state) - value) * STEP / lag_s;
            value
        })
        .collect()
}

fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// What the recorder wrote.
pub fn record(truth: &Truth, channels: &Channels) -> Recording {
    let mut noise = Noise::new(truth.seed + 1000);
    let every = (1.0 / channels.rate_hz / STEP).round() as usize;
    let first = (truth.first_s / STEP) as usize;
    let rows: Vec<usize> = (first..truth.states.len())
        .step_by(every)
        .filter(|k| *k == first || noise.even() >= channels.lost_rows)
        .collect();
    let mut recording = Recording {
        name: "made".to_owned(),
        time_s: rows.iter().map(|k| (*k - first) as f64 * STEP).collect(),
        interval_s: 1.0 / channels.rate_hz,
        ..Default::default()
    };
    let mut put = |quantity, resolution: f64, values: Vec<f64>| {
        recording.channels.push(Channel {
            quantity,
            column: format!("{quantity:?}"),
            unit: "SI".to_owned(),
            values,
            resolution,
            because: "made here".to_owned(),
            confidence: 1.0,
        });
    };
    let (latitude, longitude) = (0.7_f64, -1.7_f64);
    let (meridian, normal) = air::geodesy::radii_of_curvature_m(latitude);
    let foot = 0.3048;
    let knot = 1852.0 / 3600.0;
    let degree = 1_f64.to_radians();
    // Slow GNSS wander: one draw for the flight and a walk.
    let mut wander = [
        1.5 * noise.normal(),
        1.5 * noise.normal(),
        3.0 * noise.normal(),
    ];
    let mut fixes: [Vec<f64>; 3] = Default::default();
    for k in &rows {
        let state = &truth.states[*k];
        let step = 0.05 / channels.rate_hz.sqrt();
        for value in &mut wander {
            *value += step * noise.normal();
        }
        fixes[0].push(latitude + (state.position[1] + wander[1]) / meridian);
        fixes[1].push(longitude + (state.position[0] + wander[0]) / (normal * latitude.cos()));
        fixes[2].push(rounded(
            state.height_m + wander[2] + 0.3 * noise.normal(),
            foot,
        ));
    }
    let [lat, lon, alt] = fixes;
    put(Quantity::Latitude, 1e-8, lat);
    put(Quantity::Longitude, 1e-8, lon);
    let mut speeds = Vec::new();
    let mut tracks = Vec::new();
    for k in &rows {
        let [east, north] = truth.states[*k].velocity.map(|v| v + 0.05 * noise.normal());
        speeds.push(rounded(east.hypot(north), 0.1 * knot));
        tracks.push(rounded(east.atan2(north), 0.1 * degree));
    }
    put(Quantity::GroundSpeed, 0.1 * knot, speeds);
    put(Quantity::TrackTrue, 0.1 * degree, tracks);
    if channels.gnss_altitude || !channels.panel {
        put(Quantity::AltitudeGnss, foot, alt);
    }
    if channels.panel {
        let baro_bias = 4.0 * noise.normal();
        let ias_bias = 0.3 * noise.normal();
        let attitude_bias = [
            0.3 * noise.normal() * degree,
            0.3 * noise.normal() * degree,
            0.4 * noise.normal() * degree,
        ];
        let mut seen = |values: Vec<f64>, bias: f64, sigma: f64, step: f64| -> Vec<f64> {
            rows.iter()
                .map(|k| rounded(values[*k] + bias + sigma * noise.normal(), step))
                .collect()
        };
        put(
            Quantity::AltitudeIndicated,
            foot,
            seen(lagged(truth, 0.5, |s| s.indicated_m), baro_bias, 0.1, foot),
        );
        put(
            Quantity::AirspeedIndicated,
            0.1 * knot,
            seen(
                lagged(truth, 0.45, |s| s.ias_mps),
                ias_bias,
                0.1,
                0.1 * knot,
            ),
        );
        put(
            Quantity::Pitch,
            0.1 * degree,
            seen(
                lagged(truth, 0.1, |s| s.pitch_rad),
                attitude_bias[0],
                0.1 * degree,
                0.1 * degree,
            ),
        );
        put(
            Quantity::Bank,
            0.1 * degree,
            seen(
                lagged(truth, 0.1, |s| s.bank_rad),
                attitude_bias[1],
                0.1 * degree,
                0.1 * degree,
            ),
        );
        let heading = seen(
            lagged(truth, 0.1, |s| s.heading_rad - VARIATION),
            attitude_bias[2],
            0.1 * degree,
            0.1 * degree,
        );
        put(Quantity::HeadingTrue, 0.1 * degree, heading);
        let warm = seen(
            truth
                .states
                .iter()
                .map(|s| 298.15 - 0.0065 * s.height_m)
                .collect(),
            0.0,
            0.3,
            0.1,
        );
        put(Quantity::OutsideAirTemperature, 0.1, warm);
        if channels.load {
            put(
                Quantity::LoadNormal,
                0.001,
                seen(
                    truth.states.iter().map(|s| s.load).collect(),
                    0.01,
                    0.02,
                    0.001,
                ),
            );
        }
    }
    recording
}
