//! The people of the company: for the owner.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::sign_in::{new_person, off_thread};
use crate::actions::{self, ActionError};
use crate::domain::form::Form;
use crate::domain::person::{Role, password_fault};
use crate::secret;
use crate::store::Person;
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::{Owner, Viewer};

#[derive(Template)]
#[template(path = "pages/people.html")]
struct PeoplePage {
    frame: Frame,
    people: Vec<Person>,
    me: Uuid,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

pub(in crate::web) async fn show_people(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    page(&people_page(&app, &viewer, &Form::default()).await?)
}

async fn people_page(app: &App, viewer: &Viewer, form: &Form) -> Result<PeoplePage, Error> {
    let people = app.store.read().await?.people().await?;
    let roles = Role::ALL.into_iter().rev();
    Ok(PeoplePage {
        frame: Frame::new(viewer, "People"),
        people,
        me: viewer.id,
        fields: vec![
            Field::line(form, "name", "Name").needed(),
            Field::email(form, "email", "Mail address", "off").needed(),
            Field::choice(
                form,
                "role",
                "Role",
                roles.map(|role| (role.key().to_owned(), role.key().to_owned())).collect(),
            ),
            Field::password(form, "password", "First password", "new-password")
                .needed()
                .with_hint("At least 10 characters. They can change it themselves."),
        ],
        faults: faults(form),
    })
}

pub(in crate::web) async fn add(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let keys = Role::ALL.map(Role::key);
    let role = Role::of_key(&form.choice("role", "Role", &keys)).unwrap_or(Role::Technician);
    let Some(person) = new_person(&app, &mut form, role, viewer.now).await? else {
        return refused_page(&people_page(&app, &viewer, &form).await?);
    };
    let mut tx = app.store.write().await?;
    match actions::add_person(&mut tx, &person, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            form.refuse(refusal.field(), refusal.to_string());
            return refused_page(&people_page(&app, &viewer, &form).await?);
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/people").into_response())
}

/// Sets somebody's password; they are signed out everywhere.
pub(in crate::web) async fn reset_password(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let password = form.typed("password").to_owned();
    if let Some(fault) = password_fault(&password) {
        return Err(Error::Refused(fault));
    }
    let cost = app.settings.password_cost;
    let hash = off_thread(move || secret::password_hash(&password, cost)).await?;
    let hash = hash.map_err(Error::Fault)?;
    let mut tx = app.store.write().await?;
    actions::reset_password(&mut tx, id, &hash, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to("/people").into_response())
}

pub(in crate::web) async fn let_go(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    actions::let_go(&mut tx, id, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to("/people").into_response())
}
