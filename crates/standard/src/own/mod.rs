//! Maneuvers of a school's own: found by the sequence of their steps in the time that no maneuver of the program's
//! takes, and marked by the quantities and figures of the steps.

mod find;
mod runs;

use crate::briefed::{Asked, Recovery};
use crate::context::Context;
use crate::mark::{TaskMarks, tidied};
use crate::measure;
use crate::pack::{FIGURES, LimitOrigin, NAMES, OwnManeuver, Pack, Primitive};
use air::units::{M_PER_FT, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{Flight, Origin, Series};
use maneuver::features::Features;
use maneuver::{Agreement, Direction, Event, Fact, Kind, Maneuver, Phase, SetBy};
use std::collections::BTreeMap;

/// One that was found, with its marks.
#[derive(Clone, Debug)]
pub struct Found {
    /// Id, e.g. `school_box`.
    pub id: String,
    /// Title.
    pub title: String,
    /// Which way its turns go.
    pub direction: Direction,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// 0 to 1.
    pub confidence: f64,
    /// Name, start and end of each step, s.
    pub steps: Vec<(String, f64, f64)>,
    /// Figures of the steps: name of the step, of the figure, and the figure itself.
    pub figures: Vec<(String, &'static str, Fact)>,
    /// Marks.
    pub marks: TaskMarks,
}

/// Every maneuver of the pack's own in the flight, in order of time. They never share time with `maneuvers`.
#[must_use]
pub fn find(
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
    pack: &Pack,
) -> Vec<Found> {
    if pack.own.is_empty() {
        return Vec::new();
    }
    let features = Features::new(flight, aircraft);
    let mut taken: Vec<(f64, f64)> = maneuvers
        .iter()
        .map(|maneuver| (maneuver.start_s, maneuver.end_s))
        .collect();
    let mut all = Vec::new();
    // The one with more steps explains more, so it chooses first.
    let mut order: Vec<&OwnManeuver> = pack.own.iter().collect();
    order.sort_by_key(|own| std::cmp::Reverse(own.steps.len()));
    for own in order {
        for spans in find::chains(&features, &own.steps, &taken) {
            let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
                continue;
            };
            taken.push((first.0, last.1));
            all.push(found(flight, aircraft, &features, own, &spans));
        }
    }
    all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    all
}

/// Ordinary flying gives a chain of so many steps by chance half as often as one of a step less: assumed.
fn confidence(steps: usize) -> f64 {
    1.0 - 0.5_f64.powi(i32::try_from(steps).unwrap_or(i32::MAX))
}

fn found(
    flight: &Flight,
    aircraft: &Aircraft,
    features: &Features,
    own: &OwnManeuver,
    spans: &[(f64, f64)],
) -> Found {
    let carrier = carrier(flight, features, own, spans);
    let maneuvers = [carrier];
    let [maneuver] = &maneuvers;
    let context = Context {
        flight,
        aircraft,
        maneuvers: &maneuvers,
        index: 0,
        maneuver,
        asked: Asked::default(),
        recovery: (Recovery::FullStall, LimitOrigin::Assumed),
    };
    let mut marks = Vec::new();
    for element in &own.elements {
        let code = format!("{}.{}", own.id, element.code);
        let criteria = element.criteria.iter();
        marks.extend(criteria.filter_map(|criterion| measure::mark(&context, &code, criterion)));
    }
    let steps: Vec<(String, f64, f64)> = own
        .steps
        .iter()
        .zip(spans)
        .map(|(step, (start_s, end_s))| (step.name.clone(), *start_s, *end_s))
        .collect();
    let figures = own.steps.iter().zip(&NAMES).flat_map(|(step, names)| {
        names
            .figures
            .iter()
            .zip(FIGURES)
            .filter_map(|(figure, plain)| {
                let fact = maneuver.facts.get(figure.name)?;
                Some((step.name.clone(), plain, *fact))
            })
    });
    Found {
        id: own.id.clone(),
        title: own.title.clone(),
        direction: maneuver.direction,
        start_s: maneuver.start_s,
        end_s: maneuver.end_s,
        confidence: maneuver.confidence,
        steps,
        figures: figures.collect(),
        marks: TaskMarks {
            task: own.id.clone(),
            title: own.title.clone(),
            variant: None,
            recovery: None,
            briefed: false,
            marks: tidied(marks),
        },
    }
}

/// The maneuver as marking knows it. Its kind is that of ordinary flying: no measure asks a question of it.
fn carrier(
    flight: &Flight,
    features: &Features,
    own: &OwnManeuver,
    spans: &[(f64, f64)],
) -> Maneuver {
    let mut events = Vec::new();
    let mut facts = BTreeMap::new();
    let mut phases = Vec::new();
    for (names, (start_s, end_s)) in NAMES.iter().zip(spans) {
        for (name, at_s) in [(names.start, *start_s), (names.end, *end_s)] {
            events.push(Event {
                name,
                at_s,
                // Where one state of flight becomes the other is known to about a second.
                sigma_s: 1.0,
                value: None,
                origin: Origin::Derived,
                probability: 1.0,
            });
        }
        phases.push(Phase {
            name: names.start,
            start_s: *start_s,
            end_s: *end_s,
        });
        let values = figures(flight, features, (*start_s, *end_s));
        for (figure, (value, sigma)) in names.figures.iter().zip(values) {
            if value.is_finite() {
                let fact = Fact {
                    value,
                    unit: figure.unit,
                    sigma,
                    origin: Origin::Derived,
                };
                facts.insert(figure.name, fact);
            }
        }
    }
    let sides: Vec<bool> = own
        .steps
        .iter()
        .filter(|step| step.primitive.turn())
        .map(|step| step.primitive == Primitive::TurnRight)
        .collect();
    let direction = match (sides.contains(&true), sides.contains(&false)) {
        (true, false) => Direction::Right,
        (false, true) => Direction::Left,
        _ => Direction::None,
    };
    Maneuver {
        kind: Kind::StraightAndLevel,
        direction,
        start_s: spans.first().map_or(0.0, |span| span.0),
        end_s: spans.last().map_or(0.0, |span| span.1),
        confidence: confidence(own.steps.len()),
        agreement: Agreement::DecoderOnly,
        set_by: SetBy::Program,
        phases,
        events,
        facts,
        missing: BTreeMap::new(),
        variants: Vec::new(),
    }
}

/// Length, heading turned, bank, height gained, airspeed of a step with their 1-σ, in the order of the names.
///
/// The σ are those of the instruments (see `instrument`), of the ends of the step (1 s each), and of an
/// altimeter's rounding.
fn figures(flight: &Flight, features: &Features, (start_s, end_s): (f64, f64)) -> [(f64, f64); 5] {
    let window = features.window(start_s, end_s);
    let measured =
        |series: Option<&Series>| series.is_some_and(|series| series.origin == Origin::Measured);
    let pick = |measured: bool, yes: f64, no: f64| if measured { yes } else { no };
    let heading_deg = pick(measured(flight.heading.as_ref()), 2.0, 4.0);
    let bank_deg = pick(measured(flight.bank.as_ref()), 1.0, 3.0);
    let speed_kt = pick(measured(flight.ias.as_ref()), 1.2, 4.0);
    let height_ft = pick(measured(flight.altitude.as_ref()), 15.0, 25.0);
    [
        (window.seconds(), std::f64::consts::SQRT_2),
        (window.net_turn().abs(), heading_deg.to_radians()),
        (
            window.percentile(&features.bank, 0.5, f64::abs),
            bank_deg.to_radians(),
        ),
        (window.net_height(), height_ft * M_PER_FT),
        (window.mean_ias(), speed_kt * MPS_PER_KT),
    ]
}
