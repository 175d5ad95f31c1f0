//! Plans and the agreements that are sold by them.

use serde_json::json;
use time::Date;
use uuid::Uuid;

use super::ActionError;
use crate::domain::refusal::Refusal;
use crate::store::{By, Event, NewAgreement, NewPlan, Scope, StoreError, Tx};

/// Makes a plan, or with `version` above 1 a further version of it; agreements keep theirs.
///
/// # Errors
/// `Changed` if somebody else has just made that version.
pub async fn make_plan(
    tx: &mut Tx,
    id: Uuid,
    version: i64,
    plan: &NewPlan,
    by: By,
) -> Result<(), ActionError> {
    match tx.insert_plan_version(id, version, plan, by.at).await {
        Err(StoreError::Taken) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let body = json!({"version": version, "price_cents": plan.price_cents});
    tx.insert_event(by, Event { verb: "make", noun: "plan", noun_id: id, body }).await?;
    Ok(())
}

/// Makes an agreement for systems of one customer; asked twice under one id, made once.
///
/// # Errors
/// `NoSystems` if none, or one that isn't this customer's; `DaysOutOfOrder`.
pub async fn make_agreement(
    tx: &mut Tx,
    agreement: &NewAgreement,
    by: By,
) -> Result<(), ActionError> {
    if tx.has_agreement(agreement.id).await? {
        return Ok(());
    }
    if agreement.ends_on <= agreement.starts_on {
        return Err(Refusal::DaysOutOfOrder("An agreement ends after it begins.").into());
    }
    let theirs = tx.systems_of_customer(Scope::EVERYTHING, agreement.customer_id).await?;
    let covered = &agreement.systems;
    let all_theirs = covered.iter().all(|id| theirs.iter().any(|system| system.id == *id));
    if covered.is_empty() || !all_theirs {
        return Err(Refusal::NoSystems.into());
    }
    match tx.insert_agreement(agreement, by.at).await {
        Err(StoreError::StillReferenced) => return Err(StoreError::NotFound.into()),
        other => other?,
    }
    let body = json!({"customer": agreement.customer_id, "systems": agreement.systems});
    let event = Event { verb: "make", noun: "agreement", noun_id: agreement.id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Notes that the customer said yes.
///
/// # Errors
/// `Changed` if that was noted already.
pub async fn accept_agreement(tx: &mut Tx, id: Uuid, on: Date, by: By) -> Result<(), ActionError> {
    match tx.set_agreement_accepted(id, on).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let event = Event { verb: "accept", noun: "agreement", noun_id: id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Ends an agreement before its term is over.
///
/// # Errors
/// `Changed` if it was ended already.
pub async fn end_agreement(tx: &mut Tx, id: Uuid, on: Date, by: By) -> Result<(), ActionError> {
    match tx.set_agreement_ended(id, on).await {
        Err(StoreError::Changed) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let event = Event { verb: "end", noun: "agreement", noun_id: id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}
