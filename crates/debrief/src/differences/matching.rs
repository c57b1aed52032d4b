//! Which maneuver of one debrief is which of another.

use crate::document::{Debrief, ManeuverDebrief};

/// Share of the shorter that two must have in common to be the same.
const SAME: f64 = 0.5;

/// Pairs of places in `old` and `new`: maneuvers of the same kind with the greatest overlap first, then those
/// of another kind that lie in the same place; what is left stands alone. In order of time.
#[must_use]
pub fn matched(old: &Debrief, new: &Debrief) -> Vec<(Option<usize>, Option<usize>)> {
    let mut pairs: Vec<(usize, usize, bool, f64)> = Vec::new();
    for (at, was) in old.maneuvers.iter().enumerate() {
        for (to, is) in new.maneuvers.iter().enumerate() {
            if let Some(share) = share(was, is) {
                pairs.push((at, to, was.kind == is.kind, share));
            }
        }
    }
    pairs.sort_by(|a, b| b.2.cmp(&a.2).then(b.3.total_cmp(&a.3)));
    let mut mate_of_old: Vec<Option<usize>> = vec![None; old.maneuvers.len()];
    let mut mate_of_new: Vec<Option<usize>> = vec![None; new.maneuvers.len()];
    for (at, to, _, _) in pairs {
        if let (Some(mate @ None), Some(other @ None)) =
            (mate_of_old.get_mut(at), mate_of_new.get_mut(to))
        {
            (*mate, *other) = (Some(to), Some(at));
        }
    }
    let gone = mate_of_old
        .iter()
        .enumerate()
        .filter(|(_, mate)| mate.is_none())
        .map(|(at, _)| (Some(at), None));
    let here = mate_of_new
        .iter()
        .enumerate()
        .map(|(to, mate)| (*mate, Some(to)));
    let mut all: Vec<(Option<usize>, Option<usize>)> = here.chain(gone).collect();
    let start_s = |pair: &(Option<usize>, Option<usize>)| {
        let is = pair.1.and_then(|to| new.maneuvers.get(to));
        let was = pair.0.and_then(|at| old.maneuvers.get(at));
        is.or(was).map_or(f64::INFINITY, |one| one.start_s)
    };
    all.sort_by(|a, b| start_s(a).total_cmp(&start_s(b)));
    all
}

/// Common time as a share of the whole, when it is at least half of the shorter.
fn share(was: &ManeuverDebrief, is: &ManeuverDebrief) -> Option<f64> {
    let common = was.end_s.min(is.end_s) - was.start_s.max(is.start_s);
    let shorter = (was.end_s - was.start_s).min(is.end_s - is.start_s);
    let whole = was.end_s.max(is.end_s) - was.start_s.min(is.start_s);
    (common > 0.0 && common >= SAME * shorter && whole > 0.0).then(|| common / whole)
}
