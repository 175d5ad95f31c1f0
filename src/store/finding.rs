//! What was found wrong, and how long parts have been in place to go wrong.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{Scope, StoreError, Tx};
use crate::domain::finding::Severity;
use crate::domain::nameplate::Part;

/// A finding with the words around it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Finding {
    /// Its id.
    pub id: Uuid,
    /// The visit that found it.
    pub visit_id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// What raised it: a measure, or an observation's field.
    pub raised_by: String,
    /// What it is.
    pub subject: String,
    /// How much it matters.
    #[sqlx(try_from = "String")]
    pub severity: Severity,
    /// The sentence that was given.
    pub text: String,
    /// The day of the visit.
    pub day: Date,
    /// Whether it was put right in the same visit.
    pub fixed: bool,
    /// The customer.
    pub customer_name: String,
    /// The street.
    pub street: String,
    /// The system's name.
    pub system_name: String,
    /// What the repair of it found to be the matter, by the cause's word.
    pub answer: Option<String>,
}

/// A finding to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewFinding {
    /// What raised it.
    pub raised_by: String,
    /// What it is.
    pub subject: String,
    /// How much it matters.
    pub severity: Severity,
    /// The sentence.
    pub text: String,
    /// Whether it was put right in the same visit.
    pub fixed: bool,
    /// The component that it is about.
    pub component_id: Option<Uuid>,
}

/// A component's time in place, for counting failures against it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct TimeInPlace {
    /// The component.
    pub component_id: Uuid,
    /// Its system.
    pub system_id: Uuid,
    /// Which part.
    #[sqlx(try_from = "String")]
    pub part: Part,
    /// Make.
    pub make: String,
    /// Model.
    pub model: String,
    /// When it was put in, if known.
    pub installed_on: Option<Date>,
    /// The first visit that could have found something.
    pub first_visit: Date,
    /// The last visit that could have.
    pub last_visit: Date,
    /// When it was taken out.
    pub removed_on: Option<Date>,
    /// The system's name.
    pub system_name: String,
    /// The street.
    pub street: String,
    /// The customer's name.
    pub customer_name: String,
}

/// What was found on components, for counting.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct FoundOn {
    /// The component; none where the part isn't written down.
    pub component_id: Option<Uuid>,
    /// The visit that found it.
    pub visit_id: Uuid,
    /// What it is.
    pub subject: String,
    /// The day.
    pub day: Date,
}

macro_rules! finding_select {
    ($tail:literal) => {
        concat!(
            "SELECT f.id, f.visit_id, f.system_id, f.raised_by, f.subject, f.severity, f.text,
                    f.day, f.fixed, c.name AS customer_name, t.street, s.name AS system_name,
                    a.cause AS answer
             FROM finding f JOIN system s ON s.id = f.system_id JOIN site t ON t.id = s.site_id
             JOIN customer c ON c.id = t.customer_id
             LEFT JOIN confirmed_cause a ON a.finding_id = f.id AND a.number =
               (SELECT MAX(q.number) FROM confirmed_cause q WHERE q.visit_number = a.visit_number) ",
            $tail
        )
    };
}

impl Tx {
    /// Adds a finding of a visit.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_finding(
        &mut self,
        visit_and_system: (Uuid, Uuid),
        day: Date,
        finding: &NewFinding,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO finding (id, visit_id, system_id, component_id, raised_by, subject,
               severity, text, day, fixed, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
            &[
                &crate::chance::id(at),
                &visit_and_system.0,
                &visit_and_system.1,
                &finding.component_id,
                &finding.raised_by,
                &finding.subject,
                &finding.severity.key(),
                &finding.text,
                &day,
                &finding.fixed,
                &at,
            ],
        )
        .await?;
        Ok(())
    }

    /// Withdraws a finding that a later judgement of its visit no longer makes.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn withdraw_finding(
        &mut self,
        finding: Uuid,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "UPDATE finding SET withdrawn_at = $2 WHERE id = $1 AND withdrawn_at IS NULL",
            &[&finding, &at],
        )
        .await?;
        Ok(())
    }

    /// The findings of a visit that stand.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn findings_of_visit(&mut self, visit: Uuid) -> Result<Vec<Finding>, StoreError> {
        self.all(
            finding_select!(
                "WHERE f.visit_id = $1 AND f.withdrawn_at IS NULL
                 ORDER BY CASE f.severity WHEN 'hazard' THEN 0 WHEN 'repair' THEN 1 ELSE 2 END,
                   f.subject, f.id"
            ),
            &[&visit],
        )
        .await
    }

    /// The findings of some visits that stand, by the numbers of the first and the last visit.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn findings_between(
        &mut self,
        (first, last): (i64, i64),
    ) -> Result<Vec<Finding>, StoreError> {
        self.all(
            finding_select!(
                "JOIN visit v ON v.id = f.visit_id
                 WHERE v.number >= $1 AND v.number <= $2 AND f.withdrawn_at IS NULL
                 ORDER BY f.subject, f.id"
            ),
            &[&first, &last],
        )
        .await
    }

    /// The standing findings of a system, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn findings_of_system(&mut self, system: Uuid) -> Result<Vec<Finding>, StoreError> {
        self.all(
            finding_select!(
                "WHERE f.system_id = $1 AND f.withdrawn_at IS NULL
                 ORDER BY f.day DESC, f.subject, f.id LIMIT 200"
            ),
            &[&system],
        )
        .await
    }

    /// The newest standing findings that the viewer may see.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn findings(
        &mut self,
        scope: Scope,
        severity: Option<Severity>,
    ) -> Result<Vec<Finding>, StoreError> {
        let severity = severity.map(Severity::key);
        self.all(
            finding_select!(
                "WHERE f.withdrawn_at IS NULL AND NOT f.fixed
                   AND ($4 IS NULL OR f.severity = $4)
                   AND ($1 OR EXISTS (SELECT 1 FROM visit v WHERE v.system_id = f.system_id
                     AND v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back')) AND v.state <> 'cancelled'))
                 ORDER BY f.day DESC, f.id DESC LIMIT 200"
            ),
            &[&scope.everything, &scope.person, &scope.since, &severity],
        )
        .await
    }

    /// Every component that was in place at a judged visit, with the days of the first and the
    /// last.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn times_in_place(&mut self) -> Result<Vec<TimeInPlace>, StoreError> {
        self.all(
            "SELECT k.id AS component_id, k.system_id, k.part, p.make, p.model,
                    k.installed_on, MIN(v.day) AS first_visit, MAX(v.day) AS last_visit,
                    k.removed_on, s.name AS system_name, t.street, c.name AS customer_name
             FROM component k JOIN system s ON s.id = k.system_id
             JOIN site t ON t.id = s.site_id JOIN customer c ON c.id = t.customer_id
             JOIN component_version p ON p.component_id = k.id AND p.version =
               (SELECT MAX(q.version) FROM component_version q WHERE q.component_id = k.id)
             JOIN visit v ON v.system_id = k.system_id AND v.handed_in_at IS NOT NULL
               AND (k.installed_on IS NULL OR v.day >= k.installed_on)
               AND (k.removed_on IS NULL OR v.day <= k.removed_on)
             GROUP BY k.id, k.system_id, k.part, p.make, p.model, k.installed_on, k.removed_on,
               s.name, t.street, c.name
             ORDER BY k.id",
            &[],
        )
        .await
    }

    /// Every standing finding, with the component that it is about.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn found_on_components(&mut self) -> Result<Vec<FoundOn>, StoreError> {
        self.all(
            "SELECT f.component_id, f.visit_id, f.subject, f.day FROM finding f
             WHERE f.withdrawn_at IS NULL ORDER BY f.day, f.id",
            &[],
        )
        .await
    }
}
