//! Customers: find them in one box, show them, add and change them.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use crate::actions;
use crate::domain::agreement::Standing;
use crate::domain::form::Form;
use crate::store::{Agreement, Customer, Found, PAGE_ROWS_MAX, Site, System};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::{Office, Viewer};

#[derive(Template)]
#[template(path = "pages/customers.html")]
struct CustomersPage {
    frame: Frame,
    question: String,
    found: Vec<Found>,
    is_cut: bool,
    office: bool,
}

#[derive(Template)]
#[template(path = "pages/customer.html")]
struct CustomerPage {
    frame: Frame,
    customer: Customer,
    sites: Vec<(Site, Vec<System>)>,
    agreements: Vec<(Agreement, Standing, String)>,
    office: bool,
}

#[derive(Template)]
#[template(path = "pages/plain_form.html")]
pub(in crate::web) struct FormPage {
    pub(in crate::web) frame: Frame,
    pub(in crate::web) over: String,
    pub(in crate::web) over_address: String,
    pub(in crate::web) action: String,
    pub(in crate::web) button: &'static str,
    pub(in crate::web) hidden: Vec<(&'static str, String)>,
    pub(in crate::web) fields: Vec<Field>,
    pub(in crate::web) faults: Vec<(String, String)>,
}

#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Question {
    #[serde(default)]
    find: String,
}

pub(in crate::web) async fn show_customers(
    State(app): State<App>,
    viewer: Viewer,
    Query(question): Query<Question>,
) -> Result<Response, Error> {
    let question: String = question.find.chars().take(100).collect();
    let found = app.store.read().await?.find(viewer.scope(), &question).await?;
    page(&CustomersPage {
        frame: Frame::new(&viewer, "Customers"),
        question,
        is_cut: i64::try_from(found.len()).unwrap_or(0) == PAGE_ROWS_MAX,
        found,
        office: viewer.role.runs_the_office(),
    })
}

pub(in crate::web) async fn show_customer(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let office = viewer.role.runs_the_office();
    let mut tx = app.store.read().await?;
    let customer = tx.customer(viewer.scope(), id).await?;
    let sites = tx.sites_of(viewer.scope(), id).await?;
    let systems = tx.systems_of_customer(viewer.scope(), id).await?;
    let agreements = if office { tx.agreements(Some(id)).await? } else { Vec::new() };
    let standing = |agreement: Agreement| {
        let (standing, term) = (agreement.term().standing(viewer.today), term_words(&agreement));
        (agreement, standing, term)
    };
    page(&CustomerPage {
        frame: Frame::new(&viewer, customer.name.clone()),
        customer,
        sites: sites
            .into_iter()
            .map(|site| {
                let there = systems.iter().filter(|system| system.site_id == site.id);
                let there = there.cloned().collect();
                (site, there)
            })
            .collect(),
        agreements: agreements.into_iter().map(standing).collect(),
        office,
    })
}

/// From the first to the last day.
pub(in crate::web) fn term_words(agreement: &Agreement) -> String {
    let last = agreement.ends_on.previous_day().unwrap_or(agreement.ends_on);
    format!("{} to {}", display::day(agreement.starts_on), display::day(last))
}

pub(in crate::web) async fn show_new(Office(viewer): Office) -> Result<Response, Error> {
    page(&new_page(&viewer, &Form::default()))
}

fn new_page(viewer: &Viewer, form: &Form) -> FormPage {
    FormPage {
        frame: Frame::new(viewer, "New customer"),
        over: "Customers".into(),
        over_address: "/customers".into(),
        action: "/customers/new".into(),
        button: "Add this customer",
        hidden: vec![("id", new_id(form, viewer.now).to_string())],
        fields: customer_fields(form),
        faults: faults(form),
    }
}

fn customer_fields(form: &Form) -> Vec<Field> {
    vec![
        Field::line(form, "name", "Name of the person or firm").needed(),
        Field::phone(form, "phone", "Phone"),
        Field::email(form, "email", "Mail address", "off"),
        Field::lines(form, "note", "What the office should know"),
    ]
}

fn read(form: &mut Form, id: Uuid) -> Customer {
    Customer {
        id,
        name: form.required_line("name", "Name"),
        phone: form.line("phone", "Phone"),
        email: form.email("email", "Mail address"),
        note: form.remark("note", "Note"),
    }
}

pub(in crate::web) async fn add(
    State(app): State<App>,
    Office(viewer): Office,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let id = new_id(&form, viewer.now);
    let customer = read(&mut form, id);
    if !form.is_good() {
        return refused_page(&new_page(&viewer, &form));
    }
    let mut tx = app.store.write().await?;
    actions::add_customer(&mut tx, &customer, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/customers/{}/sites/new", customer.id)).into_response())
}

pub(in crate::web) async fn show_edit(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let customer = app.store.read().await?.customer(viewer.scope(), id).await?;
    let form = Form::new([
        ("name".into(), customer.name),
        ("phone".into(), customer.phone),
        ("email".into(), customer.email),
        ("note".into(), customer.note),
    ]);
    page(&edit_page(&viewer, id, &form))
}

fn edit_page(viewer: &Viewer, id: Uuid, form: &Form) -> FormPage {
    FormPage {
        frame: Frame::new(viewer, "Change customer"),
        over: "Customer".into(),
        over_address: format!("/customers/{id}"),
        action: format!("/customers/{id}/edit"),
        button: "Save the customer",
        hidden: Vec::new(),
        fields: customer_fields(form),
        faults: faults(form),
    }
}

pub(in crate::web) async fn change(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let customer = read(&mut form, id);
    if !form.is_good() {
        return refused_page(&edit_page(&viewer, id, &form));
    }
    let mut tx = app.store.write().await?;
    actions::change_customer(&mut tx, &customer, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/customers/{id}")).into_response())
}
