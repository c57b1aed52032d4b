//! Whether a flown maneuver stayed within the published tolerances: the numbers of the standard, held against the motion.
//!
//! The table is written from the documents (FAA-S-ACS-6C for private, FAA-S-ACS-7B for commercial, November 2023) and not
//! from the packs, so that the two can be held against each other. Only what a flown path alone decides stands here: altitude,
//! heading, bank, airspeed, height above ground, the point of the touchdown.

use super::extremes::{Band, Span, row as series};
use crate::log::Sample;
use air::units::{M_PER_FT, MPS_PER_KT, wrap_pi};
use serde_json::{Map, Value, json};
use std::f64::consts::PI;

/// What is held against a limit. Deviations count from the entry unless it says otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    /// Altitude, ft.
    Altitude,
    /// Airspeed from what was asked for, else from the entry, kt.
    Airspeed,
    /// Bank without its side from the one that was asked for, deg.
    Bank,
    /// Greatest bank without its side, deg.
    MostBank,
    /// Heading, deg.
    Heading,
    /// Heading at the end of the part from where it ought to be, deg, + past it.
    RollOut,
    /// Height above the ground at the lowest, ft.
    Lowest,
    /// Height above the ground at the entry, ft.
    EntryHeight,
    /// Touchdown past the point that was asked for, ft.
    Point,
    /// Airspeed at the height of the obstacle from what was asked for there, kt.
    Obstacle,
}

/// Which part of a maneuver counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    /// All of it.
    Whole,
    /// Between two moments; the start or the end where there is none.
    Between(&'static str, &'static str),
    /// From where the speed that was asked for was first reached, to a moment or the end.
    Reached(&'static str),
    /// A turn from its first 30° to the roll-out: in between the wing rolls in and out.
    Turn,
    /// Before the stall.
    BeforeStall,
    /// On final below 500 ft to the flare (common practice, no source: where an approach is to be stabilized).
    Final,
    /// From where the pattern's height was first reached.
    AtHeight,
    /// The points where each half of a lazy eight ends.
    HalfWays,
}

/// Lowest and highest that is allowed.
type Limits = Option<(f64, f64)>;

#[derive(Clone, Copy, Debug)]
struct Row {
    kinds: &'static [&'static str],
    criterion: &'static str,
    what: What,
    part: Part,
    private: Limits,
    commercial: Limits,
    source: &'static str,
}

const fn both(
    kinds: &'static [&'static str],
    criterion: &'static str,
    what: What,
    part: Part,
    limits: (f64, f64),
    source: &'static str,
) -> Row {
    apart(
        kinds,
        criterion,
        what,
        part,
        (Some(limits), Some(limits)),
        source,
    )
}

const fn apart(
    kinds: &'static [&'static str],
    criterion: &'static str,
    what: What,
    part: Part,
    (private, commercial): (Limits, Limits),
    source: &'static str,
) -> Row {
    Row {
        kinds,
        criterion,
        what,
        part,
        private,
        commercial,
        source,
    }
}

const NO_END: f64 = f64::INFINITY;
const STRAIGHT: (f64, f64) = (-10.0, 10.0);
const GROUND: &[&str] = &["turns_around_a_point", "s_turns", "rectangular_course"];
const CLIMBS: &[&str] = &["constant_airspeed_climb", "constant_airspeed_descent"];
const FIFTEEN_HUNDRED: (f64, f64) = (1500.0, NO_END);
const CLIMB: (Limits, Limits) = (Some((-5.0, 10.0)), Some((-5.0, 5.0)));

#[rustfmt::skip]
const ROWS: &[Row] = &[
    both(&["steep_turn"], "altitude", What::Altitude, Part::Whole, (-100.0, 100.0), "PA.V.A.S5, CA.V.A.S5"),
    both(&["steep_turn"], "airspeed", What::Airspeed, Part::Whole, STRAIGHT, "PA.V.A.S5, CA.V.A.S5"),
    apart(&["steep_turn"], "bank", What::Bank, Part::Turn, (Some((40.0, 50.0)), Some((45.0, 55.0))),
        "PA.V.A.S3 and S5, CA.V.A.S3 and S5"),
    both(&["steep_turn"], "rollout_heading", What::RollOut, Part::Whole, STRAIGHT, "PA.V.A.S5, CA.V.A.S5"),
    apart(&["slow_flight"], "altitude", What::Altitude, Part::Between("established", "recovery_input"),
        (Some((-100.0, 100.0)), Some((-50.0, 50.0))), "PA.VII.A, CA.VII.A"),
    apart(&["slow_flight"], "airspeed", What::Airspeed, Part::Between("established", "recovery_input"),
        (Some((0.0, 10.0)), Some((0.0, 5.0))), "PA.VII.A, CA.VII.A"),
    both(&["slow_flight"], "heading", What::Heading, Part::Between("established", "recovery_input"), STRAIGHT,
        "PA.VII.A, CA.VII.A"),
    both(&["slow_flight", "power_off_stall", "power_on_stall"], "min_altitude_agl", What::Lowest, Part::Whole,
        FIFTEEN_HUNDRED, "PA.VII.A to C, CA.VII.A to C"),
    both(&["power_off_stall", "power_on_stall"], "heading", What::Heading, Part::BeforeStall, STRAIGHT,
        "PA.VII.B and C, CA.VII.B and C"),
    apart(&["power_off_stall"], "bank", What::Bank, Part::Between("pitch_up", "first_cue"),
        (Some((-10.0, 10.0)), Some((-5.0, 5.0))), "PA.VII.B, CA.VII.B"),
    both(&["power_on_stall"], "bank", What::Bank, Part::Between("pitch_up", "first_cue"), STRAIGHT,
        "PA.VII.C, CA.VII.C"),
    apart(&["accelerated_stall"], "min_altitude_agl", What::Lowest, Part::Whole, (None, Some((3000.0, NO_END))),
        "CA.VII.D"),
    apart(&["chandelle", "lazy_eight", "steep_spiral"], "min_altitude_agl", What::Lowest, Part::Whole,
        (None, Some(FIFTEEN_HUNDRED)), "CA.V.B to D"),
    apart(&["chandelle"], "rollout_heading", What::RollOut, Part::Whole, (None, Some(STRAIGHT)), "CA.V.C"),
    apart(&["lazy_eight"], "altitude_at_180", What::Altitude, Part::HalfWays, (None, Some((-100.0, 100.0))), "CA.V.D"),
    apart(&["lazy_eight"], "airspeed_at_180", What::Airspeed, Part::HalfWays, (None, Some(STRAIGHT)), "CA.V.D"),
    apart(&["lazy_eight"], "heading_at_180", What::RollOut, Part::HalfWays, (None, Some(STRAIGHT)), "CA.V.D"),
    apart(&["steep_spiral"], "bank_max", What::MostBank, Part::Whole, (None, Some((0.0, 60.0))), "CA.V.B"),
    apart(&["steep_spiral"], "airspeed", What::Airspeed, Part::Reached(""), (None, Some(STRAIGHT)), "CA.V.B"),
    apart(GROUND, "altitude", What::Altitude, Part::Whole, (Some((-100.0, 100.0)), None), "PA.V.B"),
    apart(GROUND, "airspeed", What::Airspeed, Part::Whole, (Some(STRAIGHT), None), "PA.V.B"),
    apart(GROUND, "height_600_1000_agl", What::EntryHeight, Part::Whole, (Some((600.0, 1000.0)), None), "PA.V.B"),
    both(&["emergency_descent"], "bank", What::MostBank, Part::Whole, (30.0, 45.0), "PA.IX.A, CA.IX.A"),
    both(&["engine_out_approach"], "glide_airspeed", What::Airspeed, Part::Reached("power_back"), STRAIGHT,
        "PA.IX.B, CA.IX.B"),
    apart(CLIMBS, "airspeed", What::Airspeed, Part::Reached(""), (Some(STRAIGHT), None), "PA.VIII.B and C"),
    apart(CLIMBS, "heading", What::Heading, Part::Whole, (Some((-20.0, 20.0)), None), "PA.VIII.B and C"),
    apart(&["straight_and_level"], "altitude", What::Altitude, Part::Whole, (Some((-200.0, 200.0)), None), "PA.VIII.A"),
    apart(&["straight_and_level"], "heading", What::Heading, Part::Whole, (Some((-20.0, 20.0)), None), "PA.VIII.A"),
    apart(&["straight_and_level"], "airspeed", What::Airspeed, Part::Reached(""), (Some(STRAIGHT), None), "PA.VIII.A"),
    apart(&["turn_to_heading"], "altitude", What::Altitude, Part::Whole, (Some((-200.0, 200.0)), None), "PA.VIII.D"),
    apart(&["turn_to_heading"], "airspeed", What::Airspeed, Part::Whole, (Some(STRAIGHT), None), "PA.VIII.D"),
    apart(&["turn_to_heading"], "rollout_heading", What::RollOut, Part::Whole, (Some(STRAIGHT), None), "PA.VIII.D"),
    apart(&["takeoff", "go_around"], "climb_airspeed", What::Airspeed, Part::Reached(""), CLIMB,
        "PA.IV.A, C, E and N, CA.IV.A, C, E and N"),
    apart(&["takeoff"], "obstacle_airspeed", What::Obstacle, Part::Whole, CLIMB, "PA.IV.E, CA.IV.E"),
    apart(&["landing"], "approach_airspeed", What::Airspeed, Part::Final, CLIMB, "PA.IV.B, D and F, CA.IV.B, D and F"),
    apart(&["landing"], "touchdown_point", What::Point, Part::Whole, (Some((0.0, 400.0)), Some((0.0, 200.0))),
        "PA.IV.B, CA.IV.B"),
    apart(&["power_off_180"], "touchdown_point", What::Point, Part::Whole, (None, Some((0.0, 200.0))), "CA.IV.M"),
    both(&["traffic_pattern"], "altitude", What::Altitude, Part::AtHeight, (-100.0, 100.0), "PA.III.B, CA.III.B"),
    both(&["traffic_pattern"], "airspeed", What::Airspeed, Part::AtHeight, STRAIGHT, "PA.III.B, CA.III.B"),
];

/// How near a speed or a height counts as reached, kt and ft: the accuracy a hand has on the way there.
const REACHED_KT: f64 = 3.0;
const REACHED_FT: f64 = 50.0;
/// A speed that is not reached by then is held against the limit as it is, s.
const BY_THEN_S: f64 = 45.0;

/// Verdicts of both standards by criterion.
#[must_use]
pub fn of(span: &Span<'_>) -> Value {
    let mut private = Map::new();
    let mut commercial = Map::new();
    for row in ROWS
        .iter()
        .filter(|row| row.kinds.contains(&span.flown.kind))
    {
        for (limits, standard) in [
            (row.private, &mut private),
            (row.commercial, &mut commercial),
        ] {
            let limits = limits.and_then(|limits| asked(row, limits, span));
            if let Some(limits) = limits
                && let Some(found) = judged(row, limits, span)
            {
                standard.insert(row.criterion.to_owned(), found);
            }
        }
    }
    json!({ "private": private, "commercial": commercial })
}

/// The limits where what was asked for has a say; none where the criterion does not apply.
fn asked(row: &Row, limits: (f64, f64), span: &Span<'_>) -> Limits {
    let form = span.flown.words.get("form").copied().unwrap_or_default();
    let bank = span.flown.numbers.get("specified_bank").copied();
    let turns = matches!(span.flown.direction, Some("left" | "right"))
        || span.flown.numbers.contains_key("turn_deg");
    match row.criterion {
        "heading" if turns => None,
        // Of stalls: about the bank that was asked for, and only in a turn (20° at most stands beside it).
        "bank" if span.flown.kind.ends_with("stall") => {
            bank.map(|bank| (bank + limits.0, bank + limits.1))
        }
        // PA.IV.F and CA.IV.F halve it, PA.IV.D and CA.IV.D ask for none, PA.IV.M is as a normal one.
        "touchdown_point" if form == "short_field" => Some((limits.0, 0.5 * limits.1)),
        "touchdown_point" if form == "soft_field" => None,
        // A slip spoils what the airspeed indicator shows: PA.IV.M has no speed.
        "approach_airspeed" if form == "forward_slip" => None,
        _ => Some(limits),
    }
}

fn judged(row: &Row, (low, high): (f64, f64), span: &Span<'_>) -> Option<Value> {
    let value = value(row, (low, high), span)?;
    let margin = (value - low).min(high - value);
    let unit = match row.what {
        What::Altitude | What::Lowest | What::EntryHeight | What::Point => "ft",
        What::Airspeed | What::Obstacle => "kt",
        What::Bank | What::MostBank | What::Heading | What::RollOut => "deg",
    };
    let limit = if high.is_finite() {
        format!("{low} to {high}")
    } else {
        format!(">={low}")
    };
    Some(json!({
        "verdict": if margin >= 0.0 { "pass" } else { "fail" },
        "value": super::tidy(value), "limit": limit, "margin": super::tidy(margin), "unit": unit, "source": row.source,
    }))
}

/// What is held against the limits: of a band the end that is worse.
fn value(row: &Row, limits: (f64, f64), span: &Span<'_>) -> Option<f64> {
    let entry = span.entry.seen;
    let part = part(row.part, span);
    let banded = |of: &dyn Fn(&Sample) -> f64| {
        let band = Band::of(&series(part, of))?;
        let middle = if limits.1.is_finite() {
            0.5 * (limits.0 + limits.1)
        } else {
            limits.1
        };
        Some(band.worst(middle))
    };
    let asked = span.asked_kt();
    let height = span.flown.numbers.get("pattern_altitude_agl").copied();
    match row.what {
        What::Altitude if row.part == Part::HalfWays => {
            half_ways(span, |s| (s.seen.height - entry.height) / M_PER_FT)
        }
        What::Airspeed if row.part == Part::HalfWays => {
            half_ways(span, |s| (s.seen.ias - entry.ias) / MPS_PER_KT)
        }
        What::RollOut if row.part == Part::HalfWays => {
            // Half way it flies back the way that it came.
            half_ways(span, |s| {
                let half = s.seen.t < span.flown.end_s - 1.0;
                let owed = if half { PI } else { 0.0 };
                wrap_pi(s.seen.heading - entry.heading - owed).to_degrees()
            })
        }
        What::Altitude => {
            let from = height.map_or(entry.height, |ft| ft * M_PER_FT);
            banded(&|s| (s.seen.height - from) / M_PER_FT)
        }
        What::Airspeed => banded(&|s| s.seen.ias / MPS_PER_KT - asked),
        What::Bank => banded(&|s| s.seen.bank.to_degrees().abs()),
        What::MostBank => {
            let bank = series(part, |s| s.seen.bank.to_degrees().abs());
            Band::of(&bank).map(|band| band.high)
        }
        What::Heading => banded(&|s| wrap_pi(s.seen.heading - entry.heading).to_degrees()),
        What::RollOut => rolled_out(span),
        What::Lowest => {
            let agl = series(part, |s| s.seen.agl / M_PER_FT);
            agl.into_iter().reduce(f64::min)
        }
        What::EntryHeight => Some(entry.agl / M_PER_FT),
        What::Obstacle => {
            let at_s = span.at("obstacle_height")?;
            let at = span.part(at_s, at_s + 0.2).first()?;
            Some((at.seen.ias - span.flown.asked.get("obstacle_ias")?) / MPS_PER_KT)
        }
        What::Point => {
            let numbers = &span.flown.numbers;
            Some(numbers.get("touchdown_distance_ft")? - numbers.get("point_ft")?)
        }
    }
}

/// The worse of the two ends of a lazy eight's halves.
fn half_ways(span: &Span<'_>, of: impl Fn(&Sample) -> f64) -> Option<f64> {
    let at = |moment: &str| {
        let at_s = span.at(moment)?;
        span.part(at_s - 0.06, at_s + 0.06).first()
    };
    let ends = [at("point_180")?, at("point_360")?].map(of);
    Some(if ends[0].abs() > ends[1].abs() {
        ends[0]
    } else {
        ends[1]
    })
}

/// How far past its heading a turn was rolled out, by the way it turned.
fn rolled_out(span: &Span<'_>) -> Option<f64> {
    let turned = span.turned_deg().last().copied()?;
    let side = turned.signum();
    let owed = match span.flown.kind {
        "steep_turn" => 360.0,
        "chandelle" => 180.0,
        _ => {
            let target = span.flown.numbers.get("target_heading")?.to_radians();
            let last = span.samples.last()?.seen.heading;
            return Some(side * wrap_pi(last - target).to_degrees());
        }
    };
    Some(turned.abs() - owed)
}

fn part<'s>(part: Part, span: &Span<'s>) -> &'s [Sample] {
    let (start, end) = (span.flown.start_s, span.flown.end_s);
    match part {
        Part::Whole | Part::HalfWays => span.samples,
        Part::Between(from, to) => {
            let to = span.at(to).or_else(|| span.stall_s()).unwrap_or(end);
            span.part(span.at(from).unwrap_or(start), to)
        }
        Part::Reached(to) => {
            let first = span.at("lift_off").unwrap_or(start);
            let asked = span.asked_kt();
            let near = |s: &&Sample| (s.seen.ias / MPS_PER_KT - asked).abs() < REACHED_KT;
            let by = first + BY_THEN_S.min(0.5 * (end - first));
            let from = span.part(first, by).iter().find(near);
            let from = from.map_or(by, |s| s.seen.t);
            span.part(from, span.at(to).unwrap_or(end))
        }
        Part::Turn => {
            let turned = span.turned_deg();
            let begun = turned.iter().position(|deg| deg.abs() > 30.0);
            let from = begun
                .and_then(|at| span.samples.get(at))
                .map_or(end, |s| s.seen.t);
            span.part(from, span.at("roll_out_start").unwrap_or(end))
        }
        Part::BeforeStall => span.part(start, span.stall_s().unwrap_or(end)),
        Part::Final => {
            let last = span.at("touchdown").unwrap_or(end);
            let from = span.at("final").unwrap_or(start);
            let final_leg = span.part(from, last);
            let low = |ft: f64| final_leg.partition_point(|s| s.seen.agl > ft * M_PER_FT);
            // The flare begins below 25 ft.
            final_leg.get(low(500.0)..low(30.0)).unwrap_or_default()
        }
        Part::AtHeight => {
            let asked = span.flown.numbers.get("pattern_altitude_agl").copied();
            let near = |s: &&Sample| {
                (s.seen.agl / M_PER_FT - asked.unwrap_or(f64::NAN)).abs() < REACHED_FT
            };
            let from = span.samples.iter().find(near).map_or(end, |s| s.seen.t);
            span.part(from, end)
        }
    }
}
