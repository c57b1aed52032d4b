//! From a flight's series to a line of ink: windows, thinning that keeps every minimum and maximum, simplifying.

use crate::axis::TimeAxis;
use crate::svg::Point;
use flight::{Flight, Series};

/// A series on the axis: unbroken runs of (x px, value), in order of time.
#[derive(Clone, Debug, Default)]
pub struct Runs {
    /// Unbroken runs.
    pub runs: Vec<Vec<Point>>,
    /// Least value and its time, s.
    pub least: Option<(f64, f64)>,
    /// Greatest value and its time, s.
    pub greatest: Option<(f64, f64)>,
}

impl Runs {
    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.runs.is_empty()
    }
}

/// A quantity over the axis, each value through `convert` (SI to what is shown). Lines break in holes of the
/// recording and at the seams of the axis.
#[must_use]
pub fn runs(
    flight: &Flight,
    series: &Series,
    axis: &TimeAxis,
    convert: impl Fn(f64) -> f64,
) -> Runs {
    let mut out = Runs::default();
    let mut run: Vec<Point> = Vec::new();
    let mut last_piece = None;
    if flight.clock.len == 0 || !flight.clock.step_s.is_normal() {
        return out;
    }
    let (first, last) = (
        flight.clock.index(axis.start()),
        flight.clock.index(axis.end()),
    );
    for index in first..=last {
        let t = flight.clock.time_s(index);
        let value = convert(series.at(index));
        let known = flight.known.get(index).copied().unwrap_or(false) && value.is_finite();
        let piece = axis.piece(t);
        if !known || piece.is_none() || piece != last_piece {
            finish(&mut out, &mut run);
        }
        last_piece = piece;
        let Some(x) = axis.x(t).filter(|_| known) else {
            continue;
        };
        run.push((x, value));
        if out.least.is_none_or(|(_, least)| value < least) {
            out.least = Some((t, value));
        }
        if out.greatest.is_none_or(|(_, greatest)| value > greatest) {
            out.greatest = Some((t, value));
        }
    }
    finish(&mut out, &mut run);
    out
}

fn finish(out: &mut Runs, run: &mut Vec<Point>) {
    if run.len() > 1 {
        out.runs.push(thin(run));
    }
    run.clear();
}

/// Keeps the first, least, greatest and last point of each bucket of 0.7 px, in order.
#[must_use]
pub fn thin(points: &[Point]) -> Vec<Point> {
    const BUCKET: f64 = 0.7;
    let mut out: Vec<Point> = Vec::new();
    let mut from = 0;
    while let Some((x0, _)) = points.get(from) {
        let bucket = (x0 / BUCKET).floor();
        let until = points
            .iter()
            .skip(from)
            .position(|(x, _)| (x / BUCKET).floor() != bucket)
            .map_or(points.len(), |n| from + n);
        let group = points.get(from..until).unwrap_or_default();
        let extreme = |better: fn(f64, f64) -> bool| {
            let mut best = 0;
            for (index, (_, y)) in group.iter().enumerate() {
                if group.get(best).is_some_and(|(_, held)| better(*y, *held)) {
                    best = index;
                }
            }
            best
        };
        let mut keep = [
            0,
            extreme(|a, b| a < b),
            extreme(|a, b| a > b),
            group.len().saturating_sub(1),
        ];
        keep.sort_unstable();
        let mut last = usize::MAX;
        for index in keep {
            if index != last {
                out.extend(group.get(index));
                last = index;
            }
        }
        from = until.max(from + 1);
    }
    out
}

/// Leaves out points that lie within `tolerance` px of the line between those kept.
/// Source: Douglas and Peucker, "Algorithms for the reduction of the number of points …", Cartographica 10 (1973).
#[must_use]
pub fn simplify(points: &[Point], tolerance: f64) -> Vec<Point> {
    let Some(last) = points.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut keep = vec![false; points.len()];
    let mut stack = vec![(0, last)];
    for end in [0, last] {
        if let Some(flag) = keep.get_mut(end) {
            *flag = true;
        }
    }
    while let Some((from, to)) = stack.pop() {
        let (Some(a), Some(b)) = (points.get(from), points.get(to)) else {
            continue;
        };
        let mut worst = (tolerance, None);
        for (offset, point) in points.iter().enumerate().take(to).skip(from + 1) {
            let off = distance(*point, *a, *b);
            if off > worst.0 {
                worst = (off, Some(offset));
            }
        }
        if let Some(index) = worst.1 {
            if let Some(flag) = keep.get_mut(index) {
                *flag = true;
            }
            stack.push((from, index));
            stack.push((index, to));
        }
    }
    points
        .iter()
        .zip(keep)
        .filter_map(|(point, keep)| keep.then_some(*point))
        .collect()
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = dx.hypot(dy);
    if length < 1e-9 {
        (p.0 - a.0).hypot(p.1 - a.1)
    } else {
        ((p.0 - a.0) * dy - (p.1 - a.1) * dx).abs() / length
    }
}

/// A value of a series at a time, linear between samples; `None` in a hole.
#[must_use]
pub fn at(flight: &Flight, series: &Series, t: f64) -> Option<f64> {
    let index = flight.clock.index(t);
    let value = series.at(index);
    (flight.known.get(index).copied().unwrap_or(false) && value.is_finite()).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_thinning_keeps_every_spike() {
        let mut points: Vec<Point> = (0..20_000).map(|i| (f64::from(i) * 0.02, 0.0)).collect();
        points[777].1 = 5.0;
        points[778].1 = -7.0;
        points[15_003].1 = 9.0;
        let thin = thin(&points);
        assert!(thin.len() < 1_300, "{}", thin.len());
        for spike in [5.0, -7.0, 9.0] {
            assert!(thin.iter().any(|(_, y)| *y == spike));
        }
        assert!(thin.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    }

    #[test]
    fn prop_simplified_line_stays_within_its_tolerance() {
        let points: Vec<Point> = (0..1000)
            .map(|i| (f64::from(i) * 0.4, (f64::from(i) * 0.03).sin() * 30.0))
            .collect();
        let kept = simplify(&points, 0.12);
        assert!(kept.len() < 300, "{}", kept.len());
        for (x, y) in &points {
            let pair = kept
                .windows(2)
                .find(|pair| pair[0].0 <= *x && *x <= pair[1].0)
                .unwrap();
            let share = (x - pair[0].0) / (pair[1].0 - pair[0].0).max(1e-9);
            let drawn = pair[0].1 + share * (pair[1].1 - pair[0].1);
            // Vertical distance of a steep piece is larger than the distance across it.
            assert!((drawn - y).abs() < 0.4, "{x} {y} {drawn}");
        }
    }
}
