//! Judgements: what the engine was given and what it said. Rows are only ever added.

use serde_json::Value;
use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{StoreError, Tx};

/// One judgement of a visit.
#[derive(Clone, Debug, sqlx::FromRow)]
pub struct Judgement {
    /// Its number within the visit.
    pub number: i64,
    /// When.
    pub at: OffsetDateTime,
    /// What the engine was given.
    pub input: Json<Value>,
    /// What it said.
    pub output: Json<Value>,
}

/// The shown judgement of a visit in a system's history.
#[derive(Clone, Debug, sqlx::FromRow)]
pub struct VisitJudgement {
    /// The visit.
    pub visit_id: Uuid,
    /// What the engine said.
    pub output: Json<Value>,
}

/// A judgement to be added.
#[derive(Clone, Copy, Debug)]
pub struct NewJudgement<'a> {
    /// What the engine was given.
    pub input: &'a Value,
    /// What it said.
    pub output: &'a Value,
    /// Version of the engine.
    pub engine: &'a str,
    /// Version of the limit book.
    pub rules: &'a str,
    /// Version of the priors.
    pub priors: &'a str,
}

impl Tx {
    /// Adds a judgement and makes it the one that is shown.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_judgement(
        &mut self,
        visit_number: i64,
        at: OffsetDateTime,
        new: NewJudgement<'_>,
    ) -> Result<(), StoreError> {
        let (number,): (i64,) = self
            .one(
                "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM assessment
                 WHERE visit_number = $1",
                &[&visit_number],
            )
            .await?;
        self.execute(
            "INSERT INTO assessment (visit_number, number, at, engine, rules, priors, input, output)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
            &[
                &visit_number,
                &number,
                &at,
                &new.engine,
                &new.rules,
                &new.priors,
                &Json(new.input),
                &Json(new.output),
            ],
        )
        .await?;
        self.execute(
            "UPDATE visit SET assessment_number = $2 WHERE number = $1",
            &[&visit_number, &number],
        )
        .await?;
        Ok(())
    }

    /// Shows no judgement: today's plates allow none. The rows of earlier ones stay.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn set_unjudged(&mut self, visit_number: i64) -> Result<(), StoreError> {
        self.execute(
            "UPDATE visit SET assessment_number = NULL WHERE number = $1",
            &[&visit_number],
        )
        .await?;
        Ok(())
    }

    /// The judgement of a visit that is shown.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn judgement_of(
        &mut self,
        visit_number: i64,
    ) -> Result<Option<Judgement>, StoreError> {
        self.optional(
            "SELECT a.number, a.at, a.input, a.output FROM assessment a
             JOIN visit v ON v.number = a.visit_number AND v.assessment_number = a.number
             WHERE v.number = $1",
            &[&visit_number],
        )
        .await
    }

    /// A judgement of a visit by its number, shown or not.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn judgement_at(
        &mut self,
        visit_number: i64,
        number: i64,
    ) -> Result<Judgement, StoreError> {
        self.one(
            "SELECT number, at, input, output FROM assessment
             WHERE visit_number = $1 AND number = $2",
            &[&visit_number, &number],
        )
        .await
    }

    /// When a visit was last judged again since its sheet was accepted: what a customer may have
    /// read before was another judgement.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn judged_again_at(
        &mut self,
        visit: Uuid,
    ) -> Result<Option<OffsetDateTime>, StoreError> {
        let row: Option<(OffsetDateTime,)> = self
            .optional(
                "SELECT e.at FROM event e WHERE e.noun_id = $1 AND e.verb = 'judge_again'
                   AND EXISTS (SELECT 1 FROM event a WHERE a.noun_id = e.noun_id
                     AND a.verb = 'accept' AND a.at <= e.at)
                 ORDER BY e.at DESC LIMIT 1",
                &[&visit],
            )
            .await?;
        Ok(row.map(|it| it.0))
    }

    /// The shown judgements of a system's visits.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn judgements_of_system(
        &mut self,
        system: Uuid,
    ) -> Result<Vec<VisitJudgement>, StoreError> {
        self.all(
            "SELECT v.id AS visit_id, a.output FROM visit v
             JOIN assessment a ON a.visit_number = v.number AND a.number = v.assessment_number
             WHERE v.system_id = $1 ORDER BY v.day DESC, v.number DESC LIMIT 60",
            &[&system],
        )
        .await
    }
}
