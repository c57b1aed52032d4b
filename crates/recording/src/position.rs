//! Latitude and longitude without names.

use crate::Quantity;
use crate::sample::Sample;
use crate::vocabulary::VOCABULARY;
use crate::words::HeaderWords;
use crate::world::{World, known, unit_priors};

/// Latitude and longitude without names: two fine-stepped columns side by side whose change makes a
/// steady, plausible speed. The order is latitude first unless the numbers forbid it.
pub fn position_by_numbers(
    sample: &Sample,
    named: &[bool],
    words: &[HeaderWords],
) -> Option<(usize, usize)> {
    let could_be = |index: usize, limit: f64| {
        named.get(index) == Some(&false)
            && words.get(index).is_some_and(|words| {
                !words
                    .words
                    .iter()
                    .any(|word| VOCABULARY.means(word, "not_here"))
            })
            && sample
                .facts
                .get(index)
                .and_then(Option::as_ref)
                .is_some_and(|facts| {
                    facts.least.abs() <= limit
                        && facts.most.abs() <= limit
                        && facts.most - facts.least < 12.0
                        && facts.most - facts.least > 1e-3
                        && facts.step < 2e-4
                        && facts.distinct > 30
                })
    };
    let count = sample.columns.len().min(256);
    let mut best: Option<(f64, usize, usize)> = None;
    for a in 0..count {
        for b in [a + 1, a + 2] {
            for (latitude, longitude) in [(a, b), (b, a)] {
                if !could_be(latitude, 90.0) || !could_be(longitude, 180.0) {
                    continue;
                }
                let Some(smooth) = steadiness(sample, latitude, longitude) else {
                    continue;
                };
                let score = smooth + told_by_speed(sample, latitude, longitude)
                    - if latitude > longitude { 0.05 } else { 0.0 };
                if best.is_none_or(|(known, ..)| score > known) {
                    best = Some((score, latitude, longitude));
                }
            }
        }
    }
    best.map(|(_, latitude, longitude)| (latitude, longitude))
}

/// Half a point when some other column is the speed that this order of the two makes, in a usual unit:
/// a degree of longitude is shorter than one of latitude, so that the wrong order gives wrong speeds.
fn told_by_speed(sample: &Sample, latitude: usize, longitude: usize) -> f64 {
    let radians = |index: usize| sample.scaled(index, std::f64::consts::PI / 180.0, 0.0);
    let mut world = World::default();
    world.set_position(sample, &radians(latitude), &radians(longitude));
    // A speed stands near the position; a hostile file of thousands of columns must not take long.
    let near = latitude.saturating_sub(16)..(latitude + 16).min(sample.columns.len());
    let told = near
        .filter(|index| ![latitude, longitude].contains(index))
        .any(|index| {
            unit_priors(Quantity::GroundSpeed).iter().any(|(id, _)| {
                VOCABULARY.unit(id).is_some_and(|unit| {
                    crate::world::is_speed(
                        &sample.scaled(index, unit.factor, 0.0),
                        &world.position_speed,
                    )
                })
            })
        });
    if told { 0.5 } else { 0.0 }
}

/// How steady the speed over two columns as degrees is, 0 to 1; `None` when it is no airplane's.
fn steadiness(sample: &Sample, latitude: usize, longitude: usize) -> Option<f64> {
    let radians = |index: usize| sample.scaled(index, std::f64::consts::PI / 180.0, 0.0);
    let mut world = World::default();
    world.set_position(sample, &radians(latitude), &radians(longitude));
    let speed = &world.position_speed;
    let moving: Vec<f64> = speed.iter().copied().filter(|speed| *speed > 8.0).collect();
    if moving.len() < 20 || known(speed) == 0 {
        return None;
    }
    let usual = crate::sample::median(moving.clone());
    if !(10.0..200.0).contains(&usual) {
        return None;
    }
    let jumps: Vec<f64> = speed
        .windows(2)
        .filter_map(|pair| Some((pair.get(1)? - pair.first()?).abs()))
        .filter(|jump| jump.is_finite())
        .collect();
    let rough = crate::sample::median(jumps) / usual;
    (rough < 0.1).then_some(1.0 - rough)
}
