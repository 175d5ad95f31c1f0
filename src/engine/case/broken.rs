//! What is said of a text that is JSON and yet no value: a number beyond all range, half a character.

use std::fmt;

use serde::Deserializer as _;
use serde::de::{IgnoredAny, MapAccess, Visitor};
use serde_json::Value;

use super::document::{CaseError, refusal};
use super::strict::StrictSeed;

/// Levels that the JSON reader goes down before it stops for fear of its stack.
const LEVELS_MAX: usize = 127;

/// The refusal of a text at which the reader gave up.
pub(super) fn broken(text: &str, error: &serde_json::Error) -> CaseError {
    let before = up_to(text, error.line(), error.column());
    let field = path_at_end(before);
    // The reader tells its errors apart by their words only.
    let why = error.to_string();
    if why.starts_with("number out of range") {
        let given = before.rsplit([':', ',', '[']).next().unwrap_or("").trim();
        let what = format!("{given} is not finite");
        return refusal(&field, &given.into(), "a finite number", &what);
    }
    if why.starts_with("recursion limit") {
        let given = format!("more than {LEVELS_MAX} levels").into();
        let accepted = format!("at most {LEVELS_MAX} levels");
        return refusal(&field, &given, &accepted, "it is nested too deep");
    }
    if why.contains("hex escape") || why.contains("code point") {
        // The reader may have gone on to the quote that ends the text.
        let inside = before.strip_suffix('"').unwrap_or(before);
        let given = inside.rsplit('"').next().unwrap_or("");
        let what = format!("{given} ends in half a character");
        return refusal(&field, &given.into(), "escapes of whole characters", &what);
    }
    refusal("", &text.into(), "a JSON document", &why)
}

/// The id of a document that has no value, as far as it had one.
pub(super) fn id_in(text: &str) -> Value {
    serde_json::Deserializer::from_str(text).deserialize_map(FirstId).unwrap_or(Value::Null)
}

struct FirstId;

impl<'de> Visitor<'de> for FirstId {
    type Value = Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        out.write_str("a document")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Value, A::Error> {
        let mut first = None;
        while let Some(name) = fields.next_key::<String>()? {
            if first.is_none() && name == "id" {
                first = Some(fields.next_value_seed(StrictSeed)?);
            } else {
                fields.next_value::<IgnoredAny>()?;
            }
        }
        Ok(first.unwrap_or(Value::Null))
    }
}

/// The text before a line and column, which count from one and in bytes.
fn up_to(text: &str, line: usize, column: usize) -> &str {
    let lines_before = line.saturating_sub(1);
    let whole: usize = text.split_inclusive('\n').take(lines_before).map(str::len).sum();
    let end = text.floor_char_boundary(whole.saturating_add(column));
    text.get(..end).unwrap_or(text)
}

/// The path of the value that a piece of JSON breaks off in, such as `as_found.return_wb_f`.
fn path_at_end(text: &str) -> String {
    let mut names: Vec<String> = Vec::new();
    let mut word = String::new();
    let mut is_inside = false;
    let mut is_escaped = false;
    for letter in text.chars() {
        match letter {
            '"' if !is_escaped => {
                if !is_inside {
                    word.clear();
                }
                is_inside = !is_inside;
            }
            _ if is_inside => word.push(letter),
            '{' | '[' => names.push(String::new()),
            '}' | ']' => drop(names.pop()),
            ':' => {
                if let Some(name) = names.last_mut() {
                    name.clone_from(&word);
                }
            }
            _ => {}
        }
        is_escaped = letter == '\\' && !is_escaped;
    }
    names.retain(|it| !it.is_empty());
    names.join(".")
}
