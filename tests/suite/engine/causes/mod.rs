//! Causes: found where they were planted, told from each other where they can be, and kept back
//! where nobody could know.

mod abstaining;
mod finding;
mod gaussian;
mod history;
mod priors;
mod repair;
mod signatures;
pub mod simulated;
mod telling_apart;
mod words;

use fairweather::engine::assess;
use fairweather::engine::assessment::{Cause, StageAssessment};
use fairweather::engine::limits::LimitBook;
use serde_json::Value;

use self::simulated::{Errors, GOOD, Row};
use super::nominal_case::{assessed, case, changed, document, with, without};

/// What a document's as-found readings say.
fn found(document: &Value) -> StageAssessment {
    assess(&case(document), &LimitBook::default()).as_found
}

/// A simulated fault read with good instruments.
fn visit_of(device: &str, fault: &str, level: f64) -> Value {
    let is_it = |it: &Row| {
        it["device"] == device
            && it["fault"] == fault
            && (simulated::number(it, "level") - level).abs() < 1e-9
    };
    let row = simulated::rows().into_iter().find(is_it).expect("a row");
    Errors::new(GOOD, 3).visit(&row, &simulated::readings(&row))
}

/// The name of the likeliest cause, or why none is named.
fn first(stage: &StageAssessment) -> String {
    stage
        .causes
        .first()
        .map_or_else(|| stage.abstained.clone().unwrap_or_default(), |cause| cause.cause.clone())
}

fn probability(stage: &StageAssessment, name: &str) -> f64 {
    stage.causes.iter().find(|it| it.cause == name).map_or(0.0, |it| it.probability)
}

fn cause<'a>(stage: &'a StageAssessment, name: &str) -> &'a Cause {
    stage
        .causes
        .iter()
        .find(|it| it.cause == name)
        .unwrap_or_else(|| panic!("no {name}: {stage:?}"))
}
