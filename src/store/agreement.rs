//! Agreements, and what is needed to say who is due.

use sqlx::types::Json;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{StoreError, Tx};
use crate::domain::agreement::{Season, Term};
use crate::domain::visit::{VisitKind, VisitState};

/// Agreements that are read at once: some decades of a small company's.
pub const AGREEMENTS_MAX: i64 = 5_000;

/// An agreement with the words around it.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Agreement {
    /// Its id.
    pub id: Uuid,
    /// Whose.
    pub customer_id: Uuid,
    /// The customer's name.
    pub customer_name: String,
    /// The plan's name.
    pub plan_name: String,
    /// The plan's price of a year in cents.
    pub price_cents: i64,
    /// First day.
    pub starts_on: Date,
    /// First day on which it no longer holds.
    pub ends_on: Date,
    /// When the customer said yes.
    pub accepted_on: Option<Date>,
    /// When it was ended early.
    pub ended_on: Option<Date>,
    /// How many systems it covers.
    pub systems: i64,
    /// The visits of a year.
    pub seasons: Json<Vec<Season>>,
}

impl Agreement {
    /// Its dates.
    #[must_use]
    pub fn term(&self) -> Term {
        Term {
            starts_on: self.starts_on,
            ends_on: self.ends_on,
            accepted_on: self.accepted_on,
            ended_on: self.ended_on,
        }
    }
}

/// A new agreement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewAgreement {
    /// Its id.
    pub id: Uuid,
    /// Whose.
    pub customer_id: Uuid,
    /// The plan and its version.
    pub plan: (Uuid, i64),
    /// First day.
    pub starts_on: Date,
    /// First day on which it no longer holds.
    pub ends_on: Date,
    /// When the customer said yes.
    pub accepted_on: Option<Date>,
    /// The systems that it covers.
    pub systems: Vec<Uuid>,
}

/// A system under an accepted agreement, with all that a promise of it needs.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Covered {
    /// The agreement.
    pub agreement_id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// The system's name.
    pub system_name: String,
    /// The customer.
    pub customer_id: Uuid,
    /// The customer's name.
    pub customer_name: String,
    /// The customer's phone.
    pub phone: String,
    /// The street.
    pub street: String,
    /// The town.
    pub town: String,
    /// First day.
    pub starts_on: Date,
    /// First day on which it no longer holds.
    pub ends_on: Date,
    /// When the customer said yes.
    pub accepted_on: Option<Date>,
    /// When it was ended early.
    pub ended_on: Option<Date>,
    /// The visits of a year.
    pub seasons: Json<Vec<Season>>,
}

/// A system that an agreement covers.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct CoveredSystem {
    /// Its id.
    pub id: Uuid,
    /// Its name.
    pub name: String,
    /// The street.
    pub street: String,
    /// The town.
    pub town: String,
}

/// A visit that stands for a promise.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Kept {
    /// The visit.
    pub visit_id: Uuid,
    /// The agreement.
    pub agreement_id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// What kind.
    #[sqlx(try_from = "String")]
    pub kind: VisitKind,
    /// The year of the season.
    pub season_year: i64,
    /// Where it stands.
    #[sqlx(try_from = "String")]
    pub state: VisitState,
    /// Its day.
    pub day: Date,
}

impl Covered {
    /// The agreement's dates.
    #[must_use]
    pub fn term(&self) -> Term {
        Term {
            starts_on: self.starts_on,
            ends_on: self.ends_on,
            accepted_on: self.accepted_on,
            ended_on: self.ended_on,
        }
    }
}

macro_rules! covered_select {
    ($tail:literal) => {
        concat!(
            "SELECT a.id AS agreement_id, s.id AS system_id, s.name AS system_name,
                    c.id AS customer_id, c.name AS customer_name, c.phone, t.street, t.town,
                    a.starts_on, a.ends_on, a.accepted_on, a.ended_on, p.seasons
             FROM agreement a JOIN agreement_system u ON u.agreement_id = a.id
             JOIN system s ON s.id = u.system_id JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id
             JOIN plan_version p ON p.plan_id = a.plan_id AND p.version = a.plan_version ",
            $tail
        )
    };
}

impl Tx {
    /// Agreements, the youngest first; of one customer or of all, [`AGREEMENTS_MAX`] at most.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn agreements(
        &mut self,
        customer: Option<Uuid>,
    ) -> Result<Vec<Agreement>, StoreError> {
        self.all(
            "SELECT a.id, a.customer_id, c.name AS customer_name, p.name AS plan_name,
                    p.price_cents, a.starts_on, a.ends_on, a.accepted_on, a.ended_on,
                    (SELECT COUNT(*) FROM agreement_system s WHERE s.agreement_id = a.id)
                      AS systems, p.seasons
             FROM agreement a JOIN customer c ON c.id = a.customer_id
             JOIN plan_version p ON p.plan_id = a.plan_id AND p.version = a.plan_version
             WHERE ($1 IS NULL OR a.customer_id = $1)
             ORDER BY a.starts_on DESC, c.name, a.id LIMIT $2",
            &[&customer, &AGREEMENTS_MAX],
        )
        .await
    }

    /// An agreement by id.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn agreement(&mut self, id: Uuid) -> Result<Agreement, StoreError> {
        self.one(
            "SELECT a.id, a.customer_id, c.name AS customer_name, p.name AS plan_name,
                    p.price_cents, a.starts_on, a.ends_on, a.accepted_on, a.ended_on,
                    (SELECT COUNT(*) FROM agreement_system s WHERE s.agreement_id = a.id)
                      AS systems, p.seasons
             FROM agreement a JOIN customer c ON c.id = a.customer_id
             JOIN plan_version p ON p.plan_id = a.plan_id AND p.version = a.plan_version
             WHERE a.id = $1",
            &[&id],
        )
        .await
    }

    /// Adds an agreement for its systems.
    ///
    /// # Errors
    /// `StillReferenced` if a customer, plan or system isn't there.
    pub async fn insert_agreement(
        &mut self,
        agreement: &NewAgreement,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO agreement (id, customer_id, plan_id, plan_version, starts_on, ends_on,
               accepted_on, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
            &[
                &agreement.id,
                &agreement.customer_id,
                &agreement.plan.0,
                &agreement.plan.1,
                &agreement.starts_on,
                &agreement.ends_on,
                &agreement.accepted_on,
                &at,
            ],
        )
        .await?;
        for system in &agreement.systems {
            self.execute(
                "INSERT INTO agreement_system (agreement_id, system_id) VALUES ($1, $2)",
                &[&agreement.id, system],
            )
            .await?;
        }
        Ok(())
    }

    /// The systems that an agreement covers.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn systems_of_agreement(
        &mut self,
        agreement: Uuid,
    ) -> Result<Vec<CoveredSystem>, StoreError> {
        self.all(
            "SELECT s.id, s.name, t.street, t.town
             FROM agreement_system u JOIN system s ON s.id = u.system_id
             JOIN site t ON t.id = s.site_id
             WHERE u.agreement_id = $1 ORDER BY t.street, s.name, s.id",
            &[&agreement],
        )
        .await
    }

    /// Whether there is an agreement of that id already.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn has_agreement(&mut self, id: Uuid) -> Result<bool, StoreError> {
        let row: Option<(i64,)> =
            self.optional("SELECT plan_version FROM agreement WHERE id = $1", &[&id]).await?;
        Ok(row.is_some())
    }

    /// A system under an accepted agreement; none if that agreement doesn't cover it.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn covered(
        &mut self,
        agreement: Uuid,
        system: Uuid,
    ) -> Result<Option<Covered>, StoreError> {
        self.optional(
            covered_select!("WHERE a.accepted_on IS NOT NULL AND a.id = $1 AND s.id = $2"),
            &[&agreement, &system],
        )
        .await
    }

    /// The visits that stand for promises of one agreement, the newest season first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn kept_by(&mut self, agreement: Uuid) -> Result<Vec<Kept>, StoreError> {
        self.all(
            "SELECT id AS visit_id, agreement_id, system_id, kind, season_year, state, day
             FROM visit
             WHERE agreement_id = $1 AND season_year IS NOT NULL
               AND state NOT IN ('cancelled', 'no_access')
             ORDER BY season_year DESC, day DESC, number DESC",
            &[&agreement],
        )
        .await
    }

    /// Notes that the customer said yes.
    ///
    /// # Errors
    /// `Changed` if they had already.
    pub async fn set_agreement_accepted(&mut self, id: Uuid, on: Date) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE agreement SET accepted_on = $2 WHERE id = $1 AND accepted_on IS NULL",
                &[&id, &on],
            )
            .await?;
        if changed == 0 { Err(StoreError::Changed) } else { Ok(()) }
    }

    /// Ends an agreement before its time.
    ///
    /// # Errors
    /// `Changed` if it was ended already.
    pub async fn set_agreement_ended(&mut self, id: Uuid, on: Date) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE agreement SET ended_on = $2 WHERE id = $1 AND ended_on IS NULL",
                &[&id, &on],
            )
            .await?;
        if changed == 0 { Err(StoreError::Changed) } else { Ok(()) }
    }

    /// The systems under agreements that hold on some day since `since`.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn covered_since(&mut self, since: Date) -> Result<Vec<Covered>, StoreError> {
        self.all(
            covered_select!(
                "WHERE a.accepted_on IS NOT NULL AND a.ends_on > $1
                   AND (a.ended_on IS NULL OR a.ended_on > $1)
                 ORDER BY a.id, s.id"
            ),
            &[&since],
        )
        .await
    }

    /// The visits that stand for promises of seasons since a year.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn kept_since(&mut self, year: i64) -> Result<Vec<Kept>, StoreError> {
        self.all(
            "SELECT id AS visit_id, agreement_id, system_id, kind, season_year, state, day
             FROM visit
             WHERE agreement_id IS NOT NULL AND season_year >= $1
               AND state NOT IN ('cancelled', 'no_access') ORDER BY number",
            &[&year],
        )
        .await
    }
}
