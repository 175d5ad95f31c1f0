//! The check sheet: one page with all blocks that the system has. Without script it is a plain form
//! a block; with it, each field goes its own way and the page stays.

mod answers;
mod enter;
mod entries;
mod on_sheet;
mod rows;

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use self::answers::{Hazard, every_hazard, pieces};
use self::on_sheet::Standing;
use self::rows::{Beside, Row, rows};
use super::closing_view::{ClosingView, closing_view, raised};
use super::visit::{field_words, last_remarks};
use crate::actions;
use crate::chance;
use crate::domain::requirement::{self, Required};
use crate::domain::sheet::{self, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::assessment::Outcome;
use crate::store::{Remark, Visit};
use crate::web::App;
use crate::web::drawing;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Viewer;

pub(in crate::web) use self::answers::{HeldView, held_views};
pub(in crate::web) use self::enter::{decide, enter};
pub(in crate::web) use self::entries::take_entries;
pub(in crate::web) use self::on_sheet::OnSheet;

#[derive(Template)]
#[template(path = "pages/sheet.html")]
struct SheetPage {
    frame: Frame,
    visit: Visit,
    /// What the owner wrote when the sheet last went back.
    remarks: Vec<Remark>,
    /// The fields that close the sheet, in its last block.
    closing: ClosingView,
    /// What the phone judges by while the engine is out of reach, as JSON.
    limits: String,
    blocks: Vec<BlockView>,
    every_hazard: Vec<Hazard>,
    /// The office's.
    phone: String,
    /// Every piece that answers, by the id of its place.
    pieces: BTreeMap<String, String>,
    /// What the sheet needs, and why it is missing, by the field's name.
    required: Vec<Required>,
    reasons: BTreeMap<String, String>,
    unjudged: String,
    /// What counts as the device of this page where no script speaks for the phone.
    device: String,
}

/// A block as the page shows it.
struct BlockView {
    block: &'static Block,
    rows: Vec<Row>,
    /// What is read again here, and whether something was.
    again: Vec<Row>,
    is_read_again: bool,
    /// Which reading as left would be the next one; none where nothing was read as left yet.
    next_take: Option<i64>,
    is_begun: bool,
    /// What can't be, as somebody left it.
    faults: Vec<(String, String)>,
    seen: Vec<String>,
    before: Option<usize>,
    after: Option<(usize, &'static str)>,
}

impl SheetPage {
    /// A piece that answers; nothing where there is none.
    fn piece(&self, place: &str) -> &str {
        self.pieces.get(place).map_or("", String::as_str)
    }

    /// What is said below a reading.
    fn answer(&self, name: &str) -> &str {
        self.piece(&format!("answer-{name}"))
    }

    /// Why something that is needed is missing, as it was typed.
    fn reason(&self, name: &str) -> &str {
        self.reasons.get(name).map_or("", String::as_str)
    }

    fn begun(&self) -> usize {
        self.blocks.iter().filter(|it| it.is_begun).count()
    }
}

pub(in crate::web) async fn show_sheet(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_open() || !visit.kind.has_cooling_sheet() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    let entries = tx.entries_of(visit.number).await?;
    let prices = actions::closing_prices(&mut tx, &visit).await?;
    let limits = actions::limits_sheet_of(&mut tx, &visit).await?;
    let beside = Beside {
        last: actions::last_year(&mut tx, &visit).await?,
        remarks: tx.remarks_on(visit.id).await?,
        required: actions::required_of(&mut tx, &visit).await?.required,
    };
    let standing = Standing::of(&mut tx, visit, &[], &viewer).await?;
    drop(tx);
    page(&SheetPage {
        frame: Frame::new(&viewer, format!("Check sheet · {}", standing.visit.street)),
        remarks: last_remarks(&beside.remarks).cloned().collect(),
        closing: closing_view(&prices, &entries, &raised(&standing.assessment, &entries)),
        limits: serde_json::to_string(&limits).map_err(|fault| Error::Fault(fault.to_string()))?,
        blocks: blocks(&standing, &beside),
        reasons: reasons(&beside.required, &standing),
        required: beside.required,
        every_hazard: every_hazard().collect(),
        phone: standing.phone.clone(),
        pieces: pieces(&standing)?,
        unjudged: standing.unjudged,
        device: chance::token()[..12].to_owned(),
        visit: standing.visit,
    })
}

/// Why what is needed is missing, by the field's name.
fn reasons(required: &[Required], standing: &Standing) -> BTreeMap<String, String> {
    let reason = |it: &Required| {
        let key = requirement::missing_key(&it.field.name());
        (it.field.name(), standing.on_sheet.typed(Stage::AsFound, &key).to_owned())
    };
    required.iter().map(reason).collect()
}

/// An address of before, and of the form of one block: the block on the whole page.
pub(in crate::web) async fn show_block(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, number)): Path<(Uuid, usize)>,
) -> Result<Response, Error> {
    sheet::block(number).ok_or(Error::NotFound)?;
    app.store.read().await?.visit(viewer.scope(), id).await?;
    Ok(Redirect::to(&block_address(id, number)).into_response())
}

/// Where a block stands.
fn block_address(visit: Uuid, number: usize) -> String {
    format!("/visits/{visit}/sheet#block-{number}")
}

fn blocks(standing: &Standing, beside: &Beside) -> Vec<BlockView> {
    let all = standing.blocks();
    let places = 0..all.len();
    places
        .map(|place| {
            let (block, fields) = &all[place];
            let (rows, again) = rows(block, fields, (standing, beside));
            let is_left =
                |it: &&SheetField| it.stage() == Stage::AsLeft && standing.on_sheet.has(**it);
            BlockView {
                block,
                rows,
                again,
                is_read_again: block.number != 13 && fields.iter().any(|it| is_left(&it)),
                next_take: (standing.on_sheet.take(block.number) < sheet::TAKES_MAX
                    && fields.iter().any(|it| is_left(&it)))
                .then(|| standing.on_sheet.take(block.number) + 1),
                is_begun: fields.iter().any(|it| standing.on_sheet.has(*it)),
                faults: faults(fields, standing),
                seen: enter::impossible(block, &standing.on_sheet),
                before: place.checked_sub(1).map(|it| all[it].0.number),
                after: all.get(place + 1).map(|it| (it.0.number, it.0.title)),
            }
        })
        .collect()
}

fn faults(fields: &[SheetField], standing: &Standing) -> Vec<(String, String)> {
    let fault = |field: &SheetField| {
        let fault = standing.on_sheet.fault(field.stage(), &field.key());
        let label = field_words(&field.key()).unwrap_or_default();
        (!fault.is_empty()).then(|| (field.name(), format!("{label}: {fault}")))
    };
    fields.iter().filter_map(fault).collect()
}

/// Verdicts that the phone gives by itself, for the template: the script's key, class and mark.
fn provisional() -> [(&'static str, &'static str, String); 4] {
    use Outcome::{NotValid, Outside, TooClose, Within};
    let keys = [
        ("within", Within),
        ("too_close", TooClose),
        ("outside", Outside),
        ("not_valid", NotValid),
    ];
    // A provisional one is never as full as a pass.
    let mark = |outcome| match outcome {
        Within => format!(r#"<span class="verdict">{}Within</span>"#, drawing::HOLLOW),
        other => drawing::mark(other),
    };
    keys.map(|(key, outcome)| (key, drawing::class(outcome), mark(outcome)))
}

/// The outcomes of an observation, for the template.
fn outcomes() -> &'static [(&'static str, &'static str)] {
    sheet::OUTCOMES
}

/// What a customer may have said to a repair, for the template.
fn consents() -> &'static [(&'static str, &'static str)] {
    sheet::CONSENTS
}
