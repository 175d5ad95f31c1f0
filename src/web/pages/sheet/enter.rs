//! Saving a block by its plain form: what changed is entered, and the page goes where the button
//! says.

use axum::Json;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::json;
use uuid::Uuid;

use super::answers::hazards;
use super::block_address;
use super::on_sheet::{OnSheet, Standing};
use crate::actions::{self, Choice, Typed};
use crate::chance;
use crate::domain::closing;
use crate::domain::form::Form;
use crate::domain::sheet::{self, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::store::Visit;
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::Sent;
use crate::web::log::is_script;
use crate::web::viewer::Viewer;

pub(in crate::web) async fn enter(
    State(app): State<App>,
    viewer: Viewer,
    Path((id, number)): Path<(Uuid, usize)>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let block = sheet::block(number).ok_or(Error::NotFound)?;
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    let entries = tx.entries_of(visit.number).await?;
    let before = entries.iter().filter(|it| it.number <= base(&form, &visit)).cloned().collect();
    let sheets = (&OnSheet::new(before), &OnSheet::new(entries));
    let mut changed = changed(block, &form, (&visit, sheets), &viewer);
    if form.has("again") {
        let again = (Stage::AsLeft, sheet::again_key(block.number), form.typed("again").to_owned());
        changed.push(typed(again, (&visit, &form), &viewer));
    }
    let came_in = actions::enter(&mut tx, &visit, &changed, viewer.by()).await?;
    let standing = Standing::of(&mut tx, visit, &[], &viewer).await?;
    tx.commit().await?;
    let seen = form.all("seen");
    let impossible = impossible(block, &standing.on_sheet);
    let is_seen = impossible.iter().all(|it| seen.contains(&it.as_str()));
    let may_stop = |it: &Typed| it.field.starts_with("hazard.") || it.field == "ambient_co_ppm";
    let stops = changed.iter().any(may_stop) && !hazards(&standing).is_empty();
    let is_good = is_seen && !stops && came_in.iter().all(|it| !it.is_held);
    let way = match form.typed("to") {
        "hand-in" if is_good => format!("/visits/{id}/hand-in"),
        to if is_good => {
            let next = to.parse::<usize>().ok().filter(|it| sheet::block(*it).is_some());
            block_address(id, next.unwrap_or(number))
        }
        _ => block_address(id, number),
    };
    Ok(Redirect::to(&way).into_response())
}

/// The last entry that the form's page knew of.
fn base(form: &Form, visit: &Visit) -> i64 {
    form.typed("entries").parse().unwrap_or(visit.entries)
}

/// The fields of a block whose text on the form is another than the page was laid out with, and
/// than what stands. What came from elsewhere since, and nobody touched here, is left alone.
fn changed(
    block: &Block,
    form: &Form,
    (visit, (laid_out, on_sheet)): (&Visit, (&OnSheet, &OnSheet)),
    viewer: &Viewer,
) -> Vec<Typed> {
    let is_changed = |it: &(Stage, String)| {
        let name = format!("{}.{}", it.0.key(), it.1);
        // A box that is not ticked isn't sent; any other field that wasn't was not on the form.
        let was_there = is_box(&it.1) || form.has(&name);
        let text = form.typed(&name);
        was_there && text != laid_out.typed(it.0, &it.1) && text != on_sheet.typed(it.0, &it.1)
    };
    let typed = |(stage, field): (Stage, String)| {
        let text = form.typed(&format!("{}.{field}", stage.key())).to_owned();
        typed((stage, field, text), (visit, form), viewer)
    };
    let sent = form.fields().map(|it| it.0);
    names(block, sent).into_iter().filter(is_changed).map(typed).collect()
}

/// A field as it was typed on the form's page.
fn typed(
    (stage, field, text): (Stage, String, String),
    (visit, form): (&Visit, &Form),
    viewer: &Viewer,
) -> Typed {
    Typed {
        id: chance::id(viewer.now),
        device: (device(form), 0),
        base_number: base(form, visit),
        device_at: None,
        device_ahead_s: None,
        stage,
        take: 1,
        field,
        text,
    }
}

/// The block in which the sheet is closed.
const LAST_BLOCK: usize = 14;

/// Whether a field is a box to tick, by its key.
fn is_box(field: &str) -> bool {
    let boxes = ["work", "hazard", "circumstance", "unchanged", "behind"];
    field.split_once('.').is_some_and(|it| boxes.contains(&it.0))
}

/// Each page that was laid out counts as a device of its own.
fn device(form: &Form) -> String {
    form.typed("device").chars().take(40).collect()
}

/// Each impossible value of a block, as `name=text`. Who has seen one may go on with it there: a
/// sheet must never be a trap.
pub(super) fn impossible(block: &Block, on_sheet: &OnSheet) -> Vec<String> {
    let entered = on_sheet.names();
    let names = names(block, entered.iter().map(String::as_str));
    let faulty =
        names.into_iter().filter(|(stage, field)| !on_sheet.fault(*stage, field).is_empty());
    faulty
        .map(|(stage, field)| format!("{}.{field}={}", stage.key(), on_sheet.typed(stage, &field)))
        .collect()
}

/// Every field of a block with what belongs to it; of what closes the sheet, and whose fields follow
/// the price list, those of some names that are.
fn names<'a>(block: &Block, among: impl Iterator<Item = &'a str>) -> Vec<(Stage, String)> {
    let mut names = Vec::new();
    if block.number == LAST_BLOCK {
        let found = among.filter_map(|it| it.strip_prefix("as_found."));
        let closing = found.filter(|it| closing::is_field(it));
        names.extend(closing.map(|it| (Stage::AsFound, it.to_owned())));
    }
    for field in block.fields {
        names.push((field.stage(), field.key()));
        match field {
            SheetField::Observation(key, _) => {
                names.push((Stage::AsFound, sheet::remark_key(key)));
                if !sheet::behind(key).is_empty() {
                    names.push((Stage::AsFound, sheet::behind_key(key)));
                    names.push((Stage::AsFound, sheet::consent_key(key)));
                }
            }
            SheetField::Reading(point, Stage::AsLeft) => {
                names.push((Stage::AsLeft, format!("unchanged.{point}")));
            }
            _ => {}
        }
    }
    names
}

/// Decides between what stands in a field and what waited there, or takes all that waits.
pub(in crate::web) async fn decide(
    State(app): State<App>,
    viewer: Viewer,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let place = |name: &str| form.typed(name).parse::<i64>().ok();
    let decision = match (place("keep"), place("take")) {
        (Some(at), _) => (Some(at), Choice::Keep),
        (_, Some(at)) => (Some(at), Choice::Take),
        _ if form.has("take-all") => (None, Choice::Take),
        _ => return Err(Error::Unreadable),
    };
    let mut tx = app.store.write().await?;
    tx.hold_visit(id).await?;
    let visit = tx.visit(viewer.scope(), id).await?;
    actions::decide_held(&mut tx, &visit, decision, base(&form, &visit), viewer.by()).await?;
    tx.commit().await?;
    if is_script(&headers) {
        return Ok(Json(json!({"visit": id})).into_response());
    }
    Ok(Redirect::to(&format!("/visits/{id}/sheet")).into_response())
}
