//! What the owner does with a sheet that came in, and the customer's private way to the report.

use serde_json::json;
use time::OffsetDateTime;

use super::ActionError;
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::domain::sheet;
use crate::domain::visit::VisitState;
use crate::store::{By, Event, StoreError, Tx, Visit};

/// Takes the sheet. One that was taken already stays taken.
///
/// # Errors
/// `WrongState`, `Changed`.
pub async fn accept_visit(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    if visit.state == VisitState::Accepted {
        return Ok(());
    }
    step(tx, visit, VisitState::Accepted).await?;
    let event = Event { verb: "accept", noun: "visit", noun_id: visit.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Sends the sheet back to the technician with remarks, each at a field (by its name, such as
/// `as_found.return_wb_f`) or, with an empty name, on the whole. Empty remarks say nothing.
///
/// # Errors
/// `RemarkMissing`, `TextTooLong`, `NoSuchField`, `WrongState`, `Changed`.
pub async fn send_back_visit(
    tx: &mut Tx,
    visit: &Visit,
    remarks: &[(&str, &str)],
    by: By,
) -> Result<(), ActionError> {
    let remarks: Vec<(&str, &str)> = remarks
        .iter()
        .map(|(field, text)| (*field, text.trim()))
        .filter(|it| !it.1.is_empty())
        .collect();
    if remarks.is_empty() {
        return Err(Refusal::RemarkMissing.into());
    }
    if remarks.iter().any(|it| it.1.chars().count() > REASON_LETTERS_MAX) {
        return Err(Refusal::TextTooLong.into());
    }
    if let Some((field, _)) = remarks.iter().find(|it| !may_be_remarked(it.0)) {
        return Err(Refusal::NoSuchField((*field).to_owned()).into());
    }
    step(tx, visit, VisitState::SentBack).await?;
    if let Some(person) = by.person {
        for (field, text) in &remarks {
            let id = crate::chance::id(by.at);
            tx.insert_remark(id, visit.id, (person, by.at), field, text).await?;
        }
    }
    let fields: Vec<&str> = remarks.iter().map(|it| it.0).collect();
    let body = json!({"fields": fields});
    let event = Event { verb: "send_back", noun: "visit", noun_id: visit.id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Whether a remark can stand there: at a field of the sheet, or on the whole.
fn may_be_remarked(name: &str) -> bool {
    let mut fields = sheet::BLOCKS.iter().flat_map(|block| block.fields);
    name.is_empty() || fields.any(|it| it.name() == name)
}

async fn step(tx: &mut Tx, visit: &Visit, to: VisitState) -> Result<(), ActionError> {
    if !visit.state.may_become(to) {
        return Err(Refusal::WrongState(visit.state).into());
    }
    match tx.set_visit_state(visit.id, visit.state, to).await {
        Err(StoreError::Changed) => Err(Refusal::Changed.into()),
        other => Ok(other?),
    }
}

/// Makes a private way to an accepted visit's report, by the hash of its token.
///
/// # Errors
/// `WrongState` before the visit is accepted.
pub async fn make_report_link(
    tx: &mut Tx,
    visit: &Visit,
    token_hash: &str,
    ends_at: OffsetDateTime,
    by: By,
) -> Result<(), ActionError> {
    if visit.state != VisitState::Accepted {
        return Err(Refusal::WrongState(visit.state).into());
    }
    tx.insert_report_link(token_hash, visit.id, by.at, ends_at).await?;
    let event = Event { verb: "link_report", noun: "visit", noun_id: visit.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}
