//! An assessment as text for a person.

use std::fmt::Write as _;

use crate::engine::assessment::{Assessment, Condition, DoubtKind, Outcome, StageAssessment};
use crate::engine::conditions::{ComplaintName, ConditionName};
use crate::engine::likely::{Likelihood, in_hundred, label, labels};
use crate::engine::measures;

/// The whole assessment.
pub(super) fn assessment_text(assessment: &Assessment) -> String {
    let mut text = String::new();
    line(&mut text, &format!("Visit {}", assessment.id));
    for (title, stage) in [("As found", &assessment.as_found), ("As left", &assessment.as_left)] {
        if !stage.is_empty() {
            line(&mut text, &format!("\n{title}"));
            stage_text(&mut text, stage);
        }
    }
    line(&mut text, &format!("\nEngine {}, limit book {}.", assessment.engine, assessment.rules));
    line(&mut text, "Advice to a qualified technician; the maker's instructions and the local");
    line(&mut text, "code come first. Search for leaks and check airflow before the charge.");
    text
}

fn stage_text(text: &mut String, stage: &StageAssessment) {
    for doubt in &stage.doubts {
        let kind = match doubt.kind {
            DoubtKind::Impossible => "impossible",
            DoubtKind::Suspicious => "suspicious",
        };
        line(text, &format!("  {kind:<14}{}", doubt.reason));
        if let Some(perhaps) = &doubt.perhaps {
            line(text, &format!("  {:<14}Perhaps {perhaps}.", ""));
        }
    }
    for verdict in &stage.verdicts {
        let mut told = verdict.reason.clone();
        if matches!(verdict.outcome, Outcome::NotTaken | Outcome::NotValid) {
            let label = measures::measure(&verdict.measure).map_or("", |it| it.label);
            told = format!("{label}: {told}");
        }
        line(text, &format!("  {:<14}{told}", outcome_words(verdict.outcome)));
    }
    for condition in &stage.conditions {
        condition_text(text, condition);
    }
    for complaint in &stage.complaints {
        let name = ComplaintName::of_key(&complaint.complaint);
        let name = name.map_or(complaint.complaint.as_str(), |it| it.info().label);
        line(text, &format!("  {:<14}{name}. {}", "complaint", complaint.reason));
    }
    if let Some(reason) = &stage.abstained {
        line(text, &format!("  {:<14}{reason}", "no causes"));
    }
}

/// How likely, what, why, and what would settle it.
fn condition_text(text: &mut String, condition: &Condition) {
    let name = ConditionName::of_key(&condition.condition);
    let name = name.map_or(condition.condition.as_str(), |it| it.info().label);
    let words = Likelihood::of(condition.probability).words();
    let hundredths = in_hundred(condition.probability);
    let why = labels(&condition.evidence_for);
    line(text, &format!("  {words:<14}{name} ({hundredths} in 100). Speaks for it: {why}."));
    if let Some(next) = &condition.tell_apart {
        let next = label(next).unwrap_or(next);
        line(text, &format!("  {:<14}Would settle it: {next}.", ""));
    }
}

fn line(text: &mut String, content: &str) {
    // Writing to a String can't fail.
    let _ = writeln!(text, "{content}");
}

/// The outcome in plain words.
fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Within => "within",
        Outcome::TooClose => "too close",
        Outcome::Outside => "OUTSIDE",
        Outcome::NotValid => "not valid",
        Outcome::NotTaken => "not taken",
    }
}
