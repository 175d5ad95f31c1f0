//! The company's priors: versions that confirmations make, what judging goes by, beginning again.

use fairweather::actions::{self, ActionError};
use fairweather::domain::priors::{Evidence, PriorWhy};
use fairweather::domain::refusal::Refusal;
use fairweather::engine::causes::{CauseName, DEFAULT_PRIORS};
use fairweather::engine::limits::DEFAULT_VERSION;
use fairweather::store::PriorVersion;
use serde_json::Value;
use uuid::Uuid;

use super::confirm_cause::confirmation;
use crate::app::TestApp;

impl TestApp {
    async fn versions(&self) -> Vec<PriorVersion> {
        self.read().await.prior_versions().await.expect("the versions")
    }

    async fn try_reset(&self, seen: i64, reason: &str) -> Result<(), ActionError> {
        let mut tx = self.write().await;
        actions::reset_priors(&mut tx, (seen, reason), self.by(Some(self.owner))).await?;
        tx.commit().await?;
        Ok(())
    }

    async fn input_of(&self, visit: Uuid) -> Value {
        let number = self.visit(visit).await.number;
        let judgement = self.read().await.judgement_of(number).await.expect("a row");
        judgement.expect("it was judged").input.0
    }
}

#[tokio::test]
async fn a_confirmation_makes_a_version_with_its_counts() {
    let app = TestApp::new().await;
    let (one, other) = (app.sheet_in("Ada Fenn").await, app.sheet_in("Bo Larch").await);
    assert_eq!(actions::priors(&mut app.read().await).await.unwrap(), None);
    app.found(one, "low_charge").await;
    app.found(other, "low_charge+non_condensables").await;
    let versions = app.versions().await;
    let numbers: Vec<i64> = versions.iter().map(|it| it.number).collect();
    assert_eq!(numbers, [2, 1]);
    let newest = &versions[0];
    assert_eq!(
        (newest.why, newest.visits, newest.visit_id),
        (PriorWhy::Confirmation, 2, Some(other))
    );
    assert_eq!(newest.counts.0["low_charge"], 1.5);
    assert_eq!(newest.counts.0["non_condensables"], 0.5);
    assert_eq!(newest.published, DEFAULT_PRIORS);
    let shares = actions::priors(&mut app.read().await).await.unwrap().expect("priors").shares();
    let found = [("low_charge", 1), ("low_charge+non_condensables", 1)];
    for (one, other) in shares.iter().zip(Evidence::of(found, 2).shares()) {
        assert!((one - other).abs() < 1e-12, "{one} {other}");
    }
}

#[tokio::test]
async fn a_correction_counts_in_the_place_of_what_it_corrects() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    app.found(visit, "no_fault").await;
    let newest = &app.versions().await[0];
    assert_eq!((newest.number, &newest.counts.0["low_charge"]), (2, &Value::from(0.0)));
    assert_eq!(newest.counts.0["no_fault"], 1.0);
}

#[tokio::test]
async fn another_remark_alone_makes_no_version() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let mut again = confirmation("low_charge", 1);
    "At the lower bends".clone_into(&mut again.remark);
    app.confirm(visit, &again, Some(app.tess)).await.unwrap();
    assert_eq!((app.answers(visit).await.len(), app.versions().await.len()), (2, 1));
}

#[tokio::test]
async fn judging_goes_by_the_priors_in_force_and_names_them() {
    let app = TestApp::new().await;
    let one = app.sheet_in("Ada Fenn").await;
    assert!(app.input_of(one).await.get("priors").is_none(), "the published ones");
    app.found(one, "low_charge").await;
    let other = app.sheet_in("Bo Larch").await;
    let input = app.input_of(other).await;
    assert_eq!(input["priors"]["version"], "priors-1");
    let given = input["priors"]["low_charge"].as_f64().unwrap();
    assert!(given > CauseName::LowCharge.info().prior, "{given}");
    let visit = app.visit(other).await;
    let (_, live) = actions::judged(&mut app.read().await, &visit).await.unwrap();
    assert_eq!(live.unwrap().priors, "priors-1");
}

#[tokio::test]
async fn a_look_at_the_history_ends_where_the_priors_are_others() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let look = app.look_at_history().await;
    assert_eq!(look.standards, DEFAULT_VERSION);
    app.found(visit, "low_charge").await;
    let now = app.look_at_history().await;
    assert_eq!(now.standards, format!("{DEFAULT_VERSION}, priors-1"));
    let mut tx = app.write().await;
    let by = app.by(Some(app.owner));
    let answer = actions::judge_history_again(&mut tx, 0, &look.standards, by).await;
    assert!(matches!(answer, Err(ActionError::Refused(Refusal::StandardsChanged))), "{answer:?}");
    actions::judge_history_again(&mut tx, 0, &now.standards, by).await.expect("it is stored");
}

#[tokio::test]
async fn beginning_again_counts_anew_and_deletes_nothing() {
    let app = TestApp::new().await;
    let (one, other) = (app.sheet_in("Ada Fenn").await, app.sheet_in("Bo Larch").await);
    app.found(one, "low_charge").await;
    app.try_reset(1, "Other equipment since the merger").await.unwrap();
    let newest = app.versions().await.remove(0);
    assert_eq!((newest.number, newest.why), (2, PriorWhy::Reset));
    assert_eq!(newest.person_name.as_deref(), Some("Olive"));
    let priors = actions::priors(&mut app.read().await).await.unwrap().expect("a version");
    assert_eq!(priors.given(CauseName::LowCharge), Some(CauseName::LowCharge.info().prior));
    app.clock.advance(time::Duration::hours(1));
    app.found(other, "non_condensables").await;
    let newest = app.versions().await.remove(0);
    assert_eq!((newest.number, newest.visits), (3, 1), "the visit that was answered since");
    assert_eq!(newest.counts.0["low_charge"], 0.0);
    assert_eq!(newest.counts.0["non_condensables"], 1.0);
    assert_eq!(app.answers(one).await.len(), 1);
}

#[tokio::test]
async fn beginning_again_twice_or_before_anything_writes_nothing() {
    let app = TestApp::new().await;
    app.try_reset(0, "").await.expect("there is nothing to begin again");
    assert_eq!(app.versions().await, []);
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    for _ in 0..2 {
        app.try_reset(1, "Tried out with our own van").await.unwrap();
    }
    assert_eq!(app.versions().await.len(), 2);
}

#[tokio::test]
async fn beginning_again_needs_a_reason_and_what_was_looked_at() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.found(visit, "low_charge").await;
    let refused = |answer| match answer {
        Err(ActionError::Refused(refusal)) => refusal,
        other => panic!("{other:?}"),
    };
    assert_eq!(refused(app.try_reset(1, "  ").await), Refusal::ResetReasonMissing);
    assert_eq!(refused(app.try_reset(1, &"why ".repeat(600)).await), Refusal::TextTooLong);
    assert_eq!(refused(app.try_reset(0, "Tried out").await), Refusal::PriorsChanged);
    assert_eq!(app.versions().await.len(), 1);
}
