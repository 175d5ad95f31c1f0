//! Systems and their components, those in place and those that were.

use serde_json::Value;
use sqlx::types::Json;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{By, Scope, StoreError, Tx};
use crate::domain::nameplate::Part;
use crate::domain::person::folded;

/// A system with where it stands.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct System {
    /// Its id.
    pub id: Uuid,
    /// Its name at the site ("Upstairs").
    pub name: String,
    /// Its kind, a word of the assess document.
    pub kind: String,
    /// Its site.
    pub site_id: Uuid,
    /// The site's street.
    pub street: String,
    /// The site's town.
    pub town: String,
    /// The site's height.
    pub elevation_ft: f64,
    /// How to get in.
    pub access_note: String,
    /// Its customer.
    pub customer_id: Uuid,
    /// The customer's name.
    pub customer_name: String,
    /// The customer's phone.
    pub phone: String,
}

/// A component with its newest plate.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Component {
    /// Its id.
    pub id: Uuid,
    /// Its system.
    pub system_id: Uuid,
    /// Which part it is.
    #[sqlx(try_from = "String")]
    pub part: Part,
    /// When it was put in, if known.
    pub installed_on: Option<Date>,
    /// When it was taken out.
    pub removed_on: Option<Date>,
    /// Version of the plate.
    pub version: i64,
    /// Make.
    pub make: String,
    /// Model.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// When it was made.
    pub manufactured_on: Option<Date>,
    /// Until when it is under warranty.
    pub warranty_until: Option<Date>,
    /// The plate's values.
    pub nameplate: Json<Value>,
}

/// One version of a plate.
#[derive(Clone, Debug)]
pub struct Plate {
    /// Make.
    pub make: String,
    /// Model.
    pub model: String,
    /// Serial number.
    pub serial: String,
    /// When it was made.
    pub manufactured_on: Option<Date>,
    /// Until when it is under warranty.
    pub warranty_until: Option<Date>,
    /// The plate's values.
    pub nameplate: Value,
    /// Why it was changed; empty for the first.
    pub reason: String,
}

macro_rules! system_select {
    ($tail:literal) => {
        concat!(
            "SELECT s.id, s.name, s.kind, s.site_id, t.street, t.town, t.elevation_ft,
                    t.access_note, t.customer_id, c.name AS customer_name, c.phone
             FROM system s JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id ",
            $tail
        )
    };
}

macro_rules! component_select {
    ($tail:literal) => {
        concat!(
            "SELECT k.id, k.system_id, k.part, k.installed_on, k.removed_on, p.version, p.make,
                    p.model, p.serial, p.manufactured_on, p.warranty_until, p.nameplate
             FROM component k JOIN component_version p ON p.component_id = k.id
               AND p.version = (SELECT MAX(q.version) FROM component_version q
                                WHERE q.component_id = k.id) ",
            $tail
        )
    };
}

impl Tx {
    /// A system that the viewer may see.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn system(&mut self, scope: Scope, id: Uuid) -> Result<System, StoreError> {
        self.one(
            system_select!(
                "WHERE s.id = $4 AND ($1 OR EXISTS (
                   SELECT 1 FROM visit v WHERE v.system_id = s.id AND v.technician_id = $2
                     AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back')) AND v.state <> 'cancelled'))"
            ),
            &[&scope.everything, &scope.person, &scope.since, &id],
        )
        .await
    }

    /// The systems of a site that the viewer may see.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn systems_of_customer(
        &mut self,
        scope: Scope,
        customer: Uuid,
    ) -> Result<Vec<System>, StoreError> {
        self.all(
            system_select!(
                "WHERE t.customer_id = $4 AND ($1 OR EXISTS (
                   SELECT 1 FROM visit v WHERE v.system_id = s.id AND v.technician_id = $2
                     AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back')) AND v.state <> 'cancelled'))
                 ORDER BY t.street, s.name, s.id"
            ),
            &[&scope.everything, &scope.person, &scope.since, &customer],
        )
        .await
    }

    /// Adds a system and says whether it is new: the same id twice is one.
    ///
    /// # Errors
    /// `StillReferenced` if there is no such site.
    pub async fn insert_system(
        &mut self,
        id: Uuid,
        site: Uuid,
        name_and_kind: (&str, &str),
        at: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO system (id, site_id, name, kind, made_at)
                 VALUES ($1, $2, $3, $4, $5) ON CONFLICT (id) DO NOTHING",
                &[&id, &site, &name_and_kind.0, &name_and_kind.1, &at],
            )
            .await?;
        Ok(added == 1)
    }

    /// Changes a system's name and kind.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn update_system(
        &mut self,
        id: Uuid,
        name: &str,
        kind: &str,
    ) -> Result<(), StoreError> {
        let changed = self
            .execute("UPDATE system SET name = $2, kind = $3 WHERE id = $1", &[&id, &name, &kind])
            .await?;
        if changed == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// Every component that a system has or had, those in place first, then the newest.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn components_of(&mut self, system: Uuid) -> Result<Vec<Component>, StoreError> {
        self.all(
            component_select!(
                "WHERE k.system_id = $1 ORDER BY k.removed_on DESC NULLS FIRST, k.part, k.id"
            ),
            &[&system],
        )
        .await
    }

    /// Every component of the systems of some visits, by the numbers of the first and the last
    /// visit, in the order of `components_of`.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn components_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<Component>, StoreError> {
        self.all(
            component_select!(
                "WHERE k.system_id IN (
                   SELECT v.system_id FROM visit v WHERE v.number >= $1 AND v.number <= $2)
                 ORDER BY k.removed_on DESC NULLS FIRST, k.part, k.id"
            ),
            &[&first, &last],
        )
        .await
    }

    /// A component by id; whether its system may be seen is the caller's first question.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn component(&mut self, id: Uuid) -> Result<Component, StoreError> {
        self.one(component_select!("WHERE k.id = $1"), &[&id]).await
    }

    /// Adds a component with its first plate.
    ///
    /// # Errors
    /// `Taken` if that part is in place already.
    pub async fn insert_component(
        &mut self,
        id: Uuid,
        system_and_part: (Uuid, Part),
        installed_on: Option<Date>,
        plate: &Plate,
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO component (id, system_id, part, installed_on, made_at)
             VALUES ($1, $2, $3, $4, $5)",
            &[&id, &system_and_part.0, &system_and_part.1.key(), &installed_on, &by.at],
        )
        .await?;
        self.insert_plate(id, 1, plate, by).await
    }

    /// Adds a version of a plate.
    ///
    /// # Errors
    /// `Taken` if somebody else has just made that version.
    pub async fn insert_plate(
        &mut self,
        component: Uuid,
        version: i64,
        plate: &Plate,
        by: By,
    ) -> Result<(), StoreError> {
        let found_by = folded(&format!("{} {} {}", plate.serial, plate.make, plate.model));
        self.execute(
            "INSERT INTO component_version (component_id, version, make, model, serial,
               manufactured_on, warranty_until, nameplate, reason, folded, at, person_id)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)",
            &[
                &component,
                &version,
                &plate.make,
                &plate.model,
                &plate.serial,
                &plate.manufactured_on,
                &plate.warranty_until,
                &Json(plate.nameplate.clone()),
                &plate.reason,
                &found_by,
                &by.at,
                &by.person,
            ],
        )
        .await?;
        Ok(())
    }

    /// Takes a component out; it stays in the history.
    ///
    /// # Errors
    /// `Changed` if it is out already.
    pub async fn set_removed(&mut self, component: Uuid, on: Date) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE component SET removed_on = $2 WHERE id = $1 AND removed_on IS NULL",
                &[&component, &on],
            )
            .await?;
        if changed == 0 { Err(StoreError::Changed) } else { Ok(()) }
    }
}
