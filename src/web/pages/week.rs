//! The week: technicians by days, each visit at its time.

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;
use time::{Date, Duration};
use uuid::Uuid;

use crate::domain::form;
use crate::domain::visit::VisitState;
use crate::store::Visit;
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Office;

#[derive(Template)]
#[template(path = "pages/week.html")]
struct WeekPage {
    frame: Frame,
    heading: String,
    before: Date,
    after: Date,
    days: Vec<(String, bool)>,
    rows: Vec<Row>,
}

/// One technician's week.
struct Row {
    id: Option<Uuid>,
    name: String,
    days: Vec<Vec<Stop>>,
}

/// One visit in the table.
struct Stop {
    visit: Visit,
    time: String,
    state: &'static str,
}

/// Which week: any day of it.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct WhichWeek {
    #[serde(default)]
    first: String,
}

pub(in crate::web) async fn show_week(
    State(app): State<App>,
    Office(viewer): Office,
    Query(which): Query<WhichWeek>,
) -> Result<Response, Error> {
    let day = form::date(&which.first).unwrap_or(viewer.today);
    let first = day - Duration::days(i64::from(day.weekday().number_days_from_monday()));
    let days: Vec<Date> = (0..7).map(|number| first + Duration::days(number)).collect();
    let mut tx = app.store.read().await?;
    let technicians = tx.technicians().await?;
    let visits = tx.visits_between(first, first + Duration::days(6)).await?;
    drop(tx);
    let mut rows: Vec<Row> = technicians
        .into_iter()
        .map(|it| Row { id: Some(it.id), name: it.name, days: week() })
        .collect();
    for visit in visits {
        let name = visit.technician_name.clone();
        let at = rows.iter().position(|row| row.id == visit.technician_id).unwrap_or_else(|| {
            let name = name.unwrap_or_else(|| "Nobody yet".to_owned());
            rows.push(Row { id: visit.technician_id, name, days: week() });
            rows.len() - 1
        });
        let day = usize::try_from((visit.day - first).whole_days()).unwrap_or_default();
        if let Some(cell) = rows.get_mut(at).and_then(|row| row.days.get_mut(day)) {
            cell.push(stop(visit));
        }
    }
    page(&WeekPage {
        frame: Frame::new(&viewer, "Week"),
        heading: format!(
            "{} to {}",
            display::weekday(first),
            display::day(first + Duration::days(6))
        ),
        before: first - Duration::days(7),
        after: first + Duration::days(7),
        days: days.iter().map(|day| (display::weekday(*day), *day == viewer.today)).collect(),
        rows,
    })
}

fn week() -> Vec<Vec<Stop>> {
    (0..7).map(|_| Vec::new()).collect()
}

fn stop(visit: Visit) -> Stop {
    let time = display::minute(visit.start_minute);
    let state = if visit.state == VisitState::Booked { "" } else { visit.state.words() };
    Stop { visit, time, state }
}
