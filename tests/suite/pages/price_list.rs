//! The price list's pages: what stands there, and adding, changing and retiring by form.

use axum::http::StatusCode;

use crate::app::TestApp;

fn form<'a>(id: &'a str, seen: &'a str, price: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("id", id),
        ("seen", seen),
        ("words", "Run capacitor, put in"),
        ("price", price),
        ("place", ""),
        ("measures", "capacitor_compressor_deviation_pct"),
        ("measures", "capacitor_fan_deviation_pct"),
        ("observations", "observe.capacitor_can"),
    ]
}

#[tokio::test]
async fn the_owner_adds_changes_and_retires_an_item() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    owner.get("/prices").await.shown().says("No item yet");
    let page = owner.get("/prices/new").await.shown();
    let (id, seen) = (page.hidden("id"), page.hidden("seen"));
    for _ in 0..2 {
        let to = owner.post("/prices/new", &form(&id, &seen, "189.00")).await;
        assert_eq!(to.way_on(), "/prices", "twice does no harm");
    }
    owner
        .get("/prices")
        .await
        .shown()
        .says("version 1.")
        .says("$189.00")
        .says("Compressor capacitor out of tolerance; Condenser fan")
        .says("Added “Run capacitor, put in”, $189.00")
        .says("Olive, 15 Jun 2026, 11:00");

    let path = "/prices/run_capacitor_put_in";
    let page = owner.get(path).await.shown().says(r#"value="189.00""#).says("Measures: 2 chosen");
    let (id, seen) = (page.hidden("id"), page.hidden("seen"));
    owner.post(path, &form(&id, &seen, "199.00")).await.way_on();
    owner.get("/prices").await.shown().says("Changed “Run capacitor, put in”, now $199.00");

    let page = owner.get(path).await.shown();
    let (id, seen) = (page.hidden("id"), page.hidden("seen"));
    let fields = [("id", id.as_str()), ("seen", seen.as_str())];
    owner.post(&format!("{path}/retirement"), &fields).await.way_on();
    owner.get("/prices").await.shown().says("No item yet").says("Retired “Run capacitor, put in”");
    assert_eq!(owner.get(path).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_form_that_can_t_be_taken_comes_back_with_what_was_typed() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.post("/prices/new", &form("", "0", "much")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("“much” is no amount, such as 189.00").says("Run capacitor, put in");
}

#[tokio::test]
async fn a_change_of_an_older_list_is_told_and_counts_the_second_time() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/prices/new").await.shown();
    let (id, seen) = (page.hidden("id"), page.hidden("seen"));
    app.price("Contactor", 24_500, &[]).await;
    let page = owner.post("/prices/new", &form(&id, &seen, "189.00")).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    let seen = page.says("Somebody changed the price list").hidden("seen");
    owner.post("/prices/new", &form(&id, &seen, "189.00")).await.way_on();
}
