//! Parts used and refrigerant moved, by the lines of the sheet. Rows are only ever added: the
//! newest of a line counts.

use time::Date;
use uuid::Uuid;

use super::{By, StoreError, Tx, Visit};
use crate::domain::closing::{Direction, Movement, PartUsed};

/// Movements that the log reads at once: some decades of a small company's.
pub const MOVEMENTS_READ_MAX: i64 = 20_000;

/// Refrigerant that was moved, with the words around it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Moved {
    /// The visit.
    pub visit_id: Uuid,
    /// The line of its sheet.
    pub line: i64,
    /// The system.
    pub system_id: Uuid,
    /// The day of the visit.
    pub day: Date,
    /// Which way.
    #[sqlx(try_from = "String")]
    pub direction: Direction,
    /// How much, in tenths of an ounce.
    pub ounce_tenths: i64,
    /// What it was by the plate; empty where that isn't known.
    pub refrigerant: String,
    /// From or into which cylinder.
    pub cylinder: String,
    /// Who went.
    pub technician_name: Option<String>,
    /// The system's name.
    pub system_name: String,
    /// The street.
    pub street: String,
    /// The customer's name.
    pub customer_name: String,
}

#[derive(Debug, sqlx::FromRow)]
struct PartRow {
    line: i64,
    words: String,
    count: i64,
}

macro_rules! moved_select {
    ($tail:literal) => {
        concat!(
            "SELECT m.visit_id, m.line, m.system_id, m.day, m.direction, m.ounce_tenths,
                    m.refrigerant, m.cylinder, n.name AS technician_name, s.name AS system_name,
                    t.street, c.name AS customer_name
             FROM refrigerant_movement m JOIN visit v ON v.id = m.visit_id
             JOIN system s ON s.id = m.system_id JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id LEFT JOIN person n ON n.id = v.technician_id
             WHERE m.ounce_tenths > 0 AND m.number = (SELECT MAX(q.number)
               FROM refrigerant_movement q WHERE q.visit_id = m.visit_id AND q.line = m.line) ",
            $tail
        )
    };
}

impl Tx {
    /// The parts of a visit as they count now, by line.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn parts_of(&mut self, visit: Uuid) -> Result<Vec<PartUsed>, StoreError> {
        let rows: Vec<PartRow> = self
            .all(
                "SELECT p.line, p.words, p.count FROM part_used p
                 WHERE p.visit_id = $1 AND p.count > 0 AND p.number = (SELECT MAX(q.number)
                   FROM part_used q WHERE q.visit_id = p.visit_id AND q.line = p.line)
                 ORDER BY p.line",
                &[&visit],
            )
            .await?;
        let part = |it: PartRow| PartUsed { line: it.line, words: it.words, count: it.count };
        Ok(rows.into_iter().map(part).collect())
    }

    /// What a line of parts says from now on; a count of zero takes it back.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_part(
        &mut self,
        visit: Uuid,
        part: &PartUsed,
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO part_used (visit_id, line, number, words, count, person_id, at)
             VALUES ($1, $2, (SELECT COALESCE(MAX(number), 0) + 1 FROM part_used
               WHERE visit_id = $1 AND line = $2), $3, $4, $5, $6)",
            &[&visit, &part.line, &part.words, &part.count, &by.person, &by.at],
        )
        .await?;
        Ok(())
    }

    /// The refrigerant moved on a visit as it counts now, by line.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn moved_on(&mut self, visit: Uuid) -> Result<Vec<Moved>, StoreError> {
        self.all(moved_select!("AND m.visit_id = $1 ORDER BY m.line"), &[&visit]).await
    }

    /// All refrigerant ever moved, the newest day first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn moved(&mut self) -> Result<Vec<Moved>, StoreError> {
        self.all(
            moved_select!("ORDER BY m.day DESC, v.number DESC, m.line LIMIT $1"),
            &[&MOVEMENTS_READ_MAX],
        )
        .await
    }

    /// What a line of refrigerant says from now on; an amount of zero takes it back.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_movement(
        &mut self,
        visit: &Visit,
        (movement, refrigerant): (&Movement, &str),
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO refrigerant_movement (visit_id, line, number, system_id, day, direction,
               ounce_tenths, refrigerant, cylinder, person_id, at)
             VALUES ($1, $2, (SELECT COALESCE(MAX(number), 0) + 1 FROM refrigerant_movement
               WHERE visit_id = $1 AND line = $2), $3, $4, $5, $6, $7, $8, $9, $10)",
            &[
                &visit.id,
                &movement.line,
                &visit.system_id,
                &visit.day,
                &movement.direction.key(),
                &movement.ounce_tenths,
                &refrigerant,
                &movement.cylinder,
                &by.person,
                &by.at,
            ],
        )
        .await?;
        Ok(())
    }

    /// How many rows a visit has ever had of refrigerant and of parts: nothing is lost, nothing is
    /// doubled.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn count_closing_rows(&mut self, visit: Uuid) -> Result<(i64, i64), StoreError> {
        self.one(
            "SELECT (SELECT COUNT(*) FROM refrigerant_movement WHERE visit_id = $1),
                    (SELECT COUNT(*) FROM part_used WHERE visit_id = $1)",
            &[&visit],
        )
        .await
    }
}
