//! One quantity of a flight as it leaves: in a display unit, with origin and 1-σ.

use flight::{Flight, Origin, Series, Sigma};

use crate::units::Unit;

/// Samples that the median of a varying σ is taken from: evenly spaced over the flight.
const MEDIAN_OF: usize = 1_001;

/// Where the numbers of a column lie.
pub(crate) enum Values<'a> {
    /// SI as the flight has them: display = value × factor + offset.
    Si {
        values: &'a [f64],
        factor: f64,
        offset: f64,
    },
    /// Display units already.
    Ready(Vec<f32>),
}

/// 1-σ in display units.
pub(crate) enum Spread<'a> {
    /// Not known, or the quantity has none.
    None,
    /// The same everywhere.
    Constant(f64),
    /// SI × factor.
    Si { values: &'a [f32], factor: f64 },
    /// Display units already.
    Ready(Vec<f32>),
}

/// One quantity.
pub(crate) struct Column<'a> {
    /// Name with the unit last, stable.
    pub(crate) id: &'static str,
    /// For people.
    pub(crate) title: &'static str,
    /// Display unit.
    pub(crate) unit: Unit,
    /// Where it comes from.
    pub(crate) origin: Origin,
    pub(crate) values: Values<'a>,
    pub(crate) spread: Spread<'a>,
}

impl<'a> Column<'a> {
    /// A series of the flight in a display unit; `added_si` is added to it first (a variation, a zero).
    pub(crate) fn of(
        id: &'static str,
        title: &'static str,
        unit: Unit,
        series: &'a Series,
        added_si: f64,
    ) -> Self {
        let factor = unit.si().recip();
        Self {
            id,
            title,
            unit,
            origin: series.origin,
            values: Values::Si {
                values: &series.values,
                factor,
                offset: added_si * factor,
            },
            spread: match &series.sigma {
                Sigma::Constant(sigma) => Spread::Constant(sigma.abs() * factor),
                Sigma::Each(sigmas) => Spread::Si {
                    values: sigmas,
                    factor,
                },
            },
        }
    }

    /// Value of a sample in the display unit; NaN where unknown.
    pub(crate) fn value(&self, index: usize) -> f32 {
        match &self.values {
            Values::Si {
                values,
                factor,
                offset,
            } => values
                .get(index)
                .map_or(f32::NAN, |value| shown(*value, *factor, *offset)),
            Values::Ready(values) => values.get(index).copied().unwrap_or(f32::NAN),
        }
    }

    /// 1-σ of a sample in the display unit; NaN where unknown.
    pub(crate) fn sigma(&self, index: usize) -> f32 {
        match &self.spread {
            Spread::None => f32::NAN,
            Spread::Constant(sigma) => finite(*sigma as f32),
            Spread::Si { values, factor } => values.get(index).map_or(f32::NAN, |sigma| {
                finite((f64::from(*sigma).abs() * factor) as f32)
            }),
            Spread::Ready(values) => values.get(index).copied().map_or(f32::NAN, finite),
        }
    }

    /// Its name in a table that leaves the program: nobody there can see from which north it counts.
    pub(crate) fn table_id(&self) -> &'static str {
        match self.id {
            "heading_deg" => "heading_magnetic_deg",
            "track_deg" => "track_true_deg",
            "air_track_deg" => "air_track_true_deg",
            "wind_from_deg" => "wind_from_true_deg",
            id => id,
        }
    }

    /// Value for a table: directions from 0 to below 360, as compasses and other programs have them.
    pub(crate) fn table_value(&self, index: usize) -> f32 {
        let value = self.value(index);
        if !matches!(self.id, "heading_deg" | "track_deg" | "air_track_deg") {
            return value;
        }
        let turned = value.rem_euclid(360.0);
        // What is less than the rounding below zero turns into a full circle.
        if turned >= 360.0 { 0.0 } else { turned }
    }

    /// Whether anything is known of σ.
    pub(crate) fn has_sigma(&self) -> bool {
        match self.spread {
            Spread::None => false,
            Spread::Constant(sigma) => sigma.is_finite(),
            Spread::Si { .. } | Spread::Ready(_) => true,
        }
    }

    /// Whether σ differs from sample to sample.
    pub(crate) fn varies(&self) -> bool {
        matches!(self.spread, Spread::Si { .. } | Spread::Ready(_))
    }

    /// σ in one number: the constant, or the median of evenly spaced samples (at most 1,001) at which the
    /// value is known.
    pub(crate) fn usual_sigma(&self, known: &[bool]) -> Option<f64> {
        if let Spread::Constant(sigma) = self.spread {
            return Some(sigma).filter(|sigma| sigma.is_finite());
        }
        let every = known.len().div_ceil(MEDIAN_OF).max(1);
        let mut some: Vec<f32> = (0..known.len())
            .step_by(every)
            .filter(|index| known.get(*index) == Some(&true) && !self.value(*index).is_nan())
            .map(|index| self.sigma(index))
            .filter(|sigma| !sigma.is_nan())
            .collect();
        if some.is_empty() {
            return None;
        }
        let middle = some.len() / 2;
        let (_, median, _) = some.select_nth_unstable_by(middle, f32::total_cmp);
        Some(f64::from(*median))
    }

    /// Appends all values as little-endian f32, NaN where the flight is unknown; gives the least and the
    /// greatest.
    pub(crate) fn write(&self, known: &[bool], out: &mut Vec<u8>) -> Option<(f32, f32)> {
        let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
        let start = out.len();
        out.resize(start + 4 * known.len(), 0);
        let slots = out.get_mut(start..).unwrap_or_default();
        let slots = slots.as_chunks_mut::<4>().0;
        let mut put = |slot: &mut [u8; 4], value: f32, known: bool| {
            let value = if known { value } else { f32::NAN };
            // Comparisons with NaN are false, so that unknown samples change neither.
            low = if value < low { value } else { low };
            high = if value > high { value } else { high };
            *slot = value.to_le_bytes();
        };
        let there = match &self.values {
            Values::Si {
                values,
                factor,
                offset,
            } => {
                for ((slot, known), value) in slots.iter_mut().zip(known).zip(*values) {
                    put(slot, shown(*value, *factor, *offset), *known);
                }
                values.len()
            }
            Values::Ready(values) => {
                for ((slot, known), value) in slots.iter_mut().zip(known).zip(values) {
                    put(slot, *value, *known);
                }
                values.len()
            }
        };
        // A list shorter than the time base says nothing of the rest.
        for slot in slots.iter_mut().skip(there) {
            *slot = f32::NAN.to_le_bytes();
        }
        (low <= high).then_some((low, high))
    }
}

/// Every sample of the flight: whether anything is known there, exactly as long as its time base.
pub(crate) fn known(flight: &Flight) -> Vec<bool> {
    let mut known = flight.known.clone();
    known.resize(flight.clock.len, true);
    known
}

fn shown(value: f64, factor: f64, offset: f64) -> f32 {
    finite((value * factor + offset) as f32)
}

/// An infinite number tells as little as none.
fn finite(value: f32) -> f32 {
    if value.is_finite() { value } else { f32::NAN }
}

/// Id of an origin.
pub(crate) fn origin_id(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "measured",
        Origin::Derived => "derived",
        Origin::Assumed => "assumed",
    }
}
