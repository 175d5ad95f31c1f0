//! One line a request, with the number that an error page shows, and nothing secret in it.

use std::io;
use std::sync::{Arc, Mutex};

use tracing_subscriber::fmt::MakeWriter;

use crate::app::{PASSWORD, TestApp};

#[derive(Clone, Default)]
struct Lines(Arc<Mutex<Vec<u8>>>);

impl io::Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl<'a> MakeWriter<'a> for Lines {
    type Writer = Self;

    fn make_writer(&'a self) -> Self {
        self.clone()
    }
}

#[tokio::test]
async fn the_error_page_shows_the_number_of_its_line_and_the_line_tells_no_secret() {
    let lines = Lines::default();
    let subscriber = tracing_subscriber::fmt()
        .with_writer(lines.clone())
        .with_ansi(false)
        .with_max_level(tracing::Level::TRACE)
        .finish();
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    let guard = tracing::subscriber::set_default(subscriber);
    let page = app.nobody().get("/reports/0123456789abcdef0123456789abcdef").await;
    let after = page.body.split("Number of this request: ").nth(1).expect("a number");
    let number = &after[..8];
    let fields = [("email", "tess@example.com"), ("password", PASSWORD)];
    app.nobody().post("/sign-in", &fields).await.way_on();
    owner.get("/customers?find=fenn").await.shown();
    owner.get(&format!("/customers/{}", place.customer)).await.shown();
    drop(guard);
    let all = String::from_utf8(lines.0.lock().unwrap().clone()).unwrap();
    // Only our own lines: at this level the database driver's would drown them.
    let ours: Vec<&str> = all.lines().filter(|line| line.contains("web::log")).collect();
    assert_eq!(ours.len(), 4, "one line a request:\n{all}");
    assert!(ours[0].contains(number) && ours[0].contains("status=404"), "{}", ours[0]);
    let token = owner.cookie.split('=').nth(1).unwrap();
    let customer = place.customer.to_string();
    for secret in ["0123456789abcdef", "tess@", PASSWORD, "fenn", token, &customer] {
        assert!(!ours.join("\n").contains(secret), "{secret} is in the log:\n{}", ours.join("\n"));
    }
}

#[tokio::test]
async fn a_fault_of_ours_is_told_without_its_inner_text() {
    let app = TestApp::new().await;
    let owner = app.browser(app.owner).await;
    app.store.close().await;
    let page = owner.get("/customers").await;
    assert_eq!(page.status, axum::http::StatusCode::SERVICE_UNAVAILABLE);
    page.says("The store does not answer").does_not_say("pool").does_not_say("sqlx");
}
