//! The path over the ground as maps take it: points with place, elevation and time, in unbroken stretches.

use flight::Flight;

use crate::place::{Place, Places, elevation_m, runs};
use crate::time;

/// Seconds between points. In a second a training airplane flies some 50 m and turns by some 20°; a map
/// shows no more, and the whole of the flight is in the tables.
const APART_S: f64 = 1.0;

/// One point.
pub(crate) struct Point {
    pub(crate) index: usize,
    pub(crate) place: Place,
    /// m above mean sea level.
    pub(crate) elevation_m: Option<f64>,
    /// UTC, where the recording tells.
    pub(crate) time: Option<String>,
}

/// The path between two times, broken at holes and wherever the place is unknown. Every stretch has its
/// first and last sample, and points a second apart between them.
pub(crate) fn stretches(flight: &Flight, from_s: f64, to_s: f64) -> Vec<Vec<Point>> {
    let Some(places) = Places::of(flight) else {
        return Vec::new();
    };
    let clock = flight.clock;
    let every = (APART_S / clock.step_s).round();
    let every = if every >= 1.0 { every as usize } else { 1 };
    let within = |index: usize| {
        let at_s = clock.time_s(index);
        // Half a step of room: the times of a document are rounded.
        at_s >= from_s - 0.5 * clock.step_s && at_s <= to_s + 0.5 * clock.step_s
    };
    let known = |index: usize| flight.known.get(index).copied().unwrap_or(true);
    let point = |index: usize| {
        Some(Point {
            index,
            place: places.at(index)?,
            elevation_m: elevation_m(flight, index),
            time: instant(flight, clock.time_s(index)),
        })
    };
    runs(clock.len, |index| {
        within(index) && known(index) && places.at(index).is_some()
    })
    .into_iter()
    .map(|(first, last)| {
        (first..=last)
            .filter(|index| (index - first) % every == 0 || *index == last)
            .filter_map(point)
            .collect()
    })
    .collect()
}

/// UTC of a time of the flight.
pub(crate) fn instant(flight: &Flight, at_s: f64) -> Option<String> {
    time::utc(flight.start_unix_s? + at_s)
}
