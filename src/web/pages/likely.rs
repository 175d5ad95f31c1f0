//! What is probably the matter, as pages show it: a name, how likely, what speaks for it and
//! against it, and the next reading.

use uuid::Uuid;

use super::verdicts::sentence;
use crate::domain::sheet;
use crate::engine::assessment::{Assessment, Condition, StageAssessment};
use crate::engine::conditions::{ComplaintName, ConditionName};
use crate::engine::likely::{Likelihood, in_hundred, label, reading_label};
use crate::web::marks;

/// A named thing with its probability, ready to be shown by `parts/likely.html`.
#[derive(Clone, Debug)]
pub(in crate::web) struct LikelyView {
    pub(in crate::web) name: String,
    /// Gives it its ink.
    pub(in crate::web) class: &'static str,
    /// Word and shape.
    pub(in crate::web) mark: String,
    pub(in crate::web) bar: String,
    pub(in crate::web) percent: String,
    /// How bad it is, in a sentence; empty where that is not known.
    pub(in crate::web) severity: String,
    /// What speaks for it and against it, one entry each.
    pub(in crate::web) speaks_for: Vec<String>,
    pub(in crate::web) speaks_against: Vec<String>,
    /// The reading that would tell most, if one would.
    pub(in crate::web) next: Option<NextReading>,
}

/// A reading that was not taken, and where the sheet has it.
#[derive(Clone, Debug)]
pub(in crate::web) struct NextReading {
    pub(in crate::web) label: String,
    /// Such as `block 9, Outdoor electrical`; empty where the sheet doesn't have it.
    pub(in crate::web) place: String,
    /// Where a press leads; empty where the sheet is closed.
    pub(in crate::web) way: String,
    block: usize,
    point: String,
}

impl NextReading {
    fn of(point: &str) -> Self {
        let block = sheet::block_of_point(point);
        let place = |it: &sheet::Block| format!("block {}, {}", it.number, it.title);
        Self {
            label: reading_label(point).to_owned(),
            place: block.map_or_else(String::new, place),
            way: String::new(),
            block: block.map_or(0, |it| it.number),
            point: point.to_owned(),
        }
    }
}

impl LikelyView {
    /// A thing of this name; `next` is the key of a reading.
    pub(in crate::web) fn new(
        name: String,
        probability: f64,
        (speaks_for, speaks_against): (Vec<String>, Vec<String>),
        next: Option<&str>,
    ) -> Self {
        let likelihood = Likelihood::of(probability);
        Self {
            name,
            class: marks::chance_class(likelihood),
            mark: marks::chance_mark(likelihood),
            bar: marks::chance_bar(probability),
            percent: percent(probability),
            severity: String::new(),
            speaks_for,
            speaks_against,
            next: next.map(NextReading::of),
        }
    }

    pub(in crate::web) fn of_condition(condition: &Condition) -> Self {
        let name = ConditionName::of_key(&condition.condition);
        let name = name.map_or(condition.condition.as_str(), |it| it.info().label).to_owned();
        let words = |key: &String| label(key).unwrap_or(key).to_owned();
        let evidence = (condition.evidence_for.iter().map(words).collect(), Vec::new());
        Self::new(name, condition.probability, evidence, condition.tell_apart.as_deref())
    }

    /// With the next reading one press away on the open sheet of a visit.
    pub(in crate::web) fn on_sheet(mut self, visit: Uuid) -> Self {
        if let Some(next) = self.next.as_mut().filter(|it| it.block > 0) {
            next.way = format!("/visits/{visit}/sheet#field-as_found.{}", next.point);
        }
        self
    }
}

/// A probability as whole percents, rounded down as its word is.
pub(in crate::web) fn percent(probability: f64) -> String {
    format!("{} %", in_hundred(probability))
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
    StageLikely {
        stage,
        conditions: found.conditions.iter().map(LikelyView::of_condition).collect(),
        complaints: complaints(found),
    }
}

/// What is complained of, each with what would explain it.
pub(in crate::web) fn complaints(found: &StageAssessment) -> Vec<(String, String)> {
    let complaints = found.complaints.iter().map(|it| {
        let name = ComplaintName::of_key(&it.complaint);
        let name = name.map_or(it.complaint.as_str(), |it| it.info().label).to_owned();
        (name, sentence(&it.reason))
    });
    complaints.collect()
}
