//! Flap effects of one aircraft, from a flight on which the flap position was recorded.

use aircraft::Aircraft;

use super::{bins::Bins, em, prior};
use crate::{Flight, Origin};

/// What one detent was seen to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned {
    /// Flap angle of the detent, rad.
    pub angle_rad: f64,
    /// For [`aircraft::Detent::aoa_offset_rad`].
    pub aoa_offset_rad: f64,
    /// For [`aircraft::Detent::drag_offset`].
    pub drag_offset: f64,
    /// Seconds of flight it rests on; under 30 the values are little more than the expectation.
    pub seconds: f64,
}

/// Learns the flap effects of the detents, the first (flaps up) left out, from a flight with recorded
/// flaps, for the school to put into the aircraft file.
///
/// `None` when flaps, attitude or air data are missing, or the file has no detents.
#[must_use]
pub fn learn(flight: &Flight, aircraft: &Aircraft) -> Option<Vec<Learned>> {
    let recorded = flight
        .flaps
        .as_ref()
        .filter(|f| f.angle.origin == Origin::Measured)?;
    let angles_rad = prior::detents_rad(aircraft)?;
    let bins = Bins::new(flight, aircraft)?;
    let detents = angles_rad.len();
    let mut rest = vec![0.0_f32; bins.len() * detents];
    let mut seconds = vec![0.0; detents];
    for (t, chances) in rest.chunks_exact_mut(detents).enumerate() {
        let first = t * bins.per_bin;
        let at = |i: usize| recorded.angle.at(i);
        let (from, to) = (at(first), at(first + bins.per_bin - 1));
        // Only bins with the flaps at rest in a detent, half a degree of recorder noise allowed.
        let rests = |angle: f64| (from - angle).abs() < 0.015 && (to - angle).abs() < 0.015;
        if let Some(k) = angles_rad.iter().position(|angle| rests(*angle)) {
            chances[k] = 1.0;
            seconds[k] += if bins.flying[t] { bins.bin_s } else { 0.0 };
        }
    }
    let effects = em::known(&bins, aircraft, &angles_rad, rest);
    let each = (1..detents).map(|k| Learned {
        angle_rad: angles_rad[k],
        aoa_offset_rad: effects.offset_rad[k],
        drag_offset: effects.drag[k],
        seconds: seconds[k],
    });
    Some(each.collect())
}
