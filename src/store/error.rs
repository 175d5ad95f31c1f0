//! Why the store did not do what it was asked.

/// What kind of refusal it was; what the visitor is told is decided elsewhere.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no such row, or the asker may not see it.
    #[error("not found")]
    NotFound,
    /// Somebody else has it already (a unique index said so).
    #[error("already taken")]
    Taken,
    /// It points at something that isn't there, or something still points at it.
    #[error("still referenced, or referring to nothing")]
    StillReferenced,
    /// It is no longer in the state that the change started from.
    #[error("changed meanwhile")]
    Changed,
    /// The database can't be reached or is too busy.
    #[error("the store does not answer: {0}")]
    Unavailable(String),
    /// The store was written by a newer program, or may not be used as it is.
    #[error("{0}")]
    Unusable(String),
    /// Anything else: a fault of ours.
    #[error("store fault: {0}")]
    Fault(String),
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        use sqlx::Error;
        match &error {
            Error::RowNotFound => Self::NotFound,
            Error::PoolTimedOut | Error::PoolClosed | Error::Io(_) => {
                Self::Unavailable(error.to_string())
            }
            Error::Database(fault) if fault.is_unique_violation() => Self::Taken,
            Error::Database(fault) if fault.is_foreign_key_violation() => Self::StillReferenced,
            _ => Self::Fault(error.to_string()),
        }
    }
}
