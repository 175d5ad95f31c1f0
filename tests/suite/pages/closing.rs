//! What closes a visit, as people meet it: the form, the visit, the findings, the report.

use axum::http::StatusCode;
use uuid::Uuid;

use crate::app::{Browser, TestApp};
use crate::builders::{NOMINAL, Place};

/// An open sheet with a weak capacitor, and two items of which one answers it.
async fn begun(app: &TestApp) -> (Place, Uuid) {
    let place = app.place("Ada Fenn").await;
    app.price("Run capacitor", 18_900, &["capacitor_compressor_deviation_pct"]).await;
    app.price("Contactor", 24_500, &[]).await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.enter(visit, app.tess, &[("as_found.capacitor_compressor_uf", "38.3")]).await;
    (place, visit)
}

/// Sends the closing's form as it was laid out, with some fields filled in.
async fn fill(browser: &Browser, visit: Uuid, fields: &[(&str, &str)]) -> String {
    let path = format!("/visits/{visit}/sheet/14");
    let page = browser.get(&format!("/visits/{visit}/sheet")).await.shown();
    let (entries, device) = (page.hidden("entries"), page.hidden("device"));
    let mut all = vec![("entries", entries.as_str()), ("device", device.as_str())];
    all.extend_from_slice(fields);
    browser.post(&path, &all).await.way_on().to_owned()
}

#[tokio::test]
async fn the_form_suggests_first_what_a_finding_asks_for() {
    let app = TestApp::new().await;
    let (place, visit) = begun(&app).await;
    app.agreement(&place, app.plan().await).await;
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{visit}/sheet")).await.shown().block(14);
    let (first, rest) = page.body.split_once("The rest of the price list: 1").expect("a rest");
    assert!(first.contains(r#"name="as_found.proposal.run_capacitor" value="deferred""#));
    assert!(rest.contains(r#"name="as_found.proposal.contactor""#));
    assert!(rest.contains(r#"id="as_found.moved_lb.4""#) && rest.contains("as_found.part.8"));
    page.says("$170.10 with the plan’s 10 % off, $189.00 without")
        .says("Flammable (A2L)")
        .says("Leak search and airflow come before any decision on charge");
}

#[tokio::test]
async fn what_is_typed_is_saved_and_what_can_t_be_stays_with_its_sentence() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app).await;
    let tess = app.browser(app.tess).await;
    let fields = [
        ("as_found.proposal.contactor", "accepted"),
        ("as_found.part.1", "Contactor"),
        ("as_found.part_count.1", "many"),
        ("to", "hand-in"),
    ];
    let way = fill(&tess, visit, &fields).await;
    assert_eq!(way, format!("/visits/{visit}/sheet#block-14"), "it stays where something can't be");
    let page = tess
        .get(&format!("/visits/{visit}/sheet"))
        .await
        .shown()
        .block(14)
        .says("“many” can&#39;t be")
        .says(r#"value="many""#);
    let first = page.body.split("The rest of the price list").next().unwrap();
    assert!(first.contains("proposal.contactor"), "what was answered stands on top");
    let way = fill(&tess, visit, &[("as_found.part_count.1", "2"), ("to", "hand-in")]).await;
    assert_eq!(way, format!("/visits/{visit}/hand-in"));
}

#[tokio::test]
async fn a_sheet_that_lacks_something_is_told_so_and_not_handed_in() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app).await;
    let tess = app.browser(app.tess).await;
    fill(&tess, visit, &[("as_found.moved.1", "added"), ("as_found.moved_oz.1", "8")]).await;
    let path = format!("/visits/{visit}/hand-in");
    tess.get(&path).await.shown().says("Lacks something").says("Cylinder of refrigerant 1");
    let page = tess.post(&path, &[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("say from or into which cylinder");
}

/// A visit that was handed in with a proposal, a part and refrigerant.
async fn handed(app: &TestApp) -> (Place, Uuid) {
    let (place, visit) = begun(app).await;
    let fields = [
        ("as_found.proposal.run_capacitor", "deferred"),
        ("as_found.proposal_until.run_capacitor", "2026-09-01"),
        ("as_found.part.1", "Wire nut"),
        ("as_found.part_count.1", "4"),
        ("as_found.moved.1", "added"),
        ("as_found.moved_lb.1", "1"),
        ("as_found.moved_cylinder.1", "No. 3"),
    ];
    app.enter(visit, app.tess, &fields).await;
    app.hand_in(visit, app.tess).await;
    (place, visit)
}

#[tokio::test]
async fn what_is_about_to_go_in_says_what_was_proposed_used_moved_and_whether_it_is_signed() {
    let app = TestApp::new().await;
    let (_, visit) = begun(&app).await;
    let fields = [
        ("as_found.proposal.run_capacitor", "accepted"),
        ("as_found.part.1", "Wire nut"),
        ("as_found.part_count.1", "4"),
        ("as_found.moved.1", "added"),
        ("as_found.moved_lb.1", "1"),
        ("as_found.moved_cylinder.1", "No. 3"),
    ];
    app.enter(visit, app.tess, &fields).await;
    let path = format!("/visits/{visit}/hand-in");
    let tess = app.browser(app.tess).await;
    tess.get(&path)
        .await
        .shown()
        .says("Run capacitor, $189.00: accepted")
        .says("4 × Wire nut")
        .says("1 lb, cylinder No. 3")
        .says("has not signed yet");
    app.photo(visit, "signature", 1).await;
    tess.get(&path).await.shown().says("The customer has signed; 0 photos");
}

#[tokio::test]
async fn the_visit_shows_proposals_parts_and_refrigerant() {
    let app = TestApp::new().await;
    let (_, visit) = handed(&app).await;
    let tess = app.browser(app.tess).await;
    tess.get(&format!("/visits/{visit}"))
        .await
        .shown()
        .says("Run capacitor</b> · $189.00")
        .says("Deferred until 1 Sep 2026")
        .says("Would put right: Compressor capacitor out of tolerance")
        .says("4 × Wire nut")
        .says("Added: 1 lb of R-410A, cylinder No. 3")
        .says("Pounds of refrigerant 1");
}

#[tokio::test]
async fn the_office_answers_from_the_findings_and_books_the_repair() {
    let app = TestApp::new().await;
    let (place, visit) = handed(&app).await;
    let dora = app.browser(app.dispatcher).await;
    let page = dora.get("/findings").await.shown().says("Deferred until 1 Sep 2026");
    let id = page.body.split("/proposals/").nth(1).expect("a link")[..36].to_owned();
    let path = format!("/proposals/{id}");
    let page = dora.get(&path).await.shown().says("on the sheet of Tess");
    let (answer, seen) = (page.hidden("id"), page.hidden("seen"));
    let fields = [("id", answer.as_str()), ("seen", seen.as_str()), ("answer", "accepted")];
    for _ in 0..2 {
        assert_eq!(dora.post(&format!("{path}/answer"), &fields).await.way_on(), path);
    }
    let booking = format!("/visits/new?system={}&#38;kind=repair", place.system);
    dora.get(&path).await.shown().says("<b>Accepted</b>").says("Dora").says(&booking);
    dora.get(&format!("/visits/{visit}")).await.shown().says("Book the repair");
    let tess = app.browser(app.tess).await;
    tess.get(&path).await.shown().does_not_say("Book the repair");
}

#[tokio::test]
async fn an_answer_that_can_t_be_comes_back_with_what_was_chosen() {
    let app = TestApp::new().await;
    let (_, visit) = handed(&app).await;
    let id = app.read().await.proposals_of_visit(visit).await.unwrap()[0].id;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/proposals/{id}/answer");
    for (until, sentence) in [
        ("", "nothing was given; a day from the visit on"),
        ("2026-06-01", "2026-06-01 can&#39;t be; a day from 15 Jun 2026 on is accepted"),
    ] {
        let fields = [("seen", "1"), ("answer", "deferred"), ("until", until)];
        let page = dora.post(&path, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        page.says(sentence);
    }
    let fields = [("seen", "0"), ("answer", "declined"), ("until", "")];
    let page = dora.post(&path, &fields).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    page.says("“deferred” meanwhile");
}

#[tokio::test]
async fn the_customers_report_says_what_is_proposed_in_plain_words() {
    let app = TestApp::new().await;
    let (_, visit) = handed(&app).await;
    let owner = app.browser(app.owner).await;
    owner
        .get(&format!("/visits/{visit}/report"))
        .await
        .shown()
        .says("What we propose")
        .says("Run capacitor</b>: $189.00")
        .says("Your answer: put off until 1 Sep 2026.")
        .says("4 × Wire nut")
        .says("1 lb of R-410A went into the system")
        .does_not_say("No. 3");
}

#[tokio::test]
async fn an_answer_on_a_sheet_that_is_in_is_corrected_by_choice() {
    let app = TestApp::new().await;
    let (_, visit) = handed(&app).await;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/visits/{visit}/correction?field=as_found.proposal.run_capacitor");
    dora.get(&path).await.shown().says("Not proposed").says("Declined");
    let fields = [("text", "declined"), ("reason", "Ticked the wrong one")];
    dora.post(&path, &fields).await.way_on();
    let all = app.read().await.proposals_of_visit(visit).await.unwrap();
    assert_eq!(all[0].answer.key(), "declined");
}
