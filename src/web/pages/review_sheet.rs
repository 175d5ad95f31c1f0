//! Sheets that wait for the owner, and what the owner does with them.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::verdicts;
use super::visit::visit_page;
use crate::actions::{self, ActionError};
use crate::domain::finding::Severity;
use crate::engine::assessment::Outcome;
use crate::store::Visit;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::Owner;

#[derive(Template)]
#[template(path = "pages/sheets_to_review.html")]
struct SheetsPage {
    frame: Frame,
    sheets: Vec<Waiting>,
}

struct Waiting {
    visit: Visit,
    day: String,
    hazards: usize,
    doubts: usize,
    outside: usize,
    close: usize,
    judged: bool,
}

/// Hazards first, then what could not be judged, then what is doubtful: they need a person most.
pub(in crate::web) async fn show_sheets(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let mut sheets = Vec::new();
    for visit in tx.visits_to_review().await? {
        let judgement = tx.judgement_of(visit.number).await?;
        let assessment = judgement.and_then(|it| verdicts::assessment(&it.output.0));
        let stages = assessment.iter().flat_map(|it| [&it.as_found, &it.as_left]);
        let (mut doubts, mut outside, mut close) = (0, 0, 0);
        for stage in stages {
            doubts += stage.doubts.len();
            let count = |outcome| stage.verdicts.iter().filter(|it| it.outcome == outcome).count();
            outside += count(Outcome::Outside);
            close += count(Outcome::TooClose);
        }
        let findings = tx.findings_of_visit(visit.id).await?;
        let hazards = findings.iter().filter(|it| it.severity == Severity::Hazard).count();
        // What can't be is a doubt too: the newest entry of its field was refused.
        let mut newest = BTreeMap::new();
        for entry in tx.entries_of(visit.number).await? {
            newest.insert((entry.stage, entry.field), !entry.refusal.is_empty());
        }
        doubts += newest.values().filter(|is_refused| **is_refused).count();
        let (day, judged) = (display::weekday(visit.day), assessment.is_some());
        sheets.push(Waiting { visit, day, hazards, doubts, outside, close, judged });
    }
    sheets.sort_by_key(|it| {
        (Reverse(it.hazards), it.judged, Reverse(it.doubts), Reverse(it.outside))
    });
    page(&SheetsPage { frame: Frame::new(&viewer, "Sheets to review"), sheets })
}

pub(in crate::web) async fn accept(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::accept_visit(&mut tx, &visit, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}/report")).into_response())
}

pub(in crate::web) async fn send_back(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (field, text) = (form.typed("field").to_owned(), form.typed("text").to_owned());
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    match actions::send_back_visit(&mut tx, &visit, &field, &text, viewer.by()).await {
        Err(ActionError::Refused(refusal)) if refusal.field() == "text" => {
            drop(tx);
            form.refuse("text", refusal.to_string());
            let mut tx = app.store.read().await?;
            return refused_page(&visit_page(&mut tx, &viewer, visit, &form).await?);
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/sheets-to-review").into_response())
}
