//! The whole service without a socket: a store of its own, a clock that stands still, and people
//! who are signed in. On SQLite, or on PostgreSQL where `TEST_DATABASE_URL` names a server.

use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::header::{CONTENT_TYPE, COOKIE, LOCATION, SET_COOKIE};
use axum::http::{HeaderMap, Request, StatusCode};
use fairweather::actions;
use fairweather::chance;
use fairweather::clock::Clock;
use fairweather::domain::person::Role;
use fairweather::outside::{PhotoSettings, Photos};
use fairweather::secret::{self, Cost};
use fairweather::store::{By, Company, NewPerson, Store, StoreSettings, Tx};
use fairweather::web::{App, WebSettings, router};
use http_body_util::BodyExt;
use sqlx::{Connection, Executor, PgConnection};
use time::OffsetDateTime;
use time::macros::datetime;
use tokio::sync::OnceCell;
use tower::ServiceExt;
use uuid::Uuid;

/// When every test takes place: Monday, 15 June 2026, eleven in the morning in New York.
pub const NOW: OffsetDateTime = datetime!(2026-06-15 15:00 UTC);
/// Everybody's password.
pub const PASSWORD: &str = "correct horse battery";
/// What guards the first page.
pub const SET_UP_CODE: &str = "code-of-the-tests";

/// The service under test.
pub struct TestApp {
    pub store: Store,
    pub clock: Clock,
    pub photos: Photos,
    pub router: Router,
    pub home: Home,
    pub owner: Uuid,
    pub dispatcher: Uuid,
    pub tess: Uuid,
    pub theo: Uuid,
}

/// Where a test's store lives, and what clears it away.
pub struct Home {
    pub settings: StoreSettings,
    database: Option<String>,
}

/// Somebody's browser: it carries the cookie.
#[derive(Clone)]
pub struct Browser {
    router: Router,
    pub cookie: String,
}

/// What came back.
#[derive(Debug)]
pub struct Page {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: String,
    pub bytes: Vec<u8>,
}

/// The server that tests of PostgreSQL run on, if there is one.
pub fn postgres() -> Option<String> {
    std::env::var("TEST_DATABASE_URL").ok().filter(|url| !url.is_empty())
}

static TEMPLATE: OnceCell<()> = OnceCell::const_new();

/// Makes one migrated database that the others are copied from: a copy takes a tenth of the time.
async fn make_template(server: &str) {
    let mut connection = PgConnection::connect(server).await.expect("PostgreSQL answers");
    connection.execute("DROP DATABASE IF EXISTS fairweather_template").await.expect("drop");
    connection.execute("CREATE DATABASE fairweather_template").await.expect("create");
    let store = Store::open(&settings(Some(named(server, "fairweather_template")))).await;
    store.expect("the template opens").close().await;
}

fn named(server: &str, database: &str) -> String {
    server.replacen("/postgres?", &format!("/{database}?"), 1)
}

fn settings(database_url: Option<String>) -> StoreSettings {
    StoreSettings {
        data: PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(chance::token()),
        database_url,
        backup_made: false,
        durability_waived: true,
        connections_max: 3,
    }
}

fn service(store: &Store, clock: &Clock, photos: &Photos) -> App {
    App {
        store: store.clone(),
        clock: clock.clone(),
        photos: photos.clone(),
        settings: Arc::new(WebSettings {
            public_url: None,
            trusted_proxy: None,
            set_up_code: SET_UP_CODE.to_owned(),
            password_cost: Cost::Cheap,
        }),
    }
}

impl Home {
    /// A place for a store of one test.
    pub async fn new() -> Self {
        let Some(server) = postgres() else {
            return Self { settings: settings(None), database: None };
        };
        TEMPLATE.get_or_init(|| make_template(&server)).await;
        let database = format!("t_{}", chance::token());
        let sql = format!("CREATE DATABASE {database} TEMPLATE fairweather_template");
        let mut connection = PgConnection::connect(&server).await.expect("PostgreSQL answers");
        connection.execute(sqlx::AssertSqlSafe(sql)).await.expect("the template is copied");
        Self { settings: settings(Some(named(&server, &database))), database: Some(database) }
    }
}

impl Drop for Home {
    fn drop(&mut self) {
        let _gone = std::fs::remove_dir_all(&self.settings.data);
        let (Some(database), Some(server)) = (self.database.take(), postgres()) else { return };
        let drop_it = async move {
            let sql = format!("DROP DATABASE {database} WITH (FORCE)");
            if let Ok(mut connection) = PgConnection::connect(&server).await {
                let _gone = connection.execute(sqlx::AssertSqlSafe(sql)).await;
            }
        };
        let thread = std::thread::spawn(move || {
            let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
            runtime.expect("a runtime").block_on(drop_it);
        });
        let _done = thread.join();
    }
}

impl TestApp {
    /// A service whose store is empty.
    pub async fn empty() -> Self {
        let home = Home::new().await;
        let store = Store::open(&home.settings).await.expect("the store opens");
        let clock = Clock::held(NOW);
        let folder = PhotoSettings::Folder(home.settings.data.join("photos"));
        let photos = Photos::open(&folder).expect("a folder for photos");
        let app = service(&store, &clock, &photos);
        let id = || chance::id(NOW);
        let (owner, dispatcher, tess, theo) = (id(), id(), id(), id());
        Self { store, clock, photos, router: router(app), home, owner, dispatcher, tess, theo }
    }

    /// A service with a company, an owner, a dispatcher and two technicians.
    pub async fn new() -> Self {
        let app = Self::empty().await;
        let company = Company {
            name: "Larkspur Air".to_owned(),
            phone: "555-0100".to_owned(),
            email: "office@example.com".to_owned(),
            time_zone: "America/New_York".to_owned(),
        };
        let hash = secret::password_hash(PASSWORD, Cost::Cheap).expect("a hash");
        let person = |id, name: &str, role| NewPerson {
            id,
            name: name.to_owned(),
            email: format!("{}@example.com", name.to_lowercase()),
            role,
            password_hash: hash.clone(),
        };
        let by = app.by(None);
        let mut tx = app.write().await;
        let owner = person(app.owner, "Olive", Role::Owner);
        actions::set_up(&mut tx, &company, &owner, by).await.expect("the company is set up");
        for person in [
            person(app.dispatcher, "Dora", Role::Dispatcher),
            person(app.tess, "Tess", Role::Technician),
            person(app.theo, "Theo", Role::Technician),
        ] {
            actions::add_person(&mut tx, &person, by).await.expect("the person is added");
        }
        tx.commit().await.expect("it is kept");
        app
    }

    /// The service, to be served on a port.
    pub fn service(&self) -> App {
        service(&self.store, &self.clock, &self.photos)
    }

    /// The same service with its photos elsewhere.
    pub fn keeping_photos_in(mut self, photos: Photos) -> Self {
        self.photos = photos;
        self.router = router(self.service());
        self
    }

    /// As done by somebody now.
    pub fn by(&self, person: Option<Uuid>) -> By {
        By { person, at: self.clock.now() }
    }

    pub async fn write(&self) -> Tx {
        self.store.write().await.expect("a transaction")
    }

    pub async fn read(&self) -> Tx {
        self.store.read().await.expect("a view")
    }

    /// Somebody who is signed in.
    pub async fn browser(&self, person: Uuid) -> Browser {
        let token = chance::token();
        let mut tx = self.write().await;
        tx.insert_session(&secret::token_hash(&token), person, self.clock.now())
            .await
            .expect("a session");
        tx.commit().await.expect("it is kept");
        Browser { router: self.router.clone(), cookie: format!("session={token}") }
    }

    /// Somebody who is not.
    pub fn nobody(&self) -> Browser {
        Browser { router: self.router.clone(), cookie: String::new() }
    }
}

impl Browser {
    pub async fn get(&self, path: &str) -> Page {
        let request = Request::get(path).header(COOKIE, &self.cookie);
        self.send(request.body(Body::empty()).expect("a request")).await
    }

    /// Sends a form as our own page would.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Page {
        self.post_as(path, fields, &[("sec-fetch-site", "same-origin")]).await
    }

    /// Sends a form with headers of the test's choice.
    pub async fn post_as(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        headers: &[(&str, &str)],
    ) -> Page {
        let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
        let mut request = Request::post(path)
            .header(COOKIE, &self.cookie)
            .header(CONTENT_TYPE, "application/x-www-form-urlencoded");
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        self.send(request.body(Body::from(body)).expect("a request")).await
    }

    /// Sends bytes as a script of ours would.
    pub async fn post_bytes(&self, path: &str, kind: &str, bytes: &[u8]) -> Page {
        let request = Request::post(path)
            .header(COOKIE, &self.cookie)
            .header(CONTENT_TYPE, kind)
            .header("sec-fetch-site", "same-origin");
        self.send(request.body(Body::from(bytes.to_vec())).expect("a request")).await
    }

    pub async fn send(&self, request: Request<Body>) -> Page {
        let response = self.router.clone().oneshot(request).await.expect("an answer");
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.expect("a body").to_bytes();
        let body = String::from_utf8_lossy(&bytes).into_owned();
        Page { status: parts.status, headers: parts.headers, body, bytes: bytes.into() }
    }

    /// Keeps the session that a sign-in gave.
    pub fn take_cookie(&mut self, page: &Page) {
        let line = page.headers[SET_COOKIE].to_str().expect("text");
        line.split(';').next().unwrap_or_default().clone_into(&mut self.cookie);
    }
}

impl Page {
    /// The page, which must be shown.
    pub fn shown(self) -> Self {
        assert_eq!(self.status, StatusCode::OK, "{}", self.body);
        self
    }

    /// Where it sends the browser.
    pub fn way_on(&self) -> &str {
        assert_eq!(self.status, StatusCode::SEE_OTHER, "{}", self.body);
        self.headers[LOCATION].to_str().expect("text")
    }

    /// That a text is on the page.
    pub fn says(self, text: &str) -> Self {
        assert!(self.body.contains(text), "“{text}” is not in:\n{}", self.body);
        self
    }

    /// That a text is not on the page.
    pub fn does_not_say(self, text: &str) -> Self {
        assert!(!self.body.contains(text), "“{text}” is in:\n{}", self.body);
        self
    }

    /// One block of a check sheet, by itself.
    pub fn block(self, number: usize) -> Self {
        let start = format!(r#"id="block-{number}""#);
        let after = self.body.split(&start).nth(1).unwrap_or_else(|| panic!("no block {number}"));
        let body = after.split("<section class=\"block\"").next().unwrap_or_default();
        Self { body: body.to_owned(), ..self }
    }

    /// The value of a hidden field.
    pub fn hidden(&self, name: &str) -> String {
        let start = format!(r#"name="{name}" value=""#);
        let after = self.body.split(&start).nth(1).unwrap_or_else(|| panic!("no {name}"));
        after.split('"').next().unwrap_or_default().to_owned()
    }
}
