//! The truth that a document carries: which fault was there, how bad it was and what it cost.

use std::ops::RangeInclusive;

use serde_json::Value;

use super::NamedCause;
use super::outcome::Impact;
use crate::engine::causes::CauseName;

/// What really was the matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// Which cause, or which two.
    pub cause: NamedCause,
    /// How bad, in the unit and with the sign of its cause; known of one cause alone.
    pub severity: Option<f64>,
    /// What it cost.
    pub impact: Impact,
    /// Under which operating condition, in words of the document's own.
    pub conditions: Option<String>,
    /// Fields that the score makes no use of.
    pub unused: Vec<String>,
}

/// Why a truth was not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {given} can't stand here; accepted: {accepted}")]
pub struct TruthFault {
    /// Path of the field.
    pub field: &'static str,
    /// What stood there, cut short where it is long.
    pub given: String,
    /// What is accepted there.
    pub accepted: String,
}

/// Capacity or efficiency with the fault by that without it. More than one where a fault helps a
/// little; two is taken for a slip, such as a percentage (judgement, no source).
const RATIO: RangeInclusive<f64> = 0.0..=2.0;
/// Letters of an operating condition's name and of what a message repeats (judgement, no source).
const NAME_LETTERS_MAX: usize = 200;
const GIVEN_LETTERS_MAX: usize = 60;

impl Truth {
    /// Nothing but the cause.
    fn of(cause: NamedCause) -> Self {
        let unused = Vec::new();
        Self { cause, severity: None, impact: Impact::NotGiven, conditions: None, unused }
    }
}

/// Reads a truth: the word of a cause, or an object with `cause` and, where they are known,
/// `severity`, `capacity_ratio`, `efficiency_ratio` and `conditions`.
///
/// # Errors
/// On anything else than these, and on a severity whose sign is not that of its cause.
pub fn read_truth(value: &Value) -> Result<Truth, TruthFault> {
    let Value::Object(fields) = value else { return Ok(Truth::of(cause(value, "truth")?)) };
    let mut truth = Truth::of(cause(fields.get("cause").unwrap_or(&Value::Null), "truth.cause")?);
    let mut ratios = [None, None];
    for (name, value) in fields.iter().filter(|(_, it)| !it.is_null()) {
        match name.as_str() {
            "cause" => {}
            "severity" => truth.severity = severity(truth.cause, value)?,
            "capacity_ratio" => ratios[0] = Some(ratio(value, "truth.capacity_ratio")?),
            "efficiency_ratio" => ratios[1] = Some(ratio(value, "truth.efficiency_ratio")?),
            "conditions" => truth.conditions = Some(conditions(value)?),
            other => truth.unused.push(other.to_owned()),
        }
        if name == "severity" && truth.severity.is_none() && !is_zero(value) {
            truth.unused.push("severity (of no fault, or of two at once)".to_owned());
        }
    }
    truth.impact = Impact::of_ratios(ratios);
    Ok(truth)
}

fn cause(value: &Value, field: &'static str) -> Result<NamedCause, TruthFault> {
    let accepted = "the word of a cause such as low_charge, or of two joined by a plus sign";
    value.as_str().and_then(NamedCause::of_word).ok_or_else(|| fault(field, value, accepted))
}

/// A severity that can be held against the engine's: that of one cause alone, with its sign.
fn severity(cause: NamedCause, value: &Value) -> Result<Option<f64>, TruthFault> {
    let field = "truth.severity";
    let Some(cause) = cause.alone().filter(|it| *it != CauseName::NoFault) else { return Ok(None) };
    let sign = if cause.is_a_lack() { -1.0 } else { 1.0 };
    let unit = cause.info().unit;
    let side = if sign > 0.0 { "above" } else { "below" };
    let number = value.as_f64().filter(|it| it * sign > 0.0);
    let accepted = || format!("a number {side} 0, {unit}, for {}", cause.key());
    number.map(Some).ok_or_else(|| fault(field, value, &accepted()))
}

fn is_zero(value: &Value) -> bool {
    value.as_f64().is_some_and(|it| it.abs() <= 0.0)
}

fn ratio(value: &Value, field: &'static str) -> Result<f64, TruthFault> {
    let accepted = "0 to 2, with the fault by without it";
    value.as_f64().filter(|it| RATIO.contains(it)).ok_or_else(|| fault(field, value, accepted))
}

fn conditions(value: &Value) -> Result<String, TruthFault> {
    let fits = |it: &&str| !it.is_empty() && it.chars().count() <= NAME_LETTERS_MAX;
    let accepted = format!("text of 1 to {NAME_LETTERS_MAX} letters");
    let text = value.as_str().filter(fits);
    text.map(str::to_owned).ok_or_else(|| fault("truth.conditions", value, &accepted))
}

fn fault(field: &'static str, value: &Value, accepted: &str) -> TruthFault {
    let given = match value {
        Value::Null => "nothing".to_owned(),
        Value::Object(_) => "an object".to_owned(),
        Value::Array(_) => "a list".to_owned(),
        other => shortened(&other.to_string()),
    };
    TruthFault { field, given, accepted: accepted.to_owned() }
}

/// The beginning of a long text, so that a message stays a sentence.
#[must_use]
pub fn shortened(text: &str) -> String {
    let mut letters = text.chars();
    let mut beginning: String = letters.by_ref().take(GIVEN_LETTERS_MAX).collect();
    if letters.next().is_some() {
        beginning.push('…');
    }
    beginning
}
