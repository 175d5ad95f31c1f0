//! What was typed on a sheet, and what it came to. Rows are only ever added.

use serde_json::Value;
use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx};
use crate::domain::visit::Stage;

/// One thing that somebody typed or ticked.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntry {
    /// Made by the device: the same id twice is the same entry.
    pub id: Uuid,
    /// The device.
    pub device: String,
    /// The device's own count.
    pub device_number: i64,
    /// The last entry that the device knew of.
    pub base_number: i64,
    /// The device's clock.
    pub device_at: Option<OffsetDateTime>,
    /// As found or as left.
    pub stage: Stage,
    /// Which reading of that stage: 1, 2, …
    pub take: i64,
    /// The field.
    pub field: String,
    /// The text as typed.
    pub typed: String,
    /// The unit as typed.
    pub unit: String,
    /// Why, where a reason is asked for.
    pub reason: String,
    /// Why it stays a mere entry; empty if it doesn't.
    pub refusal: String,
}

/// The newest value of a field, with the text that was typed.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Entered {
    /// Its place in the order of the visit.
    pub number: i64,
    /// As found or as left.
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    /// Which reading of that stage.
    pub take: i64,
    /// The field.
    pub field: String,
    /// The text as typed.
    pub typed: String,
    /// Why it was corrected, if it was.
    pub reason: String,
    /// Why it can't be, if it can't.
    pub refusal: String,
    /// When it reached us.
    pub received_at: OffsetDateTime,
    /// Who typed it.
    pub person_name: Option<String>,
}

/// A reading as it counts now.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Reading {
    /// As found or as left.
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    /// Which reading of that stage.
    pub take: i64,
    /// The measuring point.
    pub point: String,
    /// The value in the point's unit; none if it was taken back.
    pub value: Option<f64>,
    /// When it was taken.
    pub taken_at: OffsetDateTime,
}

/// A mark as it counts now.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Mark {
    /// As found or as left.
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    /// The field.
    pub field: String,
    /// What it came to; empty if it was taken back.
    pub value: String,
}

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

/// A row beyond this many in one visit is refused: no hand types so much.
pub const ENTRIES_MAX: i64 = 20_000;

impl Tx {
    /// Sets the next `count` places of a visit's order aside and gives the first of them. A place
    /// that is then not used (its entry was there already) stays empty.
    ///
    /// # Errors
    /// `Changed` if the visit is gone or full.
    pub async fn set_places_aside(
        &mut self,
        visit_number: i64,
        count: i64,
    ) -> Result<i64, StoreError> {
        // The row of the visit is the counter: on PostgreSQL its lock orders two devices.
        let (last,): (i64,) = self
            .optional(
                "UPDATE visit SET entries = entries + $2 WHERE number = $1 AND entries + $2 <= $3
                 RETURNING entries",
                &[&visit_number, &count, &ENTRIES_MAX],
            )
            .await?
            .ok_or(StoreError::Changed)?;
        Ok(last - count + 1)
    }

    /// Adds an entry at its place and says whether it is new: the same id twice is one entry.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_entry(
        &mut self,
        visit_number: i64,
        number: i64,
        entry: &NewEntry,
        by: By,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO entry (id, visit_number, number, person_id, device, device_number,
                   base_number, device_at, received_at, stage, take, field, typed, unit, reason,
                   refusal)
                 VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)
                 ON CONFLICT (id) DO NOTHING",
                &[
                    &entry.id,
                    &visit_number,
                    &number,
                    &by.person,
                    &entry.device,
                    &entry.device_number,
                    &entry.base_number,
                    &entry.device_at,
                    &by.at,
                    &entry.stage.key(),
                    &entry.take,
                    &entry.field,
                    &entry.typed,
                    &entry.unit,
                    &entry.reason,
                    &entry.refusal,
                ],
            )
            .await?;
        Ok(added == 1)
    }

    /// Adds what a valid entry of a measuring point came to.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_reading(
        &mut self,
        visit_number: i64,
        number: i64,
        reading: &Reading,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO reading (visit_number, number, stage, take, point, value, taken_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[
                &visit_number,
                &number,
                &reading.stage.key(),
                &reading.take,
                &reading.point,
                &reading.value,
                &reading.taken_at,
            ],
        )
        .await?;
        Ok(())
    }

    /// Adds what a valid entry of another field came to.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_mark(
        &mut self,
        visit_number: i64,
        number: i64,
        mark: &Mark,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO mark (visit_number, number, stage, take, field, value)
             VALUES ($1, $2, $3, 1, $4, $5)",
            &[&visit_number, &number, &mark.stage.key(), &mark.field, &mark.value],
        )
        .await?;
        Ok(())
    }

    /// Everything that was typed on a visit, in order.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn entries_of(&mut self, visit_number: i64) -> Result<Vec<Entered>, StoreError> {
        self.all(
            "SELECT e.number, e.stage, e.take, e.field, e.typed, e.reason, e.refusal,
                    e.received_at, n.name AS person_name
             FROM entry e LEFT JOIN person n ON n.id = e.person_id
             WHERE e.visit_number = $1 ORDER BY e.number",
            &[&visit_number],
        )
        .await
    }

    /// The readings of a visit as they count now: the newest of each point, stage and take, with
    /// the time at which it was first taken (a slip mended later was not read later).
    ///
    /// # Errors
    /// As the database has them.
    pub async fn readings_of(&mut self, visit_number: i64) -> Result<Vec<Reading>, StoreError> {
        self.all(
            "SELECT r.stage, r.take, r.point, r.value,
                    (SELECT MIN(f.taken_at) FROM reading f
                     WHERE f.visit_number = r.visit_number AND f.point = r.point
                       AND f.stage = r.stage AND f.take = r.take) AS taken_at
             FROM reading r
             WHERE r.visit_number = $1 AND r.number = (
               SELECT MAX(q.number) FROM reading q
               WHERE q.visit_number = r.visit_number AND q.point = r.point
                 AND q.stage = r.stage AND q.take = r.take)
             ORDER BY r.point, r.stage, r.take",
            &[&visit_number],
        )
        .await
    }

    /// The marks of a visit as they count now.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn marks_of(&mut self, visit_number: i64) -> Result<Vec<Mark>, StoreError> {
        self.all(
            "SELECT m.stage, m.field, m.value FROM mark m
             WHERE m.visit_number = $1 AND m.number = (
               SELECT MAX(q.number) FROM mark q
               WHERE q.visit_number = m.visit_number AND q.field = m.field AND q.stage = m.stage)
             ORDER BY m.field, m.stage",
            &[&visit_number],
        )
        .await
    }

    /// Adds a judgement and makes it the one that is shown.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_judgement(
        &mut self,
        visit_number: i64,
        at: OffsetDateTime,
        input: &Value,
        output: &Value,
        engine_and_rules: (&str, &str),
    ) -> Result<(), StoreError> {
        let (number,): (i64,) = self
            .one(
                "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM assessment
                 WHERE visit_number = $1",
                &[&visit_number],
            )
            .await?;
        self.execute(
            "INSERT INTO assessment (visit_number, number, at, engine, rules, input, output)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[
                &visit_number,
                &number,
                &at,
                &engine_and_rules.0,
                &engine_and_rules.1,
                &Json(input),
                &Json(output),
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

    /// How many readings a visit has ever had: nothing is lost, nothing is doubled.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn count_readings(&mut self, visit_number: i64) -> Result<i64, StoreError> {
        let (count,): (i64,) = self
            .one("SELECT COUNT(*) FROM reading WHERE visit_number = $1", &[&visit_number])
            .await?;
        Ok(count)
    }
}
