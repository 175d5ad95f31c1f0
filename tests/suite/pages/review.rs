//! Review: what was found, counted, and the systems behind each row.

use axum::http::StatusCode;

use crate::app::TestApp;
use crate::builders::NOMINAL;

/// A handed-in sheet whose coil was dirty.
async fn dirty_coil(app: &TestApp, name: &str) -> uuid::Uuid {
    let place = app.place(name).await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.enter(id, app.tess, &[("as_found.observe.coil_face", "attention")]).await;
    app.hand_in(id, app.tess).await;
    place.system
}

#[tokio::test]
async fn a_finding_is_counted_on_its_make_and_model_with_the_systems_behind_it() {
    let app = TestApp::new().await;
    let system = dirty_coil(&app, "Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/review").await.shown();
    let page = page.says("Korvan KC-24").says("1 of 1").says("0.03 to 5.58").says("95 % interval");
    page.says("where two intervals overlap");
    let path = "/review/indoor_coil?make=Korvan&model=KC-24";
    let behind = owner.get(path).await.shown().says("Ada Fenn").says("15 Jun 2026");
    behind.says(&format!("/systems/{system}"));
    owner.get("/review/indoor_coil?make=korvan&model=kc-24").await.shown().says("Ada Fenn");
    let unknown = owner.get("/review/indoor_coil?make=Korvan&model=KC-99").await;
    assert_eq!(unknown.status, StatusCode::NOT_FOUND);
    assert_eq!(owner.get("/review/cellar").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn one_part_can_be_chosen() {
    let app = TestApp::new().await;
    dirty_coil(&app, "Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/review?part=outdoor_unit").await.shown();
    page.says("Korvan KV-24").does_not_say("Korvan KC-24").says("0 of 1");
}

#[tokio::test]
async fn before_the_first_sheet_there_is_nothing_to_count() {
    let app = TestApp::new().await;
    app.place("Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    owner.get("/review").await.shown().says("Nothing to count yet");
}
