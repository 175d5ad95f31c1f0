//! Seeing a hazard that was told: the button in the frame of every page of the office.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use crate::actions;
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::viewer::{Office, way_on};

pub(in crate::web) async fn see(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    actions::see_hazard(&mut tx, id, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(way_on(form.typed("back"))).into_response())
}
