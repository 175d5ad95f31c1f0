//! What a repair found to be the matter: one of the engine's causes, or two of them at once; and
//! what was predicted before.

use serde::{Deserialize, Serialize};
use serde_json::Value;

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

/// What was predicted of a visit as it was found, as far as it is held against what a repair
/// found. A field that an older program did not keep is empty.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Prediction {
    /// Version of the engine.
    pub engine: String,
    /// Version of the priors; empty for judgements of before there were any.
    pub priors: String,
    /// Whether the plate says what the subcooling should be, without which some causes can't be
    /// told apart.
    pub knows_plate_subcooling: bool,
    /// The causes, the likeliest first; none where none was named.
    pub causes: Option<Vec<PredictedCause>>,
}

/// One cause that was named.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PredictedCause {
    /// Its word.
    pub cause: String,
    /// How likely it was said to be.
    pub probability: f64,
}

/// The part of a judgement that was predicted.
#[derive(Default, Deserialize)]
#[serde(default)]
struct Said {
    engine: String,
    priors: String,
    as_found: SaidStage,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct SaidStage {
    abstained: Option<String>,
    causes: Vec<PredictedCause>,
}

impl Prediction {
    /// What a judgement predicted, by what the engine was given and what it said. One of an old
    /// shape predicted nothing.
    #[must_use]
    pub fn of(input: &Value, output: &Value) -> Self {
        let said = Said::deserialize(output).unwrap_or_default();
        let SaidStage { abstained, causes } = said.as_found;
        let plate = input.get("system").and_then(|it| it.get("target_subcooling_f"));
        Self {
            engine: said.engine,
            priors: said.priors,
            knows_plate_subcooling: plate.is_some_and(Value::is_number),
            causes: (abstained.is_none() && !causes.is_empty()).then_some(causes),
        }
    }
}
