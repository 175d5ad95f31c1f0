//! What is probably the matter, as pages show it: a name, how likely, what speaks for it and
//! against it, and the next reading.

use super::verdicts::sentence;
use crate::engine::assessment::{Assessment, Condition, StageAssessment};
use crate::engine::conditions::{ComplaintName, ConditionName};
use crate::engine::likely::{Likelihood, in_hundred, label, labels};
use crate::web::drawing;

/// A named thing with its probability, ready to be shown by `parts/likely.html`.
#[derive(Clone, Debug)]
pub(in crate::web) struct LikelyView {
    pub(in crate::web) name: String,
    /// Gives it its ink.
    pub(in crate::web) class: &'static str,
    /// Word and shape.
    pub(in crate::web) mark: String,
    pub(in crate::web) bar: String,
    pub(in crate::web) hundredths: String,
    /// Labels of what speaks for it and against it; empty where nothing does.
    pub(in crate::web) speaks_for: String,
    pub(in crate::web) speaks_against: String,
    /// Label of the next reading; empty where none would tell.
    pub(in crate::web) next: String,
}

impl LikelyView {
    /// A thing of this name; `next` is the key of a reading.
    pub(in crate::web) fn new(
        name: String,
        probability: f64,
        (speaks_for, speaks_against): (&[String], &[String]),
        next: Option<&str>,
    ) -> Self {
        let likelihood = Likelihood::of(probability);
        Self {
            name,
            class: drawing::chance_class(likelihood),
            mark: drawing::chance_mark(likelihood),
            bar: drawing::chance_bar(probability),
            hundredths: format!("{} in 100", in_hundred(probability)),
            speaks_for: labels(speaks_for),
            speaks_against: labels(speaks_against),
            next: next.map_or_else(String::new, |it| label(it).unwrap_or(it).to_owned()),
        }
    }

    fn of_condition(condition: &Condition) -> Self {
        let name = ConditionName::of_key(&condition.condition);
        let name = name.map_or(condition.condition.as_str(), |it| it.info().label).to_owned();
        let evidence = (condition.evidence_for.as_slice(), [].as_slice());
        Self::new(name, condition.probability, evidence, condition.tell_apart.as_deref())
    }
}

/// Conditions and complaints of one stage.
#[derive(Clone, Debug)]
pub(in crate::web) struct StageLikely {
    /// The stage in words.
    pub(in crate::web) stage: &'static str,
    pub(in crate::web) conditions: Vec<LikelyView>,
    /// What is complained of, and what would explain it.
    pub(in crate::web) complaints: Vec<(String, String)>,
}

/// Conditions and complaints of both stages; a stage without any is left out.
pub(in crate::web) fn stages(assessment: &Assessment) -> Vec<StageLikely> {
    let stages = [("As found", &assessment.as_found), ("As left", &assessment.as_left)];
    let all = stages.into_iter().map(|(stage, found)| of_stage(stage, found));
    all.filter(|it| !it.conditions.is_empty() || !it.complaints.is_empty()).collect()
}

fn of_stage(stage: &'static str, found: &StageAssessment) -> StageLikely {
    let complaints = found.complaints.iter().map(|it| {
        let name = ComplaintName::of_key(&it.complaint);
        let name = name.map_or(it.complaint.as_str(), |it| it.info().label).to_owned();
        (name, sentence(&it.reason))
    });
    StageLikely {
        stage,
        conditions: found.conditions.iter().map(LikelyView::of_condition).collect(),
        complaints: complaints.collect(),
    }
}
