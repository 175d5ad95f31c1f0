//! Customers and their sites.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{Scope, StoreError, Tx};
use crate::domain::person::{digits, folded};

/// Rows of one page of a list.
pub const PAGE_ROWS_MAX: i64 = 100;

/// Who pays.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Customer {
    /// Its id.
    pub id: Uuid,
    /// Name of the person or firm.
    pub name: String,
    /// Phone.
    pub phone: String,
    /// Mail address.
    pub email: String,
    /// What the office should know.
    pub note: String,
}

/// Where equipment stands.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Site {
    /// Its id.
    pub id: Uuid,
    /// Whose.
    pub customer_id: Uuid,
    /// Street and number.
    pub street: String,
    /// Town.
    pub town: String,
    /// Postal code.
    pub postal_code: String,
    /// Height above the sea.
    pub elevation_ft: f64,
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// How to get in.
    pub access_note: String,
}

/// One line that the search box found.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Found {
    /// The customer.
    pub customer_id: Uuid,
    /// Its name.
    pub customer_name: String,
    /// Its phone.
    pub phone: String,
    /// The site's street, if it has a site.
    pub street: Option<String>,
    /// The site's town.
    pub town: Option<String>,
    /// The system, if it has one.
    pub system_id: Option<Uuid>,
    /// The system's name.
    pub system_name: Option<String>,
}

impl Tx {
    /// A customer that the viewer may see.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn customer(&mut self, scope: Scope, id: Uuid) -> Result<Customer, StoreError> {
        self.one(
            "SELECT c.id, c.name, c.phone, c.email, c.note FROM customer c
             WHERE c.id = $4 AND ($1 OR EXISTS (
               SELECT 1 FROM visit v JOIN system s ON s.id = v.system_id
               JOIN site t ON t.id = s.site_id
               WHERE t.customer_id = c.id AND v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                 AND v.state <> 'cancelled'))",
            &[&scope.everything, &scope.person, &scope.since, &id],
        )
        .await
    }

    /// The sites of a customer that the viewer may see.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn sites_of(
        &mut self,
        scope: Scope,
        customer: Uuid,
    ) -> Result<Vec<Site>, StoreError> {
        self.all(
            "SELECT t.id, t.customer_id, t.street, t.town, t.postal_code, t.elevation_ft,
                    t.latitude, t.longitude, t.access_note FROM site t
             WHERE t.customer_id = $4 AND ($1 OR EXISTS (
               SELECT 1 FROM visit v JOIN system s ON s.id = v.system_id
               WHERE s.site_id = t.id AND v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                 AND v.state <> 'cancelled'))
             ORDER BY t.street, t.id",
            &[&scope.everything, &scope.person, &scope.since, &customer],
        )
        .await
    }

    /// A site that the viewer may see.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn site(&mut self, scope: Scope, id: Uuid) -> Result<Site, StoreError> {
        self.one(
            "SELECT t.id, t.customer_id, t.street, t.town, t.postal_code, t.elevation_ft,
                    t.latitude, t.longitude, t.access_note FROM site t
             WHERE t.id = $4 AND ($1 OR EXISTS (
               SELECT 1 FROM visit v JOIN system s ON s.id = v.system_id
               WHERE s.site_id = t.id AND v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                 AND v.state <> 'cancelled'))",
            &[&scope.everything, &scope.person, &scope.since, &id],
        )
        .await
    }

    /// Finds by name, street, phone or serial number, the viewer's own only; an empty question
    /// lists from the start.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn find(&mut self, scope: Scope, question: &str) -> Result<Vec<Found>, StoreError> {
        let words = like(&folded(question));
        let phone = digits(question);
        // A few digits would match half of all phones.
        let phone = if phone.len() < 4 { "%".to_owned() + "\u{1}" } else { like(&phone) };
        self.all(
            "SELECT c.id AS customer_id, c.name AS customer_name, c.phone, t.street, t.town,
                    s.id AS system_id, s.name AS system_name
             FROM customer c
             LEFT JOIN site t ON t.customer_id = c.id
             LEFT JOIN system s ON s.site_id = t.id
             WHERE ($1 OR EXISTS (
               SELECT 1 FROM visit v WHERE v.system_id = s.id AND v.technician_id = $2
                 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back')) AND v.state <> 'cancelled'))
             AND (c.folded LIKE $4 ESCAPE '\\' OR c.phone_digits LIKE $5 ESCAPE '\\'
               OR t.folded LIKE $4 ESCAPE '\\' OR EXISTS (
                 SELECT 1 FROM component k JOIN component_version p ON p.component_id = k.id
                 WHERE k.system_id = s.id AND p.folded LIKE $4 ESCAPE '\\'))
             ORDER BY c.name, c.id, t.street, s.name, s.id LIMIT $6",
            &[&scope.everything, &scope.person, &scope.since, &words, &phone, &PAGE_ROWS_MAX],
        )
        .await
    }

    /// Adds a customer and says whether it is new: the same id twice is one.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_customer(
        &mut self,
        customer: &Customer,
        at: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO customer (id, name, phone, email, note, folded, phone_digits, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
             ON CONFLICT (id) DO NOTHING",
                &[
                    &customer.id,
                    &customer.name,
                    &customer.phone,
                    &customer.email,
                    &customer.note,
                    &customer_folded(customer),
                    &digits(&customer.phone),
                    &at,
                ],
            )
            .await?;
        Ok(added == 1)
    }

    /// Changes a customer's particulars.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn update_customer(&mut self, customer: &Customer) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE customer SET name = $2, phone = $3, email = $4, note = $5, folded = $6,
                                     phone_digits = $7
                 WHERE id = $1",
                &[
                    &customer.id,
                    &customer.name,
                    &customer.phone,
                    &customer.email,
                    &customer.note,
                    &customer_folded(customer),
                    &digits(&customer.phone),
                ],
            )
            .await?;
        if changed == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }

    /// Adds a site and says whether it is new: the same id twice is one.
    ///
    /// # Errors
    /// `StillReferenced` if there is no such customer.
    pub async fn insert_site(
        &mut self,
        site: &Site,
        at: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        let added = self
            .execute(
                "INSERT INTO site (id, customer_id, street, town, postal_code, elevation_ft,
                               latitude, longitude, access_note, folded, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
             ON CONFLICT (id) DO NOTHING",
                &[
                    &site.id,
                    &site.customer_id,
                    &site.street,
                    &site.town,
                    &site.postal_code,
                    &site.elevation_ft,
                    &site.latitude,
                    &site.longitude,
                    &site.access_note,
                    &site_folded(site),
                    &at,
                ],
            )
            .await?;
        Ok(added == 1)
    }

    /// Changes a site's particulars.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn update_site(&mut self, site: &Site) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE site SET street = $2, town = $3, postal_code = $4, elevation_ft = $5,
                                 latitude = $6, longitude = $7, access_note = $8, folded = $9
                 WHERE id = $1",
                &[
                    &site.id,
                    &site.street,
                    &site.town,
                    &site.postal_code,
                    &site.elevation_ft,
                    &site.latitude,
                    &site.longitude,
                    &site.access_note,
                    &site_folded(site),
                ],
            )
            .await?;
        if changed == 0 { Err(StoreError::NotFound) } else { Ok(()) }
    }
}

fn customer_folded(customer: &Customer) -> String {
    folded(&format!("{} {}", customer.name, customer.email))
}

fn site_folded(site: &Site) -> String {
    folded(&format!("{} {} {}", site.street, site.town, site.postal_code))
}

/// The pattern that finds a text anywhere, its own wildcards taken literally.
fn like(text: &str) -> String {
    let plain = text.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
    format!("%{plain}%")
}
