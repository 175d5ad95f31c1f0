//! What causes are told by: every row of the program's own table, for the owner to read.

use askama::Template;
use axum::response::Response;

use crate::engine::causes::{CAUSES, CauseName, SignatureRow, signature_rows};
use crate::engine::likely::label;
use crate::engine::measures;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Owner;

#[derive(Template)]
#[template(path = "pages/signature.html")]
struct SignaturePage {
    frame: Frame,
    causes: Vec<CauseRows>,
}

/// One cause with all that it is told by.
struct CauseRows {
    key: &'static str,
    label: &'static str,
    dose: &'static str,
    rows: Vec<MeasureRow>,
}

/// What a cause does to one measure, with either metering device.
struct MeasureRow {
    label: &'static str,
    valve: Option<Course>,
    fixed: Option<Course>,
    source: String,
}

struct Course {
    words: String,
    spread: String,
}

/// Every cause with its measures in the order of the table.
pub(in crate::web) async fn show_signatures(Owner(viewer): Owner) -> Result<Response, Error> {
    let all: Vec<SignatureRow> = signature_rows().collect();
    let faults = CAUSES.iter().filter(|it| it.name != CauseName::NoFault);
    let causes = faults.map(|it| CauseRows {
        key: it.key,
        label: it.label,
        dose: dose(it.name).1,
        rows: measure_rows(&all, it.name),
    });
    let frame = Frame::new(&viewer, "What causes are told by");
    page(&SignaturePage { frame, causes: causes.collect() })
}

fn measure_rows(all: &[SignatureRow], cause: CauseName) -> Vec<MeasureRow> {
    let mine: Vec<&SignatureRow> = all.iter().filter(|it| it.cause == cause).collect();
    let mut measures: Vec<&'static str> = Vec::new();
    for row in &mine {
        if !measures.contains(&row.measure) {
            measures.push(row.measure);
        }
    }
    let rows = measures.into_iter().map(|measure| {
        let of = |is_for_valves: bool| {
            let mut mine = mine.iter();
            mine.find(|it| it.measure == measure && it.is_for_valves == is_for_valves)
        };
        let (valve, fixed) = (of(true), of(false));
        MeasureRow {
            label: label(measure).unwrap_or(measure),
            valve: valve.map(|it| course(it)),
            fixed: fixed.map(|it| course(it)),
            source: source(valve.map(|it| it.source), fixed.map(|it| it.source)),
        }
    });
    rows.collect()
}

fn source(valve: Option<&str>, fixed: Option<&str>) -> String {
    match (valve, fixed) {
        (Some(one), Some(other)) if one != other => {
            format!("Valve: {one}; fixed device: {other}")
        }
        (one, other) => display::capitalised(one.or(other).unwrap_or_default()),
    }
}

fn course(row: &SignatureRow) -> Course {
    let spread = format!("uncertain by {} % of it", display::number(100.0 * row.spread, 0));
    let by_definition = "exactly, by definition".to_owned();
    Course { words: words(row), spread: if row.spread > 0.0 { spread } else { by_definition } }
}

/// The slope in words for one dose, such as `falls by 5.2 °F`.
fn words(row: &SignatureRow) -> String {
    let (size, _) = dose(row.cause);
    if row.measure == "airflow_cfm_per_ton" {
        return "is short by what is missing".to_owned();
    }
    if row.scale.starts_with("of the saturation") {
        let (verb, percent) = (verb(row.slope), display::number(100.0 * row.slope.abs(), 0));
        return format!("{verb} by {percent} % of what the saturation does with that pressure");
    }
    let moved = |slope: f64| format!("{} by {}", verb(slope), amount(row, slope * size));
    let (first, then, knee) = (row.slope, row.slope + row.beyond, &row.knee);
    match (is_something(first), is_something(row.beyond)) {
        (true, false) => moved(first),
        (false, true) => format!("stays at first; {knee} it {}", moved(then)),
        _ => format!("{}; {knee} it {}", moved(first), moved(then)),
    }
}

fn is_something(slope: f64) -> bool {
    0.0 < slope.abs()
}

fn verb(slope: f64) -> &'static str {
    if slope < 0.0 { "falls" } else { "rises" }
}

/// How far, in the measure's unit or as a share, with as many digits as mean something.
fn amount(row: &SignatureRow, moved: f64) -> String {
    let is_share = row.is_share || !row.scale.is_empty();
    let size = if is_share { 100.0 * moved.abs() } else { moved.abs() };
    let decimals = match size {
        it if 10.0 <= it => 0,
        it if 1.0 <= it => 1,
        _ => 2,
    };
    let number = display::number(size, decimals);
    let unit = measures::measure(row.measure).map_or("", |it| it.unit);
    match (is_share, row.scale.is_empty()) {
        (false, _) => format!("{number} {unit}"),
        (true, true) => format!("{number} %"),
        (true, false) => format!("{number} % {}", row.scale),
    }
}

/// How much of a severity is spoken of at once, and in which words it stands over a table.
fn dose(cause: CauseName) -> (f64, &'static str) {
    match cause {
        CauseName::LowCharge => (10.0, "For each 10 % of the charge short"),
        CauseName::ExcessCharge => (10.0, "For each 10 % of the charge too much"),
        // Of an airflow a slope is told for as much missing as is left.
        CauseName::LowIndoorAirflow | CauseName::LowOutdoorAirflow => {
            (1.0, "Where half of the air is missing")
        }
        CauseName::FeedRestriction => {
            (10.0, "For each 10 psi lost on the way, where 236 psi drive the flow")
        }
        CauseName::OverfeedingMetering => (10.0, "For each 10 % wider open"),
        CauseName::NonCondensables => (10.0, "For each 10 psi of the gas"),
        CauseName::CompressorNotPumping => (10.0, "For each 10 % of the flow missing"),
        CauseName::NoFault => (1.0, ""),
    }
}
