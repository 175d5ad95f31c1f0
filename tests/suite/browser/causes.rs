//! The pages that show causes, with a fault that was planted: no fault that a checker finds, and
//! nothing that must be pushed sideways.

use super::driver::{DESK, PHONE, Window};
use super::every_page::look;
use crate::app::TestApp;
use crate::planted::{HEALTHY, LOW_CHARGE, LOW_OUTDOOR_AIR, fields};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_page_that_shows_causes_has_an_accessibility_fault_or_is_wider_than_its_window() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let repaired = app.planted(&place, app.tess, (LOW_CHARGE, Some(HEALTHY))).await;
    let other = app.place("Bo Larch").await;
    let doubtful = app.planted(&other, app.theo, (LOW_OUTDOOR_AIR, None)).await;
    let third = app.place("Cy Thorn").await;
    let mut on_sheet = fields(LOW_CHARGE, "as_found");
    on_sheet.extend(fields(HEALTHY, "as_left"));
    let slot = |day| fairweather::store::Slot { day, start_minute: 480, minutes: 60 };
    let day = crate::app::NOW.date();
    let open = app.booked_at(&third, app.tess, slot(day)).await;
    let typed: Vec<(&str, &str)> =
        on_sheet.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    app.enter(open, app.tess, &typed).await;
    let early = app.booked_at(&third, app.theo, slot(day)).await;
    app.enter(early, app.theo, &[("as_found.outdoor_db_f", "50")]).await;
    let pages = [
        format!("/visits/{repaired}"),
        format!("/visits/{repaired}/report"),
        format!("/visits/{doubtful}"),
        format!("/visits/{doubtful}/report"),
        format!("/visits/{open}/hand-in"),
        format!("/visits/{open}/sheet/10"),
        format!("/visits/{open}/sheet/13"),
        format!("/visits/{early}/sheet/10"),
        format!("/systems/{}", place.system),
        "/signatures".to_owned(),
        "/limit-book".to_owned(),
    ];
    let mut faults = Vec::new();
    for (name, size) in [("causes-phone", PHONE), ("causes-desk", DESK)] {
        let window = Window::open(&app, size).await;
        window.sign_in("olive@example.com").await;
        look(&window, (name, "owner"), &pages, &mut faults).await;
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
