//! What recurs over the whole base, and the systems behind each row. For the owner.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use serde::Deserialize;
use uuid::Uuid;

use crate::domain::nameplate::Part;
use crate::domain::person::folded;
use crate::review::recurrence::{self, Found, InPlace, Rate};
use crate::store::{FoundOn, TimeInPlace, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Owner;

#[derive(Template)]
#[template(path = "pages/review.html")]
struct ReviewPage {
    frame: Frame,
    chosen: String,
    rows: Vec<Line>,
    subjects: Vec<Line>,
    unplaced: usize,
}

/// One row of either table.
struct Line {
    name: String,
    part: &'static str,
    address: String,
    findings: usize,
    systems: usize,
    systems_with: usize,
    years: String,
    rate: String,
    interval: String,
}

#[derive(Template)]
#[template(path = "pages/review_row.html")]
struct ReviewRowPage {
    frame: Frame,
    part: Part,
    heading: String,
    systems: Vec<SystemBehind>,
}

/// A system behind a row, with what was found there.
struct SystemBehind {
    id: Uuid,
    name: String,
    customer: String,
    street: String,
    years: String,
    gone: bool,
    found: Vec<(Uuid, String, String)>,
}

#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct WhichPart {
    #[serde(default)]
    part: String,
}

/// Which row: make and model as on the plate, both may be empty.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct WhichModel {
    #[serde(default)]
    make: String,
    #[serde(default)]
    model: String,
}

async fn rows(tx: &mut Tx) -> Result<(Vec<TimeInPlace>, Vec<FoundOn>), Error> {
    Ok((tx.times_in_place().await?, tx.found_on_components().await?))
}

fn in_place(row: &TimeInPlace) -> InPlace {
    InPlace {
        component: row.component_id,
        system: row.system_id,
        part: row.part,
        make: row.make.clone(),
        model: row.model.clone(),
        installed_on: row.installed_on,
        first_visit: row.first_visit,
        last_visit: row.last_visit,
    }
}

pub(in crate::web) async fn show_review(
    State(app): State<App>,
    Owner(viewer): Owner,
    Query(which): Query<WhichPart>,
) -> Result<Response, Error> {
    let (times, found_on) = rows(&mut app.store.read().await?).await?;
    let chosen = Part::of_key(&which.part);
    let known: BTreeSet<Uuid> = times.iter().map(|it| it.component_id).collect();
    let is_placed = |it: &&FoundOn| it.component_id.is_some_and(|id| known.contains(&id));
    let unplaced = found_on.len() - found_on.iter().filter(is_placed).count();
    let there: Vec<InPlace> =
        times.iter().filter(|it| chosen.is_none_or(|part| it.part == part)).map(in_place).collect();
    let found: Vec<Found> = found_on
        .into_iter()
        .filter_map(|it| {
            Some(Found { component: it.component_id?, visit: it.visit_id, subject: it.subject })
        })
        .collect();
    page(&ReviewPage {
        frame: Frame::new(&viewer, "Review"),
        chosen: chosen.map_or_else(String::new, |part| part.key().to_owned()),
        rows: recurrence::by_model(&there, &found).iter().map(model_line).collect(),
        subjects: recurrence::by_subject(&there, &found).iter().map(subject_line).collect(),
        unplaced,
    })
}

/// Make and model as one name, and what stands there if the plate says neither.
fn model_name(make: &str, model: &str) -> String {
    match (make.trim(), model.trim()) {
        ("", "") => "Make and model not written down".to_owned(),
        ("", model) => format!("Make not written down, {model}"),
        (make, "") => format!("{make}, model not written down"),
        (make, model) => format!("{make} {model}"),
    }
}

fn model_line(row: &recurrence::Row) -> Line {
    let asked = form_urlencoded::Serializer::new(String::new())
        .append_pair("make", &row.make)
        .append_pair("model", &row.model)
        .finish();
    let (rate, interval) = rate_words(row.rate);
    Line {
        name: model_name(&row.make, &row.model),
        part: row.part.words(),
        address: format!("/review/{}?{asked}", row.part.key()),
        findings: row.findings,
        systems: row.systems,
        systems_with: row.systems_with,
        years: display::number(row.system_years, 1),
        rate,
        interval,
    }
}

fn subject_line(row: &recurrence::SubjectRow) -> Line {
    let (rate, interval) = rate_words(row.rate);
    Line {
        name: row.subject.clone(),
        part: row.part.words(),
        address: String::new(),
        findings: row.findings,
        systems: 0,
        systems_with: row.systems_with,
        years: display::number(row.system_years, 1),
        rate,
        interval,
    }
}

fn rate_words(rate: Option<Rate>) -> (String, String) {
    let Some(rate) = rate else { return ("–".to_owned(), "no time yet".to_owned()) };
    let number = |value| display::number(value, 2);
    (number(rate.a_year), format!("{} to {}", number(rate.low), number(rate.high)))
}

pub(in crate::web) async fn show_row(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(part): Path<String>,
    Query(which): Query<WhichModel>,
) -> Result<Response, Error> {
    let part = Part::of_key(&part).ok_or(Error::NotFound)?;
    let (times, found_on) = rows(&mut app.store.read().await?).await?;
    let wanted = (part, folded(&which.make), folded(&which.model));
    let behind: Vec<&TimeInPlace> =
        times.iter().filter(|it| in_place(it).kind() == wanted).collect();
    let first = behind.first().ok_or(Error::NotFound)?;
    let heading = model_name(&first.make, &first.model);
    let mut systems = systems_behind(&behind, &found_on);
    systems.sort_by(|a, b| {
        let name = |it: &SystemBehind| (it.customer.clone(), it.street.clone(), it.name.clone());
        b.found.len().cmp(&a.found.len()).then_with(|| name(a).cmp(&name(b)))
    });
    page(&ReviewRowPage {
        frame: Frame::new(&viewer, format!("{heading} · Review")),
        part,
        heading,
        systems,
    })
}

fn systems_behind(behind: &[&TimeInPlace], found_on: &[FoundOn]) -> Vec<SystemBehind> {
    let mut systems: BTreeMap<Uuid, Vec<&TimeInPlace>> = BTreeMap::new();
    for it in behind {
        systems.entry(it.system_id).or_default().push(it);
    }
    let of_system = |(id, all): (Uuid, Vec<&TimeInPlace>)| {
        let first = all.first()?;
        let mut seen = BTreeSet::new();
        let mut found: Vec<(Uuid, String, String)> = found_on
            .iter()
            .filter(|it| all.iter().any(|there| Some(there.component_id) == it.component_id))
            .filter(|it| seen.insert((it.component_id, it.visit_id, it.subject.as_str())))
            .map(|it| (it.visit_id, display::day(it.day), it.subject.clone()))
            .collect();
        found.reverse();
        Some(SystemBehind {
            id,
            name: first.system_name.clone(),
            customer: first.customer_name.clone(),
            street: first.street.clone(),
            years: display::number(all.iter().map(|it| in_place(it).years()).sum(), 1),
            gone: all.iter().all(|it| it.removed_on.is_some()),
            found,
        })
    };
    systems.into_iter().filter_map(of_system).collect()
}
