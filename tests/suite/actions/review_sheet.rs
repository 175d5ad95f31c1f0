//! Sending a sheet back with remarks at its fields, and the order of what waits.

use fairweather::actions::{self, ActionError, send_back_visit, sheets_to_review};
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::VisitState;
use fairweather::store::Slot;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, NOMINAL};

async fn send_back(app: &TestApp, id: Uuid, remarks: &[(&str, &str)]) -> Result<(), ActionError> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await?;
    send_back_visit(&mut tx, &visit, remarks, app.by(Some(app.owner))).await?;
    tx.commit().await?;
    Ok(())
}

async fn handed_in(app: &TestApp, hour: i64, fields: &[(&str, &str)]) -> Uuid {
    let place = app.place("Ada Fenn").await;
    let slot = Slot { day: NOW.date(), start_minute: 60 * hour, minutes: 60 };
    let id = app.booked_at(&place, app.tess, slot).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.enter(id, app.tess, fields).await;
    app.hand_in(id, app.tess).await;
    id
}

#[tokio::test]
async fn several_remarks_go_back_at_once_the_one_on_the_whole_first() {
    let app = TestApp::new().await;
    let id = handed_in(&app, 8, &[]).await;
    let remarks = [
        ("as_found.return_wb_f", " Wick wet? "),
        ("as_found.observe.coil_face", ""),
        ("", "Please look at these"),
        ("as_found.liquid_line_f", "Clamp insulated?"),
    ];
    send_back(&app, id, &remarks).await.unwrap();
    assert_eq!(app.visit(id).await.state, VisitState::SentBack);
    let kept = app.read().await.remarks_on(id).await.unwrap();
    let kept: Vec<(&str, &str)> =
        kept.iter().map(|it| (it.field.as_str(), it.text.as_str())).collect();
    let wanted = [
        ("", "Please look at these"),
        ("as_found.return_wb_f", "Wick wet?"),
        ("as_found.liquid_line_f", "Clamp insulated?"),
    ];
    assert_eq!(kept, wanted);
}

#[tokio::test]
async fn without_a_remark_or_at_a_field_that_is_none_it_stays_in() {
    let app = TestApp::new().await;
    let id = handed_in(&app, 8, &[]).await;
    let silent = send_back(&app, id, &[("", " "), ("as_found.return_wb_f", "")]).await;
    assert!(matches!(silent, Err(ActionError::Refused(Refusal::RemarkMissing))), "{silent:?}");
    let nowhere = send_back(&app, id, &[("as_found.moon", "Full?")]).await;
    assert!(matches!(nowhere, Err(ActionError::Refused(Refusal::NoSuchField(_)))), "{nowhere:?}");
    let long = "x".repeat(2_001);
    let long = send_back(&app, id, &[("", &long)]).await;
    assert!(matches!(long, Err(ActionError::Refused(Refusal::TextTooLong))), "{long:?}");
    assert_eq!(app.visit(id).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn the_doubtful_sheets_come_first_each_with_its_reasons() {
    let app = TestApp::new().await;
    app.require(&["as_found.observe.drain_runs"]).await;
    let why = ("as_found.missing.as_found.observe.drain_runs", "Behind the finished wall");
    let seen = ("as_found.observe.drain_runs", "in_order");
    let sound = handed_in(&app, 8, &[seen]).await;
    let lacking = handed_in(&app, 9, &[why]).await;
    let impossible = handed_in(&app, 10, &[seen, ("as_found.supply_wb_f", "530")]).await;
    let hazard = handed_in(&app, 11, &[seen, ("as_found.hazard.gas_smell", "yes")]).await;
    let all = sheets_to_review(&mut app.read().await).await.unwrap();
    let order: Vec<Uuid> = all.iter().map(|it| it.0.id).collect();
    assert_eq!(order, [hazard, impossible, lacking, sound], "{all:?}");
    assert_eq!(all[0].1.reasons[0], "Hazard: Smell of gas");
    assert!(all[1].1.reasons.contains(&"1 value that can’t be".to_owned()));
    let needed = "Needed, and missing with a reason: Drain runs, with slope".to_owned();
    assert!(all[2].1.reasons.contains(&needed), "{:?}", all[2].1);
}

#[tokio::test]
async fn what_changed_after_the_hand_in_is_a_doubt_too() {
    let app = TestApp::new().await;
    let id = handed_in(&app, 8, &[]).await;
    send_back(&app, id, &[("", "Is the wet bulb right?")]).await.unwrap();
    app.enter(id, app.tess, &[("as_found.return_wb_f", "62.5")]).await;
    app.hand_in(id, app.tess).await;
    let mut tx = app.read().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let doubted = actions::in_review(&mut tx, &visit).await.unwrap().doubted;
    assert!(doubted.reasons.contains(&"1 entry after it was handed in".to_owned()), "{doubted:?}");
}
