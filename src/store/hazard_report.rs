//! Hazards as they were told from visits, and who of the office saw them.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx};

/// A hazard that was told, with the words around it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct HazardReport {
    /// Its id.
    pub id: Uuid,
    /// The visit that told it.
    pub visit_id: Uuid,
    /// The street.
    pub street: String,
    /// The customer's name.
    pub customer_name: String,
    /// The customer's phone.
    pub phone: String,
    /// The field of the sheet that tells it.
    pub field: String,
    /// What was told.
    pub words: String,
    /// Who told it.
    pub person_name: Option<String>,
    /// When, by the device's clock, if it says.
    pub at: Option<OffsetDateTime>,
    /// When it reached us.
    pub received_at: OffsetDateTime,
    /// When it was taken back, if it was.
    pub taken_back_at: Option<OffsetDateTime>,
    /// When somebody of the office saw it.
    pub seen_at: Option<OffsetDateTime>,
    /// Who.
    pub seen_by_name: Option<String>,
}

/// A hazard to be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewHazardReport<'a> {
    /// Its id.
    pub id: Uuid,
    /// The visit.
    pub visit: Uuid,
    /// The field of the sheet that tells it.
    pub field: &'a str,
    /// What is told.
    pub words: &'a str,
    /// When, by the device's clock, if it says.
    pub at: Option<OffsetDateTime>,
}

macro_rules! hazard_select {
    ($tail:literal) => {
        concat!(
            "SELECT h.id, h.visit_id, t.street, c.name AS customer_name, c.phone, h.field,
                    h.words, n.name AS person_name, h.at, h.received_at, h.taken_back_at,
                    h.seen_at, o.name AS seen_by_name
             FROM hazard_report h JOIN visit v ON v.id = h.visit_id
             JOIN system s ON s.id = v.system_id JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id
             LEFT JOIN person n ON n.id = h.person_id
             LEFT JOIN person o ON o.id = h.seen_by_id ",
            $tail
        )
    };
}

impl Tx {
    /// The hazards that nobody of the office has seen yet, the oldest first; also those that were
    /// taken back since, for the office may have to call somebody off. Past 20, the rest moves up
    /// as they are seen.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn unseen_hazards(&mut self) -> Result<Vec<HazardReport>, StoreError> {
        self.all(
            hazard_select!("WHERE h.seen_at IS NULL ORDER BY h.received_at, h.id LIMIT 20"),
            &[],
        )
        .await
    }

    /// The hazards that were seen and still stand: not taken back, on a sheet that the owner has
    /// not accepted yet.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn standing_hazards(&mut self) -> Result<Vec<HazardReport>, StoreError> {
        self.all(
            hazard_select!(
                "WHERE h.seen_at IS NOT NULL AND h.taken_back_at IS NULL
                   AND v.state IN ('booked', 'under_way', 'sent_back', 'handed_in')
                 ORDER BY h.received_at DESC, h.id LIMIT 20"
            ),
            &[],
        )
        .await
    }

    /// Every hazard that a visit told, the oldest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn hazards_of(&mut self, visit: Uuid) -> Result<Vec<HazardReport>, StoreError> {
        self.all(hazard_select!("WHERE h.visit_id = $1 ORDER BY h.received_at, h.id"), &[&visit])
            .await
    }

    /// Tells a hazard, and says whether it is a new one: while the same one stands, it is not told
    /// again.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_hazard_report(
        &mut self,
        new: NewHazardReport<'_>,
        by: By,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO hazard_report (id, visit_id, field, words, person_id, at, received_at)
                 VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT DO NOTHING",
                &[&new.id, &new.visit, &new.field, &new.words, &by.person, &new.at, &by.at],
            )
            .await?;
        Ok(added > 0)
    }

    /// Takes a hazard of a visit back, if it stands, and gives its id. The row stays.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn take_hazard_back(
        &mut self,
        visit: Uuid,
        field: &str,
        at: OffsetDateTime,
    ) -> Result<Option<Uuid>, StoreError> {
        let row: Option<(Uuid,)> = self
            .optional(
                "UPDATE hazard_report SET taken_back_at = $3
                 WHERE visit_id = $1 AND field = $2 AND taken_back_at IS NULL RETURNING id",
                &[&visit, &field, &at],
            )
            .await?;
        Ok(row.map(|it| it.0))
    }

    /// Notes who saw a hazard, and says whether they were the first.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn set_hazard_seen(&mut self, id: Uuid, by: By) -> Result<bool, StoreError> {
        let seen = self
            .execute(
                "UPDATE hazard_report SET seen_at = $2, seen_by_id = $3
                 WHERE id = $1 AND seen_at IS NULL",
                &[&id, &by.at, &by.person],
            )
            .await?;
        let _there: (i64,) =
            self.one("SELECT CAST(1 AS BIGINT) FROM hazard_report WHERE id = $1", &[&id]).await?;
        Ok(seen > 0)
    }
}
