//! What closes a visit, brought up to what its sheet says: proposals with answers, parts used,
//! refrigerant moved. Only what differs is added, so that it can be done again.

use serde_json::json;
use uuid::Uuid;

use super::ActionError;
use super::document::in_place;
use super::price_list::{ClosingPrices, prices_for};
use crate::chance;
use crate::domain::closing::{
    self, MOVEMENTS_MAX, Marked, Movement, PARTS_MAX, PartUsed, Proposal as OnSheet,
};
use crate::domain::nameplate::Part;
use crate::domain::price_list::{OTHER, less_discount};
use crate::store::{By, Event, Mark, NewAnswer, NewProposal, Proposal, StoreError, Tx, Visit};

/// The words of a free proposal of which the sheet says only why it has none.
const NAMELESS: &str = "Other work";

fn marked(marks: &[Mark]) -> Vec<Marked<'_>> {
    marks.iter().map(|it| (it.field.as_str(), it.value.as_str())).collect()
}

/// What doesn't fit together on a sheet that is to be handed in, by field.
///
/// # Errors
/// As the store has them.
pub async fn closing_faults(
    tx: &mut Tx,
    visit: &Visit,
) -> Result<Vec<(String, String)>, StoreError> {
    let marks = tx.marks_of(visit.number).await?;
    Ok(closing::faults(&marked(&marks)))
}

/// Brings what closes a visit up to what its sheet says. The caller holds the visit.
///
/// # Errors
/// As the store has them.
pub(super) async fn close(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    let marks = tx.marks_of(visit.number).await?;
    let marks = marked(&marks);
    let prices = prices_for(tx, visit, &marks).await?;
    if 0 < prices.list.number {
        tx.pin_price_list(visit.id, prices.list.number).await?;
    }
    propose(tx, visit, (&closing::proposals(&marks), &prices), by).await?;
    keep_parts(tx, visit, &closing::parts(&marks), by).await?;
    keep_movements(tx, visit, &closing::movements(&marks), by).await?;
    Ok(())
}

/// Proposals that the sheet makes anew, those that it no longer makes, and what it now says that
/// the customer said.
async fn propose(
    tx: &mut Tx,
    visit: &Visit,
    (wanted, prices): (&[OnSheet], &ClosingPrices),
    by: By,
) -> Result<(), StoreError> {
    let mut standing = tx.proposals_of_visit(visit.id).await?;
    for on_sheet in wanted {
        let Some(new) = priced(on_sheet, prices, by) else { continue };
        let at = standing.iter().position(|it| it.item == new.item);
        let old = at.map(|at| standing.swap_remove(at));
        let kept =
            old.as_ref().filter(|it| it.words == new.words && it.list_cents == new.list_cents);
        let id = if let Some(kept) = kept {
            kept.id
        } else {
            if let Some(old) = &old {
                withdraw(tx, old, by).await?;
            }
            tx.insert_proposal((visit.id, visit.system_id), &new, by.at).await?;
            let body = json!({"visit": visit.id, "item": new.item, "cents": new.cents});
            let event = Event { verb: "propose", noun: "proposal", noun_id: new.id, body };
            tx.insert_event(by, event).await?;
            new.id
        };
        answer(tx, id, on_sheet, by).await?;
    }
    for old in standing {
        withdraw(tx, &old, by).await?;
    }
    Ok(())
}

async fn withdraw(tx: &mut Tx, old: &Proposal, by: By) -> Result<(), StoreError> {
    tx.withdraw_proposal(old.id, by.at).await?;
    let event = Event { verb: "withdraw", noun: "proposal", noun_id: old.id, body: json!({}) };
    tx.insert_event(by, event).await
}

/// A proposal with words and price: of the list, less the plan's discount, or as it was told where
/// it is on no list. None for an item that no list ever had.
fn priced(on_sheet: &OnSheet, prices: &ClosingPrices, by: By) -> Option<NewProposal> {
    let id = chance::id(by.at);
    let item = on_sheet.item.clone();
    if item.starts_with(OTHER) {
        let words = match on_sheet.words.as_str() {
            "" => NAMELESS.to_owned(),
            words => words.to_owned(),
        };
        let (list_cents, cents) = (on_sheet.cents, on_sheet.cents);
        let reasons = Vec::new();
        return Some(NewProposal {
            id,
            item,
            words,
            list_cents,
            discount_percent: 0,
            cents,
            reasons,
        });
    }
    let listed = prices.list.item(&item)?;
    Some(NewProposal {
        id,
        item,
        words: listed.words.clone(),
        list_cents: Some(listed.cents),
        discount_percent: prices.discount_percent,
        cents: Some(less_discount(listed.cents, prices.discount_percent)),
        reasons: listed.answers.clone(),
    })
}

/// Adds what the sheet says that the customer said, unless the sheet said so before: what the
/// office has heard since is newer than a sheet that says the same again.
async fn answer(tx: &mut Tx, proposal: Uuid, said: &OnSheet, by: By) -> Result<(), StoreError> {
    let answers = tx.answers_of(proposal).await?;
    let before = answers.iter().find(|it| it.from_sheet);
    if before.is_some_and(|it| it.answer == said.answer && it.until == said.until) {
        return Ok(());
    }
    let id = chance::id(by.at);
    let (answer, until) = (said.answer, said.until);
    tx.insert_answer(NewAnswer { id, proposal, answer, until, from_sheet: true }, by).await?;
    Ok(())
}

async fn keep_parts(
    tx: &mut Tx,
    visit: &Visit,
    wanted: &[PartUsed],
    by: By,
) -> Result<(), StoreError> {
    let before = tx.parts_of(visit.id).await?;
    for line in 1..=PARTS_MAX {
        let of_line = |parts: &[PartUsed]| parts.iter().find(|it| it.line == line).cloned();
        match (of_line(&before), of_line(wanted)) {
            (old, Some(new)) if old.as_ref() != Some(&new) => {
                tx.insert_part(visit.id, &new, by).await?;
            }
            (Some(old), None) => {
                tx.insert_part(visit.id, &PartUsed { count: 0, ..old }, by).await?;
            }
            _ => {}
        }
    }
    Ok(())
}

async fn keep_movements(
    tx: &mut Tx,
    visit: &Visit,
    wanted: &[Movement],
    by: By,
) -> Result<(), StoreError> {
    let before = tx.moved_on(visit.id).await?;
    let mut refrigerant: Option<String> = None;
    for line in 1..=MOVEMENTS_MAX {
        let old = before.iter().find(|it| it.line == line).map(|it| Movement {
            line,
            direction: it.direction,
            ounce_tenths: it.ounce_tenths,
            cylinder: it.cylinder.clone(),
        });
        let new = wanted.iter().find(|it| it.line == line);
        let row = match (old, new) {
            (old, Some(new)) if old.as_ref() != Some(new) => new.clone(),
            (Some(old), None) => Movement { ounce_tenths: 0, ..old },
            _ => continue,
        };
        let name = match refrigerant.take() {
            Some(name) => name,
            None => refrigerant_of(tx, visit).await?,
        };
        tx.insert_movement(visit, (&row, &name), by).await?;
        refrigerant = Some(name);
    }
    Ok(())
}

/// The refrigerant by the plate of the outdoor unit that was met; empty where it isn't known.
async fn refrigerant_of(tx: &mut Tx, visit: &Visit) -> Result<String, StoreError> {
    let components = tx.components_of(visit.system_id).await?;
    let mut units: Vec<_> =
        in_place(visit.day, &components).filter(|it| it.part == Part::OutdoorUnit).collect();
    units.sort_by_key(|it| it.removed_on.is_none());
    let plate = units.first().and_then(|it| it.nameplate.0.get("refrigerant"));
    Ok(plate.and_then(serde_json::Value::as_str).unwrap_or_default().to_owned())
}
