//! Reading writes nothing: the store is the same after every page of the office was shown.

use fairweather::store::sqlite_file;
use sqlx::{Connection, PgConnection, Row, SqliteConnection};

use crate::app::{Home, TestApp};

/// Something that differs once anything was committed to this store by anybody else.
enum Watch {
    /// SQLite counts the commits of other connections.
    Sqlite(SqliteConnection),
    /// PostgreSQL does so only for the whole server, so here it is every row of every table.
    Postgres(PgConnection),
}

impl Watch {
    async fn new(home: &Home) -> Self {
        if let Some(url) = &home.settings.database_url {
            return Self::Postgres(PgConnection::connect(url).await.expect("PostgreSQL"));
        }
        let file = format!("sqlite://{}", sqlite_file(&home.settings.data).display());
        Self::Sqlite(SqliteConnection::connect(&file).await.expect("the file"))
    }

    async fn state(&mut self) -> String {
        match self {
            Self::Sqlite(connection) => {
                let row = sqlx::query("PRAGMA data_version").fetch_one(connection).await.unwrap();
                row.get::<i64, _>(0).to_string()
            }
            Self::Postgres(connection) => {
                let row = sqlx::query("SELECT database_to_xml(true, false, '')::text")
                    .fetch_one(connection)
                    .await
                    .unwrap();
                row.get(0)
            }
        }
    }
}

#[tokio::test]
async fn no_page_of_the_office_writes() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    let visit = app.booked(&place, app.tess).await;
    let (customer, system) = (place.customer, place.system);
    let owner = app.browser(app.owner).await;
    let mut watch = Watch::new(&app.home).await;
    let before = watch.state().await;
    for path in [
        "/sheet-requirements".to_owned(),
        "/sheets-to-review".to_owned(),
        format!("/visits/{visit}/hand-in"),
        "/due".to_owned(),
        "/week".to_owned(),
        "/week?first=2026-07-01".to_owned(),
        format!("/visits/new?system={system}"),
        format!(
            "/visits/new?system={system}&agreement={agreement}&year=2026&kind=cooling_maintenance"
        ),
        format!("/visits/{visit}/booking"),
        "/agreements".to_owned(),
        format!("/agreements/new?customer={customer}"),
        format!("/agreements/{agreement}"),
        "/plans".to_owned(),
        "/plans/new".to_owned(),
        format!("/plans/{plan}/version"),
        "/review".to_owned(),
        "/customers".to_owned(),
        format!("/customers/{customer}"),
        format!("/systems/{system}"),
        format!("/visits/{visit}"),
        "/findings".to_owned(),
        "/sheets-to-review".to_owned(),
        "/people".to_owned(),
        "/signatures".to_owned(),
        "/today".to_owned(),
    ] {
        owner.get(&path).await.shown();
        assert_eq!(watch.state().await, before, "{path} wrote");
    }
    app.booked_late(&place, app.theo).await;
    assert_ne!(watch.state().await, before, "the watch sees a change");
}
