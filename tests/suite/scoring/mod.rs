//! Scoring, by subject.

use fairweather::engine::assessment::{Cause, Severity, StageAssessment};
use fairweather::engine::case::Case;
use fairweather::scoring::marking::{Mark, mark};
use fairweather::scoring::score::{Score, ScoreTally};
use fairweather::scoring::truth::{Truth, read_truth};
use fairweather::scoring::{NamedCause, Row, Told};
use serde_json::{Value, json};

use crate::engine::nominal_case;

mod confusion;
mod figures;
mod marking;
mod outcome;
mod reliability;
mod score;
mod text;
mod truth;

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

/// An assessment that names these causes, each with its probability.
fn naming(causes: &[(&str, f64)]) -> StageAssessment {
    let causes = causes.iter().map(|(cause, probability)| Cause {
        cause: (*cause).to_owned(),
        probability: *probability,
        severity: None,
        evidence_for: Vec::new(),
        evidence_against: Vec::new(),
        tell_apart: None,
    });
    StageAssessment { causes: causes.collect(), ..StageAssessment::default() }
}

/// The same with a severity for its first cause.
fn with_severity(mut stage: StageAssessment, value: f64, u: f64) -> StageAssessment {
    let unit = String::new();
    stage.causes[0].severity = Some(Severity { value, u, unit });
    stage
}

/// An assessment that names none.
fn silent() -> StageAssessment {
    let abstained = Some("nothing was read".to_owned());
    StageAssessment { abstained, ..StageAssessment::default() }
}

fn truth(value: &Value) -> Truth {
    read_truth(value).unwrap_or_else(|it| panic!("{it}"))
}

/// The nominal visit, of which the plate gives the subcooling.
fn visit() -> Case {
    nominal_case::case(&nominal_case::document())
}

fn marked(true_one: &Value, stage: &StageAssessment) -> Mark {
    mark(&visit(), &truth(true_one), stage)
}

/// The score of some marks.
fn scored(marks: impl IntoIterator<Item = Mark>) -> Score {
    let mut tally = ScoreTally::default();
    for it in marks {
        tally.add(&it);
    }
    tally.score()
}

/// A score in which everything occurs: four conditions, all causes, pairs, severities.
fn rich_score() -> Score {
    let causes = [
        ("no_fault", "", 0.0),
        ("low_charge", "low_charge", -20.0),
        ("excess_charge", "excess_charge", 20.0),
        ("low_indoor_airflow", "low_indoor_airflow", -30.0),
        ("low_outdoor_airflow", "low_outdoor_airflow", -30.0),
        ("feed_restriction", "low_charge", 60.0),
        ("overfeeding_metering", "no_fault", 30.0),
        ("non_condensables", "low_outdoor_airflow", 20.0),
        ("compressor_not_pumping", "compressor_not_pumping", -20.0),
        ("overfeeding_metering+compressor_not_pumping", "no_fault", 0.0),
        ("low_charge+low_indoor_airflow", "low_indoor_airflow", 0.0),
    ];
    let mut marks = Vec::new();
    for (number, (cause, told, severity)) in causes.into_iter().cycle().take(440).enumerate() {
        let condition = format!("condition {}", number % 4);
        let step = f64::from(u32::try_from(number % 7).unwrap());
        let mut truth = json!({"cause": cause, "conditions": condition});
        if severity != 0.0 {
            truth["severity"] = json!(severity);
            truth["capacity_ratio"] = json!(1.0 - step * 0.04);
        }
        let first = 0.45 + 0.09 * step;
        let stage = match number % 5 {
            0 if number % 3 == 0 => silent(),
            1 if !told.is_empty() => naming(&[(told, first), ("no_fault", 1.0 - first)]),
            2 => naming(&[("no_fault", 0.55), (cause, 0.45)]),
            _ => naming(&[(cause, first), ("no_fault", 1.0 - first)]),
        };
        let is_silent = stage.causes.is_empty();
        let stage = if is_silent { stage } else { with_severity(stage, severity + step, 2.0) };
        marks.push(marked(&truth, &stage));
    }
    scored(marks)
}
