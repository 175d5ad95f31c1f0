//! Causes as people see them: on the visit, the sheet, the hand-in, the report and the history.

use fairweather::store::{NewJudgement, Slot};
use time::macros::date;
use uuid::Uuid;

use crate::app::{Browser, Page, TestApp};
use crate::builders::{NOMINAL, Place};
use crate::planted::{FEED_HELD_BACK, HEALTHY, LOW_CHARGE, LOW_INDOOR_AIR, fields};

/// The caution that stands beside every list of causes, as far as it holds no apostrophe.
const CAUTION: &str = "Leak search and airflow come before any decision on charge";

async fn place() -> (TestApp, Place) {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    (app, place)
}

/// What a customer sees behind the link.
async fn linked_report(app: &TestApp, visit: Uuid) -> Page {
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{visit}/acceptance"), &[]).await.way_on();
    let page = owner.post(&format!("/visits/{visit}/report-link"), &[]).await.shown();
    let token = page.body.split("/reports/").nth(1).expect("a link")[..32].to_owned();
    app.nobody().get(&format!("/reports/{token}")).await.shown()
}

#[tokio::test]
async fn a_low_charge_stands_on_the_visit_with_how_likely_how_bad_and_why() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, None)).await;
    for person in [app.tess, app.dispatcher, app.owner] {
        let page = app.browser(person).await.get(&format!("/visits/{visit}")).await.shown();
        page.says("Likely causes")
            .says("<b>Too little refrigerant</b>")
            .says("Very likely</span>")
            .says(r#"role="img" aria-label="9"#)
            .says("of the charge short, give or take")
            .says("Subcooling -0.8 °F, a healthy one would show 10 ± 2")
            .says("what a healthy system of its kind would show")
            .says(CAUTION)
            .does_not_say("Did it work")
            .does_not_say("Too little was read again");
    }
}

#[tokio::test]
async fn a_healthy_visit_says_so_in_quiet_ink() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (HEALTHY, None)).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    let causes = section(&page, "Likely causes").to_owned();
    assert!(causes.contains(r#"<li class="within">"#), "{causes}");
    assert!(causes.contains("Nothing wrong that these readings show"), "{causes}");
    assert!(!causes.contains(r#"class="outside""#), "{causes}");
    assert!(causes.contains(CAUTION), "{causes}");
}

/// A panel of a page by its heading.
fn section<'a>(page: &'a Page, heading: &str) -> &'a str {
    let start = page.body.find(&format!("<h2>{heading}</h2>")).expect("the panel");
    page.body[start..].split("</section>").next().expect("its end")
}

#[tokio::test]
async fn where_no_cause_can_be_named_the_reason_stands_in_its_place() {
    let (app, place) = place().await;
    let mut cold = fields(LOW_CHARGE, "as_found");
    cold.push(("as_found.outdoor_db_f".to_owned(), "50".to_owned()));
    let visit = app.typed_visit(&place, app.tess, &cold).await;
    app.hand_in(visit, app.tess).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    let causes = section(&page, "Likely causes");
    assert!(causes.contains("Can&#39;t tell: too few readings can be used. It is 50 °F outdoors"));
    assert!(!causes.contains("in 100"), "{causes}");
    let report = linked_report(&app, visit).await;
    report
        .says("could not be told, because too few readings can be used. It is 50 °F outdoors")
        .does_not_say("too little refrigerant");
}

#[tokio::test]
async fn a_systems_own_healthy_past_is_named_and_what_was_left_out_of_it_is_folded_away() {
    let (app, place) = place().await;
    for (day, planted) in [(date!(2024 - 06 - 10), HEALTHY), (date!(2025 - 06 - 10), LOW_CHARGE)] {
        let slot = Slot { day, start_minute: 480, minutes: 60 };
        let earlier = app.booked_at(&place, app.tess, slot).await;
        enter(&app, earlier, &fields(planted, "as_found")).await;
        app.hand_in(earlier, app.tess).await;
    }
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, None)).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    page.says("Compared with this system&#39;s own earlier healthy visit.")
        .says("<details><summary>Earlier visits that were left out</summary>")
        .says("<li>1 visit back: it doesn&#39;t look healthy by itself");
}

#[tokio::test]
async fn a_judgement_from_before_causes_were_weighed_says_that_and_nothing_else() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, None)).await;
    let number = app.visit(visit).await.number;
    let mut tx = app.write().await;
    let judgement = tx.judgement_of(number).await.unwrap().expect("a judgement");
    let mut output = judgement.output.0;
    output["as_found"]["causes"] = serde_json::json!([]);
    let (input, output) = (&judgement.input.0, &output);
    let (engine, rules, priors) = ("0.0.9", "default-2", "default-1");
    let new = NewJudgement { input, output, engine, rules, priors };
    tx.insert_judgement(number, app.clock.now(), new).await.unwrap();
    tx.commit().await.unwrap();
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{visit}")).await.shown();
    page.says("judged before causes were weighed").does_not_say("in 100");
    let report = tess.get(&format!("/visits/{visit}/report")).await.shown();
    report.does_not_say("could not be told").does_not_say("What the readings point to");
}

#[tokio::test]
async fn a_repair_that_worked_is_said_to_have_worked_with_every_distance() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, Some(HEALTHY))).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    page.says("<h3>As left</h3>")
        .says("Did it work")
        .says("It worked</span>")
        .says("Too little refrigerant: as good as all of it (100 % ±")
        .says("<th scope=\"row\">Subcooling</th><td class=\"n\">−10.8 °F</td>")
        .says("± of the change");
}

#[tokio::test]
async fn where_nothing_telling_was_read_again_nothing_is_said_to_have_worked() {
    let (app, place) = place().await;
    let mut typed = fields(LOW_CHARGE, "as_found");
    typed.push(("as_left.static_return_inwc".to_owned(), "-0.08".to_owned()));
    let visit = app.typed_visit(&place, app.tess, &typed).await;
    app.hand_in(visit, app.tess).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    page.says("Too little was read again").does_not_say("It worked").does_not_say("Did it work");
}

#[tokio::test]
async fn causes_of_next_to_nothing_are_left_out_and_the_next_reading_names_its_block() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (LOW_INDOOR_AIR, None)).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    let causes = section(&page, "Likely causes");
    let next = "Measured indoor airflow (block 10, Settle, then read together).";
    assert!(causes.contains(next), "{causes}");
    assert!(causes.contains(r#"<li class="brief"#), "{causes}");
    for below in ["0 %", "1 %", "2 %", "3 %", "4 %"] {
        assert!(!causes.contains(&format!(">{below}")), "{causes}");
    }
}

#[tokio::test]
async fn what_looks_alike_at_the_gauges_is_said_to() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (FEED_HELD_BACK, None)).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    page.says("Refrigerant held back before the indoor coil").says("look alike at the gauges");
}

#[tokio::test]
async fn the_sheet_shows_the_causes_so_far_where_they_are_read() {
    let (app, place) = place().await;
    let visit = app.typed_visit(&place, app.tess, &[]).await;
    let tess = app.browser(app.tess).await;
    let block =
        async |number| tess.get(&format!("/visits/{visit}/sheet")).await.shown().block(number);
    block(10).await.does_not_say("Likely causes so far");
    app.enter(visit, app.tess, &[("as_found.outdoor_db_f", "82")]).await;
    block(10).await.says("Likely causes so far").says("no cause is named yet").says("needed: ");
    enter(&app, visit, &fields(LOW_CHARGE, "as_found")).await;
    let page = block(10).await;
    page.says("Likely so far: Too little refrigerant, 9")
        .says("of the charge short")
        .says(CAUTION)
        .does_not_say("Speaks for it");
    block(13).await.does_not_say("Likely causes so far");
    block(9).await.does_not_say("Likely causes so far");
    enter(&app, visit, &fields(HEALTHY, "as_left")).await;
    block(13)
        .await
        .says("Likely so far: Nothing wrong that these readings show, ")
        .says(" %. Did it work? It worked")
        .says("It worked</span>");
}

async fn enter(app: &TestApp, visit: Uuid, fields: &[(String, String)]) {
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    app.enter(visit, app.tess, &fields).await;
}

#[tokio::test]
async fn before_it_is_handed_in_the_next_reading_is_one_press_away() {
    let (app, place) = place().await;
    let visit = app.typed_visit(&place, app.tess, &fields(LOW_INDOOR_AIR, "as_found")).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}/hand-in")).await.shown();
    let way = format!(r#"href="/visits/{visit}/sheet#field-as_found.airflow_cfm""#);
    page.says("Likely causes so far")
        .says("Too little air over the indoor coil")
        .says(&way)
        .says(CAUTION);
    app.hand_in(visit, app.tess).await;
    let page = app.browser(app.tess).await.get(&format!("/visits/{visit}")).await.shown();
    page.says("Measured indoor airflow").does_not_say("/sheet#");
}

#[tokio::test]
async fn a_customer_reads_what_it_means_and_what_the_work_did() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, Some(HEALTHY))).await;
    let report = linked_report(&app, visit).await;
    let plain = section(&report, "In plain words").to_owned();
    for said in [
        "<b>Very likely:</b> there is too little refrigerant in the system.",
        "there may be a leak somewhere.",
        "After the work the readings moved back as good as all the way.",
        CAUTION,
    ] {
        assert!(plain.contains(said), "“{said}” is not in {plain}");
    }
    let evidence = section(&report, "What the readings point to");
    assert!(evidence.contains("a healthy one would show") && evidence.contains(CAUTION));
    report.does_not_say("Did it work").does_not_say("What would settle it");
}

#[tokio::test]
async fn a_customer_of_a_healthy_system_reads_one_calm_sentence() {
    let (app, place) = place().await;
    let visit = app.planted(&place, app.tess, (HEALTHY, None)).await;
    let report = linked_report(&app, visit).await;
    let plain = section(&report, "In plain words");
    let calm = "As far as these readings show, probably nothing is wrong with the cooling circuit";
    assert!(plain.contains(calm), "{plain}");
    assert!(!plain.contains("ikely:") && !plain.contains("could not be told"), "{plain}");
}

#[tokio::test]
async fn a_customer_is_not_told_that_nothing_is_wrong_where_a_reading_of_it_is_outside() {
    let (app, place) = place().await;
    let mut typed = fields(HEALTHY, "as_found");
    // A subcooling of 14.4 °F on a plate that asks for 10: outside, and yet no fault is likelier.
    typed.push(("as_found.liquid_line_f".to_owned(), "84.3".to_owned()));
    let visit = app.typed_visit(&place, app.tess, &typed).await;
    app.hand_in(visit, app.tess).await;
    let report = linked_report(&app, visit).await;
    let plain = section(&report, "In plain words");
    assert!(plain.contains("though not each lies within its limits"), "{plain}");
    assert!(!plain.contains("nothing is wrong"), "{plain}");
}

#[tokio::test]
async fn a_customer_reads_of_conditions_too_and_what_explains_the_warm_room() {
    let (app, place) = place().await;
    let mut typed: Vec<(&str, &str)> = NOMINAL.to_vec();
    typed.push(("as_found.capacitor_compressor_uf", "36"));
    typed.push(("as_found.observe.duct_smoke_test", "attention"));
    typed.push(("as_found.room_difference_f", "9"));
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, &typed).await;
    app.hand_in(visit, app.tess).await;
    let report = linked_report(&app, visit).await;
    let plain = section(&report, "In plain words").to_owned();
    for said in [
        "<b>Very likely:</b> a capacitor has grown weak",
        "air leaks on its way through the ducts.",
        "<b>A room is too warm:</b>",
        "cooled air is lost from the ducts",
    ] {
        assert!(plain.contains(said), "“{said}” is not in {plain}");
    }
    report.says("Speaks for it: Compressor capacitor.").does_not_say("What would settle it");
}

#[tokio::test]
async fn a_report_does_not_say_that_all_is_well_where_readings_together_point_to_a_fault() {
    let (app, place) = place().await;
    // Without the plate's target no verdict is about the subcooling, and nothing else is outside.
    let plate = format!("/components/{}/plate", place.outdoor_unit);
    let owner = app.browser(app.owner).await;
    let without_target = [
        ("version", "1"),
        ("reason", "The target can't be read"),
        ("refrigerant", "R-410A"),
        ("nominal_tons", "2"),
    ];
    owner.post(&plate, &without_target).await.way_on();
    let visit = app.planted(&place, app.tess, (LOW_CHARGE, None)).await;
    let report = owner.get(&format!("/visits/{visit}/report")).await.shown();
    report
        .says("there is too little refrigerant in the system")
        .says("taken together they point to something")
        .does_not_say("Nothing needs a decision");
}

#[tokio::test]
async fn the_history_has_the_likeliest_cause_of_each_visit() {
    let (app, place) = place().await;
    app.planted(&place, app.tess, (LOW_CHARGE, None)).await;
    let cold = app.booked_late(&place, app.tess).await;
    app.enter(cold, app.tess, &[("as_found.outdoor_db_f", "50")]).await;
    app.hand_in(cold, app.tess).await;
    let who: [Browser; 2] = [app.browser(app.tess).await, app.browser(app.dispatcher).await];
    for browser in who {
        let page = browser.get(&format!("/systems/{}", place.system)).await.shown();
        page.says("Likeliest cause")
            .says("Low charge")
            .says("Very likely")
            .says("can’t tell")
            .says(CAUTION);
    }
}

#[tokio::test]
async fn what_causes_are_told_by_is_the_owners_to_read_row_by_row() {
    let (app, _) = place().await;
    let owner = app.browser(app.owner).await;
    owner.get("/limit-book").await.shown().says(r#"href="/signatures""#);
    let page = owner.get("/signatures").await.shown();
    let rows = page.body.matches(r#"<th scope="row">"#).count();
    assert!(50 < rows, "{rows} rows");
    page.says("What causes are told by")
        .says("<p>For each 10 % of the charge short:</p>")
        .says("falls by 5.2 °F<br>")
        .says("stays at first; once no subcooling is left it rises by 12 °F<br>")
        .says("beyond 15 % of charge")
        .says("% of what a healthy system shows")
        .says("Where half of the air is missing:")
        .says("% of what the saturation does with that pressure")
        .says("uncertain by 35 % of it")
        .says("exactly, by definition")
        .says("Mean residuals of an open simulation")
        .says(CAUTION);
}
