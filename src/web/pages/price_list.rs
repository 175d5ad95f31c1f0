//! The company's price list: what is proposed to customers, for how much, and what it puts right.
//! For the owner, since it is a money rule.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use crate::actions::{self, ActionError, WantedPrices};
use crate::domain::form::Form;
use crate::domain::price_list::{Answerable, PriceChange, PriceItem, WrittenItem, answerable};
use crate::domain::refusal::Refusal;
use crate::store::{PriceListVersion, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, page_with};
use crate::web::viewer::{Owner, Viewer};

/// The last place that can be written: more than any list has.
const PLACE_BOUNDS: (i64, i64) = (1, 999);

#[derive(Template)]
#[template(path = "pages/prices.html")]
struct PricesPage {
    frame: Frame,
    number: i64,
    items: Vec<Line>,
    versions: Vec<Version>,
}

/// One item as it stands.
struct Line {
    item: PriceItem,
    price: String,
    answers: String,
}

/// One version, ready to be shown.
struct Version {
    number: i64,
    what: String,
    who: String,
    at: String,
}

#[derive(Template)]
#[template(path = "pages/price_item.html")]
struct ItemPage {
    frame: Frame,
    action: String,
    /// The way to retire it; empty for a new one.
    retirement: String,
    button: &'static str,
    id: Uuid,
    seen: i64,
    fields: Vec<Field>,
    /// What it puts right, by kind; open where something is ticked.
    answers: Vec<(&'static str, usize, Field)>,
    faults: Vec<(String, String)>,
}

pub(in crate::web) async fn show_prices(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let list = actions::price_list(&mut tx).await?;
    let versions = tx.price_list_versions().await?;
    let known = answerable();
    let line = |item: PriceItem| Line {
        price: display::money(item.cents),
        answers: answers_words(&item.answers, &known),
        item,
    };
    page(&PricesPage {
        frame: Frame::new(&viewer, "Prices"),
        number: list.number,
        items: list.items.into_iter().map(line).collect(),
        versions: versions.iter().map(|it| version(it, &viewer.company.time_zone)).collect(),
    })
}

/// What an item puts right, in words; a key that this program no longer has stands as it is.
fn answers_words(keys: &[String], known: &[Answerable]) -> String {
    let words = |key: &String| {
        let all = known.iter().flat_map(|group| &group.keys);
        all.into_iter().find(|it| it.0 == *key).map_or_else(|| key.clone(), |it| it.1.clone())
    };
    keys.iter().map(words).collect::<Vec<_>>().join("; ")
}

fn version(it: &PriceListVersion, zone: &str) -> Version {
    let price = it.cents.map(display::money).unwrap_or_default();
    Version {
        number: it.number,
        what: match it.change.as_str() {
            "add" => format!("Added “{}”, {price}", it.words),
            "retire" => format!("Retired “{}”", it.words),
            _ => format!("Changed “{}”, now {price}", it.words),
        },
        who: it.person_name.clone().unwrap_or_else(|| "the program".to_owned()),
        at: display::instant(it.at, zone),
    }
}

/// A form for a new item, or for one with that key as it stands.
async fn item_page(
    tx: &mut Tx,
    viewer: &Viewer,
    key: Option<&str>,
    mut form: Form,
) -> Result<ItemPage, Error> {
    let list = actions::price_list(tx).await?;
    if let Some(key) = key {
        let at = list.items.iter().position(|it| it.key == key).ok_or(Error::NotFound)?;
        preset(&mut form, &list.items[at], at + 1);
    }
    let hint = "What the customer reads. Such as “Run capacitor, put in”.";
    let place = "The sheet shows the items in this order. Empty: at the end, or where it is.";
    let answers = answerable().map(|group| {
        let ticked = form.all(group.name).len();
        (group.title, ticked, Field::boxes(&form, group.name, group.title, group.keys))
    });
    Ok(ItemPage {
        frame: Frame::new(viewer, if key.is_some() { "Change an item" } else { "New item" }),
        action: format!("/prices/{}", key.unwrap_or("new")),
        retirement: key.map_or_else(String::new, |key| format!("/prices/{key}/retirement")),
        button: if key.is_some() { "Save this item" } else { "Add this item" },
        id: new_id(&form, viewer.now),
        seen: form.typed("seen").parse().unwrap_or(list.number),
        fields: vec![
            Field::line(&form, "words", "Words").needed().with_hint(hint),
            Field::number(&form, "price", "Price", "dollars").needed().with_hint("Such as 189.00."),
            Field::number(&form, "place", "Place on the list", "").with_hint(place),
        ],
        answers: answers.into(),
        faults: faults(&form),
    })
}

/// What the item holds now, where the form says nothing.
fn preset(form: &mut Form, item: &PriceItem, place: usize) {
    if form.has("words") {
        return;
    }
    form.preset("words", item.words.clone());
    form.preset("price", format!("{}.{:02}", item.cents / 100, item.cents % 100));
    form.preset("place", place.to_string());
    for group in answerable() {
        let ticked: Vec<&str> =
            item.answers.iter().filter(|it| group.has(it)).map(String::as_str).collect();
        form.preset(group.name, ticked.join("\n"));
    }
}

fn read(form: &mut Form) -> WrittenItem {
    let words = form.required_line("words", "Words");
    let cents = form.required_cents("price", "Price");
    let place = if form.typed("place").is_empty() {
        None
    } else {
        usize::try_from(form.required_whole("place", "Place on the list", PLACE_BOUNDS)).ok()
    };
    let groups = answerable();
    let ticked = groups.iter().flat_map(|group| form.all(group.name));
    WrittenItem { words, cents, answers: ticked.map(str::to_owned).collect(), place }
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page(&item_page(&mut tx, &viewer, None, Form::default()).await?)
}

pub(in crate::web) async fn add(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let written = read(&mut form);
    save(&app, &viewer, (None, PriceChange::Add(written)), form).await
}

pub(in crate::web) async fn show_item(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(key): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    page(&item_page(&mut tx, &viewer, Some(&key), Form::default()).await?)
}

pub(in crate::web) async fn change(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(key): Path<String>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let written = read(&mut form);
    save(&app, &viewer, (Some(&key), PriceChange::Change(key.clone(), written)), form).await
}

/// Takes an item off the list; what was proposed stays.
pub(in crate::web) async fn retire(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(key): Path<String>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    save(&app, &viewer, (Some(&key), PriceChange::Retire(key.clone())), form).await
}

/// Saves what was read, or shows the form again with what is wrong.
async fn save(
    app: &App,
    viewer: &Viewer,
    (key, change): (Option<&str>, PriceChange),
    mut form: Form,
) -> Result<Response, Error> {
    let mut status = StatusCode::UNPROCESSABLE_ENTITY;
    if form.is_good() {
        let seen = form.typed("seen").parse().map_err(|_| Error::Unreadable)?;
        let wanted = WantedPrices { id: new_id(&form, viewer.now), seen, change };
        let mut tx = app.store.write().await?;
        match actions::change_prices(&mut tx, wanted, viewer.by()).await {
            Ok(()) => {
                tx.commit().await?;
                return Ok(Redirect::to("/prices").into_response());
            }
            Err(ActionError::Refused(Refusal::NoSuchItem)) => return Err(Error::NotFound),
            Err(ActionError::Refused(refusal)) => {
                if refusal == Refusal::PricesChanged {
                    status = StatusCode::CONFLICT;
                    // What stands now is a click away, and counts as seen.
                    form.forget("seen");
                }
                form.refuse(refusal.field(), refusal.to_string());
            }
            Err(ActionError::Store(fault)) => return Err(fault.into()),
        }
    }
    let mut tx = app.store.read().await?;
    page_with(status, &item_page(&mut tx, viewer, key, form).await?)
}
