//! Values that cannot be, once it is known what they measure: taken out, counted, and said.

use crate::Quantity;
use crate::plausible::hard_limits;
use crate::recognize::Taken;
use crate::report::Notes;
use crate::sequence::Segment;
use crate::table::Table;

/// A position that moves faster than this between two rows is another source's or none, m/s. No light
/// airplane does half of it.
const JUMP_MPS: f64 = 400.0;
/// An altitude that changes faster than this and comes back is none, m/s.
const LEAP_MPS: f64 = 150.0;
/// Rows that a wrong position or altitude may last before it is taken for the truth.
const WRONG_ROWS: usize = 60;

/// Takes impossible values out of the table; gives how many, a column.
pub fn impossible(
    table: &mut Table,
    taken: &[Option<Taken>],
    parts: &[Segment],
    notes: &mut Notes,
) -> Vec<usize> {
    let mut counts = vec![0; table.columns.len()];
    for (index, taken) in taken.iter().enumerate() {
        let Some(taken) = taken else { continue };
        let count = limits(table, index, taken, notes);
        if let Some(slot) = counts.get_mut(index) {
            *slot += count;
        }
    }
    for part in parts {
        for (index, taken) in taken.iter().enumerate() {
            let Some(taken) = taken else { continue };
            let altitude = matches!(
                taken.quantity,
                Quantity::AltitudeIndicated | Quantity::AltitudePressure | Quantity::AltitudeGnss
            );
            if altitude {
                leaps(table, index, taken.unit.factor, part, notes);
            }
        }
        positions(table, taken, part, notes);
    }
    counts
}

fn limits(table: &mut Table, index: usize, taken: &Taken, notes: &mut Notes) -> usize {
    let (low, high) = hard_limits(taken.quantity);
    let unit = &taken.unit;
    // Limits in the file's unit, in order even when the sign is turned.
    let ends = [
        (low - unit.offset) / unit.factor,
        (high - unit.offset) / unit.factor,
    ];
    let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    let (low, high) = (low - 1e-9 * low.abs(), high + 1e-9 * high.abs());
    let direction = matches!(
        taken.quantity,
        Quantity::TrackTrue
            | Quantity::TrackMagnetic
            | Quantity::HeadingMagnetic
            | Quantity::HeadingTrue
    );
    let Some(column) = table.columns.get_mut(index) else {
        return 0;
    };
    let signed = direction && column.values.iter().any(|value| *value < -1.0);
    let mut count = 0;
    let mut first = None;
    for (row, value) in column.values.iter_mut().enumerate() {
        #[allow(clippy::float_cmp)]
        let no_course = direction && !signed && *value == -1.0;
        if *value < low || *value > high || no_course {
            first.get_or_insert((row, *value));
            *value = f64::NAN;
            count += 1;
        }
    }
    let name = column.name.clone();
    if let Some((row, value)) = first {
        notes.add(
            table.line_of(row),
            u32::try_from(index + 1).unwrap_or(0),
            format!(
                "{value} {} in \"{name}\" cannot be ({count} such values)",
                unit.id
            ),
            "read as no value",
        );
    }
    count
}

/// Altitudes that leap away and come back: zero for a dozen rows, far below the ground.
fn leaps(table: &mut Table, index: usize, factor: f64, part: &Segment, notes: &mut Notes) {
    let Some(column) = table.columns.get_mut(index) else {
        return;
    };
    let mut good: Option<f64> = None;
    let mut before = f64::NAN;
    let mut wrong: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    for (&row, &second) in part.rows.iter().zip(&part.seconds) {
        let Some(&value) = column.values.get(row).filter(|value| !value.is_nan()) else {
            continue;
        };
        let meters = value * factor;
        match good {
            Some(last)
                if (meters - last).abs() > LEAP_MPS * (second - before).clamp(1.0, 10.0)
                    && wrong.len() < WRONG_ROWS =>
            {
                wrong.push(row);
            }
            _ => {
                if wrong.len() < WRONG_ROWS {
                    found.append(&mut wrong);
                }
                wrong.clear();
                good = Some(meters);
            }
        }
        before = second;
    }
    // Leaps before the first good value (a recorder that starts at zero) are left as they are.
    for &row in &found {
        if let Some(value) = column.values.get_mut(row) {
            *value = f64::NAN;
        }
    }
    let name = column.name.clone();
    if let Some(&row) = found.first() {
        notes.add(
            table.line_of(row),
            u32::try_from(index + 1).unwrap_or(0),
            format!(
                "\"{name}\" leaps away and comes back ({} rows)",
                found.len()
            ),
            "read as no value",
        );
    }
}

/// Positions at 0/0, and those of another source that come between.
fn positions(table: &mut Table, taken: &[Option<Taken>], part: &Segment, notes: &mut Notes) {
    let of = |quantity: Quantity| {
        taken.iter().position(|taken| {
            taken
                .as_ref()
                .is_some_and(|taken| taken.quantity == quantity)
        })
    };
    let (Some(a), Some(b)) = (of(Quantity::Latitude), of(Quantity::Longitude)) else {
        return;
    };
    let factor = |index: usize| {
        taken
            .get(index)
            .and_then(Option::as_ref)
            .map_or(1.0, |taken| taken.unit.factor)
    };
    let (scale_a, scale_b) = (factor(a), factor(b));
    let place = |table: &Table, row: usize| -> Option<(f64, f64)> {
        let latitude = table.columns.get(a)?.values.get(row)? * scale_a;
        let longitude = table.columns.get(b)?.values.get(row)? * scale_b;
        (!latitude.is_nan() && !longitude.is_nan()).then_some((latitude, longitude))
    };
    let mut zeros = Vec::new();
    let mut strays = Vec::new();
    let mut waiting: Vec<usize> = Vec::new();
    let mut good: Option<((f64, f64), f64)> = None;
    for (&row, &second) in part.rows.iter().zip(&part.seconds) {
        let Some(here) = place(table, row) else {
            continue;
        };
        if here.0.abs() < 1e-7 && here.1.abs() < 1e-7 {
            zeros.push(row);
            continue;
        }
        let jumps = good.is_some_and(|(last, then)| {
            distance_m(last, here) > JUMP_MPS * (second - then).clamp(0.5, 120.0) + 200.0
        });
        if jumps && waiting.len() < WRONG_ROWS {
            waiting.push(row);
            continue;
        }
        if !jumps {
            strays.append(&mut waiting);
        }
        waiting.clear();
        good = Some((here, second));
    }
    // A first fix far away, then everything at another place: the few before are the strays.
    report(table, a, b, &zeros, "a position of 0° 0°", notes);
    report(
        table,
        a,
        b,
        &strays,
        "a position that the aircraft cannot have reached",
        notes,
    );
}

fn report(table: &mut Table, a: usize, b: usize, rows: &[usize], what: &str, notes: &mut Notes) {
    for &row in rows {
        for index in [a, b] {
            if let Some(value) = table
                .columns
                .get_mut(index)
                .and_then(|column| column.values.get_mut(row))
            {
                *value = f64::NAN;
            }
        }
    }
    if let Some(&row) = rows.first() {
        notes.add(
            table.line_of(row),
            u32::try_from(a + 1).unwrap_or(0),
            format!("{what} ({} rows)", rows.len()),
            "read as no value",
        );
    }
}

/// Distance of two near places in rad on a sphere; exact enough to tell a jump.
fn distance_m(a: (f64, f64), b: (f64, f64)) -> f64 {
    let north = b.0 - a.0;
    if north.abs() + (b.1 - a.1).abs() < 1e-5 {
        // Within 64 m: the usual step, for which the exact distance is not needed.
        return 0.0;
    }
    let east = air::units::wrap_pi(b.1 - a.1) * ((a.0 + b.0) / 2.0).cos();
    6_371_008.8 * north.hypot(east)
}
