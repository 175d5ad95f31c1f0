//! What a customer said of a proposal, as the office or the visit's technician heard it.

use serde_json::json;
use time::Date;
use uuid::Uuid;

use super::ActionError;
use crate::domain::closing::Answer;
use crate::domain::refusal::Refusal;
use crate::store::{By, Event, NewAnswer, Proposal, Scope, StoreError, Tx};

/// An answer as somebody heard it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Heard {
    /// Made when the form was laid out: the same twice is one answer.
    pub id: Uuid,
    /// What the customer said.
    pub answer: Answer,
    /// Until when it is deferred.
    pub until: Option<Date>,
    /// The number of the answer that was seen.
    pub seen: i64,
}

/// Writes down what the customer said of a proposal. What stands already is harmless and writes
/// nothing; all answers before it stay.
///
/// # Errors
/// `UntilMissing`; `AnsweredMeanwhile` if somebody wrote another answer down since it was looked
/// at; `NoSuchProposal` if the sheet took it back.
pub async fn answer_proposal(
    tx: &mut Tx,
    proposal: &Proposal,
    heard: &Heard,
    by: By,
) -> Result<(), ActionError> {
    // Held, so that two answers and a sheet that comes in again follow each other.
    tx.hold_visit(proposal.visit_id).await?;
    if tx.has_answer(heard.id).await? {
        return Ok(());
    }
    let now = match tx.proposal(Scope::EVERYTHING, proposal.id).await {
        Err(StoreError::NotFound) => return Err(Refusal::NoSuchProposal.into()),
        other => other?,
    };
    let until = heard.until.filter(|_| heard.answer == Answer::Deferred);
    if heard.answer == Answer::Deferred && until.is_none() {
        return Err(Refusal::UntilMissing.into());
    }
    if now.answer == heard.answer && now.until == until {
        return Ok(());
    }
    if now.answer_number != heard.seen {
        let words = now.answer.words().to_lowercase();
        return Err(Refusal::AnsweredMeanwhile(format!(
            "Somebody wrote down “{words}” meanwhile. Look at it, then decide."
        ))
        .into());
    }
    let (id, answer) = (heard.id, heard.answer);
    let new = NewAnswer { id, proposal: now.id, answer, until, from_sheet: false };
    let number = match tx.insert_answer(new, by).await {
        Err(StoreError::Taken) => return Err(Refusal::Changed.into()),
        other => other?,
    };
    let body = json!({"answer": answer.key(), "number": number});
    let event = Event { verb: "answer", noun: "proposal", noun_id: now.id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}
