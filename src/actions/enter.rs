//! Entering what was read and seen: each typed text is kept, the valid ones count.

use std::collections::HashMap;

use serde_json::json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::meaning::{Meaning, checked};
use super::{ActionError, judge, report_hazard};
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::domain::sheet::{self, AFTER_SENT_BACK};
use crate::domain::visit::{self, Stage, VisitState};
use crate::engine::points;
use crate::store::{
    By, Entered, Event, Known, Mark, NewEntry, Reading, SheetIs, StoreError, Tx, Visit,
};

/// One field as somebody typed or ticked it.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// Made by whoever sends it: the same twice is one entry.
    pub id: Uuid,
    /// The device, and the device's own count.
    pub device: (String, i64),
    /// The last entry that the device knew of.
    pub base_number: i64,
    /// The device's clock, if it says.
    pub device_at: Option<OffsetDateTime>,
    /// How many seconds that clock is ahead of ours, if it says.
    pub device_ahead_s: Option<i64>,
    /// As found or as left.
    pub stage: Stage,
    /// Which reading of that stage.
    pub take: i64,
    /// The field's key.
    pub field: String,
    /// The text; empty takes back what was there.
    pub text: String,
}

/// What became of one field that came in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameIn {
    /// The id that its device gave it.
    pub id: Uuid,
    /// Its place in the order of the visit.
    pub number: i64,
    /// Why it can't be; empty if it can.
    pub refusal: String,
    /// Whether it waits for a person to decide.
    pub is_held: bool,
}

/// Enters fields of a sheet, in order, and says what became of each. What can't be stays an entry
/// with its sentence and blocks nothing behind it. What another device has entered otherwise
/// meanwhile, and what comes when the sheet is no longer open, is kept but counts only once a
/// person has decided. What came before, by its id, is told again and changes nothing. The first
/// entry begins the visit.
///
/// # Errors
/// `NoSheet`; `IdTaken` if an id came before with something else.
pub async fn enter(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
    by: By,
) -> Result<Vec<CameIn>, ActionError> {
    if fields.is_empty() {
        return Ok(Vec::new());
    }
    if !visit.kind.has_cooling_sheet() {
        return Err(Refusal::NoSheet.into());
    }
    if let Some(before) = all_before(tx, visit, fields).await? {
        return Ok(before);
    }
    if visit.state == VisitState::Booked {
        match tx.set_visit_state(visit.id, VisitState::Booked, VisitState::UnderWay).await {
            // The other device began it a moment ago.
            Err(StoreError::Changed) => {}
            other => {
                other?;
                let event =
                    Event { verb: "begin", noun: "visit", noun_id: visit.id, body: json!({}) };
                tx.insert_event(by, event).await?;
            }
        }
    }
    let reason = reason_after_hand_in(tx, visit).await?;
    let count = i64::try_from(fields.len()).unwrap_or(i64::MAX);
    let sheet = if visit.state.is_open() { SheetIs::Open } else { SheetIs::AsItMayBe };
    let first = places(tx, visit, count, sheet).await?;
    let standing = standing(tx, visit, fields, first).await?;
    let held = |typed: &Typed| {
        if !visit.state.is_open() {
            return visit.state.key();
        }
        if is_crossed(&standing, typed, by) { OTHER_DEVICE } else { "" }
    };
    let held: Vec<&str> = fields.iter().map(held).collect();
    insert(tx, visit, (fields, first), (&reason, &held), by).await
}

/// Keeps what comes from somebody who had the visit once: it was called off, or given to somebody
/// else, while their phone had no network. Nothing of it counts until a person decides.
///
/// # Errors
/// As those of [`enter`].
pub async fn keep_late(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
    by: By,
) -> Result<Vec<CameIn>, ActionError> {
    if let Some(before) = all_before(tx, visit, fields).await? {
        return Ok(before);
    }
    let count = i64::try_from(fields.len()).unwrap_or(i64::MAX);
    let first = places(tx, visit, count, SheetIs::AsItMayBe).await?;
    let held = if visit.state.is_open() { OTHER_TECHNICIAN } else { visit.state.key() };
    insert(tx, visit, (fields, first), ("", &vec![held; fields.len()]), by).await
}

/// What waits because the visit was given to somebody else.
const OTHER_TECHNICIAN: &str = "other_technician";

/// What waits because another device entered something there meanwhile.
const OTHER_DEVICE: &str = "other_device";

/// What was entered so far, if any of the devices doesn't know all of it.
async fn standing(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
    first: i64,
) -> Result<Vec<Entered>, StoreError> {
    if fields.iter().all(|it| first - 1 <= it.base_number) {
        return Ok(Vec::new());
    }
    tx.entries_of(visit.number).await
}

/// Whether a device types over what another one, or another person on the same one, entered after
/// it had last looked. What the device itself typed in between changes nothing about that: it still
/// doesn't know.
fn is_crossed(standing: &[Entered], typed: &Typed, by: By) -> bool {
    let is_own = |it: &Entered| it.device == typed.device.0 && it.person_id == by.person;
    let of_others = standing
        .iter()
        .rfind(|it| it.stage == typed.stage && it.field == typed.field && !is_own(it));
    of_others
        .is_some_and(|it| typed.base_number < it.number && it.typed.trim() != typed.text.trim())
}

/// A sheet that came back was handed in once: what changes on it now has the owner's remark as its
/// reason, and what stood there before stays to be seen. Empty before the first hand-in.
async fn reason_after_hand_in(tx: &mut Tx, visit: &Visit) -> Result<String, ActionError> {
    if visit.state != VisitState::SentBack {
        return Ok(String::new());
    }
    let remarks = tx.remarks_on(visit.id).await?;
    let remark = remarks.first().map_or("", |remark| remark.text.as_str());
    Ok(format!("{AFTER_SENT_BACK}{remark}"))
}

/// Corrects one field of a sheet that was handed in: a new row with a reason, and a new judgement.
///
/// # Errors
/// `ReasonMissing`; `WrongState` if the sheet is still open.
pub async fn correct(
    tx: &mut Tx,
    visit: &Visit,
    typed: &Typed,
    reason: &str,
    by: By,
) -> Result<Option<String>, ActionError> {
    if !visit.state.is_in() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    if reason.trim().is_empty() {
        return Err(Refusal::ReasonMissing.into());
    }
    if reason.chars().count() > REASON_LETTERS_MAX {
        return Err(Refusal::TextTooLong.into());
    }
    let place = places(tx, visit, 1, SheetIs::In).await?;
    let only = std::slice::from_ref(typed);
    let came_in = insert(tx, visit, (only, place), (reason.trim(), &[""]), by).await?;
    if let Some(refused) = came_in.into_iter().find(|it| !it.refusal.is_empty()) {
        return Ok(Some(refused.refusal));
    }
    let body = json!({"field": typed.field, "stage": typed.stage.key()});
    tx.insert_event(by, Event { verb: "correct", noun: "visit", noun_id: visit.id, body }).await?;
    judge::judge(tx, visit, by).await?;
    Ok(None)
}

/// Sets places aside, if the sheet is still as it was found.
async fn places(
    tx: &mut Tx,
    visit: &Visit,
    count: i64,
    sheet: SheetIs,
) -> Result<i64, ActionError> {
    match tx.set_places_aside(visit.number, count, sheet).await {
        Err(StoreError::Changed) => Err(Refusal::Changed.into()),
        other => Ok(other?),
    }
}

/// Adds entries from a place on and what they came to; what is held comes to nothing yet.
async fn insert(
    tx: &mut Tx,
    visit: &Visit,
    (fields, first): (&[Typed], i64),
    (reason, held): (&str, &[&str]),
    by: By,
) -> Result<Vec<CameIn>, ActionError> {
    let (mut entries, mut readings, mut marks) = (Vec::new(), Vec::new(), Vec::new());
    let fields = &with_takes(tx, visit, fields).await?;
    for ((typed, held), number) in fields.iter().zip(held).zip(first..) {
        let mut refusal = String::new();
        match checked(typed) {
            Meaning::Impossible(sentence) => refusal = sentence,
            _ if !held.is_empty() => {}
            Meaning::Value(value) => readings.push((number, reading(typed, value, by))),
            Meaning::Word(value) => {
                let mark = Mark { stage: typed.stage, field: typed.field.clone(), value };
                marks.push((number, mark));
            }
        }
        entries.push((number, entry(typed, reason, refusal, held)));
    }
    let added = tx.insert_entries(visit.number, &entries, by).await?;
    // What was there already has come to what it came to.
    readings.retain(|(number, _)| added.contains(number));
    marks.retain(|(number, _)| added.contains(number));
    tx.insert_readings(visit.number, &readings).await?;
    tx.insert_marks(visit.number, &marks).await?;
    report_hazard::hazards_of_marks(tx, visit, (&marks, fields, first), by).await?;
    let new = fields.iter().zip(held).zip(first..).filter(|it| added.contains(&it.1));
    let (counted, waiting): (Vec<_>, Vec<_>) = new.map(|it| it.0).partition(|it| it.1.is_empty());
    let alone = |all: Vec<(&Typed, &&str)>| all.into_iter().map(|it| it.0.clone()).collect();
    let (counted, waiting): (Vec<Typed>, Vec<Typed>) = (alone(counted), alone(waiting));
    report_hazard::hazard_of_measured_co(tx, visit, &counted, by).await?;
    report_hazard::hazards_held(tx, visit, &waiting, by).await?;
    came_in(tx, visit, entries, &added).await
}

/// Which reading of its stage each is: a block that is read as left once more counts on.
async fn with_takes(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
) -> Result<Vec<Typed>, StoreError> {
    let mut fields = fields.to_vec();
    if fields.iter().all(|it| it.stage == Stage::AsFound) {
        return Ok(fields);
    }
    let marks = tx.marks_of(visit.number).await?;
    let again = marks.into_iter().filter(|it| it.field.starts_with("again."));
    let mut takes: HashMap<String, i64> =
        again.filter_map(|it| Some((it.field, it.value.parse().ok()?))).collect();
    for typed in fields.iter_mut().filter(|it| it.stage == Stage::AsLeft) {
        if typed.field.starts_with("again.") {
            takes.extend(typed.text.trim().parse().ok().map(|it| (typed.field.clone(), it)));
        } else if let Some(block) = sheet::block_left(&typed.field) {
            typed.take = takes.get(&sheet::again_key(block.number)).copied().unwrap_or(1);
        }
    }
    Ok(fields)
}

/// What became of entries that all came before: the same request once more. It takes no places, so
/// that a phone that never hears the answer can't fill the sheet.
async fn all_before(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
) -> Result<Option<Vec<CameIn>>, ActionError> {
    let ids: Vec<Uuid> = fields.iter().map(|it| it.id).collect();
    // Mostly the first one is new, and that is all that has to be asked.
    if ids.is_empty() || tx.entries_known(&ids[..1]).await?.is_empty() {
        return Ok(None);
    }
    let known = tx.entries_known(&ids).await?;
    if known.len() < ids.len() {
        return Ok(None);
    }
    let told = fields.iter().zip(&known).map(|(typed, before)| {
        let what = (typed.stage, typed.field.as_str(), typed.text.as_str());
        came_before(visit, what, before)
    });
    told.collect::<Result<_, _>>().map(Some)
}

/// What became of an entry then, if it is the same.
fn came_before(
    visit: &Visit,
    what: (Stage, &str, &str),
    before: &Known,
) -> Result<CameIn, ActionError> {
    let then = (before.stage, before.field.as_str(), before.typed.as_str());
    if before.visit_number != visit.number || then != what {
        return Err(Refusal::IdTaken.into());
    }
    let (number, refusal) = (before.number, before.refusal.clone());
    Ok(CameIn { id: before.id, number, refusal, is_held: !before.held.is_empty() })
}

/// What became of each entry: of those that came before, what became of them then.
async fn came_in(
    tx: &mut Tx,
    visit: &Visit,
    entries: Vec<(i64, NewEntry)>,
    added: &[i64],
) -> Result<Vec<CameIn>, ActionError> {
    let before: Vec<Uuid> =
        entries.iter().filter(|it| !added.contains(&it.0)).map(|it| it.1.id).collect();
    let known = tx.entries_known(&before).await?;
    let told = entries.into_iter().map(|(number, entry)| {
        let Some(before) = known.iter().find(|it| it.id == entry.id) else {
            let is_held = !entry.held.is_empty();
            return Ok(CameIn { id: entry.id, number, refusal: entry.refusal, is_held });
        };
        came_before(visit, (entry.stage, &entry.field, &entry.typed), before)
    });
    told.collect()
}

fn reading(typed: &Typed, value: Option<f64>, by: By) -> Reading {
    Reading {
        stage: typed.stage,
        take: typed.take,
        point: typed.field.clone(),
        value,
        taken_at: taken_at(typed, by),
    }
}

/// When it was typed, by our clock.
pub(super) fn taken_at(typed: &Typed, by: By) -> OffsetDateTime {
    visit::typed_at((typed.device_at, typed.device_ahead_s), by.at)
}

fn entry(typed: &Typed, reason: &str, refusal: String, held: &str) -> NewEntry {
    NewEntry {
        id: typed.id,
        device: typed.device.0.clone(),
        device_number: typed.device.1,
        base_number: typed.base_number,
        device_at: typed.device_at,
        device_ahead_s: typed.device_ahead_s,
        stage: typed.stage,
        take: typed.take,
        field: typed.field.clone(),
        typed: typed.text.clone(),
        unit: points::point(&typed.field).map_or_else(String::new, |it| it.unit.to_owned()),
        reason: reason.to_owned(),
        refusal,
        held: held.to_owned(),
    }
}
