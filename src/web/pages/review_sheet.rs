//! Sheets that wait for the owner, and what the owner does with them.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::side_by_side::review_page;
use super::visit::visit_page;
use crate::actions::{self, ActionError};
use crate::domain::form::Form;
use crate::review::sheet_doubts::Doubted;
use crate::store::Visit;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page, refused_page};
use crate::web::told_hazard::ToldHazard;
use crate::web::viewer::Owner;

#[derive(Template)]
#[template(path = "pages/sheets_to_review.html")]
struct SheetsPage {
    frame: Frame,
    standing: Vec<ToldHazard>,
    sheets: Vec<Waiting>,
}

struct Waiting {
    visit: Visit,
    day: String,
    doubted: Doubted,
}

/// Hazards first, then what could not be judged, then what is doubtful: they need a person most.
pub(in crate::web) async fn show_sheets(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let standing = ToldHazard::all(&tx.standing_hazards().await?, &viewer);
    let sheets = actions::sheets_to_review(&mut tx).await?;
    let waiting = |(visit, doubted): (Visit, Doubted)| Waiting {
        day: display::weekday(visit.day),
        visit,
        doubted,
    };
    page(&SheetsPage {
        frame: Frame::new(&viewer, "Sheets to review"),
        standing,
        sheets: sheets.into_iter().map(waiting).collect(),
    })
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

/// Sends a sheet back with what was remarked, on the whole and at its fields; from the visit's page
/// or from the review beside the last visit.
pub(in crate::web) async fn send_back(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let remarks = remarks(&form);
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let remarks: Vec<(&str, &str)> =
        remarks.iter().map(|(field, text)| (field.as_str(), text.as_str())).collect();
    match actions::send_back_visit(&mut tx, &visit, &remarks, viewer.by()).await {
        Err(ActionError::Refused(refusal)) if refusal.field() == "text" => {
            drop(tx);
            form.refuse("text", refusal.to_string());
            let mut tx = app.store.read().await?;
            if form.typed("from") == "review" {
                return refused_page(&review_page(&mut tx, &viewer, visit, &form).await?);
            }
            return refused_page(&visit_page(&mut tx, &viewer, visit, &form).await?);
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/sheets-to-review").into_response())
}

/// The field and the text of each remark: `text` on the whole or at `field`, and `remark.NAME`.
fn remarks(form: &Form) -> Vec<(String, String)> {
    let mut all = vec![(form.typed("field").to_owned(), form.typed("text").to_owned())];
    all.extend(form.fields().filter_map(|(name, text)| {
        Some((name.strip_prefix("remark.")?.to_owned(), text.to_owned()))
    }));
    all
}
