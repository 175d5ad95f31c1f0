//! The visit before: what stood in each field of its sheet, and what came of it.

use std::collections::BTreeMap;

use time::Date;
use uuid::Uuid;

use crate::domain::last_visit::{LastField, TypedField, fields_of};
use crate::engine::assessment::Assessment;
use crate::store::{Entered, StoreError, Tx, Visit};

/// The visit that a sheet is held beside.
#[derive(Clone, Debug, PartialEq)]
pub struct LastVisit {
    /// Its id.
    pub id: Uuid,
    /// Its local day.
    pub day: Date,
    /// What the engine said of it; nothing if it could not be judged.
    pub assessment: Option<Assessment>,
    /// What stood in each field, by the field's name: `as_found.return_wb_f`.
    pub fields: BTreeMap<String, LastField>,
}

/// The last visit to the same system before this one whose sheet is in: the last yearly one, or
/// where there was none the last of any kind.
///
/// # Errors
/// As the store has them.
pub async fn last_year(tx: &mut Tx, visit: &Visit) -> Result<Option<LastVisit>, StoreError> {
    let Some(last) = tx.visit_before(visit).await? else { return Ok(None) };
    let assessment = assessment_of(tx, last.number).await?;
    let entries = tx.entries_of(last.number).await?;
    let fields = fields_of_sheet(&entries, assessment.as_ref());
    Ok(Some(LastVisit { id: last.id, day: last.day, assessment, fields }))
}

/// What stands in each field of a sheet, by the field's name.
#[must_use]
pub fn fields_of_sheet(
    entries: &[Entered],
    assessment: Option<&Assessment>,
) -> BTreeMap<String, LastField> {
    let typed = entries.iter().map(|it| TypedField {
        stage: it.stage,
        field: &it.field,
        typed: &it.typed,
        is_refused: !it.refusal.is_empty(),
    });
    fields_of(typed, assessment)
}

/// The judgement of a visit that is shown, without what the engine was given. One of an old shape
/// counts as none.
///
/// # Errors
/// As the store has them.
pub async fn assessment_of(
    tx: &mut Tx,
    visit_number: i64,
) -> Result<Option<Assessment>, StoreError> {
    let output = tx.outputs_between((visit_number, visit_number)).await?.pop();
    Ok(output.and_then(|(_, output)| serde_json::from_str(output.get()).ok()))
}
