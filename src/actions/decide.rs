//! Deciding between what stands in a field and what waited there.

use std::collections::BTreeMap;

use serde_json::json;

use super::ActionError;
use super::enter::{Typed, enter};
use crate::chance;
use crate::domain::refusal::Refusal;
use crate::domain::visit::Stage;
use crate::store::{By, Entered, Event, HeldEntry, Tx, Visit};

/// Which value is to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// What stands in the field.
    Keep,
    /// What waited.
    Take,
}

/// What of the held entries still waits: of each device the newest of a field.
#[must_use]
pub fn waiting(held: Vec<HeldEntry>) -> Vec<HeldEntry> {
    let mut newest: BTreeMap<(Stage, String, String), HeldEntry> = BTreeMap::new();
    for it in held.into_iter().filter(|it| !it.is_decided) {
        let entry = &it.entry;
        newest.insert((entry.stage, entry.field.clone(), entry.device.clone()), it);
    }
    newest.into_values().collect()
}

/// Decides one field by the place of what waits there, or all that wait. Both values stay in the
/// record: what counts is entered once more, by somebody who knew of both. What was decided
/// already stays decided, and what came after `base`, the last entry that they saw, still waits.
///
/// # Errors
/// `WrongState` if the sheet is not open; `Changed` if something else stands by now than what they
/// would have replaced; those of `enter`.
pub async fn decide_held(
    tx: &mut Tx,
    visit: &Visit,
    (place, choice): (Option<i64>, Choice),
    base: i64,
    by: By,
) -> Result<(), ActionError> {
    if !visit.state.is_open() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    let waiting = waiting(tx.entries_held(visit.number).await?);
    let is_chosen =
        |it: &HeldEntry| it.entry.number <= base && place.is_none_or(|at| at == it.entry.number);
    let mut chosen: Vec<HeldEntry> = waiting.into_iter().filter(is_chosen).collect();
    if chosen.is_empty() {
        return Ok(());
    }
    // Of two that wait at one field, the newer one comes last and counts.
    chosen.sort_by_key(|it| it.entry.number);
    let standing = tx.entries_of(visit.number).await?;
    let is_unseen = |it: &Entered| {
        let same =
            |held: &HeldEntry| (held.entry.stage, &held.entry.field) == (it.stage, &it.field);
        base < it.number && chosen.iter().any(same)
    };
    if choice == Choice::Take && standing.iter().any(is_unseen) {
        return Err(Refusal::Changed.into());
    }
    let typed = chosen.iter().map(|held| {
        let entry = &held.entry;
        let now = standing.iter().rfind(|it| (it.stage, &it.field) == (entry.stage, &entry.field));
        let (text, at, ahead) = match choice {
            Choice::Keep => (now.map_or("", |it| it.typed.as_str()), None, None),
            // It was read when it was typed, not when somebody decided.
            Choice::Take => (entry.typed.as_str(), Some(entry.taken_at()), None),
        };
        Typed {
            id: chance::id(by.at),
            device: (String::new(), 0),
            base_number: base,
            device_at: at,
            device_ahead_s: ahead,
            stage: entry.stage,
            take: entry.take,
            field: entry.field.clone(),
            text: text.to_owned(),
        }
    });
    let typed: Vec<Typed> = typed.collect();
    enter(tx, visit, &typed, by).await?;
    let places: Vec<i64> = chosen.iter().map(|it| it.entry.number).collect();
    let taken = choice == Choice::Take;
    let event = Event {
        verb: "decide",
        noun: "visit",
        noun_id: visit.id,
        body: json!({"entries": places, "taken": taken}),
    };
    tx.insert_event(by, event).await?;
    Ok(())
}
