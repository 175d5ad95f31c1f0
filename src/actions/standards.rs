//! What visits are judged by today: the company's limit book and its priors of causes.

use super::change_limit::limit_book;
use super::priors::priors;
use crate::domain::refusal::Refusal;
use crate::engine::causes::Priors;
use crate::engine::limits::LimitBook;
use crate::store::{StoreError, Tx};

/// The limits and the priors in force.
#[derive(Clone, Debug, PartialEq)]
pub struct Standards {
    /// The limit book.
    pub book: LimitBook,
    /// The company's own priors; none while the published ones hold.
    pub priors: Option<Priors>,
}

/// What is in force now.
///
/// # Errors
/// As the store has them.
pub async fn standards(tx: &mut Tx) -> Result<Standards, StoreError> {
    Ok(Standards { book: limit_book(tx).await?, priors: priors(tx).await? })
}

impl Standards {
    /// The name of both: `default-2+7`, or `default-2+7, priors-3`.
    #[must_use]
    pub fn version(&self) -> String {
        match &self.priors {
            Some(priors) => format!("{}, {}", self.book.version, priors.version()),
            None => self.book.version.clone(),
        }
    }

    /// Whether these are still what was looked at.
    pub(super) fn are(&self, seen: &str) -> Result<(), Refusal> {
        if self.version() == seen { Ok(()) } else { Err(Refusal::StandardsChanged) }
    }
}
