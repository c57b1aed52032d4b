//! The flight in pieces of four seconds of one configuration, attached flow, in the air.

use crate::prior::Scales;
use air::atmosphere;
use air::units::G0_MPS2;
use aircraft::Aircraft;
use flight::{Flight, Origin, PowerState};

/// Length of a piece, s: longer than a gust's push on the indicator, short against a change of speed.
pub const PIECE_S: f64 = 4.0;

/// Means over one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Middle, s.
    pub at_s: f64,
    /// Calibrated speed in stall speeds.
    pub u: f64,
    /// Whether the speed was held: within a twentieth of the stall speed over the piece, some 0.6 kt/s.
    pub held: bool,
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Load factor, so that n²/u² is the mean of the piece.
    pub load: f64,
    /// rad.
    pub flap_rad: f64,
    /// Detent.
    pub detent: usize,
    /// Recorded share of power, 0 idle to 1 full.
    pub share: f64,
    /// ḣ/V + V̇/g.
    pub excess: f64,
    /// Density ratio.
    pub density_ratio: f64,
    /// Angle of attack, rad; NaN where there is none.
    pub aoa_rad: f64,
    /// Lift over the greatest lift of the setting.
    pub lift_ratio: f64,
}

/// Why a flight has none.
pub fn why_not(flight: &Flight) -> Option<&'static str> {
    let measured = flight
        .ias
        .as_ref()
        .is_some_and(|ias| ias.origin == Origin::Measured);
    if !measured {
        Some("the recorder wrote no airspeed")
    } else if flight.tas.is_none() || flight.tas_rate.is_none() || flight.climb.is_none() {
        Some("the recorder wrote no altitude")
    } else if flight
        .power_state
        .iter()
        .all(|state| *state == PowerState::Unknown)
    {
        Some("the recording does not show the engine's power")
    } else {
        None
    }
}

/// Greatest lift ratio that is taken for attached flow: warnings come at 0.7 to 0.83 (14 CFR 23.207 as amended to 1996, 5 kt before the stall).
const ATTACHED: f64 = 0.85;

/// So long before and after the power changed nothing is used, s: the propeller runs down in one or two, and the rate of the speed,
/// which is smoothed, takes some more to follow (judgment; without it the seconds after the throttle closed
/// showed a tenth to a third less drag than the airplane of the model has).
const LEVER_S: f64 = 4.0;
/// Change of the share of power within a second that is one: more than an engine speed wanders.
const MOVED: f64 = 0.15;

/// All usable pieces, in order of time.
pub fn pieces(
    flight: &Flight,
    aircraft: &Aircraft,
    scales: &Scales,
    stall_mps: &[f64],
) -> Vec<Piece> {
    if why_not(flight).is_some() || !flight.clock.step_s.is_finite() || flight.clock.step_s <= 0.0 {
        return Vec::new();
    }
    let long = ((PIECE_S / flight.clock.step_s).round() as usize).max(2);
    let reach = (10.0 / flight.clock.step_s).round() as usize;
    let second = (1.0 / flight.clock.step_s).round().max(1.0) as usize;
    let turned = (LEVER_S / flight.clock.step_s).round().max(1.0) as usize;
    let mut spoiled = vec![false; flight.clock.len];
    let mut spoil = |from: usize, to: usize| {
        if let Some(span) = spoiled.get_mut(from..to.min(flight.clock.len)) {
            span.fill(true);
        }
    };
    for i in 0..flight.clock.len {
        if flight.on_ground.get(i).copied().unwrap_or(true) {
            spoil(i.saturating_sub(reach), i + reach);
        }
        // Flow that let go takes its time to come back.
        if flight
            .lift_ratio
            .as_ref()
            .is_some_and(|lift| lift.at(i) > 0.95)
        {
            spoil(i, i + reach / 2);
        }
        // What a lever does to the speed is smeared over the seconds before and after it.
        let before = i
            .checked_sub(second)
            .and_then(|before| share(flight, before));
        let moved = before
            .zip(share(flight, i))
            .is_some_and(|(before, now)| (now - before).abs() > MOVED);
        if moved {
            spoil(i.saturating_sub(second + turned), i + turned);
        }
    }
    let mut out = Vec::new();
    let mut from = 0;
    while from + long <= flight.clock.len {
        let all: Option<Vec<Moment>> = (from..from + long)
            .map(|i| {
                let bad = spoiled.get(i).copied().unwrap_or(true);
                (!bad)
                    .then(|| moment(flight, aircraft, scales, stall_mps, i))
                    .flatten()
            })
            .collect();
        match all
            .as_deref()
            .and_then(|all| piece(all, flight.clock.time_s(from) + 0.5 * PIECE_S))
        {
            Some(piece) => {
                out.push(piece);
                from += long;
            }
            // The next one begins soon after what spoiled this one.
            None => from += (long / 4).max(1),
        }
    }
    out
}

struct Moment {
    u: f64,
    tas: f64,
    load: f64,
    flap: f64,
    detent: usize,
    share: f64,
    excess: f64,
    density: f64,
    aoa: f64,
    lift: f64,
}

fn moment(
    flight: &Flight,
    aircraft: &Aircraft,
    scales: &Scales,
    stall_mps: &[f64],
    i: usize,
) -> Option<Moment> {
    if !flight.known.get(i).copied().unwrap_or(false) {
        return None;
    }
    let at =
        |series: &Option<flight::Series>| series.as_ref().map_or(f64::NAN, |series| series.at(i));
    let ias = at(&flight.ias);
    let (flap, detent) = flaps(flight, aircraft, scales, i, ias)?;
    let cas = aircraft.calibrated_mps(ias, flap);
    let (u, tas, load) = (cas / scales.vs1_cas_mps, at(&flight.tas), at(&flight.load));
    let stall = stall_mps.get(detent).copied().unwrap_or(scales.vs1_cas_mps);
    let lift = load * (stall / cas).powi(2);
    let share = share(flight, i)?;
    let excess = at(&flight.climb) / tas + at(&flight.tas_rate) / G0_MPS2;
    let lateral = flight.lateral.as_ref().map_or(0.0, |series| series.at(i));
    let bank = flight.bank.as_ref().map_or(0.0, |series| series.at(i));
    let agl = flight.agl.as_ref().map_or(100.0, |series| series.at(i));
    let good = u.is_finite() && u > 0.7 && tas > 10.0 && excess.is_finite()
        && (0.3..2.6).contains(&load) && lift < ATTACHED
        // A slip is drag of its own; ground effect takes some away.
        && lateral.abs() < 0.08 && bank.abs() < 1.1 && agl > 15.0;
    good.then(|| Moment {
        u,
        tas,
        load,
        flap,
        detent,
        share,
        excess,
        density: density_ratio(at(&flight.altitude), at(&flight.temperature)),
        aoa: at(&flight.aoa),
        lift,
    })
}

/// Flap angle and detent where they are sure and the flaps are not moving.
pub(crate) fn flaps(
    flight: &Flight,
    aircraft: &Aircraft,
    scales: &Scales,
    i: usize,
    ias: f64,
) -> Option<(f64, usize)> {
    if aircraft.has_flaps() == Some(false) {
        return Some((0.0, 0));
    }
    if let Some(flaps) = &flight.flaps {
        let out = flaps.out.get(i).map_or(f64::NAN, |out| f64::from(*out));
        let angle = flaps.angle.at(i);
        if out < 0.1 {
            return Some((0.0, 0));
        }
        if out > 0.9 && angle.is_finite() {
            let nearest = scales
                .detents_rad
                .iter()
                .enumerate()
                .min_by(|a, b| (a.1 - angle).abs().total_cmp(&(b.1 - angle).abs()))?;
            // In between they move.
            return ((nearest.1 - angle).abs() < 0.03).then_some((*nearest.1, nearest.0));
        }
    }
    // Faster than flaps may be out, they are in.
    let limit = aircraft.speeds.vfe_mps?;
    (ias > limit).then_some((0.0, 0))
}

/// Recorded share of power, held to the stops where the class says so.
pub(crate) fn share(flight: &Flight, i: usize) -> Option<f64> {
    let recorded = flight
        .power
        .as_ref()
        .map_or(f64::NAN, |series| series.at(i));
    match flight.power_state.get(i)? {
        PowerState::Idle => Some(0.0),
        PowerState::Full => Some(1.0),
        PowerState::Partial => recorded.is_finite().then(|| recorded.clamp(0.0, 1.0)),
        PowerState::Unknown => None,
    }
}

/// Density over that of standard sea level, from the altimeter and the outside air (standard where it is not recorded). The setting is
/// not looked at: 300 m, which is much, are 3 %.
#[must_use]
pub fn density_ratio(altitude_m: f64, temperature_k: f64) -> f64 {
    let altitude = if altitude_m.is_finite() {
        altitude_m.clamp(-500.0, 10_000.0)
    } else {
        0.0
    };
    let standard = atmosphere::standard_temperature_k(altitude);
    let temperature = if (temperature_k - standard).abs() < 50.0 {
        temperature_k
    } else {
        standard
    };
    atmosphere::density_kgpm3(atmosphere::pressure_pa(altitude), temperature)
        / atmosphere::RHO0_KGPM3
}

fn piece(all: &[Moment], at_s: f64) -> Option<Piece> {
    let first = all.first()?;
    let count = all.len() as f64;
    let mean = |of: &dyn Fn(&Moment) -> f64| all.iter().map(of).sum::<f64>() / count;
    let spread = |of: &dyn Fn(&Moment) -> f64| {
        let (low, high) = all
            .iter()
            .map(of)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| {
                (l.min(x), h.max(x))
            });
        high - low
    };
    // The lever has just moved: engine and propeller follow seconds later.
    let steady = all.iter().all(|m| m.detent == first.detent)
        && spread(&|m| m.share) < 0.15
        && spread(&|m| m.u) < 0.35;
    let u = mean(&|m| m.u);
    steady.then(|| Piece {
        at_s,
        u,
        held: spread(&|m| m.u) < 0.05,
        tas_mps: mean(&|m| m.tas),
        load: (mean(&|m| (m.load / m.u).powi(2)) * u * u).sqrt(),
        flap_rad: first.flap,
        detent: first.detent,
        share: mean(&|m| m.share),
        excess: mean(&|m| m.excess),
        density_ratio: mean(&|m| m.density),
        aoa_rad: mean(&|m| m.aoa),
        lift_ratio: mean(&|m| m.lift),
    })
}
