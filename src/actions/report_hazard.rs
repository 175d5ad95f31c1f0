//! Hazards reach the office first: told from within an entry, seen by somebody of the office.

use serde_json::json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{ActionError, Typed};
use crate::chance;
use crate::domain::hazard;
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
            let at = place.and_then(|it| typed.get(it)).and_then(|it| it.device_at);
            raise_hazards(tx, visit, &[(field, at)], by).await?;
        }
    }
    Ok(())
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
