//! Judging again: the look and the storing go by the same, and storing twice does no harm.

use fairweather::actions::{self, ActionError, History, Rejudged};
use fairweather::domain::refusal::Refusal;
use fairweather::engine::limits::{DEFAULT_VERSION, LimitName};
use fairweather::store::Slot;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{NOMINAL, Place};

const FILTER: LimitName = LimitName::FilterDropHigh;

impl TestApp {
    /// A nominal sheet that is in; the filter of it drops 0.07 in. w.c.
    async fn handed_in(&self, place: &Place, hour: i64) -> Uuid {
        let slot = Slot { day: NOW.date(), start_minute: hour * 60, minutes: 60 };
        let id = self.booked_at(place, self.tess, slot).await;
        self.enter(id, self.tess, NOMINAL).await;
        self.hand_in(id, self.tess).await;
        id
    }

    pub async fn look_at_history(&self) -> History {
        actions::history_again(&mut self.read().await).await.expect("a look")
    }

    /// Stores the history's judgements from beginning to end.
    async fn store_history(&self, seen: &str) -> Result<usize, ActionError> {
        let (mut stored, mut after) = (0, 0);
        loop {
            let mut tx = self.write().await;
            let by = self.by(Some(self.owner));
            let Rejudged { stored: some, next } =
                actions::judge_history_again(&mut tx, after, seen, by).await?;
            tx.commit().await?;
            stored += some;
            let Some(next) = next else { return Ok(stored) };
            after = next;
        }
    }

    async fn judgements(&self, visit: Uuid) -> (Option<i64>, Vec<String>) {
        let visit = self.visit(visit).await;
        let events = self.read().await.events_of(visit.id).await.expect("the events");
        (visit.assessment_number, events)
    }
}

#[tokio::test]
async fn a_look_says_what_storing_does_and_stores_nothing() {
    let app = TestApp::new().await;
    let id = app.handed_in(&app.place("Ada Fenn").await, 8).await;
    app.set_limit(FILTER, 0.05).await;
    let visit = app.visit(id).await;
    let again = actions::judged_again(&mut app.read().await, &visit).await.unwrap();
    assert!(again.differs() && again.is_decided_otherwise());
    assert_eq!(again.differences.verdicts.len(), 1);
    assert_eq!(again.differences.verdicts[0].measure, "filter_drop_inwc");
    assert_eq!(again.raised.len(), 1);
    assert_eq!(app.visit(id).await.assessment_number, Some(1), "nothing was stored");

    let mut tx = app.write().await;
    let by = app.by(Some(app.owner));
    assert!(
        actions::judge_again(&mut tx, &visit, Some(&format!("{DEFAULT_VERSION}+1")), by)
            .await
            .unwrap()
    );
    tx.commit().await.unwrap();
    let kept = app.read().await.judgement_of(visit.number).await.unwrap().unwrap();
    assert_eq!(kept.number, 2);
    assert_eq!(kept.output.0, serde_json::to_value(&again.after).unwrap());
    let findings = app.read().await.findings_of_visit(id).await.unwrap();
    assert_eq!(findings[0].text, again.raised[0].text);
}

#[tokio::test]
async fn judging_again_twice_adds_one_row() {
    let app = TestApp::new().await;
    let id = app.handed_in(&app.place("Ada Fenn").await, 8).await;
    app.set_limit(FILTER, 0.05).await;
    let visit = app.visit(id).await;
    for stored in [true, false] {
        let mut tx = app.write().await;
        let by = app.by(Some(app.owner));
        assert_eq!(actions::judge_again(&mut tx, &visit, None, by).await.unwrap(), stored);
        tx.commit().await.unwrap();
    }
    let (number, events) = app.judgements(id).await;
    assert_eq!(number, Some(2));
    assert_eq!(events, ["book", "begin", "hand_in", "judge_again"]);
}

#[tokio::test]
async fn the_history_stores_what_differs_and_leaves_the_rest_untouched() {
    let app = TestApp::new().await;
    let (ada, bo) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    let (one, other) = (app.handed_in(&ada, 8).await, app.handed_in(&bo, 10).await);
    // A corrected filter reading: only this one lies between the two limits.
    let mut tx = app.write().await;
    let visit = app.visit(other).await;
    let slip = crate::builders::typed("as_found.static_after_filter_inwc", "");
    let by = app.by(Some(app.tess));
    actions::correct(&mut tx, &visit, &slip, "Not read at all", by).await.unwrap();
    tx.commit().await.unwrap();

    app.set_limit(FILTER, 0.05).await;
    let look = app.look_at_history().await;
    assert_eq!((look.looked_at, look.changed, look.decided_otherwise), (2, 1, 1));
    assert_eq!((look.raised, look.withdrawn, look.reworded), (1, 0, 0));
    assert_eq!(look.shown[0].visit.id, one);
    let untouched = app.judgements(other).await;
    for stored in [1, 0] {
        assert_eq!(app.store_history(&look.standards).await.unwrap(), stored, "twice does no harm");
    }
    assert_eq!(app.judgements(one).await.0, Some(2));
    assert_eq!(app.judgements(other).await, untouched);
    assert_eq!(app.look_at_history().await.changed, 0);
}

#[tokio::test]
async fn a_sheet_that_is_not_in_is_no_part_of_the_history() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let open = app.booked(&place, app.tess).await;
    app.enter(open, app.tess, NOMINAL).await;
    app.set_limit(FILTER, 0.05).await;
    assert_eq!(app.look_at_history().await.looked_at, 0);
    let visit = app.visit(open).await;
    let mut tx = app.write().await;
    let answer = actions::judge_again(&mut tx, &visit, None, app.by(Some(app.owner))).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::WrongState(_)))), "{answer:?}");
}

#[tokio::test]
async fn a_book_that_was_changed_since_the_look_is_looked_at_again() {
    let app = TestApp::new().await;
    let id = app.handed_in(&app.place("Ada Fenn").await, 8).await;
    app.set_limit(FILTER, 0.05).await;
    let look = app.look_at_history().await;
    app.set_limit(FILTER, 0.06).await;
    let answer = app.store_history(&look.standards).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::StandardsChanged))), "{answer:?}");
    let visit = app.visit(id).await;
    let mut tx = app.write().await;
    let by = app.by(Some(app.owner));
    let answer = actions::judge_again(&mut tx, &visit, Some(&look.standards), by).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::StandardsChanged))), "{answer:?}");
}

#[tokio::test]
async fn a_finding_that_only_names_another_limit_is_worded_anew() {
    let app = TestApp::new().await;
    app.set_limit(FILTER, 0.03).await;
    let id = app.handed_in(&app.place("Ada Fenn").await, 8).await;
    app.set_limit(FILTER, 0.04).await;
    let again = actions::judged_again(&mut app.read().await, &app.visit(id).await).await.unwrap();
    assert!(again.differs());
    assert!(!again.is_decided_otherwise(), "it was outside and stays so");
    assert_eq!((again.new_findings().len(), again.gone_findings().len()), (0, 0));
    assert_eq!(again.reworded().len(), 1);
}

#[tokio::test]
async fn accepted_sheets_and_reports_that_were_sent_are_counted() {
    let app = TestApp::new().await;
    let (ada, bo) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    let ids = [app.handed_in(&ada, 8).await, app.handed_in(&bo, 10).await];
    app.handed_in(&app.place("Cy Moss").await, 14).await;
    let owner = app.browser(app.owner).await;
    for id in ids {
        owner.post(&format!("/visits/{id}/acceptance"), &[]).await.way_on();
    }
    owner.post(&format!("/visits/{}/report-link", ids[0]), &[]).await.shown();
    app.set_limit(FILTER, 0.05).await;
    let look = app.look_at_history().await;
    assert_eq!((look.changed, look.accepted, look.sent), (3, 2, 1));
}
