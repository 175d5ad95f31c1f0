//! What a visitor is told when something goes wrong.

use crate::app::TestApp;

#[tokio::test]
async fn a_fault_of_ours_is_told_without_its_inner_text() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    app.store.close().await;
    let page = owner.get("/customers").await;
    assert_eq!(page.status, axum::http::StatusCode::SERVICE_UNAVAILABLE);
    page.says("The store does not answer").does_not_say("pool").does_not_say("sqlx");
}
