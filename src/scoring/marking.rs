//! One case marked: all that the score needs of it, so that the documents can be let go.

use super::outcome::{Impact, Outcome};
use super::truth::Truth;
use super::{NamedCause, Row, Told};
use crate::engine::assessment::StageAssessment;
use crate::engine::case::Case;
use crate::engine::causes::CAUSES;
use crate::engine::points::PointKey;

/// What came of one case.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What came first and what it was.
    pub row: Row,
    /// Right, wrong, missed or silent.
    pub outcome: Outcome,
    /// What the fault costs.
    pub impact: Impact,
    /// Under which operating condition: cases of one condition hang together.
    pub condition: String,
    /// Whether one fault was taken for two of which it is one.
    pub is_beside_another: bool,
    /// What the probabilities were worth.
    pub probabilities: Probabilities,
    /// The severity, of a correct answer that gives one where the truth does too.
    pub severity: Option<SeverityMark>,
}

/// What the stated probabilities were worth, whatever came first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Probabilities {
    /// `−ln` of the probability of the truth, which is taken for [`PROBABILITY_FLOOR`] at least.
    pub log: f64,
    /// Brier's sum of squares over the causes, 0 to 2.
    pub brier: f64,
}

/// A severity that was told beside the true one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeverityMark {
    /// What was told.
    pub told: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// What it was.
    pub truth: f64,
}

/// A truth to which less was given counts as if it had been given this: otherwise one answer that
/// leaves the truth out would outweigh all others (judgement, no source).
pub const PROBABILITY_FLOOR: f64 = 1e-6;

/// Causes alone, the healthy one included, and pairs of faults.
const SINGLES: f64 = 9.0;
const PAIRS: f64 = 28.0;

/// Width of the steps in which air temperatures make one condition, °F.
const STEP_F: f64 = 5.0;

/// Marks a case by its assessment as found.
#[must_use]
pub fn mark(case: &Case, truth: &Truth, stage: &StageAssessment) -> Mark {
    let told = told(stage);
    let named: Vec<NamedCause> = told.iter().map(|it| it.cause).collect();
    let first = told.first().copied();
    let knows_plate_subcooling = case.system.target_subcooling_f.is_some();
    let outcome = Outcome::of(truth.cause, &named, knows_plate_subcooling);
    Mark {
        row: Row { told: first, truth: truth.cause },
        outcome,
        impact: truth.impact,
        condition: truth.conditions.clone().unwrap_or_else(|| condition(case)),
        is_beside_another: outcome == Outcome::Misdiagnosis
            && first.is_some_and(|it| it.cause.shares_a_fault_with(truth.cause)),
        probabilities: probabilities(truth.cause, &told),
        severity: severity(outcome, truth, stage),
    }
}

/// The causes that were told, the likeliest first; none where the engine abstained.
fn told(stage: &StageAssessment) -> Vec<Told> {
    if stage.abstained.is_some() {
        return Vec::new();
    }
    let causes = stage.causes.iter();
    causes
        .filter_map(|it| {
            let cause = NamedCause::of_word(&it.cause)?;
            Some(Told { cause, probability: it.probability })
        })
        .collect()
}

/// The condition of a case that doesn't name its own: the air on both sides in steps, and what
/// kind of system it is.
fn condition(case: &Case) -> String {
    let air = |key: PointKey| match case.as_found.get(&key) {
        Some(value) => format!("{:.0} degF", (value / STEP_F).round() * STEP_F),
        None => "not read".to_owned(),
    };
    format!(
        "outdoor {}, return {}, {}, {}",
        air(PointKey::OutdoorDbF),
        air(PointKey::ReturnDbF),
        case.system.refrigerant,
        case.system.metering.word()
    )
}

/// What the probabilities were worth.
///
/// - arguments: the truth, and every cause that was told; none told counts as the same share for
///   each of the nine causes alone, and where two faults were true for each pair as well: silence
///   must not earn more than an honest answer that also weighs pairs
/// - result: Good's logarithmic score and Brier's score over all causes
/// - reference: Good, J. Royal Statistical Society B 14 (1952) 107–114; Brier, Monthly Weather
///   Review 78 (1950) 1–3 (both from memory)
fn probabilities(truth: NamedCause, told: &[Told]) -> Probabilities {
    let score = |given: f64, squares: f64| Probabilities {
        log: -libm::log(given.max(PROBABILITY_FLOOR)),
        brier: 1.0 - 2.0 * given + squares,
    };
    if told.is_empty() {
        let each = 1.0 / if truth.is_pair() { SINGLES + PAIRS } else { SINGLES };
        return score(each, each);
    }
    let given = told.iter().find(|it| it.cause == truth).map_or(0.0, |it| it.stated());
    score(given, told.iter().map(|it| it.stated() * it.stated()).sum())
}

fn severity(outcome: Outcome, truth: &Truth, stage: &StageAssessment) -> Option<SeverityMark> {
    if outcome != Outcome::Correct {
        return None;
    }
    let told = stage.causes.first()?.severity.as_ref()?;
    Some(SeverityMark { told: told.value, u: told.u, truth: truth.severity? })
}

const _: () = assert!(CAUSES.len() == 9, "the share of each cause is one ninth");
