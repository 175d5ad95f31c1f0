//! The limit book's pages: what stands there, and a change by form.

use axum::http::StatusCode;
use fairweather::engine::limits::{DEFAULT_VERSION, LIMITS, LimitName};

use crate::app::TestApp;

const PATH: &str = "/limit-book/filter_drop_high";

/// The form of the filter's limit as it is sent.
fn form<'a>(seen: &'a str, value: &'a str, reason: &'a str) -> [(&'a str, &'a str); 4] {
    [("seen", seen), ("value", value), ("reason", reason), ("to", "own")]
}

#[tokio::test]
async fn the_book_shows_every_limit_with_its_source_and_how_it_is_known() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.get("/limit-book").await.shown();
    for limit in LIMITS {
        let address = format!("/limit-book/{}", limit.name.key());
        assert!(page.body.contains(&address), "{address} is missing");
    }
    page.says(&format!("{DEFAULT_VERSION}."))
        .says("Highest pressure drop over the filter")
        .says("0.1 in. w.c.")
        .says("From memory")
        .says("Read in a published text")
        .says("Common practice, no source")
        .says("Electrical");
}

#[tokio::test]
async fn the_owner_sets_a_limit_and_takes_it_back() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.get(PATH).await.shown().says("It was never changed").does_not_say("Back to");
    let fields = form("0", "0,15", "New pleated filters read more");
    assert_eq!(page.hidden("seen"), "0");
    for _ in 0..2 {
        let to = owner.post(PATH, &fields).await;
        assert_eq!(to.way_on(), "/limit-book#filter_drop_high", "twice does no harm");
    }
    let page = owner.get("/limit-book").await.shown();
    page.says("0.15 in. w.c.")
        .says("default 0.1 in. w.c.")
        .says("Olive, 15 Jun 2026, 11:00")
        .says("New pleated filters read more")
        .says("The company&#39;s own")
        .says(&format!("{DEFAULT_VERSION}+1."));
    let page = owner.get(PATH).await.shown().says("Back to the default, 0.1 in. w.c.");
    let seen = page.hidden("seen");
    let back = [("seen", seen.as_str()), ("value", ""), ("reason", "Tried"), ("to", "default")];
    owner.post(PATH, &back).await.way_on();
    owner
        .get("/limit-book")
        .await
        .shown()
        .says("back to the default")
        .says(&format!("{DEFAULT_VERSION}+2."));
}

#[tokio::test]
async fn a_form_that_can_t_be_taken_comes_back_with_what_was_typed() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    let page = owner.post(PATH, &form("0", "40", "Because")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let definition = LimitName::FilterDropHigh.definition();
    let accepted = format!("from {} to {} in. w.c. is accepted", definition.low, definition.high);
    page.says("40 can").says(&accepted).says(r#"value="40""#).says("Because");
    let page = owner.post(PATH, &form("0", "plenty", "")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("“plenty” is not a number").says("Say why").says(r#"value="plenty""#);
    assert_eq!(owner.get("/limit-book/no_such").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_limit_that_another_owner_changed_meanwhile_is_shown_before_it_is_changed() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    owner.post(PATH, &form("0", "0.15", "New pleated filters")).await.way_on();
    let page = owner.post(PATH, &form("0", "0.2", "Mine")).await;
    assert_eq!(page.status, StatusCode::CONFLICT);
    let page = page.says("Olive set this limit to 0.15 in. w.c. meanwhile").says("Mine");
    let seen = page.hidden("seen");
    assert_eq!(seen, "1", "it was seen now");
    owner.post(PATH, &form(&seen, "0.2", "Mine")).await.way_on();
    owner.get(PATH).await.shown().says("0.2 in. w.c.").says("New pleated filters");
}

#[tokio::test]
async fn only_the_owners_strip_has_the_book() {
    let app = TestApp::new().await;
    let (owner, dora) = (app.browser(app.owner).await, app.browser(app.dispatcher).await);
    owner.get("/customers").await.shown().says(r#"href="/limit-book""#);
    dora.get("/customers").await.shown().does_not_say(r#"href="/limit-book""#);
}
