//! The priors' pages: what is in force, what moved it, and beginning again.

use axum::http::StatusCode;
use fairweather::engine::causes::{CAUSES, DEFAULT_PRIORS};

use crate::app::TestApp;

#[tokio::test]
async fn before_the_first_confirmation_the_published_figures_stand_with_their_sources() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let mut page = owner.get("/priors").await.shown();
    for cause in &CAUSES {
        page = page.says(&format!("{:.1} %", 100.0 * cause.prior));
    }
    page.says(&format!("In force: {DEFAULT_PRIORS}"))
        .says("The published figures hold")
        .says("ublished surveys")
        .does_not_say("Begin again");
    let page = owner.get("/priors/reset").await.shown();
    page.says("There is nothing to begin again").does_not_say("<form class=\"panel");
}

#[tokio::test]
async fn a_confirmation_stands_there_with_its_version_and_its_visit() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge+non_condensables").await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/priors").await.shown();
    page.says("In force: priors-1")
        .says("Learnt from 1 confirmed of 1 judged visits")
        .says("0.5")
        .says("Confirmed: Too little refrigerant, and air or another gas")
        .says(&format!("/visits/{visit}#repair"))
        .says("Tess, 15 Jun 2026, 11:00");
}

#[tokio::test]
async fn beginning_again_is_looked_at_first_and_needs_a_reason() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let owner = app.browser(app.owner).await;
    owner.get("/priors").await.shown().says(r#"href="/priors/reset""#);
    let page = owner.get("/priors/reset").await.shown();
    let page = page.says("1 confirmed visit would no longer count").says("Nothing is deleted");
    let seen = page.hidden("seen");
    let silent = owner.post("/priors/reset", &[("seen", &seen), ("reason", " ")]).await;
    assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
    silent.says("Say why").says(r##"href="#field-reason""##);
    let fields = [("seen", seen.as_str()), ("reason", "Tried out with our own van")];
    for _ in 0..2 {
        assert_eq!(owner.post("/priors/reset", &fields).await.way_on(), "/priors");
    }
    let page = owner.get("/priors").await.shown();
    page.says("In force: priors-2")
        .says("Begun again from the published figures")
        .says("Tried out with our own van")
        .says("learnt since from 0 confirmed of 0 judged visits");
}

#[tokio::test]
async fn a_confirmation_since_the_look_is_shown_before_beginning_again() {
    let app = TestApp::new().await;
    let (one, other) = (app.sheet_in("Ada Fenn").await, app.sheet_in("Bo Larch").await);
    app.found(one, "low_charge").await;
    let owner = app.browser(app.owner).await;
    let seen = owner.get("/priors/reset").await.shown().hidden("seen");
    app.found(other, "low_charge").await;
    let fields = [("seen", seen.as_str()), ("reason", "Mine")];
    let page = owner.post("/priors/reset", &fields).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    let page =
        page.says("Somebody confirmed a cause since").says("Mine").says("2 confirmed visits");
    assert_eq!(page.hidden("seen"), "2");
}
