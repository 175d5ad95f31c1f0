//! The priors of causes: how likely each is before anything was read, what moved them, and
//! beginning again. For the owner.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::Value;
use uuid::Uuid;

use crate::actions::{self, ActionError};
use crate::domain::confirmed_cause::{label, words};
use crate::domain::form::Form;
use crate::domain::priors::{PriorWhy, STRENGTH_VISITS, version};
use crate::domain::refusal::Refusal;
use crate::engine::causes::{CAUSES, DEFAULT_PRIORS};
use crate::store::{PriorVersion, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::{Owner, Viewer};

/// Versions that are open to be seen; the others are folded away.
const VERSIONS_OPEN_MAX: usize = 12;

#[derive(Template)]
#[template(path = "pages/priors.html")]
struct PriorsPage {
    frame: Frame,
    name: String,
    rows: Vec<Line>,
    evidence: Option<Evidence>,
    /// The newest versions, and those before them.
    versions: [Vec<Version>; 2],
}

#[derive(Template)]
#[template(path = "pages/priors_reset.html")]
struct ResetPage {
    frame: Frame,
    name: String,
    rows: Vec<Line>,
    evidence: Option<Evidence>,
    seen: i64,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
}

/// One cause.
struct Line {
    label: &'static str,
    now: String,
    published: String,
    confirmed: String,
    source: String,
}

/// What the version in force learnt from.
struct Evidence {
    confirmed: String,
    visits: i64,
    /// Since when, if the owner began again; empty otherwise.
    since: String,
    /// Whether it stands on other published figures than this program's.
    is_outdated: bool,
}

/// One version, ready to be shown.
struct Version {
    name: String,
    why: String,
    visit: Option<Uuid>,
    reason: String,
    who: String,
    at: String,
    confirmed: String,
}

fn share(number: f64) -> String {
    format!("{} %", display::number(100.0 * number, 1))
}

/// A count that may hold a half.
fn count(number: f64) -> String {
    display::number(number, usize::from(number.fract() > 0.0))
}

fn counted(version: &PriorVersion, key: &str) -> f64 {
    version.counts.0.get(key).and_then(Value::as_f64).unwrap_or(0.0)
}

fn confirmed(version: &PriorVersion) -> f64 {
    CAUSES.iter().map(|it| counted(version, it.key)).sum()
}

fn lines(newest: Option<&PriorVersion>) -> Vec<Line> {
    let shares = newest.map(|it| actions::priors_of(it).shares());
    let shares = shares.unwrap_or_else(|| CAUSES.each_ref().map(|it| it.prior));
    let line = |(cause, now): (&'static crate::engine::causes::CauseInfo, f64)| Line {
        label: label(cause.name),
        now: share(now),
        published: share(cause.prior),
        confirmed: count(newest.map_or(0.0, |it| counted(it, cause.key))),
        source: display::capitalised(cause.source),
    };
    CAUSES.iter().zip(shares).map(line).collect()
}

fn evidence(newest: &PriorVersion, zone: &str) -> Evidence {
    Evidence {
        confirmed: count(confirmed(newest)),
        visits: newest.visits,
        since: newest.since_at.map_or_else(String::new, |at| display::instant(at, zone)),
        is_outdated: newest.published != DEFAULT_PRIORS,
    }
}

fn version_line(it: &PriorVersion, zone: &str) -> Version {
    let why = match (it.why, &it.cause) {
        (PriorWhy::Reset, _) => "Begun again from the published figures".to_owned(),
        (PriorWhy::Confirmation, Some(cause)) => format!("Confirmed: {}", words(cause)),
        (PriorWhy::Confirmation, None) => "A confirmation".to_owned(),
    };
    Version {
        name: version(it.number),
        why,
        visit: it.visit_id,
        reason: it.reason.clone(),
        who: it.person_name.clone().unwrap_or_else(|| "the program".to_owned()),
        at: display::instant(it.at, zone),
        confirmed: count(confirmed(it)),
    }
}

/// The name of what is in force.
fn name(newest: Option<&PriorVersion>) -> String {
    newest.map_or_else(|| DEFAULT_PRIORS.to_owned(), |it| version(it.number))
}

pub(in crate::web) async fn show_priors(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let versions = tx.prior_versions().await?;
    let zone = viewer.company.time_zone.as_str();
    let newest = versions.first();
    let mut newer: Vec<Version> = versions.iter().map(|it| version_line(it, zone)).collect();
    let older = newer.split_off(newer.len().min(VERSIONS_OPEN_MAX));
    page(&PriorsPage {
        frame: Frame::new(&viewer, "Priors"),
        name: name(newest),
        rows: lines(newest),
        evidence: newest.map(|it| evidence(it, zone)),
        versions: [newer, older],
    })
}

async fn reset_page(
    tx: &mut Tx,
    viewer: &Viewer,
    (form, seen): (&Form, Option<i64>),
) -> Result<ResetPage, Error> {
    let newest = tx.newest_priors().await?;
    let zone = viewer.company.time_zone.as_str();
    Ok(ResetPage {
        frame: Frame::new(viewer, "Begin again"),
        name: name(newest.as_ref()),
        rows: lines(newest.as_ref()),
        evidence: newest.as_ref().filter(|it| confirmed(it) > 0.0).map(|it| evidence(it, zone)),
        seen: seen.unwrap_or_else(|| newest.as_ref().map_or(0, |it| it.number)),
        fields: vec![
            Field::lines(form, "reason", "Why")
                .needed()
                .with_hint("It stays beside the version for whoever asks later."),
        ],
        faults: faults(form),
    })
}

/// What beginning again would do; nothing is stored.
pub(in crate::web) async fn show_reset(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page(&reset_page(&mut tx, &viewer, (&Form::default(), None)).await?)
}

/// Begins again from the published figures. `seen` is the version that was looked at.
pub(in crate::web) async fn reset(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let mut seen = form.typed("seen").parse().ok();
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    let wanted = (seen.unwrap_or(0), form.typed("reason"));
    let mut tx = app.store.write().await?;
    match actions::reset_priors(&mut tx, wanted, viewer.by()).await {
        Ok(()) => {
            tx.commit().await?;
            return Ok(Redirect::to("/priors").into_response());
        }
        Err(ActionError::Refused(refusal)) => {
            if refusal == Refusal::PriorsChanged {
                status = StatusCode::CONFLICT;
                // What stands now is on the page that comes back, so it counts as seen.
                seen = None;
            }
            let field = match &refusal {
                Refusal::TextTooLong => "reason",
                other => other.field(),
            };
            form.refuse(field, refusal.to_string());
        }
        Err(ActionError::Store(fault)) => return Err(fault.into()),
    }
    drop(tx);
    let mut tx = app.store.read().await?;
    page_with(status, &reset_page(&mut tx, &viewer, (&form, seen)).await?)
}
