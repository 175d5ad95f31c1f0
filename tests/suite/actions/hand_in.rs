//! Handing in: once for each time that a phone meant it, and not over something undecided.

use fairweather::actions::{self, ActionError, Typed};
use fairweather::chance;
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::VisitState;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, NOMINAL, typed};

async fn filled(app: &TestApp) -> Uuid {
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    id
}

async fn sent_in(app: &TestApp, visit: Uuid, key: Uuid) -> Result<(), ActionError> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await?;
    actions::hand_in_once(&mut tx, &visit, key, app.by(Some(app.tess))).await?;
    tx.commit().await?;
    Ok(())
}

#[tokio::test]
async fn a_hand_in_that_is_repeated_late_does_not_hand_in_a_sheet_that_went_back_since() {
    let app = TestApp::new().await;
    let visit = filled(&app).await;
    let key = chance::id(NOW);
    for _ in 0..2 {
        sent_in(&app, visit, key).await.unwrap();
        assert_eq!(app.visit(visit).await.state, VisitState::HandedIn);
    }
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    let by = app.by(Some(app.owner));
    actions::send_back_visit(&mut tx, &row, &[("", "Look again")], by).await.unwrap();
    tx.commit().await.unwrap();
    sent_in(&app, visit, key).await.unwrap();
    assert_eq!(app.visit(visit).await.state, VisitState::SentBack, "that one was done already");
    sent_in(&app, visit, chance::id(NOW)).await.unwrap();
    assert_eq!(app.visit(visit).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn a_hand_in_that_was_refused_may_be_tried_again_under_the_same_id() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let key = chance::id(NOW);
    let refused = sent_in(&app, visit, key).await;
    assert!(matches!(refused, Err(ActionError::Refused(Refusal::EmptySheet))), "{refused:?}");
    app.enter(visit, app.tess, NOMINAL).await;
    sent_in(&app, visit, key).await.unwrap();
    assert_eq!(app.visit(visit).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn a_sheet_does_not_go_in_while_two_devices_differ() {
    let app = TestApp::new().await;
    let visit = filled(&app).await;
    let other = Typed { device: ("tablet".to_owned(), 1), ..typed("as_found.return_db_f", "71") };
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::enter(&mut tx, &row, &[other], app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    let refused = sent_in(&app, visit, chance::id(NOW)).await;
    assert!(matches!(refused, Err(ActionError::Refused(Refusal::Undecided))), "{refused:?}");
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    let keep = (None, actions::Choice::Keep);
    actions::decide_held(&mut tx, &row, keep, row.entries, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    sent_in(&app, visit, chance::id(NOW)).await.unwrap();
}

#[tokio::test]
async fn only_its_author_hands_in_what_waited_on_a_phone() {
    let app = TestApp::new().await;
    let visit = filled(&app).await;
    let key = chance::id(NOW).to_string();
    let (tess, theo) = (app.tess.to_string(), app.theo.to_string());
    let browser = app.browser(app.tess).await;
    let path = format!("/visits/{visit}/hand-in");
    let accept = [("sec-fetch-site", "same-origin"), ("accept", "application/json")];
    let answer = browser.post_as(&path, &[("id", &key), ("author", &theo)], &accept).await;
    assert_eq!(answer.way_on(), "/sign-in", "it waits until Theo signs in");
    assert_eq!(app.visit(visit).await.state, VisitState::UnderWay);
    let answer = browser.post_as(&path, &[("id", &key), ("author", &tess)], &accept).await;
    assert_eq!(answer.status.as_u16(), 200, "{}", answer.body);
    assert_eq!(app.visit(visit).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn a_hand_in_that_comes_after_the_owner_accepted_is_no_trouble() {
    let app = TestApp::new().await;
    let visit = filled(&app).await;
    app.hand_in(visit, app.tess).await;
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::accept_visit(&mut tx, &row, app.by(Some(app.owner))).await.unwrap();
    tx.commit().await.unwrap();
    sent_in(&app, visit, chance::id(NOW)).await.unwrap();
    assert_eq!(app.visit(visit).await.state, VisitState::Accepted);
}
