//! Customers, sites, systems and parts: made, found in one box, changed, replaced.

use axum::http::StatusCode;

use crate::app::TestApp;
use crate::builders::EVERYTHING;

#[tokio::test]
async fn a_customer_is_made_with_a_site_a_system_and_its_plates_by_one_walk() {
    let app = TestApp::new().await;
    let dora = app.browser(app.dispatcher).await;
    let fields = [("name", "Ada Fenn"), ("phone", "555-0142"), ("email", "ada@example.com")];
    let way = dora.post("/customers/new", &fields).await.way_on().to_owned();
    let site = [("street", "12 Quarry Lane"), ("town", "Marrow Creek"), ("elevation_ft", "5200")];
    let way = dora.post(&way, &site).await.way_on().to_owned();
    let system = [("name", "Upstairs"), ("kind", "split_heat_pump")];
    let way = dora.post(&way, &system).await.way_on().to_owned();
    assert!(way.ends_with("/components/new?part=outdoor_unit"), "{way}");
    let plate = [("make", "Korvan"), ("serial", "SN-77"), ("refrigerant", "R-454B")];
    let way = dora.post(&way, &plate).await.way_on().to_owned();
    assert!(way.ends_with("part=indoor_coil"), "{way}");
    let coil = [("metering", "fixed_orifice"), ("superheat_chart", "95 62 9")];
    let way = dora.post(&way, &coil).await.way_on().to_owned();
    let page = dora.get(way.split("/components").next().unwrap()).await.shown();
    page.says("R-454B (flammable, A2L)").says("Fixed orifice").says("SN-77");
}

#[tokio::test]
async fn one_box_finds_by_name_street_phone_and_serial_number() {
    let app = TestApp::new().await;
    app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    for question in ["ada", "FENN", "quarry", "0142", "555-0142", "sn-9002", "korvan"] {
        let page = dora.get(&format!("/customers?find={question}")).await.shown();
        page.says("Ada Fenn");
    }
    for question in ["nobody", "014", "%25", "_", "sn-99999"] {
        let page = dora.get(&format!("/customers?find={question}")).await.shown();
        page.says("Nothing found").does_not_say("Ada Fenn");
    }
    let theo = app.browser(app.theo).await;
    theo.get("/customers?find=ada").await.shown().does_not_say("Ada Fenn");
}

#[tokio::test]
async fn a_wrong_site_comes_back_with_each_fault_at_its_field() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let fields = [("street", ""), ("town", "Marrow <Creek>"), ("elevation_ft", "90000")];
    let page = dora.post(&format!("/customers/{}/sites/new", place.customer), &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("Street is missing.")
        .says("from -1400 to 16000 is accepted")
        .says("Marrow &#60;Creek&#62;");
}

#[tokio::test]
async fn a_corrected_plate_is_a_new_version_with_a_reason() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/components/{}/plate", place.outdoor_unit);
    let mut fields = vec![("version", "1"), ("refrigerant", "R-22"), ("reason", "")];
    let page = dora.post(&path, &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("Say why");
    fields[2].1 = "Misread the plate";
    let way = dora.post(&path, &fields).await;
    assert_eq!(way.way_on(), format!("/systems/{}", place.system));
    let late = dora.post(&path, &fields).await;
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY, "version 1 is not the newest");
    let component = app.read().await.component(place.outdoor_unit).await.unwrap();
    assert_eq!((component.version, &component.nameplate.0["refrigerant"]), (2, &"R-22".into()));
}

#[tokio::test]
async fn a_replaced_part_stays_in_the_history() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/components/{}/replacement", place.outdoor_unit);
    let fields = [("replaced_on", "2026-06-01"), ("make", "Ostrel"), ("refrigerant", "R-32")];
    dora.post(&path, &fields).await.way_on();
    let page = dora.get(&format!("/systems/{}", place.system)).await.shown();
    page.says("Ostrel").says("Korvan").says("(taken out)");
    let again = dora.post(&path, &fields).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "it is out already");
    let components = app.read().await.components_of(place.system).await.unwrap();
    let units: Vec<_> = components.iter().filter(|it| it.part.key() == "outdoor_unit").collect();
    assert_eq!(units.len(), 2);
    let path = format!("/systems/{}/components/new?part=outdoor_unit", place.system);
    let second = dora.post(&path, &[("make", "Third")]).await;
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY, "one outdoor unit at a time");
}

#[tokio::test]
async fn a_visit_is_judged_by_the_parts_that_were_there_on_its_day() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, crate::builders::NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let dora = app.browser(app.dispatcher).await;
    let fields = [("replaced_on", "2026-06-20"), ("refrigerant", "R-22")];
    dora.post(&format!("/components/{}/replacement", place.outdoor_unit), &fields).await.way_on();
    dora.post(&format!("/visits/{id}/judgement"), &[]).await.way_on();
    let number = app.visit(id).await.number;
    let judgement = app.read().await.judgement_of(number).await.unwrap().unwrap();
    assert_eq!(judgement.number, 1, "the new unit came later, so nothing would be other");
    assert_eq!(judgement.input.0["system"]["refrigerant"], "R-410A");
    let events = app.read().await.events_of(id).await.unwrap();
    assert_eq!(events, ["book", "begin", "hand_in"]);
    app.read().await.visit(EVERYTHING, id).await.unwrap();
}

#[tokio::test]
async fn a_form_sent_twice_makes_one_thing() {
    let app = TestApp::new().await;
    let dora = app.browser(app.dispatcher).await;
    let id = dora.get("/customers/new").await.shown().hidden("id");
    let fields = [("name", "Ada Fenn"), ("id", id.as_str())];
    let site = dora.post("/customers/new", &fields).await.way_on().to_owned();
    assert_eq!(dora.post("/customers/new", &fields).await.way_on(), site);
    let id = dora.get(&site).await.shown().hidden("id");
    let fields =
        [("street", "1 Low Road"), ("town", "Thrup"), ("elevation_ft", "0"), ("id", id.as_str())];
    let system = dora.post(&site, &fields).await.way_on().to_owned();
    assert_eq!(dora.post(&site, &fields).await.way_on(), system);
    let id = dora.get(&system).await.shown().hidden("id");
    let fields = [("name", "Attic"), ("kind", "ductless"), ("id", id.as_str())];
    for _ in 0..2 {
        dora.post(&system, &fields).await.way_on();
    }
    let found = app.read().await.find(EVERYTHING, "").await.unwrap();
    assert_eq!(found.len(), 1, "{found:?}");
}
