//! Adding photos and taking them away.

use fairweather::actions::{self, ActionError, Remover};
use fairweather::chance;
use fairweather::domain::photo::PHOTOS_MAX;
use fairweather::domain::refusal::Refusal;
use fairweather::store::{NewPhoto, Photo, StoreError};
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::EVERYTHING;

fn new(person: Uuid) -> NewPhoto {
    NewPhoto {
        id: chance::id(NOW),
        field: "observe.coil_face".to_owned(),
        person_id: person,
        taken_at: None,
        sides: (1600, 1200),
        bytes: 200_000,
        sent_sha256: "5e".repeat(32),
        kept_sha256: "4e".repeat(32),
        kind: "image/jpeg".to_owned(),
    }
}

async fn add(app: &TestApp, visit: Uuid, new: &NewPhoto) -> Result<Photo, ActionError> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await?;
    let photo = actions::add_photo(&mut tx, &visit, new, app.by(Some(new.person_id))).await?;
    tx.commit().await?;
    Ok(photo)
}

async fn remove(
    app: &TestApp,
    visit: Uuid,
    photo: (Uuid, Remover),
    person: Uuid,
) -> Result<(), ActionError> {
    let mut tx = app.write().await;
    let visit = tx.visit(EVERYTHING, visit).await?;
    actions::remove_photo(&mut tx, &visit, photo, app.by(Some(person))).await?;
    tx.commit().await?;
    Ok(())
}

fn refusal<T: std::fmt::Debug>(answer: Result<T, ActionError>) -> Refusal {
    match answer {
        Err(ActionError::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn the_same_photo_twice_is_one_and_another_under_its_id_is_refused() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let photo = new(app.tess);
    let first = add(&app, visit, &photo).await.unwrap();
    assert_eq!(add(&app, visit, &photo).await.unwrap(), first);
    let others = [
        NewPhoto { sent_sha256: "00".repeat(32), ..photo.clone() },
        NewPhoto { field: String::new(), ..photo.clone() },
        NewPhoto { person_id: app.theo, ..photo.clone() },
    ];
    for other in others {
        assert_eq!(refusal(add(&app, visit, &other).await), Refusal::Changed);
    }
    let late = app.booked_late(&place, app.theo).await;
    assert_eq!(refusal(add(&app, late, &photo).await), Refusal::Changed, "of another visit");
    let mut tx = app.read().await;
    assert_eq!(tx.photos_of(visit).await.unwrap(), [first]);
    let added = tx.events_of(visit).await.unwrap();
    assert_eq!(added.iter().filter(|it| *it == "add_photo").count(), 1);
}

#[tokio::test]
async fn a_field_without_photos_is_refused_and_so_is_one_photo_too_many() {
    let app = TestApp::new().await;
    let visit = app.booked(&app.place("Ada Fenn").await, app.tess).await;
    let odd = NewPhoto { field: "return_db_f".to_owned(), ..new(app.tess) };
    let wanted = Refusal::NoSuchField("return_db_f".to_owned());
    assert_eq!(refusal(add(&app, visit, &odd).await), wanted);
    let mut last = Uuid::nil();
    for _ in 0..PHOTOS_MAX {
        last = add(&app, visit, &new(app.tess)).await.unwrap().id;
    }
    assert_eq!(refusal(add(&app, visit, &new(app.tess)).await), Refusal::PhotosFull);
    remove(&app, visit, (last, Remover::Technician), app.tess).await.unwrap();
    add(&app, visit, &new(app.tess)).await.unwrap();
}

#[tokio::test]
async fn a_photo_is_taken_even_when_the_visit_was_called_off_meanwhile() {
    let app = TestApp::new().await;
    let visit = app.booked(&app.place("Ada Fenn").await, app.tess).await;
    let mut tx = app.write().await;
    let booked = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::call_off_visit(&mut tx, &booked, app.by(Some(app.dispatcher))).await.unwrap();
    tx.commit().await.unwrap();
    add(&app, visit, &new(app.tess)).await.unwrap();
}

#[tokio::test]
async fn a_photo_that_was_taken_away_keeps_its_row_and_waits_for_its_picture_to_go() {
    let app = TestApp::new().await;
    let visit = app.booked(&app.place("Ada Fenn").await, app.tess).await;
    let photo = new(app.tess);
    add(&app, visit, &photo).await.unwrap();
    for _ in 0..2 {
        remove(&app, visit, (photo.id, Remover::Technician), app.tess).await.unwrap();
    }
    let again = add(&app, visit, &photo).await.unwrap();
    assert_eq!(again.removed_at, Some(NOW), "sent again it does not come back");
    let mut tx = app.write().await;
    assert_eq!(tx.photos_of(visit).await.unwrap(), []);
    assert_eq!(tx.photos_to_clear().await.unwrap(), [again]);
    tx.set_photo_cleared(photo.id, NOW).await.unwrap();
    assert_eq!(tx.photos_to_clear().await.unwrap(), []);
    let events = tx.events_of(visit).await.unwrap();
    assert_eq!(events.iter().filter(|it| *it == "remove_photo").count(), 1);
}

#[tokio::test]
async fn of_an_accepted_report_only_the_office_takes_a_photo_away() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let photo = new(app.tess);
    add(&app, visit, &photo).await.unwrap();
    let mut tx = app.write().await;
    let sheet = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::accept_visit(&mut tx, &sheet, app.by(Some(app.owner))).await.unwrap();
    tx.commit().await.unwrap();
    let answer = remove(&app, visit, (photo.id, Remover::Technician), app.tess).await;
    assert_eq!(refusal(answer), Refusal::AcceptedAlready);
    remove(&app, visit, (photo.id, Remover::Office), app.dispatcher).await.unwrap();
    let nothing = remove(&app, visit, (Uuid::nil(), Remover::Office), app.dispatcher).await;
    assert!(matches!(nothing, Err(ActionError::Store(StoreError::NotFound))));
}
