//! The flight as a table: RFC 4180, comma, CRLF, one header line, UTF-8. The unit stands last in each name;
//! a quantity whose 1-σ is known is followed by a column of it (`ias_kt`, `ias_kt_sigma`). Empty = unknown.

use std::io::Write as _;

use debrief::Debrief;
use flight::Flight;

use crate::column::{Column, known};
use crate::place::Places;
use crate::{phases, quantities, time};

/// Digits of a degree: a hundredth of an inch on the ground.
const PLACE_DECIMALS: usize = 8;

pub(crate) fn write(flight: &Flight, debrief: &Debrief) -> Vec<u8> {
    let columns = quantities::columns(flight);
    let known = known(flight);
    let places = Places::of(flight);
    let mut out = Vec::with_capacity(known.len() * columns.len() * 14);
    out.extend_from_slice(b"time_s,utc,latitude_deg,longitude_deg");
    for column in &columns {
        // Writing to a Vec cannot fail, here and below.
        let _ = write!(out, ",{}", column.table_id());
        if column.has_sigma() {
            let _ = write!(out, ",{}_sigma", column.table_id());
        }
    }
    out.extend_from_slice(b",maneuver,maneuver_kind,phase\r\n");
    for (index, known) in known.iter().enumerate() {
        moment(&mut out, flight, index);
        let place = places
            .as_ref()
            .filter(|_| *known)
            .and_then(|places| places.at(index));
        out.push(b',');
        number(
            &mut out,
            place.map_or(f64::NAN, |place| place.latitude_deg),
            PLACE_DECIMALS,
        );
        out.push(b',');
        number(
            &mut out,
            place.map_or(f64::NAN, |place| place.longitude_deg),
            PLACE_DECIMALS,
        );
        for column in &columns {
            values(&mut out, column, index, *known);
        }
        phase(&mut out, debrief, flight.clock.time_s(index));
        out.extend_from_slice(b"\r\n");
    }
    out
}

fn moment(out: &mut Vec<u8>, flight: &Flight, index: usize) {
    let at_s = flight.clock.time_s(index);
    number(out, at_s, 3);
    out.push(b',');
    if let Some(utc) = flight
        .start_unix_s
        .and_then(|start| time::utc(start + at_s))
    {
        out.extend_from_slice(utc.as_bytes());
    }
}

fn values(out: &mut Vec<u8>, column: &Column<'_>, index: usize, known: bool) {
    let value = if known {
        column.table_value(index)
    } else {
        f32::NAN
    };
    out.push(b',');
    number(out, f64::from(value), column.unit.decimals());
    if column.has_sigma() {
        out.push(b',');
        if !value.is_nan() {
            number(out, f64::from(column.sigma(index)), column.unit.decimals());
        }
    }
}

fn phase(out: &mut Vec<u8>, debrief: &Debrief, at_s: f64) {
    match phases::at(debrief, at_s) {
        Some((maneuver, phase)) => {
            let _ = write!(out, ",{},", maneuver.number);
            text(out, &maneuver.kind);
            out.push(b',');
            text(out, phase);
        }
        None => out.extend_from_slice(b",,,"),
    }
}

/// A number with at most so many decimals, without trailing zeros; nothing for NaN.
fn number(out: &mut Vec<u8>, value: f64, decimals: usize) {
    let scale = 10_u64.pow(u32::try_from(decimals).unwrap_or(0)) as f64;
    let scaled = (value * scale).round();
    // Beyond this the product is no longer exact; no quantity of a flight comes near.
    if scaled.abs() > 9e15 || scaled.is_nan() {
        if value.is_finite() {
            let _ = write!(out, "{value}");
        }
        return;
    }
    if scaled < 0.0 {
        out.push(b'-');
    }
    let digits = scaled.abs() as u64;
    let scale = scale as u64;
    let (whole, mut fraction) = (digits / scale, digits % scale);
    let _ = write!(out, "{whole}");
    if fraction > 0 {
        let mut width = decimals;
        while fraction % 10 == 0 {
            fraction /= 10;
            width -= 1;
        }
        let _ = write!(out, ".{fraction:0width$}");
    }
}

/// A field in quotes where RFC 4180, section 2, rules 5 to 7 ask for them.
fn text(out: &mut Vec<u8>, field: &str) {
    if !field.contains(['"', ',', '\r', '\n']) {
        out.extend_from_slice(field.as_bytes());
        return;
    }
    out.push(b'"');
    out.extend_from_slice(field.replace('"', "\"\"").as_bytes());
    out.push(b'"');
}

#[cfg(test)]
mod tests {
    use super::{number, text};

    fn of(value: f64, decimals: usize) -> String {
        let mut out = Vec::new();
        number(&mut out, value, decimals);
        String::from_utf8(out).expect("digits")
    }

    #[test]
    fn regress_numbers() {
        assert_eq!(of(2.345_67, 3), "2.346");
        assert_eq!(of(-0.05, 2), "-0.05");
        assert_eq!(of(-0.001, 2), "0");
        assert_eq!(of(120.0, 2), "120");
        assert_eq!(of(40.123_456_78, 8), "40.12345678");
        assert_eq!(of(f64::NAN, 2), "");
        assert_eq!(of(f64::INFINITY, 2), "");
        assert_eq!(of(1e300, 2).parse::<f64>(), Ok(1e300));
    }

    /// RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn val_quotes() {
        let of = |field: &str| {
            let mut out = Vec::new();
            text(&mut out, field);
            String::from_utf8(out).expect("text")
        };
        assert_eq!(of("plain"), "plain");
        assert_eq!(of("a,b"), "\"a,b\"");
        assert_eq!(of("say \"go\"\r\n"), "\"say \"\"go\"\"\r\n\"");
    }
}
