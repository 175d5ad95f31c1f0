//! Judging a visit: the document goes to the engine, its answer and its findings to the store.

use serde_json::Value;
use time::OffsetDateTime;
use uuid::Uuid;

use super::ActionError;
use super::closing::close;
use super::document::{Sheet, document_of, in_place, sheets};
use super::enter::Typed;
use super::judge_again::{Again, OnRecord, judged_again};
use super::meaning::{Meaning, meaning};
use super::standards::{Standards, standards};
use crate::domain::finding::{self, Severity};
use crate::domain::nameplate::Part;
use crate::engine::assessment::{Assessment, Outcome, StageAssessment};
use crate::engine::case::{CaseError, read_case};
use crate::engine::limits_sheet::{LimitsSheet, limits_sheet};
use crate::engine::{assess, measures};
use crate::review::rejudgement::{differences, other_limits};
use crate::store::{
    By, Component, Finding, Mark, NewFinding, NewJudgement, Reading, StoreError, Tx, Visit,
};

/// What the engine says of a visit as it stands now; writes nothing.
///
/// # Errors
/// As the store has them; inside, why the engine can't take the document (a plate without a
/// refrigerant, say).
pub async fn judged(
    tx: &mut Tx,
    visit: &Visit,
) -> Result<(Value, Result<Assessment, CaseError>), StoreError> {
    judged_as_typed(tx, visit, &[], OffsetDateTime::UNIX_EPOCH).await
}

/// The same as it would stand with some fields as they are being typed, at `now`; writes nothing.
///
/// # Errors
/// As those of [`judged`].
pub async fn judged_as_typed(
    tx: &mut Tx,
    visit: &Visit,
    drafts: &[Typed],
    now: OffsetDateTime,
) -> Result<(Value, Result<Assessment, CaseError>), StoreError> {
    let standards = standards(tx).await?;
    let mut sheet = sheets(tx, vec![visit.clone()]).await?.pop().ok_or(StoreError::NotFound)?;
    for draft in drafts {
        lay_over(&mut sheet, draft, now);
    }
    let input = document_of(&sheet, standards.priors.as_ref());
    let answer = read_case(&input).map(|case| assess(&case, &standards.book));
    Ok((input, answer))
}

/// What a phone judges a visit's readings by while the engine is out of reach; nothing where the
/// engine could not take the document either.
///
/// # Errors
/// As the store has them.
pub async fn limits_sheet_of(
    tx: &mut Tx,
    visit: &Visit,
) -> Result<Option<LimitsSheet>, StoreError> {
    let standards = standards(tx).await?;
    let sheet = sheets(tx, vec![visit.clone()]).await?.pop().ok_or(StoreError::NotFound)?;
    let case = read_case(&document_of(&sheet, standards.priors.as_ref()));
    Ok(case.ok().map(|case| limits_sheet(&case, &standards.book)))
}

/// Lays what is being typed over what stands: what can't be takes the reading away.
fn lay_over(sheet: &mut Sheet, draft: &Typed, now: OffsetDateTime) {
    let (stage, field) = (draft.stage, &draft.field);
    let value = match meaning(field, &draft.text) {
        Ok(Meaning::Value(value)) => value,
        Ok(Meaning::Word(value)) => {
            sheet.marks.retain(|it| it.stage != stage || it.field != *field);
            sheet.marks.push(Mark { stage, field: field.clone(), value });
            return;
        }
        Ok(Meaning::Impossible(_)) | Err(_) => None,
    };
    let before = sheet.readings.iter().find(|it| it.stage == stage && it.point == *field);
    let taken_at = before.map_or(now, |it| it.taken_at);
    sheet.readings.retain(|it| it.stage != stage || it.point != *field);
    let reading = Reading { stage, take: 1, point: field.clone(), value, taken_at };
    sheet.readings.push(reading);
}

/// Judges a visit by today's rules, keeps the judgement and brings its findings up to it, and what
/// closes it up to what the sheet says: a correction changes the one as well as the other.
///
/// # Errors
/// As the store has them.
pub(super) async fn judge(tx: &mut Tx, visit: &Visit, by: By) -> Result<(), ActionError> {
    // Held, so that a correction beside it can't be judged away by readings of before.
    tx.hold_visit(visit.id).await?;
    let again = judged_again(tx, visit).await?;
    keep(tx, &again, by).await?;
    close(tx, visit, by).await
}

/// Keeps a judgement that was worked out: a new row, and findings that follow it. Findings that
/// are made again stay as they are, those that are no longer made are withdrawn, and new ones are
/// added: nothing is deleted.
pub(super) async fn keep(tx: &mut Tx, again: &Again, by: By) -> Result<(), ActionError> {
    let visit = &again.visit;
    if let Some(assessment) = &again.after {
        let output = serde_json::to_value(assessment)
            .map_err(|fault| StoreError::Fault(fault.to_string()))?;
        let judgement = NewJudgement {
            input: &again.input,
            output: &output,
            engine: &assessment.engine,
            rules: &assessment.rules,
            priors: &assessment.priors,
        };
        tx.insert_judgement(visit.number, by.at, judgement).await?;
    } else {
        // What was said under other plates no longer holds; the rows stay.
        tx.set_unjudged(visit.number).await?;
    }
    for old in &again.withdrawn {
        tx.withdraw_finding(old.id, by.at).await?;
    }
    for new in &again.raised {
        tx.insert_finding((visit.id, visit.system_id), visit.day, new, by.at).await?;
    }
    Ok(())
}

/// Works a visit's judgement out from all that it needs, and what it would change.
pub(super) fn consider(record: OnRecord, standards: &Standards) -> Again {
    let OnRecord { sheet, standing, before } = record;
    let input = document_of(&sheet, standards.priors.as_ref());
    let Sheet { visit, components, marks, .. } = sheet;
    let after = read_case(&input).map(|case| assess(&case, &standards.book));
    let mut raised = after.as_ref().map_or_else(|_| Vec::new(), findings_of_verdicts);
    raised.extend(findings_of_marks(&marks));
    let same = |old: &Finding, new: &Raised| {
        old.raised_by == new.by && old.fixed == new.fixed && old.text == new.text
    };
    let (kept, withdrawn): (Vec<Finding>, Vec<Finding>) =
        standing.into_iter().partition(|old| raised.iter().any(|new| same(old, new)));
    let new = raised.into_iter().filter(|new| !kept.iter().any(|old| same(old, new)));
    let raised = new.map(|it| new_finding(&visit, &components, it)).collect();
    let (after, unjudged) = match after {
        Ok(assessment) => (Some(assessment), String::new()),
        Err(fault) => (None, fault.message),
    };
    let (old, new) = (before.as_ref(), after.as_ref());
    let (differences, other_limits) = (differences(old, new), other_limits(old, new));
    Again { visit, input, after, unjudged, differences, other_limits, raised, withdrawn }
}

/// A finding before it knows its component; `by` is what raised it.
struct Raised {
    by: String,
    subject: finding::Subject,
    text: String,
    fixed: bool,
}

fn findings_of_verdicts(assessment: &Assessment) -> Vec<Raised> {
    let outside = |stage: &StageAssessment| -> Vec<(String, String)> {
        let verdicts = stage.verdicts.iter().filter(|it| it.is_alarm());
        verdicts.map(|it| (it.measure.to_string(), it.reason.clone())).collect()
    };
    let left = |measure: &str| {
        assessment.as_left.verdicts.iter().find(|it| it.measure == measure).map(|it| it.outcome)
    };
    let found: Vec<(String, String)> = outside(&assessment.as_found);
    let mut raised: Vec<Raised> = Vec::new();
    for (measure, reason) in &found {
        let fixed = left(measure) == Some(Outcome::Within);
        raised.push(raise(measure, reason, fixed));
    }
    for (measure, reason) in outside(&assessment.as_left) {
        if !found.iter().any(|it| it.0 == measure) {
            raised.push(raise(&measure, &reason, false));
        }
    }
    raised
}

fn raise(measure: &str, reason: &str, fixed: bool) -> Raised {
    let label = measures::measure(measure).map_or(measure, |info| info.label);
    Raised {
        by: measure.to_owned(),
        subject: finding::of_measure(measure, label),
        text: reason.to_owned(),
        fixed,
    }
}

fn findings_of_marks(marks: &[Mark]) -> Vec<Raised> {
    let remark = |key: &str| {
        let Some(observation) = key.strip_prefix("observe.") else { return "" };
        let field = format!("remark.{observation}");
        marks.iter().find(|mark| mark.field == field).map_or("", |mark| mark.value.as_str())
    };
    let bad = marks.iter().filter(|mark| {
        let observed = mark.field.starts_with("observe.")
            && matches!(mark.value.as_str(), "fixed" | "attention");
        observed || (mark.field.starts_with("hazard.") && !mark.value.is_empty())
    });
    bad.filter_map(|mark| {
        Some(Raised {
            by: mark.field.clone(),
            subject: finding::of_field(&mark.field)?,
            text: remark(&mark.field).to_owned(),
            fixed: mark.value == "fixed",
        })
    })
    .collect()
}

fn new_finding(visit: &Visit, components: &[Component], raised: Raised) -> NewFinding {
    NewFinding {
        raised_by: raised.by,
        subject: raised.subject.words,
        severity: severity(raised.subject.severity, raised.fixed),
        text: raised.text,
        fixed: raised.fixed,
        component_id: component_of(visit, components, raised.subject.part),
    }
}

/// What was put right on the spot needs no repair any more, only watching; a hazard stays one.
fn severity(severity: Severity, fixed: bool) -> Severity {
    if fixed && severity == Severity::Repair { Severity::Watch } else { severity }
}

/// The component of that part as it was met: of one replaced on the day, the old one.
fn component_of(visit: &Visit, components: &[Component], part: Part) -> Option<Uuid> {
    let mut there: Vec<&Component> =
        in_place(visit.day, components).filter(|component| component.part == part).collect();
    there.sort_by_key(|component| component.removed_on.is_none());
    there.first().map(|component| component.id)
}
