//! From a JSON value to a case: the only step of the engine that can refuse.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::broken::id_in;
use super::quick::quick_case;
use super::schema::{DOCUMENT, Field, Kind};
use super::strict::strict_value;
use super::{Case, SuperheatChart};
use crate::engine::points::{self, Point};
use crate::engine::refrigerant;

/// Minutes of the longest visit that a time since arrival may belong to: a week of eight-hour
/// days. Common practice, no source.
const VISIT_MIN_MAX: f64 = 2400.0;

/// Why a document was not read: the field, what it held and what it accepts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, thiserror::Error)]
#[error("{message}")]
pub struct CaseError {
    /// Path of the field, such as `as_found.return_wb_f`.
    pub field: String,
    /// What stood there.
    pub given: Box<Value>,
    /// What is accepted there.
    pub accepted: String,
    /// One sentence for people.
    pub message: String,
}

/// A document that was not read.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// The document's id, as far as it had one.
    pub id: Value,
    /// Why it was not read.
    pub error: CaseError,
}

/// Reads a case from the text of a document.
///
/// # Errors
/// As [`read_case`], and on a field that is given twice or a text that holds no value.
pub fn read_case_text(text: &str) -> Result<Case, Box<Refused>> {
    if let Some(case) = quick_case(text)
        && case.system.superheat_chart.as_ref().is_none_or(is_grid)
        && unchanged_fault(&case).is_none()
    {
        return Ok(case);
    }
    let value = strict_value(text).map_err(|error| Box::new(Refused { id: id_in(text), error }))?;
    read_case(&value).map_err(|error| {
        let id = value.get("id").cloned().unwrap_or(Value::Null);
        Box::new(Refused { id, error })
    })
}

/// Reads a case from a document.
///
/// # Errors
/// On an unknown field, a wrong type, a missing fact, a value out of its range.
pub fn read_case(value: &Value) -> Result<Case, CaseError> {
    check(value, &Kind::Object(DOCUMENT), "")?;
    let case: Case = serde_json::from_value(without_nulls(value))
        .map_err(|it| refusal("", value, "a visit's document", &it.to_string()))?;
    check_chart(case.system.superheat_chart.as_ref(), value)?;
    check_unchanged(&case, value)?;
    Ok(case)
}

pub(super) fn refusal(field: &str, given: &Value, accepted: &str, what: &str) -> CaseError {
    let place = if field.is_empty() { "the document" } else { field };
    CaseError {
        field: field.to_owned(),
        given: Box::new(given.clone()),
        accepted: accepted.to_owned(),
        message: format!("{place}: {what}; accepted: {accepted}"),
    }
}

fn check(value: &Value, kind: &Kind, path: &str) -> Result<(), CaseError> {
    match kind {
        Kind::Text => want(value.is_string(), value, path, "text"),
        Kind::Choice(words) => {
            let fits = value.as_str().is_some_and(|it| words.contains(&it));
            want(fits, value, path, &words.join(", "))
        }
        Kind::Refrigerant => {
            let fits = value.as_str().is_some_and(|it| refrigerant::table(it).is_some());
            let known: Vec<_> = refrigerant::designations().collect();
            want(fits, value, path, &known.join(", "))
        }
        Kind::Number(low, high, unit) => {
            let fits = value.as_f64().is_some_and(|it| (*low..=*high).contains(&it));
            want(fits, value, path, &format!("{low} to {high} {unit}"))
        }
        Kind::Whole(low, high) => {
            let fits = value.as_u64().is_some_and(|it| (*low..=*high).contains(&it));
            want(fits, value, path, &format!("a whole number, {low} to {high}"))
        }
        Kind::List(of) => {
            let items = value.as_array().ok_or_else(|| wrong(value, path, "a list"))?;
            items
                .iter()
                .enumerate()
                .try_for_each(|(index, item)| check(item, of, &format!("{path}[{index}]")))
        }
        Kind::OrBlank(of) => {
            if value.is_null() {
                return Ok(());
            }
            check(value, of, path)
        }
        Kind::PointKey => {
            let fits = value.as_str().is_some_and(|it| points::point(it).is_some());
            want(fits, value, path, "the key of a measuring point")
        }
        Kind::Readings | Kind::Uncertainties | Kind::Minutes => check_points(value, kind, path),
        Kind::Object(fields) => check_object(value, fields, path),
        Kind::AnyObject => want(value.is_object(), value, path, "an object"),
        Kind::WordOrObject => {
            want(value.is_string() || value.is_object(), value, path, "a word or an object")
        }
    }
}

fn want(fits: bool, value: &Value, path: &str, accepted: &str) -> Result<(), CaseError> {
    if fits { Ok(()) } else { Err(wrong(value, path, accepted)) }
}

fn wrong(value: &Value, path: &str, accepted: &str) -> CaseError {
    let shown = match value {
        Value::Object(_) => "an object".to_owned(),
        Value::Array(_) => "a list".to_owned(),
        other => other.to_string(),
    };
    refusal(path, value, accepted, &format!("{shown} can't stand here"))
}

fn object<'a>(value: &'a Value, path: &str) -> Result<&'a Map<String, Value>, CaseError> {
    value.as_object().ok_or_else(|| wrong(value, path, "an object"))
}

fn inside(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") }
}

fn check_object(value: &Value, fields: &[Field], path: &str) -> Result<(), CaseError> {
    let entries = object(value, path)?;
    for (name, given) in entries {
        let here = inside(path, name);
        let Some(field) = fields.iter().find(|it| it.name == name) else {
            let known: Vec<_> = fields.iter().map(|it| it.name).collect();
            return Err(refusal(&here, given, &known.join(", "), "no such field"));
        };
        // Null says that a fact is not known, so only what must be known can't be null.
        if !given.is_null() || field.is_required {
            check(given, &field.kind, &here)?;
        }
    }
    for field in fields.iter().filter(|it| it.is_required) {
        if !entries.contains_key(field.name) {
            return check(&Value::Null, &field.kind, &inside(path, field.name));
        }
    }
    Ok(())
}

/// Numbers by point key. A null reading is one that was not taken.
fn check_points(value: &Value, kind: &Kind, path: &str) -> Result<(), CaseError> {
    for (key, given) in object(value, path)? {
        let here = inside(path, key);
        let Some(point) = points::point(key) else {
            let accepted = "the key of a measuring point";
            return Err(refusal(&here, given, accepted, "no such measuring point"));
        };
        if given.is_null() {
            continue;
        }
        let (low, high) = point_range(kind, point);
        if !given.as_f64().is_some_and(|it| (low..=high).contains(&it)) {
            let accepted = match kind {
                Kind::Uncertainties => {
                    format!("0 to {high} {}, a standard uncertainty", point.unit)
                }
                Kind::Minutes => format!("0 to {high} min"),
                _ => point.accepted_in_documents(),
            };
            return Err(wrong(given, &here, &accepted));
        }
    }
    Ok(())
}

/// What a number by point key may be: a reading, its uncertainty or its minute.
pub(super) fn point_range(kind: &Kind, point: &Point) -> (f64, f64) {
    match kind {
        Kind::Uncertainties => (0.0, point.high - point.low),
        Kind::Minutes => (0.0, VISIT_MIN_MAX),
        _ => (point.low, point.high),
    }
}

/// The same document without the fields that are null, so that every field has one shape.
pub(super) fn without_nulls(value: &Value) -> Value {
    match value {
        Value::Object(entries) => Value::Object(
            entries
                .iter()
                .filter(|(_, it)| !it.is_null())
                .map(|(name, it)| (name.clone(), without_nulls(it)))
                .collect(),
        ),
        other => other.clone(),
    }
}

fn check_chart(chart: Option<&SuperheatChart>, value: &Value) -> Result<(), CaseError> {
    if chart.is_none_or(is_grid) {
        return Ok(());
    }
    let accepted = "two rising axes of two values or more, one row an outdoor value";
    let given = value.pointer("/system/superheat_chart").unwrap_or(&Value::Null);
    Err(refusal("system.superheat_chart", given, accepted, "this is no full grid"))
}

fn is_grid(chart: &SuperheatChart) -> bool {
    let rises = |axis: &[f64]| {
        axis.len() >= 2 && axis.windows(2).all(|pair| matches!(pair, [left, right] if left < right))
    };
    chart.superheat_f.len() == chart.outdoor_db_f.len()
        && chart.superheat_f.iter().all(|row| row.len() == chart.return_wb_f.len())
        && rises(&chart.outdoor_db_f)
        && rises(&chart.return_wb_f)
}

fn check_unchanged(case: &Case, value: &Value) -> Result<(), CaseError> {
    let Some(what) = unchanged_fault(case) else { return Ok(()) };
    let given = value.get("unchanged").unwrap_or(&Value::Null);
    let accepted = "points that were read as found and not again as left";
    Err(refusal("unchanged", given, accepted, &what))
}

fn unchanged_fault(case: &Case) -> Option<String> {
    case.unchanged.iter().find_map(|key| {
        if !case.as_found.contains_key(key) {
            return Some(format!("{} was not read as found", key.key()));
        }
        case.as_left.contains_key(key).then(|| format!("{} was read again as left", key.key()))
    })
}
