//! From a visit's rows to the assess document, the only thing that the engine sees.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};
use time::OffsetDateTime;

use super::sheet;
use super::visit::Stage;
use crate::engine::case::{CameTo, LookedAt};
use crate::engine::causes::Priors;
use crate::engine::points::PointKey;

/// The newest earlier visits of the same unit that a document carries at most: they tell how it
/// runs (judgement, no source).
pub const HISTORY_NEWEST_MAX: i64 = 3;
/// The oldest ones beside them: with the newest alone, what leaks a little every year would be
/// taken for how it always was (judgement, no source).
pub const HISTORY_OLDEST_MAX: i64 = 2;

/// A reading as it counts.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken<'a> {
    /// As found or as left.
    pub stage: Stage,
    /// Which reading of that stage.
    pub take: i64,
    /// The measuring point.
    pub point: &'a str,
    /// The value.
    pub value: f64,
    /// When.
    pub at: OffsetDateTime,
}

/// What was ticked or looked at, by stage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticked<'a> {
    /// As found or as left.
    pub stage: Stage,
    /// The field, such as `circumstance.panels_off` or `observe.duct_gaps`.
    pub field: &'a str,
    /// What it came to; `yes` for a tick.
    pub value: &'a str,
}

/// Builds the document of a visit. `facts` is the `system` part; of several takes of one stage the
/// last counts. `handed_in_at` is when the sheet came in, if it did.
#[must_use]
pub fn document(
    id: &str,
    facts: Value,
    elevation_ft: f64,
    (readings, handed_in_at): (&[Taken<'_>], Option<OffsetDateTime>),
    ticks: &[Ticked<'_>],
) -> Value {
    let mut whole = Map::new();
    whole.insert("id".into(), json!(id));
    whole.insert("mode".into(), json!("cooling"));
    whole.insert("system".into(), facts);
    whole.insert("site".into(), json!({"elevation_ft": elevation_ft}));
    let arrival = readings.iter().map(|reading| reading.at).min();
    let (mut minutes, mut after_repair) = (Map::new(), Map::new());
    let (mut circumstances, mut observations) = (Map::new(), Map::new());
    for stage in [Stage::AsFound, Stage::AsLeft] {
        let latest = latest(readings, stage);
        let values: Map<String, Value> =
            latest.values().map(|it| (it.point.to_owned(), json!(it.value))).collect();
        whole.insert(stage.key().into(), Value::Object(values));
        if let Some(arrival) = arrival {
            let since = |it: &Taken<'_>| json!((it.at - arrival).as_seconds_f64() / 60.0);
            // What was added by a correction was not read then: when it was read is not known.
            let is_known = |it: &&&Taken<'_>| handed_in_at.is_none_or(|handed| it.at <= handed);
            let of_stage: Map<String, Value> = latest
                .values()
                .filter(is_known)
                .map(|it| (it.point.to_owned(), since(it)))
                .collect();
            minutes.insert(stage.key().into(), Value::Object(of_stage));
        }
        after_repair.insert(stage.key().into(), waiting(ticks, stage));
        circumstances.insert(stage.key().into(), named(ticks, stage, "circumstance."));
        observations.insert(stage.key().into(), observed(ticks, stage));
    }
    whole.insert("taken_min".into(), Value::Object(minutes));
    whole.insert("read_after_repair".into(), Value::Object(after_repair));
    whole.insert("circumstances".into(), Value::Object(circumstances));
    whole.insert("observations".into(), Value::Object(observations));
    // A point that was read again, or was never read, can't be said to be unchanged.
    let (found, left) = (latest(readings, Stage::AsFound), latest(readings, Stage::AsLeft));
    let carried = |field: &str| {
        let point = field.strip_prefix("unchanged.")?;
        (found.contains_key(point) && !left.contains_key(point)).then(|| json!(point))
    };
    let unchanged: Value = ticks.iter().filter_map(|tick| carried(tick.field)).collect();
    whole.insert("unchanged".into(), unchanged);
    Value::Object(whole)
}

fn latest<'a, 'b>(readings: &'b [Taken<'a>], stage: Stage) -> BTreeMap<&'a str, &'b Taken<'a>> {
    let mut latest: BTreeMap<&str, &Taken<'_>> = BTreeMap::new();
    for reading in readings.iter().filter(|it| it.stage == stage) {
        let newer = latest.get(reading.point).is_none_or(|before| before.take <= reading.take);
        if newer {
            latest.insert(reading.point, reading);
        }
    }
    latest
}

fn named(ticks: &[Ticked<'_>], stage: Stage, prefix: &str) -> Value {
    let names = ticks.iter().filter(|tick| tick.stage == stage);
    names.filter_map(|tick| tick.field.strip_prefix(prefix)).collect()
}

/// The points that stand behind a defect of that stage which is to be repaired first.
fn waiting(ticks: &[Ticked<'_>], stage: Stage) -> Value {
    let defects = ticks.iter().filter(|tick| tick.stage == stage);
    let points: BTreeSet<&str> = defects
        .filter_map(|tick| tick.field.strip_prefix("behind."))
        .flat_map(sheet::behind)
        .copied()
        .collect();
    json!(points)
}

/// What was looked at and the engine leans on, with what it came to. The sheet looks at more.
fn observed(ticks: &[Ticked<'_>], stage: Stage) -> Value {
    let of_stage = ticks.iter().filter(|tick| tick.stage == stage);
    let observed = of_stage.filter_map(|tick| {
        let key = tick.field.strip_prefix("observe.")?;
        let is_known = LookedAt::WORDS.contains(&key) && CameTo::WORDS.contains(&tick.value);
        is_known.then(|| (key.to_owned(), json!(tick.value)))
    });
    Value::Object(observed.collect())
}

/// The document with what was known beforehand: the system's earlier visits, the newest first, and
/// the company's own priors where it has any.
#[must_use]
pub fn with_what_was_known(
    mut document: Value,
    history: Vec<Value>,
    priors: Option<&Priors>,
) -> Value {
    if let Some(whole) = document.as_object_mut() {
        if !history.is_empty() {
            whole.insert("history".into(), Value::Array(history));
        }
        if let Some(priors) = priors.and_then(|it| serde_json::to_value(it).ok()) {
            whole.insert("priors".into(), priors);
        }
    }
    document
}

/// A visit's document as a later one carries it: what no cause is told by is left out, minutes are
/// to the tenth, and what a repair found stands beside it. Rows are kept for good, so that each
/// byte of it is kept five times.
#[must_use]
pub fn as_history(mut document: Value, found: Option<&str>) -> Value {
    let Some(whole) = document.as_object_mut() else { return document };
    for (name, part) in whole.iter_mut() {
        match (name.as_str(), part) {
            ("as_found" | "as_left" | "unchanged", points) => keep_telling(points),
            ("taken_min" | "read_after_repair", Value::Object(stages)) => {
                stages.values_mut().for_each(keep_telling);
            }
            _ => {}
        }
    }
    let stages = whole.get_mut("taken_min").and_then(Value::as_object_mut);
    let by_point = stages.into_iter().flat_map(Map::values_mut).filter_map(Value::as_object_mut);
    for minute in by_point.flat_map(Map::values_mut) {
        *minute = json!(minute.as_f64().map(|it| (10.0 * it).round() / 10.0));
    }
    whole.retain(|_, part| !says_nothing(part));
    if let Some(found) = found {
        whole.insert("truth".into(), json!({"cause": found}));
    }
    document
}

/// Leaves out the points of a stage, by key or in a list, that no cause is told by.
fn keep_telling(points: &mut Value) {
    match points {
        Value::Object(by_key) => by_key.retain(|key, _| tells_of_causes(key)),
        Value::Array(keys) => keys.retain(|it| it.as_str().is_some_and(tells_of_causes)),
        _ => {}
    }
}

/// Whether a point tells of a cause or a condition at a later visit: all of air, pressures and
/// power. What only speaks of its own day stays behind, and so does a part's own rating check.
fn tells_of_causes(key: &str) -> bool {
    use PointKey as Key;
    PointKey::of(key).is_some_and(|it| {
        !matches!(
            it,
            Key::RoomDifferenceF
                | Key::ThermostatSettingF
                | Key::ThermostatReadingF
                | Key::ThermostatBesideF
                | Key::VoltsOutdoorIdle
                | Key::ContactorDropMv
                | Key::StartWindingAmps
                | Key::CapacitorRunningVolts
                | Key::CapacitorCompressorUf
                | Key::CapacitorFanUf
                | Key::CapacitorBlowerUf
                | Key::VoltsIndoor
                | Key::VoltsControl
                | Key::CrankcaseHeaterAmps
                | Key::PumpFillS
                | Key::AmbientCoPpm
                | Key::UnitSlopeSideInPerFt
                | Key::UnitSlopeFrontInPerFt
        )
    })
}

/// Whether there is nothing in it, at whatever depth.
fn says_nothing(part: &Value) -> bool {
    match part {
        Value::Object(parts) => parts.values().all(says_nothing),
        Value::Array(parts) => parts.iter().all(says_nothing),
        Value::Null => true,
        _ => false,
    }
}
