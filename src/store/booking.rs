//! Booking: the rows that keep two visits out of one quarter hour of one technician.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{StoreError, Tx};
use crate::domain::visit::VisitKind;

/// A visit to be booked.
#[derive(Clone, Copy, Debug)]
pub struct NewVisit {
    /// Its id, made by whoever books.
    pub id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// What it is for.
    pub kind: VisitKind,
    /// Who goes.
    pub technician_id: Uuid,
    /// When.
    pub slot: Slot,
    /// The promise that it keeps, with the year of the season.
    pub promise: Option<(Uuid, i64)>,
}

/// A stretch of a technician's day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slot {
    /// The local day.
    pub day: Date,
    /// Minutes after midnight.
    pub start_minute: i64,
    /// How long.
    pub minutes: i64,
}

/// What was booked under an id.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct BookedAs {
    /// The system.
    pub system_id: Uuid,
    /// What for.
    #[sqlx(try_from = "String")]
    pub kind: VisitKind,
    /// Who goes.
    pub technician_id: Option<Uuid>,
    /// The local day.
    pub day: Date,
    /// Minutes after midnight.
    pub start_minute: i64,
    /// How long.
    pub minutes: i64,
    /// The promise that it keeps.
    pub agreement_id: Option<Uuid>,
    /// The year of the promise's season.
    pub season_year: Option<i64>,
}

impl Tx {
    /// Whether there is a visit of that id already.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn has_visit(&mut self, id: Uuid) -> Result<bool, StoreError> {
        let row: Option<(i64,)> =
            self.optional("SELECT number FROM visit WHERE id = $1", &[&id]).await?;
        Ok(row.is_some())
    }

    /// What was booked under an id, as it stands now; none if there is no such visit.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn booked_as(&mut self, id: Uuid) -> Result<Option<BookedAs>, StoreError> {
        self.optional(
            "SELECT system_id, kind, technician_id, day, start_minute, minutes, agreement_id,
                    season_year FROM visit WHERE id = $1",
            &[&id],
        )
        .await
    }

    /// Takes the turn to book: whoever else would book waits until this transaction is over, and
    /// what they had booked before can be seen from here on.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn take_turn(&mut self) -> Result<(), StoreError> {
        self.execute("UPDATE company SET visits = visits WHERE id = 1", &[]).await?;
        Ok(())
    }

    /// Adds a booked visit.
    ///
    /// # Errors
    /// `Taken` if the promise is kept by another visit already.
    pub async fn insert_visit(
        &mut self,
        visit: &NewVisit,
        at: OffsetDateTime,
    ) -> Result<i64, StoreError> {
        let (number,): (i64,) = self
            .one("UPDATE company SET visits = visits + 1 WHERE id = 1 RETURNING visits", &[])
            .await?;
        let (agreement, year) = visit.promise.unzip();
        self.execute(
            "INSERT INTO visit (id, number, system_id, kind, state, technician_id, day,
               start_minute, minutes, agreement_id, season_year, entries, made_at)
             VALUES ($1, $2, $3, $4, 'booked', $5, $6, $7, $8, $9, $10, 0, $11)",
            &[
                &visit.id,
                &number,
                &visit.system_id,
                &visit.kind.key(),
                &visit.technician_id,
                &visit.slot.day,
                &visit.slot.start_minute,
                &visit.slot.minutes,
                &agreement,
                &year,
                &at,
            ],
        )
        .await?;
        Ok(number)
    }

    /// Takes the quarter hours of a visit, each of which can be there only once.
    ///
    /// # Errors
    /// `Taken` if the technician is busy then.
    pub async fn insert_quarters(
        &mut self,
        visit: Uuid,
        technician: Uuid,
        slot: Slot,
    ) -> Result<(), StoreError> {
        let first = slot.start_minute / 15;
        let end = (slot.start_minute + slot.minutes + 14) / 15;
        for quarter in first..end {
            self.execute(
                "INSERT INTO booking_quarter (technician_id, day, quarter, visit_id)
                 VALUES ($1, $2, $3, $4)",
                &[&technician, &slot.day, &quarter, &visit],
            )
            .await?;
        }
        Ok(())
    }

    /// Gives the quarter hours of a visit back.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn free_quarters(&mut self, visit: Uuid) -> Result<(), StoreError> {
        self.execute("DELETE FROM booking_quarter WHERE visit_id = $1", &[&visit]).await?;
        Ok(())
    }

    /// Moves a booked visit to another technician or time.
    ///
    /// # Errors
    /// `Taken` if the technician is busy then; `Changed` if the visit is no longer just booked.
    pub async fn move_visit(
        &mut self,
        visit: Uuid,
        technician: Uuid,
        slot: Slot,
    ) -> Result<(), StoreError> {
        // The visit first, as everybody takes it: two orders could wait for each other.
        let changed = self
            .execute(
                "UPDATE visit SET technician_id = $2, day = $3, start_minute = $4, minutes = $5
                 WHERE id = $1 AND state = 'booked'",
                &[&visit, &technician, &slot.day, &slot.start_minute, &slot.minutes],
            )
            .await?;
        if changed == 0 {
            return Err(StoreError::Changed);
        }
        self.free_quarters(visit).await?;
        self.insert_quarters(visit, technician, slot).await
    }
}
