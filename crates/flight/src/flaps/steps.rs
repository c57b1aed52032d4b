//! From chances to flap positions and steps.

use crate::{FlapStep, Flaps, Flight, Origin, Series, Sigma};

use super::bins::Bins;
use super::em::Solution;

/// Half the window that one step may be spread over, bins.
const WINDOW: usize = 4;
/// Steps less likely than this are left out.
const LEAST: f64 = 0.5;
/// A step out and back within this time is hard maneuvering, not flaps, s.
const BACK_WITHIN_S: f64 = 6.0;

/// So long after a stall the first retraction cannot be dated: it happens while lift, drag and their
/// measurement are all disturbed, and comes out late. (Of 28 such steps a prototype found 4 in time.)
const BLIND_S: f64 = 9.0;
/// What is left of the chance of such a step, and the 1-σ that its time gets, s.
const BLIND: f64 = 0.75;
const BLIND_SIGMA_S: f64 = 4.0;

/// Flaps are said to be out in rough air from this chance on.
const CERTAIN: f32 = 0.95;

/// Where nothing, or next to nothing, is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Quiet {
    /// Everything is said.
    No,
    /// Only that the flaps are out for certain.
    Rough,
    /// Nothing.
    Ground,
}

/// One movement over one boundary between detents.
#[derive(Clone, Copy, Debug)]
struct Move {
    at: f64,
    sigma: f64,
    chance: f64,
    boundary: usize,
    down: bool,
}

/// Positions and steps of a solution.
pub(super) fn publish(
    flight: &Flight,
    bins: &Bins,
    solution: &Solution,
    angles_rad: &[f64],
    quiet: &[Quiet],
) -> Flaps {
    let detents = angles_rad.len();
    let len = flight.clock.len;
    let mut angle = vec![f64::NAN; len];
    let mut sigma = vec![f32::NAN; len];
    let mut out = vec![f32::NAN; len];
    for (t, quiet) in quiet.iter().enumerate() {
        let near = &solution.posterior.near[t * detents..(t + 1) * detents];
        let out_here = (1.0_f32 - near[0]).clamp(0.0, 1.0);
        match quiet {
            Quiet::Ground => continue,
            Quiet::Rough if out_here < CERTAIN => continue,
            _ => {}
        }
        let best = (0..detents)
            .max_by(|a, b| near[*a].total_cmp(&near[*b]))
            .unwrap_or(0);
        let spread: f64 = near
            .iter()
            .zip(angles_rad)
            .map(|(p, a)| f64::from(*p) * (a - angles_rad[best]).powi(2))
            .sum();
        let last = if t + 1 == bins.len() {
            len
        } else {
            (t + 1) * bins.per_bin
        };
        for i in t * bins.per_bin..last.min(len) {
            angle[i] = angles_rad[best];
            sigma[i] = spread.sqrt() as f32;
            out[i] = out_here;
        }
    }
    let steps = steps(bins, solution, angles_rad, quiet);
    Flaps {
        angle: Series {
            values: angle,
            sigma: Sigma::Each(sigma),
            origin: Origin::Derived,
        },
        out,
        steps,
    }
}

fn steps(bins: &Bins, solution: &Solution, angles_rad: &[f64], quiet: &[Quiet]) -> Vec<FlapStep> {
    let boundaries = angles_rad.len() - 1;
    let mut moves = Vec::new();
    for boundary in 0..boundaries {
        for down in [true, false] {
            let parts = if down {
                &solution.posterior.down
            } else {
                &solution.posterior.up
            };
            let part =
                |t: usize, passing: usize| f64::from(parts[passing][t * boundaries + boundary]);
            let mass: Vec<f64> = (0..bins.len()).map(|t| part(t, 0) + part(t, 1)).collect();
            for (at, sigma, chance) in clusters(mass) {
                moves.push(Move {
                    at,
                    sigma,
                    chance,
                    boundary,
                    down,
                });
            }
        }
    }
    moves.retain(|m| quiet.get(m.at.round() as usize) == Some(&Quiet::No));
    moves.sort_by(|a, b| a.at.total_cmp(&b.at));
    let mut before = f64::MIN;
    for m in &mut moves {
        let first = m.at - before > BLIND_S / bins.bin_s;
        before = m.at;
        if first && !m.down && disturbed(bins, m.at) {
            m.chance *= BLIND;
            m.sigma = m.sigma.hypot(BLIND_SIGMA_S / bins.bin_s);
        }
    }
    without_returns(&mut moves, BACK_WITHIN_S / bins.bin_s);
    dated(&moves, angles_rad, bins)
}

/// Whether the wing was stalled, or as good as, shortly before.
fn disturbed(bins: &Bins, at: f64) -> bool {
    let to = (at.round() as usize + 1).min(bins.len());
    let from = to.saturating_sub((BLIND_S / bins.bin_s) as usize);
    (from..to).any(|t| !bins.ground[t] && (bins.lift[t] > 1.0 || bins.speed[t] < 0.85))
}

/// Heaps of chance: mean, 1-σ, mass.
fn clusters(mut mass: Vec<f64>) -> Vec<(f64, f64, f64)> {
    let mut found = Vec::new();
    let mut heads: Vec<usize> = (0..mass.len()).filter(|&t| mass[t] > 0.03).collect();
    heads.sort_by(|a, b| mass[*b].total_cmp(&mass[*a]));
    for head in heads {
        if mass[head] <= 0.03 {
            continue;
        }
        let (from, to) = (
            head.saturating_sub(WINDOW),
            (head + WINDOW + 1).min(mass.len()),
        );
        let sum: f64 = mass[from..to].iter().sum();
        if sum >= LEAST {
            let mean = (from..to).map(|t| t as f64 * mass[t]).sum::<f64>() / sum;
            let spread = (from..to)
                .map(|t| (t as f64 - mean).powi(2) * mass[t])
                .sum::<f64>()
                / sum;
            found.push((mean, spread.sqrt(), sum.min(1.0)));
            mass[from..to].fill(0.0);
        }
    }
    found
}

/// Takes out pairs that go out and come back at once over the same boundary.
fn without_returns(moves: &mut Vec<Move>, within: f64) {
    let mut i = 0;
    while i < moves.len() {
        let one = moves[i];
        let back = (i + 1..moves.len()).find(|&j| {
            moves[j].boundary == one.boundary
                && moves[j].down != one.down
                && moves[j].at - one.at < within
        });
        if let Some(j) = back {
            moves.remove(j);
            moves.remove(i);
        } else {
            i += 1;
        }
    }
}

/// Bins turned into seconds at the lever.
fn dated(moves: &[Move], angles_rad: &[f64], bins: &Bins) -> Vec<FlapStep> {
    let mut steps: Vec<FlapStep> = Vec::new();
    for m in moves {
        let (low, high) = (angles_rad[m.boundary], angles_rad[m.boundary + 1]);
        let (from_rad, to_rad) = if m.down { (low, high) } else { (high, low) };
        // The bin found is the first with the flaps off their detent: the lever moved within it or in
        // the one before, so three quarters of a bin before its middle.
        let middle_s = m.at * bins.bin_s + 0.5 * (bins.bin_s - bins.bin_s / bins.per_bin as f64);
        let at_s = (middle_s - 0.75 * bins.bin_s).max(0.0);
        steps.push(FlapStep {
            at_s,
            sigma_s: (m.sigma * bins.bin_s).hypot(0.4),
            from_rad,
            to_rad,
            probability: m.chance,
            origin: Origin::Derived,
        });
    }
    steps
}
