//! Shares and how far they may be trusted.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// The normal quantile of a 95 % interval's ends.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// From where to where the true share may lie.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interval {
    /// Lower end, 0 to 1.
    pub low: f64,
    /// Upper end, 0 to 1.
    pub high: f64,
}

/// The 95 % interval of a share from a count of cases that don't hang together; none without a
/// case.
///
/// - reference: Wilson, Journal of the American Statistical Association 22 (1927) 209–212; as
///   method 3 in Newcombe, Statistics in Medicine 17 (1998) 857–872 (both from memory)
/// - range: any count; it never leaves 0 to 1 and is of use for no case in ten as well
#[must_use]
pub fn wilson(count: u32, of: u32) -> Option<Interval> {
    let (count, of) = (f64::from(count), f64::from(of));
    (of > 0.0).then(|| score_interval(count / of, NORMAL_95 * NORMAL_95 / of))
}

/// Wilson's interval around a share, where `weight` is the squared quantile by the cases.
fn score_interval(share: f64, weight: f64) -> Interval {
    let middle = (share + weight / 2.0) / (1.0 + weight);
    let half = (weight * share * (1.0 - share) + weight * weight / 4.0).sqrt() / (1.0 + weight);
    // At both ends the formula meets 0 and 1 but for the last bits.
    let low = if share > 0.0 { (middle - half).max(0.0) } else { 0.0 };
    let high = if share < 1.0 { (middle + half).min(1.0) } else { 1.0 };
    Interval { low, high }
}

/// Cases of one kind by all cases, counted over clusters of which the cases hang together.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Share {
    /// How many of that kind.
    pub count: u32,
    /// Of how many.
    pub of: u32,
    /// In how many clusters.
    pub clusters: u32,
    /// The share itself; none without a case.
    pub share: Option<f64>,
    /// Its 95 % interval; none where there are fewer than two clusters.
    pub interval: Option<Interval>,
}

/// The share of all clusters together, from the count and the cases of each.
///
/// The variance is that of a ratio estimator over clusters, linearised:
/// `v = k/(k−1) · Σ (count − share · of)² / (Σ of)²` over k clusters. It makes an effective number
/// of cases, `share · (1 − share) / v` but never more than there are, and with that and Student's
/// t for k − 1 degrees of freedom Wilson's interval is taken. Where all cases went one way the
/// clusters don't differ and say nothing of their spread: then only t widens the interval.
///
/// - reference: Cochran, Sampling Techniques (3rd edition 1977), 2.11 and 9A.1; the effective
///   number and t as in Korn and Graubard, Survey Methodology 24 (1998) 193–201; Wilson's interval
///   with it as in Franco, Little, Louis and Slud, J. Survey Statistics and Methodology 7 (2019)
///   334–364 (all from memory)
#[must_use]
pub fn clustered_share(clusters: impl Iterator<Item = (u32, u32)> + Clone) -> Share {
    let filled = clusters.filter(|(_, of)| *of > 0);
    let (mut count, mut of, mut number) = (0, 0, 0);
    for (its_count, its_of) in filled.clone() {
        count += its_count;
        of += its_of;
        number += 1;
    }
    if of == 0 {
        return Share { count, of, clusters: number, share: None, interval: None };
    }
    let (share, cases) = (f64::from(count) / f64::from(of), f64::from(of));
    let residual = |(count, of): (u32, u32)| f64::from(count) - share * f64::from(of);
    let squares: f64 = filled.map(|it| residual(it) * residual(it)).sum();
    let interval = student_95(number.saturating_sub(1)).map(|t| {
        let k = f64::from(number);
        let variance = k / (k - 1.0) * squares / (cases * cases);
        let of_one = share * (1.0 - share);
        let by_spread = if of_one > 0.0 { variance / of_one } else { 0.0 };
        score_interval(share, t * t * by_spread.max(1.0 / cases))
    });
    Share { count, of, clusters: number, share: Some(share), interval }
}

/// Beyond this many degrees of freedom Student's t is the normal quantile to 0.2 %.
const FREEDOM_MAX: u32 = 1000;

/// Student's t of a 95 % interval's ends; none without a degree of freedom.
fn student_95(freedom: u32) -> Option<f64> {
    if freedom > FREEDOM_MAX {
        return Some(NORMAL_95);
    }
    let t = StudentsT::new(0.0, 1.0, f64::from(freedom)).ok()?;
    Some(t.inverse_cdf(0.975))
}
