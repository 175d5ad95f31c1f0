//! The company's price list in its versions. Rows are only ever added.

use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::dialect::Bind;
use super::{By, StoreError, Tx};
use crate::domain::price_list::{Changed, PriceItem};

/// One version of the list, as its history tells it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct PriceListVersion {
    /// Its id.
    pub id: Uuid,
    /// Its number.
    pub number: i64,
    /// What it did: `add`, `change` or `retire`.
    pub change: String,
    /// To which item.
    pub item: String,
    /// That item's words.
    pub words: String,
    /// That item's price since then; none where it was retired.
    pub cents: Option<i64>,
    /// Who, unless the program itself.
    pub person_name: Option<String>,
    /// When.
    pub at: OffsetDateTime,
}

#[derive(Debug, sqlx::FromRow)]
struct ItemRow {
    item: String,
    words: String,
    cents: i64,
    answers: Json<Vec<String>>,
}

impl From<ItemRow> for PriceItem {
    fn from(row: ItemRow) -> Self {
        Self { key: row.item, words: row.words, cents: row.cents, answers: row.answers.0 }
    }
}

/// Versions of which the history tells at most.
const VERSIONS_SHOWN_MAX: i64 = 100;

impl Tx {
    /// The number of the list in force; 0 before the first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn newest_price_list(&mut self) -> Result<i64, StoreError> {
        let (number,): (i64,) = self
            .one("SELECT CAST(COALESCE(MAX(number), 0) AS BIGINT) FROM price_list_version", &[])
            .await?;
        Ok(number)
    }

    /// The items of one version, in order.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn price_items(&mut self, number: i64) -> Result<Vec<PriceItem>, StoreError> {
        let rows: Vec<ItemRow> = self
            .all(
                "SELECT item, words, cents, answers FROM price_item
                 WHERE price_list_number = $1 ORDER BY place, item",
                &[&number],
            )
            .await?;
        Ok(rows.into_iter().map(PriceItem::from).collect())
    }

    /// An item as the newest version that has it says it: one that was retired, too.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn price_item_ever(&mut self, key: &str) -> Result<Option<PriceItem>, StoreError> {
        let row: Option<ItemRow> = self
            .optional(
                "SELECT item, words, cents, answers FROM price_item
                 WHERE item = $1 ORDER BY price_list_number DESC LIMIT 1",
                &[&key],
            )
            .await?;
        Ok(row.map(PriceItem::from))
    }

    /// The keys of all items of all versions.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn price_keys_ever(&mut self) -> Result<Vec<String>, StoreError> {
        let rows: Vec<(String,)> =
            self.all("SELECT DISTINCT item FROM price_item ORDER BY item", &[]).await?;
        Ok(rows.into_iter().map(|row| row.0).collect())
    }

    /// The versions, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn price_list_versions(&mut self) -> Result<Vec<PriceListVersion>, StoreError> {
        self.all(
            "SELECT v.id, v.number, v.change, v.item, v.words, i.cents, n.name AS person_name, v.at
             FROM price_list_version v LEFT JOIN person n ON n.id = v.person_id
             LEFT JOIN price_item i ON i.price_list_number = v.number AND i.item = v.item
             ORDER BY v.number DESC LIMIT $1",
            &[&VERSIONS_SHOWN_MAX],
        )
        .await
    }

    /// Whether a version with this id is there.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn has_price_list(&mut self, id: Uuid) -> Result<bool, StoreError> {
        let (count,): (i64,) =
            self.one("SELECT COUNT(*) FROM price_list_version WHERE id = $1", &[&id]).await?;
        Ok(count > 0)
    }

    /// Adds a version with all its items.
    ///
    /// # Errors
    /// `Taken` if that number is there already.
    pub async fn insert_price_list(
        &mut self,
        (id, number): (Uuid, i64),
        changed: &Changed,
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO price_list_version (id, number, change, item, words, person_id, at)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[&id, &number, &changed.change, &changed.item, &changed.words, &by.person, &by.at],
        )
        .await?;
        let answers: Vec<Json<&Vec<String>>> =
            changed.items.iter().map(|it| Json(&it.answers)).collect();
        let places: Vec<i64> = (1..).take(changed.items.len()).collect();
        let rows: Vec<Vec<&dyn Bind>> = changed
            .items
            .iter()
            .zip(answers.iter().zip(&places))
            .map(|(item, (answers, place))| -> Vec<&dyn Bind> {
                vec![&number, &item.key, &item.words, &item.cents, answers, place]
            })
            .collect();
        let _added: Vec<(String,)> = self
            .insert_rows(
                "INSERT INTO price_item (price_list_number, item, words, cents, answers, place)",
                &rows,
                "RETURNING item",
            )
            .await?;
        Ok(())
    }

    /// By which list a visit's proposals are priced; none before its first hand-in.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn price_list_of(&mut self, visit: Uuid) -> Result<Option<i64>, StoreError> {
        let row: Option<(i64,)> = self
            .optional(
                "SELECT price_list_number FROM visit_price_list WHERE visit_id = $1",
                &[&visit],
            )
            .await?;
        Ok(row.map(|it| it.0))
    }

    /// Pins the list that a visit uses; what was pinned before stays.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn pin_price_list(&mut self, visit: Uuid, number: i64) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO visit_price_list (visit_id, price_list_number) VALUES ($1, $2)
             ON CONFLICT (visit_id) DO NOTHING",
            &[&visit, &number],
        )
        .await?;
        Ok(())
    }

    /// The discounts on repairs of the plans under which a system is covered, with the dates of
    /// the agreements: whether one holds on a day is a rule and no query.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn repair_discounts(&mut self, system: Uuid) -> Result<Vec<Discount>, StoreError> {
        self.all(
            "SELECT p.discount_percent, a.starts_on, a.ends_on, a.accepted_on, a.ended_on
             FROM agreement a JOIN agreement_system u ON u.agreement_id = a.id
             JOIN plan_version p ON p.plan_id = a.plan_id AND p.version = a.plan_version
             WHERE u.system_id = $1 AND a.accepted_on IS NOT NULL ORDER BY a.starts_on, a.id",
            &[&system],
        )
        .await
    }
}

/// A plan's discount on repairs, with the dates of the agreement that gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Discount {
    /// In percent.
    pub discount_percent: i64,
    /// First day.
    pub starts_on: time::Date,
    /// First day on which it no longer holds.
    pub ends_on: time::Date,
    /// When the customer said yes.
    pub accepted_on: Option<time::Date>,
    /// When it was ended early.
    pub ended_on: Option<time::Date>,
}

impl Discount {
    /// The agreement's dates.
    #[must_use]
    pub fn term(&self) -> crate::domain::agreement::Term {
        crate::domain::agreement::Term {
            starts_on: self.starts_on,
            ends_on: self.ends_on,
            accepted_on: self.accepted_on,
            ended_on: self.ended_on,
        }
    }
}
