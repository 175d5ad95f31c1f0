//! What judging gives the engine of the past: the system's own earlier visits, newest first.

use fairweather::actions;
use fairweather::domain::visit_document::HISTORY_VISITS_MAX;
use fairweather::engine::case::read_case;
use fairweather::store::Slot;
use serde_json::{Value, json};
use time::Duration;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{NOMINAL, Place};

impl TestApp {
    /// A nominal sheet that came in so many days ago.
    async fn in_days_ago(&self, place: &Place, days: i64) -> Uuid {
        let day = NOW.date() - Duration::days(days);
        let slot = Slot { day, start_minute: 600, minutes: 60 };
        let id = self.booked_at(place, self.tess, slot).await;
        self.enter(id, self.tess, NOMINAL).await;
        self.hand_in(id, self.tess).await;
        id
    }

    /// What the engine would be given of a visit now.
    async fn given(&self, visit: Uuid) -> Value {
        let visit = self.visit(visit).await;
        actions::judged(&mut self.read().await, &visit).await.expect("a document").0
    }

    async fn history(&self, visit: Uuid) -> Vec<String> {
        let given = self.given(visit).await;
        let history = given["history"].as_array().cloned().unwrap_or_default();
        history.iter().map(|it| it["id"].as_str().expect("an id").to_owned()).collect()
    }
}

#[tokio::test]
async fn earlier_visits_of_the_system_come_newest_first_whatever_their_numbers() {
    let app = TestApp::new().await;
    let (place, other) = (app.place("Ada Fenn").await, app.place("Bo Larch").await);
    let last = app.in_days_ago(&place, 10).await;
    let first = app.in_days_ago(&place, 700).await;
    let middle = app.in_days_ago(&place, 370).await;
    app.in_days_ago(&other, 20).await;
    let today = app.booked(&place, app.tess).await;
    let wanted = [last, middle, first].map(|it| it.to_string());
    assert_eq!(app.history(today).await, wanted);
    assert_eq!(app.history(middle).await, [first.to_string()], "what came later was not known");
    assert_eq!(app.history(first).await, [""; 0]);
}

#[tokio::test]
async fn no_more_than_five_earlier_visits_are_carried() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let mut ids = Vec::new();
    for year in 1..=7 {
        ids.push(app.in_days_ago(&place, 360 * year).await.to_string());
    }
    let today = app.booked(&place, app.tess).await;
    assert_eq!(app.history(today).await, ids[..HISTORY_VISITS_MAX]);
}

#[tokio::test]
async fn a_sheet_that_is_not_in_is_no_history() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let open = app.booked(&place, app.tess).await;
    app.enter(open, app.tess, NOMINAL).await;
    let later = app.booked_late(&place, app.tess).await;
    assert_eq!(app.history(later).await, [""; 0]);
    app.hand_in(open, app.tess).await;
    assert_eq!(app.history(later).await, [open.to_string()]);
}

#[tokio::test]
async fn an_earlier_visit_stands_there_with_what_the_repair_found_and_no_past_of_its_own() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let first = app.in_days_ago(&place, 700).await;
    let middle = app.in_days_ago(&place, 370).await;
    app.found(first, "no_fault").await;
    app.found(first, "low_charge").await;
    let today = app.booked(&place, app.tess).await;
    let given = app.given(today).await;
    let history = given["history"].as_array().unwrap();
    assert_eq!(history[0]["id"], middle.to_string());
    assert!(history[0].get("truth").is_none());
    assert_eq!(history[1]["truth"], json!({"cause": "low_charge"}), "the newest answer");
    for earlier in history {
        assert!(earlier.get("history").is_none() && earlier.get("priors").is_none());
        read_case(earlier).expect("the engine takes it as a document of its own");
    }
    assert!(given.get("truth").is_none(), "never of the visit itself");
}

#[tokio::test]
async fn what_was_typed_impossibly_over_a_value_is_no_history_either() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let first = app.in_days_ago(&place, 370).await;
    let earlier = |given: &Value| given["history"][0]["as_found"]["liquid_line_f"].clone();
    let today = app.booked(&place, app.tess).await;
    assert_eq!(earlier(&app.given(today).await), json!(90.5));
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{first}/sending-back"), &[("text", "Look again")]).await.way_on();
    app.enter(first, app.tess, &[("as_found.liquid_line_f", "9 5x")]).await;
    app.hand_in(first, app.tess).await;
    assert_eq!(earlier(&app.given(today).await), Value::Null);
}

#[tokio::test]
async fn a_visit_alone_and_in_the_history_is_given_the_same_past() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    for days in [900, 500, 100] {
        app.in_days_ago(&place, days).await;
    }
    let last = app.in_days_ago(&place, 1).await;
    app.found(last, "low_charge").await;
    let visit = app.visit(last).await;
    let again = actions::judged_again(&mut app.read().await, &visit).await.unwrap();
    assert_eq!(again.input, app.given(last).await);
    let look = app.look_at_history().await;
    let mut tx = app.write().await;
    let by = app.by(Some(app.owner));
    let stored = actions::judge_history_again(&mut tx, 0, &look.standards, by).await.unwrap();
    assert_eq!(stored.stored, look.changed, "the look and the storing go by the same");
}
