//! What a repair found to be the matter: one of the engine's causes, or two of them at once.

use super::refusal::Refusal;
use crate::engine::causes::{CauseName, causes_of};

/// What people answer where nothing was the matter; the engine's own words speak of readings.
pub const NOTHING_WRONG: &str = "Nothing was wrong";

/// The word of what was found, as documents have it: `low_charge`, or two causes as `a+b` in the
/// order of the table, whichever was named first.
///
/// # Errors
/// `CausesDontPair` where nothing was wrong and something was, or the same thing twice.
pub fn word(first: CauseName, second: Option<CauseName>) -> Result<String, Refusal> {
    let Some(second) = second else { return Ok(first.key().to_owned()) };
    let both = causes_of(&format!("{}+{}", first.key(), second.key()));
    let (first, second) = both.ok_or(Refusal::CausesDontPair)?;
    Ok(second.map_or_else(
        || first.key().to_owned(),
        |second| format!("{}+{}", first.key(), second.key()),
    ))
}

/// One cause in plain words, as an answer to what was found.
#[must_use]
pub fn label(cause: CauseName) -> &'static str {
    if cause == CauseName::NoFault { NOTHING_WRONG } else { cause.info().label }
}

/// What a word names, in plain words; a word of a later program as it stands.
#[must_use]
pub fn words(word: &str) -> String {
    match causes_of(word) {
        Some((first, None)) => label(first).to_owned(),
        Some((first, Some(second))) => {
            let mut letters = label(second).chars();
            let second = letters.next().into_iter().flat_map(char::to_lowercase).chain(letters);
            format!("{}, and {}", label(first), second.collect::<String>())
        }
        None => word.replace('_', " ").replace('+', ", and "),
    }
}
