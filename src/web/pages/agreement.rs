//! Agreements: who has which plan for which systems, until when.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use time::{Date, Duration};
use uuid::Uuid;

use super::customer::{FormPage, term_words};
use super::plan::season_line;
use crate::actions::{self, ActionError};
use crate::chance;
use crate::domain::agreement::{Standing, standings};
use crate::domain::form::Form;
use crate::domain::refusal::Refusal;
use crate::store::{Agreement, CoveredSystem, Customer, Kept, NewAgreement, Plan, System, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, page_with, refused_page};
use crate::web::viewer::{Office, Viewer};

/// Rows on the page at most.
const ROWS_MAX: usize = 200;

/// What the list can be narrowed to, with its word in the address.
const STANDINGS: &[(&str, Standing)] = &[
    ("draft", Standing::Draft),
    ("agreed", Standing::Agreed),
    ("in-force", Standing::InForce),
    ("in-renewal", Standing::InRenewal),
    ("lapsed", Standing::Lapsed),
    ("renewed", Standing::Renewed),
    ("ended", Standing::Ended),
];

#[derive(Template)]
#[template(path = "pages/agreements.html")]
struct AgreementsPage {
    frame: Frame,
    owner: bool,
    counts: Vec<Count>,
    chosen: String,
    rows: Vec<(Agreement, Standing, String, String)>,
    all: usize,
}

/// How many stand in one way.
struct Count {
    key: &'static str,
    words: &'static str,
    number: usize,
}

#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Which {
    #[serde(default)]
    standing: String,
}

pub(in crate::web) async fn show_agreements(
    State(app): State<App>,
    Office(viewer): Office,
    Query(which): Query<Which>,
) -> Result<Response, Error> {
    let agreements = app.store.read().await?.agreements(None).await?;
    let chosen = STANDINGS.iter().find(|it| it.0 == which.standing);
    let mut all: Vec<(Agreement, Standing)> = Vec::with_capacity(agreements.len());
    let mut by_customer: BTreeMap<Uuid, Vec<Agreement>> = BTreeMap::new();
    for agreement in agreements {
        by_customer.entry(agreement.customer_id).or_default().push(agreement);
    }
    for theirs in by_customer.into_values() {
        let terms: Vec<_> = theirs.iter().map(Agreement::term).collect();
        all.extend(theirs.into_iter().zip(standings(&terms, viewer.today)));
    }
    all.sort_by(|a, b| {
        (b.0.starts_on, &a.0.customer_name).cmp(&(a.0.starts_on, &b.0.customer_name))
    });
    let counts = STANDINGS.iter().map(|(key, standing)| Count {
        key,
        words: standing.words(),
        number: all.iter().filter(|it| it.1 == *standing).count(),
    });
    let counts = counts.collect();
    let mut rows: Vec<(Agreement, Standing)> =
        all.into_iter().filter(|it| chosen.is_none_or(|chosen| chosen.1 == it.1)).collect();
    let count = rows.len();
    rows.truncate(ROWS_MAX);
    page(&AgreementsPage {
        frame: Frame::new(&viewer, "Agreements"),
        owner: viewer.role == crate::domain::person::Role::Owner,
        counts,
        chosen: chosen.map_or_else(String::new, |it| it.0.to_owned()),
        rows: rows
            .into_iter()
            .map(|(it, standing)| {
                let (term, price) = (term_words(&it), display::money(it.price_cents));
                (it, standing, term, price)
            })
            .collect(),
        all: count,
    })
}

#[derive(Debug, Deserialize)]
pub(in crate::web) struct WhoseAgreement {
    customer: Uuid,
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Office(viewer): Office,
    Query(whose): Query<WhoseAgreement>,
) -> Result<Response, Error> {
    let last = year_on(viewer.today) - Duration::days(1);
    let mut form = Form::new([
        ("id".to_owned(), chance::id(viewer.now).to_string()),
        ("starts_on".to_owned(), viewer.today.to_string()),
        ("last_on".to_owned(), last.to_string()),
    ]);
    let mut tx = app.store.read().await?;
    let offer = offer(&mut tx, &viewer, whose.customer).await?;
    let all: Vec<String> = offer.systems.iter().map(|it| it.id.to_string()).collect();
    form.preset("systems", all.join("\n"));
    page(&new_page(&viewer, &offer, &form))
}

/// The same day a year later; 28 February for the 29th.
fn year_on(day: Date) -> Date {
    let next = day.year() + 1;
    day.replace_year(next)
        .or_else(|_| (day - Duration::days(1)).replace_year(next))
        .unwrap_or(day + Duration::days(365))
}

/// What can be agreed with a customer.
struct Offer {
    customer: Customer,
    plans: Vec<Plan>,
    systems: Vec<System>,
}

async fn offer(tx: &mut Tx, viewer: &Viewer, customer: Uuid) -> Result<Offer, Error> {
    Ok(Offer {
        customer: tx.customer(viewer.scope(), customer).await?,
        plans: tx.plans().await?,
        systems: tx.systems_of_customer(viewer.scope(), customer).await?,
    })
}

/// A plan in a version, as a choice's word.
fn plan_key(plan: &Plan) -> String {
    format!("{}.{}", plan.id, plan.version)
}

fn new_page(viewer: &Viewer, offer: &Offer, form: &Form) -> FormPage {
    let plan = |it: &Plan| {
        (plan_key(it), format!("{}, {} a year", it.name, display::money(it.price_cents)))
    };
    let mut plan_field =
        Field::choice(form, "plan", "Plan", offer.plans.iter().map(plan).collect()).needed();
    if offer.plans.is_empty() {
        plan_field = plan_field
            .with_hint("There is no plan yet. The owner makes them under Agreements, Plans.");
    }
    let system = |it: &System| (it.id.to_string(), format!("{}, {}", it.street, it.name));
    let systems = offer.systems.iter().map(system).collect();
    FormPage {
        frame: Frame::new(viewer, format!("New agreement with {}", offer.customer.name)),
        over: offer.customer.name.clone(),
        over_address: format!("/customers/{}", offer.customer.id),
        action: format!("/agreements/new?customer={}", offer.customer.id),
        button: "Make this agreement",
        hidden: vec![("id", form.typed("id").to_owned())],
        fields: vec![
            plan_field,
            Field::boxes(form, "systems", "For which systems", systems),
            Field::day(form, "starts_on", "First day").needed(),
            Field::day(form, "last_on", "Last day").needed(),
            Field::day(form, "accepted_on", "Accepted by the customer on")
                .with_hint("Leave it empty while they think it over; it is a draft until then."),
        ],
        faults: faults(form),
    }
}

fn read(form: &mut Form, offer: &Offer, id: Uuid) -> NewAgreement {
    let plan = offer.plans.iter().find(|it| plan_key(it) == form.typed("plan"));
    if plan.is_none() {
        form.refuse("plan", "Plan: choose one of the list; it may have a new version by now.");
    }
    let plan = plan.map_or((Uuid::nil(), 0), |it| (it.id, it.version));
    let systems: Vec<Uuid> = form.all("systems").iter().filter_map(|it| it.parse().ok()).collect();
    if systems.is_empty() {
        form.refuse("systems", Refusal::NoSystems.to_string());
    }
    let starts_on = form.required_date("starts_on", "First day");
    let last_on = form.required_date("last_on", "Last day");
    if form.is_good() && last_on < starts_on {
        form.refuse("last_on", "Last day: an agreement ends after it begins.");
    }
    NewAgreement {
        id,
        customer_id: offer.customer.id,
        plan,
        starts_on,
        ends_on: last_on.next_day().unwrap_or(last_on),
        accepted_on: form.date("accepted_on", "Accepted on"),
        systems,
    }
}

/// Makes the agreement; refused, the form comes back with what was typed.
pub(in crate::web) async fn make(
    State(app): State<App>,
    Office(viewer): Office,
    Query(whose): Query<WhoseAgreement>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let id = form.typed("id").parse().map_err(|_| Error::Unreadable)?;
    let offer = offer(&mut app.store.read().await?, &viewer, whose.customer).await?;
    let agreement = read(&mut form, &offer, id);
    if !form.is_good() {
        return refused_page(&new_page(&viewer, &offer, &form));
    }
    let mut tx = app.store.write().await?;
    match actions::make_agreement(&mut tx, &agreement, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            form.refuse(refusal.field(), refusal.to_string());
            return refused_page(&new_page(&viewer, &offer, &form));
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/agreements/{id}")).into_response())
}

#[derive(Template)]
#[template(path = "pages/agreement.html")]
struct AgreementPage {
    frame: Frame,
    standing: Standing,
    term: String,
    price: String,
    accepted: String,
    ended: String,
    systems: Vec<CoveredSystem>,
    seasons: Vec<String>,
    visits: Vec<(Kept, String, String)>,
    acceptance: Option<Field>,
    ending: Option<Field>,
    faults: Vec<(String, String)>,
    agreement: Agreement,
}

pub(in crate::web) async fn show_agreement(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page(&agreement_page(&mut tx, &viewer, id, &mut Form::default()).await?)
}

async fn agreement_page(
    tx: &mut Tx,
    viewer: &Viewer,
    id: Uuid,
    form: &mut Form,
) -> Result<AgreementPage, Error> {
    let agreement = tx.agreement(id).await?;
    let systems = tx.systems_of_agreement(id).await?;
    let kept = tx.kept_by(id).await?;
    form.preset("accepted_on", viewer.today.to_string());
    form.preset("ended_on", viewer.today.to_string());
    let is_open = agreement.ended_on.is_none() && agreement.ends_on > viewer.today;
    let day = |day: Option<Date>| day.map_or_else(String::new, display::day);
    let system_name = |id: Uuid| {
        systems.iter().find(|it| it.id == id).map_or_else(String::new, |it| it.name.clone())
    };
    Ok(AgreementPage {
        frame: Frame::new(viewer, format!("Agreement · {}", agreement.customer_name)),
        standing: agreement.term().standing(viewer.today),
        term: term_words(&agreement),
        price: display::money(agreement.price_cents),
        accepted: day(agreement.accepted_on),
        ended: day(agreement.ended_on),
        seasons: agreement.seasons.0.iter().copied().map(season_line).collect(),
        visits: kept
            .into_iter()
            .map(|it| {
                let (day, name) = (display::day(it.day), system_name(it.system_id));
                (it, day, name)
            })
            .collect(),
        acceptance: (agreement.accepted_on.is_none() && agreement.ended_on.is_none())
            .then(|| Field::day(form, "accepted_on", "The customer said yes on").needed()),
        ending: is_open.then(|| Field::day(form, "ended_on", "First day without it").needed()),
        faults: faults(form),
        systems,
        agreement,
    })
}

/// Notes that the customer said yes.
pub(in crate::web) async fn accept(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let on = form.required_date("accepted_on", "Day");
    if !form.is_good() {
        return again(&app, &viewer, id, form, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    let mut tx = app.store.write().await?;
    match actions::accept_agreement(&mut tx, id, on, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            form.refuse(refusal.field(), refusal.to_string());
            return again(&app, &viewer, id, form, StatusCode::CONFLICT).await;
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/agreements/{id}")).into_response())
}

/// Ends it before its term is over.
pub(in crate::web) async fn end(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let on = form.required_date("ended_on", "Day");
    if !form.is_good() {
        return again(&app, &viewer, id, form, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    let mut tx = app.store.write().await?;
    match actions::end_agreement(&mut tx, id, on, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            form.refuse(refusal.field(), refusal.to_string());
            return again(&app, &viewer, id, form, StatusCode::CONFLICT).await;
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/agreements/{id}")).into_response())
}

async fn again(
    app: &App,
    viewer: &Viewer,
    id: Uuid,
    mut form: Form,
    status: StatusCode,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page_with(status, &agreement_page(&mut tx, viewer, id, &mut form).await?)
}
