//! The owner's review: the doubtful first, beside last year, and remarks at fields that the
//! technician reads.

use axum::http::StatusCode;
use fairweather::domain::visit::VisitState;
use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::NOMINAL;

/// A nominal sheet that came in, a year after another of the same system.
async fn waiting(app: &TestApp, fields: &[(&str, &str)]) -> Uuid {
    let place = app.place("Ada Fenn").await;
    app.earlier(&place, 370, &[("as_found.observe.coil_face", "in_order")]).await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.enter(id, app.tess, fields).await;
    app.hand_in(id, app.tess).await;
    id
}

#[tokio::test]
async fn a_sheet_stands_beside_the_last_one_with_what_moved() {
    let app = TestApp::new().await;
    let weak = [
        ("as_found.capacitor_compressor_uf", "38.3"),
        ("as_left.capacitor_compressor_uf", "45"),
        ("as_found.observe.coil_face", "attention"),
    ];
    let id = waiting(&app, &weak).await;
    let owner = app.browser(app.owner).await;
    let path = format!("/visits/{id}/review");
    owner.get("/sheets-to-review").await.shown().says(&path).says("What to doubt");
    let page = owner.get(&path).await.shown();
    let page = page.says("10 Jun 2025").says("44.8 µF").says("38.3 µF").says("45 µF");
    let page = page.says("Moved: was within, is outside").says("Moved: down 15 %");
    let page = page.says("Moved: was in order").says("fields are empty in both and not shown");
    page.says("Accept this sheet").says("Remark…");
}

#[tokio::test]
async fn a_first_sheet_has_nothing_beside_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    let owner = app.browser(app.owner).await;
    let path = format!("/visits/{id}/review");
    assert_eq!(owner.get(&path).await.way_on(), format!("/visits/{id}"), "it is not in yet");
    app.hand_in(id, app.tess).await;
    owner.get(&path).await.shown().says("This system has no earlier sheet").does_not_say("Moved");
}

#[tokio::test]
async fn remarks_at_fields_go_back_together_and_stand_on_the_technicians_day() {
    let app = TestApp::new().await;
    let id = waiting(&app, &[]).await;
    let owner = app.browser(app.owner).await;
    let path = format!("/visits/{id}/sending-back");
    let silent = owner.post(&path, &[("from", "review"), ("text", "")]).await;
    assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
    silent.says("Say what should be looked at again").says("Last time");
    let long = "x".repeat(2_001);
    let typed = [("from", "review"), ("remark.as_found.return_wb_f", "Wick wet?"), ("text", &long)];
    let long = owner.post(&path, &typed).await;
    assert_eq!(long.status, StatusCode::UNPROCESSABLE_ENTITY);
    long.says(">Wick wet?</textarea>");
    let typed = [
        ("from", "review"),
        ("remark.as_found.return_wb_f", "Wick wet?"),
        ("remark.as_found.liquid_line_f", ""),
        ("text", "Please look again"),
    ];
    assert_eq!(owner.post(&path, &typed).await.way_on(), "/sheets-to-review");
    assert_eq!(app.visit(id).await.state, VisitState::SentBack);
    let tess = app.browser(app.tess).await;
    let today = tess.get("/today").await.shown().says("Please look again");
    today.says("wet bulb: Wick wet?");
    tess.get(&format!("/visits/{id}")).await.shown().says("wet bulb: Wick wet?");
    app.hand_in(id, app.tess).await;
    let again = owner.get(&format!("/visits/{id}/review")).await.shown();
    again.says("Olive: Wick wet?");
}

#[tokio::test]
async fn an_accepted_sheet_can_be_looked_at_and_not_decided_again() {
    let app = TestApp::new().await;
    let id = waiting(&app, &[]).await;
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{id}/acceptance"), &[]).await.way_on();
    let page = owner.get(&format!("/visits/{id}/review")).await.shown().says("Last time");
    page.does_not_say("Accept this sheet").does_not_say("<textarea");
}

#[tokio::test]
async fn what_is_missing_stands_with_who_asked_and_why() {
    let app = TestApp::new().await;
    app.require(&["as_found.observe.drain_runs"]).await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    let why = ("as_found.missing.as_found.observe.drain_runs", "Behind the finished wall");
    app.enter(id, app.tess, &[why]).await;
    app.hand_in(id, app.tess).await;
    let page = app.browser(app.owner).await.get(&format!("/visits/{id}/review")).await.shown();
    let page = page.says("the company asks for it").says("Behind the finished wall");
    page.says("It came in by list 1 of");
}

#[tokio::test]
async fn what_came_late_and_is_undecided_is_something_to_doubt() {
    let app = TestApp::new().await;
    let id = waiting(&app, &[]).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "71")]).await;
    let owner = app.browser(app.owner).await;
    owner.get("/sheets-to-review").await.shown().says("1 entry after it was handed in");
}
