//! Altitude, airspeed, heading and bank along time.

use crate::context::{Context, median, weaker};
use crate::draft::{self, Aim, Line};
use crate::instrument;
use crate::model::{Mark, Verdict};
use crate::pack::{Criterion, LimitOrigin, Target};
use air::units::{M_PER_FT, MPS_PER_KT};
use flight::{Origin, Series};

/// Share of a series' σ that is left in a difference over a minute or so: the bias of an altimeter, a
/// pitot tube or a compass hardly changes between the entry and the end of one maneuver. Assumed; the
/// intervals of `worst` are the check.
pub(super) const DRIFT: f64 = 0.35;

/// What is drawn before and after the graded part, s.
const MARGIN_S: f64 = 5.0;

/// A series in the criterion's unit over the maneuver, graded between two times.
pub(super) fn drawn(
    context: &Context,
    series: &Series,
    per_unit: f64,
    (from_s, to_s): (f64, f64),
) -> Option<Line> {
    let start_s = from_s.min(context.maneuver.start_s) - MARGIN_S;
    let (first, last) = context.samples(start_s, to_s.max(context.maneuver.end_s) + MARGIN_S)?;
    let clock = context.flight.clock;
    let half = 0.5 * clock.step_s;
    let inside = |index: usize| {
        let at_s = clock.time_s(index);
        at_s >= from_s - half && at_s <= to_s + half
    };
    Some(Line {
        from_s: clock.time_s(first),
        step_s: clock.step_s,
        values: (first..=last)
            .map(|index| context.known(series, index) / per_unit)
            .collect(),
        graded: (first..=last).map(inside).collect(),
        slow_sigma: context.sigma(series, from_s, to_s) / per_unit,
        aim: None,
        origin: series.origin,
        note: String::new(),
    })
}

/// The value at the entry: the mean of the second before it.
pub(super) fn at_entry(context: &Context, series: &Series, at_s: f64) -> Option<f64> {
    context.mean(series, at_s - 1.0, at_s + 0.2)
}

/// Altitude about the entry altitude, ft.
pub(super) fn altitude(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.altitude else {
        return draft::not_recorded(mark, "no altitude was recorded");
    };
    let Some(window) = context.window(criterion) else {
        return draft::not_recorded(mark, "the turn's ends were not found");
    };
    let (Some(entry), Some(mut line)) = (
        at_entry(context, series, window.0),
        drawn(context, series, M_PER_FT, window),
    ) else {
        return draft::not_recorded(mark, "no altitude was recorded here");
    };
    line.slow_sigma *= DRIFT;
    // Half the rounding of an altimeter and a second of a slow climb: what the entry is known to.
    let entry = Aim {
        value: entry / M_PER_FT,
        sigma: 3.0,
        origin: LimitOrigin::Assumed,
    };
    about_datum(
        criterion,
        mark,
        line,
        entry,
        context.asked.altitude_ft,
        DATUM_FT,
    )
}

/// Farther apart than this, a briefed altitude and the one flown are two datums, ft: the altimeter
/// setting, or somebody changed their mind.
const DATUM_FT: f64 = 75.0;

/// Marks about the briefed value; where that and the flown entry disagree and the answer depends on
/// which is meant, it is too close to call and says so.
pub(super) fn about_datum(
    criterion: &Criterion,
    mark: Mark,
    mut line: Line,
    entry: Aim,
    briefed: Option<f64>,
    apart: f64,
) -> Mark {
    line.aim = Some(entry);
    let by_entry = draft::line(mark.clone(), criterion, &line);
    let Some(value) = briefed else {
        return by_entry;
    };
    let sigma = line.slow_sigma / DRIFT;
    line.aim = Some(Aim {
        value,
        sigma: sigma.min(0.2 * apart),
        origin: LimitOrigin::Briefed,
    });
    let by_brief = draft::line(mark, criterion, &line);
    if (value - entry.value).abs() <= apart || by_brief.mark == by_entry.mark {
        return by_brief;
    }
    let mut mark = by_entry;
    mark.note = format!(
        "counted from where you entered, {:.0} {}; from the {value:.0} briefed it would be another answer",
        entry.value, mark.unit
    );
    mark.mark = Verdict::TooClose;
    mark.probability = Some(0.5);
    mark
}

/// Airspeed about the entry speed, kt.
pub(super) fn airspeed(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.ias else {
        return draft::not_recorded(mark, "no airspeed was recorded");
    };
    let Some(window) = context.window(criterion) else {
        return draft::not_recorded(mark, "the turn's ends were not found");
    };
    let (Some(entry), Some(mut line)) = (
        at_entry(context, series, window.0),
        drawn(context, series, MPS_PER_KT, window),
    ) else {
        return draft::not_recorded(mark, "no airspeed was recorded here");
    };
    if series.origin != Origin::Measured {
        line.note = "airspeed from ground speed and wind".to_owned();
        line.slow_sigma = 0.7 * instrument::airspeed_kt(series, line.slow_sigma * MPS_PER_KT);
    } else {
        line.slow_sigma = DRIFT * instrument::airspeed_kt(series, line.slow_sigma * MPS_PER_KT);
    }
    let entry = Aim {
        value: entry / MPS_PER_KT,
        sigma: 0.7,
        origin: LimitOrigin::Assumed,
    };
    let briefed = context.asked.speed_kias;
    about_datum(
        criterion,
        mark,
        line,
        entry,
        briefed,
        criterion.high.unwrap_or(10.0),
    )
}

/// Magnetic heading to the stall, degrees; the curve runs on past 360 so that it never jumps.
pub(super) fn heading(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some((series, words)) = heading_series(context) else {
        return draft::not_recorded(mark, "no heading was recorded");
    };
    let Some(stall) = context.stall() else {
        return draft::not_recorded(mark, "the stall was not found");
    };
    let degree = 1_f64.to_radians();
    // The heading to hold is the one that the setup began on: a slow drift from there is a drift, however
    // late it is noticed.
    let begun_s = settled_on(context, series, context.maneuver.start_s, stall.at_s);
    let (Some(held), Some(mut line)) = (
        context.mean(series, begun_s - 1.5, begun_s + 0.5),
        drawn(context, series, degree, (begun_s, stall.at_s.max(begun_s))),
    ) else {
        return draft::not_recorded(mark, "no heading was recorded here");
    };
    let offset = context.flight.variation_rad / degree;
    line.values.iter_mut().for_each(|value| *value -= offset);
    line.slow_sigma = heading_sigma_deg(series, line.slow_sigma);
    line.origin = weaker(line.origin, series.origin);
    words.clone_into(&mut line.note);
    let held = held / degree - offset;
    // Bring the curve to 0..360 at the entry.
    let turns = 360.0 * (held / 360.0).floor();
    line.values.iter_mut().for_each(|value| *value -= turns);
    let entry = Aim {
        value: held - turns,
        sigma: 1.5,
        origin: LimitOrigin::Assumed,
    };
    let briefed = context.asked.heading_deg.map(|asked| {
        // The nearest way round.
        entry.value + (asked - entry.value + 540.0).rem_euclid(360.0) - 180.0
    });
    about_datum(criterion, mark, line, entry, briefed, 10.0)
}

/// Still rolling out of a clearing turn, rad/s (1 degree a second over four seconds), and for how long
/// after the setup began that may be, s.
const ROLLING_OUT_RADPS: f64 = 1.0 * std::f64::consts::PI / 180.0;
const ROLL_OUT_S: f64 = 10.0;

/// When the heading of the setup was there: its start, or the end of the turn that ran into it.
fn settled_on(context: &Context, series: &Series, start_s: f64, stall_s: f64) -> f64 {
    let last_s = (start_s + ROLL_OUT_S).min(0.5 * (start_s + stall_s));
    let turning = |at_s: f64| {
        let before = context.mean(series, at_s - 2.5, at_s - 1.5);
        let after = context.mean(series, at_s + 1.5, at_s + 2.5);
        matches!((before, after), (Some(before), Some(after)) if (after - before).abs() > 4.0 * ROLLING_OUT_RADPS)
    };
    if !turning(start_s) {
        return start_s;
    }
    let mut at_s = start_s;
    while at_s < last_s && turning(at_s) {
        at_s += 0.5;
    }
    at_s
}

/// 1-σ of a change of heading within a maneuver, degrees: a compass hardly changes its error, a heading
/// from track and wind is as good as the wind of the moment.
pub(super) fn heading_sigma_deg(series: &Series, smoothed_deg: f64) -> f64 {
    if series.origin == Origin::Measured {
        DRIFT * smoothed_deg
    } else {
        smoothed_deg.hypot(2.0)
    }
}

/// Heading where recorded or derived, else nothing: a track in wind is no heading.
pub(super) fn heading_series<'a>(context: &'a Context) -> Option<(&'a Series, &'static str)> {
    let heading = context.flight.heading.as_ref();
    if let Some(series) = heading {
        let words = if series.origin == Origin::Measured {
            ""
        } else {
            "heading from track and wind"
        };
        return Some((series, words));
    }
    context
        .flight
        .air_track
        .as_ref()
        .map(|series| (series, "heading from track and wind"))
}

/// Bank about what was asked for, degrees, positive into the turn.
pub(super) fn bank(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let line = match into_turn(context, criterion) {
        Ok(line) => line,
        Err(why) => return draft::not_recorded(mark, why),
    };
    let aim = match (criterion.target, context.asked.bank_deg) {
        // The number that the document states is not the evaluator's to change; what it leaves open is.
        (
            Target::Stated {
                value,
                origin: origin @ LimitOrigin::Published,
            },
            _,
        ) => Aim {
            value,
            sigma: 0.0,
            origin,
        },
        (_, Some(value)) => Aim {
            value,
            sigma: 0.0,
            origin: LimitOrigin::Briefed,
        },
        (Target::Stated { value, origin }, None) => Aim {
            value,
            sigma: 0.0,
            origin,
        },
        _ => match inferred_bank(&line) {
            Some(aim) => aim,
            None => return draft::not_recorded(mark, "no bank was recorded here"),
        },
    };
    draft::line(
        mark,
        criterion,
        &Line {
            aim: Some(aim),
            ..line
        },
    )
}

/// Highest bank that may be specified for a turning stall, degrees (FAA-S-ACS-6C and 7B, VII.B and C).
const STALL_BANK_MAX_DEG: f64 = 20.0;

/// The bank that was likely asked for: what was held, as far as the standard lets anybody ask for it.
/// Schools ask for 15 to 20 degrees (common practice, no source), so a bank flown beyond is a fault.
fn inferred_bank(line: &Line) -> Option<Aim> {
    let graded = line
        .values
        .iter()
        .zip(&line.graded)
        .filter(|(_, graded)| **graded);
    let flown = median(graded.map(|(value, _)| *value).collect())?;
    let origin = LimitOrigin::Assumed;
    if flown > STALL_BANK_MAX_DEG {
        return Some(Aim {
            value: 18.0,
            sigma: 2.0,
            origin,
        });
    }
    Some(Aim {
        value: flown.max(10.0),
        sigma: 1.5,
        origin,
    })
}

/// Greatest bank, degrees, against an absolute limit.
pub(super) fn bank_max(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    match into_turn(context, criterion) {
        Ok(line) => draft::line(mark, criterion, &line),
        Err(why) => draft::not_recorded(mark, why),
    }
}

/// Bank in the window, degrees, positive into the turn.
fn into_turn(context: &Context, criterion: &Criterion) -> Result<Line, &'static str> {
    let series = context.flight.bank.as_ref().ok_or("no bank was recorded")?;
    let window = context
        .window(criterion)
        .ok_or("the graded part was not found")?;
    let mut line =
        drawn(context, series, 1_f64.to_radians(), window).ok_or("no bank was recorded here")?;
    let graded = line
        .values
        .iter()
        .zip(&line.graded)
        .filter(|(_, graded)| **graded);
    let side =
        median(graded.map(|(value, _)| *value).collect()).ok_or("no bank was recorded here")?;
    let sign = match context.maneuver.direction {
        maneuver::Direction::Left => -1.0,
        maneuver::Direction::Right => 1.0,
        _ => side.signum(),
    };
    line.values.iter_mut().for_each(|value| *value *= sign);
    line.slow_sigma = instrument::bank_deg(context, line.slow_sigma.to_radians());
    if context.maneuver.kind != maneuver::Kind::SteepTurn {
        skip_roll_in(&mut line);
    }
    if series.origin != Origin::Measured {
        line.note = "bank from the curve of the path".to_owned();
    }
    Ok(line)
}

/// Share of the later bank at which a roll-in is over.
const ROLLED_IN: f64 = 0.7;

/// Takes the roll-in out of the graded part: a turning stall may be rolled into as the nose comes up, and
/// the way to the bank is no departure from it. The last second always counts.
fn skip_roll_in(line: &mut Line) {
    let graded: Vec<usize> = line
        .graded
        .iter()
        .enumerate()
        .filter_map(|(index, graded)| graded.then_some(index))
        .collect();
    let mut banks: Vec<f64> = graded
        .iter()
        .filter_map(|index| line.values.get(*index).copied())
        .filter(|bank| bank.is_finite())
        .collect();
    banks.sort_by(f64::total_cmp);
    let Some(later) = banks.get(banks.len() * 7 / 10) else {
        return;
    };
    let last = (1.0 / line.step_s).round() as usize + 1;
    let most = graded.len().saturating_sub(last);
    for index in graded.into_iter().take(most) {
        match (line.values.get(index), line.graded.get_mut(index)) {
            (Some(bank), Some(graded)) if *bank < ROLLED_IN * later => *graded = false,
            _ => break,
        }
    }
}
