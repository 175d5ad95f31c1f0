//! Visits and who goes when.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{Scope, StoreError, Tx};
use crate::domain::visit::{VisitKind, VisitState};

/// A visit with the system, the site and the people around it.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Visit {
    /// Its id.
    pub id: Uuid,
    /// The short key of its readings.
    pub number: i64,
    /// Its system.
    pub system_id: Uuid,
    /// What it is for.
    #[sqlx(try_from = "String")]
    pub kind: VisitKind,
    /// Where it stands.
    #[sqlx(try_from = "String")]
    pub state: VisitState,
    /// Who goes.
    pub technician_id: Option<Uuid>,
    /// Their name.
    pub technician_name: Option<String>,
    /// The local day.
    pub day: Date,
    /// Minutes after midnight.
    pub start_minute: i64,
    /// How long it is planned to take.
    pub minutes: i64,
    /// The promise that it keeps.
    pub agreement_id: Option<Uuid>,
    /// How many entries it has.
    pub entries: i64,
    /// The judgement that is shown.
    pub assessment_number: Option<i64>,
    /// When the sheet came in.
    pub handed_in_at: Option<OffsetDateTime>,
    /// The system's name.
    pub system_name: String,
    /// The system's kind.
    pub system_kind: String,
    /// The street.
    pub street: String,
    /// The town.
    pub town: String,
    /// The site's height.
    pub elevation_ft: f64,
    /// How to get in.
    pub access_note: String,
    /// The customer.
    pub customer_id: Uuid,
    /// The customer's name.
    pub customer_name: String,
    /// The customer's phone.
    pub phone: String,
}

macro_rules! visit_select {
    ($tail:literal) => {
        concat!(
            "SELECT v.id, v.number, v.system_id, v.kind, v.state, v.technician_id,
                    n.name AS technician_name, v.day, v.start_minute, v.minutes, v.agreement_id,
                    v.entries, v.assessment_number, v.handed_in_at, s.name AS system_name,
                    s.kind AS system_kind, t.street, t.town, t.elevation_ft, t.access_note,
                    t.customer_id, c.name AS customer_name, c.phone
             FROM visit v JOIN system s ON s.id = v.system_id JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id
             LEFT JOIN person n ON n.id = v.technician_id ",
            $tail
        )
    };
}

impl Tx {
    /// A visit that the viewer may see: a technician's own only.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn visit(&mut self, scope: Scope, id: Uuid) -> Result<Visit, StoreError> {
        self.one(
            visit_select!(
                "WHERE v.id = $4 AND ($1 OR (v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                   AND v.state <> 'cancelled'))"
            ),
            &[&scope.everything, &scope.person, &scope.since, &id],
        )
        .await
    }

    /// A visit that somebody has or once had, by the events of its booking: what their phone still
    /// holds of it must not be lost.
    ///
    /// # Errors
    /// `NotFound`, also for a visit that was never theirs.
    pub async fn visit_once_of(&mut self, person: Uuid, id: Uuid) -> Result<Visit, StoreError> {
        self.one(
            visit_select!(
                "WHERE v.id = $1 AND (v.technician_id = $2 OR EXISTS (
                   SELECT 1 FROM event e WHERE e.noun_id = v.id AND e.verb IN ('book', 'move')
                     AND e.body ->> 'technician' = $3))"
            ),
            &[&id, &person, &person.to_string()],
        )
        .await
    }

    /// Holds a visit until the transaction ends, so that two devices that send the same change
    /// can't both find it new. (SQLite has one writer anyway.)
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn hold_visit(&mut self, id: Uuid) -> Result<(), StoreError> {
        let held = self.execute("UPDATE visit SET entries = entries WHERE id = $1", &[&id]).await?;
        if held == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// A technician's visits of some days, in order; and those of other days that are still open,
    /// booked ones back to `since`.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_of_technician(
        &mut self,
        technician: Uuid,
        (first, last): (Date, Date),
        since: Date,
    ) -> Result<Vec<Visit>, StoreError> {
        self.all(
            visit_select!(
                "WHERE v.technician_id = $1 AND v.state <> 'cancelled'
                   AND ((v.day >= $2 AND v.day <= $3)
                     OR v.state IN ('under_way', 'sent_back')
                     OR (v.day < $2 AND v.day >= $4 AND v.state = 'booked'))
                 ORDER BY v.day, v.start_minute, v.number LIMIT 100"
            ),
            &[&technician, &first, &last, &since],
        )
        .await
    }

    /// All visits of some days, by day and time.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_between(
        &mut self,
        first: Date,
        last: Date,
    ) -> Result<Vec<Visit>, StoreError> {
        self.all(
            visit_select!(
                "WHERE v.day >= $1 AND v.day <= $2 AND v.state <> 'cancelled'
                 ORDER BY v.day, v.start_minute, v.number LIMIT 500"
            ),
            &[&first, &last],
        )
        .await
    }

    /// The sheets that wait for the owner, the oldest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_to_review(&mut self) -> Result<Vec<Visit>, StoreError> {
        self.all(
            visit_select!(
                "WHERE v.state = 'handed_in' ORDER BY v.handed_in_at, v.number LIMIT 200"
            ),
            &[],
        )
        .await
    }

    /// The last visit to the same system before another whose sheet is in: the last yearly one of
    /// the cooling season, or the last of any kind with that sheet.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visit_before(&mut self, visit: &Visit) -> Result<Option<Visit>, StoreError> {
        self.optional(
            visit_select!(
                "WHERE v.system_id = $1 AND (v.day < $2 OR (v.day = $2 AND v.number < $3))
                   AND v.state IN ('handed_in', 'accepted') AND v.kind <> 'heating_maintenance'
                 ORDER BY CASE WHEN v.kind = 'cooling_maintenance' THEN 0 ELSE 1 END,
                   v.day DESC, v.number DESC LIMIT 1"
            ),
            &[&visit.system_id, &visit.day, &visit.number],
        )
        .await
    }

    /// The next visits after a number whose sheets are in, in the order of their numbers.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_in(&mut self, after: i64, most: i64) -> Result<Vec<Visit>, StoreError> {
        self.all(
            visit_select!(
                "WHERE v.number > $1 AND v.state IN ('handed_in', 'accepted')
                 ORDER BY v.number LIMIT $2"
            ),
            &[&after, &most],
        )
        .await
    }

    /// Every visit of a system, the newest first. Whether the system may be seen is asked before.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_of_system(&mut self, system: Uuid) -> Result<Vec<Visit>, StoreError> {
        self.all(
            visit_select!(
                "WHERE v.system_id = $1 AND v.state <> 'cancelled'
                 ORDER BY v.day DESC, v.number DESC LIMIT 60"
            ),
            &[&system],
        )
        .await
    }

    /// The visits that are open to a technician: their own.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn visits_open_to(&mut self, scope: Scope) -> Result<Vec<Uuid>, StoreError> {
        let rows: Vec<(Uuid,)> = self
            .all(
                "SELECT v.id FROM visit v
                 WHERE v.technician_id = $1 AND v.state <> 'cancelled'
                   AND (v.day >= $2 OR v.state IN ('under_way', 'sent_back'))",
                &[&scope.person, &scope.since],
            )
            .await?;
        Ok(rows.into_iter().map(|row| row.0).collect())
    }

    /// Moves a visit from one state to the next.
    ///
    /// # Errors
    /// `Changed` if it is in another state by now.
    pub async fn set_visit_state(
        &mut self,
        visit: Uuid,
        from: VisitState,
        to: VisitState,
    ) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE visit SET state = $3 WHERE id = $1 AND state = $2",
                &[&visit, &from.key(), &to.key()],
            )
            .await?;
        if changed == 0 { Err(StoreError::Changed) } else { Ok(()) }
    }

    /// Notes when the sheet came in.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn set_handed_in(
        &mut self,
        visit: Uuid,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute("UPDATE visit SET handed_in_at = $2 WHERE id = $1", &[&visit, &at]).await?;
        Ok(())
    }

    /// Makes a private way to a report.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_report_link(
        &mut self,
        token_hash: &str,
        visit: Uuid,
        at: OffsetDateTime,
        ends_at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO report_link (token_hash, visit_id, made_at, ends_at)
             VALUES ($1, $2, $3, $4)",
            &[&token_hash, &visit, &at, &ends_at],
        )
        .await?;
        Ok(())
    }

    /// The accepted visit behind a private link that still holds.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn visit_of_link(
        &mut self,
        token_hash: &str,
        now: OffsetDateTime,
    ) -> Result<Visit, StoreError> {
        self.one(
            visit_select!(
                "JOIN report_link l ON l.visit_id = v.id
                 WHERE l.token_hash = $1 AND l.ends_at > $2 AND v.state = 'accepted'"
            ),
            &[&token_hash, &now],
        )
        .await
    }
}
