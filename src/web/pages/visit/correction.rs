//! Correcting one value of a sheet that was handed in.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use super::{field_words, outcome_words};
use crate::actions::{self, ActionError, Typed};
use crate::domain::closing::{Answer, Direction};
use crate::domain::form::Form;
use crate::domain::refusal::Refusal;
use crate::domain::sheet;
use crate::domain::visit::{Stage, VisitState};
use crate::engine::points;
use crate::store::{Tx, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/correction.html")]
struct CorrectionPage {
    frame: Frame,
    visit: Visit,
    label: String,
    field: String,
    present: String,
    id: Uuid,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

/// Which field is corrected: `as_found.return_wb_f`.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct WhichField {
    field: String,
}

fn split(field: &str) -> Option<(Stage, String)> {
    let (stage, key) = field.split_once('.')?;
    Some((Stage::of_key(stage)?, key.to_owned()))
}

async fn correction_page(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: Visit,
    (name, form): (&str, &Form),
) -> Result<CorrectionPage, Error> {
    let (stage, field) = split(name).ok_or(Error::NotFound)?;
    let words = field_words(&field).ok_or(Error::NotFound)?;
    let unit = points::point(&field).map_or("", points::Point::unit_for_people);
    let entries = tx.entries_of(visit.number).await?;
    let present = entries.iter().rev().find(|it| it.stage == stage && it.field == field);
    let is_left = stage == Stage::AsLeft;
    let text = match field.split_once('.').map(|it| it.0) {
        Some("observe") => {
            let mut all: Vec<(String, String)> =
                sheet::OUTCOMES.iter().map(|it| (it.0.to_owned(), it.1.to_owned())).collect();
            all.push((String::new(), "Not looked at".to_owned()));
            Field::choice(form, "text", "It should be", all)
        }
        Some("proposal") => {
            let mut all = vec![(String::new(), "Not proposed".to_owned())];
            all.extend(Answer::ALL.map(|it| (it.key().to_owned(), it.words().to_owned())));
            Field::choice(form, "text", "It should be", all)
        }
        Some("moved") => {
            let mut all = vec![(String::new(), "None".to_owned())];
            all.extend(Direction::ALL.map(|it| (it.key().to_owned(), it.words().to_owned())));
            Field::choice(form, "text", "It should be", all)
        }
        Some("proposal_until") => Field::day(form, "text", "It should be"),
        Some(_) => Field::line(form, "text", "It should be"),
        None => Field::number(form, "text", "It should be", unit),
    };
    Ok(CorrectionPage {
        frame: Frame::new(viewer, "Correct a value"),
        label: format!("{words}, {}", if is_left { "as left" } else { "as found" }),
        field: name.to_owned(),
        id: new_id(form, viewer.now),
        present: present.map_or_else(String::new, |it| outcome_words(&it.typed)),
        fields: vec![
            text.with_hint("Leave it empty to take the value back."),
            Field::lines(form, "reason", "Why").needed(),
        ],
        faults: faults(form),
        visit,
    })
}

pub(in crate::web) async fn show_correction(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Query(which): Query<WhichField>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    page(&correction_page(&mut tx, &viewer, visit, (&which.field, &Form::default())).await?)
}

/// Corrects one value of a sheet that is in; both values stay, and it is judged anew.
pub(in crate::web) async fn correct(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    Query(which): Query<WhichField>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (stage, field) = split(&which.field).ok_or(Error::NotFound)?;
    let mut tx = app.store.write().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let typed = Typed {
        id: new_id(&form, viewer.now),
        device: (String::new(), 0),
        base_number: visit.entries,
        device_at: None,
        device_ahead_s: None,
        stage,
        take: 1,
        field,
        text: form.typed("text").to_owned(),
    };
    if visit.state == VisitState::Accepted && !viewer.role.runs_the_office() {
        return Err(Error::Refused(Refusal::AcceptedAlready.to_string()));
    }
    let reason = form.typed("reason").to_owned();
    let refusal = match actions::correct(&mut tx, &visit, &typed, &reason, viewer.by()).await {
        Ok(None) => {
            tx.commit().await?;
            return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
        }
        Ok(Some(sentence)) => ("text", sentence),
        Err(ActionError::Refused(refusal)) => (refusal.field(), refusal.to_string()),
        Err(ActionError::Store(fault)) => return Err(fault.into()),
    };
    drop(tx);
    form.refuse(refusal.0, refusal.1);
    let mut tx = app.store.read().await?;
    refused_page(&correction_page(&mut tx, &viewer, visit, (&which.field, &form)).await?)
}
