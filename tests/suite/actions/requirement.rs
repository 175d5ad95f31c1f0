//! What a sheet needs: the owner's list in versions, and the hand-in that is held against it.

use fairweather::actions::{self, ActionError, require_fields, required_of};
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::{VisitKind, VisitState};
use fairweather::store::{NewPlan, Slot};
use serde_json::json;
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, NOMINAL, Place, plate};

const WET_BULB: &str = "as_found.return_wb_f";
const DRAIN: &str = "as_found.observe.drain_runs";
const WHY_DRAIN: &str = "as_found.missing.as_found.observe.drain_runs";

fn names(of: &[&str]) -> Vec<String> {
    of.iter().map(|it| (*it).to_owned()).collect()
}

impl TestApp {
    /// Sets what every yearly sheet needs, as the owner.
    pub async fn require(&self, fields: &[&str]) {
        let newest = self.read().await.requirement_versions().await.expect("the versions");
        let seen = newest.first().map_or(0, |it| it.number);
        self.try_require(fields, seen).await.expect("the list is set");
    }

    async fn try_require(&self, fields: &[&str], seen: i64) -> Result<(), ActionError> {
        let mut tx = self.write().await;
        require_fields(&mut tx, &names(fields), seen, self.by(Some(self.owner))).await?;
        tx.commit().await?;
        Ok(())
    }

    /// The visit of the nominal sheet, open still.
    async fn filled(&self, place: &Place) -> Uuid {
        let id = self.booked(place, self.tess).await;
        self.enter(id, self.tess, NOMINAL).await;
        id
    }

    async fn try_hand_in(&self, id: Uuid) -> Result<(), ActionError> {
        let mut tx = self.write().await;
        let visit = tx.visit(EVERYTHING, id).await?;
        actions::hand_in(&mut tx, &visit, self.by(Some(self.tess))).await?;
        tx.commit().await?;
        Ok(())
    }

    async fn held_against(&self, id: Uuid) -> i64 {
        let visit = self.visit(id).await;
        self.read().await.required_of(&visit).await.expect("the lists").number
    }
}

fn missing(answer: Result<(), ActionError>) -> String {
    match answer {
        Err(ActionError::Refused(Refusal::RequiredMissing(sentence))) => sentence,
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn each_other_list_is_a_version_and_the_same_again_is_none() {
    let app = TestApp::new().await;
    app.require(&[WET_BULB, DRAIN]).await;
    app.require(&[DRAIN, WET_BULB]).await;
    app.require(&[DRAIN]).await;
    let versions = app.read().await.requirement_versions().await.unwrap();
    let told: Vec<(i64, Vec<String>)> =
        versions.iter().map(|it| (it.number, it.fields.0.clone())).collect();
    assert_eq!(told, [(2, names(&[DRAIN])), (1, names(&[DRAIN, WET_BULB]))]);
    assert_eq!(versions[0].person_name.as_deref(), Some("Olive"));
    assert_eq!(versions[0].at, app.clock.now());
}

#[tokio::test]
async fn two_owners_cant_overrule_each_other_unseen() {
    let app = TestApp::new().await;
    app.require(&[WET_BULB]).await;
    let late = app.try_require(&[DRAIN], 0).await;
    assert!(matches!(late, Err(ActionError::Refused(Refusal::Changed))), "{late:?}");
    assert!(app.try_require(&[WET_BULB], 0).await.is_ok(), "what holds already is harmless");
}

#[tokio::test]
async fn only_fields_of_the_sheet_can_be_needed() {
    let app = TestApp::new().await;
    let answer = app.try_require(&["as_found.hazard.gas_smell"], 0).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::NoSuchField(_)))), "{answer:?}");
}

#[tokio::test]
async fn a_sheet_without_what_it_needs_stays_out_until_it_is_there_or_explained() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[WET_BULB, DRAIN, "as_found.work.filter_replaced"]).await;
    let id = app.filled(&place).await;
    let sentence = missing(app.try_hand_in(id).await);
    assert!(sentence.starts_with("“Filter replaced” in block 4 and 1 more"), "{sentence}");
    assert_eq!(app.visit(id).await.state, VisitState::UnderWay);
    app.enter(id, app.tess, &[("as_found.work.filter_replaced", "yes")]).await;
    app.enter(id, app.tess, &[(WHY_DRAIN, "Behind the finished wall")]).await;
    app.try_hand_in(id).await.unwrap();
    assert_eq!(app.visit(id).await.state, VisitState::HandedIn);
}

#[tokio::test]
async fn a_reason_too_short_is_kept_as_typed_and_is_none() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[DRAIN]).await;
    let id = app.filled(&place).await;
    app.enter(id, app.tess, &[(WHY_DRAIN, "no")]).await;
    missing(app.try_hand_in(id).await);
    let number = app.visit(id).await.number;
    let entries = app.read().await.entries_of(number).await.unwrap();
    let last = entries.last().unwrap();
    assert_eq!(last.typed, "no");
    assert!(last.refusal.contains("3 to 500"), "{}", last.refusal);
}

#[tokio::test]
async fn a_value_that_can_t_be_is_no_value() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[WET_BULB]).await;
    let id = app.filled(&place).await;
    app.enter(id, app.tess, &[(WET_BULB, "140")]).await;
    missing(app.try_hand_in(id).await);
}

#[tokio::test]
async fn what_is_read_after_repair_or_was_not_touched_needs_no_reason() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&["as_found.static_filter_out_inwc", "as_left.return_wb_f"]).await;
    let id = app.filled(&place).await;
    missing(app.try_hand_in(id).await);
    let said = [("as_found.behind.filter_bypass", "yes"), ("as_left.unchanged.return_wb_f", "yes")];
    app.enter(id, app.tess, &said).await;
    app.try_hand_in(id).await.unwrap();
}

#[tokio::test]
async fn a_sheet_keeps_the_list_that_it_came_in_by() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let id = app.filled(&place).await;
    app.try_hand_in(id).await.unwrap();
    app.require(&[WET_BULB]).await;
    assert_eq!(app.held_against(id).await, 0, "there was no list when it came in");
    let later = app.booked_late(&place, app.tess).await;
    app.enter(later, app.tess, NOMINAL).await;
    assert_eq!(app.held_against(later).await, 1, "the newest while it is open");
    app.try_hand_in(later).await.unwrap();
    app.require(&[DRAIN]).await;
    assert_eq!(app.held_against(later).await, 1);
}

#[tokio::test]
async fn the_plan_that_was_sold_asks_beside_the_company() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let plan = app.plan().await;
    let sold = app.read().await.plan(plan).await.unwrap();
    let next = NewPlan {
        name: sold.name,
        price_cents: sold.price_cents,
        discount_percent: sold.discount_percent,
        seasons: sold.seasons.0,
        required: names(&[DRAIN]),
    };
    let mut tx = app.write().await;
    actions::make_plan(&mut tx, plan, 2, &next, app.by(Some(app.owner))).await.unwrap();
    tx.commit().await.unwrap();
    for (version, wanted) in [(1, 0), (2, 1)] {
        let agreement = app.agreement_by(&place, (plan, version)).await;
        let slot = Slot { day: NOW.date(), start_minute: 480 + 60 * version, minutes: 60 };
        let promise = (VisitKind::CoolingMaintenance, Some((agreement, 2026)));
        let id = app.booked_for(&place, app.tess, slot, promise).await;
        let visit = app.visit(id).await;
        let needed = required_of(&mut app.read().await, &visit).await.unwrap();
        assert_eq!(needed.required.len(), wanted, "version {version}");
    }
}

#[tokio::test]
async fn a_repair_is_asked_for_nothing() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[DRAIN]).await;
    let mut visit = app.visit(app.filled(&place).await).await;
    for kind in VisitKind::ALL {
        visit.kind = kind;
        let needed = required_of(&mut app.read().await, &visit).await.unwrap();
        let is_asked = !needed.required.is_empty();
        assert_eq!(is_asked, kind == VisitKind::CoolingMaintenance, "{kind:?}");
    }
}

#[tokio::test]
async fn the_legs_of_three_phases_are_asked_for_where_there_are_three() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&["as_found.volts_l1_l2", WET_BULB]).await;
    let visit = app.visit(app.filled(&place).await).await;
    let needed = required_of(&mut app.read().await, &visit).await.unwrap();
    assert_eq!(needed.required.len(), 1);
    let three = json!({"refrigerant": "R-410A", "phases": 3});
    let mut tx = app.write().await;
    let mut three = plate("KV-24", "SN-9001", three);
    "The plate says three".clone_into(&mut three.reason);
    let by = app.by(Some(app.owner));
    actions::correct_plate(&mut tx, place.outdoor_unit, 1, &three, by).await.unwrap();
    let needed = required_of(&mut tx, &visit).await.unwrap();
    assert_eq!(needed.required.len(), 2);
}

#[tokio::test]
async fn reasons_alone_are_no_sheet() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&[DRAIN]).await;
    let id = app.booked(&place, app.tess).await;
    app.enter(id, app.tess, &[(WHY_DRAIN, "Behind the finished wall")]).await;
    let answer = app.try_hand_in(id).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::EmptySheet))), "{answer:?}");
}

#[tokio::test]
async fn a_reason_that_was_typed_over_by_one_that_cannot_be_no_longer_counts() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    app.require(&["as_found.observe.drain_runs"]).await;
    let id = app.filled(&place).await;
    let why = "as_found.missing.as_found.observe.drain_runs";
    app.enter(id, app.tess, &[(why, "Under the floor")]).await;
    app.enter(id, app.tess, &[(why, "no")]).await;
    let refused = app.try_hand_in(id).await;
    assert!(matches!(refused, Err(ActionError::Refused(Refusal::RequiredMissing(_)))));
    app.enter(id, app.tess, &[(why, "Under the floor")]).await;
    app.try_hand_in(id).await.unwrap();
}
