//! Recording what a repair found to be the matter at a visit; the priors learn from it.

use serde_json::json;
use uuid::Uuid;

use super::ActionError;
use super::priors::learn;
use crate::domain::confirmed_cause::{word, words};
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::engine::causes::causes_of;
use crate::store::{By, ConfirmedCause, Event, NewConfirmedCause, Scope, Tx, Visit};

/// What somebody says was the matter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Confirmation {
    /// Its id: the same form sent twice is one answer.
    pub id: Uuid,
    /// The cause's word, or two as `a+b`.
    pub cause: String,
    /// The finding that it answers, if it was one.
    pub finding: Option<Uuid>,
    /// What else there is to say.
    pub remark: String,
    /// The number of this visit's last answer that was seen; 0 if there was none.
    pub seen: i64,
}

/// Records what was found, beside what was predicted when the visit was first answered, and lets
/// the priors learn from it. The answer that stands already is harmless and writes nothing.
///
/// # Errors
/// `WrongState` if the sheet is not in; `NobodyConfirms`, `CauseMissing`, `NoSuchFinding`,
/// `TextTooLong`; `ConfirmedMeanwhile` if somebody else answered since it was looked at.
pub async fn confirm_cause(
    tx: &mut Tx,
    visit: &Visit,
    wanted: &Confirmation,
    by: By,
) -> Result<(), ActionError> {
    if by.person.is_none() {
        return Err(Refusal::NobodyConfirms.into());
    }
    // Answers are numbered one after the other, and two people see each other's.
    tx.take_turn().await?;
    // As it stands now: a judgement or a sending back beside this is seen.
    let visit = tx.visit(Scope::EVERYTHING, visit.id).await?;
    if !visit.state.is_in() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    let (first, second) = causes_of(&wanted.cause).ok_or(Refusal::CauseMissing)?;
    let new = NewConfirmedCause {
        id: wanted.id,
        visit_number: visit.number,
        assessment_number: visit.assessment_number,
        finding_id: wanted.finding,
        cause: word(first, second)?,
        remark: wanted.remark.trim().to_owned(),
    };
    let before = tx.confirmed_causes_of(visit.number).await?;
    if before.iter().any(|it| it.id == new.id) || is_so_already(before.first(), &new) {
        return Ok(());
    }
    if new.remark.chars().count() > REASON_LETTERS_MAX {
        return Err(Refusal::TextTooLong.into());
    }
    if let Some(finding) = wanted.finding {
        let standing = tx.findings_of_visit(visit.id).await?;
        if !standing.iter().any(|it| it.id == finding) {
            return Err(Refusal::NoSuchFinding.into());
        }
    }
    if let Some(last) = before.first().filter(|it| it.number != wanted.seen) {
        return Err(Refusal::ConfirmedMeanwhile(confirmed_meanwhile(last)).into());
    }
    // A correction keeps what was predicted before anybody answered: a later judgement may know
    // the answer, by the priors that learnt from it.
    let predicted = before.last().map_or(new.assessment_number, |it| it.assessment_number);
    let new = NewConfirmedCause { assessment_number: predicted, ..new };
    let Some(number) = tx.insert_confirmed_cause(&new, by).await? else { return Ok(()) };
    let body = json!({"cause": new.cause, "finding": new.finding_id, "number": number});
    let event = Event { verb: "confirm_cause", noun: "visit", noun_id: visit.id, body };
    tx.insert_event(by, event).await?;
    Ok(learn(tx, new.id, by).await?)
}

fn is_so_already(last: Option<&ConfirmedCause>, new: &NewConfirmedCause) -> bool {
    last.is_some_and(|it| {
        it.cause == new.cause && it.finding_id == new.finding_id && it.remark == new.remark
    })
}

fn confirmed_meanwhile(last: &ConfirmedCause) -> String {
    let (who, what) = (&last.person_name, words(&last.cause));
    let remark =
        if last.remark.is_empty() { String::new() } else { format!(" “{}”", last.remark) };
    format!("{who} answered meanwhile: {what}.{remark} Look at it, then decide.")
}
