//! The office: from a plan to a booked visit, and who may do what.

use axum::http::StatusCode;
use fairweather::domain::visit::VisitState;
use fairweather::store::Slot;
use time::macros::date;

use crate::app::{Browser, Page, TestApp};

const PLAN: &[(&str, &str)] = &[
    ("version", "1"),
    ("name", "Spring round"),
    ("price", "189.00"),
    ("discount", "10"),
    ("kind_1", "cooling_maintenance"),
    ("first_1", "03-01"),
    ("last_1", "06-30"),
    ("kind_2", ""),
];

/// The nominal plan with some fields changed, and an id.
fn plan_with<'a>(id: &'a str, changed: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut fields: Vec<(&str, &str)> = PLAN
        .iter()
        .copied()
        .filter(|field| changed.iter().all(|other| other.0 != field.0))
        .collect();
    fields.extend_from_slice(changed);
    fields.push(("id", id));
    fields
}

/// The first link to a booking form on a page.
fn booking_link(page: &Page) -> String {
    let rest = page.body.split(r#"href="/visits/new?"#).nth(1).expect("a link to book");
    let asked = rest.split('"').next().unwrap_or_default();
    format!("/visits/new?{}", asked.replace("&#38;", "&").replace("&amp;", "&"))
}

/// Sends a booking as its form would, with the technician, the day and the time chosen.
async fn book(browser: &Browser, form: &Page, (technician, day, time): (&str, &str, &str)) -> Page {
    let names = ["id", "system", "kind", "agreement", "year"];
    let hidden: Vec<(&str, String)> = names.iter().map(|it| (*it, form.hidden(it))).collect();
    let mut fields: Vec<(&str, &str)> =
        hidden.iter().map(|(name, text)| (*name, text.as_str())).collect();
    fields.extend([("technician", technician), ("day", day), ("time", time), ("minutes", "90")]);
    browser.post("/visits/new", &fields).await
}

#[tokio::test]
async fn a_plan_is_sold_falls_due_is_booked_and_stands_on_the_technicians_day() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    let id = owner.get("/plans/new").await.shown().hidden("id");
    assert_eq!(owner.post("/plans/new", &plan_with(&id, &[])).await.way_on(), "/plans");
    owner.get("/plans").await.shown().says("Spring round").says("$189.00").says("1 Mar to 30 Jun");

    let dora = app.browser(app.dispatcher).await;
    dora.get("/due").await.shown().says("Nothing is due");
    let path = format!("/agreements/new?customer={}", place.customer);
    let form = dora.get(&path).await.shown();
    let (id, system) = (form.hidden("id"), place.system.to_string());
    let plan = app.read().await.plans().await.unwrap().remove(0);
    let plan = format!("{}.1", plan.id);
    let fields = [
        ("id", id.as_str()),
        ("plan", &plan),
        ("systems", &system),
        ("starts_on", "2026-06-01"),
        ("last_on", "2027-05-31"),
        ("accepted_on", ""),
    ];
    let agreement = format!("/agreements/{id}");
    for _ in 0..2 {
        assert_eq!(dora.post(&path, &fields).await.way_on(), agreement, "twice does no harm");
    }
    dora.get(&agreement).await.shown().says("Draft").says("1 Jun 2026 to 31 May 2027");
    dora.get("/due").await.shown().says("Nothing is due");
    let acceptance = format!("{agreement}/acceptance");
    let on = [("accepted_on", "2026-06-02")];
    assert_eq!(dora.post(&acceptance, &on).await.way_on(), agreement);
    assert_eq!(dora.post(&acceptance, &on).await.status, StatusCode::CONFLICT);
    dora.get(&agreement).await.shown().says("In force").says("2 Jun 2026").says("Upstairs");

    let due = dora.get("/due").await.shown().says("Due now").says("Ada Fenn").says("555-0142");
    let form = dora.get(&booking_link(&due)).await.shown().says("Free all day.");
    let booked = book(&dora, &form, (&app.tess.to_string(), "2026-06-15", "09:00")).await;
    assert_eq!(booked.way_on(), "/due");
    dora.get("/due").await.shown().says("Booked").says("Mon 15 Jun").does_not_say("Due now");
    dora.get("/week?first=2026-06-18").await.shown().says("9:00 12 Quarry Lane");
    dora.get("/week?first=2026-06-22").await.shown().does_not_say("12 Quarry Lane");
    let tess = app.browser(app.tess).await;
    tess.get("/today").await.shown().says("12 Quarry Lane").says("<b>9:00</b>");
}

#[tokio::test]
async fn a_second_dispatcher_is_told_why_and_keeps_what_they_typed() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Cleo Marsh").await);
    let plan = app.plan().await;
    app.agreement(&place, plan).await;
    app.agreement(&other, plan).await;
    let dora = app.browser(app.dispatcher).await;
    let path = booking_link(&dora.get("/due").await.shown());
    let (form, late) = (dora.get(&path).await.shown(), dora.get(&path).await.shown());
    let (tess, theo) = (app.tess.to_string(), app.theo.to_string());
    book(&dora, &form, (&tess, "2026-06-16", "09:00")).await.way_on();
    book(&dora, &form, (&tess, "2026-06-16", "09:00")).await.way_on();

    let again = book(&dora, &late, (&theo, "2026-06-17", "10:30")).await;
    assert_eq!(again.status, StatusCode::CONFLICT);
    let again = again.says("Somebody has just booked this visit").says(r#"value="10:30""#);
    assert_eq!(again.hidden("id"), late.hidden("id"), "the form keeps its id");

    let next = booking_link(&dora.get("/due").await.shown());
    let form = dora.get(&format!("{next}&day=2026-06-16")).await.shown();
    let form = form.says("9:00 to 10:30");
    let busy = book(&dora, &form, (&tess, "2026-06-16", "10:15")).await;
    assert_eq!(busy.status, StatusCode::CONFLICT);
    busy.says("Tess has another visit at that time")
        .says(r#"id="fault-time""#)
        .says(r#"value="10:15""#);
    book(&dora, &form, (&tess, "2026-06-16", "10:30")).await.way_on();
}

#[tokio::test]
async fn what_is_wrong_with_a_booking_stands_at_its_field() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    app.agreement(&place, plan).await;
    let dora = app.browser(app.dispatcher).await;
    let form = dora.get(&booking_link(&dora.get("/due").await.shown())).await.shown();
    let tess = app.tess.to_string();
    for (chosen, field, sentence) in [
        (("", "2026-06-16", "09:00"), "technician", "Choose a technician"),
        ((tess.as_str(), "", "09:00"), "day", "Day is missing"),
        ((&tess, "2026-06-31", "09:00"), "day", "“2026-06-31” is not a day"),
        ((&tess, "2026-06-14", "09:00"), "day", "has passed"),
        ((&tess, "2026-06-16", "25:00"), "time", "“25:00” is not a time"),
        ((&tess, "2026-06-16", "23:30"), "time", "starts and ends on one day"),
    ] {
        let page = book(&dora, &form, chosen).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{sentence}");
        page.says(&format!(r#"id="fault-{field}""#)).says(sentence);
    }
    let day = date!(2026 - 06 - 16);
    assert_eq!(app.read().await.visits_between(day, day).await.unwrap(), []);
}

#[tokio::test]
async fn a_visit_without_a_promise_is_booked_from_the_systems_page_and_moved() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let dora = app.browser(app.dispatcher).await;
    let system = dora.get(&format!("/systems/{}", place.system)).await.shown();
    let form = dora.get(&booking_link(&system)).await.shown();
    let (id, tess) = (form.hidden("id"), app.tess.to_string());
    let system = place.system.to_string();
    let mut fields = vec![
        ("id", id.as_str()),
        ("system", &system),
        ("kind", "repair"),
        ("technician", &tess),
        ("day", "2026-06-19"),
        ("time", "13:00"),
        ("minutes", "120"),
    ];
    let visit = format!("/visits/{id}");
    assert_eq!(dora.post("/visits/new", &fields).await.way_on(), visit);
    fields[5].1 = "15:00";
    let other = dora.post("/visits/new", &fields).await;
    assert_eq!(other.status, StatusCode::CONFLICT, "one form books one visit");
    other.says("has booked a visit already");

    dora.get(&visit).await.shown().says("Move it");
    let form = dora.get(&format!("{visit}/booking")).await.shown();
    form.says(r#"value="13:00""#).says(r#"value="120""#);
    let theo = app.theo.to_string();
    let to = [
        ("technician", theo.as_str()),
        ("day", "2026-06-19"),
        ("time", "08:00"),
        ("minutes", "60"),
    ];
    assert_eq!(dora.post(&format!("{visit}/booking"), &to).await.way_on(), visit);
    let moved = app.visit(id.parse().unwrap()).await;
    assert_eq!((moved.technician_id, moved.start_minute), (Some(app.theo), 480));
    app.booked_at(&place, app.tess, Slot { day: moved.day, start_minute: 780, minutes: 120 }).await;
}

#[tokio::test]
async fn a_visit_under_way_is_not_moved() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "76")]).await;
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/visits/{id}/booking");
    assert_eq!(dora.get(&path).await.way_on(), format!("/visits/{id}"));
    let theo = app.theo.to_string();
    let to = [
        ("technician", theo.as_str()),
        ("day", "2026-06-19"),
        ("time", "08:00"),
        ("minutes", "60"),
    ];
    let page = dora.post(&path, &to).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    page.says("Under way");
    let visit = app.visit(id).await;
    assert_eq!((visit.state, visit.technician_id), (VisitState::UnderWay, Some(app.tess)));
}

#[tokio::test]
async fn a_plan_that_can_not_be_comes_back_with_what_was_typed() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let id = owner.get("/plans/new").await.shown().hidden("id");
    let twice = [("kind_2", "cooling_maintenance"), ("first_2", "09-01"), ("last_2", "10-31")];
    for (changed, field, sentence) in [
        (&[("price", "a lot")][..], "price", "“a lot” is no amount"),
        (&[("price", "18.9")], "price", "“18.9” is no amount"),
        (&[("discount", "101")], "discount", "from 0 to 100"),
        (&[("first_1", "13-01")], "first_1", "“13-01” is no month and day"),
        (&[("last_1", "")], "last_1", "last day is missing"),
        (&[("kind_1", "")], "kind_1", "Say which visit this plan promises"),
        (&twice, "kind_2", "one visit of a kind a year"),
    ] {
        let page = owner.post("/plans/new", &plan_with(&id, changed)).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{sentence}");
        page.says(&format!(r#"id="fault-{field}""#)).says(sentence).says("Spring round");
    }
    assert_eq!(app.read().await.plans().await.unwrap(), []);
}

#[tokio::test]
async fn a_new_version_leaves_old_agreements_theirs_and_two_owners_cant_both_make_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    let owner = app.browser(app.owner).await;
    let path = format!("/plans/{plan}/version");
    owner.get(&path).await.shown().says(r#"value="189.00""#).says(r#"value="06-30""#);
    let fields = plan_with("", &[("version", "2"), ("price", "$1,199.00")]);
    assert_eq!(owner.post(&path, &fields).await.way_on(), "/plans");
    assert_eq!(owner.post(&path, &fields).await.status, StatusCode::CONFLICT);
    let skipped = plan_with("", &[("version", "9")]);
    assert_eq!(owner.post(&path, &skipped).await.status, StatusCode::BAD_REQUEST);
    owner.get("/plans").await.shown().says("$1,199.00").does_not_say("$189.00");
    owner.get(&format!("/agreements/{agreement}")).await.shown().says("$189.00");
}

#[tokio::test]
async fn an_agreement_names_its_systems_and_ends_after_it_begins() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Cleo Marsh").await);
    let plan = format!("{}.1", app.plan().await);
    let dora = app.browser(app.dispatcher).await;
    let path = format!("/agreements/new?customer={}", place.customer);
    let id = dora.get(&path).await.shown().hidden("id");
    let (mine, theirs) = (place.system.to_string(), other.system.to_string());
    for (system, plan, last, field) in [
        ("", plan.as_str(), "2027-05-31", "systems"),
        (&theirs, &plan, "2027-05-31", "systems"),
        (&mine, "", "2027-05-31", "plan"),
        (&mine, &plan, "2026-05-31", "last_on"),
    ] {
        let fields = [
            ("id", id.as_str()),
            ("plan", plan),
            ("systems", system),
            ("starts_on", "2026-06-01"),
            ("last_on", last),
        ];
        let page = dora.post(&path, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        page.says(&format!(r#"id="fault-{field}""#)).says(r#"value="2026-06-01""#);
    }
    assert_eq!(app.read().await.agreements(None).await.unwrap(), []);
}

#[tokio::test]
async fn agreements_are_listed_by_where_they_stand_and_ended_ones_owe_nothing() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let id = app.agreement(&place, plan).await;
    let dora = app.browser(app.dispatcher).await;
    dora.get("/agreements?standing=in-force").await.shown().says("Ada Fenn");
    dora.get("/agreements?standing=ended").await.shown().says("None stands so today");
    dora.get("/due").await.shown().says("Ada Fenn");
    let path = format!("/agreements/{id}/ending");
    let silent = dora.post(&path, &[("ended_on", "")]).await;
    assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
    dora.post(&path, &[("ended_on", "2026-06-15")]).await.way_on();
    dora.get("/agreements?standing=ended").await.shown().says("Ada Fenn");
    dora.get("/due").await.shown().says("Nothing is due");
}

#[tokio::test]
async fn technicians_have_no_office_and_money_rules_are_the_owners() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    let visit = app.booked(&place, app.tess).await;
    let (tess, dora) = (app.browser(app.tess).await, app.browser(app.dispatcher).await);
    for path in [
        "/due".to_owned(),
        "/week".to_owned(),
        format!("/visits/new?system={}", place.system),
        format!("/visits/{visit}/booking"),
        "/agreements".to_owned(),
        format!("/agreements/new?customer={}", place.customer),
        format!("/agreements/{agreement}"),
    ] {
        assert_eq!(tess.get(&path).await.status, StatusCode::FORBIDDEN, "{path}");
        dora.get(&path).await.shown();
    }
    for path in ["/plans", "/plans/new", &format!("/plans/{plan}/version"), "/review"] {
        assert_eq!(tess.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
        assert_eq!(dora.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    let system = tess.get(&format!("/systems/{}", place.system)).await.shown();
    system.does_not_say("Book a visit");
    for path in [
        "/visits/new".to_owned(),
        format!("/visits/{visit}/booking"),
        format!("/agreements/{agreement}/ending"),
        format!("/agreements/{agreement}/acceptance"),
    ] {
        assert_eq!(tess.post(&path, &[]).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    assert_eq!(dora.post("/plans/new", PLAN).await.status, StatusCode::FORBIDDEN);
}
