//! What the company changed in the limit book. Rows are only ever added.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx};

/// One change of one limit.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct LimitChange {
    /// Its id.
    pub id: Uuid,
    /// Its number among all changes of the book.
    pub number: i64,
    /// The limit's key.
    pub name: String,
    /// The company's own value; none where it went back to the default.
    pub value: Option<f64>,
    /// Why.
    pub reason: String,
    /// Who, unless the program itself.
    pub person_name: Option<String>,
    /// When.
    pub at: OffsetDateTime,
}

/// A change to be added.
#[derive(Clone, Debug, PartialEq)]
pub struct NewLimitChange {
    /// Its id.
    pub id: Uuid,
    /// The limit's key.
    pub name: String,
    /// The company's own value; none to go back to the default.
    pub value: Option<f64>,
    /// Why.
    pub reason: String,
}

macro_rules! change_select {
    ($tail:literal) => {
        concat!(
            "SELECT c.id, c.number, c.name, c.value, c.reason, n.name AS person_name, c.at
             FROM limit_change c LEFT JOIN person n ON n.id = c.person_id ",
            $tail
        )
    };
}

impl Tx {
    /// The newest change of each limit that was ever changed.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn newest_limit_changes(&mut self) -> Result<Vec<LimitChange>, StoreError> {
        self.all(
            change_select!(
                "WHERE c.number = (SELECT MAX(q.number) FROM limit_change q WHERE q.name = c.name)
                 ORDER BY c.number"
            ),
            &[],
        )
        .await
    }

    /// Every change of one limit, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn changes_of_limit(&mut self, name: &str) -> Result<Vec<LimitChange>, StoreError> {
        self.all(change_select!("WHERE c.name = $1 ORDER BY c.number DESC LIMIT 200"), &[&name])
            .await
    }

    /// Adds a change behind the newest and gives its number.
    ///
    /// # Errors
    /// `Taken` if another change came between.
    pub async fn insert_limit_change(
        &mut self,
        change: &NewLimitChange,
        by: By,
    ) -> Result<i64, StoreError> {
        let (number,): (i64,) = self
            .one("SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM limit_change", &[])
            .await?;
        self.execute(
            "INSERT INTO limit_change (id, number, name, value, reason, person_id, at)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[&change.id, &number, &change.name, &change.value, &change.reason, &by.person, &by.at],
        )
        .await?;
        Ok(number)
    }
}
