//! The refrigerant log: each movement, and the sums by cylinder and system.

use crate::app::TestApp;
use crate::builders::NOMINAL;

#[tokio::test]
async fn the_log_has_each_movement_and_the_sums_and_suggests_a_leak_search() {
    let app = TestApp::new().await;
    let dispatcher = app.browser(app.dispatcher).await;
    dispatcher.get("/refrigerant-log").await.shown().says("Nothing was moved yet");
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    let fields = [
        ("as_found.moved.1", "added"),
        ("as_found.moved_lb.1", "2"),
        ("as_found.moved_oz.1", "4.5"),
        ("as_found.moved_cylinder.1", "No. 3"),
        ("as_found.moved.2", "recovered"),
        ("as_found.moved_oz.2", "6"),
        ("as_found.moved_cylinder.2", "Recovery"),
    ];
    app.enter(visit, app.tess, &fields).await;
    dispatcher.get("/refrigerant-log").await.shown().says("Nothing was moved yet");
    app.hand_in(visit, app.tess).await;
    dispatcher
        .get("/refrigerant-log")
        .await
        .shown()
        .says("Added, R-410A")
        .says("2 lb 4.5 oz")
        .says("6 oz")
        .says("No. 3")
        .says("Recovery")
        .says("Ada Fenn, 12 Quarry Lane")
        .says("15 Jun 2026")
        .says("Tess")
        .says("1 system lacked 1 lb or more within twelve months")
        .says("Deserves a leak search")
        .says("no legal threshold");
}
