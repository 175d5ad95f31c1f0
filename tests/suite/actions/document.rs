//! What judging gives the engine of the past: the system's own earlier visits, newest first.

use fairweather::actions;
use fairweather::chance;
use fairweather::domain::nameplate::Part;
use fairweather::engine::case::read_case;
use fairweather::store::{Component, Plate, Slot};
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

    /// Another of the same kind was put in so many days ago.
    async fn replaced(&self, place: &Place, part: Part, days: i64) {
        let mut tx = self.write().await;
        let there = tx.components_of(place.system).await.expect("parts");
        let is_there = |it: &&Component| it.part == part && it.removed_on.is_none();
        let old = there.iter().find(is_there).expect("such a part");
        let (on, plate) = (NOW.date() - Duration::days(days), plate_of(old));
        let with = (&plate, self.by(Some(self.dispatcher)));
        actions::replace_component(&mut tx, old.id, chance::id(NOW), on, with).await.expect("done");
        tx.commit().await.expect("it is kept");
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

/// The same plate for another one.
fn plate_of(component: &Component) -> Plate {
    Plate {
        make: component.make.clone(),
        model: component.model.clone(),
        serial: "SN-9100".to_owned(),
        manufactured_on: None,
        warranty_until: None,
        nameplate: component.nameplate.0.clone(),
        reason: String::new(),
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

/// A leak of a little every year is seen against what the system was once, not against last year.
#[tokio::test]
async fn of_many_earlier_visits_the_newest_three_and_the_oldest_two_are_carried() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let mut ids = Vec::new();
    for year in 1..=7 {
        ids.push(app.in_days_ago(&place, 360 * year).await.to_string());
    }
    let today = app.booked(&place, app.tess).await;
    let wanted = [0, 1, 2, 5, 6].map(|it: usize| ids[it].clone());
    assert_eq!(app.history(today).await, wanted);
}

#[tokio::test]
async fn what_an_earlier_unit_coil_or_air_mover_showed_is_no_history_of_the_new_one() {
    for part in [Part::OutdoorUnit, Part::IndoorCoil, Part::AirMover] {
        let app = TestApp::new().await;
        let place = app.place("Ada Fenn").await;
        let before = app.in_days_ago(&place, 700).await;
        let on_the_day = app.in_days_ago(&place, 370).await;
        let after = app.in_days_ago(&place, 100).await;
        let today = app.booked(&place, app.tess).await;
        app.replaced(&place, part, 370).await;
        assert_eq!(app.history(today).await, [after.to_string()], "{part:?}");
        assert_eq!(app.history(after).await, [""; 0], "{part:?}: that day was the old one's");
        assert_eq!(app.history(on_the_day).await, [""; 0], "{part:?}: judged by the new plate");
        assert_eq!(app.history(before).await, [""; 0]);
        // The one that came later is not yet there.
        app.replaced(&place, part, 50).await;
        let between = app.in_days_ago(&place, 60).await;
        assert_eq!(app.history(between).await, [after.to_string()], "{part:?}");
        assert_eq!(app.history(today).await, [""; 0], "{part:?}");
    }
}

#[tokio::test]
async fn the_oldest_of_five_are_those_of_the_same_unit() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let mut ids = Vec::new();
    for year in 1..=8 {
        ids.push(app.in_days_ago(&place, 360 * year).await.to_string());
    }
    app.replaced(&place, Part::OutdoorUnit, 360 * 7 - 1).await;
    let today = app.booked(&place, app.tess).await;
    let wanted = [0, 1, 2, 4, 5].map(|it: usize| ids[it].clone());
    assert_eq!(app.history(today).await, wanted);
}

#[tokio::test]
async fn another_filter_or_thermostat_leaves_the_history_as_it_is() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let first = app.in_days_ago(&place, 370).await;
    let today = app.booked(&place, app.tess).await;
    app.replaced(&place, Part::Filter, 100).await;
    assert_eq!(app.history(today).await, [first.to_string()]);
}

#[tokio::test]
async fn a_visit_of_the_morning_before_a_replacement_is_no_history_of_the_afternoon() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let morning = app.in_days_ago(&place, 0).await;
    let afternoon = app.booked_late(&place, app.tess).await;
    assert_eq!(app.history(afternoon).await, [morning.to_string()]);
    app.replaced(&place, Part::IndoorCoil, 0).await;
    assert_eq!(app.history(afternoon).await, [""; 0]);
}

#[tokio::test]
async fn the_visit_on_which_the_first_unit_was_put_in_is_its_history() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let (system, outdoor_unit) = (chance::id(NOW), chance::id(NOW));
    let new = Place { system, outdoor_unit, ..place };
    let by = app.by(Some(app.dispatcher));
    let mut tx = app.write().await;
    let named = ("Workshop", "split_air_conditioner");
    actions::add_system(&mut tx, system, new.site, named, by).await.unwrap();
    let old = tx.component(place.outdoor_unit).await.unwrap();
    let installed = Some(NOW.date() - Duration::days(370));
    let there = (system, Part::OutdoorUnit);
    let plate = plate_of(&old);
    actions::add_component(&mut tx, outdoor_unit, there, installed, (&plate, by)).await.unwrap();
    tx.commit().await.unwrap();
    app.in_days_ago(&new, 400).await;
    let first = app.in_days_ago(&new, 370).await;
    let today = app.booked(&new, app.tess).await;
    assert_eq!(app.history(today).await, [first.to_string()], "nothing of what was there before");
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

#[tokio::test]
async fn what_waits_undecided_on_an_earlier_sheet_changes_nothing_of_the_history() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let before = app.in_days_ago(&place, 370).await;
    let today = app.booked(&place, app.tess).await;
    let given = app.given(today).await;
    app.enter(before, app.tess, &[("as_found.return_db_f", "7 6x")]).await;
    assert_eq!(app.given(today).await, given, "it came late and counts for nothing");
}
