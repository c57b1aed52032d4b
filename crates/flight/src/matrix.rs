//! Arithmetic of small square matrices whose size is known when the program is built.

// Matrix arithmetic reads as in the books with its indices; every bound is a constant.
#![allow(clippy::needless_range_loop)]

/// A square matrix.
pub type Matrix<const N: usize> = [[f64; N]; N];

/// Sum of the products.
#[inline]
pub fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    let mut sum = 0.0;
    for k in 0..N {
        sum += a[k] * b[k];
    }
    sum
}

/// Matrix times vector.
#[inline]
pub fn times<const N: usize>(m: &Matrix<N>, x: &[f64; N]) -> [f64; N] {
    let mut out = [0.0; N];
    for k in 0..N {
        out[k] = dot(&m[k], x);
    }
    out
}

/// formᵀ·P·form.
pub fn quadratic<const N: usize>(p: &Matrix<N>, form: &[f64; N]) -> f64 {
    dot(form, &times(p, form))
}

/// a·b.
pub fn multiply<const N: usize>(a: &Matrix<N>, b: &Matrix<N>) -> Matrix<N> {
    let mut out = [[0.0; N]; N];
    for row in 0..N {
        for column in 0..N {
            for k in 0..N {
                out[row][column] += a[row][k] * b[k][column];
            }
        }
    }
    out
}

/// a·bᵀ.
pub fn multiply_transposed<const N: usize>(a: &Matrix<N>, b: &Matrix<N>) -> Matrix<N> {
    multiply(a, &transpose(b))
}

/// aᵀ.
pub fn transpose<const N: usize>(a: &Matrix<N>) -> Matrix<N> {
    let mut out = [[0.0; N]; N];
    for row in 0..N {
        for column in 0..N {
            out[column][row] = a[row][column];
        }
    }
    out
}

/// The unit matrix.
pub fn identity<const N: usize>() -> Matrix<N> {
    let mut out = [[0.0; N]; N];
    for k in 0..N {
        out[k][k] = 1.0;
    }
    out
}

/// a − b.
pub fn less<const N: usize>(a: &Matrix<N>, b: &Matrix<N>) -> Matrix<N> {
    let mut out = *a;
    for row in 0..N {
        for column in 0..N {
            out[row][column] -= b[row][column];
        }
    }
    out
}

/// a − gain·hᵀ.
pub fn without<const N: usize>(a: &Matrix<N>, gain: &[f64; N], h: &[f64; N]) -> Matrix<N> {
    let mut out = *a;
    for row in 0..N {
        for column in 0..N {
            out[row][column] -= gain[row] * h[column];
        }
    }
    out
}

/// Takes out what rounding makes of a symmetric matrix.
pub fn symmetrize<const N: usize>(p: &mut Matrix<N>) {
    for row in 0..N {
        for column in 0..row {
            let mean = (p[row][column] + p[column][row]) / 2.0;
            p[row][column] = mean;
            p[column][row] = mean;
        }
    }
}

/// X of A·X = B for a symmetric positive definite A, by Cholesky; a direction without variance gives 0.
pub fn solve<const N: usize>(a: &Matrix<N>, b: &Matrix<N>) -> Matrix<N> {
    let mut l = [[0.0; N]; N];
    for row in 0..N {
        for column in 0..=row {
            let mut sum = a[row][column];
            for k in 0..column {
                sum -= l[row][k] * l[column][k];
            }
            if row == column {
                l[row][row] = if sum > 1e-14 * a[row][row].abs() {
                    sum.sqrt()
                } else {
                    0.0
                };
            } else if l[column][column] > 0.0 {
                l[row][column] = sum / l[column][column];
            }
        }
    }
    let mut x = *b;
    for column in 0..N {
        for row in 0..N {
            let mut sum = x[row][column];
            for k in 0..row {
                sum -= l[row][k] * x[k][column];
            }
            x[row][column] = if l[row][row] > 0.0 {
                sum / l[row][row]
            } else {
                0.0
            };
        }
        for row in (0..N).rev() {
            let mut sum = x[row][column];
            for k in row + 1..N {
                sum -= l[k][row] * x[k][column];
            }
            x[row][column] = if l[row][row] > 0.0 {
                sum / l[row][row]
            } else {
                0.0
            };
        }
    }
    x
}
