//! What is expected before the flight is looked at: flap effects from the aircraft file, lines from
//! physics, habits of pilots.

use aircraft::Aircraft;

use super::bins::Bins;
use super::chain::Habits;
use super::channel::{Channel, Effects};

/// Widening by pitch rate, scales at 10 deg/s, and by load, scales at 1 g off level flight. Recoveries
/// from stalls: unsteady lift, drag of the separated wing and lags make about a degree at 1.3 g.
const BY_RATE: f64 = 8.0;
const BY_LOAD: f64 = 12.0;

/// What is left of the square of a disturbance after a second.
const AFTER: f64 = 0.6;

/// Smallest credible scale of a vane about the line. A vane hardly flickers, but flow about the nose,
/// slipstream and sideslip bend its line by some tenths of a degree (from memory).
const VANE_FLOOR: f64 = 0.3 * DEG;

const DEG: f64 = std::f64::consts::PI / 180.0;

/// Slope of the angle of attack with lift over the greatest lift, rad: (16 ± 4)°. A wing of aspect
/// ratio 6 to 8 has a lift slope of 4.3 to 5 per rad and CLmax 1.2 to 1.5 (from memory).
pub(super) const SLOPE: (f64, f64) = (16.0 * DEG, 4.0 * DEG);

/// Detents that can be followed: rising angles, at least two.
pub(super) fn detents_rad(aircraft: &Aircraft) -> Option<Vec<f64>> {
    let angles: Vec<f64> = aircraft.flaps.iter().map(|d| d.angle_rad).collect();
    let rising = angles.windows(2).all(|w| w[1] - w[0] > 0.5 * DEG);
    (angles.len() >= 2 && angles.len() <= super::lattice::MAX_DETENTS && rising).then_some(angles)
}

/// Flap effects to start from; `shape` is the power law between detents, `size` scales them.
///
/// At the same lift the offset of full flap follows from the stall speeds: with the slope and the
/// critical angle of the wing unchanged, D = −s (VS1²/VS0² − 1). Flaps stall a few degrees earlier,
/// which takes a part away: 0.9 of it is left here, ± 25 %.
pub(super) fn effects(
    aircraft: &Aircraft,
    angles_rad: &[f64],
    size: f64,
    shape: f64,
    draggy: f64,
) -> Effects {
    let full = angles_rad.last().copied().unwrap_or(1.0);
    let clean = aircraft.stall_speed(0).map(|f| f.value_mps);
    let ratio = |k: usize| {
        let stall = aircraft.flaps.get(k)?.stall_mps?;
        Some((clean? / stall).powi(2) - 1.0).filter(|r| *r > 0.02 && *r < 1.5)
    };
    // 19 % is the ratio of VS1 = 1.09 VS0, usual in light trainers (common practice, no source).
    let full_ratio = ratio(angles_rad.len() - 1).unwrap_or(0.19);
    let mut out = Effects {
        offset_rad: Vec::new(),
        drag: Vec::new(),
        offset_prior: Vec::new(),
        drag_prior: Vec::new(),
        looseness: 1.0,
        shares: angles_rad
            .iter()
            .map(|angle| (angle / full).clamp(0.0, 1.0))
            .collect(),
    };
    for (k, angle) in angles_rad.iter().enumerate() {
        let share = (angle / full).max(0.0);
        let told = if k + 1 < angles_rad.len() {
            ratio(k)
        } else {
            None
        };
        let expected = -0.9 * SLOPE.0 * told.unwrap_or(full_ratio * share.powf(shape));
        let detent = aircraft.flaps.get(k);
        let learned = detent
            .and_then(|d| d.aoa_offset_rad)
            .filter(|x| x.is_finite());
        let offset = size * learned.unwrap_or(expected);
        let wide = if k + 1 == angles_rad.len() || told.is_some() {
            0.25
        } else {
            0.4
        };
        let offset_sigma = if learned.is_some() {
            0.3 * DEG
        } else {
            (wide * offset.abs()).max(0.4 * DEG)
        };
        // Full flap adds 0.03 to 0.06 to the drag coefficient, over CLmax 1.5: 1 to 2.3 degrees; the
        // first part of the travel adds lift rather than drag (Hoerner, Fluid-Dynamic Drag, 1965,
        // chapter on flaps; from memory).
        let learned_drag = detent.and_then(|d| d.drag_offset).filter(|x| x.is_finite());
        let drag = draggy * learned_drag.unwrap_or(1.4 * DEG * share.powf(1.6));
        let drag_sigma = if learned_drag.is_some() {
            0.3 * DEG
        } else {
            (0.5 * drag).max(0.4 * DEG)
        };
        out.offset_rad.push(if k == 0 { 0.0 } else { offset });
        out.drag.push(if k == 0 { 0.0 } else { drag });
        out.offset_prior.push((offset, offset_sigma));
        out.drag_prior.push((drag, drag_sigma));
    }
    out
}

/// Pitch minus path at the clean stall, rad, with 1-σ. The critical angle in the file is that of the
/// wing or body; published stall speeds are reached in a gentle deceleration, a little before it.
pub(super) fn stall_angle_rad(aircraft: &Aircraft) -> (f64, f64) {
    match aircraft.critical_aoa_rad {
        Some(angle) if angle.is_finite() => (angle - 3.0 * DEG, 2.5 * DEG),
        _ => (13.0 * DEG, 4.0 * DEG),
    }
}

/// Angle of attack against lift: the load line with the effect of the slipstream.
pub(super) fn load_line(bins: &Bins, stall_rad: (f64, f64)) -> Channel {
    let power = bins.engine.power();
    let mut rows = Vec::new();
    for (t, lift) in bins.lift.iter().enumerate() {
        let p = power.as_ref().map_or(0.0, |p| p[t]);
        rows.extend([1.0, *lift, p * lift, p, (lift - 0.45).powi(2)]);
    }
    let prior = vec![
        (-3.0 * DEG, 5.0 * DEG),
        SLOPE,
        (0.0, 1.5 * DEG),
        (0.0, 0.7 * DEG),
        (0.0, 4.0 * DEG),
    ];
    let valid = valid(bins, &bins.aoa_rad);
    let widen = widening(bins, BY_RATE, BY_LOAD, 0.0);
    Channel {
        y: bins.aoa_rad.clone(),
        width: 5,
        rows,
        coefficients: prior.iter().map(|(mean, _)| *mean).collect(),
        anchor: Some((vec![1.0, 1.0, 0.0, 0.0, 0.3], stall_rad.0, stall_rad.1)),
        prior,
        narrow: widen.iter().map(|w| 1.0 / w).collect(),
        widen,
        valid,
        offset_gain: vec![1.0; bins.len()],
        drag_gain: vec![0.0; bins.len()],
        learns_offset: true,
        rho_index: 2,
        drift_index: 0,
        rho: 0.5,
        decay: 0.98,
        gain: 0.1,
        scale: 0.5 * DEG,
        base: Vec::new(),
        floor: if bins.vane { VANE_FLOOR } else { 0.12 * DEG },
    }
}

/// Force along the body against thrust and drag. The lift's share, load × angle of attack, is taken
/// off by [`force_left_side`] with the load line, so that a gust does not enter.
pub(super) fn force_line(bins: &Bins) -> Channel {
    let (mut columns, mut prior) = (vec![vec![1.0; bins.len()]], vec![(0.0, 4.0 * DEG)]);
    let by = |f: &dyn Fn(usize) -> f64| (0..bins.len()).map(f).collect::<Vec<f64>>();
    let (speed, load) = (&bins.speed, &bins.load);
    // Drag over weight at the clean stall speed: CD0 / CLmax and CLmax / (π e A), from memory.
    columns.push(by(&|t| speed[t].powi(2)));
    prior.push((-0.02, 0.01));
    columns.push(by(&|t| (load[t] / speed[t].max(0.5)).powi(2)));
    prior.push((-0.07, 0.03));
    let engine = &bins.engine;
    if let Some(r) = &engine.speed {
        columns.push(by(&|t| r[t] * r[t]));
        columns.push(by(&|t| r[t] * speed[t]));
        prior.extend([(0.2, 0.3), (-0.08, 0.15)]);
    }
    if let Some(q) = &engine.fuel {
        columns.push(by(&|t| q[t] / speed[t].max(0.5)));
        columns.push(by(&|t| q[t]));
        prior.extend([(0.15, 0.25), (0.0, 0.15)]);
    }
    let other = engine.manifold.as_ref().or(engine.lever.as_ref());
    if let Some(m) = other.filter(|_| engine.fuel.is_none()) {
        let r = engine.speed.as_ref();
        columns.push(by(&|t| m[t] * r.map_or(1.0, |r| r[t]) / speed[t].max(0.5)));
        columns.push(by(&|t| m[t]));
        prior.extend([(0.15, 0.25), (0.0, 0.15)]);
    }
    let columns: Vec<Vec<f64>> = columns.iter().map(|c| bins.slowed(c)).collect();
    let width = columns.len();
    let mut rows = Vec::with_capacity(width * bins.len());
    for t in 0..bins.len() {
        rows.extend(columns.iter().map(|c| c[t]));
    }
    let squared = by(&|t| -speed[t].powi(2));
    let widen = widening(bins, BY_RATE, BY_LOAD, 4.0);
    let valid = valid(bins, &bins.thrust_line)
        .iter()
        .enumerate()
        .map(|(t, ok)| {
            *ok && rows[t * width..(t + 1) * width]
                .iter()
                .all(|x| x.is_finite())
        })
        .collect();
    Channel {
        y: bins.thrust_line.clone(),
        width,
        rows,
        coefficients: prior.iter().map(|(mean, _)| *mean).collect(),
        anchor: None,
        prior,
        narrow: widen.iter().map(|w| 1.0 / w).collect(),
        widen,
        valid,
        offset_gain: bins.slowed(load),
        drag_gain: bins.slowed(&squared),
        learns_offset: false,
        rho_index: 2,
        drift_index: 0,
        rho: 0.5,
        decay: 0.98,
        gain: 0.1,
        scale: 0.8 * DEG,
        base: Vec::new(),
        floor: 0.2 * DEG,
    }
}

/// Left side of the force line: the force less load × load line. `room` is overwritten.
pub(super) fn force_left_side(bins: &Bins, channels: &mut [Channel], room: &mut Vec<f64>) {
    let [line, force, ..] = channels else { return };
    room.clear();
    room.extend(bins.load.iter().zip(line.lines()).map(|(n, line)| n * line));
    bins.slow_into(room, &mut force.y);
    for (y, thrust) in force.y.iter_mut().zip(&bins.thrust_line) {
        *y = thrust - *y;
    }
}

fn valid(bins: &Bins, values: &[f64]) -> Vec<bool> {
    (0..bins.len())
        .map(|t| {
            bins.flying[t]
                && values[t].is_finite()
                && bins.lift[t].is_finite()
                && bins.lift[t] < 1.0
                && (0.2..2.5).contains(&bins.load[t])
        })
        .collect()
}

/// Noise is larger where the aircraft is not in steady flight: unsteady lift and lags with the pitch
/// rate, the bent line near the stall, errors of the load factor away from 1 g; in a
/// turn a heading that is off lets in some of the acceleration across (1.5 degrees: 4 scales at 45° bank).
fn widening(bins: &Bins, by_rate: f64, by_load: f64, by_turn: f64) -> Vec<f64> {
    let mut after = 0.0_f64;
    // A gust is short and in the noise anyway; what counts is the pilot's pull.
    let pull = bins.slowed(&bins.load);
    (0..bins.len())
        .map(|t| {
            let rate = bins.pitch_rate_radps[t].abs() / (10.0 * DEG);
            let load = (pull[t] - 1.0).abs();
            let near = ((bins.lift[t] - 0.75) / 0.25).clamp(0.0, 1.5);
            let sum = (by_rate * rate).powi(2)
                + (by_load * load).powi(2)
                + 9.0 * near * near
                + (by_turn * bins.turning[t]).powi(2);
            // Lags outlast what made them.
            let now = if sum.is_finite() { sum.min(100.0) } else { 0.0 };
            after = now.max(after * AFTER.powf(bins.bin_s));
            (1.0 + after).sqrt()
        })
        .collect()
}

/// Chances of moving the lever. Weak habits: about one notch a minute while the flaps are in use, one
/// in two and a half minutes from clean, extension above the limit speed rare but possible, and
/// retraction likely there (common practice, no source).
pub(super) fn habits(bins: &Bins, aircraft: &Aircraft, detents: usize) -> Habits {
    let boundaries = detents - 1;
    let stall = bins.stall_mps();
    let limit = |b: usize| aircraft.flap_limit_mps(b + 1).unwrap_or(1.75 * stall);
    let limits: Vec<f64> = (0..boundaries).map(limit).collect();
    let power = bins.engine.power();
    // Flaps go out before the nose comes up for a stall, and come in after the power: taking them in
    // slow and at idle would stall the wing (common practice, no source).
    let slow = |t: usize| bins.lift[t] > 0.7;
    let steady = |t: usize| if slow(t) { 0.3 } else { 1.0 };
    let powered = |t: usize| {
        let idle = power.as_ref().is_some_and(|p| p[t] < 0.35);
        if slow(t) && idle { 0.1 } else { 1.0 }
    };
    let mut down = Vec::with_capacity(bins.len() * boundaries);
    let mut up = Vec::with_capacity(bins.len() * boundaries);
    for t in 0..bins.len() {
        for (b, limit) in limits.iter().enumerate() {
            let over = (bins.ias_mps[t] - limit) / 1.5;
            let under = if over.is_finite() {
                1.0 / (1.0 + over.exp())
            } else {
                1.0
            };
            let often = bins.bin_s / if b == 0 { 150.0 } else { 60.0 };
            let floor = if over > 8.0 { 0.0005 } else { 0.02 };
            down.push((often * under.max(floor) * steady(t)) as f32);
            up.push((bins.bin_s / 60.0 * (1.0 + 9.0 * (1.0 - under)) * powered(t)) as f32);
        }
    }
    let fast = bins.ias_mps.iter().position(|v| v.is_finite());
    let fast = fast.is_some_and(|t| bins.ias_mps[t] > limits[0] + 5.0);
    let clean = if fast { 0.98 } else { 0.8 };
    let rest = (1.0 - clean) / boundaries as f64;
    let first = (0..detents)
        .map(|k| if k == 0 { clean } else { rest })
        .collect();
    Habits { down, up, first }
}
