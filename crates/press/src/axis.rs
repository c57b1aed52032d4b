//! The time axis that ribbons, traces and events share.
//!
//! A stall is ten seconds inside a minute and a half: the axis may be cut into at most three pieces, each linear,
//! with a gap at each seam, so that the pull and the recovery get most of the width.

use crate::words::Watch;
use debrief::ManeuverDebrief;

/// Gap at a seam, px.
const SEAM: f64 = 6.0;
/// A piece shorter than this joins its neighbor, s: there would be nothing to see in it.
const SHORTEST_S: f64 = 4.0;

/// A stretch of time drawn to one scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// From, s.
    pub t0: f64,
    /// To, s.
    pub t1: f64,
    /// Left, px.
    pub x0: f64,
    /// Right, px.
    pub x1: f64,
}

impl Piece {
    fn x(&self, t: f64) -> f64 {
        self.x0 + (t - self.t0) / (self.t1 - self.t0).max(1e-6) * (self.x1 - self.x0)
    }
}

/// Time in s to x in px.
#[derive(Clone, Debug, PartialEq)]
pub struct TimeAxis {
    /// Pieces in order.
    pub pieces: Vec<Piece>,
}

impl TimeAxis {
    /// One linear piece.
    #[must_use]
    pub fn linear(t0: f64, t1: f64, x0: f64, x1: f64) -> Self {
        let (t0, t1) = if t0.is_finite() && t1.is_finite() {
            (t0, t1.max(t0 + 1.0))
        } else {
            (0.0, 1.0)
        };
        Self {
            pieces: vec![Piece { t0, t1, x0, x1 }],
        }
    }

    /// The axis of a maneuver: stretched around a stall, else linear.
    #[must_use]
    pub fn for_maneuver(maneuver: &ManeuverDebrief, x0: f64, x1: f64) -> Self {
        let (start, end) = (maneuver.start_s, maneuver.end_s);
        let Some((from, to)) = focus(maneuver) else {
            return Self::linear(start, end, x0, x1);
        };
        let from = if from - start < SHORTEST_S {
            start
        } else {
            from
        };
        let to = if end - to < SHORTEST_S { end } else { to };
        let (before, during, after) = (from - start, to - from, end - to);
        // Stretching pays only where the outer parts would take a good share of the width.
        if during <= 0.0 || before + after < 0.6 * during {
            return Self::linear(start, end, x0, x1);
        }
        let share = |seconds: f64, most: f64| {
            if seconds <= 0.0 {
                0.0
            } else {
                (seconds / (end - start)).min(most)
            }
        };
        let (left, right) = (share(before, 0.26), share(after, 0.16));
        let seams = SEAM * (f64::from(u8::from(left > 0.0)) + f64::from(u8::from(right > 0.0)));
        let room = x1 - x0 - seams;
        let mut pieces = Vec::with_capacity(3);
        let mut x = x0;
        for (t0, t1, width) in [
            (start, from, left * room),
            (from, to, (1.0 - left - right) * room),
            (to, end, right * room),
        ] {
            if t1 > t0 && width > 0.0 {
                pieces.push(Piece {
                    t0,
                    t1,
                    x0: x,
                    x1: x + width,
                });
                x += width + SEAM;
            }
        }
        Self { pieces }
    }

    /// First instant, s.
    #[must_use]
    pub fn start(&self) -> f64 {
        self.pieces.first().map_or(0.0, |piece| piece.t0)
    }

    /// Last instant, s.
    #[must_use]
    pub fn end(&self) -> f64 {
        self.pieces.last().map_or(0.0, |piece| piece.t1)
    }

    /// Where a time is drawn; `None` outside the axis.
    #[must_use]
    pub fn x(&self, t: f64) -> Option<f64> {
        self.pieces
            .iter()
            .find(|piece| t >= piece.t0 && t <= piece.t1)
            .map(|piece| piece.x(t))
    }

    /// Where a time is drawn, moved to the nearer end if outside.
    #[must_use]
    pub fn clamped(&self, t: f64) -> f64 {
        let t = if t.is_nan() {
            self.start()
        } else {
            t.clamp(self.start(), self.end())
        };
        self.x(t)
            .unwrap_or_else(|| self.pieces.first().map_or(0.0, |piece| piece.x0))
    }

    /// Index of the piece that shows a time: a line must break between two pieces.
    #[must_use]
    pub fn piece(&self, t: f64) -> Option<usize> {
        self.pieces
            .iter()
            .position(|piece| t >= piece.t0 && t <= piece.t1)
    }

    /// Ticks: time, x, and whether it carries a label. Labels are at least `apart` px from each other.
    #[must_use]
    pub fn ticks(&self, watch: Watch, apart: f64) -> Vec<(f64, f64)> {
        const STEPS: [f64; 15] = [
            1.0, 2.0, 4.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0,
            3600.0,
        ];
        let mut ticks: Vec<(f64, f64)> = Vec::new();
        let offset = watch.start_unix_s.unwrap_or(0.0).rem_euclid(86_400.0);
        for piece in &self.pieces {
            let scale = (piece.x1 - piece.x0) / (piece.t1 - piece.t0).max(1e-6);
            let step = STEPS
                .iter()
                .copied()
                .find(|step| step * scale >= apart)
                .unwrap_or(7200.0);
            let mut t = ((piece.t0 + offset) / step).ceil() * step - offset;
            let mut any = false;
            while t <= piece.t1 {
                let x = piece.x(t);
                if ticks.last().is_none_or(|(_, last)| x - last >= apart) {
                    ticks.push((t, x));
                    any = true;
                }
                t += step;
            }
            let middle = ((piece.t0 + piece.t1) / 2.0).round();
            let x = piece.x(middle);
            if !any
                && middle >= piece.t0
                && middle <= piece.t1
                && ticks.last().is_none_or(|(_, last)| x - last >= apart)
            {
                ticks.push((middle, x));
            }
        }
        ticks
    }
}

/// The part of a stall that deserves the width: from just before the pull to the climb.
fn focus(maneuver: &ManeuverDebrief) -> Option<(f64, f64)> {
    if !maneuver.kind.ends_with("stall") {
        return None;
    }
    let at = |name: &str| {
        maneuver
            .events
            .iter()
            .find(|event| event.name == name)
            .map(|event| event.at_s)
    };
    let anchor = at("full_stall")
        .or_else(|| at("first_cue"))
        .or_else(|| at("recovery_start"))?;
    let pull = ["pitch_up", "idle", "power_set"]
        .into_iter()
        .filter_map(at)
        .filter(|t| *t < anchor && anchor - t < 40.0)
        .fold(f64::NAN, f64::max);
    let pull = if pull.is_nan() { anchor - 15.0 } else { pull };
    let climb = at("positive_climb")
        .filter(|t| *t > anchor && t - anchor < 30.0)
        .unwrap_or(anchor + 8.0);
    let from = (pull - 2.0).max(maneuver.start_s);
    let to = (climb + 3.0).min(maneuver.end_s);
    (to > from && from.is_finite() && to.is_finite()).then_some((from, to))
}

/// Moves wanted positions apart: in order, at least `apart` from each other, inside `[low, high]` if there is room.
/// Each stays as near to its wish as a forward and a backward pass can bring it.
#[must_use]
pub fn spread(wishes: &[f64], apart: f64, low: f64, high: f64) -> Vec<f64> {
    let mut places: Vec<f64> = wishes.to_vec();
    let Some(count) = places.len().checked_sub(1) else {
        return places;
    };
    let apart = apart.min((high - low) / (count.max(1) as f64));
    // Clusters are centered on the mean of their wishes (pool-adjacent-violators on wish − i·apart).
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (index, wish) in wishes.iter().enumerate() {
        pools.push((wish - index as f64 * apart, 1));
        while let [.., (a, n), (b, m)] = pools.as_slice() {
            if a <= b {
                break;
            }
            let merged = ((a * *n as f64 + b * *m as f64) / (n + m) as f64, n + m);
            pools.truncate(pools.len() - 2);
            pools.push(merged);
        }
    }
    let mut index = 0;
    for (mean, size) in pools {
        for _ in 0..size {
            if let Some(place) = places.get_mut(index) {
                *place =
                    mean.clamp(low, (high - count as f64 * apart).max(low)) + index as f64 * apart;
            }
            index += 1;
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_spread_keeps_order_distance_and_bounds() {
        let wishes = [10.0, 10.0, 11.0, 12.0, 90.0, 99.0, 99.5];
        let places = spread(&wishes, 8.0, 0.0, 100.0);
        for pair in places.windows(2) {
            assert!(pair[1] - pair[0] >= 8.0 - 1e-9, "{places:?}");
        }
        assert!(places[0] >= 0.0 && places[6] <= 100.0 + 1e-9);
        assert_eq!(spread(&[50.0], 8.0, 0.0, 100.0), vec![50.0]);
    }

    #[test]
    fn prop_a_linear_axis_is_linear_and_ends_where_it_should() {
        let axis = TimeAxis::linear(100.0, 160.0, 10.0, 310.0);
        assert_eq!(axis.x(130.0), Some(160.0));
        assert_eq!(axis.x(99.9), None);
        assert_eq!(axis.clamped(1e9), 310.0);
        assert!(axis.clamped(f64::NAN).is_finite());
    }

    #[test]
    fn prop_tick_labels_keep_apart() {
        let axis = TimeAxis::linear(3.0, 5000.0, 0.0, 400.0);
        let ticks = axis.ticks(
            Watch {
                start_unix_s: Some(1_000.0),
            },
            44.0,
        );
        assert!(ticks.len() > 3);
        assert!(ticks.windows(2).all(|pair| pair[1].1 - pair[0].1 >= 44.0));
    }
}
