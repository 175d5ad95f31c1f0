//! What a sheet needs: the owner's page, the plan's boxes, and the reasons on the hand-in page.

use axum::http::StatusCode;
use fairweather::domain::visit::VisitState;

use crate::app::TestApp;
use crate::builders::NOMINAL;

const DRAIN: &str = "as_found.observe.drain_runs";
const WHY: &str = "missing.as_found.observe.drain_runs";

#[tokio::test]
async fn the_owner_ticks_what_a_sheet_needs_and_each_list_keeps_who_and_when() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let path = "/sheet-requirements";
    let page = owner.get(path).await.shown().says("no field is needed");
    assert_eq!(page.hidden("seen"), "0");
    let fields = [("seen", "0"), ("needs", DRAIN), ("needs", "as_left.return_wb_f")];
    assert_eq!(owner.post(path, &fields).await.way_on(), path);
    let ticked = format!(r#"value="{DRAIN}" checked"#);
    let page = owner.get(path).await.shown().says(&ticked).says("Olive, 15 Jun 2026, 11:00");
    let page = page.says("Needed from here on: Drain runs, with slope, ");
    assert_eq!(page.hidden("seen"), "1");
    let late = owner.post(path, &[("seen", "0"), ("needs", "as_found.return_db_f")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Somebody changed this meanwhile").says(r#"value="as_found.return_db_f" checked"#);
    owner.post(path, &[("seen", "1")]).await.way_on();
    owner.get(path).await.shown().says("No longer: Drain runs").does_not_say(&ticked);
}

#[tokio::test]
async fn a_plan_has_boxes_of_its_own_and_keeps_them_in_its_version() {
    let app = TestApp::new().await;
    let plan = app.plan().await;
    let owner = app.browser(app.owner).await;
    let path = format!("/plans/{plan}/version");
    let form = owner.get(&path).await.shown().says("What a sheet under this plan needs");
    let version = form.hidden("version");
    let mut fields = vec![
        ("version", version.as_str()),
        ("name", "Spring round"),
        ("price", "189.00"),
        ("discount", "10"),
        ("kind_1", "cooling_maintenance"),
        ("first_1", "03-01"),
        ("last_1", "nonsense"),
        ("needs", DRAIN),
    ];
    let ticked = format!(r#"value="{DRAIN}" checked"#);
    let refused = owner.post(&path, &fields).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    refused.says(&ticked);
    fields[6].1 = "06-30";
    owner.post(&path, &fields).await.way_on();
    owner.get(&path).await.shown().says(&ticked);
    owner.get("/plans").await.shown().says("1 needed on the sheet");
    assert_eq!(app.read().await.plan(plan).await.unwrap().required.0, [DRAIN]);
}

#[tokio::test]
async fn handing_in_asks_why_something_is_missing_and_keeps_what_was_typed() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[DRAIN, "as_found.observe.drain_trap", "as_found.return_wb_f"]).await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    let tess = app.browser(app.tess).await;
    let path = format!("/visits/{id}/hand-in");
    let page = tess.get(&path).await.shown().says("Needed and missing");
    page.says("Drain runs, with slope: why it is missing")
        .does_not_say("missing.as_found.return_wb");

    let page = tess.post(&path, &[(WHY, "Under the floor")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = page.says("“Trap” in block 5 is needed").says(r#"value="Under the floor""#);
    assert_eq!(page.hidden("device").len(), 12);
    let trap = "missing.as_found.observe.drain_trap";
    let page = tess.post(&path, &[(WHY, "Under the floor"), (trap, "no")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says(r#"value="no""#).says("3 to 500 are accepted");

    let done = tess.post(&path, &[(WHY, "Under the floor"), (trap, "Glued shut")]).await;
    assert_eq!(done.way_on(), format!("/visits/{id}"));
    assert_eq!(app.visit(id).await.state, VisitState::HandedIn);
    let entries = app.read().await.entries_of(app.visit(id).await.number).await.unwrap();
    let why = entries.iter().filter(|it| it.field == WHY).count();
    assert_eq!(why, 1, "the same reason again is no entry");
    let page = tess.get(&format!("/visits/{id}")).await.shown();
    page.says("by list 1 of what a sheet needs").says("Why it is missing: Trap");
}
