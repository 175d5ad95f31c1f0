//! The office's pages at a desk and on a phone, and a booking by hand without script.

use fairweather::engine::limits::LimitName;
use fairweather::store::Slot;
use thirtyfour::prelude::*;
use time::macros::date;
use uuid::Uuid;

use super::driver::{DESK, PHONE, Window};
use super::every_page::look;
use crate::app::{NOW, TestApp};
use crate::builders::NOMINAL;

const MORNING: Slot = Slot { day: NOW.date(), start_minute: 480, minutes: 60 };

/// Hands a sheet in with a part, refrigerant and a proposal, and gives that.
async fn handed_in_with_something(app: &TestApp, done: Uuid) -> Uuid {
    app.price("Coil cleaned in place", 32_500, &["observe.coil_face"]).await;
    let closing = [
        ("as_found.proposal.coil_cleaned_in_place", "accepted"),
        ("as_found.part.1", "Coil brush"),
        ("as_found.moved.1", "added"),
        ("as_found.moved_lb.1", "2"),
        ("as_found.moved_cylinder.1", "No. 3"),
    ];
    app.enter(done, app.theo, &closing).await;
    app.hand_in(done, app.theo).await;
    app.read().await.proposals_of_visit(done).await.unwrap()[0].id
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_page_of_the_office_has_an_accessibility_fault_or_is_wider_than_its_window() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    app.agreement(&other, plan).await;
    let visit = app.booked(&place, app.tess).await;
    let done = app.booked_late(&other, app.theo).await;
    let booked = app.booked_late(&place, app.tess).await;
    app.enter(done, app.theo, NOMINAL).await;
    app.enter(done, app.theo, &[("as_found.observe.coil_face", "attention")]).await;
    let proposal = handed_in_with_something(&app, done).await;
    // So that the book has an own limit, and the history something that would be judged otherwise.
    app.set_limit(LimitName::FilterDropHigh, 0.15).await;
    app.set_limit(LimitName::SubcoolingTolerance, 1.0).await;
    app.set_limit(LimitName::FilterDropHigh, 0.05).await;
    // So that what the repairs found was answered, corrected and predicted.
    app.predict(done, &[("low_charge", 0.82), ("feed_restriction", 0.11), ("no_fault", 0.04)])
        .await;
    app.found(done, "low_charge").await;
    app.found(done, "low_charge+low_indoor_airflow").await;
    // So that the review has a last visit beside it, a reason and a hazard that is seen.
    app.earlier(&place, 370, &[("as_found.capacitor_compressor_uf", "44.9")]).await;
    app.require(&["as_found.observe.drain_runs", "as_found.return_wb_f"]).await;
    app.enter(visit, app.tess, NOMINAL).await;
    app.enter(visit, app.tess, &[("as_found.capacitor_compressor_uf", "37")]).await;
    let why = ("as_found.missing.as_found.observe.drain_runs", "Behind the finished wall");
    let open = app.booked_at(&other, app.tess, MORNING).await;
    app.enter(open, app.tess, &[NOMINAL[1], ("as_found.hazard.gas_smell", "yes")]).await;
    app.see_hazards().await;
    app.enter(visit, app.tess, &[why, ("as_found.hazard.carbon_monoxide", "yes")]).await;
    app.hand_in(visit, app.tess).await;
    let pages = [
        "/sheets-to-review".to_owned(),
        format!("/visits/{visit}/review"),
        format!("/visits/{visit}"),
        "/sheet-requirements".to_owned(),
        format!("/visits/{open}/hand-in"),
        "/due".to_owned(),
        "/week".to_owned(),
        format!("/visits/new?system={}", place.system),
        format!("/visits/{booked}/booking"),
        "/agreements".to_owned(),
        format!("/agreements/new?customer={}", place.customer),
        format!("/agreements/{agreement}"),
        "/plans".to_owned(),
        "/plans/new".to_owned(),
        format!("/plans/{plan}/version"),
        "/prices".to_owned(),
        "/prices/new".to_owned(),
        "/prices/coil_cleaned_in_place".to_owned(),
        format!("/proposals/{proposal}"),
        "/refrigerant-log".to_owned(),
        format!("/visits/{done}/report"),
        "/limit-book".to_owned(),
        "/limit-book/filter_drop_high".to_owned(),
        "/judge-again".to_owned(),
        format!("/visits/{done}/judgement"),
        format!("/visits/{done}"),
        "/findings".to_owned(),
        "/review".to_owned(),
        "/review/causes".to_owned(),
        "/priors".to_owned(),
        "/priors/reset".to_owned(),
        "/review/indoor_coil?make=Korvan&model=KC-24".to_owned(),
    ];
    let mut faults = Vec::new();
    for (name, size) in [("office-phone", PHONE), ("office-desk", DESK)] {
        let window = Window::open(&app, size).await;
        window.sign_in("olive@example.com").await;
        look(&window, (name, "owner"), &pages, &mut faults).await;
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_dispatcher_looks_at_another_day_and_books_there() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    let plan = app.plan().await;
    app.agreement(&place, plan).await;
    let day = date!(2026 - 06 - 18);
    app.booked_at(&other, app.tess, Slot { day, start_minute: 540, minutes: 90 }).await;
    let window = Window::open(&app, DESK).await;
    window.sign_in("dora@example.com").await;
    shows(&window, "//h2[starts-with(., 'Due now')]").await;
    window.press("Book…").await;
    shows(&window, "//h1[.='Book: Cooling maintenance']").await;
    // A date field takes its text as its locale types it; the page itself needs no script.
    let set = "document.getElementById('field-day').value = '2026-06-18'";
    window.driver.execute(set, vec![]).await.expect("the day is set");
    let tess = By::XPath("//select[@id='field-technician']/option[.='Tess']");
    window.driver.find(tess).await.unwrap().click().await.unwrap();
    window.press("Show that day").await;
    shows(&window, "//h2[.='Thu 18 Jun']").await;
    shows(&window, "//li[contains(., '9:00 to 10:30')]").await;
    window.press("Book this visit").await;
    shows(&window, "//p[@id='fault-time'][contains(., 'Tess has another visit')]").await;
    let time = "document.getElementById('field-time').value = '10:30'";
    window.driver.execute(time, vec![]).await.expect("the time is set");
    window.press("Book this visit").await;
    shows(&window, "//h2[starts-with(., 'Booked')]").await;
    window.says("Thu 18 Jun").await;
    window.says("0 to book").await;
    assert_eq!(app.read().await.visits_between(day, day).await.unwrap().len(), 2);
    window.close().await;
}

/// Waits until something is on the page: a pressed button leads to it only after a moment.
async fn shows(window: &Window, path: &str) {
    let found = window.driver.query(By::XPath(path)).first().await;
    found.unwrap_or_else(|_| panic!("{path} is not shown"));
}
