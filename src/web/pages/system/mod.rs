//! A system: all its visits side by side, one measure over the years, its parts.

pub(in crate::web) mod component;

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use time::Date;
use uuid::Uuid;

use super::cause_view::{Likeliest, likeliest};
use super::customer::FormPage;
use super::verdicts::{self, VerdictView};
use crate::actions;
use crate::chance;
use crate::domain::form::Form;
use crate::domain::nameplate::{self, SYSTEM_KINDS};
use crate::domain::visit::VisitKind;
use crate::engine::assessment::{Assessment, Outcome, Verdict};
use crate::engine::measures::{MEASURES, MeasureInfo, measure};
use crate::store::{Component, Finding, System, Tx, Visit};
use crate::web::App;
use crate::web::drawing::{TrendEvent, TrendPoint};
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::{Office, Viewer};
use crate::web::{display, drawing};

/// Visits beside the newest one in the table.
const EARLIER_MAX: usize = 6;

#[derive(Template)]
#[template(path = "pages/system.html")]
struct SystemPage {
    frame: Frame,
    system: System,
    summary: String,
    newest: Option<(Visit, String)>,
    earlier: Vec<(Uuid, String)>,
    /// By visit, the newest first; one whose cause could not be told has none.
    causes: Vec<Option<Likeliest>>,
    rows: Vec<HistoryRow>,
    open_visits: Vec<(Visit, String)>,
    findings: Vec<(Finding, String)>,
    parts: Vec<PartView>,
    office: bool,
    may_open_visits: bool,
    start_id: Uuid,
}

/// One measure over the visits.
struct HistoryRow {
    label: &'static str,
    unit: &'static str,
    measure: &'static str,
    newest: Option<VerdictView>,
    newest_left: String,
    earlier: Vec<Cell>,
}

struct Cell {
    class: &'static str,
    shape: &'static str,
    word: &'static str,
    text: String,
}

struct PartView {
    component: Component,
    when: String,
    facts: Vec<(&'static str, String)>,
}

#[derive(Template)]
#[template(path = "pages/measure.html")]
struct MeasurePage {
    frame: Frame,
    system: System,
    info: &'static MeasureInfo,
    trend: String,
    rows: Vec<(String, VerdictView)>,
}

/// A system's kind in words.
pub(in crate::web) fn kind_words(kind: &str) -> &str {
    SYSTEM_KINDS.iter().find(|it| it.0 == kind).map_or(kind, |it| it.1)
}

struct Judged {
    visit: Visit,
    assessment: Assessment,
}

async fn judged_visits(tx: &mut Tx, visits: &[Visit], system: Uuid) -> Result<Vec<Judged>, Error> {
    let judgements = tx.judgements_of_system(system).await?;
    Ok(visits
        .iter()
        .filter(|visit| visit.state.is_in())
        .filter_map(|visit| {
            let output = &judgements.iter().find(|it| it.visit_id == visit.id)?.output.0;
            Some(Judged { visit: visit.clone(), assessment: verdicts::assessment(output)? })
        })
        .collect())
}

pub(in crate::web) async fn show_system(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let system = tx.system(viewer.scope(), id).await?;
    let components = tx.components_of(id).await?;
    let visits = tx.visits_of_system(id).await?;
    let judged = judged_visits(&mut tx, &visits, id).await?;
    let findings = tx.findings_of_system(id).await?;
    drop(tx);
    let open = visits.iter().filter(|visit| {
        !visit.state.is_in()
            && !visit.state.is_void()
            && (viewer.role.runs_the_office() || visit.technician_id == Some(viewer.id))
    });
    page(&SystemPage {
        frame: Frame::new(&viewer, format!("{} · {}", system.name, system.street)),
        summary: summary(&system, &components),
        newest: judged.first().map(|it| (it.visit.clone(), display::day(it.visit.day))),
        earlier: judged
            .iter()
            .skip(1)
            .take(EARLIER_MAX)
            .map(|it| (it.visit.id, display::month_year(it.visit.day)))
            .collect(),
        causes: judged.iter().take(EARLIER_MAX + 1).map(|it| likeliest(&it.assessment)).collect(),
        rows: history(&judged),
        open_visits: open.map(|it| (it.clone(), display::weekday(it.day))).collect(),
        findings: findings
            .into_iter()
            .take(20)
            .map(|it| {
                let day = display::month_year(it.day);
                (it, day)
            })
            .collect(),
        parts: components.into_iter().map(part_view).collect(),
        office: viewer.role.runs_the_office(),
        may_open_visits: viewer.role.runs_the_office(),
        start_id: chance::id(viewer.now),
        system,
    })
}

/// The system in one line: kind, size, refrigerant, metering.
fn summary(system: &System, components: &[Component]) -> String {
    let mut words = vec![kind_words(&system.kind).to_owned()];
    let in_place = || components.iter().filter(|it| it.removed_on.is_none());
    for key in ["nominal_tons", "refrigerant", "metering"] {
        let field = nameplate::PLATE_FIELDS.iter().find(|field| field.key == key);
        let value = in_place().find_map(|it| it.nameplate.0.get(key));
        if let (Some(field), Some(value)) = (field, value) {
            words.push(nameplate::in_words(field, value));
        }
    }
    words.join(", ")
}

/// Every measure that some visit could say something of, over the visits, newest first.
fn history(judged: &[Judged]) -> Vec<HistoryRow> {
    let mut rows = Vec::new();
    for info in MEASURES {
        let of = |it: &Judged| verdict_of(&it.assessment, info.key).cloned();
        let all: Vec<Option<Verdict>> = judged.iter().take(EARLIER_MAX + 1).map(of).collect();
        let said = |it: &Option<Verdict>| {
            it.as_ref().is_some_and(|verdict| verdict.outcome != Outcome::NotTaken)
        };
        if !all.iter().any(said) {
            continue;
        }
        let cell = |(index, verdict): (usize, &Option<Verdict>)| {
            let left = judged.get(index).map_or_else(String::new, |it| left(it, info));
            cell(info, verdict.as_ref(), &left)
        };
        rows.push(HistoryRow {
            label: info.label,
            unit: info.unit,
            measure: info.key,
            newest: all.first().cloned().flatten().as_ref().and_then(verdicts::view),
            newest_left: judged.first().map_or_else(String::new, |it| left(it, info)),
            earlier: all.iter().enumerate().skip(1).map(cell).collect(),
        });
    }
    rows
}

/// The verdict that history compares: as found, for that is what a year did to it; as left where
/// nothing was found.
fn verdict_of<'a>(assessment: &'a Assessment, key: &str) -> Option<&'a Verdict> {
    let of = |verdicts: &'a [Verdict]| verdicts.iter().find(|it| it.measure == key);
    let found = of(&assessment.as_found.verdicts);
    match found {
        Some(verdict) if verdict.outcome != Outcome::NotTaken => found,
        _ => of(&assessment.as_left.verdicts).or(found),
    }
}

/// What it was left at, if it was read again.
fn left(judged: &Judged, info: &MeasureInfo) -> String {
    let found = judged.assessment.as_found.verdicts.iter().find(|it| it.measure == info.key);
    if found.is_none_or(|it| it.outcome == Outcome::NotTaken) {
        return String::new();
    }
    let verdict = judged.assessment.as_left.verdicts.iter().find(|it| it.measure == info.key);
    verdict
        .and_then(|it| it.value)
        .map_or_else(String::new, |value| display::number(value, info.decimals))
}

fn cell(info: &MeasureInfo, verdict: Option<&Verdict>, left: &str) -> Cell {
    let Some(verdict) = verdict else {
        let (class, shape) = (drawing::class(Outcome::NotTaken), drawing::shape(Outcome::NotTaken));
        return Cell { class, shape, word: drawing::word(Outcome::NotTaken), text: "–".into() };
    };
    let mut text =
        verdict.value.map_or_else(|| "–".to_owned(), |value| display::number(value, info.decimals));
    if !left.is_empty() {
        text = format!("{text} → {left}");
    }
    let outcome = verdict.outcome;
    Cell {
        class: drawing::class(outcome),
        shape: drawing::shape(outcome),
        word: drawing::word(outcome),
        text,
    }
}

fn part_view(component: Component) -> PartView {
    let when = match (component.installed_on, component.removed_on) {
        (Some(from), Some(to)) => format!("{} to {}", display::day(from), display::day(to)),
        (None, Some(to)) => format!("until {}", display::day(to)),
        (Some(from), None) => format!("since {}", display::day(from)),
        (None, None) => String::new(),
    };
    let plate = &component.nameplate.0;
    let day = |label, day: Option<Date>| Some((label, display::day(day?)));
    let mut facts: Vec<(&'static str, String)> = Vec::new();
    facts.extend(day("Made on", component.manufactured_on));
    facts.extend(day("Warranty until", component.warranty_until));
    facts.extend(nameplate::fields_of(component.part).filter_map(|field| {
        Some((field.label, nameplate::in_words(field, plate.get(field.key)?)))
    }));
    PartView { component, when, facts }
}

pub(in crate::web) async fn show_measure(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, key)): Path<(Uuid, String)>,
) -> Result<Response, Error> {
    let info = measure(&key).ok_or(Error::NotFound)?;
    let mut tx = app.store.read().await?;
    let system = tx.system(viewer.scope(), id).await?;
    let components = tx.components_of(id).await?;
    let visits = tx.visits_of_system(id).await?;
    let judged = judged_visits(&mut tx, &visits, id).await?;
    drop(tx);
    let mut points: Vec<TrendPoint> = judged
        .iter()
        .filter_map(|it| {
            let verdict = verdict_of(&it.assessment, info.key)?.clone();
            let day = display::day(it.visit.day);
            Some(TrendPoint { when: year_share(it.visit.day), day, verdict })
        })
        .collect();
    let rows = points
        .iter()
        .filter_map(|it| Some((it.day.clone(), verdicts::view(&it.verdict)?)))
        .collect();
    points.reverse();
    let events: Vec<TrendEvent> = components
        .iter()
        .filter_map(|it| {
            let words = format!("{} replaced", it.part.words());
            Some(TrendEvent { when: year_share(it.removed_on?), words })
        })
        .collect();
    page(&MeasurePage {
        frame: Frame::new(&viewer, format!("{} · {}", info.label, system.name)),
        trend: drawing::trend(info, &points, &events),
        info,
        rows,
        system,
    })
}

/// A day as year and share of the year.
fn year_share(day: Date) -> f64 {
    let length = f64::from(time::util::days_in_year(day.year()));
    f64::from(day.year()) + f64::from(day.ordinal() - 1) / length
}

fn system_form(viewer: &Viewer, form: &Form, title: &str, way: (String, String)) -> FormPage {
    let kinds = SYSTEM_KINDS.iter().map(|it| (it.0.to_owned(), it.1.to_owned())).collect();
    FormPage {
        frame: Frame::new(viewer, title),
        over: "Back".into(),
        over_address: way.0,
        action: way.1,
        button: "Save the system",
        hidden: vec![("id", new_id(form, viewer.now).to_string())],
        fields: vec![
            Field::line(form, "name", "Name at the site")
                .needed()
                .with_hint("Such as Upstairs, or Shop front."),
            Field::choice(form, "kind", "Kind", kinds),
        ],
        faults: faults(form),
    }
}

fn read(form: &mut Form) -> (String, String) {
    let kinds: Vec<&str> = SYSTEM_KINDS.iter().map(|it| it.0).collect();
    (form.required_line("name", "Name"), form.choice("kind", "Kind", &kinds))
}

async fn new_way(app: &App, viewer: &Viewer, site: Uuid) -> Result<(String, String), Error> {
    let site = app.store.read().await?.site(viewer.scope(), site).await?;
    Ok((format!("/customers/{}", site.customer_id), format!("/sites/{}/systems/new", site.id)))
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Office(viewer): Office,
    Path(site): Path<Uuid>,
) -> Result<Response, Error> {
    let way = new_way(&app, &viewer, site).await?;
    page(&system_form(&viewer, &Form::default(), "New system", way))
}

/// Adds a system and goes on to its first part.
pub(in crate::web) async fn add(
    State(app): State<App>,
    Office(viewer): Office,
    Path(site): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (name, kind) = read(&mut form);
    if !form.is_good() {
        let way = new_way(&app, &viewer, site).await?;
        return refused_page(&system_form(&viewer, &form, "New system", way));
    }
    let id = new_id(&form, viewer.now);
    let mut tx = app.store.write().await?;
    actions::add_system(&mut tx, id, site, (&name, &kind), viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/systems/{id}/components/new?part=outdoor_unit")).into_response())
}

fn edit_way(id: Uuid) -> (String, String) {
    (format!("/systems/{id}"), format!("/systems/{id}/edit"))
}

pub(in crate::web) async fn show_edit(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let system = app.store.read().await?.system(viewer.scope(), id).await?;
    let form = Form::new([("name".into(), system.name), ("kind".into(), system.kind)]);
    page(&system_form(&viewer, &form, "Change system", edit_way(id)))
}

pub(in crate::web) async fn change(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let (name, kind) = read(&mut form);
    if !form.is_good() {
        return refused_page(&system_form(&viewer, &form, "Change system", edit_way(id)));
    }
    let mut tx = app.store.write().await?;
    actions::change_system(&mut tx, id, &name, &kind, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/systems/{id}")).into_response())
}

/// The kinds of visit that a sheet can be filled for, for a choice.
fn kinds() -> Vec<VisitKind> {
    VisitKind::WITH_SHEET.to_vec()
}
