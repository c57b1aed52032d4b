//! Damaged files lose what is damaged, and say which line that was; marks for "no value" are no values.

mod support;

use recording::Quantity;
use support::{flight, note, only, read, read_bytes, values};

fn body() -> Vec<String> {
    (0..40)
        .map(|s| format!("{s},{:.1},{}", 80.0 + f64::from(s) * 0.1, 3000 + s))
        .collect()
}

const HEAD: &str = "elapsed s,ias kt,alt ft\n";

#[test]
fn the_last_line_is_cut() {
    let whole = HEAD.to_owned() + &body().join("\n");
    for cut in [1, 3, 5] {
        let text = &whole[..whole.len() - cut];
        let read = read(text);
        assert!(read.report.rows_kept >= 39, "{cut}");
    }
    let read = read(&whole[..whole.len() - 6]);
    let last = values(&read.recordings[0], Quantity::AltitudeIndicated)[39];
    assert!(
        last.is_nan(),
        "a cut number must not pass for a number: {last}"
    );
    assert_eq!(note(&read, "ends in the middle").line, 41);
}

#[test]
fn blocks_of_zero_bytes() {
    let mut rows = body();
    rows[20] = format!("20,82.{}{}", "\0".repeat(512), "3,81.7,3014");
    let bytes = (HEAD.to_owned() + &rows.join("\n") + &"\0".repeat(2000)).into_bytes();
    let read = read_bytes(&bytes);
    assert!(read.report.rows_kept >= 39, "{}", read.report.rows_kept);
    assert_eq!(note(&read, "zero bytes").line, 22);
    let altitude = values(&read.recordings[0], Quantity::AltitudeIndicated);
    assert!((altitude[altitude.len() - 1] / 0.3048 - 3039.0).abs() < 1e-6);
}

#[test]
fn bytes_that_are_no_utf8() {
    let mut bytes = b"elapsed s,ias kt,alt ft,text,temp [\xb0C]\n".to_vec();
    for row in body() {
        bytes.extend(row.bytes());
        bytes.extend(b",\xff\xfe\x80,15\n");
    }
    let read = read_bytes(&bytes);
    assert_eq!(read.report.rows_kept, 40);
    let oat = values(&read.recordings[0], Quantity::OutsideAirTemperature);
    assert!((oat[0] - 288.15).abs() < 1e-9);
}

#[test]
fn a_mangled_line_loses_only_itself() {
    for garbage in [
        "garbage",
        "@@@@,####,%%%%",
        "7,8",
        ",,,,,,,,,,",
        "1e999,x,y",
        "\"unclosed,1,2",
        "12,13,14,15,16,17,18",
    ] {
        let mut rows = body();
        rows.insert(20, garbage.to_owned());
        let read = read(&(HEAD.to_owned() + &rows.join("\n") + "\n"));
        assert_eq!(read.recordings.len(), 1, "{garbage}");
        let altitude = values(&read.recordings[0], Quantity::AltitudeIndicated);
        for wanted in 3000..3040 {
            let here = altitude
                .iter()
                .any(|value| (value / 0.3048 - f64::from(wanted)).abs() < 1e-6);
            assert!(here, "{garbage}: {wanted} ft is lost");
        }
        if !garbage.starts_with(",,") {
            assert!(
                read.report.notes.iter().any(|note| note.line == 22),
                "{garbage}: {:?}",
                read.report.notes
            );
        }
    }
}

#[test]
fn text_in_a_column_of_numbers() {
    let mut rows = body();
    rows[5] = "5,ground,3005".to_owned();
    rows[6] = "6,99:59,3006".to_owned();
    let read = read(&(HEAD.to_owned() + &rows.join("\n") + "\n"));
    assert_eq!(read.report.rows_kept, 40);
    let here = note(&read, "ground");
    assert_eq!((here.line, here.column), (7, 2));
    assert!(values(&read.recordings[0], Quantity::AirspeedIndicated)[5].is_nan());
}

#[test]
fn longer_and_shorter_rows() {
    let text = "elapsed s,ias kt,alt ft\n0,80,3000,\n1,81,3001,\n2,82,3002,\n3,83\n4,84,3004,\n5,85,3005,\n";
    let recording = only(text);
    assert_eq!(recording.time_s.len(), 6);
    assert!(values(&recording, Quantity::AltitudeIndicated)[3].is_nan());
    assert!(!values(&recording, Quantity::AirspeedIndicated)[3].is_nan());
}

#[test]
fn duplicate_and_empty_names() {
    let text = "elapsed s,ias kt,ias kt,,alt ft\n0,80,80,1,3000\n1,81,,2,3001\n2,82,,3,3002\n3,83,83,4,3003\n";
    let recording = only(text);
    let count = recording
        .channels
        .iter()
        .filter(|channel| channel.quantity == Quantity::AirspeedIndicated)
        .count();
    assert_eq!(count, 2);
    assert!(
        !values(&recording, Quantity::AirspeedIndicated)
            .iter()
            .any(|value| value.is_nan())
    );
}

#[test]
fn marks_for_no_value() {
    let mut text = "elapsed s,lat,lon,alt ft,ias kt,oat c,track,pitch\n".to_owned();
    for (index, row) in flight().iter().take(200).enumerate() {
        let odd = index % 40 == 10;
        let cells = [
            format!("{}", row.time_s),
            if odd {
                "0.000000".to_owned()
            } else {
                format!("{:.6}", row.latitude_deg)
            },
            if odd {
                "-0.000000".to_owned()
            } else {
                format!("{:.6}", row.longitude_deg)
            },
            if odd {
                "-16000".to_owned()
            } else {
                format!("{:.0}", row.altitude_m / 0.3048)
            },
            if odd {
                "NaN".to_owned()
            } else {
                format!("{:.1}", row.airspeed_mps / 0.514_444)
            },
            if odd {
                "-9999".to_owned()
            } else {
                format!("{:.1}", row.oat_c)
            },
            if odd {
                "-1".to_owned()
            } else {
                format!("{:.1}", row.track_deg)
            },
            if odd {
                "1e30".to_owned()
            } else {
                format!("{:.1}", row.pitch_deg)
            },
        ];
        text += &(cells.join(",") + "\n");
    }
    let read = read(&text);
    for quantity in [
        Quantity::Latitude,
        Quantity::Longitude,
        Quantity::AltitudeIndicated,
        Quantity::AirspeedIndicated,
        Quantity::OutsideAirTemperature,
        Quantity::TrackTrue,
        Quantity::Pitch,
    ] {
        let values = values(&read.recordings[0], quantity);
        let blanks = values.iter().filter(|value| value.is_nan()).count();
        assert_eq!(blanks, 5, "{}", quantity.id());
    }
    note(&read, "0° 0°");
    note(&read, "no value");
}

/// A control that is moved passes through numbers that are marks elsewhere (−40, −99); a mark comes in one step.
#[test]
fn a_control_moved_through_a_mark_keeps_its_values() {
    let rows = |moved: &[f64]| {
        let mut text = "elapsed s,ias kt,alt ft,aileron pct\n".to_owned();
        for second in 0..200_usize {
            let small = [0.5, -1.5, 1.0, -0.5][second % 4];
            let aileron = second
                .checked_sub(30)
                .and_then(|k| moved.get(k))
                .unwrap_or(&small);
            text += &format!(
                "{second},{},{},{aileron:.1}\n",
                80 + second % 5,
                3000 + second
            );
        }
        text
    };
    let gone = |text: &str| {
        let read = read(text);
        let values = values(&read.recordings[0], Quantity::Aileron).to_vec();
        values.iter().filter(|value| value.is_nan()).count()
    };
    assert_eq!(gone(&rows(&[-14.0, -28.5, -40.0, -46.0, -40.0, -22.0])), 0);
    assert_eq!(gone(&rows(&[-40.0])), 1);
    assert_eq!(gone(&rows(&[-40.0, -40.0, -40.0])), 3);
}

#[test]
fn another_source_far_away_comes_between() {
    let mut text = "elapsed s,lat,lon,alt m\n".to_owned();
    for (index, row) in flight().iter().enumerate() {
        let away = if index % 15 == 7 { 9.0 } else { 0.0 };
        let zero = (300..312).contains(&index);
        let altitude = if zero { 0.0 } else { row.altitude_m };
        text += &format!(
            "{},{:.6},{:.6},{altitude:.0}\n",
            row.time_s,
            row.latitude_deg + away,
            row.longitude_deg
        );
    }
    let read = read(&text);
    let latitude = values(&read.recordings[0], Quantity::Latitude);
    assert!(
        latitude
            .iter()
            .all(|value| value.is_nan() || value.to_degrees() < 40.0)
    );
    assert_eq!(latitude.iter().filter(|value| value.is_nan()).count(), 40);
    let altitude = values(&read.recordings[0], Quantity::AltitudeGnss);
    assert_eq!(altitude.iter().filter(|value| value.is_nan()).count(), 12);
    note(&read, "cannot have reached");
    note(&read, "leaps away");
}

#[test]
fn message_types_that_alternate_are_joined() {
    let mut text = "time s,lat,lon,pitch deg,bank deg\n".to_owned();
    for row in flight().iter().take(100) {
        text += &format!(
            "{},{:.6},{:.6},,\n",
            row.time_s, row.latitude_deg, row.longitude_deg
        );
        text += &format!(
            "{},,,{:.2},{:.2}\n",
            row.time_s, row.pitch_deg, row.bank_deg
        );
    }
    let joined = read(&text);
    assert_eq!(joined.recordings[0].time_s.len(), 100);
    assert!(
        !values(&joined.recordings[0], Quantity::Bank)
            .iter()
            .any(|value| value.is_nan())
    );
    note(&joined, "fill its empty cells");
    // With stamps of their own, no row is dropped.
    let mut text = "time s,lat,lon,pitch deg,bank deg\n".to_owned();
    for row in flight().iter().take(100) {
        text += &format!(
            "{},{:.6},{:.6},,\n",
            row.time_s, row.latitude_deg, row.longitude_deg
        );
        text += &format!(
            "{},,,{:.2},{:.2}\n",
            row.time_s + 0.4,
            row.pitch_deg,
            row.bank_deg
        );
    }
    assert_eq!(only(&text).time_s.len(), 200);
}

#[test]
fn a_million_odd_lines_are_counted_not_listed() {
    let mut text = HEAD.to_owned() + &body().join("\n") + "\n";
    text += &"what is this\n".repeat(3000);
    let read = read(&text);
    assert!(read.report.notes.len() <= 500);
    assert!(read.report.notes_dropped >= 2500);
    assert_eq!(read.report.rows_lost, 3000);
}

/// A head of very many names above short rows must not take memory for a full table.
#[test]
fn a_hostile_head_takes_no_memory() {
    let mut text = String::from("time");
    (0..50_000).for_each(|index| text += &format!(",c{index}"));
    text += "\n";
    (0..20_000).for_each(|index| text += &format!("{index},1\n"));
    let _ = recording::read("wide", text.as_bytes(), &recording::ReadOptions::default());
}
