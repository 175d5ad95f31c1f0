//! One proposal: its price, what the customer said so far, and writing down what they say now.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use crate::actions::{self, ActionError, Heard};
use crate::domain::closing::Answer;
use crate::domain::form::Form;
use crate::domain::refusal::Refusal;
use crate::store::{Proposal, ProposalAnswer, Tx, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/proposal.html")]
struct ProposalPage {
    frame: Frame,
    visit: Visit,
    day: String,
    shown: ProposalView,
    answers: Vec<AnswerLine>,
    /// The way to book the repair; empty where nothing is to be booked.
    booking: String,
    id: Uuid,
    seen: i64,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

/// A proposal, ready to be shown.
pub(in crate::web) struct ProposalView {
    pub(in crate::web) id: Uuid,
    pub(in crate::web) words: String,
    pub(in crate::web) price: String,
    pub(in crate::web) answer: String,
    /// The findings that it would put right.
    pub(in crate::web) puts_right: String,
}

/// One answer of the history.
struct AnswerLine {
    answer: String,
    who: String,
    at: String,
}

/// What is to pay; with a plan's discount both prices.
pub(in crate::web) fn price_words(it: &Proposal) -> String {
    match (it.list_cents, it.cents) {
        (Some(list), Some(cents)) if list != cents => format!(
            "{} with the plan’s {} % off, {} without",
            display::money(cents),
            it.discount_percent,
            display::money(list)
        ),
        (_, Some(cents)) => display::money(cents),
        _ => "price not named yet".to_owned(),
    }
}

/// `Deferred until 14 May 2026`.
pub(in crate::web) fn answer_words(answer: Answer, until: Option<time::Date>) -> String {
    match until {
        Some(day) => format!("{} until {}", answer.words(), display::day(day)),
        None => answer.words().to_owned(),
    }
}

pub(in crate::web) fn view(it: &Proposal, puts_right: String) -> ProposalView {
    ProposalView {
        id: it.id,
        words: it.words.clone(),
        price: price_words(it),
        answer: answer_words(it.answer, it.until),
        puts_right,
    }
}

/// The proposals of a visit with what each would put right.
pub(in crate::web) async fn views_of(
    tx: &mut Tx,
    visit: Uuid,
) -> Result<Vec<(Proposal, ProposalView)>, Error> {
    let proposals = tx.proposals_of_visit(visit).await?;
    if proposals.is_empty() {
        return Ok(Vec::new());
    }
    let findings = tx.findings_answered(visit).await?;
    let puts_right = |id: Uuid| {
        let mine = findings.iter().filter(|it| it.0 == id).map(|it| it.1.as_str());
        mine.collect::<Vec<_>>().join("; ")
    };
    let both = |it: Proposal| {
        let view = view(&it, puts_right(it.id));
        (it, view)
    };
    Ok(proposals.into_iter().map(both).collect())
}

/// The booking page for a repair that the customer agreed to.
pub(in crate::web) fn booking_way(it: &Proposal, viewer: &Viewer) -> String {
    if it.answer == Answer::Accepted && viewer.role.runs_the_office() {
        format!("/visits/new?system={}&kind=repair", it.system_id)
    } else {
        String::new()
    }
}

async fn proposal_page(
    tx: &mut Tx,
    viewer: &Viewer,
    proposal: &Proposal,
    mut form: Form,
) -> Result<ProposalPage, Error> {
    let visit = tx.visit(viewer.scope(), proposal.visit_id).await?;
    let answers = tx.answers_of(proposal.id).await?;
    let views = views_of(tx, visit.id).await?;
    let shown = views.into_iter().find(|it| it.0.id == proposal.id).ok_or(Error::NotFound)?.1;
    let zone = &viewer.company.time_zone;
    form.preset("answer", proposal.answer.key());
    form.preset("until", proposal.until.map_or_else(String::new, |it| it.to_string()));
    let choices = Answer::ALL.map(|it| (it.key().to_owned(), it.words().to_owned()));
    Ok(ProposalPage {
        frame: Frame::new(viewer, "Proposal"),
        day: display::day(visit.day),
        booking: booking_way(proposal, viewer),
        id: new_id(&form, viewer.now),
        seen: form.typed("seen").parse().unwrap_or(proposal.answer_number),
        fields: vec![
            Field::choice(&form, "answer", "The customer said", choices.into()),
            Field::day(&form, "until", "Deferred until")
                .with_hint("Only where it is deferred: the day on which to ask again."),
        ],
        faults: faults(&form),
        answers: answers.iter().map(|it| answer_line(it, zone)).collect(),
        shown,
        visit,
    })
}

fn answer_line(it: &ProposalAnswer, zone: &str) -> AnswerLine {
    let who = it.person_name.clone().unwrap_or_else(|| "the program".to_owned());
    AnswerLine {
        answer: answer_words(it.answer, it.until),
        who: if it.from_sheet { format!("on the sheet of {who}") } else { who },
        at: display::instant(it.at, zone),
    }
}

pub(in crate::web) async fn show_proposal(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let proposal = tx.proposal(viewer.scope(), id).await?;
    page(&proposal_page(&mut tx, &viewer, &proposal, Form::default()).await?)
}

/// Writes down what the customer said. By the one who was there, or by the office.
pub(in crate::web) async fn answer_proposal(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let proposal = tx.proposal(viewer.scope(), id).await?;
    let visit = tx.visit(viewer.scope(), proposal.visit_id).await?;
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    let answer = Answer::of_key(&form.choice("answer", "Answer", &Answer::ALL.map(Answer::key)));
    let until = form.date("until", "Deferred until");
    if let Some(day) = until.filter(|day| answer == Some(Answer::Deferred) && *day < visit.day) {
        let first = display::day(visit.day);
        let sentence =
            format!("Deferred until: {day} can't be; a day from {first} on is accepted.");
        form.refuse("until", sentence);
    }
    if let Some(answer) = answer.filter(|_| form.is_good()) {
        let seen = form.typed("seen").parse().unwrap_or(0);
        let heard = Heard { id: new_id(&form, viewer.now), answer, until, seen };
        match actions::answer_proposal(&mut tx, &proposal, &heard, viewer.by()).await {
            Ok(()) => {
                tx.commit().await?;
                return Ok(Redirect::to(&format!("/proposals/{id}")).into_response());
            }
            Err(ActionError::Refused(refusal)) => {
                if matches!(refusal, Refusal::AnsweredMeanwhile(_)) {
                    status = StatusCode::CONFLICT;
                    // What stands now is on the page that comes back, so it counts as seen.
                    form.forget("seen");
                }
                form.refuse(refusal.field(), refusal.to_string());
            }
            Err(ActionError::Store(fault)) => return Err(fault.into()),
        }
    }
    drop(tx);
    let mut tx = app.store.read().await?;
    let proposal = tx.proposal(viewer.scope(), id).await?;
    page_with(status, &proposal_page(&mut tx, &viewer, &proposal, form).await?)
}
