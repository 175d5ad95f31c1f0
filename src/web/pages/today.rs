//! The technician's day: stops in order, what to bring, what was found there before.

use std::cmp::Ordering;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use time::{Date, Duration};

use super::visit::last_remarks;
use crate::domain::nameplate::{self, Part};
use crate::domain::visit::VisitState;
use crate::store::{Component, Finding, Remark, Visit};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/today.html")]
struct TodayPage {
    frame: Frame,
    day: String,
    earlier: Vec<Stop>,
    today: Vec<Stop>,
    tomorrow: Vec<Stop>,
}

/// One visit of the day.
struct Stop {
    visit: Visit,
    when: String,
    address: String,
    bring: Vec<String>,
    findings: Vec<Finding>,
    /// What the owner wrote when the sheet last went back.
    remarks: Vec<Remark>,
}

/// Findings beside a stop at most.
const FINDINGS_MAX: usize = 4;

pub(in crate::web) async fn show_today(
    State(app): State<App>,
    viewer: Viewer,
) -> Result<Response, Error> {
    let next = viewer.today + Duration::days(1);
    let mut tx = app.store.read().await?;
    let visits =
        tx.visits_of_technician(viewer.id, (viewer.today, next), viewer.scope().since).await?;
    let (mut earlier, mut today, mut tomorrow) = (Vec::new(), Vec::new(), Vec::new());
    for visit in visits {
        let components = tx.components_of(visit.system_id).await?;
        let findings = tx.findings_of_system(visit.system_id).await?;
        let day = visit.day;
        let sent_back = visit.state == VisitState::SentBack;
        let remarks = if sent_back { tx.remarks_on(visit.id).await? } else { Vec::new() };
        let stop = stop(
            visit,
            (&components, findings),
            last_remarks(&remarks).cloned().collect(),
            viewer.today,
        );
        match day.cmp(&viewer.today) {
            Ordering::Less => earlier.push(stop),
            Ordering::Equal => today.push(stop),
            Ordering::Greater => tomorrow.push(stop),
        }
    }
    page(&TodayPage {
        frame: Frame::new(&viewer, "Today"),
        day: display::weekday(viewer.today),
        earlier,
        today,
        tomorrow,
    })
}

fn stop(
    visit: Visit,
    (components, findings): (&[Component], Vec<Finding>),
    remarks: Vec<Remark>,
    today: Date,
) -> Stop {
    let time = display::minute(visit.start_minute);
    Stop {
        remarks,
        when: if visit.day == today {
            time
        } else {
            format!("{}, {time}", display::weekday(visit.day))
        },
        address: if visit.state.is_open() && visit.kind.has_cooling_sheet() {
            format!("/visits/{}/sheet", visit.id)
        } else {
            format!("/visits/{}", visit.id)
        },
        bring: bring(components),
        findings: findings
            .into_iter()
            .filter(|it| !it.fixed && it.visit_id != visit.id)
            .take(FINDINGS_MAX)
            .collect(),
        visit,
    }
}

/// Filters by size, capacitors by rating: what the plates say will be wanted.
fn bring(components: &[Component]) -> Vec<String> {
    let in_place =
        |part: Part| components.iter().find(|it| it.part == part && it.removed_on.is_none());
    let said = |component: &Component, key: &str| {
        let value = component.nameplate.0.get(key)?;
        Some(nameplate::typed_again(value))
    };
    let mut bring = Vec::new();
    if let Some(filter) = in_place(Part::Filter)
        && let Some(size) = said(filter, "filter_size")
    {
        let count = said(filter, "filter_count").unwrap_or_else(|| "1".to_owned());
        bring.push(format!("{count} × filter {size}"));
    }
    if let Some(unit) = in_place(Part::OutdoorUnit)
        && let Some(compressor) = said(unit, "capacitor_compressor_rated_uf")
    {
        bring.push(match said(unit, "capacitor_fan_rated_uf") {
            Some(fan) => format!("capacitor {compressor}/{fan} µF"),
            None => format!("capacitor {compressor} µF"),
        });
    }
    if let Some(blower) = in_place(Part::AirMover)
        && let Some(size) = said(blower, "capacitor_blower_rated_uf")
    {
        bring.push(format!("blower capacitor {size} µF"));
    }
    bring
}
