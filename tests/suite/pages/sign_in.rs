//! Setting up, signing in, being throttled, and who may change anything.

use axum::http::StatusCode;

use crate::app::{PASSWORD, SET_UP_CODE, TestApp};

#[tokio::test]
async fn an_empty_store_asks_for_the_company_and_the_code_of_the_console() {
    let app = TestApp::empty().await;
    let mut browser = app.nobody();
    assert_eq!(browser.get("/").await.way_on(), "/set-up");
    let mut fields = vec![
        ("code", "guessed"),
        ("company", "Larkspur Air"),
        ("time_zone", "America/Chicago"),
        ("name", "Olive"),
        ("email", "olive@example.com"),
        ("password", PASSWORD),
    ];
    let refused = browser.post("/set-up", &fields).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let refused = refused.says("not the code").says(r#"value="Larkspur Air""#);
    refused.does_not_say(PASSWORD);
    fields[0].1 = SET_UP_CODE;
    assert_eq!(browser.post("/set-up", &fields).await.way_on(), "/sign-in?next=/people");
    let again = browser.post("/set-up", &fields).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "one store, one company");
    let signed_in =
        browser.post("/sign-in", &[("email", "Olive@Example.com"), ("password", PASSWORD)]).await;
    assert_eq!(signed_in.way_on(), "/");
    browser.take_cookie(&signed_in);
    assert_eq!(browser.get("/").await.way_on(), "/sheets-to-review");
}

#[tokio::test]
async fn after_signing_in_one_goes_on_only_to_a_page_of_ours() {
    let app = TestApp::new().await;
    let browser = app.nobody();
    let asked = browser.get("/customers?find=fenn").await;
    assert_eq!(asked.way_on(), "/sign-in?next=/customers?find=fenn");
    for (next, way) in [
        ("/customers?find=fenn", "/customers?find=fenn"),
        ("//elsewhere", "/"),
        ("/\t/elsewhere", "/"),
    ] {
        let fields = [("email", "dora@example.com"), ("password", PASSWORD), ("next", next)];
        assert_eq!(browser.post("/sign-in", &fields).await.way_on(), way);
    }
}

#[tokio::test]
async fn too_many_wrong_passwords_close_the_account_for_a_while_even_to_the_right_one() {
    let app = TestApp::new().await;
    let browser = app.nobody();
    let wrong = [("email", "tess@example.com"), ("password", "not this one")];
    for _ in 0..8 {
        let page = browser.post("/sign-in", &wrong).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let right = [("email", "tess@example.com"), ("password", PASSWORD)];
    let page = browser.post("/sign-in", &right).await;
    assert_eq!(page.status, StatusCode::TOO_MANY_REQUESTS);
    let other = [("email", "theo@example.com"), ("password", PASSWORD)];
    assert_eq!(browser.post("/sign-in", &other).await.way_on(), "/", "others still can");
    app.clock.advance(time::Duration::minutes(16));
    assert_eq!(browser.post("/sign-in", &right).await.way_on(), "/");
}

#[tokio::test]
async fn a_session_ends_when_idle_and_when_old_and_when_the_password_changes() {
    let app = TestApp::new().await;
    let browser = app.browser(app.dispatcher).await;
    browser.get("/customers").await.shown();
    app.clock.advance(time::Duration::days(3));
    browser.get("/customers").await.shown();
    app.clock.advance(time::Duration::days(5));
    assert_eq!(browser.get("/customers").await.status, StatusCode::SEE_OTHER, "idle too long");

    let busy = app.browser(app.dispatcher).await;
    for _ in 0..11 {
        app.clock.advance(time::Duration::days(3));
        busy.get("/customers").await;
    }
    assert_eq!(busy.get("/customers").await.status, StatusCode::SEE_OTHER, "older than a month");

    let (one, mut other) = (app.browser(app.tess).await, app.browser(app.tess).await);
    let fields = [("present_password", PASSWORD), ("password", "another long one")];
    let changed = other.post("/account/password", &fields).await;
    assert_eq!(changed.way_on(), "/account");
    assert_eq!(one.get("/today").await.status, StatusCode::SEE_OTHER, "signed out everywhere");
    other.take_cookie(&changed);
    other.get("/today").await.shown();
}

#[tokio::test]
async fn a_change_that_another_site_asked_for_is_refused() {
    let app = TestApp::new().await;
    let browser = app.browser(app.owner).await;
    let fields = [("name", "Mallory")];
    for headers in [
        vec![("sec-fetch-site", "cross-site")],
        vec![("sec-fetch-site", "same-site")],
        vec![("origin", "https://elsewhere.example"), ("host", "office.example")],
        vec![("origin", "null"), ("host", "office.example")],
        vec![],
    ] {
        let page = browser.post_as("/customers/new", &fields, &headers).await;
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{headers:?}");
    }
    let ours = [("origin", "https://office.example"), ("host", "office.example")];
    let page = browser.post_as("/customers/new", &fields, &ours).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn every_page_carries_the_headers_that_keep_strangers_out() {
    let app = TestApp::new().await;
    let page = app.nobody().get("/sign-in").await.shown();
    let header = |name: &str| page.headers[name].to_str().unwrap().to_owned();
    let policy = header("content-security-policy");
    assert!(policy.contains("default-src 'none'"), "{policy}");
    assert!(!policy.contains("unsafe"), "{policy}");
    assert_eq!(header("x-content-type-options"), "nosniff");
    assert_eq!(header("referrer-policy"), "same-origin");
    assert_eq!(header("cache-control"), "no-store");
}

#[tokio::test]
async fn health_says_whether_the_store_answers() {
    let app = TestApp::new().await;
    app.nobody().get("/health").await.shown().says("ok");
    app.store.close().await;
    let page = app.nobody().get("/health").await;
    assert_eq!(page.status, StatusCode::SERVICE_UNAVAILABLE);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn wrong_passwords_tried_all_at_once_are_counted_one_by_one() {
    let app = TestApp::new().await;
    let tries = (0..30).map(|_| {
        let browser = app.nobody();
        tokio::spawn(async move {
            let wrong = [("email", "tess@example.com"), ("password", "not this one")];
            browser.post("/sign-in", &wrong).await.status
        })
    });
    let mut looked_at = 0;
    for done in tries.collect::<Vec<_>>() {
        if done.await.unwrap() == StatusCode::UNPROCESSABLE_ENTITY {
            looked_at += 1;
        }
    }
    assert_eq!(looked_at, 8, "no more passwords are looked at than one by one");
}
