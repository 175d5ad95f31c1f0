//! A store opens, says how durable it is, and is refused when it is newer than the program.

use fairweather::store::{Store, StoreError, sqlite_file};
use sqlx::{Connection, Executor, PgConnection, SqliteConnection};

use crate::app::{Home, TestApp, postgres};

#[tokio::test]
async fn an_acknowledged_commit_is_on_the_disk() {
    let app = TestApp::empty().await;
    let durability = app.store.durability().await.unwrap();
    if postgres().is_some() {
        // The throwaway server of the tests waives it on purpose, and says so.
        assert_eq!(durability, "off");
    } else {
        assert_eq!(durability, "2", "SQLite must sync every commit");
    }
}

#[tokio::test]
async fn a_postgres_that_may_lose_commits_is_refused_outside_tests() {
    if postgres().is_none() {
        return;
    }
    let home = Home::new().await;
    let mut settings = home.settings.clone();
    settings.durability_waived = false;
    let fault = Store::open(&settings).await.unwrap_err();
    assert!(fault.to_string().contains("synchronous_commit"), "{fault}");
}

/// Adds a row of a migration that this program doesn't know.
async fn make_newer(home: &Home) {
    let sql = "INSERT INTO _sqlx_migrations
               (version, description, success, checksum, execution_time)
               VALUES (9999, 'of tomorrow', TRUE, '', 0)";
    if let Some(url) = &home.settings.database_url {
        PgConnection::connect(url).await.unwrap().execute(sql).await.unwrap();
    } else {
        let file = sqlite_file(&home.settings.data);
        let url = format!("sqlite://{}", file.display());
        SqliteConnection::connect(&url).await.unwrap().execute(sql).await.unwrap();
    }
}

#[tokio::test]
async fn a_store_of_a_newer_program_is_refused_and_not_touched() {
    let home = Home::new().await;
    Store::open(&home.settings).await.unwrap().close().await;
    make_newer(&home).await;
    let fault = Store::open(&home.settings).await.unwrap_err();
    assert!(matches!(fault, StoreError::Unusable(_)), "{fault}");
    assert!(fault.to_string().contains("newer version"), "{fault}");
}

#[tokio::test]
async fn a_write_in_a_view_is_an_error() {
    let app = TestApp::new().await;
    let mut view = app.read().await;
    let fault = view.delete_session("none").await;
    assert!(fault.is_err(), "a view must not write");
}
