//! From rows to a visit's document: its own sheet, the earlier visits of the system, the priors.

use std::collections::HashMap;

use serde_json::Value;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use crate::domain::nameplate;
use crate::domain::visit::Stage;
use crate::domain::visit_document::{
    HISTORY_VISITS_MAX, Taken, Ticked, as_history, document, with_what_was_known,
};
use crate::engine::causes::Priors;
use crate::store::{Component, Earlier, Mark, Reading, StoreError, Tx, Visit};

/// Everything that a visit's document is made of.
pub(super) struct Sheet {
    pub(super) visit: Visit,
    pub(super) components: Vec<Component>,
    pub(super) readings: Vec<Reading>,
    pub(super) marks: Vec<Mark>,
    /// Documents of the system's earlier visits, the newest first.
    history: Vec<Value>,
}

/// Reads what some visits are judged from, by as many statements as for one. The visits come in
/// the order of their numbers.
pub(super) async fn sheets(tx: &mut Tx, visits: Vec<Visit>) -> Result<Vec<Sheet>, StoreError> {
    let (Some(first), Some(last)) = (visits.first(), visits.last()) else { return Ok(Vec::new()) };
    let numbers = (first.number, last.number);
    let mut readings = by_key(tx.readings_between(numbers).await?);
    let mut marks = by_key(tx.marks_between(numbers).await?);
    let components = tx.components_between(numbers).await?;
    let components = by_key(components.into_iter().map(|it| (it.system_id, it)).collect());
    let mut past = Past::before(tx, numbers).await?;
    let sheets = visits.into_iter().map(|visit| {
        let components = components.get(&visit.system_id).cloned().unwrap_or_default();
        Sheet {
            readings: readings.remove(&visit.number).unwrap_or_default(),
            marks: marks.remove(&visit.number).unwrap_or_default(),
            history: past.documents(&visit, &components),
            components,
            visit,
        }
    });
    Ok(sheets.collect())
}

/// The document of a visit, with what was known before it.
pub(super) fn document_of(sheet: &Sheet, priors: Option<&Priors>) -> Value {
    let Sheet { visit, components, readings, marks, history } = sheet;
    let occasion = Occasion { id: visit.id, day: visit.day, handed_in_at: visit.handed_in_at };
    let own = own_document(&occasion, visit, components, (readings, marks));
    with_what_was_known(own, history.clone(), priors)
}

/// One visit to a system, whose kind and place are those of any other to it.
struct Occasion {
    id: Uuid,
    day: Date,
    handed_in_at: Option<OffsetDateTime>,
}

/// The earlier visits before some visits, and the documents that were made of them.
struct Past {
    earlier: HashMap<i64, Vec<Earlier>>,
    readings: HashMap<i64, Vec<Reading>>,
    marks: HashMap<i64, Vec<Mark>>,
    made: HashMap<i64, Value>,
}

impl Past {
    async fn before(tx: &mut Tx, numbers: (i64, i64)) -> Result<Self, StoreError> {
        let most = i64::try_from(HISTORY_VISITS_MAX).unwrap_or(i64::MAX);
        let earlier = tx.earlier_between(numbers, most).await?;
        let mut past = Self {
            earlier: by_key(earlier.into_iter().map(|it| (it.of_number, it)).collect()),
            readings: HashMap::new(),
            marks: HashMap::new(),
            made: HashMap::new(),
        };
        if !past.earlier.is_empty() {
            past.readings = by_key(tx.earlier_readings(numbers, most).await?);
            past.marks = by_key(tx.earlier_marks(numbers, most).await?);
        }
        Ok(past)
    }

    /// The documents before a visit, the newest first; each is made once for all visits after it.
    fn documents(&mut self, visit: &Visit, components: &[Component]) -> Vec<Value> {
        let Self { earlier, readings, marks, made } = self;
        let mut make = |it: &Earlier| {
            let occasion = Occasion { id: it.id, day: it.day, handed_in_at: it.handed_in_at };
            let readings = readings.get(&it.number).map_or(&[][..], Vec::as_slice);
            let marks = marks.get(&it.number).map_or(&[][..], Vec::as_slice);
            let make = || {
                let own = own_document(&occasion, visit, components, (readings, marks));
                as_history(own, it.cause.as_deref())
            };
            made.entry(it.number).or_insert_with(make).clone()
        };
        earlier.get(&visit.number).into_iter().flatten().map(&mut make).collect()
    }
}

/// The parts that were in place on a day.
pub(super) fn in_place(day: Date, components: &[Component]) -> impl Iterator<Item = &Component> {
    components.iter().filter(move |component| {
        component.removed_on.is_none_or(|removed| removed >= day)
            && component.installed_on.is_none_or(|installed| installed <= day)
    })
}

fn own_document(
    occasion: &Occasion,
    visit: &Visit,
    components: &[Component],
    (readings, marks): (&[Reading], &[Mark]),
) -> Value {
    // Of a part that was replaced on the very day of the visit, the new one's plate comes last
    // and counts.
    let mut there: Vec<&Component> = in_place(occasion.day, components).collect();
    there.sort_by_key(|component| (component.removed_on.is_none(), component.installed_on));
    let plates = there.iter().map(|component| &component.nameplate.0);
    let facts = nameplate::system_facts(&visit.system_kind, plates);
    let taken: Vec<Taken<'_>> = readings
        .iter()
        .filter_map(|reading| {
            Some(Taken {
                stage: reading.stage,
                take: reading.take,
                point: &reading.point,
                value: reading.value?,
                at: reading.taken_at,
            })
        })
        .collect();
    let ticks: Vec<Ticked<'_>> = marks
        .iter()
        .filter(|mark| !mark.value.is_empty())
        .map(|mark| Ticked { stage: stage_of(mark), field: &mark.field, value: &mark.value })
        .collect();
    let readings = (taken.as_slice(), occasion.handed_in_at);
    document(&occasion.id.to_string(), facts, visit.elevation_ft, readings, &ticks)
}

/// What was not touched since is said on the as-left block, whichever stage its row bears.
fn stage_of(mark: &Mark) -> Stage {
    if mark.field.starts_with("unchanged.") { Stage::AsLeft } else { mark.stage }
}

/// Rows by what they belong to, in their order.
pub(super) fn by_key<K: Eq + std::hash::Hash, V>(rows: Vec<(K, V)>) -> HashMap<K, Vec<V>> {
    let mut all: HashMap<K, Vec<V>> = HashMap::new();
    for (key, row) in rows {
        all.entry(key).or_default().push(row);
    }
    all
}
