//! The refrigerant log: all that was moved, by day, system and cylinder, with the sums. For the
//! office.

use std::collections::HashMap;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use uuid::Uuid;

use crate::domain::closing::pounds_and_ounces;
use crate::review::refrigerant::{
    MUCH_OUNCE_TENTHS, MovedRow, OfCylinder, OfSystem, by_cylinder, by_system,
};
use crate::store::Moved;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Office;

/// Movements that are listed one by one; the sums go by all.
const LINES_SHOWN_MAX: usize = 500;

#[derive(Template)]
#[template(path = "pages/refrigerant_log.html")]
struct LogPage {
    frame: Frame,
    lines: Vec<Line>,
    cylinders: Vec<CylinderLine>,
    systems: Vec<SystemLine>,
    /// Systems at the head of the list that deserve a leak search.
    searches: usize,
    much: String,
    is_cut: bool,
}

/// One movement.
struct Line {
    moved: Moved,
    day: String,
    amount: String,
}

/// The sums of a cylinder.
struct CylinderLine {
    cylinder: String,
    refrigerant: String,
    added: String,
    recovered: String,
    last: String,
}

/// The sums of a system.
struct SystemLine {
    id: Uuid,
    name: String,
    place: String,
    added: String,
    recovered: String,
    made_up: String,
    deserves_a_search: bool,
}

pub(in crate::web) async fn show_log(
    State(app): State<App>,
    Office(viewer): Office,
) -> Result<Response, Error> {
    let moved = app.store.read().await?.moved().await?;
    let rows: Vec<MovedRow> = moved.iter().map(row).collect();
    let systems = by_system(&rows, viewer.today);
    let mut names: HashMap<Uuid, &Moved> = HashMap::new();
    for it in &moved {
        names.entry(it.system_id).or_insert(it);
    }
    let frame = Frame::new(&viewer, "Refrigerant log");
    page(&LogPage {
        frame,
        cylinders: by_cylinder(&rows).into_iter().map(cylinder_line).collect(),
        searches: systems.iter().filter(|it| it.deserves_a_search()).count(),
        systems: systems.iter().filter_map(|it| system_line(it, names.get(&it.system)?)).collect(),
        much: pounds_and_ounces(MUCH_OUNCE_TENTHS),
        is_cut: LINES_SHOWN_MAX < moved.len(),
        lines: moved.into_iter().take(LINES_SHOWN_MAX).map(line).collect(),
    })
}

fn row(it: &Moved) -> MovedRow {
    MovedRow {
        visit: it.visit_id,
        system: it.system_id,
        day: it.day,
        direction: it.direction,
        ounce_tenths: it.ounce_tenths,
        refrigerant: it.refrigerant.clone(),
        cylinder: it.cylinder.clone(),
    }
}

fn line(moved: Moved) -> Line {
    let (day, amount) = (display::day(moved.day), pounds_and_ounces(moved.ounce_tenths));
    Line { moved, day, amount }
}

fn cylinder_line(it: OfCylinder) -> CylinderLine {
    CylinderLine {
        cylinder: if it.cylinder.is_empty() { "not named".to_owned() } else { it.cylinder },
        refrigerant: it.refrigerant,
        added: amount(it.sum.added),
        recovered: amount(it.sum.recovered),
        last: display::day(it.last),
    }
}

fn system_line(it: &OfSystem, named: &Moved) -> Option<SystemLine> {
    (it.system == named.system_id).then(|| SystemLine {
        id: it.system,
        name: named.system_name.clone(),
        place: format!("{}, {}", named.customer_name, named.street),
        added: amount(it.sum.added),
        recovered: amount(it.sum.recovered),
        made_up: amount(it.made_up_of_year),
        deserves_a_search: it.deserves_a_search(),
    })
}

/// An amount, or nothing where nothing was moved.
fn amount(ounce_tenths: i64) -> String {
    if ounce_tenths == 0 { String::new() } else { pounds_and_ounces(ounce_tenths) }
}
