//! Hazards reach the office first: told from within an entry, seen by somebody of the office.

use serde_json::json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::enter::taken_at;
use super::standards::standards;
use super::{ActionError, Typed, judge};
use crate::chance;
use crate::domain::{form, hazard};
use crate::engine::limits::LimitName;
use crate::store::{By, Event, Mark, NewHazardReport, StoreError, Tx, Visit};

/// Tells the office of hazards, each by the field of the sheet that tells it (`hazard.gas_smell`,
/// or the point `ambient_co_ppm`) and the device's clock. One that stands is not told again, seen
/// or not.
///
/// # Errors
/// As the store has them.
pub async fn raise_hazards(
    tx: &mut Tx,
    visit: &Visit,
    told: &[(&str, Option<OffsetDateTime>)],
    by: By,
) -> Result<(), StoreError> {
    for (field, at) in told {
        let words = hazard::hazard(field).short;
        let new = NewHazardReport { id: chance::id(by.at), visit: visit.id, field, words, at: *at };
        if tx.insert_hazard_report(new, by).await? {
            let body = json!({"visit": visit.id, "field": field});
            let event = Event { verb: "tell", noun: "hazard_report", noun_id: new.id, body };
            tx.insert_event(by, event).await?;
        }
    }
    Ok(())
}

/// Takes hazards back that the sheet no longer tells: they stay on record with that said.
///
/// # Errors
/// As the store has them.
pub async fn take_hazards_back(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[&str],
    by: By,
) -> Result<(), StoreError> {
    for field in fields {
        if let Some(id) = tx.take_hazard_back(visit.id, field, by.at).await? {
            let body = json!({"visit": visit.id, "field": field});
            let event = Event { verb: "take_back", noun: "hazard_report", noun_id: id, body };
            tx.insert_event(by, event).await?;
        }
    }
    Ok(())
}

/// What new marks of a sheet say of hazards, in the order of their entries: a tick tells, a tick
/// taken away takes back. `first` is the place of the first entry.
pub(super) async fn hazards_of_marks(
    tx: &mut Tx,
    visit: &Visit,
    (marks, typed, first): (&[(i64, Mark)], &[Typed], i64),
    by: By,
) -> Result<(), StoreError> {
    for (number, mark) in marks.iter().filter(|it| it.1.field.starts_with("hazard.")) {
        let field = mark.field.as_str();
        if mark.value.is_empty() {
            take_hazards_back(tx, visit, &[field], by).await?;
        } else {
            let place = usize::try_from(number - first).ok();
            let at = place.and_then(|it| typed.get(it)).map(|it| taken_at(it, by));
            raise_hazards(tx, visit, &[(field, at)], by).await?;
        }
    }
    Ok(())
}

/// A hazard that is told while what tells it waits for a decision (the sheet is no longer open, or
/// another device says otherwise) counts for nothing there, and must reach the office all the same:
/// a tick, and carbon monoxide as the engine would take it.
pub(super) async fn hazards_held(
    tx: &mut Tx,
    visit: &Visit,
    waiting: &[Typed],
    by: By,
) -> Result<(), StoreError> {
    let is_told = |it: &Typed| it.field.starts_with("hazard.") && !it.text.trim().is_empty();
    for typed in waiting {
        let is_read = typed.field == hazard::MEASURED_CO;
        let only = std::slice::from_ref(typed);
        if is_told(typed) || (is_read && is_co_high(tx, visit, only, by).await?) {
            let at = Some(taken_at(typed, by));
            raise_hazards(tx, visit, &[(typed.field.as_str(), at)], by).await?;
        }
    }
    Ok(())
}

/// What the engine says of carbon monoxide, if some was just read: over its limit tells, no longer
/// over it takes back.
pub(super) async fn hazard_of_measured_co(
    tx: &mut Tx,
    visit: &Visit,
    counted: &[Typed],
    by: By,
) -> Result<(), StoreError> {
    let field = hazard::MEASURED_CO;
    let Some(read) = counted.iter().rfind(|it| it.field == field) else { return Ok(()) };
    if is_co_high(tx, visit, &[], by).await? {
        raise_hazards(tx, visit, &[(field, Some(taken_at(read, by)))], by).await
    } else {
        take_hazards_back(tx, visit, &[field], by).await
    }
}

/// Whether carbon monoxide is over its limit on a sheet, or would be with what waits laid over it.
async fn is_co_high(
    tx: &mut Tx,
    visit: &Visit,
    waiting: &[Typed],
    by: By,
) -> Result<bool, StoreError> {
    let field = hazard::MEASURED_CO;
    if let Ok(assessment) = judge::judged_as_typed(tx, visit, waiting, by.at).await?.1 {
        let stages = [&assessment.as_found, &assessment.as_left];
        let mut verdicts = stages.into_iter().flat_map(|stage| &stage.verdicts);
        return Ok(verdicts.any(|it| it.measure == field && it.is_alarm()));
    }
    // A plate that is not complete keeps the engine silent, but not the alarm.
    let limit = standards(tx).await?.book.limit(LimitName::AmbientCarbonMonoxideHigh).value;
    let readings = tx.readings_of(visit.number).await?;
    let read = readings.iter().filter(|it| it.point == field).filter_map(|it| it.value);
    let typed = waiting.iter().filter_map(|it| form::number(&it.text));
    Ok(read.chain(typed).any(|ppm| limit < ppm))
}

/// Notes that somebody of the office saw a hazard. Who saw it first stays.
///
/// # Errors
/// `NotFound`.
pub async fn see_hazard(tx: &mut Tx, id: Uuid, by: By) -> Result<(), ActionError> {
    if tx.set_hazard_seen(id, by).await? {
        let event = Event { verb: "see", noun: "hazard_report", noun_id: id, body: json!({}) };
        tx.insert_event(by, event).await?;
    }
    Ok(())
}
