//! What judging a visit again would change: two judgements held side by side, and the sum over a
//! whole history.
//!
//! A change is what a person would decide by: an outcome, a value with its uncertainty, a limit, a
//! reason, a doubt, the first cause, a condition. Another version of the engine, the rules or the
//! priors alone is none, nor is another wording of a limit's source, nor another share of a cause
//! that stays where it is.

use std::collections::BTreeSet;

use crate::domain::visit::Stage;
use crate::engine::assessment::{Assessment, Doubt, Outcome, StageAssessment, Verdict};
use crate::engine::limits::LimitName;

/// Numbers nearer than this share of their size are the same: what the last bits of a sum do
/// between two releases is no change. A choice, no source.
const SAME_SHARE: f64 = 1e-9;
/// From here on a condition holds rather than not. A choice, no source.
const LIKELY: f64 = 0.5;

/// One verdict that would be another.
#[derive(Clone, Debug, PartialEq)]
pub struct VerdictChange {
    /// As found or as left.
    pub stage: Stage,
    /// The measure.
    pub measure: String,
    /// What stands.
    pub before: Option<Verdict>,
    /// What would stand.
    pub after: Option<Verdict>,
}

/// A value without a verdict that would be another.
#[derive(Clone, Debug, PartialEq)]
pub struct ValueChange {
    /// As found or as left.
    pub stage: Stage,
    /// The measure.
    pub measure: String,
    /// What stands.
    pub before: Option<f64>,
    /// What would stand.
    pub after: Option<f64>,
}

/// A doubt that would come or go.
#[derive(Clone, Debug, PartialEq)]
pub struct DoubtChange {
    /// As found or as left.
    pub stage: Stage,
    /// The doubt.
    pub doubt: Doubt,
    /// Whether it would come; else it would go.
    pub comes: bool,
}

/// Causes and conditions that would be others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CauseChange {
    /// As found or as left.
    pub stage: Stage,
    /// What stands, each with its share, or why none is named.
    pub before: Vec<String>,
    /// What would stand.
    pub after: Vec<String>,
}

/// All that one visit's judgement would change.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Differences {
    /// Verdicts.
    pub verdicts: Vec<VerdictChange>,
    /// Values that have no verdict.
    pub values: Vec<ValueChange>,
    /// Doubts.
    pub doubts: Vec<DoubtChange>,
    /// Causes and conditions.
    pub causes: Vec<CauseChange>,
    /// Whether it was judged and could no longer be, or the other way round.
    pub is_judged_otherwise: bool,
}

impl Differences {
    /// Whether nothing would change.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

impl VerdictChange {
    /// The outcome that stands; what was not judged was not taken.
    #[must_use]
    pub fn outcome_before(&self) -> Outcome {
        self.before.as_ref().map_or(Outcome::NotTaken, |it| it.outcome)
    }

    /// The outcome that would stand.
    #[must_use]
    pub fn outcome_after(&self) -> Outcome {
        self.after.as_ref().map_or(Outcome::NotTaken, |it| it.outcome)
    }
}

/// A limit that both judgements looked up, with another number in each. No change by itself: what
/// it comes to is among the differences.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OtherLimit {
    /// Which.
    pub name: LimitName,
    /// The number by which it was judged.
    pub before: f64,
    /// The number by which it would be.
    pub after: f64,
}

/// The limits by which two judgements of one visit differ, in the order of the book.
#[must_use]
pub fn other_limits(before: Option<&Assessment>, after: Option<&Assessment>) -> Vec<OtherLimit> {
    let (Some(before), Some(after)) = (before, after) else { return Vec::new() };
    let both = before.limits.iter().filter_map(|(name, before)| {
        let after = *after.limits.get(name)?;
        Some(OtherLimit { name: *name, before: *before, after })
    });
    both.filter(|it| !is_same(Some(it.before), Some(it.after))).collect()
}

/// Holds two judgements of one visit side by side.
#[must_use]
pub fn differences(before: Option<&Assessment>, after: Option<&Assessment>) -> Differences {
    let none = Assessment::default();
    let (old, new) = (before.unwrap_or(&none), after.unwrap_or(&none));
    let mut all = Differences {
        is_judged_otherwise: before.is_some() != after.is_some(),
        ..Differences::default()
    };
    for (stage, old, new) in [
        (Stage::AsFound, &old.as_found, &new.as_found),
        (Stage::AsLeft, &old.as_left, &new.as_left),
    ] {
        all.verdicts.extend(verdicts(stage, old, new));
        all.values.extend(values(stage, old, new));
        all.doubts.extend(doubts(stage, old, new));
        all.causes.extend(causes(stage, old, new));
    }
    all
}

/// The keys of both lists, each once, in the order of the newer.
fn keys(old: Vec<String>, mut new: Vec<String>) -> Vec<String> {
    let gone = old.into_iter().filter(|key| !new.contains(key)).collect::<Vec<_>>();
    new.extend(gone);
    new
}

fn verdicts(stage: Stage, old: &StageAssessment, new: &StageAssessment) -> Vec<VerdictChange> {
    let find = |all: &StageAssessment, key: &str| {
        all.verdicts.iter().find(|it| it.measure == key).cloned()
    };
    let measures = |it: &StageAssessment| -> Vec<String> {
        it.verdicts.iter().map(|it| it.measure.to_string()).collect()
    };
    keys(measures(old), measures(new))
        .into_iter()
        .map(|measure| VerdictChange {
            stage,
            before: find(old, &measure),
            after: find(new, &measure),
            measure,
        })
        .filter(|it| !is_same_verdict(it.before.as_ref(), it.after.as_ref()))
        .collect()
}

fn is_same_verdict(before: Option<&Verdict>, after: Option<&Verdict>) -> bool {
    match (before, after) {
        (Some(before), Some(after)) => {
            let numbers = |it: &Verdict| [it.value, it.u, it.target, it.low, it.high];
            let pairs = numbers(before).into_iter().zip(numbers(after));
            before.outcome == after.outcome
                && before.side == after.side
                && before.reason == after.reason
                && pairs.into_iter().all(|(one, other)| is_same(one, other))
        }
        // A measure that one of the two did not know of, and the other had no reading for.
        (Some(only), None) | (None, Some(only)) => only.outcome == Outcome::NotTaken,
        (None, None) => true,
    }
}

fn is_same(one: Option<f64>, other: Option<f64>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => {
            (one - other).abs() <= SAME_SHARE * one.abs().max(other.abs()).max(1.0)
        }
        (None, None) => true,
        _ => false,
    }
}

fn values(stage: Stage, old: &StageAssessment, new: &StageAssessment) -> Vec<ValueChange> {
    let find = |all: &StageAssessment, key: &str| {
        all.measures.iter().find(|it| it.measure == key).map(|it| it.value)
    };
    let has_verdict = |key: &str| {
        old.verdicts.iter().chain(&new.verdicts).any(|it| it.measure == key && it.value.is_some())
    };
    let measures = |it: &StageAssessment| -> Vec<String> {
        it.measures.iter().map(|it| it.measure.to_string()).collect()
    };
    keys(measures(old), measures(new))
        .into_iter()
        .filter(|key| !has_verdict(key))
        .map(|measure| ValueChange {
            stage,
            before: find(old, &measure),
            after: find(new, &measure),
            measure,
        })
        .filter(|it| !is_same(it.before, it.after))
        .collect()
}

fn doubts(stage: Stage, old: &StageAssessment, new: &StageAssessment) -> Vec<DoubtChange> {
    let only_in = |one: &StageAssessment, other: &StageAssessment, comes: bool| {
        let only = one.doubts.iter().filter(|it| !other.doubts.contains(it));
        only.map(|it| DoubtChange { stage, doubt: it.clone(), comes }).collect::<Vec<_>>()
    };
    let mut all = only_in(new, old, true);
    all.extend(only_in(old, new, false));
    all
}

/// Other causes are another first one: shares move with each repair that is confirmed, and a few
/// percent more or less change no mind. A condition is another when it comes or goes.
fn causes(stage: Stage, old: &StageAssessment, new: &StageAssessment) -> Option<CauseChange> {
    let is_same = old.abstained == new.abstained
        && first_cause(old) == first_cause(new)
        && likely_conditions(old) == likely_conditions(new)
        && old.complaints == new.complaints;
    (!is_same).then(|| CauseChange { stage, before: named(old), after: named(new) })
}

/// The likeliest cause; the engine gives it first.
fn first_cause(stage: &StageAssessment) -> Option<&str> {
    stage.causes.first().map(|it| it.cause.as_str())
}

/// The conditions that hold rather than not.
fn likely_conditions(stage: &StageAssessment) -> BTreeSet<&str> {
    let likely = stage.conditions.iter().filter(|it| LIKELY <= it.probability);
    likely.map(|it| it.condition.as_str()).collect()
}

/// Causes and conditions for people: `low charge, 82 %`; then what they say of complaints.
fn named(stage: &StageAssessment) -> Vec<String> {
    let words = |name: &str, share: f64| {
        format!("{}, {:.0} %", name.replace('_', " ").replace('+', " and "), 100.0 * share)
    };
    let causes = stage.causes.iter().map(|it| words(&it.cause, it.probability));
    let conditions = stage.conditions.iter().map(|it| words(&it.condition, it.probability));
    let complaints = stage.complaints.iter().map(|it| it.reason.clone());
    causes.chain(conditions).chain(complaints).chain(stage.abstained.clone()).collect()
}

/// How many verdicts of one measure would go from one outcome to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TallyRow {
    /// The measure.
    pub measure: String,
    /// What stands.
    pub before: Outcome,
    /// What would stand; the same where only a value, a limit or a reason would be another.
    pub after: Outcome,
    /// How many.
    pub verdicts: usize,
}

/// The sum of many visits' differences, by measure and outcomes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    rows: Vec<TallyRow>,
}

impl Tally {
    /// Adds one visit's differences.
    pub fn add(&mut self, differences: &Differences) {
        for change in &differences.verdicts {
            let (before, after) = (change.outcome_before(), change.outcome_after());
            let same = |it: &&mut TallyRow| {
                it.measure == change.measure && it.before == before && it.after == after
            };
            match self.rows.iter_mut().find(same) {
                Some(row) => row.verdicts += 1,
                None => self.rows.push(TallyRow {
                    measure: change.measure.clone(),
                    before,
                    after,
                    verdicts: 1,
                }),
            }
        }
    }

    /// The rows, measure by measure as they were first met, the most first within one.
    #[must_use]
    pub fn rows(&self) -> Vec<TallyRow> {
        let met = |measure: &str| self.rows.iter().position(|it| it.measure == measure);
        let mut rows = self.rows.clone();
        rows.sort_by_key(|it| (met(&it.measure), std::cmp::Reverse(it.verdicts)));
        rows
    }
}
