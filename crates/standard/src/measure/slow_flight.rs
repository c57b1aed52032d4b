//! Slow flight: altitude when level, heading when straight, bank in the turns.

use super::line;
use crate::context::{Context, median};
use crate::draft::{self, Aim, Line};
use crate::instrument;
use crate::model::{Mark, Verdict};
use crate::pack::{Criterion, LimitOrigin, Target};
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};

/// Slower than this is no turn, rad/s: at 60 kt it takes 5 degrees of bank.
const TURNING_RADPS: f64 = 1.5 * std::f64::consts::PI / 180.0;
/// Less heading change than this is a wander, not a turn that was asked for, rad: a turn to a heading is
/// 45 degrees at least, and its roll-in and roll-out, slower than [`TURNING_RADPS`], take up to a third.
const TURN_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// A short turn shows by its bank: the mean rate of one at 8 degrees, rad/s; a wander is slower.
const SHORT_TURN_RADPS: f64 = 2.2 * std::f64::consts::PI / 180.0;
/// From here on the heading change alone tells a turn, rad.
const SURE_TURN_RAD: f64 = 45.0 * std::f64::consts::PI / 180.0;
/// Straight stretches shorter than this are the way from one turn into the next, s.
const STRAIGHT_S: f64 = 10.0;
/// A climb or descent that was asked for lasts this long at least, s.
const VERTICAL_S: f64 = 15.0;

/// Slower than this is no descent that was asked for but a drift, m/s (200 ft/min): some trainers climb no
/// better at that speed with the flaps down, but any descends faster.
const ASKED_DESCENT_MPS: f64 = 200.0 * MPS_PER_FPM;

/// A stretch of samples, from first to last.
pub(super) type Stretch = (usize, usize);

/// Stretches of samples in a window for which a test holds.
pub(super) fn stretches(first: usize, last: usize, test: impl Fn(usize) -> bool) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for index in first..=last {
        if !test(index) {
            continue;
        }
        match found.last_mut() {
            Some((_, end)) if *end + 1 == index => *end = index,
            _ => found.push((index, index)),
        }
    }
    found
}

/// The turns of the window: sustained turning with a heading change worth asking for.
fn turns(context: &Context, (first, last): Stretch) -> Vec<Stretch> {
    let flight = context.flight;
    let Some(heading) = flight
        .heading
        .as_ref()
        .or(flight.air_track.as_ref())
        .or(flight.track.as_ref())
    else {
        return Vec::new();
    };
    let reach = (1.5 / flight.clock.step_s).round().max(1.0) as usize;
    let rate = |index: usize| {
        let (a, b) = (
            index.saturating_sub(reach),
            (index + reach).min(flight.clock.len.saturating_sub(1)),
        );
        (heading.at(b) - heading.at(a)) / ((b - a).max(1) as f64 * flight.clock.step_s)
    };
    let mut found = stretches(first, last, |index| rate(index) > TURNING_RADPS);
    found.extend(stretches(first, last, |index| rate(index) < -TURNING_RADPS));
    found.retain(|(a, b)| {
        let turned = (heading.at(*b) - heading.at(*a)).abs();
        let lasted_s = (b - a).max(1) as f64 * flight.clock.step_s;
        turned >= SURE_TURN_RAD || (turned >= TURN_RAD && turned / lasted_s >= SHORT_TURN_RADPS)
    });
    found.sort_unstable();
    found
}

/// The graded window in samples.
pub(super) fn window(context: &Context, criterion: &Criterion) -> Option<Stretch> {
    let (from_s, to_s) = settled(context, context.window(criterion)?);
    context.samples(from_s, to_s)
}

/// The way into slow flight may last this long after it looks established, s.
const SETTLING_S: f64 = 30.0;
/// Settled: over five seconds, the speed changes by less than this, m/s (1.5 kt),
const SETTLED_MPS: f64 = 1.5 * MPS_PER_KT;
/// and the altitude by less than this, m (12 ft).
const SETTLED_M: f64 = 12.0 * M_PER_FT;

/// The window from where speed and altitude stopped changing: the way there is the setup, and nobody is
/// held to a tolerance on it. At most half a minute, and a third of the window, is left out.
pub(super) fn settled(context: &Context, (from_s, to_s): (f64, f64)) -> (f64, f64) {
    let flight = context.flight;
    let speed = flight.ias.as_ref().or(flight.ground_speed.as_ref());
    let last_s = from_s + SETTLING_S.min((to_s - from_s) / 3.0);
    let still = |series: Option<&flight::Series>, at_s: f64, most: f64| {
        let Some(series) = series else { return true };
        let before = context.mean(series, at_s - 1.0, at_s + 1.0);
        let after = context.mean(series, at_s + 4.0, at_s + 6.0);
        matches!((before, after), (Some(before), Some(after)) if (after - before).abs() <= most)
    };
    let mut at_s = from_s;
    while at_s < last_s {
        if still(speed, at_s, SETTLED_MPS) && still(flight.altitude.as_ref(), at_s, SETTLED_M) {
            break;
        }
        at_s += 0.5;
    }
    (at_s, to_s)
}

/// The drawn line over the maneuver with nothing graded yet, and the sample of its first value.
fn ungraded(
    context: &Context,
    series: &flight::Series,
    per_unit: f64,
    graded: Stretch,
) -> Option<(Line, usize)> {
    let clock = context.flight.clock;
    let mut line = line::drawn(
        context,
        series,
        per_unit,
        (clock.time_s(graded.0), clock.time_s(graded.1)),
    )?;
    line.graded.iter_mut().for_each(|graded| *graded = false);
    let first = clock.index(line.from_s);
    Some((line, first))
}

fn grade(line: &mut Line, first: usize, (from, to): Stretch) {
    for index in from..=to {
        if let Some(graded) = index
            .checked_sub(first)
            .and_then(|at| line.graded.get_mut(at))
        {
            *graded = true;
        }
    }
}

/// Altitude in level slow flight about the altitude at the setup, ft. A climb or descent of some length
/// may have been asked for: from there on the altitude is the instructor's to judge, unless it was
/// briefed.
pub(super) fn altitude(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.altitude else {
        return draft::not_recorded(mark, "no altitude was recorded");
    };
    let Some(span) = window(context, criterion) else {
        return draft::not_recorded(mark, "the established part was not found");
    };
    let Some((mut line, first)) = ungraded(context, series, M_PER_FT, span) else {
        return draft::not_recorded(mark, "no altitude was recorded here");
    };
    let asked = vertical(context, span);
    let level_end = asked
        .first()
        .map_or(span.1, |(start, _)| start.saturating_sub(1))
        .max(span.0);
    grade(&mut line, first, (span.0, level_end));
    line.slow_sigma *= line::DRIFT;
    let setup_s = context.maneuver.start_s;
    let Some(entry) = context.mean(series, setup_s, setup_s + 3.0) else {
        return draft::not_recorded(mark, "no altitude was recorded at the setup");
    };
    let entry = Aim {
        value: entry / M_PER_FT,
        sigma: 10.0,
        origin: LimitOrigin::Assumed,
    };
    if !asked.is_empty() {
        "the level part; climbs and descents are not judged here".clone_into(&mut line.note);
    }
    // The tolerance is about what was specified; nobody can be held to it closer than that is known.
    let mark = line::about_datum(
        criterion,
        mark,
        line,
        entry,
        context.asked.altitude_ft,
        75.0,
    );
    let level_s = (level_end - span.0) as f64 * context.flight.clock.step_s;
    let unexplained = asked.iter().any(|stretch| !with_power(context, *stretch));
    if mark.mark == Verdict::Met && unexplained {
        return draft::for_instructor(
            mark,
            "it climbed or sank for a while with no change of power: was that asked for?",
        );
    }
    if mark.mark == Verdict::Met && level_s < STRAIGHT_S {
        return draft::for_instructor(mark, "hardly any level part; which altitude was asked for?");
    }
    mark
}

/// Climbs and descents of some length that leave the altitude by more than a level pilot would.
fn vertical(context: &Context, (first, last): Stretch) -> Vec<Stretch> {
    let (Some(altitude), clock) = (&context.flight.altitude, context.flight.clock) else {
        return Vec::new();
    };
    let reach = (4.0 / clock.step_s).round().max(1.0) as usize;
    let rate = |index: usize| {
        let (a, b) = (
            index.saturating_sub(reach),
            (index + reach).min(clock.len.saturating_sub(1)),
        );
        (altitude.at(b) - altitude.at(a)) / ((b - a).max(1) as f64 * clock.step_s)
    };
    let least = 75.0 * MPS_PER_FPM;
    let mut found = stretches(first, last, |index| rate(index) > least);
    found.extend(stretches(first, last, |index| rate(index) < -least));
    found.retain(|(a, b)| {
        let lasted_s = (*b - *a) as f64 * clock.step_s;
        let change = altitude.at(*b) - altitude.at(*a);
        lasted_s >= VERTICAL_S
            && change.abs() >= 75.0 * M_PER_FT
            && (change > 0.0 || change / lasted_s <= -ASKED_DESCENT_MPS)
    });
    found.sort_unstable();
    found
}

/// Whether power moved at the start of a climb or descent, which a wandering altitude does not have.
fn with_power(context: &Context, (from, _): Stretch) -> bool {
    let Some(power) = &context.flight.power else {
        return false;
    };
    let at_s = context.flight.clock.time_s(from);
    let before = context.mean(power, at_s - 12.0, at_s - 6.0);
    let after = context.mean(power, at_s + 2.0, at_s + 10.0);
    matches!((before, after), (Some(before), Some(after)) if (after - before).abs() > 0.05)
}

/// Heading in the straight parts, degrees magnetic: each about the heading it began with, the first about
/// that of the setup.
pub(super) fn heading(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some((series, words)) = line::heading_series(context) else {
        return draft::not_recorded(mark, "no heading was recorded");
    };
    let Some(span) = window(context, criterion) else {
        return draft::not_recorded(mark, "the established part was not found");
    };
    let degree = 1_f64.to_radians();
    let Some((mut line, first)) = ungraded(context, series, degree, span) else {
        return draft::not_recorded(mark, "no heading was recorded here");
    };
    let clock = context.flight.clock;
    let straight = straight(context, span);
    if straight.is_empty() {
        return draft::for_instructor(mark, "no straight part was found; was one asked for?");
    }
    let setup_s = context.maneuver.start_s;
    let offset = context.flight.variation_rad / degree;
    let mut shown: Option<f64> = None;
    for (number, (from, to)) in straight.iter().enumerate() {
        let from_s = clock.time_s(*from);
        let own = context.mean(series, from_s, from_s + 3.0);
        let setup = median(context.slice(series, setup_s, 0.5 * (setup_s + clock.time_s(span.0))));
        let datum = if number == 0 && *from == span.0 {
            setup.or(own)
        } else {
            own
        };
        let Some(datum) = datum.map(|datum| datum / degree) else {
            continue;
        };
        let magnetic = (datum - offset).rem_euclid(360.0);
        let briefed = context
            .asked
            .heading_deg
            .filter(|_| number == 0)
            .map(|asked| (asked - magnetic + 540.0).rem_euclid(360.0) - 180.0);
        let reference = *shown.get_or_insert(magnetic + briefed.unwrap_or(0.0));
        // Every straight part is drawn about the first one's heading.
        for index in *from..=*to {
            if let Some(value) = index
                .checked_sub(first)
                .and_then(|at| line.values.get_mut(at))
            {
                *value += reference - datum - briefed.unwrap_or(0.0);
            }
        }
        grade(&mut line, first, (*from, *to));
    }
    for (value, graded) in line.values.iter_mut().zip(&line.graded) {
        if !graded {
            *value = f64::NAN;
        }
    }
    line.slow_sigma = line::heading_sigma_deg(series, line.slow_sigma);
    words.clone_into(&mut line.note);
    let origin = if context.asked.heading_deg.is_some() {
        LimitOrigin::Briefed
    } else {
        LimitOrigin::Assumed
    };
    line.aim = shown.map(|value| Aim {
        value,
        sigma: 1.5,
        origin,
    });
    draft::line(mark, criterion, &line)
}

/// The straight parts of a window: what is left between the turns, a few seconds of roll-out apart.
fn straight(context: &Context, span: Stretch) -> Vec<Stretch> {
    let step_s = context.flight.clock.step_s;
    let settle = (3.0 / step_s).round() as usize;
    let turns = turns(context, span);
    let turning = |index: usize| {
        turns
            .iter()
            .any(|(a, b)| index + settle >= *a && index <= *b + settle)
    };
    let mut found = stretches(span.0, span.1, |index| !turning(index));
    found.retain(|(a, b)| (*b - *a) as f64 * step_s >= STRAIGHT_S);
    found
}

/// Highest bank in the turns, degrees, above the bank asked for.
pub(super) fn bank(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.bank else {
        return draft::not_recorded(mark, "no bank was recorded");
    };
    let Some(span) = window(context, criterion) else {
        return draft::not_recorded(mark, "the established part was not found");
    };
    let Some((mut line, first)) = ungraded(context, series, 1_f64.to_radians(), span) else {
        return draft::not_recorded(mark, "no bank was recorded here");
    };
    let turns = turns(context, span);
    if turns.is_empty() {
        return draft::for_instructor(mark, "no turn was found; was one asked for?");
    }
    line.values
        .iter_mut()
        .for_each(|value| *value = value.abs());
    line.slow_sigma = instrument::bank_deg(context, line.slow_sigma.to_radians());
    turns.iter().for_each(|turn| grade(&mut line, first, *turn));
    let (value, origin) = match (criterion.target, context.asked.bank_deg) {
        (_, Some(value)) => (value, LimitOrigin::Briefed),
        (Target::Stated { value, origin }, None) => (value, origin),
        _ => (12.0, LimitOrigin::Assumed),
    };
    let mut mark = mark;
    if origin == LimitOrigin::Briefed {
        mark.note.clear();
    }
    line.aim = Some(Aim {
        value,
        sigma: 0.0,
        origin,
    });
    draft::line(mark, criterion, &line)
}
