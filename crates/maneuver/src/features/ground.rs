//! Contacts with the ground and low passes: what takeoffs, landings and go-arounds hang on.

use super::{Features, STEP_S};
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};

/// What happened near the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactKind {
    /// From the roll into the air.
    LiftOff,
    /// From the air onto the runway.
    Touchdown,
    /// Down to pattern-flare height and away again without touching.
    LowPass,
}

/// One contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// What.
    pub kind: ContactKind,
    /// When the wheels left or touched, or the height was least, s.
    pub at_s: f64,
    /// Start of the roll (lift-off), or end of the roll (touchdown), s; the same as `at_s` for a low pass.
    pub roll_s: f64,
    /// Altitude there, m.
    pub altitude_m: f64,
}

/// Flagged as on the ground, or slow and steady at the height where the aircraft was flagged: what must not
/// count as flying when the flight itself has to show its stall speed.
pub fn rolling(altitude: &[f64], climb: &[f64], ias: &[f64], on_ground: &[bool]) -> Vec<bool> {
    let mut flagged: Vec<f64> = altitude
        .iter()
        .zip(on_ground)
        .filter(|(h, g)| **g && h.is_finite())
        .map(|(h, _)| *h)
        .collect();
    let level = super::smooth::percentile_of(&mut flagged, 0.5);
    let low = |i: usize| {
        (altitude[i] - level).abs() < 25.0 * M_PER_FT
            && climb[i].abs() < 200.0 * MPS_PER_FPM
            && ias[i] < 45.0
    };
    (0..ias.len()).map(|i| on_ground[i] || low(i)).collect()
}

/// A stretch on the ground shorter than this is a bounce or a doubtful flag, s.
const LEAST_S: f64 = 3.0;

/// All contacts in order.
pub fn find(features: &Features) -> Vec<Contact> {
    let stretches = stretches(features);
    let mut contacts = Vec::new();
    for (from, to) in &stretches {
        if *from > 0 && moving(features, *from) {
            let roll = (*from..*to).find(|i| slow(features, *i)).unwrap_or(*to);
            contacts.push(contact(features, ContactKind::Touchdown, *from, roll));
        }
        if *to + 1 < features.len && moving(features, *to) {
            let slow = (*from..*to)
                .rev()
                .find(|i| slow(features, *i))
                .unwrap_or_else(|| slowest(features, *from, *to));
            let roll = (*from..=slow)
                .rev()
                .find(|i| still(features, *i))
                .unwrap_or(slow);
            // The lever moves two seconds before the engine and the wheels show it.
            let roll = roll.saturating_sub((2.0 / STEP_S) as usize).max(*from);
            contacts.push(contact(features, ContactKind::LiftOff, *to, roll));
        }
    }
    contacts.extend(low_passes(features, &contacts, &stretches));
    contacts.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    contacts
}

fn contact(features: &Features, kind: ContactKind, at: usize, roll: usize) -> Contact {
    Contact {
        kind,
        at_s: features.time_s(at),
        roll_s: features.time_s(roll),
        altitude_m: features.altitude.get(at).copied().unwrap_or(f64::NAN),
    }
}

/// Walking pace or less: a roll begins or has ended.
fn slow(features: &Features, index: usize) -> bool {
    let v = speed(features, index);
    v.is_finite() && v < 7.0 * MPS_PER_KT
}

fn slowest(features: &Features, from: usize, to: usize) -> usize {
    (from..=to)
        .min_by(|a, b| speed(features, *a).total_cmp(&speed(features, *b)))
        .unwrap_or(from)
}

/// Standing, or before the power came.
fn still(features: &Features, index: usize) -> bool {
    let power = features.power.get(index).copied().unwrap_or(f64::NAN);
    power < 0.35 || (power.is_nan() && speed(features, index) < 1.5 * MPS_PER_KT)
}

fn speed(features: &Features, index: usize) -> f64 {
    let ground = features
        .ground_speed
        .get(index)
        .copied()
        .unwrap_or(f64::NAN);
    if ground.is_finite() {
        ground
    } else {
        features.ias.get(index).copied().unwrap_or(f64::NAN)
    }
}

/// Near flying speed, so that the edge of the stretch is a contact and not the edge of the recording.
fn moving(features: &Features, index: usize) -> bool {
    features
        .ias
        .get(index)
        .is_some_and(|v| *v > 0.6 * features.scale.vs1_mps)
}

/// Stretches on the ground, by the flight's own flags where there are any, else by speed: a stretch must
/// hold a real standstill, because in 25 kt of wind a stalled aircraft is nearly that slow over the ground.
fn stretches(features: &Features) -> Vec<(usize, usize)> {
    let flagged = features.on_ground.iter().any(|g| *g);
    let level = ground_level(features);
    let grounded = |i: usize| {
        let slow = features.ias[i] < 1.15 * features.scale.vs1_mps || features.ias[i].is_nan();
        let calm = features.climb[i].abs() < 150.0 * MPS_PER_FPM && features.bank[i].abs() < 0.09;
        // A touch-and-go: rolling at the height of the runway, and neither climbing nor banking.
        let rolling = slow && calm && (features.altitude[i] - level).abs() < 15.0 * M_PER_FT;
        if flagged {
            features.on_ground[i] || rolling
        } else {
            let stopped = features.ias[i] < 0.95 * features.scale.vs1_mps;
            rolling || (stopped && speed(features, i) < 0.95 * features.scale.vs1_mps)
        }
    };
    let mut out: Vec<(usize, usize)> = Vec::new();
    let mut index = 0;
    while index < features.len {
        if !grounded(index) {
            index += 1;
            continue;
        }
        let from = index;
        while index + 1 < features.len && grounded(index + 1) {
            index += 1;
        }
        match out.last_mut() {
            // A skip of the flag for up to 3 s is a bounce.
            Some(last) if (from - last.1) as f64 * STEP_S < 3.0 => last.1 = index,
            _ => out.push((from, index)),
        }
        index += 1;
    }
    out.retain(|(from, to)| {
        let long = (to - from) as f64 * STEP_S >= LEAST_S;
        let stood = (*from..=*to).filter(|i| slow(features, *i)).count() as f64 * STEP_S >= 5.0;
        let slowed = (*from..=*to).any(|i| features.ias[i] < 0.85 * features.scale.vs1_mps);
        long && (stood || (slowed && (flagged || level.is_finite())))
    });
    out
}

/// Altitude of the runway: where the flight stood or was flagged as on the ground, else the altitude at which
/// the height above the ground is nothing; NaN when neither is known.
fn ground_level(features: &Features) -> f64 {
    let stood = (0..features.len).filter(|i| {
        features.on_ground[*i]
            || (slow(features, *i) && features.ias[*i] < 0.5 * features.scale.vs1_mps)
    });
    let mut altitudes: Vec<f64> = stood
        .map(|i| features.altitude[i])
        .filter(|h| h.is_finite())
        .collect();
    if altitudes.is_empty() {
        let near = (0..features.len).filter(|i| features.agl[*i].abs() < 10.0 * M_PER_FT);
        altitudes = near
            .map(|i| features.altitude[i])
            .filter(|h| h.is_finite())
            .collect();
    }
    super::smooth::percentile_of(&mut altitudes, 0.5)
}

/// Minima of height under 350 ft above the ground with at least 500 ft of climb on both sides.
fn low_passes(
    features: &Features,
    contacts: &[Contact],
    stretches: &[(usize, usize)],
) -> Vec<Contact> {
    let heights = heights(features, contacts);
    let mut out = Vec::new();
    let mut index = 0;
    while index < features.len {
        if heights[index].is_nan() || heights[index] > 350.0 * M_PER_FT {
            index += 1;
            continue;
        }
        let from = index;
        while index + 1 < features.len && heights[index + 1] <= 500.0 * M_PER_FT {
            index += 1;
        }
        let touched = stretches
            .iter()
            .any(|(a, b)| *a <= index + 1 && *b + 1 >= from);
        let (inside, climbs) = (from > 0, index + 1 < features.len);
        if !touched && inside && climbs {
            let low = (from..=index)
                .min_by(|a, b| heights[*a].total_cmp(&heights[*b]))
                .unwrap_or(from);
            out.push(contact(features, ContactKind::LowPass, low, low));
        }
        index += 1;
    }
    out
}

/// Height above the ground: recorded, else above the nearest contact's altitude.
fn heights(features: &Features, contacts: &[Contact]) -> Vec<f64> {
    if features.agl.iter().any(|h| h.is_finite()) {
        return features.agl.clone();
    }
    let Some(first) = contacts.iter().find(|c| c.altitude_m.is_finite()) else {
        return vec![f64::NAN; features.len];
    };
    features
        .altitude
        .iter()
        .map(|h| h - first.altitude_m)
        .collect()
}
