//! What the repair found: the form on the visit, what stands beside it, and who may.

use axum::http::StatusCode;
use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::NOMINAL;

fn path(visit: Uuid) -> String {
    format!("/visits/{visit}/confirmed-cause")
}

#[tokio::test]
async fn the_one_who_was_there_records_what_was_found_beside_what_was_predicted() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.predict(visit, &[("feed_restriction", 0.62), ("low_charge", 0.31)]).await;
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{visit}")).await.shown();
    let page = page.says("Nobody has recorded yet").says("What is predicted");
    let page = page.says("Refrigerant held back before the indoor coil: 62 %");
    let page = page.says("engine 0.9.0, limits ").says("priors priors-4");
    let (id, seen) = (page.hidden("id"), page.hidden("seen"));
    let fields = [
        ("id", id.as_str()),
        ("seen", seen.as_str()),
        ("cause", "low_charge"),
        ("second", "low_indoor_airflow"),
        ("remark", "Coil leaked at its lower bends, filter matted"),
    ];
    for _ in 0..2 {
        let to = tess.post(&path(visit), &fields).await;
        assert_eq!(to.way_on(), format!("/visits/{visit}#repair"), "twice does no harm");
    }
    let page = tess.get(&format!("/visits/{visit}")).await.shown();
    page.says("Too little refrigerant, and too little air over the indoor coil")
        .says("Tess, 15 Jun 2026, 11:00")
        .says("Coil leaked at its lower bends")
        .says("What was predicted before")
        .does_not_say("Earlier answers");
    assert_eq!(app.answers(visit).await.len(), 1);
}

#[tokio::test]
async fn what_can_t_be_both_comes_back_with_what_was_typed() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let empty = dora.post(&path(visit), &[("remark", "Not sure yet")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    empty.says("Choose what the repair found").says("Not sure yet").says("Not saved yet");
    let both = [("cause", "no_fault"), ("second", "low_charge"), ("remark", "Both?")];
    let page = dora.post(&path(visit), &both).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = page.says("These two can").says(r##"href="#field-second""##).says("Both?");
    page.says(r#"<option value="no_fault" selected>Nothing was wrong</option>"#);
    let long = "so ".repeat(900);
    let page = dora.post(&path(visit), &[("cause", "no_fault"), ("remark", &long)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("At most 2000 characters").says("fault-remark").does_not_say("fault-text");
    assert_eq!(app.answers(visit).await, []);
}

#[tokio::test]
async fn a_correction_is_a_new_answer_and_the_earlier_one_stays_to_be_seen() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let owner = app.browser(app.owner).await;
    let late = [("cause", "no_fault"), ("seen", "0"), ("remark", "The gauge was off")];
    let page = owner.post(&path(visit), &late).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    let page = page.says("Tess answered meanwhile").says("The gauge was off");
    let seen = page.hidden("seen");
    let fields = [("cause", "no_fault"), ("seen", &seen), ("remark", "The gauge was off")];
    owner.post(&path(visit), &fields).await.way_on();
    let page = owner.get(&format!("/visits/{visit}")).await.shown();
    page.says("Nothing was wrong").says("Earlier answers").says("Too little refrigerant");
}

#[tokio::test]
async fn a_finding_leads_to_its_visit_and_shows_what_the_repair_of_it_found() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.observe.leak_coil_indoors", "attention"));
    app.enter(visit, app.tess, &fields).await;
    app.hand_in(visit, app.tess).await;
    let finding = app.read().await.findings_of_visit(visit).await.unwrap().remove(0);
    let link = format!("/visits/{visit}?finding={}", finding.id);
    let tess = app.browser(app.tess).await;
    tess.get("/findings").await.shown().says(&format!(r#"href="{link}#repair""#));
    let page = tess.get(&link).await.shown();
    let page = page.says(&format!(r#"<option value="{}" selected>"#, finding.id));
    let id = page.hidden("id");
    let chosen = finding.id.to_string();
    let fields = [("id", id.as_str()), ("cause", "low_charge"), ("finding", &chosen)];
    tess.post(&path(visit), &fields).await.way_on();
    tess.get("/findings").await.shown().says("Too little refrigerant").says("See the visit");
    tess.get(&format!("/visits/{visit}")).await.shown().says("the repair found: too little");
}

#[tokio::test]
async fn a_colleagues_finding_on_the_same_system_leads_nowhere_for_a_technician() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, &[("as_found.observe.leak_coil_indoors", "attention")]).await;
    app.hand_in(visit, app.tess).await;
    app.booked_late(&place, app.theo).await;
    let theo = app.browser(app.theo).await;
    theo.get("/findings").await.shown().says("Ada Fenn").does_not_say(&visit.to_string());
    let fields = [("cause", "low_charge")];
    assert_eq!(theo.post(&path(visit), &fields).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn before_the_sheet_is_in_nothing_is_asked() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let open = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    tess.get(&format!("/visits/{open}")).await.shown().does_not_say("What the repair found");
    let page = tess.post(&path(open), &[("cause", "low_charge")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("by now, so that can");
}
