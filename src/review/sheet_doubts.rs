//! Which sheet the owner should look at first: what the engine, the sheet's own gaps and its past
//! give to doubt, each with its reason. Weights are judgement, no source: they only order a list.

use std::cmp::Reverse;

use crate::engine::assessment::{
    Assessment, DoubtKind, Outcome, RepairOutcome, StageAssessment, Verdict,
};
use crate::engine::causes::words;
use crate::engine::measures;

/// What is known of a sheet that came in.
#[derive(Clone, Debug, Default)]
pub struct SheetFacts<'a> {
    /// What the engine said; nothing if it could not judge.
    pub assessment: Option<&'a Assessment>,
    /// The hazards on it, in words.
    pub hazards: Vec<String>,
    /// Values that can't be and were left so.
    pub impossible: usize,
    /// What it needs and lacks, in words.
    pub missing: Vec<String>,
    /// Whether something was repaired, or proposed to the customer.
    pub is_acted_on: bool,
    /// Entries that came after it had been handed in.
    pub late: usize,
}

/// How doubtful a sheet is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Doubted {
    /// Whether a hazard is on it: it comes before all others.
    pub is_hazard: bool,
    /// Whether nothing could be judged: it comes next.
    pub is_unjudged: bool,
    /// The sum of all weights.
    pub score: u32,
    /// Why, the weightiest first.
    pub reasons: Vec<String>,
}

impl Doubted {
    /// What a list is sorted by: the most doubtful first.
    #[must_use]
    pub fn order(&self) -> (Reverse<bool>, Reverse<bool>, Reverse<u32>) {
        (Reverse(self.is_hazard), Reverse(self.is_unjudged), Reverse(self.score))
    }
}

const HAZARD: u32 = 1_000;
const UNJUDGED: u32 = 300;
const IMPOSSIBLE: u32 = 40;
const SUSPICIOUS: u32 = 25;
const CAUSE_LEFT: u32 = 20;
const NO_CHARGE: u32 = 15;
const OUTSIDE: u32 = 10;
const MISSING: u32 = 8;
const LATE: u32 = 5;
const TOO_CLOSE: u32 = 3;

/// The measures by which a charge is judged.
const OF_CHARGE: &[&str] = &["subcooling_f", "superheat_f"];
/// A cause that is likelier than not should have led to something.
const LIKELIER_THAN_NOT: f64 = 0.5;
/// Names that a reason spells out.
const NAMED_MAX: usize = 3;

/// Weighs a sheet.
#[must_use]
pub fn weigh(facts: &SheetFacts<'_>) -> Doubted {
    let mut all: Vec<(u32, String)> = Vec::new();
    all.extend(facts.hazards.iter().map(|it| (HAZARD, format!("Hazard: {it}"))));
    match facts.assessment {
        Some(assessment) => {
            all.extend(doubts(assessment));
            all.extend(verdicts(assessment));
            all.extend(cause_left(assessment, facts.is_acted_on));
        }
        None => all.push((UNJUDGED, "Nothing could be judged".to_owned())),
    }
    all.extend(counted(
        IMPOSSIBLE,
        facts.impossible,
        "value that can’t be",
        "values that can’t be",
    ));
    all.extend(listed(MISSING, "Needed, and missing with a reason", &facts.missing));
    let late = ("entry after it was handed in", "entries after it was handed in");
    all.extend(counted(LATE, facts.late, late.0, late.1));
    all.sort_by_key(|it| Reverse(it.0));
    Doubted {
        is_hazard: !facts.hazards.is_empty(),
        is_unjudged: facts.assessment.is_none(),
        score: all.iter().map(|it| it.0).sum(),
        reasons: all.into_iter().map(|it| it.1).collect(),
    }
}

/// Readings that can't be, or are suspicious, once each.
fn doubts(assessment: &Assessment) -> Vec<(u32, String)> {
    let mut all: Vec<(u32, String)> = Vec::new();
    for doubt in assessment.as_found.doubts.iter().chain(&assessment.as_left.doubts) {
        let one = match doubt.kind {
            DoubtKind::Impossible => (IMPOSSIBLE, format!("Can’t be: {}", doubt.reason)),
            DoubtKind::Suspicious => (SUSPICIOUS, format!("Suspicious: {}", doubt.reason)),
        };
        if !all.contains(&one) {
            all.push(one);
        }
    }
    all
}

/// How each measure stands at last: as left where it was read again, as found otherwise.
fn at_last(assessment: &Assessment) -> Vec<&Verdict> {
    let taken = |stage: &'_ StageAssessment, measure: &str| {
        stage.verdicts.iter().any(|it| it.measure == measure && it.outcome != Outcome::NotTaken)
    };
    let left = assessment.as_left.verdicts.iter().filter(|it| it.outcome != Outcome::NotTaken);
    let found = assessment.as_found.verdicts.iter();
    found.filter(|it| !taken(&assessment.as_left, &it.measure)).chain(left).collect()
}

fn verdicts(assessment: &Assessment) -> Vec<(u32, String)> {
    let last = at_last(assessment);
    let of = |outcome: Outcome| -> Vec<String> {
        last.iter().filter(|it| it.outcome == outcome).map(|it| label(&it.measure)).collect()
    };
    let mut all = listed(OUTSIDE, "Outside and not put right", &of(Outcome::Outside));
    all.extend(listed(TOO_CLOSE, "Too close to call", &of(Outcome::TooClose)));
    let charge = last
        .iter()
        .find(|it| it.outcome == Outcome::NotValid && OF_CHARGE.contains(&it.measure.as_ref()));
    if let Some(verdict) = charge {
        all.push((NO_CHARGE, format!("The charge could not be judged: {}", verdict.reason)));
    }
    all
}

/// The likeliest cause as found, if it is likely and nothing was done about it.
fn cause_left(assessment: &Assessment, is_acted_on: bool) -> Option<(u32, String)> {
    let first = assessment.as_found.causes.first()?;
    let is_likely = first.cause != "no_fault" && LIKELIER_THAN_NOT <= first.probability;
    let is_repaired = assessment
        .repair
        .as_ref()
        .is_some_and(|it| matches!(it.outcome, RepairOutcome::Worked | RepairOutcome::Overshot));
    (is_likely && !is_repaired && !is_acted_on).then(|| {
        (
            CAUSE_LEFT,
            format!("Likely, and nothing done about it: {}", words::short_label(&first.cause)),
        )
    })
}

fn label(measure: &str) -> String {
    measures::measure(measure).map_or(measure, |it| it.label).to_owned()
}

/// One reason for some things, weighed by each: the first are named, the rest are counted.
fn listed(weight: u32, what: &str, names: &[String]) -> Vec<(u32, String)> {
    if names.is_empty() {
        return Vec::new();
    }
    let rest = names.len().saturating_sub(NAMED_MAX);
    let words = names.iter().take(NAMED_MAX).cloned().collect::<Vec<_>>().join(", ");
    let rest = if rest > 0 { format!(" and {rest} more") } else { String::new() };
    vec![(times(weight, names.len()), format!("{what}: {words}{rest}"))]
}

fn counted(weight: u32, count: usize, one: &str, more: &str) -> Option<(u32, String)> {
    let words = if count == 1 { one } else { more };
    (count > 0).then(|| (times(weight, count), format!("{count} {words}")))
}

fn times(weight: u32, count: usize) -> u32 {
    weight.saturating_mul(u32::try_from(count).unwrap_or(u32::MAX))
}
