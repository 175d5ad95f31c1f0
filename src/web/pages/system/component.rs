//! The parts of a system and what their plates say: add, correct, replace.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use uuid::Uuid;

use crate::actions::{self, ActionError};
use crate::chance;
use crate::domain::form::Form;
use crate::domain::nameplate::{self, Part};
use crate::store::{Component, Plate, System, Tx};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::{Office, Viewer};

#[derive(Template)]
#[template(path = "pages/component.html")]
struct ComponentPage {
    frame: Frame,
    system: System,
    part: Part,
    action: String,
    button: &'static str,
    hint: &'static str,
    version: i64,
    other_parts: Vec<Part>,
    fields: Vec<Field>,
    plate: Vec<Field>,
    faults: Vec<(String, String)>,
}

/// What the form is for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Task {
    Add,
    Correct { component: Uuid, version: i64 },
    Replace { component: Uuid },
}

#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct WhichPart {
    #[serde(default)]
    part: String,
}

fn component_page(
    viewer: &Viewer,
    system: System,
    part: Part,
    task: Task,
    form: &Form,
) -> ComponentPage {
    let (title, action, button, hint) = match task {
        Task::Add => (
            format!("Add: {}", part.words()),
            format!("/systems/{}/components/new?part={}", system.id, part.key()),
            "Add this part",
            "",
        ),
        Task::Correct { component, .. } => (
            format!("Correct the plate: {}", part.words()),
            format!("/components/{component}/plate"),
            "Save the correction",
            "For a slip in what was written down. Sheets judged before keep their verdicts until \
             they are judged again.",
        ),
        Task::Replace { component } => (
            format!("Replace: {}", part.words()),
            format!("/components/{component}/replacement"),
            "Replace this part",
            "The old part stays in the history.",
        ),
    };
    let mut fields = vec![
        Field::line(form, "make", "Make"),
        Field::line(form, "model", "Model"),
        Field::line(form, "serial", "Serial number"),
        Field::day(form, "manufactured_on", "Made on"),
        Field::day(form, "warranty_until", "Warranty until"),
    ];
    match task {
        Task::Add => fields.push(Field::day(form, "installed_on", "In place since")),
        Task::Replace { .. } => {
            fields.insert(0, Field::day(form, "replaced_on", "Replaced on").needed());
        }
        Task::Correct { .. } => fields.push(Field::lines(form, "reason", "Why").needed()),
    }
    let version = if let Task::Correct { version, .. } = task { version } else { 0 };
    ComponentPage {
        frame: Frame::new(viewer, title),
        action,
        button,
        hint,
        version,
        other_parts: if task == Task::Add { Part::ALL.to_vec() } else { Vec::new() },
        fields,
        plate: nameplate::fields_of(part).map(|field| Field::plate(form, field)).collect(),
        faults: faults(form),
        system,
        part,
    }
}

fn read(form: &mut Form, part: Part) -> Plate {
    Plate {
        make: form.line("make", "Make"),
        model: form.line("model", "Model"),
        serial: form.line("serial", "Serial number"),
        manufactured_on: form.date("manufactured_on", "Made on"),
        warranty_until: form.date("warranty_until", "Warranty until"),
        nameplate: serde_json::Value::Object(nameplate::read(form, part)),
        reason: form.remark("reason", "Why"),
    }
}

fn typed(component: &Component) -> Form {
    let day = |day: Option<time::Date>| day.map_or_else(String::new, |day| day.to_string());
    let mut fields = vec![
        ("make".to_owned(), component.make.clone()),
        ("model".into(), component.model.clone()),
        ("serial".into(), component.serial.clone()),
        ("manufactured_on".into(), day(component.manufactured_on)),
        ("warranty_until".into(), day(component.warranty_until)),
    ];
    if let Some(plate) = component.nameplate.0.as_object() {
        let all = plate.iter().map(|(key, value)| (key.clone(), nameplate::typed_again(value)));
        fields.extend(all);
    }
    Form::new(fields)
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Query(which): Query<WhichPart>,
) -> Result<Response, Error> {
    let part = Part::of_key(&which.part).unwrap_or(Part::OutdoorUnit);
    let system = app.store.read().await?.system(viewer.scope(), id).await?;
    page(&component_page(&viewer, system, part, Task::Add, &Form::default()))
}

/// Adds a part and goes on to the next that is missing, so that one walk takes all plates.
pub(in crate::web) async fn add(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Query(which): Query<WhichPart>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let part = Part::of_key(&which.part).ok_or(Error::NotFound)?;
    let system = app.store.read().await?.system(viewer.scope(), id).await?;
    let plate = read(&mut form, part);
    let installed_on = form.date("installed_on", "In place since");
    if form.is_good() {
        let component = chance::id(viewer.now);
        let mut tx = app.store.write().await?;
        let what = (&plate, viewer.by());
        match actions::add_component(&mut tx, component, (id, part), installed_on, what).await {
            Err(ActionError::Refused(refusal)) => {
                form.refuse(refusal.field(), refusal.to_string());
            }
            other => {
                other?;
                let next = next_part(&mut tx, id).await?;
                tx.commit().await?;
                return Ok(Redirect::to(&next).into_response());
            }
        }
    }
    refused_page(&component_page(&viewer, system, part, Task::Add, &form))
}

async fn next_part(tx: &mut Tx, system: Uuid) -> Result<String, Error> {
    let there = tx.components_of(system).await?;
    let is_there = |part: Part| there.iter().any(|it| it.part == part && it.removed_on.is_none());
    let wanted = [Part::OutdoorUnit, Part::IndoorCoil, Part::AirMover, Part::Filter];
    Ok(wanted.into_iter().find(|part| !is_there(*part)).map_or_else(
        || format!("/systems/{system}"),
        |part| format!("/systems/{system}/components/new?part={}", part.key()),
    ))
}

async fn component(app: &App, viewer: &Viewer, id: Uuid) -> Result<(Component, System), Error> {
    let mut tx = app.store.read().await?;
    let component = tx.component(id).await?;
    let system = tx.system(viewer.scope(), component.system_id).await?;
    Ok((component, system))
}

pub(in crate::web) async fn show_plate(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let (component, system) = component(&app, &viewer, id).await?;
    let task = Task::Correct { component: id, version: component.version };
    page(&component_page(&viewer, system, component.part, task, &typed(&component)))
}

pub(in crate::web) async fn correct_plate(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (component, system) = component(&app, &viewer, id).await?;
    let version = form.typed("version").parse().unwrap_or(component.version);
    let plate = read(&mut form, component.part);
    if form.is_good() {
        let mut tx = app.store.write().await?;
        match actions::correct_plate(&mut tx, id, version, &plate, viewer.by()).await {
            Err(ActionError::Refused(refusal)) => {
                form.refuse(refusal.field(), refusal.to_string());
            }
            other => {
                other?;
                tx.commit().await?;
                return Ok(Redirect::to(&format!("/systems/{}", system.id)).into_response());
            }
        }
    }
    let task = Task::Correct { component: id, version };
    refused_page(&component_page(&viewer, system, component.part, task, &form))
}

pub(in crate::web) async fn show_replacement(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let (component, system) = component(&app, &viewer, id).await?;
    let form = Form::new([("replaced_on".into(), viewer.today.to_string())]);
    let task = Task::Replace { component: id };
    page(&component_page(&viewer, system, component.part, task, &form))
}

pub(in crate::web) async fn replace(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (component, system) = component(&app, &viewer, id).await?;
    let on = form.required_date("replaced_on", "Replaced on");
    let plate = read(&mut form, component.part);
    if form.is_good() {
        let mut tx = app.store.write().await?;
        let (new, what) = (chance::id(viewer.now), (&plate, viewer.by()));
        match actions::replace_component(&mut tx, id, new, on, what).await {
            Err(ActionError::Refused(refusal)) => {
                form.refuse("replaced_on", refusal.to_string());
            }
            other => {
                other?;
                tx.commit().await?;
                return Ok(Redirect::to(&format!("/systems/{}", system.id)).into_response());
            }
        }
    }
    let task = Task::Replace { component: id };
    refused_page(&component_page(&viewer, system, component.part, task, &form))
}
