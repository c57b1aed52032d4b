//! Small least squares: normal equations of a few unknowns, and what the answer is known to.

/// Normal equations of `N` unknowns.
#[derive(Clone, Debug)]
pub struct Normal<const N: usize> {
    matrix: [[f64; N]; N],
    right: [f64; N],
}

impl<const N: usize> Default for Normal<N> {
    fn default() -> Self {
        Normal {
            matrix: [[0.0; N]; N],
            right: [0.0; N],
        }
    }
}

impl<const N: usize> Normal<N> {
    /// Adds an observation: `row · unknowns = value`, known to 1/√`weight`.
    pub fn add(&mut self, row: [f64; N], value: f64, weight: f64) {
        for (a, (line, right)) in row
            .iter()
            .zip(self.matrix.iter_mut().zip(self.right.iter_mut()))
        {
            for (b, cell) in row.iter().zip(line.iter_mut()) {
                *cell += weight * a * b;
            }
            *right += weight * a * value;
        }
    }

    /// The unknowns and their variances where the weights are inverse variances; `None` when the observations do
    /// not tell them.
    #[must_use]
    pub fn solved(&self) -> Option<([f64; N], [f64; N])> {
        let answer = eliminated(self.matrix, self.right)?;
        let mut variance = [0.0; N];
        for (place, out) in variance.iter_mut().enumerate() {
            let mut unit = [0.0; N];
            if let Some(one) = unit.get_mut(place) {
                *one = 1.0;
            }
            *out = eliminated(self.matrix, unit)?
                .get(place)
                .copied()
                .unwrap_or(f64::NAN);
        }
        Some((answer, variance))
    }
}

/// Gauss's elimination with the largest pivot of each column.
#[allow(clippy::needless_range_loop)] // rows and columns of one array at once
fn eliminated<const N: usize>(mut m: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    for column in 0..N {
        let pivot =
            (column..N).max_by(|i, j| m[*i][column].abs().total_cmp(&m[*j][column].abs()))?;
        let largest = m[pivot][column];
        if !largest.is_finite() || largest.abs() < 1e-12 {
            return None;
        }
        m.swap(column, pivot);
        b.swap(column, pivot);
        for row in column + 1..N {
            let share = m[row][column] / m[column][column];
            for k in column..N {
                m[row][k] -= share * m[column][k];
            }
            b[row] -= share * b[column];
        }
    }
    for row in (0..N).rev() {
        for k in row + 1..N {
            b[row] -= m[row][k] * b[k];
        }
        b[row] /= m[row][row];
    }
    b.iter().all(|value| value.is_finite()).then_some(b)
}

#[cfg(test)]
mod tests {
    use super::Normal;

    /// A straight line through three points, by hand: y = 1 + 2x; variance of the mean of three is a third.
    #[test]
    fn val_a_line_by_hand() {
        let mut normal = Normal::<2>::default();
        for x in [-1.0, 0.0, 1.0] {
            normal.add([1.0, x], 1.0 + 2.0 * x, 1.0);
        }
        let (answer, variance) = normal.solved().unwrap_or(([0.0; 2], [0.0; 2]));
        assert!((answer[0] - 1.0).abs() < 1e-12 && (answer[1] - 2.0).abs() < 1e-12);
        assert!((variance[0] - 1.0 / 3.0).abs() < 1e-12 && (variance[1] - 0.5).abs() < 1e-12);
        assert!(Normal::<2>::default().solved().is_none());
    }
}
