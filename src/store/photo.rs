//! Photos of visits: what is known of each; the pictures themselves are outside.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, Scope, StoreError, Tx, Visit};

/// Pictures that one round clears at most.
const CLEARED_AT_ONCE_MAX: i64 = 100;

/// A photo, or a signature.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Photo {
    /// Its id.
    pub id: Uuid,
    /// The visit.
    pub visit_id: Uuid,
    /// The field of the sheet; empty for the visit as a whole.
    pub field: String,
    /// Who took it.
    pub person_id: Uuid,
    /// Their name.
    pub person_name: String,
    /// When, by the device's clock.
    pub taken_at: Option<OffsetDateTime>,
    /// When it came.
    pub received_at: OffsetDateTime,
    /// Pixels across.
    pub width: i64,
    /// Pixels down.
    pub height: i64,
    /// The SHA-256 of what was sent.
    pub sent_sha256: String,
    /// The media type of what is kept.
    pub kind: String,
    /// When it was taken away.
    pub removed_at: Option<OffsetDateTime>,
}

/// A photo to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPhoto {
    /// Its id, made by the device.
    pub id: Uuid,
    /// The field of the sheet; empty for the visit as a whole.
    pub field: String,
    /// Who took it.
    pub person_id: Uuid,
    /// When, by the device's clock.
    pub taken_at: Option<OffsetDateTime>,
    /// Pixels across and down.
    pub sides: (i64, i64),
    /// Bytes that are kept.
    pub bytes: i64,
    /// The SHA-256 of what was sent.
    pub sent_sha256: String,
    /// The SHA-256 of what is kept.
    pub kept_sha256: String,
    /// The media type of what is kept.
    pub kind: String,
}

macro_rules! photo_select {
    ($tail:literal) => {
        concat!(
            "SELECT p.id, p.visit_id, p.field, p.person_id, n.name AS person_name, p.taken_at,
                    p.received_at, p.width, p.height, p.sent_sha256, p.kind, p.removed_at
             FROM photo p JOIN person n ON n.id = p.person_id ",
            $tail
        )
    };
}

impl Tx {
    /// A photo of a visit, also one that was taken away. Whether the visit may be seen is asked
    /// before.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn photo(&mut self, visit: Uuid, id: Uuid) -> Result<Photo, StoreError> {
        self.one(photo_select!("WHERE p.id = $2 AND p.visit_id = $1"), &[&visit, &id]).await
    }

    /// The photo of an id, whichever visit it is of: to tell a repeat from another.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn photo_of_any_visit(&mut self, id: Uuid) -> Result<Option<Photo>, StoreError> {
        self.optional(photo_select!("WHERE p.id = $1"), &[&id]).await
    }

    /// A photo that is still there, of a visit that the viewer may see.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn photo_seen(
        &mut self,
        scope: Scope,
        visit: Uuid,
        id: Uuid,
    ) -> Result<Photo, StoreError> {
        self.one(
            photo_select!(
                "JOIN visit v ON v.id = p.visit_id
                 WHERE p.id = $5 AND v.id = $4 AND p.removed_at IS NULL
                   AND ($1 OR (v.technician_id = $2
                     AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                     AND v.state <> 'cancelled'))"
            ),
            &[&scope.everything, &scope.person, &scope.since, &visit, &id],
        )
        .await
    }

    /// A photo that is still there, of the accepted visit behind a private link that still holds.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn photo_of_link(
        &mut self,
        token_hash: &str,
        now: OffsetDateTime,
        id: Uuid,
    ) -> Result<Photo, StoreError> {
        self.one(
            photo_select!(
                "JOIN visit v ON v.id = p.visit_id JOIN report_link l ON l.visit_id = v.id
                 WHERE p.id = $3 AND p.removed_at IS NULL
                   AND l.token_hash = $1 AND l.ends_at > $2 AND v.state = 'accepted'"
            ),
            &[&token_hash, &now, &id],
        )
        .await
    }

    /// The photos of a visit that are still there, in the order in which they came.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn photos_of(&mut self, visit: Uuid) -> Result<Vec<Photo>, StoreError> {
        self.all(
            photo_select!(
                "WHERE p.visit_id = $1 AND p.removed_at IS NULL
                 ORDER BY p.received_at, p.id LIMIT 200"
            ),
            &[&visit],
        )
        .await
    }

    /// A visit that somebody may add photos to: one that they may see, and any that is or was theirs
    /// or on whose sheet they wrote. A phone may come back with its photos when the visit was called
    /// off, given to somebody else, or is long past; nothing is lost by that.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn visit_to_photograph(
        &mut self,
        scope: Scope,
        id: Uuid,
    ) -> Result<Visit, StoreError> {
        let (mine,): (bool,) = self
            .one(
                "SELECT ($1 OR v.technician_id = $2 OR EXISTS (SELECT 1 FROM entry e
                   WHERE e.visit_number = v.number AND e.person_id = $2)
                   OR EXISTS (SELECT 1 FROM event b WHERE b.noun_id = v.id
                     AND b.verb IN ('book', 'move') AND b.body ->> 'technician' = $4))
                 FROM visit v WHERE v.id = $3",
                &[&scope.everything, &scope.person, &id, &scope.person.to_string()],
            )
            .await?;
        if mine { self.visit(Scope::EVERYTHING, id).await } else { Err(StoreError::NotFound) }
    }

    /// How many photos of a visit are still there.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn photo_count(&mut self, visit: Uuid) -> Result<i64, StoreError> {
        let (count,): (i64,) = self
            .one("SELECT COUNT(*) FROM photo WHERE visit_id = $1 AND removed_at IS NULL", &[&visit])
            .await?;
        Ok(count)
    }

    /// Adds a photo; says no if the id is there already.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_photo(
        &mut self,
        visit: Uuid,
        new: &NewPhoto,
        at: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO photo (id, visit_id, field, person_id, taken_at, received_at, width,
               height, bytes, sent_sha256, kept_sha256, kind)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)
             ON CONFLICT (id) DO NOTHING",
                &[
                    &new.id,
                    &visit,
                    &new.field,
                    &new.person_id,
                    &new.taken_at,
                    &at,
                    &new.sides.0,
                    &new.sides.1,
                    &new.bytes,
                    &new.sent_sha256,
                    &new.kept_sha256,
                    &new.kind,
                ],
            )
            .await?;
        Ok(added == 1)
    }

    /// Takes a photo away from all pages; says whether it was still there.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn remove_photo(&mut self, id: Uuid, by: By) -> Result<bool, StoreError> {
        let removed = self
            .execute(
                "UPDATE photo SET removed_at = $2, removed_by_id = $3
                 WHERE id = $1 AND removed_at IS NULL",
                &[&id, &by.at, &by.person],
            )
            .await?;
        Ok(removed == 1)
    }

    /// Photos that were taken away and whose pictures may still be there, the oldest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn photos_to_clear(&mut self) -> Result<Vec<Photo>, StoreError> {
        self.all(
            photo_select!(
                "WHERE p.removed_at IS NOT NULL AND p.cleared_at IS NULL
                 ORDER BY p.removed_at, p.id LIMIT $1"
            ),
            &[&CLEARED_AT_ONCE_MAX],
        )
        .await
    }

    /// Notes that a photo's picture is gone too.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn set_photo_cleared(
        &mut self,
        id: Uuid,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "UPDATE photo SET cleared_at = $2 WHERE id = $1 AND removed_at IS NOT NULL",
            &[&id, &at],
        )
        .await?;
        Ok(())
    }
}
