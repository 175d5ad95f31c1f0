//! From a visit's rows to the assess document, the only thing that the engine sees.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};
use time::OffsetDateTime;

use super::visit::Stage;
use crate::engine::case::{CameTo, LookedAt};

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
        after_repair.insert(stage.key().into(), named(ticks, stage, "after_repair."));
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
