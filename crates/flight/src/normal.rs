//! Normal equations of a small linear least-squares problem, with a prior.

// Matrix arithmetic reads as in the books with its indices; every bound is a constant.
#![allow(clippy::needless_range_loop)]

/// Normal equations of a small linear least-squares problem.
pub struct Normal<const N: usize> {
    a: [[f64; N]; N],
    b: [f64; N],
}

impl<const N: usize> Normal<N> {
    /// Independent expectations with their 1-σ.
    pub fn with_prior(means: [f64; N], sigmas: [f64; N]) -> Self {
        let mut a = [[0.0; N]; N];
        let mut b = [0.0; N];
        for k in 0..N {
            let information = 1.0 / (sigmas[k] * sigmas[k]);
            a[k][k] = information;
            b[k] = information * means[k];
        }
        Self { a, b }
    }

    /// One row y = row·x of a given information (1/variance).
    pub fn add(&mut self, row: &[f64; N], y: f64, information: f64) {
        for i in 0..N {
            let weighted = information * row[i];
            for j in 0..N {
                self.a[i][j] += weighted * row[j];
            }
            self.b[i] += weighted * y;
        }
    }

    /// Solution and covariance.
    pub fn solve(&self) -> ([f64; N], [[f64; N]; N]) {
        let mut unit = [[0.0; N]; N];
        for (k, row) in unit.iter_mut().enumerate() {
            row[k] = 1.0;
        }
        let covariance = crate::matrix::solve(&self.a, &unit);
        let mut x = [0.0; N];
        for i in 0..N {
            for j in 0..N {
                x[i] += covariance[i][j] * self.b[j];
            }
        }
        (x, covariance)
    }
}
