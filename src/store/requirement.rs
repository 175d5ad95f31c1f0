//! What the company asks of a sheet, in numbered versions. Rows are only ever added.

use sqlx::types::Json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{By, StoreError, Tx, Visit};

/// One version of the company's list.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct RequirementVersion {
    /// Its number.
    pub number: i64,
    /// Names of the sheet's fields.
    pub fields: Json<Vec<String>>,
    /// Who made it, unless the program itself.
    pub person_name: Option<String>,
    /// When.
    pub at: OffsetDateTime,
}

/// The lists that a visit's sheet is held against.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ListsOf {
    /// The number of the company's list; 0 if there is none.
    pub number: i64,
    /// What the company asks for.
    pub company: Vec<String>,
    /// What the customer's plan asks for.
    pub plan: Vec<String>,
}

macro_rules! version_select {
    ($tail:literal) => {
        concat!(
            "SELECT r.number, r.fields, n.name AS person_name, r.at
             FROM sheet_requirement_version r LEFT JOIN person n ON n.id = r.person_id ",
            $tail
        )
    };
}

impl Tx {
    /// Every version of the company's list, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn requirement_versions(&mut self) -> Result<Vec<RequirementVersion>, StoreError> {
        self.all(version_select!("ORDER BY r.number DESC LIMIT 100"), &[]).await
    }

    /// The lists that a visit is held against: those by which its sheet came in, or the newest
    /// while it is open. The plan's is that of the version that was sold.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn required_of(&mut self, visit: &Visit) -> Result<ListsOf, StoreError> {
        let company: Option<RequirementVersion> = self
            .optional(
                version_select!(
                    "WHERE r.number = (SELECT CASE WHEN v.state IN ('handed_in', 'accepted')
                         THEN COALESCE(v.requirement_number, 0)
                         ELSE (SELECT MAX(q.number) FROM sheet_requirement_version q) END
                       FROM visit v WHERE v.id = $1)"
                ),
                &[&visit.id],
            )
            .await?;
        let plan: Option<(Json<Vec<String>>,)> = self
            .optional(
                "SELECT p.required FROM agreement a
                 JOIN plan_version p ON p.plan_id = a.plan_id AND p.version = a.plan_version
                 WHERE a.id = $1",
                &[&visit.agreement_id],
            )
            .await?;
        let (number, company) = company.map_or((0, Vec::new()), |it| (it.number, it.fields.0));
        Ok(ListsOf { number, company, plan: plan.map_or_else(Vec::new, |it| it.0.0) })
    }

    /// Notes by which list of the company a sheet came in.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn set_held_against(&mut self, visit: Uuid, number: i64) -> Result<(), StoreError> {
        self.execute("UPDATE visit SET requirement_number = $2 WHERE id = $1", &[&visit, &number])
            .await?;
        Ok(())
    }

    /// Adds a version of the company's list.
    ///
    /// # Errors
    /// `Taken` if another of that number came between.
    pub async fn insert_requirement_version(
        &mut self,
        (id, number): (Uuid, i64),
        fields: &[String],
        by: By,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO sheet_requirement_version (id, number, fields, person_id, at)
             VALUES ($1, $2, $3, $4, $5)",
            &[&id, &number, &Json(fields), &by.person, &by.at],
        )
        .await?;
        Ok(())
    }
}
