//! Scoring, by subject.

use fairweather::scoring::{NamedCause, Row, Told};

mod confusion;
mod reliability;

/// What a word names.
fn named(word: &str) -> NamedCause {
    NamedCause::of_word(word).unwrap_or_else(|| panic!("{word} is no cause"))
}

/// What was told first, how likely it was said to be, and what it was.
fn row(told: &str, probability: f64, truth: &str) -> Row {
    Row { told: Some(Told { cause: named(told), probability }), truth: named(truth) }
}

/// Nothing was told.
fn silence(truth: &str) -> Row {
    Row { told: None, truth: named(truth) }
}
