//! Entering what was read and seen: each typed text is kept, the valid ones count.

use std::collections::HashMap;

use serde_json::json;
use time::{Duration, OffsetDateTime};
use uuid::Uuid;

use super::{ActionError, judge, report_hazard};
use crate::domain::closing;
use crate::domain::form;
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::domain::requirement;
use crate::domain::sheet::{self, AFTER_SENT_BACK};
use crate::domain::visit::{Stage, VisitState};
use crate::engine::points;
use crate::store::{By, Entered, Event, Mark, NewEntry, Reading, SheetIs, StoreError, Tx, Visit};

/// The longest text of a field.
const TYPED_LETTERS_MAX: usize = 4_000;

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

/// What a text comes to.
pub(super) enum Meaning {
    Value(Option<f64>),
    Word(String),
    Impossible(String),
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
    let held = |typed: &Typed| match standing.get(&(typed.stage, typed.field.clone())) {
        _ if !visit.state.is_open() => visit.state.key(),
        Some(it) if is_crossed(it, typed) => OTHER_DEVICE,
        _ => "",
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
    let count = i64::try_from(fields.len()).unwrap_or(i64::MAX);
    let first = places(tx, visit, count, SheetIs::AsItMayBe).await?;
    let held = if visit.state.is_open() { OTHER_TECHNICIAN } else { visit.state.key() };
    insert(tx, visit, (fields, first), ("", &vec![held; fields.len()]), by).await
}

/// What waits because the visit was given to somebody else.
const OTHER_TECHNICIAN: &str = "other_technician";

/// What waits because another device entered something there meanwhile.
const OTHER_DEVICE: &str = "other_device";

/// What stands in each field, if any of the devices doesn't know all that was entered so far.
async fn standing(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
    first: i64,
) -> Result<HashMap<(Stage, String), Entered>, StoreError> {
    if fields.iter().all(|it| first <= it.base_number + 1) {
        return Ok(HashMap::new());
    }
    let entries = tx.entries_of(visit.number).await?;
    Ok(entries.into_iter().map(|it| ((it.stage, it.field.clone()), it)).collect())
}

/// Whether a device types over what another one entered after it had last looked.
fn is_crossed(standing: &Entered, typed: &Typed) -> bool {
    typed.base_number < standing.number
        && standing.device != typed.device.0
        && standing.typed.trim() != typed.text.trim()
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
    came_in(tx, visit, entries, &added).await
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
        let is_same = before.visit_number == visit.number
            && (before.stage, &before.field, &before.typed)
                == (entry.stage, &entry.field, &entry.typed);
        if !is_same {
            return Err(Refusal::IdTaken.into());
        }
        let (number, refusal) = (before.number, before.refusal.clone());
        Ok(CameIn { id: entry.id, number, refusal, is_held: !before.held.is_empty() })
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

/// When it was typed by our clock: a phone's may be wrong by days, so that what it is ahead of ours
/// as it sends is taken off again. Nothing is typed after it came.
fn taken_at(typed: &Typed, by: By) -> OffsetDateTime {
    let Some(at) = typed.device_at else { return by.at };
    let ahead = Duration::seconds(typed.device_ahead_s.unwrap_or(0));
    at.checked_sub(ahead).map_or(by.at, |it| it.min(by.at))
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

/// What a typed text means where it was typed. A field that the sheet doesn't have (of a page that
/// is older than the program) is kept too, and blocks nothing behind it.
fn checked(typed: &Typed) -> Meaning {
    let known = is_on_sheet(typed.stage, &typed.field);
    let meaning = if known {
        meaning(&typed.field, &typed.text)
    } else {
        Err(Refusal::NoSuchField(typed.field.clone()))
    };
    meaning.unwrap_or_else(|refusal| Meaning::Impossible(refusal.to_string()))
}

/// What a text means at a field.
pub(super) fn meaning(field: &str, text: &str) -> Result<Meaning, Refusal> {
    let text = text.trim();
    if text.chars().count() > TYPED_LETTERS_MAX {
        return Ok(Meaning::Impossible(format!("At most {TYPED_LETTERS_MAX} characters.")));
    }
    if let Some(point) = points::point(field) {
        return Ok(reading_of(point, text));
    }
    if let Some(word) = closing::meaning(field, text) {
        return Ok(word.map_or_else(Meaning::Impossible, Meaning::Word));
    }
    let Some((kind, key)) = field.split_once('.') else {
        return Err(Refusal::NoSuchField(field.to_owned()));
    };
    match kind {
        "observe" if sheet::words_of(field).is_some() => {
            let known = text.is_empty() || sheet::OUTCOMES.iter().any(|it| it.0 == text);
            if known {
                return Ok(Meaning::Word(text.to_owned()));
            }
            Ok(Meaning::Impossible(format!("“{text}” is no outcome of an observation.")))
        }
        "remark" if sheet::words_of(&format!("observe.{key}")).is_some() => {
            Ok(Meaning::Word(text.to_owned()))
        }
        "words" if sheet::words_of(field).is_some() => Ok(Meaning::Word(text.to_owned())),
        "work" | "hazard" if sheet::words_of(field).is_some() => Ok(ticked(text)),
        "unchanged" if points::point(key).is_some() => Ok(ticked(text)),
        "behind" if !sheet::behind(key).is_empty() => Ok(ticked(text)),
        "consent" if !sheet::behind(key).is_empty() => {
            let is_known = text.is_empty() || sheet::CONSENTS.iter().any(|it| it.0 == text);
            let sentence = || format!("“{text}” is no answer to a repair.");
            Ok(if is_known {
                Meaning::Word(text.to_owned())
            } else {
                Meaning::Impossible(sentence())
            })
        }
        "missing" => Ok(requirement::fault_of_reason(text)
            .map_or_else(|| Meaning::Word(text.to_owned()), Meaning::Impossible)),
        "circumstance" if is_circumstance(field) => Ok(ticked(text)),
        _ => Err(Refusal::NoSuchField(field.to_owned())),
    }
}

/// Whether some block has this field at this stage.
fn is_on_sheet(stage: Stage, field: &str) -> bool {
    if closing::is_field(field) {
        return stage == Stage::AsFound;
    }
    let (wanted, stage) = match field.split_once('.') {
        Some(("missing", name)) => {
            return stage == Stage::AsFound && requirement::field_of(name).is_some();
        }
        Some(("remark" | "behind" | "consent", key)) => (format!("observe.{key}"), stage),
        Some(("unchanged", key)) if stage == Stage::AsLeft => (key.to_owned(), stage),
        _ => (field.to_owned(), stage),
    };
    let fields = sheet::BLOCKS.iter().flat_map(|block| block.fields);
    fields.into_iter().any(|it| it.stage() == stage && it.key() == wanted)
}

fn is_circumstance(field: &str) -> bool {
    sheet::BLOCKS.iter().flat_map(|block| block.fields).any(|it| it.key() == field)
}

fn ticked(text: &str) -> Meaning {
    Meaning::Word(if text.is_empty() { String::new() } else { "yes".to_owned() })
}

fn reading_of(point: &points::Point, text: &str) -> Meaning {
    if text.is_empty() {
        return Meaning::Value(None);
    }
    match form::number(text) {
        Some(value) if (point.low..=point.high).contains(&value) => Meaning::Value(Some(value)),
        Some(_) => {
            Meaning::Impossible(format!("{text} can't be: {} is accepted.", point.accepted()))
        }
        None => Meaning::Impossible(format!(
            "“{text}” is not a number; {} is accepted, such as {}.",
            point.accepted(),
            example(point)
        )),
    }
}

/// A plain number within a point's range, as an example of the form.
fn example(point: &points::Point) -> String {
    let middle = f64::midpoint(point.low, point.high);
    if point.high - point.low < 10.0 { format!("{middle:.2}") } else { format!("{middle:.1}") }
}
