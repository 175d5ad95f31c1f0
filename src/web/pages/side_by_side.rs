//! The owner's review of one sheet: every field beside the last visit to the same system, what moved,
//! what there is to doubt, and remarks at fields.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::visit::{field_words, when};
use crate::actions::{self, InReview, LastVisit};
use crate::domain::form::Form;
use crate::domain::last_visit::LastField;
use crate::domain::requirement;
use crate::domain::sheet::Block;
use crate::domain::visit::VisitState;
use crate::review::side_by_side::{Fields, Line, side_by_side};
use crate::store::{Remark, Tx, Visit};
use crate::web::error::Error;
use crate::web::fields::{Field, faults};
use crate::web::frame::{Frame, page};
use crate::web::told_hazard::ToldHazard;
use crate::web::viewer::{Owner, Viewer};
use crate::web::{App, display, drawing};

#[derive(Template)]
#[template(path = "pages/side_by_side.html")]
struct ReviewPage {
    frame: Frame,
    visit: Visit,
    when: String,
    /// The last visit's address and day.
    last: Option<(Uuid, String)>,
    hazards: Vec<ToldHazard>,
    reasons: Vec<String>,
    /// What it needs and lacks: what, who asks for it, why it is missing.
    missing: Vec<(String, &'static str, String)>,
    held_against: i64,
    moved: usize,
    empty: usize,
    blocks: Vec<(&'static Block, Vec<Row>)>,
    may_decide: bool,
    whole: Field,
    faults: Vec<(String, String)>,
}

/// One thing of the sheet, ready to be shown.
struct Row {
    name: String,
    label: String,
    last: Option<Cell>,
    last_left: Option<Cell>,
    found: Option<Cell>,
    left: Option<Cell>,
    moved: Vec<String>,
    remarks: Vec<Remark>,
    typed: String,
}

/// What stands in a field, with the verdict that is shown there.
struct Cell {
    text: String,
    mark: String,
    class: &'static str,
}

impl Cell {
    fn new(field: LastField) -> Self {
        Self {
            mark: field.outcome.map_or_else(String::new, drawing::mark),
            class: field.outcome.map_or("", drawing::class),
            text: field.text,
        }
    }
}

pub(in crate::web) async fn show_review(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_in() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    page(&review_page(&mut tx, &viewer, visit, &Form::default()).await?)
}

/// The page; a form that comes back keeps what was typed.
pub(in crate::web) async fn review_page(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: Visit,
    form: &Form,
) -> Result<impl Template + use<>, Error> {
    let sheet = actions::in_review(tx, &visit).await?;
    let last = actions::last_year(tx, &visit).await?;
    let remarks = tx.remarks_on(visit.id).await?;
    let hazards = ToldHazard::all(&tx.hazards_of(visit.id).await?, viewer);
    let lines = lines(&sheet, last.as_ref());
    let moved = lines.iter().flat_map(|it| &it.1).filter(|it| !it.moved.is_empty()).count();
    let empty = lines.iter().flat_map(|it| &it.1).filter(|it| it.is_empty()).count();
    let missing = sheet.missing.iter().map(|it| {
        let required = &it.required;
        (requirement::words(required.field), required.by.words(), it.reason.clone())
    });
    Ok(ReviewPage {
        frame: Frame::new(viewer, format!("Review · {}", visit.street)),
        when: when(&visit),
        last: last.map(|it| (it.id, display::day(it.day))),
        hazards,
        missing: missing.collect(),
        held_against: sheet.needed.number,
        moved,
        empty,
        blocks: rows(lines, &remarks, form),
        may_decide: visit.state == VisitState::HandedIn,
        whole: Field::lines(form, "text", "On the whole sheet: what should be looked at again"),
        faults: faults(form),
        reasons: sheet.doubted.reasons,
        visit,
    })
}

fn lines(sheet: &InReview, last: Option<&LastVisit>) -> Vec<(&'static Block, Vec<Line>)> {
    let judged = sheet.assessment.as_ref();
    let now = actions::fields_of_sheet(&sheet.entries, judged);
    let nothing = Fields::new();
    let (last, last_judged) =
        last.map_or((&nothing, None), |it| (&it.fields, it.assessment.as_ref()));
    side_by_side((last, last_judged), (&now, judged))
}

/// The lines where anything stands, was remarked or is being typed.
fn rows(
    lines: Vec<(&'static Block, Vec<Line>)>,
    remarks: &[Remark],
    form: &Form,
) -> Vec<(&'static Block, Vec<Row>)> {
    let row = |line: Line| {
        let name = line.field.name();
        let typed = form.typed(&format!("remark.{name}")).to_owned();
        let here: Vec<Remark> = remarks.iter().filter(|it| it.field == name).cloned().collect();
        let is_shown = !line.is_empty() || !here.is_empty() || !typed.is_empty();
        is_shown.then(|| Row {
            label: field_words(&line.field.key()).unwrap_or_default(),
            last: line.last.map(Cell::new),
            last_left: line.last_left.map(Cell::new),
            found: line.found.map(Cell::new),
            left: line.left.map(Cell::new),
            moved: line.moved,
            remarks: here,
            typed,
            name,
        })
    };
    let blocks = lines.into_iter();
    let mut all: Vec<(&'static Block, Vec<Row>)> =
        blocks.map(|(block, lines)| (block, lines.into_iter().filter_map(row).collect())).collect();
    all.retain(|it| !it.1.is_empty());
    all
}
