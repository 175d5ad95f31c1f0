//! Entries: each typed text is kept, the valid ones count, nothing is doubled.

use fairweather::actions::{self, ActionError, CameIn, Typed};
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::{Stage, VisitState};
use uuid::Uuid;

use crate::app::TestApp;
use crate::builders::{EVERYTHING, NOMINAL, typed};

#[tokio::test]
async fn the_first_entry_begins_the_visit() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, &[("as_found.return_db_f", "76")]).await;
    assert_eq!(app.visit(visit).await.state, VisitState::UnderWay);
}

#[tokio::test]
async fn an_impossible_value_is_kept_as_typed_and_blocks_nothing_behind_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let fields = [("as_found.return_wb_f", "140"), ("as_found.return_db_f", "76,5")];
    app.enter(visit, app.tess, &fields).await;
    let visit = app.visit(visit).await;
    let mut tx = app.read().await;
    let entries = tx.entries_of(visit.number).await.unwrap();
    assert_eq!(entries[0].typed, "140");
    assert!(entries[0].refusal.contains("32 to 90 °F"), "{}", entries[0].refusal);
    let readings = tx.readings_of(visit.number).await.unwrap();
    assert_eq!(readings.len(), 1);
    assert_eq!(readings[0].value, Some(76.5));
}

#[tokio::test]
async fn the_same_entry_sent_twice_is_one_entry() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let entry = typed("as_found.return_db_f", "76");
    for _ in 0..2 {
        let mut tx = app.write().await;
        let visit = tx.visit(EVERYTHING, id).await.unwrap();
        let by = app.by(Some(app.tess));
        actions::enter(&mut tx, &visit, std::slice::from_ref(&entry), by).await.unwrap();
        tx.commit().await.unwrap();
    }
    let number = app.visit(id).await.number;
    assert_eq!(app.read().await.count_readings(number).await.unwrap(), 1);
}

#[tokio::test]
async fn a_value_taken_back_is_a_new_row_without_a_value() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "76")]).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "")]).await;
    let number = app.visit(id).await.number;
    let mut tx = app.read().await;
    assert_eq!(tx.count_readings(number).await.unwrap(), 2);
    assert_eq!(tx.readings_of(number).await.unwrap()[0].value, None);
}

#[tokio::test]
async fn a_slip_mended_later_was_not_read_later() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let before = app.clock.now();
    app.enter(id, app.tess, &[("as_found.return_db_f", "67")]).await;
    app.clock.advance(time::Duration::minutes(40));
    app.enter(id, app.tess, &[("as_found.return_db_f", "76")]).await;
    let number = app.visit(id).await.number;
    let readings = app.read().await.readings_of(number).await.unwrap();
    assert_eq!((readings[0].value, readings[0].taken_at), (Some(76.0), before));
}

#[tokio::test]
async fn what_was_taken_back_and_is_there_again_was_read_anew() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let minutes = |it: i64| time::Duration::minutes(it);
    for text in ["67", "", "76", "76.5"] {
        app.enter(id, app.tess, &[("as_found.return_db_f", text)]).await;
        app.clock.advance(minutes(10));
    }
    let number = app.visit(id).await.number;
    let readings = app.read().await.readings_of(number).await.unwrap();
    let read_at = app.clock.now() - minutes(20);
    assert_eq!((readings[0].value, readings[0].taken_at), (Some(76.5), read_at));
    let page = app.browser(app.tess).await.get(&format!("/visits/{id}/sheet")).await.shown();
    page.says("read 11:20").says(&format!(r#"data-at="{}""#, read_at.unix_timestamp() * 1000));
}

#[tokio::test]
async fn a_field_that_the_sheet_does_not_have_is_kept_and_blocks_nothing_behind_it() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let came_in = sent(
        &app,
        id,
        &[typed("as_found.observe.moon", "in_order"), typed("as_found.return_db_f", "76")],
    )
    .await;
    assert_eq!(came_in[0].refusal, "The sheet has no field “observe.moon”.");
    assert_eq!((came_in[1].refusal.as_str(), came_in[1].number), ("", 2));
}

/// Sends entries, and keeps them.
async fn sent(app: &TestApp, id: Uuid, fields: &[Typed]) -> Vec<CameIn> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let came_in = actions::enter(&mut tx, &visit, fields, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    came_in
}

fn from_phone(name: &str, text: &str, (device, base): (&str, i64)) -> Typed {
    Typed { device: (device.to_owned(), 1), base_number: base, ..typed(name, text) }
}

#[tokio::test]
async fn the_same_id_with_other_words_is_refused() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let first = typed("as_found.return_db_f", "76");
    sent(&app, id, std::slice::from_ref(&first)).await;
    let other = Typed { text: "77".to_owned(), ..first };
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let answer = actions::enter(&mut tx, &visit, &[other], app.by(Some(app.tess))).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::IdTaken))), "{answer:?}");
}

#[tokio::test]
async fn two_devices_that_differ_wait_for_a_person_and_two_that_agree_do_not() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let point = "as_found.return_db_f";
    sent(&app, id, &[from_phone(point, "76", ("phone", 0))]).await;
    let alike = sent(&app, id, &[from_phone(point, "76", ("tablet", 0))]).await;
    assert!(!alike[0].is_held);
    let other = sent(&app, id, &[from_phone(point, "71", ("watch", 0))]).await;
    assert!(other[0].is_held);
    let knowing = sent(&app, id, &[from_phone(point, "72", ("watch", 3))]).await;
    assert!(!knowing[0].is_held, "it knew what stood there");
    let visit = app.visit(id).await;
    let mut tx = app.read().await;
    assert_eq!(tx.readings_of(visit.number).await.unwrap()[0].value, Some(72.0));
    let held = tx.entries_held(visit.number).await.unwrap();
    assert_eq!(held.len(), 1);
    assert!(held[0].is_decided);
    assert_eq!(held[0].entry.typed, "71");
}

#[tokio::test]
async fn a_phone_with_a_wrong_clock_still_says_when_it_was_read() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let day = time::Duration::days(1);
    let read_at = app.clock.now() - time::Duration::minutes(25);
    let entry = Typed {
        device_at: Some(read_at + day),
        device_ahead_s: Some(day.whole_seconds()),
        ..typed("as_found.return_db_f", "76")
    };
    sent(&app, id, &[entry]).await;
    let number = app.visit(id).await.number;
    let readings = app.read().await.readings_of(number).await.unwrap();
    assert_eq!(readings[0].taken_at, read_at);
}

#[tokio::test]
async fn what_comes_after_a_visit_was_called_off_or_given_away_is_kept_and_counts_for_nothing() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    actions::call_off_visit(&mut tx, &visit, app.by(Some(app.dispatcher))).await.unwrap();
    let visit = tx.visit_once_of(app.tess, id).await.unwrap();
    let entry = [typed("as_found.return_db_f", "76")];
    let came_in =
        actions::keep_late(&mut tx, &visit, &entry, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    assert!(came_in[0].is_held);
    let mut tx = app.read().await;
    assert_eq!(tx.count_readings(visit.number).await.unwrap(), 0);
    let held = tx.entries_held(visit.number).await.unwrap();
    assert_eq!((held[0].held.as_str(), held[0].is_decided), ("cancelled", false));
    assert!(tx.visit_once_of(app.theo, id).await.is_err(), "it was never theirs");
}

#[tokio::test]
async fn after_hand_in_a_change_needs_a_reason_and_keeps_both_values() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.hand_in(id, app.tess).await;
    let visit = app.visit(id).await;
    let by = app.by(Some(app.tess));
    let change = typed("as_found.capacitor_compressor_uf", "38.3");

    let late = sent(&app, id, &[typed("as_found.capacitor_compressor_uf", "40")]).await;
    assert!(late[0].is_held, "what comes late counts for nothing by itself");
    let mut tx = app.write().await;
    let silent = actions::correct(&mut tx, &visit, &change, " ", by).await;
    assert!(matches!(silent, Err(ActionError::Refused(Refusal::ReasonMissing))), "{silent:?}");
    let done = actions::correct(&mut tx, &visit, &change, "Read the wrong can", by).await;
    assert_eq!(done.unwrap(), None);
    tx.commit().await.unwrap();

    let mut tx = app.read().await;
    let entries = tx.entries_of(visit.number).await.unwrap();
    let both: Vec<&str> = entries
        .iter()
        .filter(|it| it.field == "capacitor_compressor_uf" && it.stage == Stage::AsFound)
        .map(|it| it.typed.as_str())
        .collect();
    assert_eq!(both, ["44.8", "38.3"]);
    let findings = tx.findings_of_visit(id).await.unwrap();
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].raised_by, "capacitor_compressor_deviation_pct");
}

#[tokio::test]
async fn a_phone_that_never_hears_the_answer_does_not_fill_the_sheet() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let batch = [typed("as_found.return_db_f", "76"), typed("as_found.return_wb_f", "63")];
    let first = sent(&app, id, &batch).await;
    for _ in 0..3 {
        assert_eq!(sent(&app, id, &batch).await, first);
    }
    assert_eq!(app.visit(id).await.entries, 2, "a repeat takes no places");
}

#[tokio::test]
async fn two_people_on_one_phone_that_differ_wait_for_a_person_too() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let point = "as_found.return_db_f";
    sent(&app, id, &[from_phone(point, "76", ("phone", 0))]).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let other = [from_phone(point, "71", ("phone", 0))];
    let came_in =
        actions::enter(&mut tx, &visit, &other, app.by(Some(app.dispatcher))).await.unwrap();
    assert!(came_in[0].is_held);
}

#[tokio::test]
async fn a_clock_that_began_anew_at_1970_says_nothing_about_when_it_was_read() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let entry = Typed {
        device_at: Some(time::OffsetDateTime::UNIX_EPOCH + time::Duration::minutes(3)),
        device_ahead_s: Some(0),
        ..typed("as_found.return_db_f", "76")
    };
    sent(&app, id, &[entry]).await;
    let number = app.visit(id).await.number;
    let mut tx = app.read().await;
    assert_eq!(tx.readings_of(number).await.unwrap()[0].taken_at, app.clock.now());
    assert_eq!(tx.entries_of(number).await.unwrap()[0].taken_at(), app.clock.now());
}

#[tokio::test]
async fn a_base_beyond_all_numbers_is_taken_as_it_is() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    let point = "as_found.return_db_f";
    let came_in = sent(&app, id, &[from_phone(point, "76", ("phone", i64::MAX))]).await;
    assert!(!came_in[0].is_held);
}
