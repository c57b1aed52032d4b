//! Angle of attack over lift.
//!
//! Below the stall lift is straight in the angle of attack, and lift over the greatest lift flaps up is
//! λ = n/u²: α = α₀ₖ + a λ + a_p s λ, with an offset for each detent and, for the slipstream, a slope that goes with
//! the share of power (any textbook; Etkin & Reid 1996, ch. 2, for the first two).

use crate::linear::Square;
use crate::model::shares;
use crate::regress::{self, Belief, Row};
use crate::samples::{PIECE_S, Piece};
use flight::{Air, Flight, Origin};

/// The line: offsets of the detents, slope, slope by power.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftLine {
    /// Belief of them in that order, rad.
    pub belief: Belief,
    /// 1-σ of a piece of four seconds, rad.
    pub noise_rad: f64,
}

impl LiftLine {
    pub(crate) fn at(&self, detents_rad: &[f64], flap_rad: f64) -> (f64, f64) {
        let offset = shares(detents_rad, flap_rad)
            .iter()
            .map(|(detent, share)| share * self.belief.mean.get(*detent).copied().unwrap_or(0.0))
            .sum();
        let slope = self
            .belief
            .mean
            .get(detents_rad.len())
            .copied()
            .unwrap_or(f64::NAN);
        (offset, slope)
    }
}

/// Least number of pieces, a minute of flight.
const LEAST: usize = 15;

/// Fits it; `None` where the flight has no angle of attack, or one that rough air makes worthless.
pub fn fit(flight: &Flight, pieces: &[Piece], detents_rad: &[f64]) -> Option<LiftLine> {
    let aoa = flight.aoa.as_ref()?;
    if aoa.origin != Origin::Measured && flight.air == Air::Rough {
        return None;
    }
    let count = detents_rad.len();
    let full = detents_rad.last().copied().unwrap_or(0.0).max(1e-6);
    // No lift at −2° or so, 0.3 rad from there to the stall (see the gust formula of the flight crate);
    // full flap turns the line by 5° (from memory).
    let offset = |angle: f64| {
        (
            -0.035 - 0.08 * angle / full,
            if angle > 0.0 { 0.04 } else { 0.03 },
        )
    };
    let mut each: Vec<(f64, f64)> = detents_rad.iter().map(|angle| offset(*angle)).collect();
    each.push((0.30, 0.05));
    each.push((0.0, 0.04));
    let mut before = Belief::independent(&each);
    // An error of the pitch's zero shifts all of them.
    let mut shared = Square::zeros(before.mean.len());
    for i in 0..count {
        for j in 0..count {
            shared.add(i, j, 0.012 * 0.012);
        }
    }
    before.cov = before.cov.plus(&shared);
    let mut last = f64::NEG_INFINITY;
    let mut rows = Vec::new();
    for piece in pieces.iter().filter(|piece| piece.aoa_rad.is_finite()) {
        let lambda = piece.load / (piece.u * piece.u);
        let mut x = vec![0.0; count + 2];
        for (at, value) in [
            (piece.detent, 1.0),
            (count, lambda),
            (count + 1, piece.share * lambda),
        ] {
            if let Some(slot) = x.get_mut(at) {
                *slot = value;
            }
        }
        rows.push(Row {
            x,
            y: piece.aoa_rad,
            relative: 1.0,
            joins: piece.at_s - last < 1.5 * PIECE_S,
        });
        last = piece.at_s;
    }
    if rows.len() < LEAST {
        return None;
    }
    let fitted = regress::fit(&rows, &before, 0.002);
    Some(LiftLine {
        belief: fitted.belief,
        noise_rad: fitted.scale,
    })
}
