//! An assessment as text for a person.

use std::fmt::Write as _;

use crate::engine::assessment::{
    Assessment, Cause, Condition, DoubtKind, Outcome, Repair, RepairOutcome, StageAssessment,
};
use crate::engine::causes::{compared, words};
use crate::engine::conditions::{ComplaintName, ConditionName};
use crate::engine::likely::{CAUTION, Likelihood, in_hundred, labels, reading_label};
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
    if let Some(repair) = &assessment.repair {
        line(&mut text, "\nDid it work");
        repair_text(&mut text, repair);
    }
    let Assessment { engine, rules, priors, .. } = assessment;
    line(&mut text, &format!("\nEngine {engine}, limit book {rules}, priors {priors}."));
    line(&mut text, CAUTION);
    text
}

fn stage_text(text: &mut String, stage: &StageAssessment) {
    for doubt in &stage.doubts {
        let kind = match doubt.kind {
            DoubtKind::Impossible => "impossible",
            DoubtKind::Suspicious => "suspicious",
        };
        told(text, kind, &doubt.reason);
        if let Some(perhaps) = &doubt.perhaps {
            told(text, "", &format!("Perhaps {perhaps}."));
        }
    }
    for verdict in &stage.verdicts {
        let mut reason = verdict.reason.clone();
        if matches!(verdict.outcome, Outcome::NotTaken | Outcome::NotValid) {
            let label = measures::measure(&verdict.measure).map_or("", |it| it.label);
            reason = format!("{label}: {reason}");
        }
        told(text, outcome_words(verdict.outcome), &reason);
    }
    causes_text(text, stage);
    for condition in &stage.conditions {
        condition_text(text, condition);
    }
    for complaint in &stage.complaints {
        let name = ComplaintName::of_key(&complaint.complaint);
        let name = name.map_or(complaint.complaint.as_str(), |it| it.info().label);
        told(text, "complaint", &format!("{name}. {}", complaint.reason));
    }
}

/// The causes worth a line, what they were held against, or why none is named.
fn causes_text(text: &mut String, stage: &StageAssessment) {
    if let Some(reason) = &stage.abstained {
        told(text, "no causes", reason);
    }
    for (place, cause) in stage.causes.iter().enumerate() {
        if place == 0 || words::TOLD_FROM <= cause.probability {
            cause_text(text, stage, cause);
        }
    }
    for sentence in words::alike(stage) {
        told(text, "", sentence);
    }
    let healthy = compared::healthy(stage);
    if !healthy.is_empty() {
        let all: Vec<String> =
            healthy.iter().map(|(label, value)| format!("{label} {value}")).collect();
        told(text, "healthy", &format!("{}.", all.join("; ")));
        told(text, "", &compared::held_against(stage));
    }
    for left_out in compared::left_out(stage) {
        told(text, "left out", &left_out);
    }
}

/// How likely, what, how bad, why, and what would settle it.
fn cause_text(text: &mut String, stage: &StageAssessment, cause: &Cause) {
    let name = words::label(&cause.cause);
    let percent = in_hundred(cause.probability);
    let severity = cause.severity.as_ref();
    let severity =
        severity.map_or_else(String::new, |it| format!(": {}", words::severity(&cause.cause, it)));
    let likelihood = Likelihood::of(cause.probability).words();
    told(text, likelihood, &format!("{name} ({percent} %){severity}."));
    for (way, keys) in [("for", &cause.evidence_for), ("against", &cause.evidence_against)] {
        for key in keys {
            let beside = compared::beside_healthy(stage, key);
            told(text, "", &format!("Speaks {way} it: {beside}."));
        }
    }
    next_text(text, cause.tell_apart.as_deref());
}

/// How likely, what, why, and what would settle it.
fn condition_text(text: &mut String, condition: &Condition) {
    let name = ConditionName::of_key(&condition.condition);
    let name = name.map_or(condition.condition.as_str(), |it| it.info().label);
    let likelihood = Likelihood::of(condition.probability).words();
    let percent = in_hundred(condition.probability);
    let why = labels(&condition.evidence_for);
    told(text, likelihood, &format!("{name} ({percent} %). Speaks for it: {why}."));
    next_text(text, condition.tell_apart.as_deref());
}

fn next_text(text: &mut String, next: Option<&str>) {
    if let Some(next) = next {
        told(text, "", &format!("Would settle it: {}.", reading_label(next)));
    }
}

fn repair_text(text: &mut String, repair: &Repair) {
    let outcome = match repair.outcome {
        RepairOutcome::Worked => "worked",
        RepairOutcome::DidNotWork => "did not work",
        RepairOutcome::Overshot => "went too far",
        RepairOutcome::TooClose => "too close",
    };
    told(text, outcome, &format!("{}: {}.", words::label(&repair.cause), compared::gone(repair)));
    for it in compared::distances(repair) {
        let (label, found, left, u) = (it.label, it.found, it.left, it.u);
        told(text, "", &format!("{label}, from healthy: {found} as found, {left} as left ({u})."));
    }
}

/// A line with its word in front.
fn told(text: &mut String, word: &str, content: &str) {
    line(text, &format!("  {word:<14}{content}"));
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
