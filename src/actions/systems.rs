//! Systems and the components that they are made of.

use serde_json::json;
use time::Date;
use uuid::Uuid;

use super::ActionError;
use crate::domain::nameplate::Part;
use crate::domain::refusal::Refusal;
use crate::store::{By, Event, Plate, StoreError, Tx};

/// Adds a system at a site.
///
/// # Errors
/// `NotFound` if there is no such site.
pub async fn add_system(
    tx: &mut Tx,
    id: Uuid,
    site: Uuid,
    name_and_kind: (&str, &str),
    by: By,
) -> Result<(), ActionError> {
    match tx.insert_system(id, site, name_and_kind, by.at).await {
        Err(StoreError::StillReferenced) => return Err(StoreError::NotFound.into()),
        Ok(false) => return Ok(()),
        other => other?,
    };
    let body = json!({"site": site, "kind": name_and_kind.1});
    tx.insert_event(by, Event { verb: "add", noun: "system", noun_id: id, body }).await?;
    Ok(())
}

/// Changes a system's name or kind.
///
/// # Errors
/// `NotFound`.
pub async fn change_system(
    tx: &mut Tx,
    id: Uuid,
    name: &str,
    kind: &str,
    by: By,
) -> Result<(), ActionError> {
    tx.update_system(id, name, kind).await?;
    let event = Event { verb: "change", noun: "system", noun_id: id, body: json!({"kind": kind}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Adds a component that was there, or was put in, on a day.
///
/// # Errors
/// `PartInPlace` if such a part is there already.
pub async fn add_component(
    tx: &mut Tx,
    id: Uuid,
    system_and_part: (Uuid, Part),
    installed_on: Option<Date>,
    (plate, by): (&Plate, By),
) -> Result<(), ActionError> {
    match tx.insert_component(id, system_and_part, installed_on, plate, by).await {
        Err(StoreError::Taken) => return Err(Refusal::PartInPlace.into()),
        other => other?,
    }
    let body = json!({"system": system_and_part.0, "part": system_and_part.1.key()});
    tx.insert_event(by, Event { verb: "add", noun: "component", noun_id: id, body }).await?;
    Ok(())
}

/// Corrects a plate: a new version, with a reason; the old ones stay.
///
/// # Errors
/// `ReasonMissing`; `Changed` if somebody corrected `version` meanwhile.
pub async fn correct_plate(
    tx: &mut Tx,
    component: Uuid,
    version: i64,
    plate: &Plate,
    by: By,
) -> Result<(), ActionError> {
    if plate.reason.trim().is_empty() {
        return Err(Refusal::ReasonMissing.into());
    }
    match tx.insert_plate(component, version + 1, plate, by).await {
        Err(StoreError::Taken) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let body = json!({"version": version + 1});
    let event = Event { verb: "correct", noun: "component", noun_id: component, body };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Replaces a component: the old one is taken out and stays in the history, the new one goes in
/// on the same day.
///
/// # Errors
/// `TakenOut` if the old one is out already; `DaysOutOfOrder`.
pub async fn replace_component(
    tx: &mut Tx,
    old: Uuid,
    new: Uuid,
    on: Date,
    (plate, by): (&Plate, By),
) -> Result<(), ActionError> {
    let before = tx.component(old).await?;
    if before.installed_on.is_some_and(|installed| on < installed) {
        return Err(Refusal::DaysOutOfOrder(
            "The old part was put in after that day; it can't have been replaced before.",
        )
        .into());
    }
    match tx.set_removed(old, on).await {
        Err(StoreError::Changed) => return Err(Refusal::TakenOut.into()),
        other => other?,
    }
    let event =
        Event { verb: "replace", noun: "component", noun_id: old, body: json!({"by": new}) };
    tx.insert_event(by, event).await?;
    add_component(tx, new, (before.system_id, before.part), Some(on), (plate, by)).await
}
