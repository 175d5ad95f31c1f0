//! A store of an older program is brought up to this one, and there is a way back.

use fairweather::store::{Store, StoreError, sqlite_file};
use sqlx::{Connection, Executor, PgConnection, SqliteConnection};

use crate::app::{Home, postgres};

/// Takes the newest migration back by hand: all that it made, and its row.
async fn make_older(home: &Home) {
    let sql = "DROP TABLE photo; DELETE FROM _sqlx_migrations WHERE version = 9";
    if let Some(url) = &home.settings.database_url {
        PgConnection::connect(url).await.unwrap().execute(sql).await.unwrap();
    } else {
        let url = format!("sqlite://{}", sqlite_file(&home.settings.data).display());
        SqliteConnection::connect(&url).await.unwrap().execute(sql).await.unwrap();
    }
}

#[tokio::test]
async fn an_older_store_is_migrated_once_there_is_a_copy_of_it() {
    let home = Home::new().await;
    Store::open(&home.settings).await.unwrap().close().await;
    make_older(&home).await;
    let mut settings = home.settings.clone();
    if postgres().is_some() {
        let fault = Store::open(&settings).await.unwrap_err();
        assert!(matches!(fault, StoreError::Unusable(_)), "{fault}");
        assert!(fault.to_string().contains("FAIRWEATHER_BACKUP_MADE"), "{fault}");
        settings.backup_made = true;
    }
    let store = Store::open(&settings).await.unwrap();
    let photos = store.read().await.unwrap().photos_to_clear().await;
    assert_eq!(photos.unwrap(), [], "the table is there again");
    store.close().await;
    if postgres().is_none() {
        let copy = sqlite_file(&settings.data).with_extension("before-0008.sqlite");
        let url = format!("sqlite://{}", copy.display());
        let mut connection = SqliteConnection::connect(&url).await.unwrap();
        let (versions,): (i64,) = sqlx::query_as("SELECT COUNT(*) FROM _sqlx_migrations")
            .fetch_one(&mut connection)
            .await
            .unwrap();
        assert_eq!(versions, 8, "the copy is the state before");
    }
}
