//! What was read and what was not: the account that the cover gives of a recording.

use crate::plan;
use crate::words::{self, Watch};
use debrief::Debrief;
use flight::Flight;

/// What was read and what was not: name, words.
#[must_use]
pub fn account(debrief: &Debrief, flight: &Flight) -> Vec<(&'static str, String)> {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let recording = &debrief.recording;
    let mut out = vec![
        (
            "Recording",
            format!(
                "{}; {} rows, one every {} s, {} from {}",
                recording.name,
                words::number(recording.rows as f64, 0),
                words::bare(recording.interval_s),
                minutes(recording.duration_s),
                watch.hms(0.0)
                    + if watch.start_unix_s.is_some() {
                        " UTC"
                    } else {
                        ""
                    }
            ),
        ),
        ("Fit", fit_words(&recording.fit).to_owned()),
    ];
    if !recording.channels.is_empty() {
        let channels: Vec<String> = recording
            .channels
            .iter()
            .map(|channel| words::plain_id(channel))
            .collect();
        out.push(("Read", channels.join(", ")));
    }
    let missing = missing(flight);
    if !missing.is_empty() {
        out.push(("Not recorded", missing.join(", ")));
    }
    let derived = derived(flight);
    if !derived.is_empty() {
        out.push(("Worked out", derived.join(", ")));
    }
    if !recording.gaps.is_empty() {
        let gaps: Vec<String> = recording
            .gaps
            .iter()
            .take(6)
            .map(|(from, to)| format!("{} to {}", watch.hms(*from), watch.hms(*to)))
            .collect();
        let more = recording.gaps.len().saturating_sub(6);
        out.push((
            "Gaps",
            if more > 0 {
                format!("{}, and {more} more", gaps.join(", "))
            } else {
                gaps.join(", ")
            },
        ));
    }
    let mut notes: Vec<String> = recording
        .notes
        .iter()
        .chain(&debrief.flight.remarks)
        .map(|note| note.trim().trim_end_matches('.').to_owned())
        .filter(|note| !note.is_empty())
        .collect();
    notes.dedup();
    let more = notes.len().saturating_sub(10);
    notes.truncate(10);
    if more > 0 {
        notes.push(format!("and {more} more: see the account of the recording"));
    }
    if !notes.is_empty() {
        out.push(("Odd", notes.join("; ")));
    }
    let aircraft = &debrief.aircraft;
    out.push((
        "Aircraft",
        if aircraft.description.is_empty() {
            aircraft.name.clone()
        } else {
            format!("{}: {}", aircraft.name, aircraft.description)
        },
    ));
    out.push((
        "Standard",
        format!("{}, {}", debrief.standard.title, debrief.standard.edition),
    ));
    let missing = &debrief.standard.missing;
    if !missing.is_empty() {
        out.push((
            "Left out",
            format!("the pack has no task for {}", missing.join("; ")),
        ));
    }
    let mut air = vec![format!("{} air", debrief.flight.air)];
    air.extend(plan::wind_words(debrief));
    if let Some(terrain) = debrief
        .flight
        .terrain_ft
        .filter(|terrain| terrain.is_finite())
    {
        air.push(format!("ground at {}", words::with_unit(terrain, 0, "ft")));
    }
    out.push(("Day", air.join(", ")));
    out
}

fn minutes(seconds: f64) -> String {
    if seconds.is_finite() {
        format!("{} min", words::number(seconds / 60.0, 0))
    } else {
        "unknown time".to_owned()
    }
}

fn fit_words(fit: &str) -> &str {
    match fit {
        "rich" => "air data, attitude, engine, and flaps or controls",
        "panel" => "air data and attitude",
        "gnss_attitude" => "satellite positions and attitude, no air data",
        "gnss" => "satellite positions only",
        "sparse" => "a few quantities",
        other => other,
    }
}

fn known(flight: &Flight) -> [(&'static str, Option<&flight::Series>); 9] {
    [
        ("airspeed", flight.ias.as_ref()),
        ("heading", flight.heading.as_ref()),
        ("pitch", flight.pitch.as_ref()),
        ("bank", flight.bank.as_ref()),
        ("angle of attack", flight.aoa.as_ref()),
        ("ball", flight.lateral.as_ref()),
        ("engine speed", flight.engine_speed.as_ref()),
        ("flaps", flight.flaps.as_ref().map(|flaps| &flaps.angle)),
        ("stall warning", flight.stall_warning.as_ref()),
    ]
}

fn missing(flight: &Flight) -> Vec<&'static str> {
    known(flight)
        .into_iter()
        .filter(|(_, series)| series.is_none())
        .map(|(name, _)| name)
        .collect()
}

fn derived(flight: &Flight) -> Vec<&'static str> {
    known(flight)
        .into_iter()
        .filter(|(_, series)| {
            series.is_some_and(|series| series.origin != flight::Origin::Measured)
        })
        .map(|(name, _)| name)
        .collect()
}
