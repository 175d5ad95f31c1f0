//! Adding a photo to a visit, and taking one away.

use serde_json::json;
use uuid::Uuid;

use super::ActionError;
use crate::domain::photo::{PHOTOS_MAX, may_have, may_remove};
use crate::domain::refusal::Refusal;
use crate::store::{By, Event, NewPhoto, Photo, Tx, Visit};

/// Whether the office takes a photo away, or the one whose visit it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remover {
    /// Somebody who runs the office.
    Office,
    /// The technician.
    Technician,
}

/// What is known of a photo that was sent before: the same one again is harmless, in whichever
/// state the visit is, and gives the same answer also when it was taken away meanwhile.
///
/// # Errors
/// `Changed` if the id stands for another picture, visit, field or person.
pub async fn photo_sent_before(
    tx: &mut Tx,
    visit: Uuid,
    (id, field, sent_sha256): (Uuid, &str, &str),
    person: Uuid,
) -> Result<Option<Photo>, ActionError> {
    let Some(before) = tx.photo_of_any_visit(id).await? else { return Ok(None) };
    let is_same = before.visit_id == visit
        && before.field == field
        && before.sent_sha256 == sent_sha256
        && before.person_id == person;
    if is_same { Ok(Some(before)) } else { Err(Refusal::Changed.into()) }
}

/// Adds a photo whose picture is kept already, so that no row is ever without one. In any state of
/// the visit, called off too: a phone may have been out of reach for days, and nothing is lost.
///
/// # Errors
/// `NoSuchField`, `Changed`, `PhotosFull`.
pub async fn add_photo(
    tx: &mut Tx,
    visit: &Visit,
    new: &NewPhoto,
    by: By,
) -> Result<Photo, ActionError> {
    if !may_have(&new.field) {
        return Err(Refusal::NoSuchField(new.field.clone()).into());
    }
    // Two requests with the same photo must not both find it new.
    tx.hold_visit(visit.id).await?;
    let sent = (new.id, new.field.as_str(), new.sent_sha256.as_str());
    if let Some(before) = photo_sent_before(tx, visit.id, sent, new.person_id).await? {
        return Ok(before);
    }
    if tx.photo_count(visit.id).await? >= PHOTOS_MAX {
        return Err(Refusal::PhotosFull.into());
    }
    if !tx.insert_photo(visit.id, new, by.at).await? {
        // The same id for another visit came at this very moment.
        return Err(Refusal::Changed.into());
    }
    let body = json!({"photo": new.id, "field": new.field, "bytes": new.bytes});
    let event = Event { verb: "add_photo", noun: "visit", noun_id: visit.id, body };
    tx.insert_event(by, event).await?;
    Ok(tx.photo(visit.id, new.id).await?)
}

/// Takes a photo away; its row stays and says who did it and when. The picture goes next, by
/// whoever holds the pictures.
///
/// # Errors
/// `NotFound`; `AcceptedAlready` for a technician once the report was accepted.
pub async fn remove_photo(
    tx: &mut Tx,
    visit: &Visit,
    (photo, remover): (Uuid, Remover),
    by: By,
) -> Result<(), ActionError> {
    let photo = tx.photo(visit.id, photo).await?;
    if photo.removed_at.is_some() {
        return Ok(());
    }
    may_remove(visit.state, remover == Remover::Office)?;
    if tx.remove_photo(photo.id, by).await? {
        let body = json!({"photo": photo.id, "field": photo.field});
        let event = Event { verb: "remove_photo", noun: "visit", noun_id: visit.id, body };
        tx.insert_event(by, event).await?;
    }
    Ok(())
}
