//! The company, and the record of what happened.

use serde_json::Value;
use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{StoreError, Tx};

/// The company itself.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Company {
    /// Its name, as on the report.
    pub name: String,
    /// Its phone.
    pub phone: String,
    /// Its mail address.
    pub email: String,
    /// Its IANA time zone.
    pub time_zone: String,
}

/// Who did something, and when. Every action takes one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct By {
    /// Who; none for the program itself and the console.
    pub person: Option<Uuid>,
    /// When.
    pub at: OffsetDateTime,
}

/// Something that happened to a noun.
#[derive(Clone, Debug)]
pub struct Event {
    /// What was done: `book`, `accept`.
    pub verb: &'static str,
    /// To what: `visit`, `customer`.
    pub noun: &'static str,
    /// To which.
    pub noun_id: Uuid,
    /// Ids and figures; no names, no phones.
    pub body: Value,
}

impl Tx {
    /// The company, once it was set up.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn company(&mut self) -> Result<Option<Company>, StoreError> {
        self.optional("SELECT name, phone, email, time_zone FROM company WHERE id = 1", &[]).await
    }

    /// Sets the company up.
    ///
    /// # Errors
    /// `Taken` if there is one already.
    pub async fn insert_company(
        &mut self,
        company: &Company,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO company (id, name, phone, email, time_zone, made_at)
             VALUES (1, $1, $2, $3, $4, $5)",
            &[&company.name, &company.phone, &company.email, &company.time_zone, &at],
        )
        .await?;
        Ok(())
    }

    /// Records what happened, in the transaction of the change.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_event(&mut self, by: By, event: Event) -> Result<(), StoreError> {
        self.insert_event_once(crate::chance::id(by.at), by, event).await?;
        Ok(())
    }

    /// Adds an event under an id that a device made, and says whether it is a new one.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_event_once(
        &mut self,
        id: Uuid,
        by: By,
        event: Event,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO event (id, at, person_id, verb, noun, noun_id, body)
                 VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT (id) DO NOTHING",
                &[
                    &id,
                    &by.at,
                    &by.person,
                    &event.verb,
                    &event.noun,
                    &event.noun_id,
                    &Json(event.body),
                ],
            )
            .await?;
        Ok(added > 0)
    }

    /// How often a verb was done to a noun: for tests and for the record.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn events_of(&mut self, noun_id: Uuid) -> Result<Vec<String>, StoreError> {
        let rows: Vec<(String,)> = self
            .all("SELECT verb FROM event WHERE noun_id = $1 ORDER BY at, id", &[&noun_id])
            .await?;
        Ok(rows.into_iter().map(|row| row.0).collect())
    }
}
