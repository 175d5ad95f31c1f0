//! Setting the company up, and the people in it.

use serde_json::json;
use uuid::Uuid;

use super::ActionError;
use crate::domain::person::Role;
use crate::domain::refusal::Refusal;
use crate::store::{By, Company, Event, NewPerson, StoreError, Tx};

/// Makes the company and its first owner.
///
/// # Errors
/// `SetUpAlready` if there is a company.
pub async fn set_up(
    tx: &mut Tx,
    company: &Company,
    owner: &NewPerson,
    by: By,
) -> Result<(), ActionError> {
    if tx.company().await?.is_some() {
        return Err(Refusal::SetUpAlready.into());
    }
    tx.insert_company(company, by.at).await?;
    add_person(tx, owner, By { person: None, at: by.at }).await
}

/// Adds somebody.
///
/// # Errors
/// `EmailTaken`.
pub async fn add_person(tx: &mut Tx, person: &NewPerson, by: By) -> Result<(), ActionError> {
    match tx.insert_person(person, by.at).await {
        Err(StoreError::Taken) => return Err(Refusal::EmailTaken.into()),
        other => other?,
    }
    let body = json!({"role": person.role.key()});
    tx.insert_event(by, Event { verb: "add", noun: "person", noun_id: person.id, body }).await?;
    Ok(())
}

/// Sets somebody's password and ends all their sessions: by the owner or on the console.
///
/// # Errors
/// `NotFound`.
pub async fn reset_password(
    tx: &mut Tx,
    person: Uuid,
    hash: &str,
    by: By,
) -> Result<(), ActionError> {
    tx.set_password(person, hash).await?;
    let event = Event { verb: "reset_password", noun: "person", noun_id: person, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Changes one's own password; every session ends, and the one that asked begins anew under
/// `token_hash`.
///
/// # Errors
/// `NotFound`.
pub async fn change_password(
    tx: &mut Tx,
    person: Uuid,
    hash: &str,
    token_hash: &str,
    by: By,
) -> Result<(), ActionError> {
    tx.set_password(person, hash).await?;
    tx.insert_session(token_hash, person, by.at).await?;
    let event = Event { verb: "change_password", noun: "person", noun_id: person, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Notes that somebody left: they can't sign in any more, and what they did stays.
///
/// # Errors
/// `LastOwner`; `Changed` if they have left already.
pub async fn let_go(tx: &mut Tx, person: Uuid, by: By) -> Result<(), ActionError> {
    // Two owners who let each other go at once would leave none: one after the other.
    tx.take_turn().await?;
    let people = tx.people().await?;
    let owners = people.iter().filter(|it| it.role == Role::Owner && it.left_at.is_none());
    let (mut others, mut is_owner) = (0, false);
    for owner in owners {
        if owner.id == person { is_owner = true } else { others += 1 }
    }
    if is_owner && others == 0 {
        return Err(Refusal::LastOwner.into());
    }
    match tx.set_left(person, by.at).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let event = Event { verb: "let_go", noun: "person", noun_id: person, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}
