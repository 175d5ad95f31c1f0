//! A probability and its evidence in words, the same on every page.

use super::case::LookedAt;
use super::measures;
use super::points;

/// What stands beside every list of causes, conditions included.
pub const CAUTION: &str = "Advice to a qualified technician. Leak search and airflow come before \
    any decision on charge; the maker's instructions, local codes and licensed practice go first.";

/// How likely something is, in words; the likeliest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Likelihood {
    /// From 90 in 100.
    VeryLikely,
    /// From 50 in 100: likelier than not.
    Likely,
    /// From 20 in 100.
    Possible,
    /// Less.
    Unlikely,
}

impl Likelihood {
    /// The probabilities at which the words change, falling. A choice, no source: the first is
    /// that of the verdicts, the last that from which conditions are listed.
    pub const BORDERS: [f64; 3] = [0.9, 0.5, 0.2];

    /// The word for a probability.
    #[must_use]
    pub fn of(probability: f64) -> Self {
        let [very, likely, possible] = Self::BORDERS;
        if very <= probability {
            Self::VeryLikely
        } else if likely <= probability {
            Self::Likely
        } else if possible <= probability {
            Self::Possible
        } else {
            Self::Unlikely
        }
    }

    /// The word.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::VeryLikely => "very likely",
            Self::Likely => "likely",
            Self::Possible => "possible",
            Self::Unlikely => "unlikely",
        }
    }
}

/// A probability as so many in a hundred, rounded down: what is nearly certain is not certain, and
/// what is just below a border does not look as if it were on it.
#[must_use]
pub fn in_hundred(probability: f64) -> f64 {
    // The last bits of a product must not cost a whole one.
    (100.0 * probability + 1e-9).floor()
}

/// Plain words of a measure, a measuring point or something that was looked at, by its key.
#[must_use]
pub fn label(key: &str) -> Option<&'static str> {
    let seen = || LookedAt::ALL.iter().find(|it| it.word() == key).map(|it| it.label());
    let point = || points::point(key).map(|it| it.label);
    measures::measure(key).map(|it| it.label).or_else(point).or_else(seen)
}

/// Plain words of a reading that is still to be taken: those of the sheet's own field.
#[must_use]
pub fn reading_label(key: &str) -> &str {
    points::point(key).map_or_else(|| label(key).unwrap_or(key), |it| it.label)
}

/// Plain words of several, as they stand in a list; a key that nobody knows stands as it is.
#[must_use]
pub fn labels(keys: &[String]) -> String {
    let labels: Vec<&str> = keys.iter().map(|it| label(it).unwrap_or(it)).collect();
    labels.join("; ")
}
