//! What was proposed to customers, and what they said. Answers are only ever added.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{By, Scope, StoreError, Tx};
use crate::domain::closing::Answer;

/// A standing proposal with the newest answer.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Proposal {
    /// Its id.
    pub id: Uuid,
    /// The visit that made it.
    pub visit_id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// An item of the price list, or a free line.
    pub item: String,
    /// What is proposed.
    pub words: String,
    /// The price without discount; none where none was named.
    pub list_cents: Option<i64>,
    /// The plan's discount on repairs that was taken off.
    pub discount_percent: i64,
    /// The price to pay.
    pub cents: Option<i64>,
    /// What the customer said.
    #[sqlx(try_from = "String")]
    pub answer: Answer,
    /// Until when it was deferred.
    pub until: Option<Date>,
    /// The number of that answer.
    pub answer_number: i64,
}

/// One answer of a proposal's history.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct ProposalAnswer {
    /// Its number.
    pub number: i64,
    /// What the customer said.
    #[sqlx(try_from = "String")]
    pub answer: Answer,
    /// Until when it was deferred.
    pub until: Option<Date>,
    /// Whether the sheet said it.
    pub from_sheet: bool,
    /// Who wrote it down.
    pub person_name: Option<String>,
    /// When.
    pub at: OffsetDateTime,
}

/// A proposal to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewProposal {
    /// Its id.
    pub id: Uuid,
    /// An item of the price list, or a free line.
    pub item: String,
    /// What is proposed.
    pub words: String,
    /// The price without discount.
    pub list_cents: Option<i64>,
    /// The plan's discount on repairs.
    pub discount_percent: i64,
    /// The price to pay.
    pub cents: Option<i64>,
    /// What it would put right.
    pub reasons: Vec<String>,
}

/// An answer to be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewAnswer {
    /// Its id.
    pub id: Uuid,
    /// To which proposal.
    pub proposal: Uuid,
    /// What the customer said.
    pub answer: Answer,
    /// Until when it was deferred.
    pub until: Option<Date>,
    /// Whether the sheet says it.
    pub from_sheet: bool,
}

/// A proposal that would put a finding right.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct ProposalFor {
    /// The finding.
    pub finding_id: Uuid,
    /// The proposal.
    #[sqlx(flatten)]
    pub proposal: Proposal,
}

macro_rules! proposal_select {
    ($columns:literal, $tail:literal) => {
        concat!(
            "SELECT ",
            $columns,
            "p.id, p.visit_id, p.system_id, p.item, p.words, p.list_cents, p.discount_percent,
             p.cents, a.answer, a.until, a.number AS answer_number
             FROM proposal p JOIN proposal_answer a ON a.proposal_id = p.id AND a.number =
               (SELECT MAX(q.number) FROM proposal_answer q WHERE q.proposal_id = p.id) ",
            $tail
        )
    };
}

impl Tx {
    /// The standing proposals of a visit, in the order in which they were made.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn proposals_of_visit(&mut self, visit: Uuid) -> Result<Vec<Proposal>, StoreError> {
        self.all(
            proposal_select!(
                "",
                "WHERE p.visit_id = $1 AND p.withdrawn_at IS NULL ORDER BY p.made_at, p.item"
            ),
            &[&visit],
        )
        .await
    }

    /// A standing proposal of a visit that the viewer may see.
    ///
    /// # Errors
    /// `NotFound`, also for what the viewer may not see.
    pub async fn proposal(&mut self, scope: Scope, id: Uuid) -> Result<Proposal, StoreError> {
        self.one(
            proposal_select!(
                "",
                "JOIN visit v ON v.id = p.visit_id
                 WHERE p.id = $4 AND p.withdrawn_at IS NULL AND ($1 OR (v.technician_id = $2
                   AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back'))
                   AND v.state <> 'cancelled'))"
            ),
            &[&scope.everything, &scope.person, &scope.since, &id],
        )
        .await
    }

    /// The standing proposals that would put right what is listed as found, by the same rule of
    /// what the viewer may see.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn proposals_for_findings(
        &mut self,
        scope: Scope,
    ) -> Result<Vec<ProposalFor>, StoreError> {
        self.all(
            proposal_select!(
                "f.id AS finding_id, ",
                "JOIN proposal_reason r ON r.proposal_id = p.id
                 JOIN finding f ON f.visit_id = p.visit_id AND f.raised_by = r.raised_by
                 WHERE p.withdrawn_at IS NULL AND f.withdrawn_at IS NULL AND NOT f.fixed
                   AND ($1 OR EXISTS (SELECT 1 FROM visit v WHERE v.system_id = f.system_id
                     AND v.technician_id = $2 AND (v.day >= $3 OR v.state IN ('under_way', 'sent_back')) AND v.state <> 'cancelled'))
                 ORDER BY f.day DESC, f.id DESC, p.made_at, p.item LIMIT 600"
            ),
            &[&scope.everything, &scope.person, &scope.since],
        )
        .await
    }

    /// Of each finding of a visit, the standing proposals that would put it right.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn findings_answered(
        &mut self,
        visit: Uuid,
    ) -> Result<Vec<(Uuid, String)>, StoreError> {
        self.all(
            "SELECT p.id, f.subject FROM proposal p
             JOIN proposal_reason r ON r.proposal_id = p.id
             JOIN finding f ON f.visit_id = p.visit_id AND f.raised_by = r.raised_by
             WHERE p.visit_id = $1 AND p.withdrawn_at IS NULL AND f.withdrawn_at IS NULL
             ORDER BY p.made_at, p.item, f.subject",
            &[&visit],
        )
        .await
    }

    /// All answers of a proposal, the newest first.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn answers_of(&mut self, proposal: Uuid) -> Result<Vec<ProposalAnswer>, StoreError> {
        self.all(
            "SELECT a.number, a.answer, a.until, a.from_sheet, n.name AS person_name, a.at
             FROM proposal_answer a LEFT JOIN person n ON n.id = a.person_id
             WHERE a.proposal_id = $1 ORDER BY a.number DESC LIMIT 200",
            &[&proposal],
        )
        .await
    }

    /// Whether an answer with this id is there.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn has_answer(&mut self, id: Uuid) -> Result<bool, StoreError> {
        let (count,): (i64,) =
            self.one("SELECT COUNT(*) FROM proposal_answer WHERE id = $1", &[&id]).await?;
        Ok(count > 0)
    }

    /// Adds a proposal of a visit, with what it would put right.
    ///
    /// # Errors
    /// `Taken` if the visit proposes that item already.
    pub async fn insert_proposal(
        &mut self,
        (visit, system): (Uuid, Uuid),
        new: &NewProposal,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO proposal (id, visit_id, system_id, item, words, list_cents,
               discount_percent, cents, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
            &[
                &new.id,
                &visit,
                &system,
                &new.item,
                &new.words,
                &new.list_cents,
                &new.discount_percent,
                &new.cents,
                &at,
            ],
        )
        .await?;
        for reason in &new.reasons {
            self.execute(
                "INSERT INTO proposal_reason (proposal_id, raised_by) VALUES ($1, $2)
                 ON CONFLICT (proposal_id, raised_by) DO NOTHING",
                &[&new.id, reason],
            )
            .await?;
        }
        Ok(())
    }

    /// Withdraws a proposal that the sheet no longer makes.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn withdraw_proposal(
        &mut self,
        proposal: Uuid,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "UPDATE proposal SET withdrawn_at = $2 WHERE id = $1 AND withdrawn_at IS NULL",
            &[&proposal, &at],
        )
        .await?;
        Ok(())
    }

    /// Adds an answer behind the newest and gives its number.
    ///
    /// # Errors
    /// `Taken` if another answer came between.
    pub async fn insert_answer(&mut self, new: NewAnswer, by: By) -> Result<i64, StoreError> {
        let (number,): (i64,) = self
            .one(
                "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM proposal_answer
                 WHERE proposal_id = $1",
                &[&new.proposal],
            )
            .await?;
        self.execute(
            "INSERT INTO proposal_answer (id, proposal_id, number, answer, until, from_sheet,
               person_id, at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
            &[
                &new.id,
                &new.proposal,
                &number,
                &new.answer.key(),
                &new.until,
                &new.from_sheet,
                &by.person,
                &by.at,
            ],
        )
        .await?;
        Ok(number)
    }
}
