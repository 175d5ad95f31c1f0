//! How probable residuals are, with one covariance of all of them.

use super::residuals::COUNT;

/// One number a residual.
pub(super) type Vector = [f64; COUNT];
/// One number a pair of residuals; only the lower triangle counts.
pub(super) type Matrix = [Vector; COUNT];

/// Degrees of freedom of the multivariate t distribution that residuals are taken to follow: its
/// tails are heavier than a normal one's, for systems are stranger than any table of spreads.
/// Judgement, no source.
const FREEDOM: f64 = 8.0;

/// The lower Cholesky factor of a covariance.
pub(super) struct Factor {
    lower: Matrix,
    count: usize,
}

impl Factor {
    /// Of the first `count` rows of a covariance.
    ///
    /// - result: nothing where the covariance is no covariance
    /// - reference: Golub and Van Loan, Matrix Computations, 4th edition, algorithm 4.2.1
    pub(super) fn of(covariance: &Matrix, count: usize) -> Option<Self> {
        let mut lower: Matrix = [[0.0; COUNT]; COUNT];
        for row in 0..count {
            let mut of_row = lower[row];
            for column in 0..row {
                let before = &lower[column];
                let known: f64 = (0..column).map(|it| of_row[it] * before[it]).sum();
                of_row[column] = (covariance[row][column] - known) / before[column];
            }
            let below: f64 = of_row.iter().take(row).map(|it| it * it).sum();
            let pivot = covariance[row][row] - below;
            if pivot.is_nan() || pivot <= 0.0 {
                return None;
            }
            of_row[row] = pivot.sqrt();
            lower[row] = of_row;
        }
        Some(Self { lower, count })
    }

    /// Solves for what the factor makes a vector of.
    fn forward(&self, vector: &Vector) -> Vector {
        let mut solved: Vector = [0.0; COUNT];
        for row in 0..self.count {
            let of_row = &self.lower[row];
            let known: f64 = (0..row).map(|it| of_row[it] * solved[it]).sum();
            solved[row] = (vector[row] - known) / of_row[row];
        }
        solved
    }

    /// The inverse of the covariance times a vector.
    pub(super) fn solve(&self, vector: &Vector) -> Vector {
        let mut solved = self.forward(vector);
        for row in (0..self.count).rev() {
            let known: f64 = (row + 1..self.count).map(|it| self.lower[it][row] * solved[it]).sum();
            solved[row] = (solved[row] - known) / self.lower[row][row];
        }
        solved
    }
}

/// How far a residual lies from where it was expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Distance {
    /// Logarithm of the covariance's determinant.
    pub(super) log_determinant: f64,
    /// Squared distance of Mahalanobis.
    pub(super) squared: f64,
}

/// A covariance's lower triangle, row behind row.
#[derive(Clone, Copy)]
pub(super) struct Packed([f64; COUNT * (COUNT + 1) / 2]);

impl Default for Packed {
    fn default() -> Self {
        Self([0.0; COUNT * (COUNT + 1) / 2])
    }
}

/// Where a row of the triangle begins.
const fn row_at(row: usize) -> usize {
    row * (row + 1) / 2
}

impl Packed {
    pub(super) fn set(&mut self, row: usize, column: usize, value: f64) {
        self.0[row_at(row) + column] = value;
    }

    pub(super) fn add_to_diagonal(&mut self, row: usize, value: f64) {
        self.0[row_at(row) + row] += value;
    }
}

/// Distance of a difference by its covariance, both of `count` residuals; the covariance becomes
/// its factor, for this runs some five hundred times a visit.
///
/// - result: nothing where the covariance is no covariance
/// - reference: as for the factor, with the forward substitution beside it
pub(super) fn distance(
    covariance: &mut Packed,
    difference: &Vector,
    count: usize,
) -> Option<Distance> {
    let mut solved: Vector = [0.0; COUNT];
    let (mut product, mut squared) = (1.0, 0.0);
    for row in 0..count {
        let (before, rest) = covariance.0.split_at_mut(row_at(row));
        let of_row = &mut rest[..=row];
        for column in 0..row {
            let other = &before[row_at(column)..=row_at(column) + column];
            let known = dot(&of_row[..column], other);
            // The diagonal holds its inverse, for a product is quicker than a quotient.
            of_row[column] = (of_row[column] - known) * other[column];
        }
        let below = dot(&of_row[..row], &of_row[..row]);
        let pivot = of_row[row] - below;
        if pivot.is_nan() || pivot <= 0.0 {
            return None;
        }
        let inverse = pivot.sqrt().recip();
        let known = dot(&of_row[..row], &solved);
        of_row[row] = inverse;
        solved[row] = (difference[row] - known) * inverse;
        product *= pivot;
        squared += solved[row] * solved[row];
    }
    let log_determinant = product.ln();
    let is_finite = squared.is_finite() && log_determinant.is_finite();
    is_finite.then_some(Distance { log_determinant, squared })
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

impl Distance {
    /// Logarithm of the density but for what is the same everywhere.
    ///
    /// - reference: multivariate t distribution (Kotz and Nadarajah, 2004, equation 1.1)
    #[expect(clippy::cast_precision_loss, reason = "a count of a dozen")]
    pub(super) fn log_density(self, count: usize) -> f64 {
        let power = f64::midpoint(FREEDOM, count as f64);
        -0.5 * self.log_determinant - power * (self.squared / FREEDOM).ln_1p()
    }
}
