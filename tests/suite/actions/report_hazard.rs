//! Hazards told to the office: once while they stand, on record when taken back, seen by a person.

use fairweather::actions::{
    Typed, call_off_visit, keep_late, raise_hazards, see_hazard, take_hazards_back,
};
use fairweather::domain::hazard::MEASURED_CO;
use fairweather::store::{HazardReport, StoreError};
use time::Duration;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, typed};

const GAS: (&str, &str) = ("as_found.hazard.gas_smell", "yes");

impl TestApp {
    /// Sees every hazard that nobody has seen, as the dispatcher.
    pub async fn see_hazards(&self) {
        let unseen = self.read().await.unseen_hazards().await.expect("the hazards");
        let mut tx = self.write().await;
        for hazard in unseen {
            let by = self.by(Some(self.dispatcher));
            see_hazard(&mut tx, hazard.id, by).await.expect("it is seen");
        }
        tx.commit().await.expect("it is kept");
    }
}

async fn open(app: &TestApp) -> Uuid {
    let place = app.place("Ada Fenn").await;
    app.booked(&place, app.tess).await
}

async fn unseen(app: &TestApp) -> Vec<HazardReport> {
    app.read().await.unseen_hazards().await.unwrap()
}

#[tokio::test]
async fn a_ticked_hazard_is_told_at_once_with_who_and_where() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "76"), GAS]).await;
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1);
    let it = &told[0];
    assert_eq!((it.field.as_str(), it.words.as_str()), ("hazard.gas_smell", "smell of gas"));
    assert_eq!((it.street.as_str(), it.visit_id), ("12 Quarry Lane", id));
    assert_eq!((it.person_name.as_deref(), it.received_at), (Some("Tess"), NOW));
}

#[tokio::test]
async fn told_twice_while_it_stands_it_is_one_seen_or_not() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[GAS]).await;
    app.enter(id, app.tess, &[GAS]).await;
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1);
    let mut tx = app.write().await;
    see_hazard(&mut tx, told[0].id, app.by(Some(app.dispatcher))).await.unwrap();
    tx.commit().await.unwrap();
    app.enter(id, app.tess, &[GAS]).await;
    assert!(unseen(&app).await.is_empty());
    assert_eq!(app.read().await.standing_hazards().await.unwrap().len(), 1);
}

#[tokio::test]
async fn taken_back_it_stays_on_record_and_a_new_one_is_told_anew() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[GAS]).await;
    app.clock.advance(Duration::minutes(8));
    app.enter(id, app.tess, &[("as_found.hazard.gas_smell", "")]).await;
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1, "nobody has seen it, so the office hears that it was taken back");
    assert_eq!(told[0].taken_back_at, Some(NOW + Duration::minutes(8)));
    app.enter(id, app.tess, &[GAS]).await;
    assert_eq!(unseen(&app).await.len(), 2);
}

#[tokio::test]
async fn a_tick_that_comes_again_late_does_not_raise_what_was_taken_back() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let tick = typed(GAS.0, GAS.1);
    let back = typed(GAS.0, "");
    for fields in [vec![tick.clone()], vec![back], vec![tick]] {
        let mut tx = app.write().await;
        let visit = tx.visit(EVERYTHING, id).await.unwrap();
        let by = app.by(Some(app.tess));
        fairweather::actions::enter(&mut tx, &visit, &fields, by).await.unwrap();
        tx.commit().await.unwrap();
    }
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1);
    assert!(told[0].taken_back_at.is_some());
}

#[tokio::test]
async fn the_devices_clock_is_kept_beside_ours() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let mut tick = typed(GAS.0, GAS.1);
    tick.device_at = Some(NOW - Duration::hours(3));
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let fields = [typed("as_found.return_db_f", "76"), tick];
    fairweather::actions::enter(&mut tx, &visit, &fields, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    let told = unseen(&app).await;
    assert_eq!((told[0].at, told[0].received_at), (Some(NOW - Duration::hours(3)), NOW));
}

#[tokio::test]
async fn carbon_monoxide_that_was_measured_is_told_and_taken_back_by_its_point() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let by = app.by(Some(app.tess));
    let visit = app.visit(id).await;
    let mut tx = app.write().await;
    raise_hazards(&mut tx, &visit, &[(MEASURED_CO, None)], by).await.unwrap();
    raise_hazards(&mut tx, &visit, &[(MEASURED_CO, None)], by).await.unwrap();
    tx.commit().await.unwrap();
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].words, "carbon monoxide measured in the room air");
    let mut tx = app.write().await;
    take_hazards_back(&mut tx, &visit, &[MEASURED_CO, "hazard.gas_smell"], by).await.unwrap();
    tx.commit().await.unwrap();
    assert!(unseen(&app).await[0].taken_back_at.is_some());
}

#[tokio::test]
async fn who_saw_it_first_stays_and_a_hazard_that_is_none_is_not_found() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[GAS]).await;
    let hazard = unseen(&app).await[0].id;
    for person in [app.dispatcher, app.owner] {
        let mut tx = app.write().await;
        see_hazard(&mut tx, hazard, app.by(Some(person))).await.unwrap();
        tx.commit().await.unwrap();
    }
    let told = app.read().await.hazards_of(id).await.unwrap();
    assert_eq!(told[0].seen_by_name.as_deref(), Some("Dora"));
    let mut tx = app.write().await;
    let answer = see_hazard(&mut tx, id, app.by(Some(app.owner))).await;
    let is_none =
        matches!(answer, Err(fairweather::actions::ActionError::Store(StoreError::NotFound)));
    assert!(is_none, "{answer:?}");
}

#[tokio::test]
async fn a_hazard_of_an_accepted_sheet_stands_no_longer() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[("as_found.return_db_f", "76"), GAS]).await;
    let hazard = unseen(&app).await[0].id;
    app.hand_in(id, app.tess).await;
    let mut tx = app.write().await;
    see_hazard(&mut tx, hazard, app.by(Some(app.owner))).await.unwrap();
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    assert_eq!(tx.standing_hazards().await.unwrap().len(), 1);
    fairweather::actions::accept_visit(&mut tx, &visit, app.by(Some(app.owner))).await.unwrap();
    assert!(tx.standing_hazards().await.unwrap().is_empty());
}

#[tokio::test]
async fn carbon_monoxide_over_its_limit_is_told_and_taken_back_when_read_again() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "2")]).await;
    assert_eq!(unseen(&app).await, []);
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "80")]).await;
    let told = unseen(&app).await;
    assert_eq!((told.len(), told[0].field.as_str()), (1, MEASURED_CO));
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "2")]).await;
    let told = unseen(&app).await;
    assert!(told[0].taken_back_at.is_some(), "it stays on record with that said");
}

#[tokio::test]
async fn carbon_monoxide_is_told_although_the_plate_is_not_complete() {
    let app = TestApp::new().await;
    let place = app.place_without_plates("Cy Marl").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "80")]).await;
    assert_eq!(unseen(&app).await.len(), 1);
}

#[tokio::test]
async fn a_hazard_of_a_visit_that_was_called_off_meanwhile_is_told_all_the_same() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    call_off_visit(&mut tx, &visit, app.by(Some(app.dispatcher))).await.unwrap();
    let visit = tx.visit_once_of(app.tess, id).await.unwrap();
    let ticked = [typed(GAS.0, GAS.1)];
    keep_late(&mut tx, &visit, &ticked, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    assert_eq!(unseen(&app).await.len(), 1);
}

#[tokio::test]
async fn carbon_monoxide_that_waits_for_a_decision_is_told_all_the_same() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "2")]).await;
    app.hand_in(id, app.tess).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "3")]).await;
    assert_eq!(unseen(&app).await, [], "too little to tell");
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "80")]).await;
    let told = unseen(&app).await;
    assert_eq!((told.len(), told[0].taken_back_at), (1, None));
}

#[tokio::test]
async fn carbon_monoxide_of_a_visit_that_was_called_off_meanwhile_is_told_all_the_same() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    call_off_visit(&mut tx, &visit, app.by(Some(app.dispatcher))).await.unwrap();
    let visit = tx.visit_once_of(app.tess, id).await.unwrap();
    let read = [typed("as_found.ambient_co_ppm", "80")];
    keep_late(&mut tx, &visit, &read, app.by(Some(app.tess))).await.unwrap();
    tx.commit().await.unwrap();
    assert_eq!(unseen(&app).await.len(), 1);
}

#[tokio::test]
async fn carbon_monoxide_that_a_correction_says_is_told() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    app.enter(id, app.tess, &[("as_found.ambient_co_ppm", "2")]).await;
    app.hand_in(id, app.tess).await;
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, id).await.unwrap();
    let read = typed("as_found.ambient_co_ppm", "80");
    let by = app.by(Some(app.tess));
    fairweather::actions::correct(&mut tx, &visit, &read, "It was eighty", by).await.unwrap();
    tx.commit().await.unwrap();
    assert_eq!(unseen(&app).await.len(), 1);
}

#[tokio::test]
async fn a_tick_that_is_repeated_after_another_device_took_it_back_is_not_told_anew() {
    let app = TestApp::new().await;
    let id = open(&app).await;
    let tick = typed(GAS.0, GAS.1);
    let other = |it: Typed| Typed { device: ("tablet".to_owned(), 1), base_number: 1, ..it };
    let back = other(typed(GAS.0, ""));
    for fields in [[tick.clone()], [back], [tick]] {
        let mut tx = app.write().await;
        let visit = tx.visit(EVERYTHING, id).await.unwrap();
        let by = app.by(Some(app.tess));
        fairweather::actions::enter(&mut tx, &visit, &fields, by).await.unwrap();
        tx.commit().await.unwrap();
    }
    let told = unseen(&app).await;
    assert_eq!(told.len(), 1, "{told:?}");
}
