//! What a typed text means at a field of the sheet.

use super::enter::Typed;
use crate::domain::refusal::Refusal;
use crate::domain::visit::Stage;
use crate::domain::{closing, form, requirement, sheet};
use crate::engine::points;

/// The longest text of a field.
const TYPED_LETTERS_MAX: usize = 4_000;

/// What a text comes to.
pub(super) enum Meaning {
    Value(Option<f64>),
    Word(String),
    Impossible(String),
}

/// What a typed text means where it was typed. A field that the sheet doesn't have (of a page that
/// is older than the program) is kept too, and blocks nothing behind it.
pub(super) fn checked(typed: &Typed) -> Meaning {
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
        "again" if sheet::block_of_again(field).is_some() => Ok(take(text)),
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
        Some(("again", _)) => {
            return stage == Stage::AsLeft && sheet::block_of_again(field).is_some();
        }
        Some(("unchanged", key)) if stage == Stage::AsLeft => (key.to_owned(), stage),
        _ => (field.to_owned(), stage),
    };
    let fields = sheet::BLOCKS.iter().flat_map(|block| block.fields);
    fields.into_iter().any(|it| it.stage() == stage && it.key() == wanted)
}

/// Which reading of a block as left begins.
fn take(text: &str) -> Meaning {
    match text.parse::<i64>() {
        Ok(2..=sheet::TAKES_MAX) => Meaning::Word(text.to_owned()),
        _ if text.is_empty() => Meaning::Word(String::new()),
        _ => Meaning::Impossible(format!(
            "“{text}” can't be: a block is read as left at most {} times.",
            sheet::TAKES_MAX
        )),
    }
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
