//! What was believed beforehand moves what is believed afterwards.

use fairweather::engine::causes::{CAUSES, CauseName, DEFAULT_PRIORS, Priors, causes_of};
use serde_json::json;

use super::{assessed, document, found, probability, with};

#[test]
fn the_published_ones_make_one_and_stand_in_the_order_of_the_causes() {
    let sum: f64 = CAUSES.iter().map(|it| it.prior).sum();
    assert!((sum - 1.0).abs() < 1e-12);
    for (index, it) in CAUSES.iter().enumerate() {
        assert_eq!(it.name as usize, index);
        assert_eq!(it.name.info(), it);
        assert_eq!(CauseName::of_key(it.key), Some(it.name));
        assert!(!it.source.is_empty() && !it.label.is_empty());
        assert_eq!(it.unit.is_empty(), it.name == CauseName::NoFault);
    }
}

#[test]
fn a_company_that_sees_a_cause_often_is_told_it_sooner() {
    let often = found(&with("/priors", json!({"low_outdoor_airflow": 0.5, "version": "priors-4"})));
    let seldom = found(&with("/priors", json!({"low_outdoor_airflow": 0.001})));
    assert!(
        probability(&seldom, "low_outdoor_airflow") < probability(&often, "low_outdoor_airflow")
    );
}

#[test]
fn the_version_is_given_back() {
    let told = assessed(&with("/priors", json!({"no_fault": 0.5, "version": "priors-4"})));
    assert_eq!(told.priors, "priors-4");
    assert_eq!(assessed(&document()).priors, DEFAULT_PRIORS);
}

#[test]
fn what_is_not_given_stays_as_published_and_all_make_one() {
    let mut priors = Priors::default();
    let pairs = CAUSES.iter().zip(priors.shares());
    assert!(pairs.into_iter().all(|(it, share)| (it.prior - share).abs() < 1e-12));
    priors.set(CauseName::LowCharge, 0.9);
    let sum: f64 = priors.shares().iter().sum();
    assert!((sum - 1.0).abs() < 1e-12);
    assert_eq!(priors.given(CauseName::LowCharge), Some(0.9));
}

#[test]
fn a_cause_that_is_ruled_out_beforehand_is_never_named() {
    let stage = found(&with("/priors", json!({"low_outdoor_airflow": 0.0})));
    assert!(stage.causes.iter().all(|it| !it.cause.contains("low_outdoor_airflow")));
    assert!(!stage.causes.is_empty());
}

#[test]
fn priors_that_add_up_to_nothing_are_no_priors() {
    let all: serde_json::Map<String, serde_json::Value> =
        CAUSES.iter().map(|it| (it.key.to_owned(), json!(0.0))).collect();
    let told = found(&with("/priors", json!(all)));
    assert_eq!(told.causes, found(&document()).causes);
}

#[test]
fn two_causes_are_one_word_in_either_order() {
    let pair = Some((CauseName::LowCharge, Some(CauseName::LowIndoorAirflow)));
    assert_eq!(causes_of("low_charge+low_indoor_airflow"), pair);
    assert_eq!(causes_of("low_indoor_airflow+low_charge"), pair);
    assert_eq!(causes_of("no_fault"), Some((CauseName::NoFault, None)));
    for nonsense in ["", "low_charge+", "low_charge+low_charge", "no_fault+low_charge", "a"] {
        assert_eq!(causes_of(nonsense), None, "{nonsense}");
    }
}
