//! What a sheet needs: the owner's list, and holding a sheet against it and against the plan's.

use serde_json::json;

use super::ActionError;
use super::document::in_place;
use crate::chance;
use crate::domain::nameplate;
use crate::domain::refusal::Refusal;
use crate::domain::requirement::{self, Missing, Required};
use crate::domain::sheet::{self, Field};
use crate::domain::visit::Stage;
use crate::store::{By, Event, Mark, Reading, StoreError, Tx, Visit};

/// What a visit's sheet needs.
#[derive(Clone, Debug)]
pub struct Needed {
    /// The number of the company's list that it is held against; 0 if there is none.
    pub number: i64,
    /// What it needs, in the order of the sheet.
    pub required: Vec<Required>,
}

/// What a visit's sheet needs by the lists in force, or by those that it came in by; nothing on a
/// visit that is no yearly one.
///
/// # Errors
/// As the store has them.
pub async fn required_of(tx: &mut Tx, visit: &Visit) -> Result<Needed, StoreError> {
    let lists = tx.required_of(visit).await?;
    if !requirement::hold_for(visit.kind) || (lists.company.is_empty() && lists.plan.is_empty()) {
        return Ok(Needed { number: lists.number, required: Vec::new() });
    }
    let components = tx.components_of(visit.system_id).await?;
    let plates = in_place(visit.day, &components).map(|it| &it.nameplate.0);
    let facts = nameplate::system_facts(&visit.system_kind, plates);
    let fits = |field: Field| sheet::fits(field, &facts);
    let required = requirement::union(&lists.company, &lists.plan, fits);
    Ok(Needed { number: lists.number, required })
}

/// What a sheet lacks of what it needs, with the reasons that were given.
#[must_use]
pub fn missing(required: &[Required], readings: &[Reading], marks: &[Mark]) -> Vec<Missing> {
    let value = |stage: Stage, field: &str| {
        let mark = marks.iter().find(|it| it.stage == stage && it.field == field);
        mark.map_or("", |it| it.value.as_str())
    };
    let is_read = |stage: Stage, point: &str| {
        readings.iter().any(|it| it.stage == stage && it.point == point && it.value.is_some())
    };
    let waits = |point: &str| {
        let defects = marks.iter().filter(|it| !it.value.is_empty());
        let mut behind = defects.filter_map(|it| it.field.strip_prefix("behind."));
        behind.any(|defect| sheet::behind(defect).contains(&point))
    };
    let has = |field: Field| match field {
        // What stands behind a defect is read after its repair: that says why it is not there.
        Field::Reading(point, Stage::AsFound) => is_read(Stage::AsFound, point) || waits(point),
        Field::Reading(point, Stage::AsLeft) => {
            is_read(Stage::AsLeft, point)
                || !value(Stage::AsLeft, &format!("unchanged.{point}")).is_empty()
        }
        other => !value(other.stage(), &other.key()).is_empty(),
    };
    requirement::missing(required, has, |key| value(Stage::AsFound, key).to_owned())
}

/// Holds a sheet that comes in against what it needs, and notes against which list.
///
/// # Errors
/// `EmptySheet` where nothing but such reasons is on it; `RequiredMissing` while something is
/// neither there nor explained.
pub(super) async fn hold_against(
    tx: &mut Tx,
    visit: &Visit,
    (readings, marks): (&[Reading], &[Mark]),
) -> Result<(), ActionError> {
    let is_said = |it: &Mark| !it.value.is_empty() && !it.field.starts_with("missing.");
    if readings.iter().all(|it| it.value.is_none()) && !marks.iter().any(is_said) {
        return Err(Refusal::EmptySheet.into());
    }
    let needed = required_of(tx, visit).await?;
    if let Some(sentence) = requirement::refusal(&missing(&needed.required, readings, marks)) {
        return Err(Refusal::RequiredMissing(sentence).into());
    }
    tx.set_held_against(visit.id, needed.number).await?;
    Ok(())
}

/// Sets what the company asks of a yearly sheet: a new version of its list. The list that holds
/// already is harmless and writes nothing. `seen` is the number of the version that was looked at.
///
/// # Errors
/// `NoSuchField`; `Changed` if somebody else made a version since.
pub async fn require_fields(
    tx: &mut Tx,
    names: &[String],
    seen: i64,
    by: By,
) -> Result<(), ActionError> {
    tx.take_turn().await?;
    if let Some(unknown) = names.iter().find(|it| requirement::field_of(it).is_none()) {
        return Err(Refusal::NoSuchField(unknown.clone()).into());
    }
    let fields = requirement::in_order(names.iter().map(String::as_str));
    let newest = tx.requirement_versions().await?.into_iter().next();
    let (number, stands) = newest.map_or((0, Vec::new()), |it| (it.number, it.fields.0));
    if stands == fields {
        return Ok(());
    }
    if number != seen {
        return Err(Refusal::Changed.into());
    }
    let id = chance::id(by.at);
    match tx.insert_requirement_version((id, number + 1), &fields, by).await {
        Err(StoreError::Taken) => return Err(Refusal::Changed.into()),
        other => other?,
    }
    let body = json!({"number": number + 1, "fields": fields.len()});
    let event = Event { verb: "require", noun: "sheet_requirement_version", noun_id: id, body };
    tx.insert_event(by, event).await?;
    Ok(())
}
