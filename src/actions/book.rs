//! Booking visits, moving them, calling them off.

use serde_json::json;
use uuid::Uuid;

use super::ActionError;
use crate::domain::person::Role;
use crate::domain::refusal::Refusal;
use crate::domain::visit::{VisitKind, VisitState};
use crate::planning::due::is_promised;
use crate::store::{BookedAs, By, Event, NewVisit, Scope, Slot, StoreError, Tx, Visit};

/// Minutes of a day.
const DAY_MINUTES: i64 = 24 * 60;

/// What somebody wants booked.
#[derive(Clone, Copy, Debug)]
pub struct Booking {
    /// The visit's id, made by whoever asks: asked twice, booked once.
    pub id: Uuid,
    /// The system.
    pub system_id: Uuid,
    /// What for.
    pub kind: VisitKind,
    /// Who goes.
    pub technician_id: Uuid,
    /// When.
    pub slot: Slot,
    /// The promise that it keeps, with the year of its season.
    pub promise: Option<(Uuid, i64)>,
}

/// Books a visit. Two that want the same quarter hour of the same technician, or the same promise,
/// can't both have it: the store's unique rows decide.
///
/// # Errors
/// `Busy`, `BookedAlready`, `NotATechnician`, `OverMidnight`, `NotPromised`; `SentBefore` if
/// something else was booked under the same id.
pub async fn book_visit(tx: &mut Tx, booking: &Booking, by: By) -> Result<(), ActionError> {
    // Without the turn, a form that is sent twice at once would find no visit both times.
    tx.take_turn().await?;
    if let Some(before) = tx.booked_as(booking.id).await? {
        return if is_same(booking, &before) { Ok(()) } else { Err(Refusal::SentBefore.into()) };
    }
    let name = technician_name(tx, booking.technician_id).await?;
    check_slot(booking.slot)?;
    if let Some((agreement, year)) = booking.promise {
        check_promise(tx, booking, agreement, year).await?;
    }
    let visit = NewVisit {
        id: booking.id,
        system_id: booking.system_id,
        kind: booking.kind,
        technician_id: booking.technician_id,
        slot: booking.slot,
        promise: booking.promise,
    };
    match tx.insert_visit(&visit, by.at).await {
        Err(StoreError::Taken) => return Err(Refusal::BookedAlready.into()),
        Err(StoreError::StillReferenced) => return Err(StoreError::NotFound.into()),
        other => other?,
    };
    match tx.insert_quarters(visit.id, visit.technician_id, visit.slot).await {
        Err(StoreError::Taken) => return Err(Refusal::Busy(name).into()),
        other => other?,
    }
    let body = json!({
        "system": booking.system_id, "kind": booking.kind.key(),
        "technician": booking.technician_id, "day": booking.slot.day.to_string(),
        "start_minute": booking.slot.start_minute, "minutes": booking.slot.minutes,
    });
    tx.insert_event(by, Event { verb: "book", noun: "visit", noun_id: booking.id, body }).await?;
    Ok(())
}

fn is_same(booking: &Booking, before: &BookedAs) -> bool {
    let slot = Slot { day: before.day, start_minute: before.start_minute, minutes: before.minutes };
    booking.system_id == before.system_id
        && booking.kind == before.kind
        && Some(booking.technician_id) == before.technician_id
        && booking.slot == slot
        && booking.promise == before.agreement_id.zip(before.season_year)
}

/// The unique index has the last word; this only finds the better sentence beforehand.
async fn check_promise(
    tx: &mut Tx,
    booking: &Booking,
    agreement: Uuid,
    year: i64,
) -> Result<(), ActionError> {
    let covered = tx.covered(agreement, booking.system_id).await?;
    let promised = covered.is_some_and(|row| {
        let of_kind = row.seasons.0.iter().copied().filter(|season| season.kind == booking.kind);
        let season_year = i32::try_from(year).unwrap_or(i32::MIN);
        let in_calendar = (1900..=2200).contains(&season_year);
        in_calendar && of_kind.into_iter().any(|it| is_promised(&row.term(), it, season_year))
    });
    if !promised {
        return Err(Refusal::NotPromised.into());
    }
    let kept = tx.kept_by(agreement).await?;
    let taken = kept.iter().any(|visit| {
        visit.system_id == booking.system_id
            && visit.kind == booking.kind
            && visit.season_year == year
    });
    if taken { Err(Refusal::BookedAlready.into()) } else { Ok(()) }
}

/// Starts an unplanned visit now, on a system that the viewer may see; it takes no time in the
/// book, for whoever is there is there.
///
/// # Errors
/// `NotFound` for a system that the viewer may not see.
pub async fn start_visit(
    tx: &mut Tx,
    scope: Scope,
    booking: &Booking,
    by: By,
) -> Result<(), ActionError> {
    tx.system(scope, booking.system_id).await?;
    // The same form sent twice at once: the second waits, and finds the first one's visit.
    tx.take_turn().await?;
    if tx.has_visit(booking.id).await? {
        return Ok(());
    }
    let visit = NewVisit {
        id: booking.id,
        system_id: booking.system_id,
        kind: booking.kind,
        technician_id: booking.technician_id,
        slot: Slot { minutes: 0, ..booking.slot },
        promise: None,
    };
    tx.insert_visit(&visit, by.at).await?;
    tx.set_visit_state(booking.id, VisitState::Booked, VisitState::UnderWay).await?;
    let body = json!({"system": booking.system_id, "kind": booking.kind.key()});
    tx.insert_event(by, Event { verb: "start", noun: "visit", noun_id: booking.id, body }).await?;
    Ok(())
}

/// Moves a booked visit to another technician, day or time.
///
/// # Errors
/// `Busy`, `NotATechnician`, `OverMidnight`, `WrongState`.
pub async fn move_visit(
    tx: &mut Tx,
    visit: &Visit,
    technician: Uuid,
    slot: Slot,
    by: By,
) -> Result<(), ActionError> {
    // Without the turn, two visits that change places at once would wait for each other.
    tx.take_turn().await?;
    let name = technician_name(tx, technician).await?;
    check_slot(slot)?;
    match tx.move_visit(visit.id, technician, slot).await {
        Err(StoreError::Taken) => return Err(Refusal::Busy(name).into()),
        Err(StoreError::Changed) => return Err(Refusal::WrongState(visit.state).into()),
        other => other?,
    }
    let body = json!({
        "technician": technician, "day": slot.day.to_string(),
        "start_minute": slot.start_minute, "minutes": slot.minutes,
    });
    tx.insert_event(by, Event { verb: "move", noun: "visit", noun_id: visit.id, body }).await?;
    Ok(())
}

/// Calls a visit off; its time in the book is free again.
///
/// # Errors
/// `WrongState` once it was handed in.
pub async fn call_off_visit(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    end_before_hand_in(tx, visit, VisitState::Cancelled, "call_off", by).await
}

/// Notes that somebody went and could not get in.
///
/// # Errors
/// `WrongState` once it was handed in.
pub async fn note_no_access(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    end_before_hand_in(tx, visit, VisitState::NoAccess, "note_no_access", by).await
}

/// Opens a visit again that was called off, or where nobody opened: something was read on it after
/// all. One that is open stays open.
///
/// # Errors
/// `WrongState` for any other; `BookedAlready` if another visit keeps its promise by now.
pub async fn open_again(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    if visit.state == VisitState::UnderWay {
        return Ok(());
    }
    if !visit.state.is_void() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    match tx.set_visit_state(visit.id, visit.state, VisitState::UnderWay).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        Err(StoreError::Taken) => return Err(Refusal::BookedAlready.into()),
        other => other?,
    }
    let event = Event { verb: "open_again", noun: "visit", noun_id: visit.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

async fn end_before_hand_in(
    tx: &mut Tx,
    visit: &Visit,
    to: VisitState,
    verb: &'static str,
    by: By,
) -> Result<(), ActionError> {
    if visit.state == to {
        return Ok(());
    }
    if !visit.state.may_become(to) {
        return Err(Refusal::WrongState(visit.state).into());
    }
    if visit.entries > 0 {
        return Err(Refusal::SheetBegun.into());
    }
    match tx.set_visit_state(visit.id, visit.state, to).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    tx.free_quarters(visit.id).await?;
    tx.insert_event(by, Event { verb, noun: "visit", noun_id: visit.id, body: json!({}) }).await?;
    Ok(())
}

async fn technician_name(tx: &mut Tx, id: Uuid) -> Result<String, ActionError> {
    match tx.person(id).await {
        Ok(person) if person.role == Role::Technician && person.left_at.is_none() => {
            Ok(person.name)
        }
        Ok(_) | Err(StoreError::NotFound) => Err(Refusal::NotATechnician.into()),
        Err(fault) => Err(fault.into()),
    }
}

fn check_slot(slot: Slot) -> Result<(), Refusal> {
    let good = slot.start_minute >= 0
        && slot.minutes > 0
        && slot.start_minute + slot.minutes <= DAY_MINUTES;
    if good { Ok(()) } else { Err(Refusal::OverMidnight) }
}
