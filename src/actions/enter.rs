//! Entering what was read and seen: each typed text is kept, the valid ones count.

use serde_json::json;
use time::OffsetDateTime;
use uuid::Uuid;

use super::{ActionError, judge, report_hazard};
use crate::domain::form;
use crate::domain::refusal::{REASON_LETTERS_MAX, Refusal};
use crate::domain::requirement;
use crate::domain::sheet::{self, AFTER_SENT_BACK};
use crate::domain::visit::{Stage, VisitState};
use crate::engine::points;
use crate::store::{By, Event, Mark, NewEntry, Reading, SheetIs, StoreError, Tx, Visit};

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
enum Meaning {
    Value(Option<f64>),
    Word(String),
    Impossible(String),
}

/// Enters fields of an open sheet, in order. What can't be stays an entry with its sentence and
/// blocks nothing behind it. The first entry begins the visit.
///
/// # Errors
/// `WrongState` if the sheet is not open; `NoSuchField`.
pub async fn enter(
    tx: &mut Tx,
    visit: &Visit,
    fields: &[Typed],
    by: By,
) -> Result<(), ActionError> {
    if !visit.state.is_open() {
        return Err(Refusal::WrongState(visit.state).into());
    }
    if fields.is_empty() {
        return Ok(());
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
    let first = places(tx, visit, count, SheetIs::Open).await?;
    insert(tx, visit, (fields, first), &reason, by).await?;
    Ok(())
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
/// `ReasonMissing`; `WrongState` if the sheet is still open; `NoSuchField`.
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
    if let Some(refusal) = insert(tx, visit, (only, place), reason.trim(), by).await? {
        return Ok(Some(refusal));
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

/// Adds entries from a place on and what they came to; gives the first sentence of one that came
/// to nothing.
async fn insert(
    tx: &mut Tx,
    visit: &Visit,
    (fields, first): (&[Typed], i64),
    reason: &str,
    by: By,
) -> Result<Option<String>, ActionError> {
    let (mut entries, mut readings, mut marks) = (Vec::new(), Vec::new(), Vec::new());
    let mut refused = None;
    for (typed, number) in fields.iter().zip(first..) {
        let mut refusal = String::new();
        if !is_on_sheet(typed.stage, &typed.field) {
            return Err(Refusal::NoSuchField(typed.field.clone()).into());
        }
        match meaning(&typed.field, &typed.text)? {
            Meaning::Value(value) => readings.push((number, reading(typed, value, by))),
            Meaning::Word(value) => {
                let mark = Mark { stage: typed.stage, field: typed.field.clone(), value };
                marks.push((number, mark));
            }
            Meaning::Impossible(sentence) => {
                refusal.clone_from(&sentence);
                refused.get_or_insert(sentence);
            }
        }
        entries.push((number, entry(typed, reason, refusal)));
    }
    let added = tx.insert_entries(visit.number, &entries, by).await?;
    // What was there already has come to what it came to.
    readings.retain(|(number, _)| added.contains(number));
    marks.retain(|(number, _)| added.contains(number));
    tx.insert_readings(visit.number, &readings).await?;
    tx.insert_marks(visit.number, &marks).await?;
    report_hazard::hazards_of_marks(tx, visit, (&marks, fields, first), by).await?;
    Ok(refused)
}

fn reading(typed: &Typed, value: Option<f64>, by: By) -> Reading {
    Reading {
        stage: typed.stage,
        take: typed.take,
        point: typed.field.clone(),
        value,
        taken_at: typed.device_at.unwrap_or(by.at),
    }
}

fn entry(typed: &Typed, reason: &str, refusal: String) -> NewEntry {
    NewEntry {
        id: typed.id,
        device: typed.device.0.clone(),
        device_number: typed.device.1,
        base_number: typed.base_number,
        device_at: typed.device_at,
        stage: typed.stage,
        take: typed.take,
        field: typed.field.clone(),
        typed: typed.text.clone(),
        unit: points::point(&typed.field).map_or_else(String::new, |it| it.unit.to_owned()),
        reason: reason.to_owned(),
        refusal,
    }
}

/// What a text means at a field.
fn meaning(field: &str, text: &str) -> Result<Meaning, Refusal> {
    let text = text.trim();
    if text.chars().count() > TYPED_LETTERS_MAX {
        return Ok(Meaning::Impossible(format!("At most {TYPED_LETTERS_MAX} characters.")));
    }
    if let Some(point) = points::point(field) {
        return Ok(reading_of(point, text));
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
        "after_repair" | "unchanged" if points::point(key).is_some() => Ok(ticked(text)),
        "missing" => Ok(requirement::fault_of_reason(text)
            .map_or_else(|| Meaning::Word(text.to_owned()), Meaning::Impossible)),
        "circumstance" if is_circumstance(field) => Ok(ticked(text)),
        _ => Err(Refusal::NoSuchField(field.to_owned())),
    }
}

/// Whether some block has this field at this stage.
fn is_on_sheet(stage: Stage, field: &str) -> bool {
    let (wanted, stage) = match field.split_once('.') {
        Some(("missing", name)) => {
            return stage == Stage::AsFound && requirement::field_of(name).is_some();
        }
        Some(("remark", key)) => (format!("observe.{key}"), stage),
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
