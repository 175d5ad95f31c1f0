//! What repairs found to be the matter. Rows are only ever added.

use serde_json::value::RawValue;
use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx};

/// One confirmation of what was the matter at a visit.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct ConfirmedCause {
    /// Its id.
    pub id: Uuid,
    /// Its number among all confirmations.
    pub number: i64,
    /// The judgement that was shown when the visit was first answered.
    pub assessment_number: Option<i64>,
    /// The finding that it answers.
    pub finding_id: Option<Uuid>,
    /// What that finding is.
    pub finding_subject: Option<String>,
    /// The cause's word.
    pub cause: String,
    /// What else there is to say.
    pub remark: String,
    /// Who.
    pub person_name: String,
    /// When.
    pub at: OffsetDateTime,
}

/// A confirmation to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewConfirmedCause {
    /// Its id.
    pub id: Uuid,
    /// The visit that is answered.
    pub visit_number: i64,
    /// The judgement that was shown when the visit was first answered.
    pub assessment_number: Option<i64>,
    /// The finding that it answers.
    pub finding_id: Option<Uuid>,
    /// The cause's word.
    pub cause: String,
    /// What else there is to say.
    pub remark: String,
}

/// What was predicted of a visit, beside what the repair found.
#[derive(Clone, Debug, sqlx::FromRow)]
pub struct Answered {
    /// The cause's word as it was confirmed.
    pub cause: String,
    /// Version of the engine that predicted; none where nothing could be judged.
    pub engine: Option<String>,
    /// Version of its priors; empty for judgements of before there were any.
    pub priors: Option<String>,
    /// What it was given, unread.
    pub input: Option<Json<Box<RawValue>>>,
    /// What it said, unread.
    pub output: Option<Json<Box<RawValue>>>,
}

impl Tx {
    /// What repairs found at a visit, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn confirmed_causes_of(
        &mut self,
        visit_number: i64,
    ) -> Result<Vec<ConfirmedCause>, StoreError> {
        self.all(
            "SELECT c.id, c.number, c.assessment_number, c.finding_id,
                    f.subject AS finding_subject, c.cause, c.remark, n.name AS person_name, c.at
             FROM confirmed_cause c JOIN person n ON n.id = c.person_id
             LEFT JOIN finding f ON f.id = c.finding_id
             WHERE c.visit_number = $1 ORDER BY c.number DESC LIMIT 200",
            &[&visit_number],
        )
        .await
    }

    /// Adds a confirmation behind the newest and gives its number; none where this id is there
    /// already. The caller has taken the turn, so that numbers follow each other.
    ///
    /// # Errors
    /// `StillReferenced` without a person.
    pub async fn insert_confirmed_cause(
        &mut self,
        new: &NewConfirmedCause,
        by: By,
    ) -> Result<Option<i64>, StoreError> {
        let number = self.newest_confirmation().await? + 1;
        let added = self
            .execute(
                "INSERT INTO confirmed_cause (id, number, visit_number, assessment_number,
                   finding_id, cause, remark, person_id, at)
                 VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT (id) DO NOTHING",
                &[
                    &new.id,
                    &number,
                    &new.visit_number,
                    &new.assessment_number,
                    &new.finding_id,
                    &new.cause,
                    &new.remark,
                    &by.person,
                    &by.at,
                ],
            )
            .await?;
        Ok((added == 1).then_some(number))
    }

    /// Number of the newest confirmation; 0 before the first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn newest_confirmation(&mut self) -> Result<i64, StoreError> {
        let (number,): (i64,) = self
            .one("SELECT CAST(COALESCE(MAX(number), 0) AS BIGINT) FROM confirmed_cause", &[])
            .await?;
        Ok(number)
    }

    /// How many visits were found to have which cause, by its word, counting the newest answer of
    /// each visit and of these those after a number.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn causes_confirmed_after(
        &mut self,
        number: i64,
    ) -> Result<Vec<(String, i64)>, StoreError> {
        self.all(
            "SELECT c.cause, COUNT(*) FROM confirmed_cause c
             WHERE c.number > $1 AND c.number =
               (SELECT MAX(q.number) FROM confirmed_cause q WHERE q.visit_number = c.visit_number)
             GROUP BY c.cause ORDER BY c.cause",
            &[&number],
        )
        .await
    }

    /// How many judged visits could have been confirmed since then: those whose sheets came in
    /// after an instant, and older ones that were confirmed after a number all the same.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_to_confirm(
        &mut self,
        (number, since): (i64, Option<OffsetDateTime>),
    ) -> Result<i64, StoreError> {
        let (count,): (i64,) = self
            .one(
                "SELECT COUNT(*) FROM visit v
                 WHERE v.state IN ('handed_in', 'accepted') AND v.assessment_number IS NOT NULL
                   AND ($2 IS NULL OR v.handed_in_at > $2
                     OR EXISTS (SELECT 1 FROM confirmed_cause c
                       WHERE c.visit_number = v.number AND c.number > $1))",
                &[&number, &since],
            )
            .await?;
        Ok(count)
    }

    /// Every answered visit with what was predicted when it was first answered, in the order of
    /// the visits.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn answered_visits(&mut self) -> Result<Vec<Answered>, StoreError> {
        self.all(
            "SELECT c.cause, a.engine, a.priors, a.input, a.output FROM confirmed_cause c
             LEFT JOIN assessment a ON a.visit_number = c.visit_number
               AND a.number = c.assessment_number
             WHERE c.number =
               (SELECT MAX(q.number) FROM confirmed_cause q WHERE q.visit_number = c.visit_number)
             ORDER BY c.visit_number",
            &[],
        )
        .await
    }
}
