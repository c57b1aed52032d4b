//! What each column measures: words, units and numbers together.
//!
//! Every reading of a column (a quantity in a unit) is a hypothesis with points: from the words of the
//! header (`vocabulary.txt`), from a written unit, from the range of the values (`plausible`), and from
//! what the columns say together (`world`). The references of the last kind come from the columns that
//! are already the surest, so the points are worked out in rounds.

use crate::Quantity;
use crate::names::by_words;
use crate::plausible::points;
use crate::position::position_by_numbers;
use crate::sample::{Facts, Sample};
use crate::table::{Kind, Table};
use crate::vocabulary::{Dimension, Unit, VOCABULARY};
use crate::words::HeaderWords;
use crate::world::{Guess, World, unit_priors};

/// What a column was taken for.
#[derive(Clone, Debug)]
pub struct Taken {
    /// What it measures.
    pub quantity: Quantity,
    /// Its unit; sign and zero may be turned against the unit of that name.
    pub unit: Unit,
    /// `written`, `by the numbers`, `map`.
    pub unit_origin: &'static str,
    /// 0 to 1.
    pub confidence: f64,
    /// Why, in words.
    pub because: String,
}

/// Points below which a column stays "other".
const ENOUGH: f64 = 2.0;
/// Word points from which on the name is trusted and no other quantity is tried.
const NAMED: f64 = 3.5;
/// Rounds of asking the columns about each other.
const ROUNDS: usize = 3;

#[derive(Clone, Debug)]
struct Hypothesis {
    quantity: Quantity,
    unit: Unit,
    written: bool,
    /// Points by words, unit and range: these do not change from round to round.
    base: f64,
    score: f64,
    word: f64,
    reasons: Vec<String>,
}

/// Takes every column for something; `None` for what stays "other".
pub fn recognize(
    table: &Table,
    words: &[HeaderWords],
    sample: &Sample,
    fixed: &[Option<Taken>],
    clock_columns: &[usize],
) -> Vec<Option<Taken>> {
    let mut columns: Vec<Vec<Hypothesis>> = Vec::with_capacity(table.columns.len());
    for (index, (column, words)) in table.columns.iter().zip(words).enumerate() {
        let facts = sample.facts.get(index).and_then(Option::as_ref);
        let free = column.kind == Kind::Number
            && !clock_columns.contains(&index)
            && fixed.get(index).is_none_or(Option::is_none);
        columns.push(match facts {
            Some(facts) if free => hypotheses(words, facts),
            _ => Vec::new(),
        });
    }
    for round in 0..ROUNDS {
        let world = build_world(sample, &columns, fixed, words);
        let last = round + 1 == ROUNDS;
        for (index, column) in columns.iter_mut().enumerate() {
            let Some(facts) = sample.facts.get(index).and_then(Option::as_ref) else {
                continue;
            };
            for hypothesis in column.iter_mut() {
                judge(hypothesis, sample, &world, index, facts, last);
            }
            column.sort_by(|a, b| b.score.total_cmp(&a.score));
            // What is far behind cannot catch up: the relations weigh four points each way.
            if let Some(best) = column.first().map(|best| best.score) {
                column.retain(|hypothesis| hypothesis.score > best - 9.0);
            }
        }
    }
    let mut taken: Vec<Option<Taken>> = columns.iter().map(|column| decide(column)).collect();
    drop_also_rans(&columns, &mut taken);
    name_positions(sample, &columns, words, &mut taken);
    for (slot, fixed) in taken.iter_mut().zip(fixed) {
        if let Some(fixed) = fixed {
            *slot = Some(fixed.clone());
        }
    }
    taken
}

/// A column without a telling name keeps a quantity only when no other column has it with better right;
/// several altitudes are usual.
fn drop_also_rans(columns: &[Vec<Hypothesis>], taken: &mut [Option<Taken>]) {
    let best: Vec<Option<(Quantity, f64, bool)>> = columns
        .iter()
        .zip(taken.iter())
        .map(|(column, taken)| {
            taken.as_ref()?;
            column
                .first()
                .map(|best| (best.quantity, best.score, best.word >= NAMED))
        })
        .collect();
    for (index, slot) in taken.iter_mut().enumerate() {
        let Some(&Some((quantity, score, named))) = best.get(index) else {
            continue;
        };
        let several = matches!(
            quantity,
            Quantity::AltitudeIndicated | Quantity::AltitudePressure | Quantity::AltitudeGnss
        );
        let beaten = best.iter().enumerate().any(|(at, other)| {
            other.is_some_and(|(other, points, other_named)| {
                at != index
                    && other == quantity
                    && (other_named || points > score || (points >= score && at < index))
            })
        });
        if !named && !several && beaten {
            *slot = None;
        }
    }
}

/// Gives columns that are a position by their numbers alone their quantity.
fn name_positions(
    sample: &Sample,
    columns: &[Vec<Hypothesis>],
    words: &[HeaderWords],
    taken: &mut [Option<Taken>],
) {
    let has = |wanted: Quantity| taken.iter().flatten().any(|taken| taken.quantity == wanted);
    if has(Quantity::Latitude) && has(Quantity::Longitude) {
        return;
    }
    let Some((latitude, longitude)) = position_by_numbers(sample, &named(columns), words) else {
        return;
    };
    let Some(unit) = VOCABULARY.unit("deg") else {
        return;
    };
    for (index, quantity) in [
        (latitude, Quantity::Latitude),
        (longitude, Quantity::Longitude),
    ] {
        if let Some(slot) = taken.get_mut(index) {
            *slot = Some(Taken {
                quantity,
                unit: unit.clone(),
                unit_origin: "by the numbers",
                confidence: 0.8,
                because: "as degrees these two columns move like an aircraft".to_owned(),
            });
        }
    }
}

/// Everything a column could be, judged by itself.
fn hypotheses(words: &HeaderWords, facts: &Facts) -> Vec<Hypothesis> {
    let mut out = Vec::new();
    let named = by_words(words);
    let best = named
        .iter()
        .map(|candidate| candidate.2)
        .fold(0.0, f64::max);
    for (quantity, unit, score) in &named {
        // Readings far behind the best one cannot win by numbers.
        if *score > best - 4.5 {
            add(&mut out, *quantity, unit.as_ref(), *score, words, facts);
        }
    }
    let spoken_for = words
        .words
        .iter()
        .any(|word| VOCABULARY.means(word, "not_here"));
    if best < NAMED && !spoken_for {
        for quantity in BY_NUMBERS {
            let setting = *quantity == Quantity::AltimeterSetting;
            // A setting hardly changes, and is no whole number of inches; everything else changes.
            let steady =
                facts.distinct <= 6 && (facts.median > 800.0 || facts.median.fract() != 0.0);
            if setting != steady {
                continue;
            }
            if !named.iter().any(|(known, ..)| known == quantity) {
                let unit = words
                    .unit
                    .as_ref()
                    .filter(|unit| unit.dimension == quantity.dimension());
                if words.unit.is_none() || unit.is_some() {
                    add(&mut out, *quantity, unit, 0.0, words, facts);
                }
            }
        }
    }
    out
}

/// Quantities that numbers alone can tell.
const BY_NUMBERS: &[Quantity] = &[
    Quantity::GroundSpeed,
    Quantity::AirspeedIndicated,
    Quantity::AltitudeIndicated,
    Quantity::AltitudeGnss,
    Quantity::VerticalSpeed,
    Quantity::TrackTrue,
    Quantity::HeadingMagnetic,
    Quantity::Bank,
    Quantity::Pitch,
    Quantity::LoadNormal,
    Quantity::AltimeterSetting,
];

fn add(
    out: &mut Vec<Hypothesis>,
    quantity: Quantity,
    written: Option<&Unit>,
    word: f64,
    words: &HeaderWords,
    facts: &Facts,
) {
    let mut push = |unit: Unit, written: bool, prior: f64| {
        let (range, doubt) = points(quantity, &unit, facts);
        let mut reasons = Vec::new();
        if word > 0.0 {
            reasons.push(format!("the name says {}", quantity.id().replace('_', " ")));
        }
        if written {
            reasons.push(format!("unit {} is written", unit.id));
        }
        reasons.extend(doubt);
        let base = word + prior + range;
        if base > -8.0 {
            out.push(Hypothesis {
                quantity,
                unit,
                written,
                base,
                score: base,
                word,
                reasons,
            });
        }
    };
    let turned = |unit: &Unit| Unit {
        id: format!("-{}", unit.id),
        factor: -unit.factor,
        ..unit.clone()
    };
    let signed = matches!(
        quantity,
        Quantity::Bank | Quantity::Pitch | Quantity::LoadNormal
    );
    let variants =
        |unit: &Unit, written: bool, prior: f64, push: &mut dyn FnMut(Unit, bool, f64)| {
            push(unit.clone(), written, prior);
            if signed {
                push(turned(unit), written, prior - 2.0);
            }
            if quantity == Quantity::LoadNormal {
                // An increment: 0 at rest.
                push(
                    Unit {
                        id: format!("{}+1", unit.id),
                        offset: unit.offset + 1.0,
                        ..unit.clone()
                    },
                    written,
                    prior - 0.5,
                );
            }
        };
    if let Some(unit) = written {
        let unit = ratio_from(unit, quantity);
        variants(&unit, true, 1.0, &mut push);
    }
    // Also when a unit is written: it may be wrong, but then the numbers must say so loudly.
    let penalty = if written.is_some() || words.unit.is_some() {
        -4.0
    } else {
        0.0
    };
    for &(id, prior) in unit_priors(quantity) {
        if written.is_some_and(|unit| unit.id == id) {
            continue;
        }
        if let Some(unit) = VOCABULARY.unit(id) {
            variants(&unit.clone(), false, prior + penalty, &mut push);
        } else if quantity.dimension() == Dimension::Other {
            push(
                Unit {
                    id: String::new(),
                    dimension: Dimension::Other,
                    factor: 1.0,
                    offset: 0.0,
                },
                false,
                prior,
            );
        }
    }
}

/// Degrees of a control surface as a share of its travel: 25° is assumed, which is usual for light
/// airplanes (common practice, no source); only changes of it should be trusted.
fn ratio_from(unit: &Unit, quantity: Quantity) -> Unit {
    if quantity.dimension() == Dimension::Ratio && unit.dimension == Dimension::Angle {
        return Unit {
            id: format!("{} of 25°", unit.id),
            factor: unit.factor / 25_f64.to_radians(),
            ..unit.clone()
        };
    }
    unit.clone()
}

fn judge(
    hypothesis: &mut Hypothesis,
    sample: &Sample,
    world: &World,
    index: usize,
    facts: &Facts,
    last: bool,
) {
    let unit = &hypothesis.unit;
    let si = sample.scaled(index, unit.factor, unit.offset);
    let named = hypothesis.word > 0.0;
    let guess = Guess {
        index,
        quantity: hypothesis.quantity,
        unit,
        facts,
        si,
        named,
    };
    let verdicts = world.judge(sample, &guess);
    hypothesis.score = hypothesis.base + verdicts.iter().map(|verdict| verdict.points).sum::<f64>();
    if last {
        let said = verdicts
            .into_iter()
            .filter(|verdict| verdict.points.abs() >= 0.5);
        hypothesis
            .reasons
            .extend(said.map(|verdict| verdict.reason));
    }
}

fn decide(column: &[Hypothesis]) -> Option<Taken> {
    let best = column.first()?;
    if best.score < ENOUGH {
        return None;
    }
    let rival = column
        .iter()
        .filter(|other| {
            other.quantity != best.quantity
                || (other.unit.factor / best.unit.factor - 1.0).abs() > 0.01
        })
        .map(|other| other.score)
        .fold(ENOUGH - 1.0, f64::max);
    // A point is worth about a factor of e in the odds; two points margin are 88 %.
    let confidence = 1.0 / (1.0 + (-(best.score - rival)).exp());
    let mut because = best.reasons.join("; ");
    if !best.written && best.unit.dimension != Dimension::Other {
        because.push_str(&format!("; unit {} by the numbers", best.unit.id));
    }
    Some(Taken {
        quantity: best.quantity,
        unit: best.unit.clone(),
        unit_origin: if best.written {
            "written"
        } else {
            "by the numbers"
        },
        confidence: confidence.clamp(0.0, if best.word >= NAMED { 1.0 } else { 0.95 }),
        because: because.trim_start_matches("; ").to_owned(),
    })
}

/// A column's present reading.
struct Reading<'a> {
    index: usize,
    quantity: Quantity,
    unit: &'a Unit,
    written: bool,
    score: f64,
}

/// References from the columns that are the surest at present.
fn build_world(
    sample: &Sample,
    columns: &[Vec<Hypothesis>],
    fixed: &[Option<Taken>],
    words: &[HeaderWords],
) -> World {
    let mut readings: Vec<Reading<'_>> = Vec::new();
    for (index, column) in columns.iter().enumerate() {
        if let Some(Some(taken)) = fixed.get(index) {
            let written = true;
            readings.push(Reading {
                index,
                quantity: taken.quantity,
                unit: &taken.unit,
                written,
                score: 100.0,
            });
        } else if let Some(best) = column.iter().max_by(|a, b| a.score.total_cmp(&b.score))
            && best.score >= ENOUGH
        {
            readings.push(Reading {
                index,
                quantity: best.quantity,
                unit: &best.unit,
                written: best.written,
                score: best.score,
            });
        }
    }
    readings.sort_by(|a, b| b.score.total_cmp(&a.score));
    let of = |wanted: &[Quantity]| {
        readings
            .iter()
            .filter(|reading| wanted.contains(&reading.quantity))
            .map(|reading| {
                (
                    reading.index,
                    sample.scaled(reading.index, reading.unit.factor, reading.unit.offset),
                    reading.written,
                )
            })
            .collect::<Vec<_>>()
    };
    let plain = |wanted: &[Quantity]| {
        of(wanted)
            .into_iter()
            .map(|(index, values, _)| (index, values))
            .collect::<Vec<_>>()
    };
    let mut world = World::default();
    let latitude = plain(&[Quantity::Latitude]).into_iter().next();
    let longitude = plain(&[Quantity::Longitude]).into_iter().next();
    if let (Some((_, latitude)), Some((_, longitude))) = (&latitude, &longitude) {
        world.set_position(sample, latitude, longitude);
        world.set_variation(sample, latitude, longitude);
    } else if let Some((latitude, longitude)) = position_by_numbers(sample, &named(columns), words)
    {
        let radians = |index: usize| sample.scaled(index, std::f64::consts::PI / 180.0, 0.0);
        world.set_position(sample, &radians(latitude), &radians(longitude));
    }
    world.ground_speed = plain(&[Quantity::GroundSpeed]).into_iter().next();
    world.airspeed = plain(&[
        Quantity::AirspeedIndicated,
        Quantity::AirspeedCalibrated,
        Quantity::AirspeedTrue,
    ])
    .into_iter()
    .next();
    world.metric = readings
        .iter()
        .find(|reading| {
            matches!(
                reading.quantity,
                Quantity::GroundSpeed | Quantity::AirspeedIndicated | Quantity::AirspeedTrue
            )
        })
        .map(|reading| ["kmh", "mps", "cmps"].contains(&reading.unit.id.as_str()));
    world.altitudes = of(&[
        Quantity::AltitudeIndicated,
        Quantity::AltitudePressure,
        Quantity::AltitudeGnss,
    ]);
    world.vertical_speeds = of(&[Quantity::VerticalSpeed])
        .into_iter()
        .filter(|(_, _, written)| *written)
        .map(|(index, values, _)| (index, values))
        .collect();
    world.vertical_open = readings
        .iter()
        .filter(|reading| reading.quantity == Quantity::VerticalSpeed && !reading.written)
        .map(|reading| (reading.index, sample.scaled(reading.index, 1.0, 0.0)))
        .collect();
    world.tracks = plain(&[Quantity::TrackTrue, Quantity::TrackMagnetic]);
    world.headings = plain(&[Quantity::HeadingMagnetic, Quantity::HeadingTrue]);
    world.bank = plain(&[Quantity::Bank]).into_iter().next();
    world.engine_speed = plain(&[Quantity::EngineSpeed]).into_iter().next();
    world
}

/// Which columns have a telling name.
fn named(columns: &[Vec<Hypothesis>]) -> Vec<bool> {
    columns
        .iter()
        .map(|list| list.iter().any(|known| known.word >= NAMED))
        .collect()
}
