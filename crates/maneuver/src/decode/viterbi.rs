//! The dynamic program.

use super::Candidate;
use crate::kinds;

/// Neighbors may overlap this much: boundaries are no sharper, and the overlap is shared out afterwards.
const SLACK_S: f64 = 3.0;
/// Nothing is shorter than the slack and a moment, s.
const SHORTEST_S: f64 = SLACK_S + 1.0;
/// Context reaches back this far, s.
const CONTEXT_S: f64 = 90.0;

/// The best set of segments in order of time. Segments that score 0 or less never help and are dropped.
#[must_use]
pub fn best(mut proposals: Vec<Candidate>) -> Vec<Candidate> {
    proposals.retain(|c| {
        c.score > 0.0
            && c.score.is_finite()
            && c.start_s.is_finite()
            && c.end_s > c.start_s + SHORTEST_S
    });
    proposals.sort_by(|a, b| {
        a.end_s
            .total_cmp(&b.end_s)
            .then(a.start_s.total_cmp(&b.start_s))
    });
    let n = proposals.len();
    // Best total of any set ending with i, and who comes before it.
    let mut total = vec![0.0_f64; n];
    let mut before: Vec<Option<usize>> = vec![None; n];
    // Best of the first i, whatever it ends with.
    let mut prefix: Vec<(f64, Option<usize>)> = vec![(0.0, None)];
    for i in 0..n {
        let this = proposals[i];
        let fits = proposals[..i].partition_point(|c| c.end_s <= this.start_s + SLACK_S);
        let (mut top, mut link) = prefix[fits];
        for j in (0..fits).rev() {
            let gap = this.start_s - proposals[j].end_s;
            if gap > CONTEXT_S {
                break;
            }
            let with = total[j] + kinds::context(&proposals[j], &this, gap);
            if with > top {
                (top, link) = (with, Some(j));
            }
        }
        total[i] = top + this.score;
        before[i] = link;
        let last = prefix[i];
        prefix.push(if total[i] > last.0 {
            (total[i], Some(i))
        } else {
            last
        });
    }
    let mut chain = Vec::new();
    let mut at = prefix[n].1;
    while let Some(i) = at {
        chain.push(proposals[i]);
        at = before[i];
    }
    chain.reverse();
    share_overlaps(&mut chain);
    chain
}

/// Where two neighbors overlap by less than the slack, the middle of the overlap parts them.
fn share_overlaps(chain: &mut [Candidate]) {
    for i in 1..chain.len() {
        let (a, b) = (chain[i - 1].end_s, chain[i].start_s);
        if b < a {
            let middle = 0.5 * (a + b);
            chain[i - 1].end_s = middle;
            chain[i].start_s = middle;
        }
    }
}
