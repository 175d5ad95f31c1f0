//! The normal distribution, from which the probability of conformity comes.

use std::f64::consts::FRAC_1_SQRT_2;

use libm::erfc;

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
    let below = low.map_or(0.0, |it| tail_beside_one((mean - it) / u));
    let above = high.map_or(0.0, |it| tail_beside_one((it - mean) / u));
    (1.0 - below - above).clamp(0.0, 1.0)
}

/// Beyond this many standard deviations a tail is under 1e-18 and no longer changes a one.
const NOTHING_BEYOND: f64 = 9.0;

/// The upper tail as far as it can be told beside one.
fn tail_beside_one(z: f64) -> f64 {
    if z.abs() <= NOTHING_BEYOND { upper_tail(z) } else { f64::from(u8::from(z < 0.0)) }
}

/// Probability that a standard normal value exceeds `z`.
///
/// - reference: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.3 and 26.2.29
#[must_use]
pub fn upper_tail(z: f64) -> f64 {
    0.5 * erfc(z * FRAC_1_SQRT_2)
}
