//! Booking: whoever asks at the same moment, one has the time and one keeps the promise.

use fairweather::actions::{self, ActionError, Booking};
use fairweather::chance;
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::{VisitKind, VisitState};
use fairweather::store::{By, Slot, Store};
use time::macros::date;
use tokio::task::JoinSet;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, Place};

/// How many ask at once.
const AT_ONCE: i64 = 12;

fn at(start_minute: i64) -> Slot {
    Slot { day: date!(2026 - 06 - 18), start_minute, minutes: 90 }
}

fn booking(place: &Place, technician_id: Uuid, slot: Slot) -> Booking {
    Booking {
        id: chance::id(NOW),
        system_id: place.system,
        kind: VisitKind::CoolingMaintenance,
        technician_id,
        slot,
        promise: None,
    }
}

/// Books in a transaction of its own, as a door does.
async fn book(store: &Store, booking: Booking, by: By) -> Result<(), ActionError> {
    let mut tx = store.write().await?;
    actions::book_visit(&mut tx, &booking, by).await?;
    tx.commit().await?;
    Ok(())
}

/// All of them at once, each on a task of its own: how each ended.
async fn all_at_once(app: &TestApp, bookings: Vec<Booking>) -> Vec<Result<(), Refusal>> {
    let mut tasks = JoinSet::new();
    for booking in bookings {
        let (store, by) = (app.store.clone(), app.by(Some(app.dispatcher)));
        tasks.spawn(async move { book(&store, booking, by).await });
    }
    let ended = tasks.join_all().await;
    ended
        .into_iter()
        .map(|outcome| match outcome {
            Ok(()) => Ok(()),
            Err(ActionError::Refused(refusal)) => Err(refusal),
            Err(ActionError::Store(fault)) => panic!("the store failed: {fault}"),
        })
        .collect()
}

async fn visits_of_the_day(app: &TestApp) -> usize {
    let day = at(0).day;
    app.read().await.visits_between(day, day).await.unwrap().len()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn of_twelve_who_want_one_technician_at_once_exactly_one_gets_the_time() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let wanted: Vec<Booking> =
        (0..AT_ONCE).map(|_| booking(&place, app.tess, at(9 * 60 + 30))).collect();
    let count = wanted.len();
    let ended = all_at_once(&app, wanted).await;
    let won = ended.iter().filter(|it| it.is_ok()).count();
    let busy = Refusal::Busy("Tess".to_owned());
    let refused = ended.iter().filter(|it| it.as_ref() == Err(&busy)).count();
    assert_eq!((won, refused), (1, count - 1), "{ended:?}");
    assert_eq!(visits_of_the_day(&app).await, 1, "nothing half is left of the others");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn no_two_visits_of_one_technician_overlap_by_a_quarter_whoever_wins() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let wanted: Vec<Booking> =
        (0..AT_ONCE).map(|number| booking(&place, app.tess, at(9 * 60 + number * 20))).collect();
    all_at_once(&app, wanted).await;
    let day = at(0).day;
    let visits = app.read().await.visits_between(day, day).await.unwrap();
    assert!(!visits.is_empty());
    for pair in visits.windows(2) {
        let end = pair[0].start_minute + pair[0].minutes;
        assert!(end <= pair[1].start_minute, "{} and {}", end, pair[1].start_minute);
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn one_promise_is_kept_once_whoever_is_sent() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    let wanted: Vec<Booking> = (0..AT_ONCE)
        .map(|number| Booking {
            promise: Some((agreement, 2026)),
            ..booking(&place, [app.tess, app.theo][usize::from(number % 2 == 0)], at(number * 100))
        })
        .collect();
    let ended = all_at_once(&app, wanted).await;
    let won = ended.iter().filter(|it| it.is_ok()).count();
    let late = ended.iter().filter(|it| **it == Err(Refusal::BookedAlready)).count();
    assert_eq!((won, late), (1, 11), "{ended:?}");
    assert_eq!(visits_of_the_day(&app).await, 1);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn one_form_sent_many_times_at_once_books_once_and_every_answer_is_yes() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let promise = Some((app.agreement(&place, plan).await, 2026));
    let one = Booking { promise, ..booking(&place, app.tess, at(9 * 60)) };
    let ended = all_at_once(&app, vec![one; 12]).await;
    assert!(ended.iter().all(Result::is_ok), "{ended:?}");
    assert_eq!(visits_of_the_day(&app).await, 1);
    assert_eq!(app.read().await.events_of(one.id).await.unwrap(), ["book"]);
}

#[tokio::test]
async fn one_form_sent_again_with_another_time_is_refused_by_name() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let one = booking(&place, app.tess, at(9 * 60));
    let other = Booking { slot: at(13 * 60), ..one };
    let ended = all_at_once(&app, vec![one]).await;
    assert_eq!(ended, [Ok(())]);
    assert_eq!(all_at_once(&app, vec![other]).await, [Err(Refusal::SentBefore)]);
    assert_eq!(app.visit(one.id).await.start_minute, 9 * 60);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn two_visits_that_would_change_places_at_once_are_refused_and_stay() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let first = booking(&place, app.tess, at(9 * 60));
    let second = booking(&place, app.tess, at(13 * 60));
    assert_eq!(all_at_once(&app, vec![first, second]).await, [Ok(()), Ok(())]);
    let mut tasks = JoinSet::new();
    for (id, to) in [(first.id, at(13 * 60)), (second.id, at(9 * 60))] {
        let (store, by, tess) = (app.store.clone(), app.by(Some(app.dispatcher)), app.tess);
        tasks.spawn(async move {
            let mut tx = store.write().await?;
            let visit = tx.visit(EVERYTHING, id).await?;
            actions::move_visit(&mut tx, &visit, tess, to, by).await?;
            tx.commit().await?;
            Ok::<(), ActionError>(())
        });
    }
    for outcome in tasks.join_all().await {
        let busy = matches!(&outcome, Err(ActionError::Refused(Refusal::Busy(_))));
        assert!(busy, "{outcome:?}");
    }
    assert_eq!(app.visit(first.id).await.start_minute, 9 * 60);
    assert_eq!(app.visit(second.id).await.start_minute, 13 * 60);
}

#[tokio::test]
async fn what_was_not_promised_is_refused_by_name() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let other = app.place("Cleo Marsh").await;
    let plan = app.plan().await;
    let agreement = app.agreement(&place, plan).await;
    let right = Booking { promise: Some((agreement, 2026)), ..booking(&place, app.tess, at(540)) };
    for (wrong, what) in [
        (Booking { promise: Some((agreement, 2025)), ..right }, "a season before its term"),
        (Booking { promise: Some((agreement, 2027)), ..right }, "a season after its term"),
        (Booking { promise: Some((agreement, i64::MAX)), ..right }, "no year at all"),
        (Booking { promise: Some((Uuid::nil(), 2026)), ..right }, "no agreement at all"),
        (Booking { kind: VisitKind::HeatingMaintenance, ..right }, "a kind it doesn't have"),
        (Booking { system_id: other.system, ..right }, "a system it doesn't cover"),
    ] {
        assert_eq!(all_at_once(&app, vec![wrong]).await, [Err(Refusal::NotPromised)], "{what}");
    }
    assert_eq!(all_at_once(&app, vec![right]).await, [Ok(())]);
}

#[tokio::test]
async fn a_visit_that_was_called_off_gives_its_time_and_its_promise_back() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let promise = Some((app.agreement(&place, plan).await, 2026));
    let first = Booking { promise, ..booking(&place, app.tess, at(540)) };
    assert_eq!(all_at_once(&app, vec![first]).await, [Ok(())]);
    let visit = app.visit(first.id).await;
    let mut tx = app.write().await;
    actions::call_off_visit(&mut tx, &visit, app.by(Some(app.dispatcher))).await.unwrap();
    tx.commit().await.unwrap();
    let second = Booking { id: chance::id(NOW), ..first };
    assert_eq!(all_at_once(&app, vec![second]).await, [Ok(())]);
    assert_eq!(app.visit(first.id).await.state, VisitState::Cancelled);
    assert_eq!(app.visit(second.id).await.state, VisitState::Booked);
}

#[tokio::test]
async fn only_a_technician_is_sent_and_only_within_one_day() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    for (technician, slot, expected) in [
        (app.owner, at(540), Refusal::NotATechnician),
        (Uuid::nil(), at(540), Refusal::NotATechnician),
        (app.tess, at(23 * 60), Refusal::OverMidnight),
        (app.tess, at(-15), Refusal::OverMidnight),
    ] {
        let ended = all_at_once(&app, vec![booking(&place, technician, slot)]).await;
        assert_eq!(ended, [Err(expected)]);
    }
}
