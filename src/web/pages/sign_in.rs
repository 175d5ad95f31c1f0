//! The first page of an empty store, signing in, signing out.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::header::SET_COOKIE;
use axum::http::request::Parts;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use time::{Duration, OffsetDateTime};
use tokio::sync::Semaphore;

use crate::actions::{self, ActionError};
use crate::chance;
use crate::clock;
use crate::domain::form::{Form, LINE_LETTERS_MAX};
use crate::domain::person::{Role, folded, password_fault};
use crate::secret;
use crate::store::{By, Company, Credentials, NewPerson};
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, home, page, refused_page};
use crate::web::viewer::{Viewer, theme, way_on};
use crate::web::{App, session};

/// Failed tries within the window, by account and by address. An office behind one address has
/// several people, so the second is wider.
const ACCOUNT_FAILURES_MAX: i64 = 8;
const ADDRESS_FAILURES_MAX: i64 = 40;
/// How long failures count.
const FAILURE_WINDOW: Duration = Duration::minutes(15);

#[derive(Template)]
#[template(path = "pages/sign_in.html")]
struct SignInPage {
    frame: Frame,
    company: String,
    next: String,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "pages/set_up.html")]
struct SetUpPage {
    frame: Frame,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

/// Where to go on after signing in.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Next {
    #[serde(default)]
    next: String,
}

/// Each role's day begins somewhere else.
pub(in crate::web) async fn show_home(viewer: Viewer) -> Redirect {
    Redirect::to(home(viewer.role))
}

pub(in crate::web) async fn show_sign_in(
    State(app): State<App>,
    Query(next): Query<Next>,
    parts: Parts,
) -> Result<Response, Error> {
    let company = app.store.read().await?.company().await?.ok_or(Error::SetUp)?;
    page(&sign_in_page(&Form::default(), company.name, next.next, theme(&parts)))
}

fn sign_in_page(form: &Form, company: String, next: String, theme: String) -> SignInPage {
    SignInPage {
        frame: Frame { theme, ..Frame::of_nobody("Sign in") },
        company,
        next,
        fields: vec![
            Field::email(form, "email", "Mail address", "username"),
            Field::password(form, "password", "Password", "current-password"),
        ],
        faults: faults(form),
    }
}

/// Checks a password and begins a session. Failures are counted by account and by address, and
/// the answer does not say which of the two was wrong.
pub(in crate::web) async fn sign_in(
    State(app): State<App>,
    parts: Parts,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let now = app.clock.now();
    let email = folded(form.typed("email"));
    let password = form.typed("password").to_owned();
    if email.chars().count() > LINE_LETTERS_MAX || email.contains(char::is_control) {
        return Err(Error::Unreadable);
    }
    let subjects =
        [format!("account:{email}"), format!("address:{}", session::address(&app, &parts))];
    let (company, known) = count_try(&app, &subjects, &email, now).await?;
    let cost = app.settings.password_cost;
    let hash = known.as_ref().map(|it| it.password_hash.clone());
    let fits = off_thread(move || secret::password_fits(&password, hash.as_deref(), cost)).await?;
    let Some(known) = known.filter(|_| fits) else {
        form.refuse("password", "Mail address and password don't fit together.");
        let next = form.typed("next").to_owned();
        return refused_page(&sign_in_page(&form, company.name, next, theme(&parts)));
    };
    let token = chance::token();
    let mut tx = app.store.write().await?;
    // While the hash was worked out, somebody may have reset this password or let this person go.
    let still = tx.credentials(&email).await?;
    if still.is_none_or(|it| it.password_hash != known.password_hash) {
        return Err(Error::Changed);
    }
    tx.forget_sign_in_failures(&subjects[0], now - FAILURE_WINDOW).await?;
    tx.take_back_sign_in_failure(&subjects[1]).await?;
    tx.delete_sessions_before(now - session::IDLE, now - session::ABSOLUTE).await?;
    tx.insert_session(&secret::token_hash(&token), known.id, now).await?;
    tx.commit().await?;
    Ok(([(SET_COOKIE, session::set(&app, &token))], Redirect::to(way_on(form.typed("next"))))
        .into_response())
}

/// Counts a try as failed before the password is looked at, so that many at once can't all find
/// the count low; a good one takes it back.
async fn count_try(
    app: &App,
    subjects: &[String; 2],
    email: &str,
    now: OffsetDateTime,
) -> Result<(Company, Option<Credentials>), Error> {
    let since = now - FAILURE_WINDOW;
    let mut tx = app.store.write().await?;
    let company = tx.company().await?.ok_or(Error::SetUp)?;
    for (subject, max) in subjects.iter().zip([ACCOUNT_FAILURES_MAX, ADDRESS_FAILURES_MAX]) {
        // Counted before it is read: on PostgreSQL the row is held from here on, so that tries at
        // once see each other. A throttled one is not kept.
        tx.count_sign_in_failure(subject, since, now).await?;
        if tx.sign_in_failures(subject, since).await? > max {
            return Err(Error::Throttled);
        }
    }
    let known = tx.credentials(email).await?;
    tx.commit().await?;
    Ok((company, known))
}

/// Hashes that are worked out at once at most: each takes 19 MiB and a core.
static HASHES: Semaphore = Semaphore::const_new(3);

/// Runs what takes the processor for long where it holds up no other request.
pub(in crate::web) async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Error> {
    let _turn = HASHES.acquire().await.map_err(|fault| Error::Fault(fault.to_string()))?;
    tokio::task::spawn_blocking(work).await.map_err(|fault| Error::Fault(fault.to_string()))
}

pub(in crate::web) async fn sign_out(
    State(app): State<App>,
    viewer: Viewer,
) -> Result<Response, Error> {
    let mut tx = app.store.write().await?;
    tx.delete_session(&viewer.token_hash).await?;
    tx.commit().await?;
    Ok(([(SET_COOKIE, session::set(&app, ""))], Redirect::to("/sign-in")).into_response())
}

pub(in crate::web) async fn show_set_up(State(app): State<App>) -> Result<Response, Error> {
    if app.store.read().await?.company().await?.is_some() {
        return Ok(Redirect::to("/sign-in").into_response());
    }
    page(&set_up_page(&Form::new([("time_zone".into(), "America/New_York".into())])))
}

fn set_up_page(form: &Form) -> SetUpPage {
    SetUpPage {
        frame: Frame::bare("Set up"),
        fields: vec![
            Field::line(form, "code", "Code from the console")
                .needed()
                .with_hint("The program printed it when it started."),
            Field::line(form, "company", "Company").needed(),
            Field::phone(form, "phone", "Company's phone"),
            Field::email(form, "company_email", "Company's mail address", "off"),
            Field::line(form, "time_zone", "Time zone")
                .needed()
                .with_hint("As the tz database names it, such as America/Chicago."),
            Field::line(form, "name", "Your name").needed(),
            Field::email(form, "email", "Your mail address", "username").needed(),
            Field::password(form, "password", "Your password", "new-password")
                .needed()
                .with_hint("At least 10 characters; a few words are easy to remember."),
        ],
        faults: faults(form),
    }
}

/// Makes the company and its first owner, for whoever can read the console.
pub(in crate::web) async fn set_up(
    State(app): State<App>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let now = app.clock.now();
    if form.typed("code") != app.settings.set_up_code {
        form.refuse("code", "That is not the code that the program printed when it started.");
    }
    let company = Company {
        name: form.required_line("company", "Company"),
        phone: form.line("phone", "Company's phone"),
        email: form.email("company_email", "Company's mail address"),
        time_zone: form.required_line("time_zone", "Time zone"),
    };
    if !clock::is_zone(&company.time_zone) {
        form.refuse("time_zone", "There is no such time zone; America/Chicago is one.");
    }
    let owner = new_person(&app, &mut form, Role::Owner, now).await?;
    let Some(owner) = owner else { return refused_page(&set_up_page(&form)) };
    let mut tx = app.store.write().await?;
    match actions::set_up(&mut tx, &company, &owner, By { person: None, at: now }).await {
        Err(ActionError::Refused(refusal)) => {
            form.refuse(refusal.field(), refusal.to_string());
            return refused_page(&set_up_page(&form));
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/sign-in?next=/people").into_response())
}

/// Reads a person from `name`, `email` and `password`; none if something is wrong with the form.
pub(in crate::web) async fn new_person(
    app: &App,
    form: &mut Form,
    role: Role,
    now: OffsetDateTime,
) -> Result<Option<NewPerson>, Error> {
    let name = form.required_line("name", "Name");
    let email = form.email("email", "Mail address");
    if email.is_empty() {
        form.refuse("email", "Mail address is missing.");
    }
    let password = form.typed("password").to_owned();
    if let Some(fault) = password_fault(&password) {
        form.refuse("password", fault);
    }
    if !form.is_good() {
        return Ok(None);
    }
    let cost = app.settings.password_cost;
    let hash = off_thread(move || secret::password_hash(&password, cost)).await?;
    let password_hash = hash.map_err(Error::Fault)?;
    Ok(Some(NewPerson { id: chance::id(now), name, email, role, password_hash }))
}
