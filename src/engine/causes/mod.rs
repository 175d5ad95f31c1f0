//! Causes: what would explain all readings of a stage together, and how likely each is.

pub mod gaussian;

mod cause_table;
mod compare;
pub mod compared;
mod evidence;
mod expected;
mod explain;
mod groups;
mod history;
mod observed;
mod priors;
mod repair;
mod residuals;
mod signature_table;
mod signatures;
mod spread;
pub mod words;

pub use cause_table::{CAUSES, CauseInfo, CauseName};
pub use compare::Depth;
pub use groups::is_confusable;
pub use priors::{DEFAULT_PRIORS, Priors};
pub use signatures::{SignatureRow, signature_rows};

pub(super) use explain::{Explained, did_it_work, explain};
pub(super) use history::History;
pub(super) use residuals::DEFINITIONS;

impl CauseName {
    /// Every cause, in the order of their table.
    pub fn all() -> impl Iterator<Item = Self> {
        CAUSES.iter().map(|it| it.name)
    }

    /// What is known of it beforehand.
    #[must_use]
    pub fn info(self) -> &'static CauseInfo {
        // The table stands in the order of the names, which a test keeps.
        &CAUSES[self as usize]
    }

    /// Whether its severity says what is missing, which is written as a negative number.
    #[must_use]
    pub fn is_a_lack(self) -> bool {
        matches!(
            self,
            Self::LowCharge
                | Self::LowIndoorAirflow
                | Self::LowOutdoorAirflow
                | Self::CompressorNotPumping
        )
    }

    /// Its word in documents.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.info().key
    }

    /// The cause of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        CAUSES.iter().find(|it| it.key == key).map(|it| it.name)
    }
}

/// The causes of a word such as `low_charge`, or of two at once such as `low_charge+excess_charge`
/// in either order; nothing where a part is no cause or no fault stands beside one.
#[must_use]
pub fn causes_of(word: &str) -> Option<(CauseName, Option<CauseName>)> {
    let Some((first, second)) = word.split_once('+') else {
        return CauseName::of_key(word).map(|it| (it, None));
    };
    let (first, second) = (CauseName::of_key(first)?, CauseName::of_key(second)?);
    let is_pair = first != second && first != CauseName::NoFault && second != CauseName::NoFault;
    is_pair.then_some((first.min(second), Some(first.max(second))))
}
