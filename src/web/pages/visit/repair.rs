//! What a repair found to be the matter at a visit, beside what was predicted there.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::visit_page;
use crate::actions::{self, ActionError, Confirmation};
use crate::domain::confirmed_cause::{label, word, words};
use crate::domain::form::Form;
use crate::domain::refusal::Refusal;
use crate::engine::causes::{CAUSES, CauseName};
use crate::store::{ConfirmedCause, Finding, Judgement, StoreError, Tx, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::page_with;
use crate::web::pages::likely::percent;
use crate::web::pages::verdicts;
use crate::web::viewer::Viewer;

/// Causes of a prediction that are shown; the others are unlikely.
const CAUSES_SHOWN_MAX: usize = 3;

/// The part of a visit's page about what the repair found.
#[derive(Template)]
#[template(path = "parts/repair_found.html")]
pub(super) struct RepairFound {
    visit: Uuid,
    answers: Vec<Answer>,
    predicted: Option<Predicted>,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
    id: Uuid,
    seen: i64,
}

/// One answer, ready to be shown.
struct Answer {
    what: String,
    finding: String,
    who: String,
    at: String,
    remark: String,
}

/// What the engine said when the visit was first answered, or says now if it was not.
struct Predicted {
    causes: Vec<(String, String)>,
    /// Why no cause was named; empty if one was.
    nothing: String,
    versions: String,
    at: String,
}

impl RepairFound {
    /// The answer that counts.
    fn newest(&self) -> Option<&Answer> {
        self.answers.first()
    }

    /// Those before it.
    fn earlier(&self) -> &[Answer] {
        self.answers.get(1..).unwrap_or_default()
    }
}

/// What stands about a visit whose sheet is in; nothing before that.
pub(super) async fn repair_found(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: &Visit,
    (findings, form): (&[Finding], &Form),
) -> Result<Option<RepairFound>, StoreError> {
    if !visit.state.is_in() {
        return Ok(None);
    }
    let answers = tx.confirmed_causes_of(visit.number).await?;
    let number = answers.last().map_or(visit.assessment_number, |it| it.assessment_number);
    let judgement = match number {
        Some(number) => Some(tx.judgement_at(visit.number, number).await?),
        None => None,
    };
    let zone = &viewer.company.time_zone;
    let seen = answers.first().map_or(0, |it| it.number);
    Ok(Some(RepairFound {
        visit: visit.id,
        predicted: judgement.and_then(|it| predicted(&it, zone)),
        fields: fields(form, findings),
        faults: faults(form),
        id: new_id(form, viewer.now),
        seen: form.typed("seen").parse().unwrap_or(seen),
        answers: answers.iter().map(|it| answer(it, zone)).collect(),
    }))
}

fn answer(confirmed: &ConfirmedCause, zone: &str) -> Answer {
    Answer {
        what: words(&confirmed.cause),
        finding: confirmed.finding_subject.clone().unwrap_or_default(),
        who: confirmed.person_name.clone(),
        at: display::instant(confirmed.at, zone),
        remark: confirmed.remark.clone(),
    }
}

fn predicted(judgement: &Judgement, zone: &str) -> Option<Predicted> {
    let assessment = verdicts::assessment(&judgement.output.0)?;
    let stage = &assessment.as_found;
    let causes = stage.causes.iter().take(CAUSES_SHOWN_MAX);
    let nothing = stage.abstained.as_deref().unwrap_or("no cause was named");
    Some(Predicted {
        causes: causes.map(|it| (words(&it.cause), percent(it.probability))).collect(),
        nothing: if stage.causes.is_empty() { verdicts::sentence(nothing) } else { String::new() },
        versions: format!(
            "engine {}, limits {}, priors {}",
            assessment.engine, assessment.rules, assessment.priors
        ),
        at: display::instant(judgement.at, zone),
    })
}

fn fields(form: &Form, findings: &[Finding]) -> Vec<Field> {
    let choice = |key: &str, words: &str| (key.to_owned(), words.to_owned());
    let causes = CAUSES.iter().map(|it| choice(it.key, label(it.name)));
    let faults = CAUSES.iter().filter(|it| it.name != CauseName::NoFault);
    let mut first = vec![choice("", "Choose…")];
    first.extend(causes);
    let mut second = vec![choice("", "Nothing else")];
    second.extend(faults.map(|it| choice(it.key, it.label)));
    let mut all = vec![
        Field::choice(form, "cause", "What was the matter", first).needed(),
        Field::choice(form, "second", "And at the same time", second),
    ];
    if !findings.is_empty() {
        let mut answered = vec![choice("", "None of them")];
        answered.extend(findings.iter().map(|it| (it.id.to_string(), it.subject.clone())));
        all.push(Field::choice(form, "finding", "The finding that it answers", answered));
    }
    let hint = "What was seen, measured or replaced. It stays beside the answer.";
    all.push(Field::lines(form, "remark", "Remark").with_hint(hint));
    all
}

/// What a sent form says was the matter.
fn cause_of(form: &mut Form) -> String {
    let first = CauseName::of_key(form.typed("cause"));
    let second = form.typed("second");
    let answer = match (first, second, CauseName::of_key(second)) {
        (Some(first), "", _) => word(first, None),
        (Some(first), _, Some(second)) => word(first, Some(second)),
        _ => Err(Refusal::CauseMissing),
    };
    answer.unwrap_or_else(|refusal| {
        form.refuse(refusal.field(), refusal.to_string());
        String::new()
    })
}

/// The finding that a sent form says was answered; none where none was chosen.
fn finding_of(form: &mut Form) -> Option<Uuid> {
    let typed = form.typed("finding");
    if typed.is_empty() {
        return None;
    }
    let finding = typed.parse().ok();
    if finding.is_none() {
        let refusal = Refusal::NoSuchFinding;
        form.refuse(refusal.field(), refusal.to_string());
    }
    finding
}

/// Records what the repair found. By the one who was there, or by the office.
pub(in crate::web) async fn confirm_cause(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_in() {
        return Err(Error::Refused(Refusal::WrongState(visit.state).to_string()));
    }
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    let (cause, finding) = (cause_of(&mut form), finding_of(&mut form));
    if form.is_good() {
        let confirmation = Confirmation {
            id: new_id(&form, viewer.now),
            cause,
            finding,
            remark: form.typed("remark").to_owned(),
            seen: form.typed("seen").parse().unwrap_or(0),
        };
        match actions::confirm_cause(&mut tx, &visit, &confirmation, viewer.by()).await {
            Ok(()) => {
                tx.commit().await?;
                return Ok(Redirect::to(&format!("/visits/{id}#repair")).into_response());
            }
            Err(ActionError::Refused(refusal)) => {
                if matches!(refusal, Refusal::ConfirmedMeanwhile(_)) {
                    status = StatusCode::CONFLICT;
                    // What stands now is on the page that comes back, so it counts as seen.
                    form.forget("seen");
                }
                let field = match &refusal {
                    Refusal::TextTooLong => "remark",
                    other => other.field(),
                };
                form.refuse(field, refusal.to_string());
            }
            Err(ActionError::Store(fault)) => return Err(fault.into()),
        }
    }
    drop(tx);
    let mut tx = app.store.read().await?;
    page_with(status, &visit_page(&mut tx, &viewer, visit, &form).await?)
}
