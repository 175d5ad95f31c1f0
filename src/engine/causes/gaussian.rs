//! How probable residuals are, with one covariance of all of them.

/// The most residuals that can be held against each other: as many as there are.
pub const COUNT: usize = 11;

/// One number a residual.
pub type Vector = [f64; COUNT];
/// One number a pair of residuals; only the lower triangle counts.
pub type Matrix = [Vector; COUNT];

/// Degrees of freedom of the multivariate t distribution that residuals are taken to follow: its
/// tails are heavier than a normal one's, for systems are stranger than any table of spreads.
/// Judgement, no source.
pub const FREEDOM: f64 = 8.0;

/// The lower Cholesky factor of a covariance.
pub struct Factor {
    lower: Matrix,
    count: usize,
}

impl Factor {
    /// Of the first `count` rows of a covariance.
    ///
    /// - result: nothing where the covariance is no covariance
    /// - reference: Golub and Van Loan, Matrix Computations, 4th edition, algorithm 4.2.1
    #[must_use]
    pub fn of(covariance: &Matrix, count: usize) -> Option<Self> {
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
    #[must_use]
    pub fn solve(&self, vector: &Vector) -> Vector {
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
pub struct Distance {
    /// Logarithm of the covariance's determinant.
    pub log_determinant: f64,
    /// Squared distance of Mahalanobis.
    pub squared: f64,
}

/// Numbers in a row of an augmented covariance: one a residual, and the difference behind them.
const WIDE: usize = COUNT + 1;

/// A covariance of some residuals with their difference from what was expected.
#[derive(Clone, Copy)]
pub struct Augmented([[f64; WIDE]; COUNT]);

impl Default for Augmented {
    fn default() -> Self {
        Self([[0.0; WIDE]; COUNT])
    }
}

impl Augmented {
    /// Sets one covariance, and the same across the diagonal.
    pub fn set(&mut self, row: usize, column: usize, value: f64) {
        self.0[row][column] = value;
        self.0[column][row] = value;
    }

    /// Widens one residual and takes something from its difference.
    pub fn shift(&mut self, row: usize, mean: f64, variance: f64) {
        self.0[row][row] += variance;
        self.0[row][COUNT] -= mean;
    }

    /// Distance of the difference by its covariance, both of the first `count` residuals.
    ///
    /// It eliminates whole rows of a fixed length, which a processor does several numbers at a
    /// time, for this runs some five hundred times a visit.
    ///
    /// - result: nothing where the covariance is no covariance
    /// - reference: Golub and Van Loan, Matrix Computations, 4th edition, 4.1.2 (L D L transposed)
    #[must_use]
    pub fn distance(mut self, count: usize) -> Option<Distance> {
        let (mut product, mut squared) = (1.0, 0.0);
        for done in 0..count {
            let (before, rest) = self.0.split_at_mut(done + 1);
            let pivot_row = &before[done];
            let pivot = pivot_row[done];
            if pivot.is_nan() || pivot <= 0.0 {
                return None;
            }
            let inverse = pivot.recip();
            for row in rest.iter_mut().take(count - done - 1) {
                let share = row[done] * inverse;
                for (entry, of_pivot) in row.iter_mut().zip(pivot_row) {
                    *entry -= share * of_pivot;
                }
            }
            product *= pivot;
            squared += pivot_row[COUNT] * pivot_row[COUNT] * inverse;
        }
        let log_determinant = product.ln();
        let is_finite = squared.is_finite() && log_determinant.is_finite();
        is_finite.then_some(Distance { log_determinant, squared })
    }
}

impl Distance {
    /// Logarithm of the density but for what is the same everywhere.
    ///
    /// - reference: multivariate t distribution (Kotz and Nadarajah, 2004, equation 1.1)
    #[expect(clippy::cast_precision_loss, reason = "a count of a dozen")]
    #[must_use]
    pub fn log_density(self, count: usize) -> f64 {
        let power = f64::midpoint(FREEDOM, count as f64);
        -0.5 * self.log_determinant - power * (self.squared / FREEDOM).ln_1p()
    }
}
