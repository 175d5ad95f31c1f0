//! What the owner wrote on sheets that went back.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{StoreError, Tx};

/// A remark of the owner on a sheet.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Remark {
    /// When.
    pub at: OffsetDateTime,
    /// Who.
    pub person_name: String,
    /// The field that it is about; empty for the whole sheet.
    pub field: String,
    /// What it says.
    pub text: String,
}

impl Tx {
    /// Adds a remark of the owner.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_remark(
        &mut self,
        id: Uuid,
        visit: Uuid,
        person_and_time: (Uuid, OffsetDateTime),
        field: &str,
        text: &str,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO remark (id, visit_id, person_id, at, field, text)
             VALUES ($1, $2, $3, $4, $5, $6)",
            &[&id, &visit, &person_and_time.0, &person_and_time.1, &field, &text],
        )
        .await?;
        Ok(())
    }

    /// The remarks on a visit, the newest first; of those that were made together, what is said on
    /// the whole sheet comes before what is said at its fields.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn remarks_on(&mut self, visit: Uuid) -> Result<Vec<Remark>, StoreError> {
        self.all(
            "SELECT r.at, n.name AS person_name, r.field, r.text FROM remark r
             JOIN person n ON n.id = r.person_id
             WHERE r.visit_id = $1 ORDER BY r.at DESC, CASE WHEN r.field = '' THEN 0 ELSE 1 END, r.id",
            &[&visit],
        )
        .await
    }
}
