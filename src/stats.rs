//! Shares and how far they may be trusted.

use serde::Serialize;

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
