//! A visit from the first block of its sheet to the customer's report.

use axum::http::StatusCode;
use fairweather::domain::visit::VisitState;

use crate::app::TestApp;
use crate::builders::NOMINAL;

#[tokio::test]
async fn a_block_saves_what_changed_and_answers_at_once() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    let path = format!("/visits/{id}/sheet/10");
    let mut fields = NOMINAL.to_vec();
    fields.push(("to", "11"));
    let saved = tess.post(&path, &fields).await;
    assert_eq!(saved.way_on(), format!("/visits/{id}/sheet#block-11"));
    let page = tess.get(&format!("/visits/{id}/sheet")).await.shown().block(10);
    page.says("Within").says("Superheat").says(r#"value="125""#);
    let number = app.visit(id).await.number;
    let before = app.read().await.count_readings(number).await.unwrap();
    tess.post(&path, &fields).await;
    let after = app.read().await.count_readings(number).await.unwrap();
    assert_eq!(before, after, "nothing changed, nothing was added");
}

#[tokio::test]
async fn an_impossible_value_is_marked_at_its_field_and_the_typed_text_stays() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    let path = format!("/visits/{id}/sheet/10");
    let fields = [("as_found.return_wb_f", "630"), ("to", "11")];
    let saved = tess.post(&path, &fields).await;
    let here = format!("/visits/{id}/sheet#block-10");
    assert_eq!(saved.way_on(), here, "one stays where something can't be");
    let page = tess.get(&format!("/visits/{id}/sheet")).await.shown();
    page.says(r#"value="630""#).says("32 to 90 °F").says(r#"aria-invalid="true""#);
}

#[tokio::test]
async fn a_handed_in_sheet_has_its_verdicts_is_accepted_and_becomes_a_report() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    tess.get(&format!("/visits/{id}/hand-in")).await.shown().says("21 readings");
    let handed = tess.post(&format!("/visits/{id}/hand-in"), &[]).await;
    assert_eq!(handed.way_on(), format!("/visits/{id}"));
    tess.get(&format!("/visits/{id}")).await.shown().says("Verdicts").says("Subcooling");
    let refused = tess.post(&format!("/visits/{id}/acceptance"), &[]).await;
    assert_eq!(refused.status, StatusCode::FORBIDDEN);

    let owner = app.browser(app.owner).await;
    owner.get("/sheets-to-review").await.shown().says("Ada Fenn");
    let accepted = owner.post(&format!("/visits/{id}/acceptance"), &[]).await;
    assert_eq!(accepted.way_on(), format!("/visits/{id}/report"));
    let report = owner.get(&format!("/visits/{id}/report")).await.shown();
    report.says("Nothing needs a decision").says("Every reading").says("Larkspur Air");
    owner.post(&format!("/visits/{id}/acceptance"), &[]).await.way_on();
    assert_eq!(app.visit(id).await.state, VisitState::Accepted, "twice does no harm");
}

#[tokio::test]
async fn a_sheet_sent_back_shows_the_remark_and_comes_in_again() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    let path = format!("/visits/{id}/sending-back");
    let silent = owner.post(&path, &[("text", "  ")]).await;
    assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
    let sent = owner.post(&path, &[("text", "Is the wet bulb right?")]).await;
    assert_eq!(sent.way_on(), "/sheets-to-review");
    let tess = app.browser(app.tess).await;
    tess.get("/today").await.shown().says("Sent back");
    tess.get(&format!("/visits/{id}/sheet")).await.shown().says("Is the wet bulb right?");
    app.hand_in(id, app.tess).await;
    assert_eq!(app.visit(id).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn another_technicians_visit_is_not_there() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    let theo = app.browser(app.theo).await;
    for path in [
        format!("/visits/{id}"),
        format!("/visits/{id}/sheet"),
        format!("/visits/{id}/sheet/1"),
        format!("/visits/{id}/hand-in"),
        format!("/visits/{id}/report"),
        format!("/systems/{}", place.system),
        format!("/customers/{}", place.customer),
    ] {
        assert_eq!(theo.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let entered = theo.post(&format!("/visits/{id}/sheet/1"), &[("to", "1")]).await;
    assert_eq!(entered.status, StatusCode::NOT_FOUND);
    let handed = theo.post(&format!("/visits/{id}/hand-in"), &[]).await;
    assert_eq!(handed.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_stands_behind_a_visit_closes_to_its_technician_after_thirty_days() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.booked(&place, app.tess).await;
    let path = format!("/systems/{}", place.system);
    app.browser(app.tess).await.get(&path).await.shown();
    app.clock.advance(time::Duration::days(30));
    app.browser(app.tess).await.get(&path).await.shown();
    app.clock.advance(time::Duration::days(1));
    let page = app.browser(app.tess).await.get(&path).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_customers_link_opens_one_report_and_nothing_else() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    let early = owner.post(&format!("/visits/{id}/report-link"), &[]).await;
    assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY, "not before it is accepted");
    owner.post(&format!("/visits/{id}/acceptance"), &[]).await;
    let page = owner.post(&format!("/visits/{id}/report-link"), &[]).await.shown();
    let token = page.body.split("/reports/").nth(1).unwrap()[..32].to_owned();
    let customer = app.nobody();
    let report = customer.get(&format!("/reports/{token}")).await.shown();
    report.says("Ada Fenn").does_not_say("/systems/").does_not_say("/customers/");
    let guessed = customer.get("/reports/00000000000000000000000000000000").await;
    assert_eq!(guessed.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_hazard_stops_the_sheet_with_what_to_do_and_reaches_the_owner() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    let path = format!("/visits/{id}/sheet/1");
    let sheet = format!("/visits/{id}/sheet");
    let on_top = r#"role="alert">
<div class="hazard""#;
    tess.get(&sheet).await.shown().does_not_say(on_top);
    tess.post(&path, &[("as_found.hazard.gas_smell", "yes"), ("to", "2")]).await.way_on();
    let page = tess.get(&sheet).await.shown();
    page.says(on_top).says("Stop. Smell of gas").says("call the gas supplier");
    tess.post(&path, &[("as_found.ambient_co_ppm", "120"), ("to", "2")]).await.way_on();
    let page = tess.get(&sheet).await.shown();
    page.says(on_top).says("Call the fire service");
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    owner.get("/findings?severity=hazard").await.shown().says("Carbon monoxide");
    owner.get(&format!("/visits/{id}/report")).await.shown().says("Danger: ");
}

#[tokio::test]
async fn a_cold_day_leaves_the_charge_not_valid_and_never_a_pass() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.outdoor_db_f", "48"));
    app.enter(id, app.tess, &fields).await;
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    let page = owner.get(&format!("/visits/{id}/report")).await.shown();
    page.says("Could not be judged on this day").says("Not valid today").says("55 °F");
}

#[tokio::test]
async fn without_a_refrigerant_on_the_plate_the_sheet_comes_in_and_says_why_nothing_is_judged() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let plate = format!("/components/{}/plate", place.outdoor_unit);
    let fields = [("version", "1"), ("reason", "The plate can't be read")];
    dora.post(&plate, &fields).await.way_on();
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let page = dora.get(&format!("/visits/{id}")).await.shown();
    page.says("Nothing could be judged").does_not_say("Within");
    let fields = [("version", "2"), ("reason", "Found it"), ("refrigerant", "R-410A")];
    dora.post(&plate, &fields).await.way_on();
    dora.post(&format!("/visits/{id}/judgement"), &[]).await.way_on();
    dora.get(&format!("/visits/{id}")).await.shown().says("Superheat");
}

#[tokio::test]
async fn a_report_never_says_that_all_is_well_when_not_all_was_judged() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.capacitor_compressor_uf", "30"));
    app.enter(id, app.tess, &fields).await;
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    let report = format!("/visits/{id}/report");
    owner.get(&report).await.shown().says("Needs your decision");
    // A plate that no longer names its refrigerant: nothing can be judged any more.
    let plate = format!("/components/{}/plate", place.outdoor_unit);
    owner.post(&plate, &[("version", "1"), ("reason", "Misread")]).await.way_on();
    owner.post(&format!("/visits/{id}/judgement"), &[]).await.way_on();
    let page = owner.get(&report).await.shown();
    page.says("Nothing could be judged").does_not_say("Nothing needs a decision");
}

#[tokio::test]
async fn what_another_page_entered_meanwhile_stands_until_a_person_decides() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    let (path, sheet) = (format!("/visits/{id}/sheet/1"), format!("/visits/{id}/sheet"));
    let older = tess.get(&sheet).await.shown();
    let (entries, device) = (older.hidden("entries"), older.hidden("device"));
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "2")]).await;
    let fields = [
        ("entries", entries.as_str()),
        ("device", device.as_str()),
        ("as_found.ambient_co_ppm", "3"),
        ("as_found.thermostat_setting_f", "74"),
        ("to", "2"),
    ];
    let way = tess.post(&path, &fields).await;
    assert_eq!(way.way_on(), format!("{sheet}#block-1"));
    let page = tess.get(&sheet).await.shown();
    page.says("To decide").says("Keep 2<").says("Take 3<");
    let place = app.read().await.entries_held(app.visit(id).await.number).await.unwrap()[0]
        .entry
        .number
        .to_string();
    let number = app.visit(id).await.number;
    let values = async || {
        let readings = app.read().await.readings_of(number).await.unwrap();
        readings.into_iter().map(|it| (it.point, it.value)).collect::<Vec<_>>()
    };
    let at = |point: &str, value| (point.to_owned(), Some(value));
    let setting = at("thermostat_setting_f", 74.0);
    assert_eq!(values().await, [at("ambient_co_ppm", 2.0), setting.clone()]);

    for _ in 0..2 {
        let decide = [("take", place.as_str())];
        tess.post(&format!("/visits/{id}/decision"), &decide).await.way_on();
    }
    assert_eq!(values().await, [at("ambient_co_ppm", 3.0), setting]);
    tess.get(&sheet).await.shown().does_not_say("To decide");
    let held = app.read().await.entries_held(number).await.unwrap();
    assert_eq!((held.len(), held[0].is_decided), (1, true), "both values stay in the record");
}

#[tokio::test]
async fn a_saved_block_leaves_alone_what_came_from_elsewhere_and_was_not_touched_on_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let tess = app.browser(app.tess).await;
    app.enter(id, app.tess, &[("as_found.hazard.gas_smell", "yes")]).await;
    let (path, sheet) = (format!("/visits/{id}/sheet/1"), format!("/visits/{id}/sheet"));
    let older = tess.get(&sheet).await.shown();
    let (entries, device) = (older.hidden("entries"), older.hidden("device"));
    let meanwhile = [
        ("as_found.ambient_co_ppm", "2"),
        ("as_found.words.complaint", "Warm upstairs"),
        ("as_found.hazard.gas_smell", ""),
    ];
    app.enter(id, app.tess, &meanwhile).await;
    let fields = [
        ("entries", entries.as_str()),
        ("device", device.as_str()),
        ("as_found.ambient_co_ppm", ""),
        ("as_found.words.complaint", ""),
        ("as_found.hazard.gas_smell", "yes"),
        ("as_found.thermostat_setting_f", "74"),
        ("to", "2"),
    ];
    let way = tess.post(&path, &fields).await;
    assert_eq!(way.way_on(), format!("{sheet}#block-2"));
    tess.get(&sheet).await.shown().does_not_say("To decide").says("Warm upstairs");
    let number = app.visit(id).await.number;
    assert_eq!(app.read().await.entries_of(number).await.unwrap().len(), 5);
}

#[tokio::test]
async fn something_impossible_typed_over_a_value_takes_it_out_of_judgement() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[("as_found.liquid_line_f", "90.5")]).await;
    app.enter(id, app.tess, &[("as_found.liquid_line_f", "9 5x")]).await;
    let number = app.visit(id).await.number;
    assert_eq!(app.read().await.readings_of(number).await.unwrap(), []);
    app.enter(id, app.tess, &[("as_found.liquid_line_f", "95")]).await;
    assert_eq!(app.read().await.readings_of(number).await.unwrap()[0].value, Some(95.0));
}

#[tokio::test]
async fn a_technician_does_not_change_an_accepted_report_the_office_does_and_it_says_so() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let (tess, owner) = (app.browser(app.tess).await, app.browser(app.owner).await);
    owner.post(&format!("/visits/{id}/acceptance"), &[]).await.way_on();
    let path = format!("/visits/{id}/correction?field=as_found.return_db_f");
    let fields = [("text", "77"), ("reason", "Misread")];
    assert_eq!(tess.post(&path, &fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    owner.post(&path, &fields).await.way_on();
    let page = owner.get(&format!("/visits/{id}/report")).await.shown();
    page.says("corrected when the sheet was looked through: Return air dry bulb");
}

#[tokio::test]
async fn a_begun_sheet_is_not_swallowed_by_no_access() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[NOMINAL[2]]).await;
    let tess = app.browser(app.tess).await;
    let page = tess.post(&format!("/visits/{id}/no-access"), &[]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(app.visit(id).await.state, VisitState::UnderWay);
}

#[tokio::test]
async fn an_id_that_is_none_is_a_page_that_is_not_there() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/visits/abc").await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
    page.says("Nothing here").does_not_say("UUID");
}

#[tokio::test]
async fn a_little_carbon_monoxide_is_a_hazard_already_when_the_instrument_cant_say() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "11")]).await;
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{id}/sheet")).await.shown();
    page.says("role=\"alert\">\n<div class=\"hazard\" data-hazard=\"carbon_monoxide\">")
        .says("Stop. Carbon");
    app.hand_in(id, app.tess).await;
    let owner = app.browser(app.owner).await;
    owner.get("/findings?severity=hazard").await.shown().says("Carbon monoxide");
}

#[tokio::test]
async fn what_may_be_the_matter_stands_on_the_visit_with_its_evidence_and_the_next_reading() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let mut fields = NOMINAL.to_vec();
    fields.push(("as_found.capacitor_compressor_uf", "36"));
    fields.push(("as_found.observe.duct_smoke_test", "attention"));
    fields.push(("as_found.room_difference_f", "9"));
    app.enter(id, app.tess, &fields).await;
    app.hand_in(id, app.tess).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{id}")).await.shown();
    page.says("What may be the matter")
        .says("Weak capacitor")
        .says("Very likely")
        .says(r#"aria-label="91 %""#)
        .says("Speaks for it: Compressor capacitor.")
        .says("What would settle it: Start winding amps, running (block 9, Outdoor electrical).")
        .says("Leaking ducts")
        .says("Speaks for it: Smoke test at the joints.")
        .says("A room is too warm")
        .says("cooled air is lost from the ducts");
}

#[tokio::test]
async fn where_nothing_is_the_matter_nothing_is_said_of_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{id}")).await.shown();
    page.says("Verdicts").does_not_say("What may be the matter");
}
