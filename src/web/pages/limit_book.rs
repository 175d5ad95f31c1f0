//! The limit book: every number that a verdict leans on, and changing one. For the owner.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::actions::{self, ActionError, WantedLimit};
use crate::domain::form::Form;
use crate::domain::limit_book::{self, with_unit};
use crate::domain::refusal::Refusal;
use crate::engine::limits::{LimitBook, LimitName, Provenance};
use crate::store::{LimitChange, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::{Owner, Viewer};

#[derive(Template)]
#[template(path = "pages/limit_book.html")]
struct LimitBookPage {
    frame: Frame,
    version: String,
    groups: Vec<(&'static str, Vec<Entry>)>,
}

#[derive(Template)]
#[template(path = "pages/limit.html")]
struct LimitPage {
    frame: Frame,
    entry: Entry,
    accepted: String,
    seen: i64,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
    changes: Vec<Change>,
}

/// One limit as it stands.
struct Entry {
    key: String,
    label: String,
    value: String,
    is_own: bool,
    default: String,
    source: String,
    provenance: String,
    /// The newest change, if it was ever changed.
    change: Option<Change>,
    /// What is wrong with the company's own value; empty if nothing.
    fault: String,
}

/// One change, ready to be shown.
struct Change {
    what: String,
    who: String,
    at: String,
    reason: String,
}

/// How a number came to be known, for people.
fn provenance_words(provenance: Provenance) -> &'static str {
    match provenance {
        Provenance::Read => "read in a published text",
        Provenance::FromMemory => "from memory",
        Provenance::CommonPractice => "common practice, no source",
        Provenance::Computed => "computed",
        Provenance::Company => "the company's own",
    }
}

fn entry(name: LimitName, book: &LimitBook, last: Option<&LimitChange>, zone: &str) -> Entry {
    let definition = name.definition();
    let in_force = book.limit(name);
    let is_own = in_force.provenance == Provenance::Company;
    let number = |value: f64| with_unit(value, definition.unit);
    let lost = last.and_then(|it| it.value).filter(|_| !is_own);
    Entry {
        key: name.key(),
        label: display::capitalised(definition.label),
        value: number(in_force.value),
        is_own,
        default: number(definition.default),
        source: display::capitalised(definition.source),
        provenance: display::capitalised(provenance_words(in_force.provenance)),
        change: last.map(|it| change(it, definition.unit, zone)),
        fault: lost.map_or_else(String::new, |value| {
            format!(
                "The company's own {} is outside of what this version takes, so the default holds.",
                number(value)
            )
        }),
    }
}

fn change(change: &LimitChange, unit: &str, zone: &str) -> Change {
    Change {
        what: change
            .value
            .map_or_else(|| "Back to the default".to_owned(), |value| with_unit(value, unit)),
        who: change.person_name.clone().unwrap_or_else(|| "the program".to_owned()),
        at: display::instant(change.at, zone),
        reason: change.reason.clone(),
    }
}

pub(in crate::web) async fn show_limit_book(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let newest = app.store.read().await?.newest_limit_changes().await?;
    let book = actions::book_of(&newest);
    let of = |name: LimitName| {
        let key = name.key();
        let last = newest.iter().find(|it| it.name == key);
        entry(name, &book, last, &viewer.company.time_zone)
    };
    let groups = limit_book::groups()
        .into_iter()
        .map(|group| (group.title, group.limits.into_iter().map(of).collect()))
        .collect();
    let frame = Frame::new(&viewer, "Limit book");
    page(&LimitBookPage { frame, version: book.version, groups })
}

async fn limit_page(
    tx: &mut Tx,
    viewer: &Viewer,
    name: LimitName,
    (form, seen): (&Form, Option<i64>),
) -> Result<LimitPage, Error> {
    let definition = name.definition();
    let book = actions::limit_book(tx).await?;
    let changes = tx.changes_of_limit(&name.key()).await?;
    let zone = viewer.company.time_zone.as_str();
    let entry = entry(name, &book, changes.first(), zone);
    let (low, high) = (definition.low, with_unit(definition.high, definition.unit));
    Ok(LimitPage {
        frame: Frame::new(viewer, entry.label.clone()),
        accepted: format!("{low} to {high}"),
        seen: seen.unwrap_or_else(|| changes.first().map_or(0, |it| it.number)),
        fields: vec![
            Field::number(form, "value", "The company's own", definition.unit)
                .needed()
                .with_hint(&format!("From {low} to {high} is accepted.")),
            Field::lines(form, "reason", "Why")
                .needed()
                .with_hint("It stays beside the limit for whoever asks later."),
        ],
        faults: faults(form),
        changes: changes.iter().map(|it| change(it, definition.unit, zone)).collect(),
        entry,
    })
}

pub(in crate::web) async fn show_limit(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(key): Path<String>,
) -> Result<Response, Error> {
    let name = LimitName::of_key(&key).ok_or(Error::NotFound)?;
    let mut tx = app.store.read().await?;
    page(&limit_page(&mut tx, &viewer, name, (&Form::default(), None)).await?)
}

/// Changes a limit, or takes it back to its default.
pub(in crate::web) async fn change_limit(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(key): Path<String>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let name = LimitName::of_key(&key).ok_or(Error::NotFound)?;
    let label = display::capitalised(name.definition().label);
    let value = if form.typed("to") == "default" {
        None
    } else {
        // What is accepted for this limit is for the action to say.
        Some(form.required_number("value", &label, (f64::MIN, f64::MAX)))
    };
    if form.typed("reason").is_empty() {
        form.refuse("reason", Refusal::LimitReasonMissing.to_string());
    }
    // The number of the limit's last change when the form was laid out.
    let mut seen = form.typed("seen").parse().ok();
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    if form.is_good() {
        let reason = form.typed("reason").to_owned();
        let wanted = WantedLimit { name, value, reason, seen: seen.unwrap_or(0) };
        let mut tx = app.store.write().await?;
        match actions::change_limit(&mut tx, &wanted, viewer.by()).await {
            Ok(()) => {
                tx.commit().await?;
                return Ok(Redirect::to(&format!("/limit-book#{key}")).into_response());
            }
            Err(ActionError::Refused(refusal)) => {
                if matches!(refusal, Refusal::LimitChangedMeanwhile(_)) {
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
    }
    let mut tx = app.store.read().await?;
    page_with(status, &limit_page(&mut tx, &viewer, name, (&form, seen)).await?)
}
