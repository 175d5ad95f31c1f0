//! Handing a sheet in: it gets its verdicts at once.

use serde_json::json;
use uuid::Uuid;

use super::closing::closing_faults;
use super::decide::waiting;
use super::{ActionError, judge, requirement};
use crate::domain::refusal::Refusal;
use crate::domain::visit::VisitState;
use crate::store::{By, Event, StoreError, Tx, Visit};

/// Hands the sheet in, judges it and keeps what closes it, in one transaction. A sheet that is in
/// already stays in.
///
/// # Errors
/// `EmptySheet`, `WrongState`, `Undecided`, `RequiredMissing`; `DoesNotFit` where what closes it lacks something.
pub async fn hand_in(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    if visit.state.is_in() {
        return Ok(());
    }
    // Held, so that nothing is entered between the look at the sheet and its going in.
    tx.hold_visit(visit.id).await?;
    if !visit.state.may_become(VisitState::HandedIn) {
        let refusal = if visit.state == VisitState::Booked {
            Refusal::EmptySheet
        } else {
            Refusal::WrongState(visit.state)
        };
        return Err(refusal.into());
    }
    let readings = tx.readings_of(visit.number).await?;
    let marks = tx.marks_of(visit.number).await?;
    let is_empty = readings.iter().all(|reading| reading.value.is_none())
        && marks.iter().all(|mark| mark.value.is_empty());
    if is_empty {
        return Err(Refusal::EmptySheet.into());
    }
    if !waiting(tx.entries_held(visit.number).await?).is_empty() {
        return Err(Refusal::Undecided.into());
    }
    let faults = closing_faults(tx, visit).await?;
    if !faults.is_empty() {
        let sentences: Vec<String> = faults.into_iter().map(|it| it.1).collect();
        return Err(Refusal::DoesNotFit(sentences.join(" ")).into());
    }
    requirement::hold_against(tx, visit, (&readings, &marks)).await?;
    match tx.set_visit_state(visit.id, visit.state, VisitState::HandedIn).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    tx.set_handed_in(visit.id, by.at).await?;
    let body = json!({"readings": readings.len(), "marks": marks.len()});
    tx.insert_event(by, Event { verb: "hand_in", noun: "visit", noun_id: visit.id, body }).await?;
    judge::judge(tx, visit, by).await
}

/// The same for a phone that may send it twice, or send it late: what it made the id for is done
/// once, also if the sheet went back to the technician since.
///
/// # Errors
/// As those of [`hand_in`].
pub async fn hand_in_once(tx: &mut Tx, visit: &Visit, id: Uuid, by: By) -> Result<(), ActionError> {
    let event = Event { verb: "send_in", noun: "visit", noun_id: visit.id, body: json!({}) };
    if tx.insert_event_once(id, by, event).await? { hand_in(tx, visit, by).await } else { Ok(()) }
}
