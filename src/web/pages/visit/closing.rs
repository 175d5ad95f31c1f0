//! Proposals, parts and refrigerant of an open sheet on a page of their own: a plain form that
//! works without script.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use crate::actions::{self, Typed};
use crate::chance;
use crate::domain::closing;
use crate::domain::visit::Stage;
use crate::store::{Entered, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page};
use crate::web::pages::closing_view::{ClosingView, closing_view, raised};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/closing.html")]
struct ClosingPage {
    frame: Frame,
    visit: Visit,
    closing: ClosingView,
    /// What can't be, and what doesn't fit together.
    faults: Vec<(String, String)>,
    is_newer: bool,
    entries: i64,
    device: String,
}

/// Whether the page is shown again because another one was there meanwhile.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Newer {
    #[serde(default)]
    newer: String,
}

fn newest<'a>(entries: &'a [Entered], field: &str) -> Option<&'a Entered> {
    entries.iter().rev().find(|it| it.stage == Stage::AsFound && it.field == field)
}

pub(in crate::web) async fn show_closing(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Query(newer): Query<Newer>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_open() || !visit.kind.has_cooling_sheet() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    let entries = tx.entries_of(visit.number).await?;
    let prices = actions::closing_prices(&mut tx, &visit).await?;
    let (_, answer) = actions::judged(&mut tx, &visit).await?;
    let raised = raised(&answer.unwrap_or_default(), &entries);
    let mut faults = impossible(&entries);
    let lacking = actions::closing_faults(&mut tx, &visit).await?;
    faults.extend(lacking.into_iter().filter(|it| newest(&entries, &it.0).is_none_or(is_good)));
    page(&ClosingPage {
        frame: Frame::new(&viewer, "Proposals, parts, refrigerant"),
        closing: closing_view(&prices, &entries, &raised),
        faults: faults.into_iter().map(|it| (format!("as_found.{}", it.0), it.1)).collect(),
        is_newer: !newer.newer.is_empty(),
        entries: visit.entries,
        device: chance::token()[..12].to_owned(),
        visit,
    })
}

fn is_good(entry: &Entered) -> bool {
    entry.refusal.is_empty()
}

/// What was typed that can't be, by field.
fn impossible(entries: &[Entered]) -> Vec<(String, String)> {
    let mine = entries.iter().filter(|it| closing::is_field(&it.field));
    let bad = mine.filter(|it| {
        !is_good(it) && newest(entries, &it.field).is_some_and(|newest| newest.number == it.number)
    });
    bad.map(|it| (it.field.clone(), it.refusal.clone())).collect()
}

/// Saves what changed; what another page entered meanwhile stays, and is said.
pub(in crate::web) async fn enter_closing(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let entries = tx.entries_of(visit.number).await?;
    let base = form.typed("entries").parse().unwrap_or(visit.entries);
    let device: String = form.typed("device").chars().take(40).collect();
    let (mut changed, mut is_newer) = (Vec::new(), false);
    for (name, text) in form.fields() {
        let Some(field) = name.strip_prefix("as_found.").filter(|it| closing::is_field(it)) else {
            continue;
        };
        let before = newest(&entries, field);
        if before.map_or("", |it| it.typed.trim()) == text {
            continue;
        }
        if before.is_some_and(|it| it.number > base && it.device != device) {
            is_newer = true;
            continue;
        }
        changed.push(Typed {
            id: chance::id(viewer.now),
            device: (device.clone(), 0),
            base_number: base,
            device_at: None,
            device_ahead_s: None,
            stage: Stage::AsFound,
            take: 1,
            field: field.to_owned(),
            text: text.to_owned(),
        });
    }
    actions::enter(&mut tx, &visit, &changed, viewer.by()).await?;
    let is_good = impossible(&tx.entries_of(visit.number).await?).is_empty()
        && actions::closing_faults(&mut tx, &visit).await?.is_empty();
    tx.commit().await?;
    let way = if is_newer {
        format!("/visits/{id}/closing?newer=yes")
    } else if form.typed("to") == "hand-in" && is_good {
        format!("/visits/{id}/hand-in")
    } else {
        format!("/visits/{id}/closing")
    };
    Ok(Redirect::to(&way).into_response())
}
