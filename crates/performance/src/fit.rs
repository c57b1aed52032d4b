//! The fit itself.

use crate::carried::{Before, Carried, with_earlier};
use crate::linear::{Square, dot};
use crate::model::{Basis, DayFit, Support};
use crate::prior::{self, Scales};
use crate::regress::{self, Belief, Row};
use crate::samples::{self, PIECE_S, Piece};
use crate::{lift, speeds, stall};
use aircraft::Aircraft;
use flight::{Air, Flight};
use maneuver::Maneuver;

/// Least usable flight, s: below it the priors say more than the flight.
const LEAST_S: f64 = 60.0;
/// Smallest noise of a piece that is believed: a tenth of a degree of path.
const LEAST_NOISE: f64 = 0.002;

/// What a flight says of its aircraft. Never fails: without anything to go by it is what was believed before, wide, and the
/// support says so.
#[must_use]
pub fn fit(
    flight: &Flight,
    maneuvers: &[Maneuver],
    aircraft: &Aircraft,
    earlier: &[Carried],
) -> DayFit {
    let scales = Scales::of(aircraft);
    let file_stall = prior::stall(aircraft, &scales);
    let before = |trust: &[f64]| {
        let law = prior::law_with(aircraft, &scales, trust);
        with_earlier(law, file_stall.clone(), &scales, earlier)
    };
    let Before {
        mut law,
        stall: stall_before,
        used,
        left_out,
    } = before(&[]);

    let stalls = stall::flown(flight, maneuvers, aircraft, &scales);
    let bounds = stall::bounds(flight, aircraft, &scales);
    let stall_belief = stall::learn(&stall_before, &stalls, &bounds);

    let pieces = samples::pieces(flight, aircraft, &scales, &stall_before.mean);
    let usable_s = pieces.len() as f64 * PIECE_S;
    let time = |which: &dyn Fn(&Piece) -> bool| {
        pieces.iter().filter(|p| which(p)).count() as f64 * PIECE_S
    };
    let mut why_not = samples::why_not(flight);
    if why_not.is_none() && usable_s < LEAST_S {
        why_not = Some("too little of the flight shows flaps and power for certain");
    }
    let enough = why_not.is_none();
    let density_ratio = middle(pieces.iter().map(|piece| piece.density_ratio)).unwrap_or(1.0);
    let mut solved = enough.then(|| learn_law(flight, &pieces, &scales, &law));
    let mut trust = Vec::new();
    // A printed speed that the flight speaks against counts for less, round by round.
    for _ in 0..4 {
        let Some(now) = &solved else { break };
        trust = prior::trust(aircraft, &scales, &law, &now.belief);
        law = before(&trust).law;
        solved = Some(learn_law(flight, &pieces, &scales, &law));
    }

    let mut out = DayFit {
        vs1_cas_mps: scales.vs1_cas_mps,
        density_ratio,
        lift: if enough {
            lift::fit(flight, &pieces, &scales.detents_rad)
        } else {
            None
        },
        support: Support {
            drag: enough,
            why_not,
            usable_s,
            idle_s: time(&|p| p.detent == 0 && p.share < speeds::IDLE),
            full_s: time(&|p| p.detent == 0 && p.share > speeds::FULL),
            effective: solved.as_ref().map_or(0.0, |solved| solved.effective),
            noise: solved.as_ref().map_or(f64::NAN, |solved| solved.noise),
            stalls: stalls.iter().filter(|stall| stall.power_off).count(),
            earlier: used,
            left_out,
            words: Vec::new(),
        },
        own: solved.as_ref().map(|solved| solved.own.clone()),
        own_stall: Some(difference(&stall_belief, &stall_before)),
        law: solved.map_or_else(|| law.clone(), |solved| solved.belief),
        stall: stall_belief,
        detents_rad: scales.detents_rad.clone(),
        speeds: Vec::new(),
    };
    out.support.words = words(&out.support, flight);
    out.support.words.extend(prior::doubts(&trust));
    // What stands beside the file's best speeds must not come from them.
    let unprinted = with_earlier(
        prior::unprinted(aircraft, &scales),
        file_stall.clone(),
        &scales,
        earlier,
    )
    .law;
    let mut shown = out.clone();
    shown.law = if enough {
        learn_law(flight, &pieces, &scales, &unprinted).belief
    } else {
        unprinted.clone()
    };
    out.speeds = speeds::rows(&shown, &unprinted, aircraft, &pieces, &stalls);
    out
}

struct Solved {
    belief: Belief,
    own: (Square, Vec<f64>),
    noise: f64,
    effective: f64,
}

/// Drag and thrust from the pieces. One more unknown goes along and is left out of the answer: air that rose or sank all flight long, which
/// no recording tells from thrust.
fn learn_law(flight: &Flight, pieces: &[Piece], scales: &Scales, before: &Belief) -> Solved {
    let size = before.mean.len();
    let gust = if flight.gust_mps.is_finite() {
        flight.gust_mps
    } else {
        0.7
    };
    let rising_mps = (0.3 * gust).max(0.1);
    let mut with_air = Belief {
        mean: before.mean.iter().copied().chain([0.0]).collect(),
        cov: Square::diagonal(&[vec![0.0; size], vec![rising_mps * rising_mps]].concat()),
    };
    for i in 0..size {
        for j in 0..size {
            with_air.cov.add(i, j, before.cov.at(i, j));
        }
    }
    let mut mean = with_air.mean.clone();
    let mut fitted = regress::fit(&[], &with_air, LEAST_NOISE);
    // What bends over the share of power is a share of the thrust itself: taken from the round before.
    for _ in 0..3 {
        let rows = rows(pieces, scales, &mean);
        fitted = regress::fit(&rows, &with_air, LEAST_NOISE);
        mean.clone_from(&fitted.belief.mean);
    }
    let mut cov = Square::zeros(size);
    for i in 0..size {
        for j in 0..size {
            cov.add(i, j, fitted.belief.cov.at(i, j));
        }
    }
    mean.truncate(size);
    Solved {
        belief: Belief { mean, cov },
        own: without_last(&fitted.precision, &fitted.information, rising_mps),
        noise: fitted.scale,
        effective: fitted.effective,
    }
}

fn rows(pieces: &[Piece], scales: &Scales, mean: &[f64]) -> Vec<Row> {
    let mut last = f64::NEG_INFINITY;
    pieces
        .iter()
        .map(|piece| {
            let plain = Basis {
                detents_rad: &scales.detents_rad,
                bent: 0.0,
            };
            let thrust = |share: f64| {
                dot(
                    &plain.thrust(piece.u, share, false, piece.density_ratio),
                    mean,
                )
            };
            let basis = Basis {
                bent: (thrust(1.0) - thrust(0.0)).max(0.0),
                ..plain
            };
            let mut x = basis.row(
                piece.u,
                piece.load,
                piece.flap_rad,
                piece.share,
                true,
                piece.density_ratio,
            );
            x.push(1.0 / piece.tas_mps);
            let joins = piece.at_s - last < 1.5 * PIECE_S;
            last = piece.at_s;
            Row {
                x,
                y: piece.excess,
                // An error of recorded power is an error of thrust, and there is none at the stops; and the drag of a wing near its greatest lift is no
                // parabola: flow begins to part, and the tail holds more.
                relative: 1.0
                    + 6.0 * piece.share * (1.0 - piece.share) * 0.5
                    + 6.0 * (piece.lift_ratio - 0.6).max(0.0),
                joins,
            }
        })
        .collect()
}

/// Precision and information of all but the last unknown, of which only its prior σ is known.
fn without_last(precision: &Square, information: &[f64], sigma: f64) -> (Square, Vec<f64>) {
    let size = precision.size().saturating_sub(1);
    let own = precision.at(size, size) + 1.0 / (sigma * sigma);
    let last = information.get(size).copied().unwrap_or(0.0);
    let mut out = Square::zeros(size);
    for i in 0..size {
        for j in 0..size {
            out.add(
                i,
                j,
                precision.at(i, j) - precision.at(i, size) * precision.at(size, j) / own,
            );
        }
    }
    let vector = information
        .iter()
        .take(size)
        .enumerate()
        .map(|(i, value)| value - precision.at(i, size) * last / own)
        .collect();
    (out, vector)
}

/// What was learned between two beliefs, as precision and information.
fn difference(after: &Belief, before: &Belief) -> (Square, Vec<f64>) {
    let (now, then) = (after.cov.inverse(), before.cov.inverse());
    let vector = now
        .times(&after.mean)
        .iter()
        .zip(then.times(&before.mean))
        .map(|(a, b)| a - b)
        .collect();
    (now.less(&then), vector)
}

fn middle(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut all: Vec<f64> = values.filter(|value| value.is_finite()).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied()
}

fn words(support: &Support, flight: &Flight) -> Vec<String> {
    let mut out = Vec::new();
    match support.why_not {
        Some(why) => out.push(format!("The data do not support a fit of drag and thrust: {why}.")),
        None => out.push(format!(
            "From {:.0} s of steady enough flight, {:.0} s of it with the throttle closed and {:.0} s at full power, flaps up.",
            support.usable_s, support.idle_s, support.full_s
        )),
    }
    match support.stalls {
        0 => out.push("No power-off stall went past the break: stall speeds are the aircraft file's, bounded by the slowest flight.".to_owned()),
        1 => out.push("Stall speeds from one power-off stall.".to_owned()),
        count => out.push(format!("Stall speeds from {count} power-off stalls.")),
    }
    if support.drag && flight.air == Air::Rough {
        out.push("The air was rough, which rising and sinking air makes wide.".to_owned());
    }
    if support.left_out > 0 {
        let count = counted(support.left_out);
        out.push(format!(
            "Left out: {count} that an aircraft file with another stall speed or other flap settings was used for."
        ));
    }
    out
}

/// `one earlier flight`, `3 earlier flights`.
pub(crate) fn counted(flights: usize) -> String {
    match flights {
        1 => "one earlier flight".to_owned(),
        count => format!("{count} earlier flights"),
    }
}
