//! Customers and their sites.

use serde_json::json;

use super::ActionError;
use crate::store::{By, Customer, Event, Site, StoreError, Tx};

/// Adds a customer; the same one twice is one.
///
/// # Errors
/// As the store has them.
pub async fn add_customer(tx: &mut Tx, customer: &Customer, by: By) -> Result<(), ActionError> {
    if !tx.insert_customer(customer, by.at).await? {
        return Ok(());
    }
    let event = Event { verb: "add", noun: "customer", noun_id: customer.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Changes a customer's particulars.
///
/// # Errors
/// `NotFound`.
pub async fn change_customer(tx: &mut Tx, customer: &Customer, by: By) -> Result<(), ActionError> {
    tx.update_customer(customer).await?;
    let event = Event { verb: "change", noun: "customer", noun_id: customer.id, body: json!({}) };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Adds a site of a customer.
///
/// # Errors
/// `NotFound` if there is no such customer.
pub async fn add_site(tx: &mut Tx, site: &Site, by: By) -> Result<(), ActionError> {
    match tx.insert_site(site, by.at).await {
        Err(StoreError::StillReferenced) => return Err(StoreError::NotFound.into()),
        Ok(false) => return Ok(()),
        other => other?,
    };
    let body = json!({"customer": site.customer_id, "elevation_ft": site.elevation_ft});
    tx.insert_event(by, Event { verb: "add", noun: "site", noun_id: site.id, body }).await?;
    Ok(())
}

/// Changes a site's particulars.
///
/// # Errors
/// `NotFound`.
pub async fn change_site(tx: &mut Tx, site: &Site, by: By) -> Result<(), ActionError> {
    tx.update_site(site).await?;
    let body = json!({"elevation_ft": site.elevation_ft});
    tx.insert_event(by, Event { verb: "change", noun: "site", noun_id: site.id, body }).await?;
    Ok(())
}
