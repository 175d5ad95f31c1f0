//! The company's own priors of causes, version by version. Rows are only ever added.

use serde_json::Value;
use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx};
use crate::domain::priors::PriorWhy;

/// One version of the priors.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct PriorVersion {
    /// Its number.
    pub number: i64,
    /// Why there is one.
    #[sqlx(try_from = "String")]
    pub why: PriorWhy,
    /// Confirmations up to this number no longer count.
    pub since_number: i64,
    /// Visits that came in before this instant no longer count.
    pub since_at: Option<OffsetDateTime>,
    /// Version of the published figures behind it.
    pub published: String,
    /// Judged visits that could have been confirmed.
    pub visits: i64,
    /// Confirmations by the cause's word.
    pub counts: Json<Value>,
    /// Probabilities, as the assess document has them.
    pub priors: Json<Value>,
    /// Why the owner began again.
    pub reason: String,
    /// Who.
    pub person_name: Option<String>,
    /// When.
    pub at: OffsetDateTime,
    /// The visit whose confirmation made it.
    pub visit_id: Option<Uuid>,
    /// What was confirmed there.
    pub cause: Option<String>,
}

/// A version to be added.
#[derive(Clone, Debug, PartialEq)]
pub struct NewPriorVersion {
    /// Its number.
    pub number: i64,
    /// Why there is one.
    pub why: PriorWhy,
    /// The confirmation that made it.
    pub confirmed_cause_id: Option<Uuid>,
    /// Confirmations up to this number no longer count.
    pub since_number: i64,
    /// Visits that came in before this instant no longer count.
    pub since_at: Option<OffsetDateTime>,
    /// Version of the published figures behind it.
    pub published: &'static str,
    /// Judged visits that could have been confirmed.
    pub visits: i64,
    /// Confirmations by the cause's word.
    pub counts: Value,
    /// Probabilities, as the assess document has them.
    pub priors: Value,
    /// Why the owner began again.
    pub reason: String,
}

macro_rules! version_select {
    ($tail:literal) => {
        concat!(
            "SELECT p.number, p.why, p.since_number, p.since_at, p.published, p.visits, p.counts,
                    p.priors, p.reason, n.name AS person_name, p.at, v.id AS visit_id, c.cause
             FROM prior_version p LEFT JOIN person n ON n.id = p.person_id
             LEFT JOIN confirmed_cause c ON c.id = p.confirmed_cause_id
             LEFT JOIN visit v ON v.number = c.visit_number ",
            $tail
        )
    };
}

impl Tx {
    /// The priors in force; none while the published ones hold.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn newest_priors(&mut self) -> Result<Option<PriorVersion>, StoreError> {
        self.optional(version_select!("ORDER BY p.number DESC LIMIT 1"), &[]).await
    }

    /// The versions, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn prior_versions(&mut self) -> Result<Vec<PriorVersion>, StoreError> {
        self.all(version_select!("ORDER BY p.number DESC LIMIT 200"), &[]).await
    }

    /// Adds a version.
    ///
    /// # Errors
    /// `Taken` if somebody else has just made that number.
    pub async fn insert_prior_version(
        &mut self,
        id: Uuid,
        new: &NewPriorVersion,
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO prior_version (id, number, why, confirmed_cause_id, since_number,
               since_at, published, visits, counts, priors, reason, person_id, at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)",
            &[
                &id,
                &new.number,
                &new.why.key(),
                &new.confirmed_cause_id,
                &new.since_number,
                &new.since_at,
                &new.published,
                &new.visits,
                &Json(&new.counts),
                &Json(&new.priors),
                &new.reason,
                &by.person,
                &by.at,
            ],
        )
        .await?;
        Ok(())
    }
}
