//! One's own password and how the pages look on this device.

use askama::Template;
use axum::extract::State;
use axum::http::HeaderValue;
use axum::http::header::SET_COOKIE;
use axum::response::{IntoResponse, Redirect, Response};

use super::sign_in::off_thread;
use crate::actions;
use crate::chance;
use crate::domain::form::Form;
use crate::domain::person::{folded, password_fault};
use crate::domain::refusal::Refusal;
use crate::secret;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::Viewer;
use crate::web::{App, session};

#[derive(Template)]
#[template(path = "pages/account.html")]
struct AccountPage {
    frame: Frame,
    role: &'static str,
    theme: String,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

pub(in crate::web) async fn show_account(viewer: Viewer) -> Result<Response, Error> {
    page(&account_page(&viewer, &Form::default()))
}

fn account_page(viewer: &Viewer, form: &Form) -> AccountPage {
    AccountPage {
        frame: Frame::new(viewer, viewer.name.clone()),
        role: viewer.role.key(),
        theme: viewer.theme.clone(),
        fields: vec![
            Field::password(form, "present_password", "Present password", "current-password"),
            Field::password(form, "password", "New password", "new-password")
                .with_hint("At least 10 characters; a few words are easy to remember."),
        ],
        faults: faults(form),
    }
}

/// Changes the password; every other session of this person ends.
pub(in crate::web) async fn change_password(
    State(app): State<App>,
    viewer: Viewer,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (present, password) =
        (form.typed("present_password").to_owned(), form.typed("password").to_owned());
    let mut tx = app.store.read().await?;
    let person = tx.person(viewer.id).await?;
    let known = tx.credentials(&folded(&person.email)).await?;
    drop(tx);
    let cost = app.settings.password_cost;
    let hash = known.map(|it| it.password_hash);
    if !off_thread(move || secret::password_fits(&present, hash.as_deref(), cost)).await? {
        form.refuse("present_password", Refusal::PasswordWrong.to_string());
    }
    if let Some(fault) = password_fault(&password) {
        form.refuse("password", fault);
    }
    if !form.is_good() {
        return refused_page(&account_page(&viewer, &form));
    }
    let hash = off_thread(move || secret::password_hash(&password, cost)).await?;
    let hash = hash.map_err(Error::Fault)?;
    let token = chance::token();
    let mut tx = app.store.write().await?;
    let token_hash = secret::token_hash(&token);
    actions::change_password(&mut tx, viewer.id, &hash, &token_hash, viewer.by()).await?;
    tx.commit().await?;
    Ok(([(SET_COOKIE, session::set(&app, &token))], Redirect::to("/account")).into_response())
}

/// Sets how pages look in this browser; it is no state of the company, so a cookie keeps it.
pub(in crate::web) async fn set_theme(
    _viewer: Viewer,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let line = match form.typed("theme") {
        "light" => "theme=light; Path=/; SameSite=Lax; Max-Age=31536000",
        "dark" => "theme=dark; Path=/; SameSite=Lax; Max-Age=31536000",
        "sun" => "theme=sun; Path=/; SameSite=Lax; Max-Age=31536000",
        _ => "theme=; Path=/; SameSite=Lax; Max-Age=0",
    };
    let cookie = [(SET_COOKIE, HeaderValue::from_static(line))];
    Ok((cookie, Redirect::to("/account")).into_response())
}
