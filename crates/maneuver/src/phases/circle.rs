//! The circle that a path over the ground goes around: its center, and how the distance from it varied.
//!
//! Kåsa's algebraic fit for the start (I. Kåsa, "A circle fitting procedure and its error analysis", IEEE
//! Trans. Instrum. Meas. 25, 1976), then Gauss–Newton on the distances themselves (W. Gander, G. H. Golub,
//! R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34, 1994).

/// A fitted circle, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Center, east.
    pub east_m: f64,
    /// Center, north.
    pub north_m: f64,
    /// Mean distance.
    pub radius_m: f64,
    /// Root mean square of what is left.
    pub rms_m: f64,
}

/// Fits a circle to points; `None` with fewer than six, on a straight line, or when it does not settle.
#[must_use]
pub fn fit(points: &[(f64, f64)]) -> Option<Circle> {
    let points: Vec<(f64, f64)> = points
        .iter()
        .copied()
        .filter(|(east, north)| east.is_finite() && north.is_finite())
        .collect();
    if points.len() < 6 {
        return None;
    }
    let mut circle = algebraic(&points)?;
    for _ in 0..30 {
        let (next, step) = improved(&points, circle)?;
        circle = next;
        if step < 1e-3 {
            break;
        }
    }
    let sum: f64 = points
        .iter()
        .map(|point| (distance(*point, circle) - circle.radius_m).powi(2))
        .sum();
    circle.rms_m = (sum / points.len() as f64).sqrt();
    (circle.radius_m.is_finite() && circle.radius_m < 20_000.0).then_some(circle)
}

/// Distance of a point from the center, m.
#[must_use]
pub fn distance(point: (f64, f64), circle: Circle) -> f64 {
    (point.0 - circle.east_m).hypot(point.1 - circle.north_m)
}

fn algebraic(points: &[(f64, f64)]) -> Option<Circle> {
    let count = points.len() as f64;
    let mean = |value: fn(&(f64, f64)) -> f64| points.iter().map(value).sum::<f64>() / count;
    let (east0, north0) = (mean(|p| p.0), mean(|p| p.1));
    let mut sums = [0.0_f64; 5];
    let mut right = [0.0_f64; 2];
    for (east, north) in points {
        let (x, y) = (east - east0, north - north0);
        let square = x * x + y * y;
        sums[0] += x * x;
        sums[1] += x * y;
        sums[2] += y * y;
        sums[3] += square;
        right[0] += x * square;
        right[1] += y * square;
    }
    let determinant = sums[0] * sums[2] - sums[1] * sums[1];
    // All on a line: the smaller spread is nothing beside the larger.
    if determinant <= 1e-6 * sums[3] * sums[3] {
        return None;
    }
    let x = 0.5 * (right[0] * sums[2] - right[1] * sums[1]) / determinant;
    let y = 0.5 * (right[1] * sums[0] - right[0] * sums[1]) / determinant;
    Some(Circle {
        east_m: east0 + x,
        north_m: north0 + y,
        radius_m: (sums[3] / count + x * x + y * y).sqrt(),
        rms_m: f64::NAN,
    })
}

/// One step of Gauss–Newton; the center moves by at most half a radius.
fn improved(points: &[(f64, f64)], circle: Circle) -> Option<(Circle, f64)> {
    let mut normal = [[0.0_f64; 3]; 3];
    let mut right = [0.0_f64; 3];
    for point in points {
        let far = distance(*point, circle);
        if far < 1e-6 {
            continue;
        }
        let row = [
            (circle.east_m - point.0) / far,
            (circle.north_m - point.1) / far,
            -1.0,
        ];
        let left = circle.radius_m - far;
        for (i, a) in row.iter().enumerate() {
            for (j, b) in row.iter().enumerate() {
                normal[i][j] += a * b;
            }
            right[i] += a * left;
        }
    }
    let step = solve(normal, right)?;
    let length = step[0].hypot(step[1]);
    let share = if length > 0.5 * circle.radius_m {
        0.5 * circle.radius_m / length
    } else {
        1.0
    };
    let next = Circle {
        east_m: circle.east_m + share * step[0],
        north_m: circle.north_m + share * step[1],
        radius_m: circle.radius_m + share * step[2],
        rms_m: f64::NAN,
    };
    Some((next, share * length.max(step[2].abs())))
}

/// Cramer's rule; `None` where it cannot be solved.
fn solve(m: [[f64; 3]; 3], b: [f64; 3]) -> Option<[f64; 3]> {
    let determinant = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = determinant(m);
    let scale = m[0][0] * m[1][1] * m[2][2];
    if whole.is_nan() || whole.abs() <= 1e-12 * scale.abs() {
        return None;
    }
    let mut result = [0.0; 3];
    for (column, out) in result.iter_mut().enumerate() {
        let mut replaced = m;
        for (row, value) in b.iter().enumerate() {
            replaced[row][column] = *value;
        }
        *out = determinant(replaced) / whole;
    }
    Some(result)
}

#[cfg(test)]
mod tests {
    use super::{Circle, distance, fit};

    fn arc(circle: (f64, f64, f64), degrees: std::ops::Range<i32>) -> Vec<(f64, f64)> {
        degrees
            .step_by(5)
            .map(|angle| {
                let (sin, cos) = f64::from(angle).to_radians().sin_cos();
                (circle.0 + circle.2 * sin, circle.1 + circle.2 * cos)
            })
            .collect()
    }

    #[test]
    fn prop_points_of_a_circle_give_it_back() {
        for degrees in [0..360, 30..140, 10..700] {
            let found = fit(&arc((1200.0, -340.0, 410.0), degrees)).unwrap_or(Circle {
                east_m: 0.0,
                north_m: 0.0,
                radius_m: 0.0,
                rms_m: 0.0,
            });
            assert!((found.east_m - 1200.0).abs() < 1e-3, "{found:?}");
            assert!((found.north_m + 340.0).abs() < 1e-3, "{found:?}");
            assert!((found.radius_m - 410.0).abs() < 1e-3, "{found:?}");
            assert!(found.rms_m < 1e-6);
        }
    }

    /// Gander, Golub, Strebel (1994), example 2.1, from memory: six points, geometric fit center (4.7398,
    /// 2.9835), radius 4.7142.
    #[test]
    fn val_published_example() {
        let points = [
            (1.0, 7.0),
            (2.0, 6.0),
            (5.0, 8.0),
            (7.0, 7.0),
            (9.0, 5.0),
            (3.0, 7.0),
        ];
        let found = fit(&points);
        assert!(found.is_some());
        if let Some(found) = found {
            assert!((found.east_m - 4.7398).abs() < 2e-3, "{found:?}");
            assert!((found.north_m - 2.9835).abs() < 2e-3, "{found:?}");
            assert!((found.radius_m - 4.7142).abs() < 2e-3, "{found:?}");
            let sum: f64 = points
                .iter()
                .map(|point| (distance(*point, found) - found.radius_m).powi(2))
                .sum();
            assert!((sum.sqrt() - 1.1080).abs() < 2e-3, "{sum}");
        }
    }

    #[test]
    fn prop_a_line_is_no_circle() {
        let line: Vec<(f64, f64)> = (0..50)
            .map(|i| (f64::from(i), 2.0 * f64::from(i)))
            .collect();
        assert_eq!(fit(&line), None);
        assert_eq!(fit(&[(0.0, 0.0)]), None);
    }
}
