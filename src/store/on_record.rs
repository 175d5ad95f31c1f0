//! Everything that visits are judged from, read for many visits at a time: by the short numbers
//! of the first and the last.

use serde_json::value::RawValue;
use sqlx::types::Json;
use uuid::Uuid;

use super::{Mark, Reading, StoreError, Tx};

/// A row of a visit, with the visit's number before it.
#[derive(Debug, sqlx::FromRow)]
pub(super) struct ReadingOf {
    pub(super) visit_number: i64,
    #[sqlx(flatten)]
    pub(super) reading: Reading,
}

#[derive(Debug, sqlx::FromRow)]
pub(super) struct MarkOf {
    pub(super) visit_number: i64,
    #[sqlx(flatten)]
    pub(super) mark: Mark,
}

#[derive(Debug, sqlx::FromRow)]
struct OutputOf {
    visit_number: i64,
    output: Json<Box<RawValue>>,
}

impl Tx {
    /// The readings of some visits as they count now: the newest of each point, stage and take,
    /// unless something impossible was typed over it since (the sheet shows that, so it counts),
    /// with the time at which it was first taken (a slip mended later was not read later, but what
    /// was taken back and is there again was read anew).
    ///
    /// # Errors
    /// As the database has them.
    pub async fn readings_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<(i64, Reading)>, StoreError> {
        let rows: Vec<ReadingOf> = self
            .all(
                "SELECT r.visit_number, r.stage, r.take, r.point, r.value, r.taken_at
                 FROM (SELECT q.visit_number, q.number, q.stage, q.take, q.point, q.value,
                         COALESCE(MIN(CASE WHEN q.value IS NOT NULL THEN q.taken_at END) OVER
                           (PARTITION BY q.visit_number, q.point, q.stage, q.take, q.taken_back),
                           q.taken_at) AS taken_at,
                         MAX(q.number) OVER
                           (PARTITION BY q.visit_number, q.point, q.stage, q.take) AS newest
                       FROM (SELECT o.visit_number, o.number, o.stage, o.take, o.point, o.value,
                               o.taken_at, SUM(CASE WHEN o.value IS NULL THEN 1 ELSE 0 END) OVER
                                 (PARTITION BY o.visit_number, o.point, o.stage, o.take
                                  ORDER BY o.number) AS taken_back
                             FROM reading o
                             WHERE o.visit_number >= $1 AND o.visit_number <= $2) q) r
                 LEFT JOIN (SELECT visit_number, field, stage, take, MAX(number) AS number
                       FROM entry WHERE visit_number >= $1 AND visit_number <= $2
                         AND refusal <> '' AND held = ''
                       GROUP BY visit_number, field, stage, take) e
                   ON e.visit_number = r.visit_number AND e.field = r.point
                   AND e.stage = r.stage AND e.take = r.take AND e.number > r.number
                 WHERE r.number = r.newest AND e.number IS NULL
                 ORDER BY r.visit_number, r.point, r.stage, r.take",
                &[&first, &last],
            )
            .await?;
        Ok(rows.into_iter().map(|row| (row.visit_number, row.reading)).collect())
    }

    /// The marks of some visits as they count now: the newest of each field and stage, unless
    /// something impossible was typed over it since.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn marks_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<(i64, Mark)>, StoreError> {
        let rows: Vec<MarkOf> = self
            .all(
                "SELECT m.visit_number, m.stage, m.field, m.value
                 FROM (SELECT q.visit_number, q.number, q.stage, q.field, q.value,
                         MAX(q.number) OVER (PARTITION BY q.visit_number, q.field, q.stage)
                           AS newest
                       FROM mark q WHERE q.visit_number >= $1 AND q.visit_number <= $2) m
                 LEFT JOIN (SELECT visit_number, field, stage, MAX(number) AS number
                       FROM entry WHERE visit_number >= $1 AND visit_number <= $2
                         AND refusal <> '' AND held = ''
                       GROUP BY visit_number, field, stage) e
                   ON e.visit_number = m.visit_number AND e.field = m.field
                   AND e.stage = m.stage AND e.number > m.number
                 WHERE m.number = m.newest AND e.number IS NULL
                 ORDER BY m.visit_number, m.field, m.stage",
                &[&first, &last],
            )
            .await?;
        Ok(rows.into_iter().map(|row| (row.visit_number, row.mark)).collect())
    }

    /// What the engine said in the judgements of some visits that are shown, unread: reading it is
    /// the dearest part, so that it is done once and into what it shall be.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn outputs_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<(i64, Box<RawValue>)>, StoreError> {
        let rows: Vec<OutputOf> = self
            .all(
                "SELECT a.visit_number, a.output FROM visit v
                 JOIN assessment a ON a.visit_number = v.number AND a.number = v.assessment_number
                 WHERE v.number >= $1 AND v.number <= $2",
                &[&first, &last],
            )
            .await?;
        Ok(rows.into_iter().map(|row| (row.visit_number, row.output.0)).collect())
    }

    /// Which of some visits have a private link to their report.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn linked_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<Uuid>, StoreError> {
        let rows: Vec<(Uuid,)> = self
            .all(
                "SELECT v.id FROM visit v WHERE v.number >= $1 AND v.number <= $2
                   AND EXISTS (SELECT 1 FROM report_link l WHERE l.visit_id = v.id)",
                &[&first, &last],
            )
            .await?;
        Ok(rows.into_iter().map(|row| row.0).collect())
    }
}
