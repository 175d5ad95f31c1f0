//! The check sheet, one block a page: a plain form that saves what changed and answers at once.

mod rows;

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::http::header::ACCEPT;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use serde_json::json;
use uuid::Uuid;

use self::rows::{Row, rows};
use super::cause_view::{CausesView, causes_found, causes_left};
use super::verdicts;
use crate::actions::{self, Typed};
use crate::chance;
use crate::domain::hazard::what_to_do;
use crate::domain::sheet::{self, BLOCKS, Block, Field as SheetField, OUTCOMES};
use crate::domain::visit::Stage;
use crate::engine::assessment::Assessment;
use crate::store::{Entered, Remark, Visit};
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::frame::{Frame, page};
use crate::web::viewer::Viewer;

#[derive(Template)]
#[template(path = "pages/sheet.html")]
struct SheetPage {
    frame: Frame,
    visit: Visit,
    block: &'static Block,
    blocks: Vec<(&'static Block, &'static str)>,
    before: Option<&'static Block>,
    after: Option<&'static Block>,
    open: usize,
    hazards: Vec<Hazard>,
    remarks: Vec<Remark>,
    rows: Vec<Row>,
    /// On the blocks of readings that causes are told by.
    causes: Option<CausesView>,
    unjudged: String,
    entries: i64,
    seen: Vec<String>,
    device: String,
    is_newer: bool,
    faults: Vec<(String, String)>,
}

/// Something that stops the work, and what to do.
struct Hazard {
    what: String,
    doing: &'static str,
}

/// What is on the sheet now: the newest entry of each field.
struct OnSheet(BTreeMap<(Stage, String), Entered>);

impl OnSheet {
    fn new(entries: Vec<Entered>) -> Self {
        let mut newest = BTreeMap::new();
        for entry in entries {
            newest.insert((entry.stage, entry.field.clone()), entry);
        }
        Self(newest)
    }

    fn typed(&self, stage: Stage, field: &str) -> &str {
        self.0.get(&(stage, field.to_owned())).map_or("", |entry| entry.typed.trim())
    }

    fn fault(&self, stage: Stage, field: &str) -> &str {
        self.0.get(&(stage, field.to_owned())).map_or("", |entry| entry.refusal.as_str())
    }

    /// Whether another device's entry came after the last one that this page knew of.
    fn is_newer(&self, stage: Stage, field: &str, (base, device): (i64, &str)) -> bool {
        self.0
            .get(&(stage, field.to_owned()))
            .is_some_and(|entry| entry.number > base && entry.device != device)
    }

    fn has(&self, field: SheetField) -> bool {
        !self.typed(field.stage(), &field.key()).is_empty()
    }
}

/// Whether the block is shown again because another device was there meanwhile.
#[derive(Debug, Default, Deserialize)]
pub(in crate::web) struct Newer {
    #[serde(default)]
    newer: String,
}

pub(in crate::web) async fn show_block(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, number)): Path<(Uuid, usize)>,
    Query(newer): Query<Newer>,
) -> Result<Response, Error> {
    let block = sheet::block(number).ok_or(Error::NotFound)?;
    let mut tx = app.store.read().await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    if !visit.state.is_open() || !visit.kind.has_cooling_sheet() {
        return Ok(Redirect::to(&format!("/visits/{id}")).into_response());
    }
    let (_, answer) = actions::judged(&mut tx, &visit).await?;
    let on_sheet = OnSheet::new(tx.entries_of(visit.number).await?);
    let remarks = tx.remarks_on(id).await?;
    drop(tx);
    let (assessment, unjudged) = match answer {
        Ok(assessment) => (assessment, String::new()),
        Err(fault) => (Assessment::default(), verdicts::sentence(&fault.message)),
    };
    let faults = block
        .fields
        .iter()
        .filter_map(|field| {
            let fault = on_sheet.fault(field.stage(), &field.key());
            (!fault.is_empty()).then(|| (field.name(), fault.to_owned()))
        })
        .collect();
    page(&SheetPage {
        frame: Frame::new(&viewer, format!("{number} {}", block.title)),
        blocks: BLOCKS.iter().map(|it| (it, progress(it, block, &on_sheet))).collect(),
        before: sheet::block(number.wrapping_sub(1)),
        after: sheet::block(number + 1),
        open: BLOCKS.iter().filter(|it| !it.fields.iter().any(|f| on_sheet.has(*f))).count(),
        hazards: hazards(&on_sheet, &assessment),
        remarks,
        rows: rows(block, &on_sheet, &assessment),
        causes: causes_so_far(block, &on_sheet, &assessment, id).filter(|_| unjudged.is_empty()),
        unjudged,
        entries: visit.entries,
        seen: impossible(block, &on_sheet),
        device: chance::token()[..12].to_owned(),
        is_newer: !newer.newer.is_empty(),
        faults,
        visit,
        block,
    })
}

/// How a block stands on the progress line.
fn progress(it: &Block, here: &Block, on_sheet: &OnSheet) -> &'static str {
    if it.number == here.number {
        "here"
    } else if it.fields.iter().any(|field| on_sheet.has(*field)) {
        "done"
    } else {
        ""
    }
}

/// The causes so far, once a reading of the block is there.
fn causes_so_far(
    block: &Block,
    on_sheet: &OnSheet,
    assessment: &Assessment,
    visit: Uuid,
) -> Option<CausesView> {
    let is_read = |it: &SheetField| matches!(it, SheetField::Reading(..)) && on_sheet.has(*it);
    let causes = match block.number {
        10 => causes_found(assessment, visit),
        13 => causes_left(assessment),
        _ => return None,
    };
    (block.fields.iter().any(is_read) && !causes.is_empty()).then_some(causes)
}

/// What stops the work at once.
fn hazards(on_sheet: &OnSheet, assessment: &Assessment) -> Vec<Hazard> {
    let ticked = BLOCKS.iter().flat_map(|block| block.fields).filter_map(|field| match field {
        SheetField::Hazard(key, words) if on_sheet.has(*field) => {
            Some(Hazard { what: (*words).to_owned(), doing: what_to_do(key) })
        }
        _ => None,
    });
    let stages = [&assessment.as_found, &assessment.as_left];
    let high = stages
        .into_iter()
        .flat_map(|stage| &stage.verdicts)
        .filter(|verdict| verdict.measure == "ambient_co_ppm" && verdict.is_alarm());
    let measured = high.map(|verdict| Hazard {
        what: verdict.reason.clone(),
        doing: what_to_do("carbon_monoxide"),
    });
    ticked.chain(measured).collect()
}

/// Saves what changed in a block and goes where the button says. With `only`, one field is saved
/// and the answer is JSON: the little script's way to save as the hand moves on.
pub(in crate::web) async fn enter(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, number)): Path<(Uuid, usize)>,
    headers: HeaderMap,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let block = sheet::block(number).ok_or(Error::NotFound)?;
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let on_sheet = OnSheet::new(tx.entries_of(visit.number).await?);
    let only = form.typed("only").to_owned();
    let base = form.typed("entries").parse().unwrap_or(visit.entries);
    let device = device(&form);
    let (mut changed, mut newer) = (Vec::new(), false);
    for (stage, field) in names(block) {
        let name = format!("{}.{field}", stage.key());
        if !only.is_empty() && only != name {
            continue;
        }
        let text = form.typed(&name);
        if text == on_sheet.typed(stage, &field) {
            continue;
        }
        // Another page entered something here since this one was laid out: what this page still
        // shows is older, and must not take the newer back unseen.
        if only.is_empty() && on_sheet.is_newer(stage, &field, (base, &device.0)) {
            newer = true;
        } else {
            changed.push(Typed {
                id: chance::id(viewer.now),
                device: device.clone(),
                base_number: base,
                device_at: None,
                stage,
                take: 1,
                field,
                text: text.to_owned(),
            });
        }
    }
    actions::enter(&mut tx, &visit, &changed, viewer.by()).await?;
    let now = OnSheet::new(tx.entries_of(visit.number).await?);
    let (_, answer) = actions::judged(&mut tx, &visit).await?;
    tx.commit().await?;
    let seen = form.all("seen");
    let is_seen = impossible(block, &now).iter().all(|it| seen.contains(&it.as_str()));
    let may_stop = |it: &Typed| it.field.starts_with("hazard.") || it.field == "ambient_co_ppm";
    let stops =
        changed.iter().any(may_stop) && !hazards(&now, &answer.unwrap_or_default()).is_empty();
    let is_good = is_seen && !stops && !newer;
    let wants_json = headers.get(ACCEPT).is_some_and(|it| it.as_bytes() == b"application/json");
    if wants_json {
        return Ok(axum::Json(json!({"saved": changed.len(), "good": is_seen, "stop": stops}))
            .into_response());
    }
    if newer {
        let way = format!("/visits/{id}/sheet/{number}?newer=yes");
        return Ok(Redirect::to(&way).into_response());
    }
    Ok(Redirect::to(&way_on(id, number, form.typed("to"), is_good)).into_response())
}

/// Each impossible value of a block, as `name=text`. Who has seen one may go on with it there: a
/// sheet must never be a trap.
fn impossible(block: &Block, on_sheet: &OnSheet) -> Vec<String> {
    let faulty =
        names(block).into_iter().filter(|(stage, field)| !on_sheet.fault(*stage, field).is_empty());
    faulty
        .map(|(stage, field)| format!("{}.{field}={}", stage.key(), on_sheet.typed(stage, &field)))
        .collect()
}

/// Stays on the block if something can't be or has just become a hazard, so that nobody leaves it
/// unseen.
fn way_on(id: Uuid, number: usize, to: &str, is_good: bool) -> String {
    match to {
        "hand-in" if is_good => format!("/visits/{id}/hand-in"),
        to if is_good => {
            let next = to.parse::<usize>().ok().filter(|it| sheet::block(*it).is_some());
            format!("/visits/{id}/sheet/{}", next.unwrap_or(number))
        }
        _ => format!("/visits/{id}/sheet/{number}"),
    }
}

/// Every field of a block with what belongs to it.
fn names(block: &Block) -> Vec<(Stage, String)> {
    let mut names = Vec::new();
    for field in block.fields {
        names.push((field.stage(), field.key()));
        match field {
            SheetField::Observation(key, _) => {
                names.push((Stage::AsFound, sheet::remark_key(key)));
            }
            SheetField::Reading(point, Stage::AsLeft) if block.number == 13 => {
                names.push((Stage::AsLeft, format!("unchanged.{point}")));
            }
            _ => {}
        }
    }
    names
}

/// Each page that was laid out counts as a device of its own.
fn device(form: &crate::domain::form::Form) -> (String, i64) {
    (form.typed("device").chars().take(40).collect(), 0)
}

/// The outcomes of an observation, for the template.
fn outcomes() -> &'static [(&'static str, &'static str)] {
    OUTCOMES
}
