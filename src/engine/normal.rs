//! The normal distribution, from which the probability of conformity comes.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Terms of the series and of the continued fraction: enough for 1e-14 on either side of the
/// switch at 3, found by doubling until nothing changed.
const TERMS_MAX: u32 = 120;
/// Where the series gives way to the continued fraction.
const SERIES_UP_TO: f64 = 3.0;

/// Probability that a normal value lies between two limits.
///
/// - `mean`, `u`: centre and standard deviation; `low`, `high`: limits, `None` for none
/// - result: 0 to 1; with no spread at all it is 0 or 1, a limit itself counting as inside
/// - reference: JCGM 106:2012, clause 7.2.2 (normal probability density), equation 7
#[must_use]
pub fn probability_between(mean: f64, u: f64, low: Option<f64>, high: Option<f64>) -> f64 {
    if u <= 0.0 {
        let inside = low.is_none_or(|it| it <= mean) && high.is_none_or(|it| mean <= it);
        return if inside { 1.0 } else { 0.0 };
    }
    let below = low.map_or(0.0, |it| upper_tail((mean - it) / u));
    let above = high.map_or(0.0, |it| upper_tail((it - mean) / u));
    (1.0 - below - above).clamp(0.0, 1.0)
}

/// Probability that a standard normal value exceeds `z`.
///
/// - reference: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.3
#[must_use]
pub fn upper_tail(z: f64) -> f64 {
    let half = 0.5 * complementary_error(z.abs() * FRAC_1_SQRT_2);
    if z < 0.0 { 1.0 - half } else { half }
}

/// The complementary error function of a number that is not negative.
///
/// - reference: Abramowitz and Stegun, 7.1.6 (series) and 7.1.14 (continued fraction)
fn complementary_error(x: f64) -> f64 {
    if x < SERIES_UP_TO {
        let mut term = x;
        let mut sum = x;
        for index in 1..TERMS_MAX {
            term *= 2.0 * x * x / f64::from(2 * index + 1);
            sum += term;
        }
        return 1.0 - 2.0 / PI.sqrt() * (-x * x).exp() * sum;
    }
    let mut fraction = x;
    for index in (1..TERMS_MAX).rev() {
        fraction = x + f64::from(index) / 2.0 / fraction;
    }
    (-x * x).exp() / (PI.sqrt() * fraction)
}
