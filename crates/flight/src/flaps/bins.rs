//! The flight in bins of one second, with the few quantities that show the flaps.

use air::units::G0_MPS2;
use aircraft::Aircraft;

use crate::{Flight, Origin, Series, stats};

/// Shortest bin, s.
const BIN_S: f64 = 1.0;

/// Weights of the five-point slope below, seen as a mean of the acceleration over the five bins.
const KERNEL: [f64; 5] = [0.1, 0.25, 0.3, 0.25, 0.1];

/// What is known in each bin.
#[derive(Clone, Debug, Default)]
pub(super) struct Bins {
    stall_mps: f64,
    /// Highest speed for any flaps, m/s; 1.75 of the stall speed where nobody says (common practice).
    pub limit_mps: f64,
    /// Length of a bin, s.
    pub bin_s: f64,
    /// Samples of the flight in a bin.
    pub per_bin: usize,
    /// Air data and attitude are known, and the aircraft flies.
    pub flying: Vec<bool>,
    /// On the ground.
    pub ground: Vec<bool>,
    /// Indicated airspeed, m/s.
    pub ias_mps: Vec<f64>,
    /// Indicated airspeed over clean stall speed at 1 g.
    pub speed: Vec<f64>,
    /// Load factor, g.
    pub load: Vec<f64>,
    /// Acceleration across in a turn, g: the tangent of bank.
    pub turning: Vec<f64>,
    /// Lift over the greatest clean lift.
    pub lift: Vec<f64>,
    /// Angle of attack from attitude and air path, rad.
    pub aoa_rad: Vec<f64>,
    /// Force along the body over weight, from attitude and the acceleration along the heading.
    pub thrust_line: Vec<f64>,
    /// Pitch rate, rad/s.
    pub pitch_rate_radps: Vec<f64>,
    /// Engine figures: each a series over the bins, about 1 at full power.
    pub engine: Engine,
    /// `aoa_rad` is a vane's, and lift is by a recorded load: both see a gust alike, so that it cancels.
    pub vane: bool,
    /// `thrust_line` rests on motion over the ground, and so is free of gusts too.
    pub inertial: bool,
}

/// Engine figures as far as recorded.
#[derive(Clone, Debug, Default)]
pub(super) struct Engine {
    /// Speed over 2,500 rpm.
    pub speed: Option<Vec<f64>>,
    /// Fuel flow over its own highest.
    pub fuel: Option<Vec<f64>>,
    /// Manifold pressure over 30 inHg.
    pub manifold: Option<Vec<f64>>,
    /// Throttle lever or share of power.
    pub lever: Option<Vec<f64>>,
}

impl Bins {
    /// Clean stall speed at 1 g, m/s.
    pub fn stall_mps(&self) -> f64 {
        self.stall_mps
    }

    /// Number of bins.
    pub fn len(&self) -> usize {
        self.flying.len()
    }

    /// Bins of a flight; `None` without attitude or air data, or when it never flies.
    pub fn new(flight: &Flight, aircraft: &Aircraft) -> Option<Self> {
        let (pitch, ias) = (flight.pitch.as_ref()?, flight.ias.as_ref()?);
        let (tas, climb) = (flight.tas.as_ref()?, flight.climb.as_ref()?);
        if ias.origin == Origin::Derived && flight.fit == crate::Fit::GnssAttitude {
            return None;
        }
        let step_s = flight.clock.step_s;
        if step_s.is_nan() || step_s <= 0.0 {
            return None;
        }
        let per_bin = (BIN_S / step_s).round().max(1.0) as usize;
        let count = flight.clock.len / per_bin;
        let mean = |series: &Series| binned(&series.values, per_bin, count);
        let ias_mps = mean(ias);
        let stall_mps = clean_stall_mps(aircraft)?;
        let (pitch, tas, climb) = (mean(pitch), mean(tas), mean(climb));
        let bank = flight.bank.as_ref().map_or_else(|| vec![0.0; count], mean);
        let load = flight.load.as_ref().map_or_else(|| vec![1.0; count], mean);
        let mut bins = Self {
            stall_mps,
            limit_mps: aircraft.flap_limit_mps(1).unwrap_or(1.75 * stall_mps),
            bin_s: per_bin as f64 * step_s,
            per_bin,
            ground: any(&flight.on_ground, per_bin, count),
            ..Self::default()
        };
        let known = all(&flight.known, per_bin, count);
        bins.load = load;
        bins.speed = ias_mps.iter().map(|v| v / stall_mps).collect();
        bins.lift = bins
            .load
            .iter()
            .zip(&bins.speed)
            .map(|(n, u)| n / (u * u).max(0.1))
            .collect();
        bins.roll_on_ground(&climb);
        bins.aoa_rad = (0..count)
            .map(|i| aoa_rad(pitch[i], bank[i], (climb[i] / tas[i]).clamp(-0.9, 0.9)))
            .collect();
        if let Some(vane) = vane_rad(flight, &bins, &bins.aoa_rad, count) {
            bins.aoa_rad = vane;
            let load = flight.load.as_ref();
            bins.vane = load.is_some_and(|load| load.origin == Origin::Measured);
        }
        bins.thrust_line = thrust_line(
            flight,
            &pitch,
            &tas,
            &mut bins.inertial,
            per_bin,
            count,
            bins.bin_s,
        );
        bins.pitch_rate_radps = slope(&pitch, bins.bin_s);
        bins.engine = Engine::new(flight, per_bin, count);
        bins.flying = (0..count)
            .map(|i| {
                known[i] && !bins.ground[i] && bins.speed[i] > 0.8 && bins.aoa_rad[i].is_finite()
            })
            .collect();
        bins.turning = bank.iter().map(|b| b.tan().abs().min(3.0)).collect();
        bins.ias_mps = ias_mps;
        bins.flying.iter().any(|&f| f).then_some(bins)
    }

    /// At most `most` bins in blocks of a minute: those slow enough for flaps first, a quarter of the
    /// room for fast flight, where the flaps are known to be in.
    pub fn busiest(&self, most: usize) -> Self {
        if self.len() <= most {
            return self.clone();
        }
        let block = (60.0 / self.bin_s) as usize;
        let slow = |from: usize| {
            let to = (from + block).min(self.len());
            (from..to)
                .filter(|&t| self.flying[t] && self.ias_mps[t] < self.limit_mps)
                .count()
        };
        let mut starts: Vec<(usize, usize)> = (0..self.len())
            .step_by(block)
            .map(|from| (slow(from), from))
            .collect();
        starts.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let room = most / block;
        let fast = (room / 4).min(starts.len());
        let mut chosen: Vec<usize> = starts.iter().take(room - fast).map(|s| s.1).collect();
        chosen.extend(
            starts
                .iter()
                .rev()
                .map(|s| s.1)
                .filter(|from| self.flying[*from])
                .take(fast),
        );
        chosen.sort_unstable();
        chosen.dedup();
        let index: Vec<usize> = chosen
            .iter()
            .flat_map(|from| *from..(from + block).min(self.len()))
            .collect();
        let mut out = self.picked(&index);
        for i in 1..index.len() {
            // What comes after a cut has no past.
            out.flying[i] &= index[i] == index[i - 1] + 1;
        }
        out
    }

    /// Some of the bins, in the order given.
    fn picked(&self, index: &[usize]) -> Self {
        let floats = |v: &[f64]| index.iter().map(|&i| v[i]).collect::<Vec<f64>>();
        let flags = |v: &[bool]| index.iter().map(|&i| v[i]).collect::<Vec<bool>>();
        let some = |v: &Option<Vec<f64>>| v.as_deref().map(floats);
        Self {
            flying: flags(&self.flying),
            ground: flags(&self.ground),
            ias_mps: floats(&self.ias_mps),
            speed: floats(&self.speed),
            load: floats(&self.load),
            turning: floats(&self.turning),
            lift: floats(&self.lift),
            aoa_rad: floats(&self.aoa_rad),
            thrust_line: floats(&self.thrust_line),
            pitch_rate_radps: floats(&self.pitch_rate_radps),
            engine: Engine {
                speed: some(&self.engine.speed),
                fuel: some(&self.engine.fuel),
                manifold: some(&self.engine.manifold),
                lever: some(&self.engine.lever),
            },
            ..*self
        }
    }

    /// A wing that carries the whole weight far below its stall speed stands on wheels: that is the
    /// ground, from there to the climb away and back to the last descent.
    fn roll_on_ground(&mut self, climb_mps: &[f64]) {
        let wheels: Vec<bool> = (0..self.ground.len())
            .map(|t| self.lift[t] > 1.4 && (self.load[t] - 1.0).abs() < 0.15)
            .collect();
        let mut rolling = false;
        for (t, climb) in climb_mps.iter().enumerate() {
            rolling = (rolling && (*climb < 0.8 || climb.is_nan())) || wheels[t];
            self.ground[t] |= rolling;
        }
        rolling = false;
        for (t, climb) in climb_mps.iter().enumerate().rev() {
            rolling = (rolling && (*climb > -0.8 || climb.is_nan())) || wheels[t];
            self.ground[t] |= rolling;
        }
    }

    /// A series through the five-point kernel, so that it is as slow as the acceleration is.
    pub fn slowed(&self, values: &[f64]) -> Vec<f64> {
        slowed(values)
    }

    /// The same into room that is there.
    pub fn slow_into(&self, values: &[f64], out: &mut Vec<f64>) {
        slow_into(values, out);
    }
}

fn slowed(values: &[f64]) -> Vec<f64> {
    let mut out = Vec::with_capacity(values.len());
    slow_into(values, &mut out);
    out
}

/// At the ends the first and the last value stand for those that are not there.
fn slow_into(values: &[f64], out: &mut Vec<f64>) {
    let last = values.len().saturating_sub(1);
    let edge = |i: usize| -> f64 {
        let parts = KERNEL.iter().enumerate();
        parts
            .map(|(j, weight)| weight * values[(i + j).saturating_sub(2).min(last)])
            .sum()
    };
    let tail = values.len().saturating_sub(2).max(2);
    out.clear();
    out.extend((0..values.len().min(2)).map(edge));
    out.extend(
        values
            .windows(KERNEL.len())
            .map(|five| -> f64 { five.iter().zip(KERNEL).map(|(x, weight)| weight * x).sum() }),
    );
    out.extend((tail..values.len()).map(edge));
}

/// Least-squares slope over five bins.
fn slope(values: &[f64], bin_s: f64) -> Vec<f64> {
    let at = |i: isize| values[i.clamp(0, values.len() as isize - 1) as usize];
    (0..values.len() as isize)
        .map(|i| (2.0 * (at(i + 2) - at(i - 2)) + at(i + 1) - at(i - 1)) / (10.0 * bin_s))
        .collect()
}

/// Angle of attack without sideslip: the body axis that the path makes with the attitude.
///
/// sin γ = cos α sin θ − sin α cos φ cos θ, solved for α (rotation of the air path into body axes).
fn aoa_rad(pitch: f64, bank: f64, sin_path: f64) -> f64 {
    let (side, up) = (pitch.sin(), bank.cos() * pitch.cos());
    let size = side.hypot(up).max(1e-6);
    side.atan2(up) - (sin_path / size).clamp(-1.0, 1.0).asin()
}

/// What a vane may differ from pitch minus path over [`CALMED`] bins, rad (1-σ): more is no angle of
/// attack in this unit.
const VANE_OFF_RAD: f64 = 4.0 * std::f64::consts::PI / 180.0;
/// A vane that moves less than this over a flight, rad (1-σ), is stuck.
const VANE_STILL_RAD: f64 = 0.3 * std::f64::consts::PI / 180.0;
/// Bins over which gusts are averaged out.
const CALMED: usize = 15;

/// The angle of attack by a vane, bin by bin, where one was recorded for nearly all of the flight and
/// moves as an angle of attack does; its zero is left to the load line.
fn vane_rad(flight: &Flight, bins: &Bins, by_attitude: &[f64], count: usize) -> Option<Vec<f64>> {
    let recorded = flight.aoa.as_ref()?;
    if recorded.origin != Origin::Measured {
        return None;
    }
    let vane = binned(&recorded.values, bins.per_bin, count);
    let flown: Vec<usize> = (0..count)
        .filter(|t| !bins.ground[*t] && by_attitude[*t].is_finite())
        .collect();
    let there = flown.iter().filter(|t| vane[**t].is_finite()).count();
    if there * 10 < flown.len() * 9 {
        return None;
    }
    let means = |value: &dyn Fn(usize) -> f64| -> Vec<f64> {
        let each = flown.chunks(CALMED);
        each.map(|some| some.iter().map(|t| value(*t)).sum::<f64>() / some.len() as f64)
            .collect()
    };
    let moved = stats::spread(means(&|t| vane[t]));
    let apart = stats::spread(means(&|t| vane[t] - by_attitude[t]));
    (moved > VANE_STILL_RAD && apart < VANE_OFF_RAD).then_some(vane)
}

/// Force along the body over weight: (dv/dt · heading) cos θ / g + sin θ.
///
/// The acceleration is that over the ground, along the heading: a steady wind drops out, and so does
/// a gust, because the accelerometer-like sum holds whatever the air does. Without position, track or
/// heading the rate of true airspeed stands in (then horizontal gusts show).
fn thrust_line(
    flight: &Flight,
    pitch: &[f64],
    tas: &[f64],
    inertial: &mut bool,
    per_bin: usize,
    count: usize,
    bin_s: f64,
) -> Vec<f64> {
    let along = match (&flight.ground_speed, &flight.track, &flight.heading) {
        (Some(speed), Some(track), Some(heading)) => {
            *inertial = true;
            along_heading(
                &speed.values,
                &track.values,
                &heading.values,
                per_bin,
                count,
                bin_s,
            )
        }
        _ => slope(tas, bin_s),
    };
    let nose = slowed(&pitch.iter().map(|p| p.sin()).collect::<Vec<_>>());
    let level = slowed(&pitch.iter().map(|p| p.cos()).collect::<Vec<_>>());
    (0..count)
        .map(|i| along[i] * level[i] / G0_MPS2 + nose[i])
        .collect()
}

fn along_heading(
    speed: &[f64],
    track: &[f64],
    heading: &[f64],
    per_bin: usize,
    count: usize,
    bin_s: f64,
) -> Vec<f64> {
    let part = |of: fn(f64) -> f64| {
        let each: Vec<f64> = speed
            .iter()
            .zip(track)
            .map(|(v, chi)| v * of(*chi))
            .collect();
        binned(&each, per_bin, count)
    };
    let (north, east) = (part(f64::cos), part(f64::sin));
    let psi = binned(heading, per_bin, count);
    // Each step is projected on the heading at its own middle before the mean is taken: in a turn the
    // acceleration across is ten times the one along.
    let last = count.saturating_sub(2);
    let step = |i: usize| {
        let middle = 0.5 * (psi[i] + psi[i + 1]);
        ((north[i + 1] - north[i]) * middle.cos() + (east[i + 1] - east[i]) * middle.sin()) / bin_s
    };
    let steps: Vec<f64> = (0..count.saturating_sub(1)).map(step).collect();
    let at = |i: usize| steps.get(i.min(last)).copied().unwrap_or(0.0);
    (0..count)
        .map(|i| {
            let back = |j: usize| at(i.saturating_sub(j));
            0.2 * (back(2) + at(i + 1)) + 0.3 * (back(1) + at(i))
        })
        .collect()
}

/// Clean stall speed at 1 g: from the aircraft file, else from its other speeds by the usual ratios
/// (VY 1.45, best glide 1.4, approach 1.35, rotation 1.1: common practice, no source).
fn clean_stall_mps(aircraft: &Aircraft) -> Option<f64> {
    let speeds = &aircraft.speeds;
    let told = aircraft
        .stall_speed_at(0, 1.0)
        .map(|figure| figure.value_mps)
        .or(speeds.vs1_mps);
    told.or(speeds.vs0_mps.map(|v| v * 1.1))
        .or(speeds.vy_mps.map(|v| v / 1.45))
        .or(speeds.best_glide_mps.map(|v| v / 1.4))
        .or(speeds.approach_mps.map(|v| v / 1.35))
        .or(speeds.rotate_mps.map(|v| v / 1.1))
        .filter(|v| v.is_finite() && *v > 5.0)
}

impl Engine {
    fn new(flight: &Flight, per_bin: usize, count: usize) -> Self {
        let take = |series: &Option<Series>, over: f64| {
            let values = binned(&series.as_ref()?.values, per_bin, count);
            let known = values.iter().filter(|v| v.is_finite()).count();
            (known * 2 > count && over > 0.0)
                .then(|| held(values.iter().map(|v| v / over).collect()))
        };
        let top = |series: &Option<Series>| {
            let mut all: Vec<f64> = series
                .iter()
                .flat_map(|s| s.values.iter().copied())
                .filter(|v| v.is_finite())
                .collect();
            let at = (all.len() * 98 / 100).min(all.len().saturating_sub(1));
            if all.is_empty() {
                0.0
            } else {
                *all.select_nth_unstable_by(at, f64::total_cmp).1
            }
        };
        Self {
            speed: take(&flight.engine_speed, 261.8),
            fuel: take(&flight.fuel_flow, top(&flight.fuel_flow)),
            manifold: take(&flight.manifold_pressure, 101_600.0),
            lever: take(&flight.throttle, 1.0).or_else(|| take(&flight.power, 1.0)),
        }
    }

    /// The best single figure of power, for the slipstream over the wing.
    pub fn power(&self) -> Option<Vec<f64>> {
        let squared = |speed: &Vec<f64>| speed.iter().map(|r| r * r).collect();
        self.fuel
            .clone()
            .or_else(|| self.speed.as_ref().map(squared))
            .or_else(|| self.lever.clone())
    }
}

/// The last known value carried over holes.
fn held(mut values: Vec<f64>) -> Vec<f64> {
    let mut last = values
        .iter()
        .copied()
        .find(|v| v.is_finite())
        .unwrap_or(0.0);
    for value in &mut values {
        if value.is_finite() {
            last = *value;
        } else {
            *value = last;
        }
    }
    values
}

fn binned(values: &[f64], per_bin: usize, count: usize) -> Vec<f64> {
    let mut out: Vec<f64> = values
        .chunks_exact(per_bin)
        .take(count)
        .map(|chunk| chunk.iter().sum::<f64>() / per_bin as f64)
        .collect();
    out.resize(count, f64::NAN);
    out
}

fn any(flags: &[bool], per_bin: usize, count: usize) -> Vec<bool> {
    let mut out: Vec<bool> = flags
        .chunks_exact(per_bin)
        .take(count)
        .map(|c| c.iter().any(|&f| f))
        .collect();
    out.resize(count, false);
    out
}

fn all(flags: &[bool], per_bin: usize, count: usize) -> Vec<bool> {
    let mut out: Vec<bool> = flags
        .chunks_exact(per_bin)
        .take(count)
        .map(|c| c.iter().all(|&f| f))
        .collect();
    out.resize(count, true);
    out
}
