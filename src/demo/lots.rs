//! Lots drawn from a seed: the same seed gives the same company, never the machine's chance.

use rand::rngs::StdRng;
use rand::{Rng, SeedableRng};
use time::OffsetDateTime;
use uuid::{Builder, Uuid};

/// A drawer of lots with a sequence of its own.
pub(super) struct Lots(StdRng);

impl Lots {
    /// The sequence of one subject; subjects don't disturb each other.
    pub(super) fn of(seed: u64, subject: u64) -> Self {
        // An odd factor keeps neighbouring subjects apart.
        Self(StdRng::seed_from_u64(seed ^ subject.wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }

    /// Anything from `low` to `high`, all alike.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// Near `middle`, as errors of a measurement lie: the sum of twelve lots is nearly normal.
    pub(super) fn near(&mut self, middle: f64, spread: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.0.random::<f64>()).sum();
        middle + spread * (sum - 6.0)
    }

    /// Whether something that happens in this share of cases happens now.
    pub(super) fn happens(&mut self, share: f64) -> bool {
        self.0.random::<f64>() < share
    }

    /// A whole number from `low` to `high`, both included.
    pub(super) fn whole(&mut self, low: i64, high: i64) -> i64 {
        self.0.random_range(low..=high)
    }

    /// One of a list that has at least one.
    pub(super) fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.0.random_range(0..list.len())]
    }

    /// An id that sorts by its time, like those of real use.
    pub(super) fn id(&mut self, at: OffsetDateTime) -> Uuid {
        let millis = u64::try_from(at.unix_timestamp()).unwrap_or(0) * 1_000;
        Builder::from_unix_timestamp_millis(millis, &self.0.random()).into_uuid()
    }
}
