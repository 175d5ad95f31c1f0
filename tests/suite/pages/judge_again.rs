//! Judging again by hand: a look first, then storing; and what the report says of it.

use axum::http::StatusCode;
use fairweather::engine::limits::{DEFAULT_VERSION, LimitName};
use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::NOMINAL;

/// A service with one nominal sheet that is in; its filter drops 0.07 in. w.c.
async fn with_a_sheet() -> (TestApp, Uuid) {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    (app, id)
}

#[tokio::test]
async fn nothing_to_change_is_said_and_offers_nothing_to_store() {
    let (app, id) = with_a_sheet().await;
    let owner = app.browser(app.owner).await;
    let page = owner.get(&format!("/visits/{id}/judgement")).await.shown();
    page.says("Nothing would change").does_not_say("Store this judgement");
    let page = owner.get("/judge-again").await.shown();
    page.says("Nothing would change").says("All 1 sheets").does_not_say("Store these");
}

#[tokio::test]
async fn a_visit_is_looked_at_before_its_judgement_is_stored() {
    let (app, id) = with_a_sheet().await;
    app.set_limit(LimitName::FilterDropHigh, 0.05).await;
    let dora = app.browser(app.dispatcher).await;
    let visit = format!("/visits/{id}");
    let path = format!("{visit}/judgement");
    dora.get(&visit).await.shown().says(&format!(r#"href="{path}""#)).does_not_say("too high");
    let page = dora
        .get(&path)
        .await
        .shown()
        .says(&format!("priors of today ({DEFAULT_VERSION}+1)"))
        .says("1 verdict;");
    let page = page.says("Filter drop").says("Raised: Filter drop too high").says("at most 0.05");
    let page = page.says("0.1 in. w.c. → 0.05 in. w.c.");
    dora.get(&visit).await.shown().does_not_say("too high");
    let standards = page.hidden("standards");
    assert_eq!(dora.post(&path, &[("standards", &standards)]).await.way_on(), visit);
    dora.get(&visit).await.shown().says("Filter drop too high");
    dora.get(&path).await.shown().says("Nothing would change");
    let page = dora.post(&path, &[("standards", DEFAULT_VERSION)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("The limit book or the priors were changed since");
}

#[tokio::test]
async fn a_report_that_was_sent_says_that_it_was_judged_again() {
    let (app, id) = with_a_sheet().await;
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{id}/acceptance"), &[]).await.way_on();
    let link = owner.post(&format!("/visits/{id}/report-link"), &[]).await.shown();
    let report = format!("/reports/{}", &link.body.split("/reports/").nth(1).unwrap()[..32]);
    app.nobody().get(&report).await.shown().does_not_say("udged again");
    app.set_limit(LimitName::FilterDropHigh, 0.05).await;
    owner.get(&format!("/visits/{id}/judgement")).await.shown().says("the customer will see there");
    let page = owner.get("/judge-again").await.shown();
    let page = page.says("1 of the 1 sheets that are in").says("the reports of 1 of those");
    let page = page.says("Filter drop, as found: Within → Outside");
    let standards = page.hidden("standards");
    let done = owner.post("/judge-again", &[("standards", &standards)]).await;
    assert_eq!(done.way_on(), "/judge-again?stored=1");
    owner.get("/judge-again?stored=1").await.shown().says("1 judgement was stored");
    let page = app.nobody().get(&report).await.shown();
    page.says("judged again on 15 Jun 2026").says("Filter drop too high");
    let again = owner.post("/judge-again", &[("standards", &standards)]).await;
    assert_eq!(again.way_on(), "/judge-again?stored=0", "twice does no harm");
}

#[tokio::test]
async fn the_history_is_not_stored_by_a_form_that_was_not_looked_at() {
    let (app, _) = with_a_sheet().await;
    let owner = app.browser(app.owner).await;
    let page = owner.post("/judge-again", &[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("Look at what would change by now");
}

#[tokio::test]
async fn another_likeliest_cause_is_named_before_it_is_stored() {
    let (app, id) = with_a_sheet().await;
    app.predict(id, &[("low_charge", 0.82), ("no_fault", 0.1)]).await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/judge-again").await.shown();
    let page = page.says("Causes, as found: low charge, 82 % →");
    page.says("in 1 the likeliest cause or a condition would be another").says("In 0 of them");
    let page = owner.get(&format!("/visits/{id}/judgement")).await.shown();
    page.says("<b>Causes</b>, as found: low charge, 82 %; no fault, 10 % →");
}
