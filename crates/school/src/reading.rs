//! How a recording was read, as a person checks it; and whether a stretch of it is a lesson at all.

use crate::model::{ReadColumn, ReadNote, ReadTime, Reading};
use air::units::{M_PER_FT, MPS_PER_KT};
use recording::{Quantity, ReadError, Recording, Report};

/// Below this a person should look; the reader says the same of a column's confidence.
const SURE: f64 = 0.6;

/// Shorter power-ups are no lesson, s: an engine start and a circuit of the apron take longer.
const LEAST_S: f64 = 120.0;

/// Faster than this it flew, or at least rolled for takeoff: no taxiing is that fast (common practice, no
/// source: a brisk walk to 20 kt).
const FLYING_MPS: f64 = 35.0 * MPS_PER_KT;

/// Climbing or descending through so much is flying, for recorders without any speed.
const FLYING_M: f64 = 300.0 * M_PER_FT;

/// Kept up this long, s, so that a single bad fix does not make a flight of a parked aircraft.
const KEPT_S: f64 = 20.0;

/// What the reader understood, with the name of the map that was used. `left_out` are the flights of the file
/// of which no lesson is made, in words.
#[must_use]
pub fn understood(
    report: &Report,
    map: Option<&str>,
    flights: usize,
    left_out: &[String],
) -> Reading {
    let columns: Vec<ReadColumn> = report
        .columns
        .iter()
        .map(|column| ReadColumn {
            number: column.number,
            name: column.name.clone(),
            taken_for: column.taken_for.clone(),
            unit: column.unit.clone(),
            unit_origin: column.unit_origin.clone(),
            chosen: column.chosen,
            because: column.because.clone(),
            confidence: column.confidence,
            low: column.low,
            high: column.high,
        })
        .collect();
    // A column that nothing hangs on need not worry anybody.
    let unsure = report.time.confidence < SURE
        || report
            .columns
            .iter()
            .any(|column| column.chosen && column.confidence < SURE && column.taken_for != "other");
    let mut notes: Vec<ReadNote> = report
        .notes
        .iter()
        .map(|note| ReadNote {
            line: note.line,
            column: note.column,
            what: note.what.clone(),
            done: note.done.clone(),
        })
        .collect();
    notes.extend(left_out.iter().map(|what| ReadNote {
        what: what.clone(),
        done: "no lesson was made of it; the bytes are kept".to_owned(),
        ..ReadNote::default()
    }));
    Reading {
        container: report.container.clone(),
        format: report.format.clone(),
        header_signature: report.header_signature.clone(),
        time: ReadTime {
            how: report.time.how.clone(),
            start_utc: report.time.start_utc.clone(),
            length_s: report.time.length_s,
            interval_s: report.time.interval_s,
            confidence: report.time.confidence,
        },
        columns,
        rows_kept: report.rows_kept as u64,
        rows_lost: report.rows_lost as u64,
        gaps: report.gaps.clone(),
        notes,
        notes_dropped: report.notes_dropped as u64,
        map: map.map(ToOwned::to_owned),
        flights: flights as u64,
        unsure,
    }
}

/// A file that could not be read: what, where, and how to mend it. The bytes are kept all the same.
#[must_use]
pub fn unread(error: &ReadError) -> Reading {
    Reading {
        notes: vec![ReadNote {
            line: error.line,
            column: error.column,
            what: error.cause.to_string(),
            done: format!("nothing could be read; {}", mend(error)),
        }],
        unsure: true,
        ..Reading::default()
    }
}

/// The reader's advice names the command line; a page offers the same by hand.
#[must_use]
pub fn mend(error: &ReadError) -> String {
    use recording::Cause;
    match &error.cause {
        Cause::NoTime => {
            "export with a time column, or say below which column is the time".to_owned()
        }
        Cause::NoSuchColumn(_) => "name a column as the file does, or by number as #3".to_owned(),
        other => other.mend().to_owned(),
    }
}

/// Why a recording is no lesson; none when it is one.
#[must_use]
pub fn no_lesson(recording: &Recording) -> Option<String> {
    let length_s = length_s(recording);
    if length_s < LEAST_S {
        return Some(format!("on for {length_s:.0} s only"));
    }
    // Without a sign of movement either way nothing can be told, and a person decides.
    (flew(recording) == Some(false))
        .then(|| format!("on for {}, but it never flew", minutes(length_s)))
}

/// Seconds from the first sample to the last.
#[must_use]
pub fn length_s(recording: &Recording) -> f64 {
    match (recording.time_s.first(), recording.time_s.last()) {
        (Some(first), Some(last)) => last - first,
        _ => 0.0,
    }
}

fn minutes(length_s: f64) -> String {
    format!("{:.0} min", length_s / 60.0)
}

/// Whether the aircraft flew; none when the recorder tells neither speed nor height.
fn flew(recording: &Recording) -> Option<bool> {
    const SPEEDS: [Quantity; 4] = [
        Quantity::GroundSpeed,
        Quantity::AirspeedIndicated,
        Quantity::AirspeedCalibrated,
        Quantity::AirspeedTrue,
    ];
    const HEIGHTS: [Quantity; 3] = [
        Quantity::AltitudeIndicated,
        Quantity::AltitudePressure,
        Quantity::AltitudeGnss,
    ];
    let mut told = false;
    for values in SPEEDS
        .iter()
        .filter_map(|quantity| recording.values(*quantity))
    {
        told = true;
        if kept_s(recording, values, |speed| speed > FLYING_MPS) >= KEPT_S {
            return Some(true);
        }
    }
    if !told {
        for values in HEIGHTS
            .iter()
            .filter_map(|quantity| recording.values(*quantity))
        {
            told = true;
            let lowest = values
                .iter()
                .copied()
                .filter(|value| value.is_finite())
                .fold(f64::INFINITY, f64::min);
            if kept_s(recording, values, |height| height > lowest + FLYING_M) >= KEPT_S {
                return Some(true);
            }
        }
    }
    told.then_some(false)
}

/// Seconds, all together, in which a value is as asked. A hole in the recording counts as one interval.
fn kept_s(recording: &Recording, values: &[f64], asked: impl Fn(f64) -> bool) -> f64 {
    let most_s = 2.0 * recording.interval_s.max(0.0);
    recording
        .time_s
        .windows(2)
        .zip(values)
        .filter(|(_, value)| asked(**value))
        .filter_map(|(pair, _)| Some(pair.get(1)? - pair.first()?))
        .map(|step_s| step_s.min(most_s))
        .sum()
}

/// What a recorder writes before its table to say which aircraft it sits in: words that name an identity, with
/// their values. Empty when it says nothing.
#[must_use]
pub fn identity(preamble: &[(String, String)]) -> String {
    const WORDS: [&str; 8] = [
        "airplane",
        "aircraft",
        "airframe",
        "registration",
        "tail",
        "ident",
        "serial",
        "unit id",
    ];
    let mut told: Vec<String> = preamble
        .iter()
        .filter(|(key, value)| {
            let key = key.to_lowercase();
            !value.trim().is_empty() && WORDS.iter().any(|word| key.contains(word))
        })
        .map(|(key, value)| {
            format!(
                "{}={}",
                key.trim().to_lowercase(),
                value.trim().to_lowercase()
            )
        })
        .collect();
    told.sort();
    told.dedup();
    told.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use recording::ReadOptions;

    fn table(seconds: usize, speed: impl Fn(usize) -> f64) -> Recording {
        let mut text = String::from("# airplane: Pellwick A\ntime,alt ft,ground speed kt\n");
        for second in 0..seconds {
            text.push_str(&format!(
                "2026-05-08T20:{:02}:{:02}Z,3370,{:.1}\n",
                second / 60,
                second % 60,
                speed(second)
            ));
        }
        let read = recording::read("flight.csv", text.as_bytes(), &ReadOptions::default()).unwrap();
        read.recordings.into_iter().next().unwrap()
    }

    #[test]
    fn prop_short_power_ups_and_parked_aircraft_are_no_lesson() {
        assert_eq!(no_lesson(&table(90, |_| 90.0)).unwrap(), "on for 89 s only");
        assert!(
            no_lesson(&table(600, |_| 0.4))
                .unwrap()
                .contains("never flew")
        );
        // Taxiing briskly for ten minutes is no flight either.
        assert!(no_lesson(&table(600, |second| (second % 20) as f64)).is_some());
        // One bad fix of a parked aircraft is none.
        assert!(
            no_lesson(&table(600, |second| if second == 300 {
                140.0
            } else {
                0.2
            }))
            .is_some()
        );
        assert_eq!(
            no_lesson(&table(600, |second| if second > 200 { 85.0 } else { 5.0 })),
            None
        );
    }

    #[test]
    fn prop_an_unreadable_file_says_what_and_how_to_mend_it() {
        let error =
            recording::read("x.csv", b"no table here", &ReadOptions::default()).unwrap_err();
        let reading = unread(&error);
        assert!(reading.unsure && reading.flights == 0);
        assert!(reading.notes[0].done.contains("nothing could be read;"));
        assert!(!reading.notes[0].what.is_empty());
    }

    #[test]
    fn prop_identity_is_the_same_however_the_preamble_is_ordered() {
        let pair = |key: &str, value: &str| (key.to_owned(), value.to_owned());
        let one = [
            pair("Rate (Hz)", "10"),
            pair("Airplane", " Pellwick A "),
            pair("Serial", "7"),
        ];
        let other = [pair("serial", "7"), pair("airplane", "pellwick a")];
        assert_eq!(identity(&one), identity(&other));
        assert_eq!(identity(&one), "airplane=pellwick a; serial=7");
        assert_eq!(identity(&[pair("Rate (Hz)", "10")]), "");
    }
}
