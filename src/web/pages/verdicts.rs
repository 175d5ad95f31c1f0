//! Verdicts as pages show them: word, shape, colour, strip and one sentence.

use serde_json::Value;

use crate::engine::assessment::{Assessment, Doubt, Outcome, StageAssessment, Verdict};
use crate::engine::measures::{MEASURES, MeasureInfo, measure};
use crate::web::{display, drawing};

/// A verdict, ready to be shown.
#[derive(Clone, Debug)]
pub(in crate::web) struct VerdictView {
    pub(in crate::web) measure: &'static str,
    pub(in crate::web) label: &'static str,
    pub(in crate::web) class: &'static str,
    pub(in crate::web) mark: String,
    pub(in crate::web) strip: String,
    pub(in crate::web) value: String,
    pub(in crate::web) limits: String,
    pub(in crate::web) reason: String,
    pub(in crate::web) source: String,
    pub(in crate::web) outcome: Outcome,
}

/// A stored judgement as the engine gave it. One that can't be read is treated as none: an old
/// shape must not take the page down.
pub(in crate::web) fn assessment(output: &Value) -> Option<Assessment> {
    serde_json::from_value(output.clone()).ok()
}

/// A verdict with the words of its measure.
pub(in crate::web) fn view(verdict: &Verdict) -> Option<VerdictView> {
    let info = measure(&verdict.measure)?;
    Some(VerdictView {
        measure: info.key,
        label: info.label,
        class: drawing::class(verdict.outcome),
        mark: drawing::mark(verdict.outcome),
        strip: drawing::strip(info, verdict),
        value: verdict
            .value
            .map_or_else(String::new, |it| display::with_unit(it, info.decimals, info.unit)),
        limits: limits(info, verdict),
        reason: verdict.reason.clone(),
        source: verdict.source.clone(),
        outcome: verdict.outcome,
    })
}

/// The allowed band in words.
fn limits(info: &MeasureInfo, verdict: &Verdict) -> String {
    let number = |it: f64| display::number(it, info.decimals);
    match (verdict.low, verdict.high) {
        (Some(low), Some(high)) => format!("{} to {} {}", number(low), number(high), info.unit),
        (Some(low), None) => format!("at least {} {}", number(low), info.unit),
        (None, Some(high)) => format!("at most {} {}", number(high), info.unit),
        (None, None) => String::new(),
    }
}

/// All verdicts of a stage in the order of the sheet, those that were not taken left out.
pub(in crate::web) fn taken(stage: &StageAssessment) -> Vec<VerdictView> {
    let judged = stage.verdicts.iter().filter(|it| it.outcome != Outcome::NotTaken);
    let mut all: Vec<VerdictView> = judged.filter_map(view).collect();
    all.sort_by_key(|it| MEASURES.iter().position(|info| info.key == it.measure));
    all
}

/// A doubt in one sentence.
pub(in crate::web) fn doubt(doubt: &Doubt) -> String {
    match &doubt.perhaps {
        Some(perhaps) => format!("{} Perhaps: {}", sentence(&doubt.reason), sentence(perhaps)),
        None => sentence(&doubt.reason),
    }
}

/// A first capital and a full stop.
pub(in crate::web) fn sentence(text: &str) -> String {
    let mut letters = text.trim().chars();
    let Some(first) = letters.next() else { return String::new() };
    let mut whole: String = first.to_uppercase().chain(letters).collect();
    if !whole.ends_with(['.', '!', '?']) {
        whole.push('.');
    }
    whole
}
