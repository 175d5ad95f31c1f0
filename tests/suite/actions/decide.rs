//! Deciding what waited: only what the person saw, and both values stay.

use fairweather::actions::{self, ActionError, Choice, Typed};
use fairweather::domain::refusal::Refusal;
use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::{EVERYTHING, typed};

const POINT: &str = "as_found.return_db_f";

/// Enters a value from a device that knew of nothing, or of what it says.
async fn from(app: &TestApp, visit: Uuid, text: &str, (device, base): (&str, i64)) {
    let entry = Typed { device: (device.to_owned(), 1), base_number: base, ..typed(POINT, text) };
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::enter(&mut tx, &visit, &[entry], app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
}

async fn decide(
    app: &TestApp,
    visit: Uuid,
    decision: (Option<i64>, Choice),
    seen: i64,
) -> Result<(), ActionError> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await?;
    actions::decide_held(&mut tx, &visit, decision, seen, app.by(Some(app.tess))).await?;
    tx.commit().await?;
    Ok(())
}

/// What stands, and what still waits.
async fn standing(app: &TestApp, visit: Uuid) -> (Option<f64>, Vec<String>) {
    let number = app.visit(visit).await.number;
    let mut tx = app.read().await;
    let value = tx.readings_of(number).await.unwrap()[0].value;
    let waiting = actions::waiting(tx.entries_held(number).await.unwrap());
    (value, waiting.into_iter().map(|it| it.entry.typed).collect())
}

/// 76 stands and 71 waits at place 2.
async fn crossed(app: &TestApp) -> Uuid {
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    from(app, id, "76", ("phone", 0)).await;
    from(app, id, "71", ("tablet", 0)).await;
    id
}

#[tokio::test]
async fn what_came_after_the_page_was_laid_out_still_waits() {
    let app = TestApp::new().await;
    let id = crossed(&app).await;
    from(&app, id, "72", ("watch", 0)).await;
    decide(&app, id, (Some(2), Choice::Keep), 2).await.unwrap();
    assert_eq!(standing(&app, id).await, (Some(76.0), vec!["72".to_owned()]));
}

#[tokio::test]
async fn to_take_all_takes_those_that_were_seen() {
    let app = TestApp::new().await;
    let id = crossed(&app).await;
    from(&app, id, "72", ("watch", 0)).await;
    decide(&app, id, (None, Choice::Take), 2).await.unwrap();
    assert_eq!(standing(&app, id).await, (Some(71.0), vec!["72".to_owned()]));
}

#[tokio::test]
async fn of_two_that_are_taken_at_one_field_the_newer_one_counts() {
    let app = TestApp::new().await;
    let id = crossed(&app).await;
    from(&app, id, "72", ("a watch", 0)).await;
    decide(&app, id, (None, Choice::Take), 3).await.unwrap();
    assert_eq!(standing(&app, id).await, (Some(72.0), vec![]));
}

#[tokio::test]
async fn what_nobody_saw_is_not_replaced() {
    let app = TestApp::new().await;
    let id = crossed(&app).await;
    from(&app, id, "78", ("phone", 1)).await;
    let refused = decide(&app, id, (Some(2), Choice::Take), 2).await;
    assert!(matches!(refused, Err(ActionError::Refused(Refusal::Changed))), "{refused:?}");
    assert_eq!(standing(&app, id).await, (Some(78.0), vec!["71".to_owned()]));
    decide(&app, id, (Some(2), Choice::Take), 3).await.unwrap();
    assert_eq!(standing(&app, id).await, (Some(71.0), vec![]));
}
