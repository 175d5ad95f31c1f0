//! What a phone sends to a sheet: kept once, judged at once, bound to who typed it.

use axum::body::Body;
use axum::http::header::{ACCEPT, CONTENT_TYPE, COOKIE};
use axum::http::{Request, StatusCode};
use fairweather::actions;
use fairweather::chance;
use fairweather::domain::visit::Stage;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::app::{Browser, NOW, Page, TestApp};
use crate::builders::EVERYTHING;

impl Browser {
    /// Sends JSON as our script would.
    pub async fn post_json(&self, path: &str, body: &Value) -> Page {
        self.post_text(path, body.to_string()).await
    }

    /// Sends what should be JSON.
    async fn post_text(&self, path: &str, body: String) -> Page {
        let request = Request::post(path)
            .header(COOKIE, &self.cookie)
            .header("sec-fetch-site", "same-origin")
            .header(ACCEPT, "application/json")
            .header(CONTENT_TYPE, "application/json");
        self.send(request.body(Body::from(body)).expect("a request")).await
    }
}

impl Page {
    /// The answer as JSON.
    fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap_or_else(|_| panic!("no JSON: {}", self.body))
    }
}

fn entry(name: &str, text: &str) -> Value {
    let at_ms = NOW.unix_timestamp() * 1000;
    json!({"id": chance::id(NOW), "number": 1, "base": 0, "at_ms": at_ms, "name": name, "text": text})
}

fn sent(author: Uuid, entries: &[Value]) -> Value {
    let sent_ms = NOW.unix_timestamp() * 1000;
    json!({"device": "phone", "author": author, "sent_ms": sent_ms, "base": 0, "entries": entries})
}

async fn world() -> (TestApp, Uuid, Browser) {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    (app, id, tess)
}

#[tokio::test]
async fn a_request_that_is_repeated_after_a_lost_answer_gives_the_same_and_doubles_nothing() {
    let (app, id, tess) = world().await;
    let body = sent(
        app.tess,
        &[entry("as_found.return_db_f", "76"), entry("as_found.return_wb_f", "630")],
    );
    let path = format!("/visits/{id}/entries");
    let first = tess.post_json(&path, &body).await.shown().json();
    let second = tess.post_json(&path, &body).await.shown().json();
    assert_eq!(first["came_in"], second["came_in"]);
    assert_eq!(first["came_in"][0]["number"], 1);
    let refusal = first["came_in"][1]["refusal"].as_str().unwrap_or_default();
    assert!(refusal.contains("32 to 90 °F"), "{first}");
    let number = app.visit(id).await.number;
    let mut tx = app.read().await;
    assert_eq!(tx.count_readings(number).await.unwrap(), 1);
    assert_eq!(tx.entries_of(number).await.unwrap().len(), 2);
}

#[tokio::test]
async fn what_is_being_typed_is_judged_and_kept_nowhere() {
    let (app, id, tess) = world().await;
    let mut body = sent(app.tess, &[]);
    body["drafts"] = json!({"as_found.capacitor_compressor_uf": "30"});
    let answer = tess.post_json(&format!("/visits/{id}/entries"), &body).await.shown().json();
    let said = answer["pieces"]["answer-as_found.capacitor_compressor_uf"].as_str();
    assert!(said.is_some_and(|it| it.contains("Outside")), "{answer}");
    let open = answer["pieces"]["open-9"].as_str();
    assert!(open.is_some_and(|it| it.starts_with("Not taken: ")), "{answer}");
    let visit = app.visit(id).await;
    assert_eq!((visit.entries, visit.state.key()), (0, "booked"), "nothing was written");
}

#[tokio::test]
async fn entries_are_taken_only_from_their_author() {
    let (app, id, tess) = world().await;
    let body = sent(app.theo, &[entry("as_found.return_db_f", "76")]);
    let answer = tess.post_json(&format!("/visits/{id}/entries"), &body).await;
    assert_eq!(answer.way_on(), "/sign-in", "it waits until Theo signs in");
    let theo = app.browser(app.theo).await;
    let answer = theo.post_json(&format!("/visits/{id}/entries"), &body).await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND, "it never was his");
    assert_eq!(app.visit(id).await.entries, 0);
}

#[tokio::test]
async fn what_others_entered_since_comes_back_with_its_time_to_whoever_asks() {
    let (app, id, tess) = world().await;
    app.enter(id, app.tess, &[("as_found.return_wb_f", "63")]).await;
    let path = format!("/visits/{id}/entries");
    let body = sent(app.tess, &[entry("as_found.return_db_f", "76")]);
    tess.post_json(&path, &body).await.shown();
    let answer = tess.post_json(&path, &sent(app.tess, &[])).await.shown().json();
    let at_ms = NOW.unix_timestamp() * 1000;
    assert_eq!(answer["newer"], json!([["as_found.return_wb_f", "63", at_ms]]));
    assert_eq!(answer["entries"], 2);
}

#[tokio::test]
async fn what_comes_after_a_visit_was_called_off_is_kept_shown_to_the_office_and_can_be_taken() {
    let (app, id, tess) = world().await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    actions::call_off_visit(&mut tx, &visit, app.by(Some(app.dispatcher))).await.unwrap();
    tx.commit().await.unwrap();
    let entries = [entry("as_found.return_db_f", "76"), entry("as_found.return_wb_f", "63")];
    let body = sent(app.tess, &entries);
    let answer = tess.post_json(&format!("/visits/{id}/entries"), &body).await.shown().json();
    assert_eq!(answer["came_in"][0]["held"], true);
    let dora = app.browser(app.dispatcher).await;
    let visit = format!("/visits/{id}");
    dora.get(&visit).await.shown().says("Return air dry bulb: 76").says("after it was called off");
    for _ in 0..2 {
        dora.post(&format!("{visit}/opening"), &[]).await.way_on();
    }
    tess.get(&format!("{visit}/sheet")).await.shown().says("Take all 2 that came");
    for _ in 0..2 {
        tess.post(&format!("{visit}/decision"), &[("take-all", "yes")]).await.way_on();
    }
    let number = app.visit(id).await.number;
    let readings = app.read().await.readings_of(number).await.unwrap();
    let values: Vec<_> = readings.iter().map(|it| (it.point.as_str(), it.value)).collect();
    assert_eq!(values, [("return_db_f", Some(76.0)), ("return_wb_f", Some(63.0))]);
    assert_eq!(readings[0].taken_at, NOW, "it was read when it was typed");
    let page = dora.get(&visit).await.shown();
    page.says("decided since");
}

#[tokio::test]
async fn at_most_two_hundred_entries_come_at_a_time() {
    let (app, id, tess) = world().await;
    let many: Vec<Value> = (0..201).map(|_| entry("as_found.return_db_f", "76")).collect();
    let path = format!("/visits/{id}/entries");
    let answer = tess.post_json(&path, &sent(app.tess, &many)).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains("At most 200"), "{}", answer.body);
    tess.post_json(&path, &sent(app.tess, &many[..200])).await.shown();
}

#[tokio::test]
async fn a_block_that_is_read_once_more_keeps_both_readings_each_with_its_time() {
    let (app, id, tess) = world().await;
    app.enter(id, app.tess, &[("as_found.volts_control", "22"), ("as_left.volts_control", "25")])
        .await;
    let sheet = format!("/visits/{id}/sheet");
    tess.get(&sheet).await.shown().block(7).says(r#"name="again" value="2""#);
    app.clock.advance(time::Duration::days(2));
    tess.post(&format!("{sheet}/7"), &[("again", "2")]).await.way_on();
    let page = tess.get(&sheet).await.shown().block(7);
    page.says("left before at 25").says(
        r#"id="as_left.volts_control" name="as_left.volts_control" inputmode="decimal" value="""#,
    );
    tess.post(&format!("{sheet}/7"), &[("as_left.volts_control", "26")]).await.way_on();
    let number = app.visit(id).await.number;
    let mut tx = app.read().await;
    let left: Vec<_> = tx
        .readings_of(number)
        .await
        .unwrap()
        .into_iter()
        .filter(|it| it.stage == Stage::AsLeft)
        .map(|it| (it.take, it.value, it.taken_at))
        .collect();
    let later = NOW + time::Duration::days(2);
    assert_eq!(left, [(1, Some(25.0), NOW), (2, Some(26.0), later)]);
    let refused = [("again", "40")];
    tess.post(&format!("{sheet}/7"), &refused).await.way_on();
    let entries = app.read().await.entries_of(number).await.unwrap();
    assert!(entries.last().unwrap().refusal.contains("at most 9 times"));
}

#[test]
fn whatever_is_sent_instead_of_entries_is_answered_and_never_a_fault_of_ours() {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let (app, id, tess) = runtime.block_on(world());
    let path = format!("/visits/{id}/entries");
    let good = sent(app.tess, &[entry("as_found.return_db_f", "76")]).to_string();
    let config = Config { cases: 300, failure_persistence: None, ..Config::default() };
    // A good request, bent: a stretch of it replaced by anything.
    let bent = (0..good.len(), 0..30_usize, ".{0,40}|[-0-9eE.]{1,30}|\\PC{0,12}");
    TestRunner::new(config)
        .run(&bent, |(at, cut, with)| {
            let whole: Vec<char> = good.chars().collect();
            let (head, tail) = whole.split_at(at.min(whole.len()));
            let text: String = head
                .iter()
                .copied()
                .chain(with.chars())
                .chain(tail.iter().skip(cut).copied())
                .collect();
            let answer = runtime.block_on(tess.post_text(&path, text.clone()));
            prop_assert!(answer.status.as_u16() < 500, "{text}\n{}", answer.body);
            Ok(())
        })
        .unwrap();
}

#[tokio::test]
async fn a_character_that_no_store_keeps_and_a_time_that_is_none_block_nothing() {
    let (app, id, tess) = world().await;
    let mut odd = entry("as_found.words.complaint", "Warm\u{0} upstairs");
    odd["at_ms"] = json!(i64::MIN);
    let long = entry(&format!("as_found.{}", "x".repeat(5_000)), "1");
    let last = entry("as_found.return_db_f", "76");
    let body = sent(app.tess, &[odd, long, last]);
    let path = format!("/visits/{id}/entries");
    let first = tess.post_json(&path, &body).await.shown().json();
    assert_eq!(first["came_in"][2]["number"], 3);
    assert_eq!(tess.post_json(&path, &body).await.shown().json()["came_in"], first["came_in"]);
    let number = app.visit(id).await.number;
    let entries = app.read().await.entries_of(number).await.unwrap();
    assert_eq!((entries[0].typed.as_str(), entries[0].taken_at()), ("Warm upstairs", NOW));
    assert!(entries[1].field.len() <= 120, "{}", entries[1].field.len());
}

#[tokio::test]
async fn what_somebody_else_entered_on_the_same_phone_comes_back_too() {
    let (app, id, tess) = world().await;
    let path = format!("/visits/{id}/entries");
    tess.post_json(&path, &sent(app.tess, &[entry("as_found.return_db_f", "76")])).await.shown();
    let dora = app.browser(app.dispatcher).await;
    let answer = dora.post_json(&path, &sent(app.dispatcher, &[])).await.shown().json();
    let at_ms = NOW.unix_timestamp() * 1000;
    assert_eq!(answer["newer"], json!([["as_found.return_db_f", "76", at_ms]]));
    let answer = tess.post_json(&path, &sent(app.tess, &[])).await.shown().json();
    assert_eq!(answer["newer"], json!([]), "her own she has");
}

#[tokio::test]
async fn lines_from_a_script_and_from_a_form_are_alike() {
    let (app, id, tess) = world().await;
    let lines = [entry("as_found.words.complaint", "Warm upstairs\nNoisy")];
    tess.post_json(&format!("/visits/{id}/entries"), &sent(app.tess, &lines)).await.shown();
    let form = [("entries", "1"), ("as_found.words.complaint", "Warm upstairs\r\nNoisy")];
    tess.post(&format!("/visits/{id}/sheet/1"), &form).await.way_on();
    assert_eq!(app.visit(id).await.entries, 1, "nothing was changed");
}
