//! What was typed on a sheet, and what it came to. Rows are only ever added.

use time::OffsetDateTime;
use uuid::Uuid;

use super::dialect::Bind;
use super::{By, StoreError, Tx};
use crate::domain::visit::{self, Stage};

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
    /// How many seconds that clock was ahead of ours.
    pub device_ahead_s: Option<i64>,
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
    /// Why it waits for a person to decide; empty if it doesn't.
    pub held: String,
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
    /// When it was typed by the device's clock, and how far that was ahead of ours.
    pub device_at: Option<OffsetDateTime>,
    /// See `device_at`.
    pub device_ahead_s: Option<i64>,
    /// From which device or page.
    pub device: String,
    /// Who typed it.
    pub person_id: Option<Uuid>,
    /// Their name.
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

impl Entered {
    /// When it was typed, by our clock.
    #[must_use]
    pub fn taken_at(&self) -> OffsetDateTime {
        visit::typed_at((self.device_at, self.device_ahead_s), self.received_at)
    }
}

/// An entry that waits, or waited, for a person to decide whether it counts.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct HeldEntry {
    /// The entry.
    #[sqlx(flatten)]
    pub entry: Entered,
    /// Why: `other_device`, or the state in which the visit was by then.
    pub held: String,
    /// Whether somebody who knew of it has entered something in its field since.
    pub is_decided: bool,
}

/// An entry that came before, by its id.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Known {
    /// The id that its device gave it.
    pub id: Uuid,
    /// The visit's short number.
    pub visit_number: i64,
    /// Its place.
    pub number: i64,
    /// As found or as left.
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    /// The field.
    pub field: String,
    /// The text as typed.
    pub typed: String,
    /// Why it can't be, if it can't.
    pub refusal: String,
    /// Why it waited for a person.
    pub held: String,
}

/// Whether the sheet is with the technician or handed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetIs {
    /// A new value simply follows.
    Open,
    /// A change is a correction.
    In,
    /// As it may be: what comes is only kept.
    AsItMayBe,
}

/// A row beyond this many in one visit is refused: no hand types so much.
pub const ENTRIES_MAX: i64 = 20_000;

impl Tx {
    /// Sets the next `count` places of a visit's order aside and gives the first of them. A place
    /// that is then not used (its entry was there already) stays empty. The visit's row is held
    /// until the transaction ends, so that nothing is entered beside a hand-in.
    ///
    /// # Errors
    /// `Changed` if the sheet is no longer open, or in, as the caller found it; or if it is full.
    pub async fn set_places_aside(
        &mut self,
        visit_number: i64,
        count: i64,
        sheet: SheetIs,
    ) -> Result<i64, StoreError> {
        let sql = match sheet {
            SheetIs::Open => {
                "UPDATE visit SET entries = entries + $2
                 WHERE number = $1 AND entries + $2 <= $3
                   AND state IN ('booked', 'under_way', 'sent_back')
                 RETURNING entries"
            }
            SheetIs::In => {
                "UPDATE visit SET entries = entries + $2
                 WHERE number = $1 AND entries + $2 <= $3 AND state IN ('handed_in', 'accepted')
                 RETURNING entries"
            }
            SheetIs::AsItMayBe => {
                "UPDATE visit SET entries = entries + $2
                 WHERE number = $1 AND entries + $2 <= $3
                 RETURNING entries"
            }
        };
        let (last,): (i64,) = self
            .optional(sql, &[&visit_number, &count, &ENTRIES_MAX])
            .await?
            .ok_or(StoreError::Changed)?;
        Ok(last - count + 1)
    }

    /// Adds entries at their places and gives the places of those that are new: the same id twice
    /// is one entry.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_entries(
        &mut self,
        visit_number: i64,
        entries: &[(i64, NewEntry)],
        by: By,
    ) -> Result<Vec<i64>, StoreError> {
        let stages: Vec<&str> = entries.iter().map(|(_, entry)| entry.stage.key()).collect();
        let rows: Vec<Vec<&dyn Bind>> = entries
            .iter()
            .zip(&stages)
            .map(|((number, entry), stage)| -> Vec<&dyn Bind> {
                vec![
                    &entry.id,
                    &visit_number,
                    number,
                    &by.person,
                    &entry.device,
                    &entry.device_number,
                    &entry.base_number,
                    &entry.device_at,
                    &entry.device_ahead_s,
                    &by.at,
                    stage,
                    &entry.take,
                    &entry.field,
                    &entry.typed,
                    &entry.unit,
                    &entry.reason,
                    &entry.refusal,
                    &entry.held,
                ]
            })
            .collect();
        let added: Vec<(i64,)> = self
            .insert_rows(
                "INSERT INTO entry (id, visit_number, number, person_id, device, device_number,
                   base_number, device_at, device_ahead_s, received_at, stage, take, field, typed,
                   unit, reason, refusal, held)",
                &rows,
                "ON CONFLICT (id) DO NOTHING RETURNING number",
            )
            .await?;
        Ok(added.into_iter().map(|row| row.0).collect())
    }

    /// Adds what valid entries of measuring points came to, at the places of their entries.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_readings(
        &mut self,
        visit_number: i64,
        readings: &[(i64, Reading)],
    ) -> Result<(), StoreError> {
        let stages: Vec<&str> = readings.iter().map(|(_, reading)| reading.stage.key()).collect();
        let rows: Vec<Vec<&dyn Bind>> = readings
            .iter()
            .zip(&stages)
            .map(|((number, reading), stage)| -> Vec<&dyn Bind> {
                vec![
                    &visit_number,
                    number,
                    stage,
                    &reading.take,
                    &reading.point,
                    &reading.value,
                    &reading.taken_at,
                ]
            })
            .collect();
        let _added: Vec<(i64,)> = self
            .insert_rows(
                "INSERT INTO reading (visit_number, number, stage, take, point, value, taken_at)",
                &rows,
                "RETURNING number",
            )
            .await?;
        Ok(())
    }

    /// Adds what valid entries of other fields came to, at the places of their entries.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_marks(
        &mut self,
        visit_number: i64,
        marks: &[(i64, Mark)],
    ) -> Result<(), StoreError> {
        let stages: Vec<&str> = marks.iter().map(|(_, mark)| mark.stage.key()).collect();
        let rows: Vec<Vec<&dyn Bind>> = marks
            .iter()
            .zip(&stages)
            .map(|((number, mark), stage)| -> Vec<&dyn Bind> {
                vec![&visit_number, number, stage, &1_i64, &mark.field, &mark.value]
            })
            .collect();
        let _added: Vec<(i64,)> = self
            .insert_rows(
                "INSERT INTO mark (visit_number, number, stage, take, field, value)",
                &rows,
                "RETURNING number",
            )
            .await?;
        Ok(())
    }

    /// Which of some ids came before.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn entries_known(&mut self, ids: &[Uuid]) -> Result<Vec<Known>, StoreError> {
        let mut known = Vec::new();
        for id in ids {
            let one = self
                .optional(
                    "SELECT id, visit_number, number, stage, field, typed, refusal, held
                     FROM entry WHERE id = $1",
                    &[id],
                )
                .await?;
            known.extend(one);
        }
        Ok(known)
    }

    /// Everything that was typed on a visit and needs no decision, in order.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn entries_of(&mut self, visit_number: i64) -> Result<Vec<Entered>, StoreError> {
        self.all(
            "SELECT e.number, e.stage, e.take, e.field, e.typed, e.reason, e.refusal,
                    e.received_at, e.device, e.device_at, e.device_ahead_s, e.person_id,
                    n.name AS person_name
             FROM entry e LEFT JOIN person n ON n.id = e.person_id
             WHERE e.visit_number = $1 AND e.held = '' ORDER BY e.number",
            &[&visit_number],
        )
        .await
    }

    /// What was typed on a visit and waits, or waited, for a person to decide, in order.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn entries_held(&mut self, visit_number: i64) -> Result<Vec<HeldEntry>, StoreError> {
        self.all(
            "SELECT e.number, e.stage, e.take, e.field, e.typed, e.reason, e.refusal, e.held,
                    e.received_at, e.device, e.device_at, e.device_ahead_s, e.person_id,
                    n.name AS person_name,
                    EXISTS (SELECT 1 FROM entry l WHERE l.visit_number = e.visit_number
                      AND l.stage = e.stage AND l.field = e.field AND l.number > e.number
                      AND l.base_number >= e.number AND l.held = '') AS is_decided
             FROM entry e LEFT JOIN person n ON n.id = e.person_id
             WHERE e.visit_number = $1 AND e.held <> '' ORDER BY e.number",
            &[&visit_number],
        )
        .await
    }

    /// The readings of a visit as they count now.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn readings_of(&mut self, visit_number: i64) -> Result<Vec<Reading>, StoreError> {
        let rows = self.readings_between((visit_number, visit_number)).await?;
        Ok(rows.into_iter().map(|row| row.1).collect())
    }

    /// The marks of a visit as they count now.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn marks_of(&mut self, visit_number: i64) -> Result<Vec<Mark>, StoreError> {
        let rows = self.marks_between((visit_number, visit_number)).await?;
        Ok(rows.into_iter().map(|row| row.1).collect())
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
