//! Laws: what is written in any dialect comes back with the same numbers; no bytes make the reader panic;
//! a mangled line loses only itself.

mod support;

use proptest::prelude::*;
use recording::{Quantity, ReadOptions};

#[derive(Clone, Debug)]
struct Dialect {
    separator: &'static str,
    comma: bool,
    end: &'static str,
    preamble: usize,
    units_row: bool,
    quoted: bool,
    padded: bool,
    time: usize,
}

fn dialect() -> impl Strategy<Value = Dialect> {
    (
        0..4_usize,
        any::<bool>(),
        0..2_usize,
        0..6_usize,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        0..5_usize,
    )
        .prop_map(
            |(separator, comma, end, preamble, units_row, quoted, padded, time)| Dialect {
                separator: [",", ";", "\t", "|"][separator],
                comma: comma && separator != 0,
                end: ["\n", "\r\n"][end],
                preamble,
                units_row,
                quoted,
                padded,
                time,
            },
        )
}

fn write(dialect: &Dialect, rows: &[(f64, f64, f64)]) -> String {
    let mut text = String::new();
    for line in 0..dialect.preamble {
        text += &format!("# line {line}: some words{}", dialect.end);
    }
    let cell = |text: String| {
        let text = if dialect.comma {
            text.replace('.', ",")
        } else {
            text
        };
        let text = if dialect.quoted {
            format!("\"{text}\"")
        } else {
            text
        };
        if dialect.padded {
            format!(" {text:>12}")
        } else {
            text
        }
    };
    let names = if dialect.units_row {
        ["time", "ias", "alt"]
    } else {
        ["time", "ias [kt]", "alt [ft]"]
    };
    text += &(names.join(dialect.separator) + dialect.end);
    if dialect.units_row {
        text += &(["", "kt", "ft"].join(dialect.separator) + dialect.end);
    }
    for (index, (_, ias, alt)) in rows.iter().enumerate() {
        let time = match dialect.time {
            0 => format!("2025-06-01T10:{:02}:{:02}Z", index / 60, index % 60),
            1 => format!("01.06.2025 10:{:02}:{:02}", index / 60, index % 60),
            2 => format!("{}", 1_748_772_000 + index),
            3 => format!("{}", (1_748_772_000 + index) * 1000),
            _ => format!("{index}"),
        };
        let time = if dialect.padded {
            format!(" {time} ")
        } else {
            time
        };
        let cells = [time, cell(format!("{ias}")), cell(format!("{alt}"))];
        text += &(cells.join(dialect.separator) + dialect.end);
    }
    text
}

fn rows() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
    prop::collection::vec((Just(0.0), 400..1500_i32, 10_000..99_000_i32), 12..80).prop_map(|rows| {
        rows.into_iter()
            .map(|(t, ias, alt)| (t, f64::from(ias) / 10.0, f64::from(alt) / 10.0))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn prop_any_dialect_comes_back(dialect in dialect(), rows in rows()) {
        let text = write(&dialect, &rows);
        let read = recording::read("x", text.as_bytes(), &ReadOptions::default());
        let read = read.map_err(|error| TestCaseError::fail(format!("{error}\n{text}")))?;
        prop_assert_eq!(read.recordings.len(), 1);
        let recording = &read.recordings[0];
        prop_assert_eq!(recording.time_s.len(), rows.len(), "{}", text);
        let of = |quantity| recording.values(quantity).map(<[f64]>::to_vec);
        let ias = of(Quantity::AirspeedIndicated).ok_or_else(|| TestCaseError::fail(text.clone()))?;
        let alt = of(Quantity::AltitudeIndicated).ok_or_else(|| TestCaseError::fail(text.clone()))?;
        for (index, row) in rows.iter().enumerate() {
            prop_assert!((recording.time_s[index] - index as f64).abs() < 1e-6);
            prop_assert!((ias[index] - row.1 * 1852.0 / 3600.0).abs() < 1e-9);
            prop_assert!(alt[index].is_nan() || (alt[index] - row.2 * 0.3048).abs() < 1e-9);
        }
    }

    #[test]
    fn prop_no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = recording::read("x", &bytes, &ReadOptions::default());
    }

    /// Bytes that look like tables get deeper into the reader than random ones.
    #[test]
    fn prop_no_text_makes_it_panic(text in "[0-9:;,. \"\n\r\tTZtimelaonsk/#\\[\\]+eE°\u{0}-]{0,400}") {
        let _ = recording::read("x", text.as_bytes(), &ReadOptions::default());
        let _ = recording::read("x", format!("time,ias kt,lat,lon\n{text}").as_bytes(), &ReadOptions::default());
    }

    #[test]
    fn prop_a_mangled_line_loses_only_itself(garbage in "[ -~]{0,60}", at in 5..50_usize) {
        let mut lines: Vec<String> = (0..60).map(|s| format!("{s},{:.1},{}", 80.0 + f64::from(s) / 10.0, 3000 + s)).collect();
        lines.insert(at, garbage.clone());
        let text = format!("elapsed s,ias kt,alt ft\n{}\n", lines.join("\n"));
        let read = recording::read("x", text.as_bytes(), &ReadOptions::default());
        let read = read.map_err(|error| TestCaseError::fail(error.to_string()))?;
        let kept: Vec<f64> = read.recordings.iter().filter_map(|r| r.values(Quantity::AltitudeIndicated)).flatten().copied().collect();
        for second in 0..60 {
            let wanted = f64::from(3000 + second) * 0.3048;
            prop_assert!(kept.iter().any(|value| (value - wanted).abs() < 1e-6), "{} ft is lost to {:?}: {:?}", 3000 + second, garbage, read.report.notes);
        }
    }
}
