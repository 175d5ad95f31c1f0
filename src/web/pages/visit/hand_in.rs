//! What is about to go in, and handing it in.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::json;
use uuid::Uuid;

use super::going_in::{GoingIn, going_in};
use super::{both, entered};
use crate::actions::{self, ActionError, Typed};
use crate::chance;
use crate::domain::form::Form;
use crate::domain::hazard;
use crate::domain::refusal::Refusal;
use crate::domain::requirement::{self, Missing};
use crate::domain::sheet;
use crate::domain::visit::Stage;
use crate::engine::assessment::{Assessment, Outcome};
use crate::store::{Entered, Tx, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page, refused_page};
use crate::web::log::is_script;
use crate::web::pages::cause_view::{CausesView, causes};
use crate::web::pages::verdicts::{self, VerdictView};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/hand_in.html")]
struct HandInPage {
    frame: Frame,
    visit: Visit,
    outside: Vec<VerdictView>,
    close: Vec<VerdictView>,
    void: Vec<VerdictView>,
    /// Nothing where nothing could be judged.
    causes: Option<CausesView>,
    /// What stops the work, and what the customer is told.
    hazards: Vec<(&'static str, &'static str)>,
    impossible: Vec<String>,
    /// What closes the sheet and lacks something.
    lacking: Vec<String>,
    bad: Vec<String>,
    open: Vec<&'static sheet::Block>,
    readings: usize,
    unjudged: String,
    /// What the sheet needs and lacks, with the reasons so far.
    missing: Vec<MissingView>,
    going_in: GoingIn,
    /// The office's.
    phone: String,
    /// Why it didn't come in.
    refused: String,
    device: String,
}

/// Something that the sheet needs and lacks.
struct MissingView {
    /// The name of the field for the reason.
    name: String,
    /// The field that lacks.
    field: String,
    label: String,
    block: usize,
    title: &'static str,
    by: &'static str,
    typed: String,
    fault: String,
}

/// What goes in: outside, too close, not valid, what can't be, what is open and what is missing.
pub(in crate::web) async fn show_hand_in(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_open() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    page(&hand_in_page(&mut tx, &viewer, visit, String::new()).await?)
}

async fn hand_in_page(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: Visit,
    refused: String,
) -> Result<HandInPage, Error> {
    let (_, answer) = actions::judged(tx, &visit).await?;
    let readings = tx.readings_of(visit.number).await?;
    let entries = tx.entries_of(visit.number).await?;
    let lacking = actions::closing_faults(tx, &visit).await?;
    let needed = actions::required_of(tx, &visit).await?;
    let marks = tx.marks_of(visit.number).await?;
    let missing = actions::missing(&needed.required, &readings, &marks);
    let (assessment, unjudged) = match answer {
        Ok(assessment) => (assessment, String::new()),
        Err(fault) => (Assessment::default(), verdicts::sentence(&fault.message)),
    };
    let now = entered(&visit, entries.clone());
    let of = |outcome: Outcome| {
        let last = both(&assessment).into_iter().filter_map(|it| it.left.or(it.found));
        last.filter(|it| it.outcome == outcome).collect::<Vec<_>>()
    };
    let attention = sheet::OUTCOMES.iter().find(|it| it.0 == "attention").map_or("", |it| it.1);
    let begun = |block: &sheet::Block| {
        block.fields.iter().any(|field| {
            entries.iter().any(|it| it.field == field.key() && it.stage == field.stage())
        })
    };
    Ok(HandInPage {
        frame: Frame::new(viewer, "Hand in"),
        outside: of(Outcome::Outside),
        close: of(Outcome::TooClose),
        void: of(Outcome::NotValid),
        causes: unjudged.is_empty().then(|| causes(&assessment, Some(visit.id))),
        hazards: hazards(&entries),
        impossible: now
            .iter()
            .filter(|it| !it.fault.is_empty())
            .map(|it| format!("{} ({}): {}", it.label, it.stage, it.fault))
            .collect(),
        lacking: lacking.into_iter().map(|it| it.1).collect(),
        bad: now.iter().filter(|it| it.typed == attention).map(|it| it.label.clone()).collect(),
        open: sheet::BLOCKS.iter().filter(|block| !begun(block)).collect(),
        readings: readings.iter().filter(|it| it.value.is_some()).count(),
        unjudged,
        missing: missing.iter().map(|it| missing_view(it, &entries)).collect(),
        going_in: going_in(tx, &visit, &marks).await?,
        phone: viewer.company.phone.clone(),
        refused,
        device: chance::token()[..12].to_owned(),
        visit,
    })
}

/// With the reason as it was typed last, also one that can't be.
fn missing_view(missing: &Missing, entries: &[Entered]) -> MissingView {
    let required = &missing.required;
    let field = required.field.name();
    let key = requirement::missing_key(&field);
    let newest = entries.iter().rev().find(|it| it.field == key);
    MissingView {
        label: requirement::words(required.field),
        block: required.block.number,
        title: required.block.title,
        by: required.by.words(),
        typed: newest.map_or_else(String::new, |it| it.typed.clone()),
        fault: newest.map_or_else(String::new, |it| it.refusal.clone()),
        name: key,
        field,
    }
}

/// What was ticked as stopping the work, and not taken back.
fn hazards(entries: &[Entered]) -> Vec<(&'static str, &'static str)> {
    let ticked = sheet::BLOCKS.iter().flat_map(|block| block.fields).filter_map(|field| {
        let sheet::Field::Hazard(key, words) = field else { return None };
        let newest = entries.iter().rev().find(|it| it.field == field.key())?;
        (!newest.typed.is_empty()).then(|| (*words, hazard::hazard(key).tell))
    });
    ticked.collect()
}

/// Saves the reasons of what is missing, and hands the sheet in. The reasons stay where it doesn't
/// come in.
pub(in crate::web) async fn hand_in(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Sent(form): Sent,
) -> Result<Response, Error> {
    if is_script(&headers) {
        return hand_in_from_phone(&app, &viewer, id, &form).await;
    }
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if visit.state.is_open() {
        let reasons = reasons(&form, &tx.entries_of(visit.number).await?, (&visit, &viewer));
        actions::enter(&mut tx, &visit, &reasons, viewer.by()).await?;
    }
    tx.commit().await?;
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    match actions::hand_in(&mut tx, &visit, viewer.by()).await {
        Err(ActionError::Refused(refusal @ Refusal::RequiredMissing(_))) => {
            drop(tx);
            let mut tx = app.store.read().await?;
            let visit = tx.visit(viewer.scope(), id).await?;
            let back = hand_in_page(&mut tx, &viewer, visit, refusal.to_string()).await?;
            return refused_page(&back);
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}")).into_response())
}

/// Hands in what a phone has sent before: once, however often it asks, and only for its author.
async fn hand_in_from_phone(
    app: &App,
    viewer: &Viewer,
    id: Uuid,
    form: &Form,
) -> Result<Response, Error> {
    if form.typed("author") != viewer.id.to_string() {
        return Err(Error::SignIn(String::new()));
    }
    let key = form.typed("id").parse().map_err(|_| Error::Unreadable)?;
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::hand_in_once(&mut tx, &visit, key, viewer.by()).await?;
    tx.commit().await?;
    Ok(axum::Json(json!({"visit": id})).into_response())
}

/// The reasons that are other than what stands. An empty one takes nothing back: the page may be
/// older than a reason from the phone.
fn reasons(form: &Form, entries: &[Entered], (visit, viewer): (&Visit, &Viewer)) -> Vec<Typed> {
    // The part of the sheet for phones without network has them by the names of the sheet.
    let fields = form.fields().map(|it| {
        let short = it.0.strip_prefix("as_found.").filter(|it| it.starts_with("missing."));
        (short.unwrap_or(it.0), it.1)
    });
    let is_new = |(field, text): &(&str, &str)| {
        let newest = entries.iter().rev().find(|it| it.field == *field);
        let is_reason = field.strip_prefix("missing.").and_then(requirement::field_of).is_some();
        is_reason && !text.is_empty() && newest.map_or("", |it| it.typed.trim()) != *text
    };
    let device: String = form.typed("device").chars().take(40).collect();
    let typed = |(field, text): (&str, &str)| Typed {
        id: chance::id(viewer.now),
        device: (device.clone(), 0),
        base_number: visit.entries,
        device_at: None,
        device_ahead_s: None,
        stage: Stage::AsFound,
        take: 1,
        field: field.to_owned(),
        text: text.to_owned(),
    };
    fields.filter(is_new).map(typed).collect()
}
