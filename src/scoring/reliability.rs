//! Of what was said to be so likely, how much was true: the reliability curve.

use serde::Serialize;

use super::Row;
use crate::stats::{Interval, wilson};

/// Where the bins of the stated probability end; each begins where the one before it ends.
/// Narrower towards one, for there most answers lie and a wrong one hurts most (judgement).
pub const BIN_ENDS: [f64; 7] = [0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0];

/// The answers whose stated probability lies in one bin.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bin {
    /// The lowest probability of the bin, which belongs to it.
    pub from: f64,
    /// The highest, which belongs to the next one; in the last bin to it.
    pub to: f64,
    /// How many answers.
    pub count: u32,
    /// How many of them were true.
    pub right: u32,
    /// Their mean stated probability; none without an answer.
    pub mean_stated: Option<f64>,
    /// The share of them that was true.
    pub share_true: Option<f64>,
    /// The 95 % interval of that share (Wilson), as if the cases did not hang together.
    pub interval: Option<Interval>,
}

/// The whole curve.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reliability {
    /// The bins in their order, also those without an answer.
    pub bins: Vec<Bin>,
    /// How many answers there were.
    pub answers: u32,
    /// How many of them were true.
    pub right: u32,
    /// The expected calibration error: how far the share of true ones lies from the mean stated
    /// probability, over the bins and by their answers; none without an answer.
    ///
    /// - result: 0 to 1
    /// - reference: Naeini, Cooper and Hauskrecht, AAAI 2015, 2901–2907 (from memory)
    pub expected_error: Option<f64>,
}

/// What gathers answer by answer, so that nobody needs to hold them all.
#[derive(Clone, Debug, Default)]
pub struct ReliabilityTally {
    bins: [BinTally; BIN_ENDS.len()],
}

#[derive(Clone, Copy, Debug, Default)]
struct BinTally {
    count: u32,
    right: u32,
    stated: f64,
}

/// The curve of some rows; where no cause was told, nothing was stated and nothing counts.
#[must_use]
pub fn reliability<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Reliability {
    let mut tally = ReliabilityTally::default();
    for row in rows {
        tally.add(row);
    }
    tally.curve()
}

impl ReliabilityTally {
    /// Counts one row.
    pub fn add(&mut self, row: &Row) {
        let Some(told) = row.told else { return };
        let stated = told.stated();
        let place = BIN_ENDS.iter().position(|end| stated < *end).unwrap_or(BIN_ENDS.len() - 1);
        if let Some(bin) = self.bins.get_mut(place) {
            bin.count += 1;
            bin.right += u32::from(told.cause == row.truth);
            bin.stated += stated;
        }
    }

    /// The curve of what was counted.
    #[must_use]
    pub fn curve(&self) -> Reliability {
        let begins = std::iter::once(0.0).chain(BIN_ENDS);
        let ends = begins.zip(BIN_ENDS);
        let bins: Vec<Bin> =
            self.bins.iter().zip(ends).map(|(tally, (from, to))| tally.bin(from, to)).collect();
        let answers = bins.iter().map(|it| it.count).sum();
        let right = bins.iter().map(|it| it.right).sum();
        let error: f64 = bins.iter().filter_map(Bin::weighted_error).sum();
        let expected_error = (answers > 0).then(|| error / f64::from(answers));
        Reliability { bins, answers, right, expected_error }
    }
}

impl BinTally {
    fn bin(self, from: f64, to: f64) -> Bin {
        let Self { count, right, stated } = self;
        let by_count = |sum: f64| (count > 0).then(|| sum / f64::from(count));
        Bin {
            from,
            to,
            count,
            right,
            mean_stated: by_count(stated),
            share_true: by_count(f64::from(right)),
            interval: wilson(right, count),
        }
    }
}

impl Bin {
    fn weighted_error(&self) -> Option<f64> {
        Some((self.share_true? - self.mean_stated?).abs() * f64::from(self.count))
    }
}
