//! The company's price list: reading it, and changing one item, which makes a new version.

use serde_json::json;
use time::Date;
use uuid::Uuid;

use super::ActionError;
use crate::domain::closing::{Marked, proposals};
use crate::domain::price_list::{OTHER, PriceChange, PriceList};
use crate::domain::refusal::Refusal;
use crate::store::{By, Event, StoreError, Tx, Visit};

/// What the owner wants of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WantedPrices {
    /// Made when the form was laid out: the same twice is one version.
    pub id: Uuid,
    /// The number of the list that was seen; 0 if there was none.
    pub seen: i64,
    /// What to do.
    pub change: PriceChange,
}

/// The prices that a visit's proposals go by.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClosingPrices {
    /// The list, with what the sheet proposes and the list no longer has at its end.
    pub list: PriceList,
    /// The plan's discount on repairs; 0 without one.
    pub discount_percent: i64,
}

/// The list as it is in force now.
///
/// # Errors
/// As the store has them.
pub async fn price_list(tx: &mut Tx) -> Result<PriceList, StoreError> {
    let number = tx.newest_price_list().await?;
    Ok(PriceList { number, items: tx.price_items(number).await? })
}

/// Changes one item of the list, which makes a new version; visits keep theirs. What alters
/// nothing is harmless and writes nothing.
///
/// # Errors
/// `PricesChanged` if somebody else changed it since it was looked at; what [`PriceList::after`]
/// refuses.
pub async fn change_prices(tx: &mut Tx, wanted: WantedPrices, by: By) -> Result<(), ActionError> {
    // Numbers are given out one after the other, and two owners see each other's change.
    tx.take_turn().await?;
    if tx.has_price_list(wanted.id).await? {
        return Ok(());
    }
    let list = price_list(tx).await?;
    if list.number != wanted.seen {
        return Err(Refusal::PricesChanged.into());
    }
    let taken = tx.price_keys_ever().await?;
    let Some(changed) = list.after(wanted.change, &taken)? else { return Ok(()) };
    let number = list.number + 1;
    match tx.insert_price_list((wanted.id, number), &changed, by).await {
        Err(StoreError::Taken) => return Err(Refusal::PricesChanged.into()),
        other => other?,
    }
    let body = json!({"number": number, "change": changed.change, "item": changed.item});
    let noun_id = wanted.id;
    let event = Event { verb: "change_prices", noun: "price_list_version", noun_id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// The prices that a visit goes by: those of its first hand-in, before that those in force. What
/// its sheet proposes and that list doesn't have is taken from the newest that had it.
///
/// # Errors
/// As the store has them.
pub async fn closing_prices(tx: &mut Tx, visit: &Visit) -> Result<ClosingPrices, StoreError> {
    let marks = tx.marks_of(visit.number).await?;
    let marks: Vec<Marked<'_>> =
        marks.iter().map(|it| (it.field.as_str(), it.value.as_str())).collect();
    prices_for(tx, visit, &marks).await
}

pub(super) async fn prices_for(
    tx: &mut Tx,
    visit: &Visit,
    marks: &[Marked<'_>],
) -> Result<ClosingPrices, StoreError> {
    let number = match tx.price_list_of(visit.id).await? {
        Some(number) => number,
        None => tx.newest_price_list().await?,
    };
    let mut list = PriceList { number, items: tx.price_items(number).await? };
    for proposal in proposals(marks) {
        let is_elsewhere = !proposal.item.starts_with(OTHER) && list.item(&proposal.item).is_none();
        if is_elsewhere && let Some(item) = tx.price_item_ever(&proposal.item).await? {
            list.items.push(item);
        }
    }
    let discount_percent = discount_on(tx, visit.system_id, visit.day).await?;
    Ok(ClosingPrices { list, discount_percent })
}

/// The largest discount on repairs that an agreement gives a system on a day; 0 without one.
async fn discount_on(tx: &mut Tx, system: Uuid, day: Date) -> Result<i64, StoreError> {
    let all = tx.repair_discounts(system).await?;
    let holding = all.into_iter().filter(|it| it.term().holds(day));
    Ok(holding.map(|it| it.discount_percent).max().unwrap_or(0))
}
