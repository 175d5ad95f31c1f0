//! Booking a visit and moving a booked one, beside what everybody has that day.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use time::Date;
use uuid::Uuid;

use super::due::season_words;
use crate::actions::{self, ActionError, Booking};
use crate::chance;
use crate::domain::form::{self, Form};
use crate::domain::refusal::Refusal;
use crate::domain::visit::{VisitKind, VisitState};
use crate::store::{Covered, Slot, System, Tx, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::{Office, Viewer};

/// How long a visit is planned to take where nothing else is said.
const MINUTES: &str = "90";
/// The shortest and the longest visit that can be booked.
const MINUTES_BOUNDS: (i64, i64) = (15, 720);

#[derive(Template)]
#[template(path = "pages/booking.html")]
struct BookingPage {
    frame: Frame,
    over: String,
    over_address: String,
    heading: String,
    subject: String,
    action: String,
    button: &'static str,
    hidden: Vec<(&'static str, String)>,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
    day: String,
    week: String,
    people: Vec<(String, Vec<Stop>)>,
}

/// A visit of the chosen day.
struct Stop {
    visit: Visit,
    from: String,
    to: String,
}

/// What is to be booked, or moved, as the form stands.
enum Task {
    New { system: System, promise: Option<(Covered, i64)> },
    Move { visit: Visit },
}

/// What a form says of the system and the promise; `NotFound` for what isn't there.
async fn new_task(tx: &mut Tx, viewer: &Viewer, form: &Form) -> Result<Task, Error> {
    let id = |name: &str| form.typed(name).parse::<Uuid>().map_err(|_| Error::NotFound);
    let system = tx.system(viewer.scope(), id("system")?).await?;
    if form.typed("agreement").is_empty() {
        return Ok(Task::New { system, promise: None });
    }
    let covered = tx.covered(id("agreement")?, system.id).await?.ok_or(Error::NotFound)?;
    let year = form.typed("year").parse().map_err(|_| Error::NotFound)?;
    Ok(Task::New { system, promise: Some((covered, year)) })
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Office(viewer): Office,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Response, Error> {
    let mut form = Form::new(asked);
    form.preset("id", chance::id(viewer.now).to_string());
    form.preset("minutes", MINUTES);
    form.preset("time", "9:00");
    let mut tx = app.store.read().await?;
    let task = new_task(&mut tx, &viewer, &form).await?;
    form.preset("day", first_day(&task, &form, viewer.today).to_string());
    page(&booking_page(&mut tx, &viewer, &task, &form).await?)
}

/// Today, or the first day of a window that is not open yet.
fn first_day(task: &Task, form: &Form, today: Date) -> Date {
    let Task::New { promise: Some((covered, year)), .. } = task else { return today };
    let kind = VisitKind::of_key(form.typed("kind"));
    let season = covered.seasons.0.iter().find(|it| Some(it.kind) == kind);
    let year = i32::try_from(*year).ok().filter(|year| (1900..=2200).contains(year));
    match (season, year) {
        (Some(season), Some(year)) => season.window(year).0.max(today),
        _ => today,
    }
}

/// Books the visit; refused, the form comes back with what was typed.
pub(in crate::web) async fn book_visit(
    State(app): State<App>,
    Office(viewer): Office,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let id = form.typed("id").parse().map_err(|_| Error::Unreadable)?;
    let task = new_task(&mut app.store.read().await?, &viewer, &form).await?;
    let Task::New { system, promise } = &task else { return Err(Error::NotFound) };
    let kinds = VisitKind::WITH_SHEET.map(VisitKind::key);
    let kind = VisitKind::of_key(&form.choice("kind", "What for", &kinds));
    let (technician_id, slot) = read(&mut form, viewer.today);
    let (Some(kind), Some(technician_id), true) = (kind, technician_id, form.is_good()) else {
        return again(&app, &viewer, (&task, &form), StatusCode::UNPROCESSABLE_ENTITY).await;
    };
    let booking = Booking {
        id,
        system_id: system.id,
        kind,
        technician_id,
        slot,
        promise: promise.as_ref().map(|(covered, year)| (covered.agreement_id, *year)),
    };
    let mut tx = app.store.write().await?;
    match actions::book_visit(&mut tx, &booking, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            let status = refused(&mut form, &refusal);
            return again(&app, &viewer, (&task, &form), status).await;
        }
        other => other?,
    }
    tx.commit().await?;
    let way = if promise.is_some() { "/due".to_owned() } else { format!("/visits/{id}") };
    Ok(Redirect::to(&way).into_response())
}

pub(in crate::web) async fn show_move(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if visit.state != VisitState::Booked {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    let mut form = Form::new(asked);
    form.preset("technician", visit.technician_id.map_or_else(String::new, |it| it.to_string()));
    form.preset("day", visit.day.to_string());
    form.preset("time", clock_time(visit.start_minute));
    form.preset("minutes", visit.minutes.to_string());
    page(&booking_page(&mut tx, &viewer, &Task::Move { visit }, &form).await?)
}

/// Moves the visit; refused, the form comes back with what was typed.
pub(in crate::web) async fn move_visit(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let visit = app.store.read().await?.visit(viewer.scope(), id).await?;
    let (technician, slot) = read(&mut form, viewer.today);
    let (Some(technician), true) = (technician, form.is_good()) else {
        let task = Task::Move { visit };
        return again(&app, &viewer, (&task, &form), StatusCode::UNPROCESSABLE_ENTITY).await;
    };
    let mut tx = app.store.write().await?;
    match actions::move_visit(&mut tx, &visit, technician, slot, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            let status = refused(&mut form, &refusal);
            return again(&app, &viewer, (&Task::Move { visit }, &form), status).await;
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/visits/{id}")).into_response())
}

/// Puts the sentence at its field, and says whether somebody else was in the way.
fn refused(form: &mut Form, refusal: &Refusal) -> StatusCode {
    form.refuse(refusal.field(), refusal.to_string());
    match refusal {
        Refusal::Busy(_)
        | Refusal::BookedAlready
        | Refusal::SentBefore
        | Refusal::Changed
        | Refusal::WrongState(_) => StatusCode::CONFLICT,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

async fn again(
    app: &App,
    viewer: &Viewer,
    (task, form): (&Task, &Form),
    status: StatusCode,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page_with(status, &booking_page(&mut tx, viewer, task, form).await?)
}

/// Who and when. A visit in the past is not booked but started on the spot.
fn read(form: &mut Form, today: Date) -> (Option<Uuid>, Slot) {
    let technician = form.typed("technician").parse().ok();
    if technician.is_none() {
        form.refuse("technician", Refusal::NotATechnician.to_string());
    }
    let day = form.required_date("day", "Day");
    if form.fault("day").is_none() && day < today {
        form.refuse("day", format!("Day: {} has passed.", display::weekday(day)));
    }
    let start_minute = form.required_time("time", "Time");
    let minutes = form.required_whole("minutes", "Minutes", MINUTES_BOUNDS);
    (technician, Slot { day, start_minute, minutes })
}

async fn booking_page(
    tx: &mut Tx,
    viewer: &Viewer,
    task: &Task,
    form: &Form,
) -> Result<BookingPage, Error> {
    let technicians = tx.technicians().await?;
    let day = form::date(form.typed("day")).unwrap_or(viewer.today);
    let visits = tx.visits_between(day, day).await?;
    let mut fields = Vec::new();
    if let Task::New { promise: None, .. } = task {
        let kinds = VisitKind::WITH_SHEET.map(|it| (it.key().to_owned(), it.words().to_owned()));
        fields.push(Field::choice(form, "kind", "What for", kinds.to_vec()));
    }
    let mut who = vec![(String::new(), "Choose a technician".to_owned())];
    who.extend(technicians.iter().map(|it| (it.id.to_string(), it.name.clone())));
    fields.push(Field::choice(form, "technician", "Technician", who).needed());
    fields.push(Field::day(form, "day", "Day").needed());
    let mut time = Field::time(form, "time", "Time").needed();
    if let Some(minute) = form::minute_of_day(form.typed("time")) {
        time.typed = clock_time(i64::from(minute));
    }
    fields.push(time);
    fields.push(Field::number(form, "minutes", "How long", "minutes").needed());
    let of = |person: Uuid| {
        visits.iter().filter(|it| it.technician_id == Some(person)).cloned().map(stop).collect()
    };
    let people = technicians.iter().map(|it| (it.name.clone(), of(it.id))).collect();
    let words = task_words(task, form);
    Ok(BookingPage {
        frame: Frame::new(viewer, words.heading.clone()),
        over: words.over.0,
        over_address: words.over.1,
        heading: words.heading,
        subject: words.subject,
        action: words.action,
        button: words.button,
        hidden: words.hidden,
        fields,
        faults: faults(form),
        day: display::weekday(day),
        week: format!("/week?first={day}"),
        people,
    })
}

struct TaskWords {
    over: (String, String),
    heading: String,
    subject: String,
    action: String,
    button: &'static str,
    hidden: Vec<(&'static str, String)>,
}

fn task_words(task: &Task, form: &Form) -> TaskWords {
    let kept = |name: &'static str| (name, form.typed(name).to_owned());
    match task {
        Task::New { system, promise: None } => TaskWords {
            over: (system.name.clone(), format!("/systems/{}", system.id)),
            heading: "Book a visit".to_owned(),
            subject: place(&system.customer_name, &system.street, &system.name),
            action: "/visits/new".to_owned(),
            button: "Book this visit",
            hidden: vec![kept("id"), kept("system")],
        },
        Task::New { system, promise: Some((covered, year)) } => {
            let kind = VisitKind::of_key(form.typed("kind"));
            let season = covered.seasons.0.iter().copied().find(|it| Some(it.kind) == kind);
            let window = i32::try_from(*year).ok().filter(|year| (1900..=2200).contains(year));
            let window = season.zip(window).map(|(season, year)| season_words(season, year));
            let window = window.map_or_else(String::new, |it| format!(" · window {it}"));
            let place = place(&system.customer_name, &system.street, &system.name);
            TaskWords {
                over: ("Due".to_owned(), "/due".to_owned()),
                heading: format!("Book: {}", kind.map_or("a visit", VisitKind::words)),
                subject: format!("{place}{window}"),
                action: "/visits/new".to_owned(),
                button: "Book this visit",
                hidden: ["id", "system", "kind", "agreement", "year"].map(kept).to_vec(),
            }
        }
        Task::Move { visit } => TaskWords {
            over: ("The visit".to_owned(), format!("/visits/{}", visit.id)),
            heading: format!("Move: {}", visit.kind.words()),
            subject: place(&visit.customer_name, &visit.street, &visit.system_name),
            action: format!("/visits/{}/booking", visit.id),
            button: "Move this visit",
            hidden: Vec::new(),
        },
    }
}

fn place(customer: &str, street: &str, system: &str) -> String {
    format!("{customer}, {street}, {system}")
}

fn stop(visit: Visit) -> Stop {
    Stop {
        from: display::minute(visit.start_minute),
        to: display::minute(visit.start_minute + visit.minutes),
        visit,
    }
}

/// `09:05`, as a field for a time wants it.
fn clock_time(minute: i64) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}
