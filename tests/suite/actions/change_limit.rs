//! The limit book changed by its owner: what holds, what is harmless, what is refused.

use fairweather::actions::{self, ActionError, WantedLimit, change_limit, limit_book};
use fairweather::chance;
use fairweather::domain::refusal::Refusal;
use fairweather::engine::limits::{DEFAULT_VERSION, LimitBook, LimitName, Provenance};
use fairweather::store::{LimitChange, NewLimitChange};
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::NOMINAL;

const FILTER: LimitName = LimitName::FilterDropHigh;

pub fn wanted(name: LimitName, value: Option<f64>, seen: i64) -> WantedLimit {
    WantedLimit { name, value, reason: "New filters read more".to_owned(), seen }
}

impl TestApp {
    /// Changes a limit as the owner.
    pub async fn set_limit(&self, name: LimitName, value: f64) {
        let last = self.changes(name).await.first().map_or(0, |it| it.number);
        let answer = self.try_limit(&wanted(name, Some(value), last), self.owner).await;
        answer.expect("the limit is set");
    }

    async fn try_limit(&self, wanted: &WantedLimit, person: Uuid) -> Result<(), ActionError> {
        let mut tx = self.write().await;
        change_limit(&mut tx, wanted, self.by(Some(person))).await?;
        tx.commit().await?;
        Ok(())
    }

    /// A change as an older program left it, whatever this one takes.
    async fn keep_change(&self, name: &str, value: f64) {
        let change = NewLimitChange {
            id: chance::id(NOW),
            name: name.to_owned(),
            value: Some(value),
            reason: "Of an older program".to_owned(),
        };
        let mut tx = self.write().await;
        let kept = tx.insert_limit_change(&change, self.by(Some(self.owner))).await;
        kept.expect("it is kept");
        tx.commit().await.expect("it is kept");
    }

    async fn changes(&self, name: LimitName) -> Vec<LimitChange> {
        self.read().await.changes_of_limit(&name.key()).await.expect("the changes")
    }
}

fn refused(answer: Result<(), ActionError>) -> Refusal {
    match answer {
        Err(ActionError::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn a_changed_limit_holds_with_who_when_and_why() {
    let app = TestApp::new().await;
    assert_eq!(limit_book(&mut app.read().await).await.unwrap().version, DEFAULT_VERSION);
    app.set_limit(FILTER, 0.15).await;
    let book = limit_book(&mut app.read().await).await.unwrap();
    assert_eq!(book.version, format!("{DEFAULT_VERSION}+1"));
    assert_eq!((book.value(FILTER), book.limit(FILTER).provenance), (0.15, Provenance::Company));
    let coil = LimitName::CoilDropHigh;
    assert_eq!(book.limit(coil), LimitBook::default().limit(coil), "the others stay");
    let change = app.changes(FILTER).await.remove(0);
    assert_eq!((change.number, change.value), (1, Some(0.15)));
    assert_eq!(change.person_name.as_deref(), Some("Olive"));
    assert_eq!((change.at, change.reason.as_str()), (app.clock.now(), "New filters read more"));
}

#[tokio::test]
async fn the_change_is_an_event() {
    let app = TestApp::new().await;
    app.set_limit(FILTER, 0.15).await;
    let id = app.changes(FILTER).await.remove(0).id;
    assert_eq!(app.read().await.events_of(id).await.unwrap(), ["change_limit"]);
}

#[tokio::test]
async fn a_limit_that_this_program_does_not_have_counts_for_the_version_only() {
    let app = TestApp::new().await;
    app.keep_change("gone_long_ago", 1.0).await;
    let book = limit_book(&mut app.read().await).await.unwrap();
    let mut default = LimitBook::default();
    default.version = format!("{DEFAULT_VERSION}+1");
    assert_eq!(book, default);
}

#[tokio::test]
async fn the_value_that_holds_already_writes_nothing() {
    let app = TestApp::new().await;
    let own = wanted(FILTER, Some(0.15), 0);
    for _ in 0..2 {
        app.try_limit(&own, app.owner).await.unwrap();
    }
    assert_eq!(app.changes(FILTER).await.len(), 1);
    let default = wanted(LimitName::CoilDropHigh, Some(0.25), 0);
    app.try_limit(&default, app.owner).await.unwrap();
    app.try_limit(&wanted(LimitName::CoilDropHigh, None, 0), app.owner).await.unwrap();
    assert_eq!(app.changes(LimitName::CoilDropHigh).await, []);
}

#[tokio::test]
async fn back_to_the_default_is_a_change_too() {
    let app = TestApp::new().await;
    app.set_limit(FILTER, 0.15).await;
    app.try_limit(&wanted(FILTER, None, 1), app.owner).await.unwrap();
    let book = limit_book(&mut app.read().await).await.unwrap();
    assert_eq!(book.version, format!("{DEFAULT_VERSION}+2"));
    assert_eq!(book.limit(FILTER), LimitBook::default().limit(FILTER));
    assert_eq!(app.changes(FILTER).await.len(), 2, "what was, stays");
}

#[tokio::test]
async fn what_the_program_does_not_take_is_refused_with_what_it_takes() {
    let app = TestApp::new().await;
    for value in [0.0, 3.0, f64::NAN, f64::INFINITY] {
        let refusal = refused(app.try_limit(&wanted(FILTER, Some(value), 0), app.owner).await);
        let sentence = refusal.to_string();
        assert!(sentence.contains(&format!("{value} can't be")), "{sentence}");
        let definition = FILTER.definition();
        let accepted = format!("from {} to {} in. w.c. is", definition.low, definition.high);
        assert!(sentence.contains(&accepted), "{sentence}");
        assert_eq!(refusal.field(), "value");
    }
    assert_eq!(app.changes(FILTER).await, []);
}

#[tokio::test]
async fn a_band_with_nothing_inside_is_refused() {
    let app = TestApp::new().await;
    app.set_limit(LimitName::MeteringSuperheatLow, 12.0).await;
    let high = wanted(LimitName::MeteringSuperheatHigh, Some(11.0), 0);
    let sentence = refused(app.try_limit(&high, app.owner).await).to_string();
    assert!(sentence.contains("must stay above"), "{sentence}");
    assert!(sentence.contains("which is 12 °F"), "{sentence}");
}

#[tokio::test]
async fn a_limit_needs_a_reason_of_a_sensible_length() {
    let app = TestApp::new().await;
    let mut own = wanted(FILTER, Some(0.15), 0);
    " ".clone_into(&mut own.reason);
    assert_eq!(refused(app.try_limit(&own, app.owner).await), Refusal::LimitReasonMissing);
    own.reason = "why ".repeat(600);
    assert_eq!(refused(app.try_limit(&own, app.owner).await), Refusal::TextTooLong);
}

#[tokio::test]
async fn two_owners_at_once_are_told_of_each_other() {
    let app = TestApp::new().await;
    app.set_limit(FILTER, 0.15).await;
    // Laid out before that change.
    let refusal = refused(app.try_limit(&wanted(FILTER, Some(0.2), 0), app.dispatcher).await);
    let sentence = refusal.to_string();
    assert!(sentence.contains("Olive set this limit to 0.15 in. w.c. meanwhile"), "{sentence}");
    assert!(sentence.contains("New filters read more"), "{sentence}");
    app.try_limit(&wanted(FILTER, Some(0.15), 0), app.dispatcher).await.unwrap();
    app.try_limit(&wanted(LimitName::CoilDropHigh, Some(0.3), 0), app.dispatcher).await.unwrap();
    assert_eq!(app.changes(FILTER).await.len(), 1);
}

#[tokio::test]
async fn a_value_that_a_later_program_no_longer_takes_leaves_the_default_in_force() {
    let app = TestApp::new().await;
    app.keep_change(&FILTER.key(), 40.0).await;
    let book = limit_book(&mut app.read().await).await.unwrap();
    assert_eq!(book.limit(FILTER), LimitBook::default().limit(FILTER));
    let owner = app.browser(app.owner).await;
    let page = owner.get("/limit-book").await.shown();
    page.says("40 in. w.c. is outside of what this version takes");
}

#[tokio::test]
async fn a_sheet_is_judged_by_the_companys_book_under_way_and_at_hand_in() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, NOMINAL).await;
    app.set_limit(FILTER, 0.05).await;
    let visit = app.visit(id).await;
    let (_, live) = actions::judged(&mut app.read().await, &visit).await.unwrap();
    let live = live.unwrap();
    assert_eq!(live.rules, format!("{DEFAULT_VERSION}+1"));
    app.hand_in(id, app.tess).await;
    let kept = app.read().await.judgement_of(visit.number).await.unwrap().unwrap();
    assert_eq!(kept.output.0, serde_json::to_value(&live).unwrap());
    let findings = app.read().await.findings_of_visit(id).await.unwrap();
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].raised_by, "filter_drop_inwc");
}
