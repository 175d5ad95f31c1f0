//! Changing the limit book: a new number or back to the default, with who, when and why.

use serde_json::json;

use super::ActionError;
use crate::chance;
use crate::domain::limit_book::{self, with_unit};
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::engine::limits::{DEFAULT_VERSION, LimitBook, LimitName};
use crate::store::{By, Event, LimitChange, NewLimitChange, StoreError, Tx};

/// What the owner wants of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct WantedLimit {
    /// Which.
    pub name: LimitName,
    /// The company's own value; none to go back to the program's default.
    pub value: Option<f64>,
    /// Why.
    pub reason: String,
    /// The number of this limit's last change that was seen; 0 if there was none.
    pub seen: i64,
}

/// The company's book as it is in force now.
///
/// # Errors
/// As the store has them.
pub async fn limit_book(tx: &mut Tx) -> Result<LimitBook, StoreError> {
    Ok(book_of(&tx.newest_limit_changes().await?))
}

/// The book that the newest change of each limit makes. A change of a limit that this program
/// doesn't have any more counts for its version only.
#[must_use]
pub fn book_of(newest: &[LimitChange]) -> LimitBook {
    let version = limit_book::version(DEFAULT_VERSION, newest.iter().map(|it| it.number).max());
    let own = newest.iter().filter_map(|it| Some((LimitName::of_key(&it.name)?, it.value?)));
    LimitBook::of_company(version, own)
}

/// Changes one limit of the company's book. The number that holds already is harmless and writes
/// nothing.
///
/// # Errors
/// `LimitReasonMissing`, `TextTooLong`, `LimitNotTaken`; `LimitChangedMeanwhile` if somebody else
/// changed this limit since it was looked at.
pub async fn change_limit(tx: &mut Tx, wanted: &WantedLimit, by: By) -> Result<(), ActionError> {
    // Numbers are given out one after the other, and two owners see each other's change.
    tx.take_turn().await?;
    let newest = tx.newest_limit_changes().await?;
    let key = wanted.name.key();
    let last = newest.iter().find(|it| it.name == key);
    let stands = last.and_then(|it| it.value);
    let default = wanted.name.definition().default;
    let is_so_already = match wanted.value {
        Some(value) => stands.unwrap_or(default).total_cmp(&value).is_eq(),
        None => stands.is_none(),
    };
    if is_so_already {
        return Ok(());
    }
    if let Some(last) = last.filter(|it| it.number != wanted.seen) {
        return Err(Refusal::LimitChangedMeanwhile(changed_meanwhile(wanted.name, last)).into());
    }
    let reason = wanted.reason.trim();
    if reason.is_empty() {
        return Err(Refusal::LimitReasonMissing.into());
    }
    if reason.chars().count() > REASON_LETTERS_MAX {
        return Err(Refusal::TextTooLong.into());
    }
    may_be(&book_of(&newest), wanted.name, wanted.value.unwrap_or(default))?;
    let change = NewLimitChange {
        id: chance::id(by.at),
        name: key,
        value: wanted.value,
        reason: reason.to_owned(),
    };
    let number = match tx.insert_limit_change(&change, by).await {
        Err(StoreError::Taken) => return Err(Refusal::Changed.into()),
        other => other?,
    };
    let body = json!({"limit": change.name, "value": change.value, "number": number});
    let event = Event { verb: "change_limit", noun: "limit_change", noun_id: change.id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}

/// Whether the program takes that number for that limit, beside the others in force.
fn may_be(book: &LimitBook, name: LimitName, value: f64) -> Result<(), Refusal> {
    let definition = name.definition();
    if book.changed(name, value, &book.version).is_err() {
        return Err(Refusal::LimitNotTaken(format!(
            "The {}: {value} can't be; from {} to {} is accepted.",
            definition.label,
            definition.low,
            with_unit(definition.high, definition.unit),
        )));
    }
    let Some((low, high)) = limit_book::crossed(book, name, value) else { return Ok(()) };
    let other = if low == name { high } else { low };
    let bound = with_unit(book.value(other), definition.unit);
    let side = if low == name { "below" } else { "above" };
    Err(Refusal::LimitNotTaken(format!(
        "The {}: {value} can't be; it must stay {side} the {}, which is {bound}.",
        definition.label,
        other.definition().label,
    )))
}

fn changed_meanwhile(name: LimitName, last: &LimitChange) -> String {
    let who = last.person_name.as_deref().unwrap_or("Somebody");
    let what = match last.value {
        Some(value) => format!("set this limit to {}", with_unit(value, name.definition().unit)),
        None => "took this limit back to its default".to_owned(),
    };
    format!("{who} {what} meanwhile: “{}” Look at it, then decide.", last.reason)
}
