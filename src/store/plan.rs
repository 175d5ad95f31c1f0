//! Plans: what is sold, in numbered versions that never change.

use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{StoreError, Tx};
use crate::domain::agreement::Season;

/// The newest version of a plan.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Plan {
    /// Its id.
    pub id: Uuid,
    /// Its version.
    pub version: i64,
    /// Its name.
    pub name: String,
    /// Price of a year in cents.
    pub price_cents: i64,
    /// Discount on repairs in percent.
    pub discount_percent: i64,
    /// The visits of a year.
    pub seasons: Json<Vec<Season>>,
    /// Fields of the sheet that it asks for.
    pub required: Json<Vec<String>>,
}

/// A new version of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct NewPlan {
    /// Its name.
    pub name: String,
    /// Price of a year in cents.
    pub price_cents: i64,
    /// Discount on repairs in percent.
    pub discount_percent: i64,
    /// The visits of a year.
    pub seasons: Vec<Season>,
    /// Fields of the sheet that it asks for.
    pub required: Vec<String>,
}

impl Tx {
    /// Every plan in its newest version.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn plans(&mut self) -> Result<Vec<Plan>, StoreError> {
        self.all(
            "SELECT p.plan_id AS id, p.version, p.name, p.price_cents, p.discount_percent,
                    p.seasons, p.required
             FROM plan_version p WHERE p.version = (
               SELECT MAX(q.version) FROM plan_version q WHERE q.plan_id = p.plan_id)
             ORDER BY p.name, p.plan_id",
            &[],
        )
        .await
    }

    /// A plan in its newest version.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn plan(&mut self, id: Uuid) -> Result<Plan, StoreError> {
        self.one(
            "SELECT p.plan_id AS id, p.version, p.name, p.price_cents, p.discount_percent,
                    p.seasons, p.required
             FROM plan_version p WHERE p.plan_id = $1 AND p.version = (
               SELECT MAX(q.version) FROM plan_version q WHERE q.plan_id = p.plan_id)",
            &[&id],
        )
        .await
    }

    /// Adds a plan or a further version of one.
    ///
    /// # Errors
    /// `Taken` if somebody else has just made that version.
    pub async fn insert_plan_version(
        &mut self,
        id: Uuid,
        version: i64,
        plan: &NewPlan,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        if version == 1 {
            self.execute("INSERT INTO plan (id, made_at) VALUES ($1, $2)", &[&id, &at]).await?;
        }
        self.execute(
            "INSERT INTO plan_version (plan_id, version, name, price_cents, discount_percent,
               seasons, required, at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
            &[
                &id,
                &version,
                &plan.name,
                &plan.price_cents,
                &plan.discount_percent,
                &Json(&plan.seasons),
                &Json(&plan.required),
                &at,
            ],
        )
        .await?;
        Ok(())
    }
}
