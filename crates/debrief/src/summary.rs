//! What stands over the maneuvers: recording, aircraft, standard, flight.

use crate::convert::tidy;
use crate::document::{AircraftSummary, FlightSummary, RecordingSummary, StandardSummary};
use crate::head::RecordingHead;
use crate::words::iso_utc;
use air::units::{M_PER_FT, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{Air, Fit, Flight, Series};
use standard::Pack;
use std::collections::BTreeMap;

/// Points of the height strip.
const STRIP_POINTS: usize = 600;

pub(crate) fn recording(recording: &RecordingHead, flight: &Flight) -> RecordingSummary {
    let fit = match flight.fit {
        Fit::Rich => "rich",
        Fit::Panel => "panel",
        Fit::GnssAttitude => "gnss_attitude",
        Fit::Gnss => "gnss",
        Fit::Sparse => "sparse",
    };
    let notes = &recording.account.notes;
    let mut words: Vec<String> = notes
        .iter()
        .map(|note| {
            let place = if note.line > 0 {
                format!("line {}: ", note.line)
            } else {
                String::new()
            };
            format!("{place}{}; {}", note.what, note.done)
        })
        .collect();
    if recording.account.notes_dropped > 0 {
        words.push(format!(
            "and {} more like these",
            recording.account.notes_dropped
        ));
    }
    RecordingSummary {
        name: recording.name.clone(),
        start_utc: recording.start_unix_s.and_then(iso_utc),
        duration_s: finite(recording.duration_s),
        interval_s: finite(recording.interval_s),
        rows: recording.account.rows_kept,
        fit: fit.to_owned(),
        channels: recording.channels.clone(),
        gaps: recording
            .account
            .gaps
            .iter()
            .copied()
            .filter(|(a, b)| a.is_finite() && b.is_finite())
            .collect(),
        notes: words,
    }
}

pub(crate) fn aircraft(aircraft: &Aircraft) -> AircraftSummary {
    let speeds = aircraft.speeds;
    let named = [
        ("vs0", speeds.vs0_mps),
        ("vs1", speeds.vs1_mps),
        ("vx", speeds.vx_mps),
        ("vy", speeds.vy_mps),
        ("va", aircraft.va_mps().or(speeds.va_mps)),
        ("vfe", speeds.vfe_mps),
        ("vno", speeds.vno_mps),
        ("vne", speeds.vne_mps),
        ("best_glide", speeds.best_glide_mps),
        ("approach", speeds.approach_mps),
    ];
    let speeds_kt: BTreeMap<String, f64> = named
        .into_iter()
        .filter_map(|(name, speed)| {
            let knots = speed? / MPS_PER_KT;
            knots.is_finite().then(|| (name.to_owned(), tidy(knots)))
        })
        .collect();
    AircraftSummary {
        name: aircraft.name.clone(),
        description: aircraft.description.clone(),
        speeds_kt,
    }
}

pub(crate) fn standard(pack: &Pack) -> StandardSummary {
    StandardSummary {
        id: pack.id.clone(),
        title: pack.title.clone(),
        // A school's own numbers do not pass as the document's.
        edition: match pack.extends {
            Some(_) => format!("the school's own on {}, {}", pack.edition, pack.date),
            None => format!("{}, {}", pack.edition, pack.date),
        },
        missing: pack
            .missing
            .iter()
            .map(|missing| format!("{}: {}", missing.task, missing.why))
            .collect(),
    }
}

pub(crate) fn flight(flight: &Flight) -> FlightSummary {
    let air = match flight.air {
        Air::Calm => "calm",
        Air::Light => "light",
        Air::Rough => "rough",
    };
    let wind = wind(flight);
    let altitude = flight.altitude.as_ref().or(flight.height.as_ref());
    let highest = altitude
        .map(|series| extreme(&series.values))
        .filter(|value| value.is_finite());
    let (strip_step_s, strip_altitude_ft) = strip(flight, altitude);
    FlightSummary {
        air: air.to_owned(),
        wind_from_deg: wind.map(|wind| tidy(wind.0)),
        wind_kt: wind.map(|wind| tidy(wind.1)),
        wind_sigma_kt: wind.and_then(|wind| wind.2).map(tidy),
        altitude_max_ft: highest.map(|value| tidy(value / M_PER_FT)),
        terrain_ft: terrain_ft(flight),
        remarks: flight
            .remarks
            .iter()
            .map(|(_, _, words)| words.clone())
            .collect(),
        strip_step_s,
        strip_altitude_ft,
    }
}

/// Terrain that the heights above ground rest on: the same everywhere when one figure was given.
fn terrain_ft(flight: &Flight) -> Option<f64> {
    let (height, agl) = (flight.height.as_ref()?, flight.agl.as_ref()?);
    let apart = height
        .values
        .iter()
        .zip(&agl.values)
        .map(|(height, agl)| (height - agl) / M_PER_FT);
    apart
        .into_iter()
        .find(|feet| feet.is_finite())
        .map(|feet| feet.round())
}

fn extreme(values: &[f64]) -> f64 {
    values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .fold(f64::NAN, f64::max)
}

/// Mean wind over the upper half of the flight: from (deg true), speed (kt), 1-σ (kt).
fn wind(flight: &Flight) -> Option<(f64, f64, Option<f64>)> {
    let (east, north) = (flight.wind_east.as_ref()?, flight.wind_north.as_ref()?);
    let mean = |series: &Series| {
        let known: Vec<f64> = series
            .values
            .iter()
            .copied()
            .filter(|value| value.is_finite())
            .collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    let (east_mps, north_mps) = (mean(east)?, mean(north)?);
    let speed = east_mps.hypot(north_mps) / MPS_PER_KT;
    let from = (-east_mps).atan2(-north_mps).to_degrees().rem_euclid(360.0);
    let middle = flight.clock.len / 2;
    let sigma = east.sigma_at(middle).hypot(north.sigma_at(middle)) / MPS_PER_KT;
    Some((from, speed, Some(sigma).filter(|sigma| sigma.is_finite())))
}

fn strip(flight: &Flight, altitude: Option<&Series>) -> (f64, Vec<Option<f32>>) {
    let every = flight.clock.len.div_ceil(STRIP_POINTS).max(1);
    let Some(series) = altitude else {
        return (flight.clock.step_s * every as f64, Vec::new());
    };
    let point = |index: usize| {
        let known = flight.known.get(index).copied().unwrap_or(true);
        let feet = series.at(index) / M_PER_FT;
        (known && feet.is_finite()).then_some(((feet * 10.0).round() / 10.0) as f32)
    };
    (
        flight.clock.step_s * every as f64,
        (0..flight.clock.len).step_by(every).map(point).collect(),
    )
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}
