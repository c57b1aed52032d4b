//! Small symmetric matrices whose size is known only when the aircraft is: Cholesky and what hangs on it.

/// A square matrix, row by row.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Square {
    size: usize,
    cells: Vec<f64>,
}

impl Square {
    /// All zeros.
    #[must_use]
    pub fn zeros(size: usize) -> Square {
        Square {
            size,
            cells: vec![0.0; size * size],
        }
    }

    /// Zeros but for the diagonal.
    #[must_use]
    pub fn diagonal(values: &[f64]) -> Square {
        let mut out = Square::zeros(values.len());
        for (i, value) in values.iter().enumerate() {
            out.add(i, i, *value);
        }
        out
    }

    /// Rows, which are as many as columns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// Whether the cells are as many as the size says and all of them numbers; what was read from a file may not be.
    #[must_use]
    pub fn sound(&self) -> bool {
        self.size.checked_mul(self.size) == Some(self.cells.len())
            && self.cells.iter().all(|cell| cell.is_finite())
    }

    /// A cell, 0 outside.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        if column >= self.size {
            return 0.0;
        }
        self.cells
            .get(row * self.size + column)
            .copied()
            .unwrap_or(0.0)
    }

    /// Adds to a cell; outside nothing happens.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        if column < self.size
            && let Some(cell) = self.cells.get_mut(row * self.size + column)
        {
            *cell += value;
        }
    }

    /// Adds `weight`·x·xᵀ.
    pub fn add_outer(&mut self, x: &[f64], weight: f64) {
        for (i, a) in x.iter().enumerate() {
            if *a != 0.0 {
                for (j, b) in x.iter().enumerate() {
                    self.add(i, j, weight * a * b);
                }
            }
        }
    }

    /// The sum of two of the same size.
    #[must_use]
    pub fn plus(&self, other: &Square) -> Square {
        self.with(other, 1.0)
    }

    /// This less another.
    #[must_use]
    pub fn less(&self, other: &Square) -> Square {
        self.with(other, -1.0)
    }

    fn with(&self, other: &Square, factor: f64) -> Square {
        let mut out = self.clone();
        for (cell, more) in out.cells.iter_mut().zip(&other.cells) {
            *cell += factor * more;
        }
        out
    }

    /// All cells times a number.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Square {
        let mut out = self.clone();
        for cell in &mut out.cells {
            *cell *= factor;
        }
        out
    }

    /// Times a vector.
    #[must_use]
    pub fn times(&self, x: &[f64]) -> Vec<f64> {
        (0..self.size)
            .map(|i| x.iter().enumerate().map(|(j, x)| self.at(i, j) * x).sum())
            .collect()
    }

    /// Times a matrix.
    #[must_use]
    pub fn product(&self, other: &Square) -> Square {
        let mut out = Square::zeros(self.size);
        for i in 0..self.size {
            for j in 0..self.size {
                let sum = (0..self.size).map(|k| self.at(i, k) * other.at(k, j)).sum();
                out.add(i, j, sum);
            }
        }
        out
    }

    /// xᵀ·M·x.
    #[must_use]
    pub fn quadratic(&self, x: &[f64]) -> f64 {
        dot(&self.times(x), x)
    }

    /// The lower triangle L with L·Lᵀ = M. A direction without variance (or with less, by rounding) gets none.
    #[must_use]
    pub fn root(&self) -> Square {
        let mut l = Square::zeros(self.size);
        for i in 0..self.size {
            for j in 0..=i {
                let sum: f64 = (0..j).map(|k| l.at(i, k) * l.at(j, k)).sum();
                let left = self.at(i, j) - sum;
                if i == j {
                    if left > 1e-13 * self.at(i, i).abs() {
                        l.add(i, i, left.sqrt());
                    }
                } else if l.at(j, j) > 0.0 {
                    l.add(i, j, left / l.at(j, j));
                }
            }
        }
        l
    }

    /// x of M·x = b for a positive definite M.
    #[must_use]
    pub fn solve(&self, b: &[f64]) -> Vec<f64> {
        solve_with(&self.root(), b)
    }

    /// The inverse of a positive definite matrix.
    #[must_use]
    pub fn inverse(&self) -> Square {
        let l = self.root();
        let mut out = Square::zeros(self.size);
        for j in 0..self.size {
            let unit: Vec<f64> = (0..self.size)
                .map(|i| if i == j { 1.0 } else { 0.0 })
                .collect();
            for (i, value) in solve_with(&l, &unit).into_iter().enumerate() {
                // Half to each side keeps it symmetric whatever the rounding does.
                out.add(i, j, 0.5 * value);
                out.add(j, i, 0.5 * value);
            }
        }
        out
    }
}

/// The sum of the products.
#[must_use]
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn solve_with(l: &Square, b: &[f64]) -> Vec<f64> {
    let size = l.size();
    let mut x: Vec<f64> = b.iter().copied().take(size).collect();
    x.resize(size, 0.0);
    let divide = |value: f64, by: f64| if by > 0.0 { value / by } else { 0.0 };
    for i in 0..size {
        let sum: f64 = (0..i).map(|k| l.at(i, k) * x.get(k).unwrap_or(&0.0)).sum();
        if let Some(cell) = x.get_mut(i) {
            *cell = divide(*cell - sum, l.at(i, i));
        }
    }
    for i in (0..size).rev() {
        let sum: f64 = (i + 1..size)
            .map(|k| l.at(k, i) * x.get(k).unwrap_or(&0.0))
            .sum();
        if let Some(cell) = x.get_mut(i) {
            *cell = divide(*cell - sum, l.at(i, i));
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Law: M·M⁻¹ = 1, and L·Lᵀ = M.
    #[test]
    fn prop_the_inverse_undoes_the_matrix() {
        let mut m = Square::diagonal(&[2.0, 3.0, 5.0]);
        m.add_outer(&[1.0, -0.5, 0.3], 1.7);
        let one = m.product(&m.inverse());
        for i in 0..3 {
            for j in 0..3 {
                let wanted = if i == j { 1.0 } else { 0.0 };
                assert!((one.at(i, j) - wanted).abs() < 1e-12);
            }
        }
        let x = m.solve(&[1.0, 2.0, 3.0]);
        for (got, wanted) in m.times(&x).iter().zip([1.0, 2.0, 3.0]) {
            assert!((got - wanted).abs() < 1e-12);
        }
    }
}
