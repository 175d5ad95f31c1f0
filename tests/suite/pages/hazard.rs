//! Hazards above every page of the office until somebody has seen them, and never elsewhere.

use time::Duration;

use crate::app::TestApp;
use crate::builders::NOMINAL;

const GAS: (&str, &str) = ("as_found.hazard.gas_smell", "yes");
const LINE: &str = "told 11:00 by Tess";

#[tokio::test]
async fn a_hazard_stands_above_every_page_of_the_office_until_it_is_seen() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let (dora, olive) = (app.browser(app.dispatcher).await, app.browser(app.owner).await);
    dora.get("/week").await.shown().does_not_say("Hazard");
    app.enter(id, app.tess, &[GAS]).await;
    for path in ["/due", "/week", "/customers", "/agreements", "/findings", "/account"] {
        let page = dora.get(path).await.shown().says("smell of gas").says(LINE);
        let (hazard, strip) = (page.body.find(LINE), page.body.find(r#"<header class="strip""#));
        assert!(hazard < strip, "{path}: it is above everything");
    }
    olive.get("/sheets-to-review").await.shown().says(LINE).says("555-0142");
    let page = olive.get("/limit-book?x=1").await.shown().says("Tell the customer to stay outside");
    assert_eq!(page.hidden("back"), "/limit-book?x=1");
    let way = page.body.split("/hazards/").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let seen = dora.post(&format!("/hazards/{way}"), &[("back", "/week")]).await;
    assert_eq!(seen.way_on(), "/week");
    olive.get("/limit-book").await.shown().does_not_say(LINE);
    olive.get("/sheets-to-review").await.shown().says("Hazards that stand").says("by Dora");
    dora.get("/due").await.shown().says("Hazards that stand").says(LINE);
    let visit = olive.get(&format!("/visits/{id}")).await.shown();
    visit.says(LINE).says("seen 11:00 by Dora");
}

#[tokio::test]
async fn the_button_comes_back_to_pages_of_ours_only() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[GAS]).await;
    let hazard = app.read().await.unseen_hazards().await.unwrap()[0].id;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/hazards/{hazard}/seen");
    for back in ["//elsewhere.example.com", "https://elsewhere.example.com", ""] {
        assert_eq!(dora.post(&path, &[("back", back)]).await.way_on(), "/");
    }
}

#[tokio::test]
async fn a_technician_sees_on_the_visit_whether_the_office_has_seen_it_and_nowhere_else() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[GAS]).await;
    let (tess, theo) = (app.browser(app.tess).await, app.browser(app.theo).await);
    let visit = format!("/visits/{id}");
    tess.get(&visit).await.shown().says(LINE).says("nobody in the office has seen it");
    tess.get("/today").await.shown().does_not_say(LINE);
    theo.get("/today").await.shown().does_not_say(LINE);
}

#[tokio::test]
async fn what_was_taken_back_says_so_and_another_day_is_named() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[NOMINAL[1], GAS]).await;
    app.clock.advance(Duration::minutes(9));
    app.enter(id, app.tess, &[(GAS.0, "")]).await;
    let dora = app.browser(app.dispatcher).await;
    dora.get("/week").await.shown().says(LINE).says("taken back 11:09");
    app.clock.advance(Duration::days(1));
    let dora = app.browser(app.dispatcher).await;
    dora.get("/week").await.shown().says("told Mon 15 Jun, 11:00 by Tess");
}
