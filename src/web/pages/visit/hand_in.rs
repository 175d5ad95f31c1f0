//! What is about to go in, and handing it in.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::{both, entered};
use crate::actions;
use crate::domain::sheet;
use crate::engine::assessment::{Assessment, Outcome};
use crate::store::{Entered, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
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
    hazards: Vec<String>,
    impossible: Vec<String>,
    /// What closes the sheet and lacks something.
    lacking: Vec<String>,
    bad: Vec<String>,
    open: Vec<&'static sheet::Block>,
    readings: usize,
    unjudged: String,
}

/// What goes in: outside, too close, not valid, what can't be, what is open.
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
    let (_, answer) = actions::judged(&mut tx, &visit).await?;
    let readings = tx.readings_of(visit.number).await?;
    let entries = tx.entries_of(visit.number).await?;
    let lacking = actions::closing_faults(&mut tx, &visit).await?;
    drop(tx);
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
    page(&HandInPage {
        frame: Frame::new(&viewer, "Hand in"),
        outside: of(Outcome::Outside),
        close: of(Outcome::TooClose),
        void: of(Outcome::NotValid),
        causes: unjudged.is_empty().then(|| causes(&assessment, Some(id))),
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
        visit,
    })
}

/// What was ticked as stopping the work, and not taken back.
fn hazards(entries: &[Entered]) -> Vec<String> {
    let ticked = sheet::BLOCKS.iter().flat_map(|block| block.fields).filter_map(|field| {
        let sheet::Field::Hazard(_, words) = field else { return None };
        let newest = entries.iter().rev().find(|it| it.field == field.key())?;
        (!newest.typed.is_empty()).then(|| (*words).to_owned())
    });
    ticked.collect()
}

pub(in crate::web) async fn hand_in(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::hand_in(&mut tx, &visit, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}")).into_response())
}
