//! Reading the truth of a document.

use fairweather::engine::causes::CAUSES;
use fairweather::scoring::outcome::Impact;
use fairweather::scoring::truth::read_truth;
use serde_json::{Value, json};

use super::{named, truth};

#[track_caller]
fn refused(value: &Value) -> String {
    read_truth(value).expect_err("it should be refused").to_string()
}

#[test]
fn a_word_alone_is_a_truth() {
    for word in ["no_fault", "low_charge", "low_charge+low_indoor_airflow"] {
        let it = truth(&json!(word));
        assert_eq!((it.cause, it.impact, it.severity), (named(word), Impact::NotGiven, None));
    }
}

#[test]
fn two_causes_are_the_same_in_either_order() {
    let (one, other) = ("low_charge+low_indoor_airflow", "low_indoor_airflow+low_charge");
    assert_eq!(truth(&json!(one)), truth(&json!({"cause": other})));
}

#[test]
fn an_object_says_how_bad_and_what_it_cost_and_when() {
    let it = truth(&json!({
        "cause": "low_charge", "severity": -20, "capacity_ratio": 0.93, "efficiency_ratio": 0.95,
        "conditions": "95 and 80"
    }));
    assert_eq!(it.severity, Some(-20.0));
    assert_eq!(it.impact, Impact::From5);
    assert_eq!(it.conditions.as_deref(), Some("95 and 80"));
    assert!(it.unused.is_empty());
}

#[test]
fn what_is_blank_is_not_known() {
    let it = truth(&json!({"cause": "low_charge", "severity": null, "capacity_ratio": null}));
    assert_eq!((it.severity, it.impact), (None, Impact::NotGiven));
}

#[test]
fn every_fault_has_a_severity_with_one_sign_only() {
    let less =
        ["low_charge", "low_indoor_airflow", "low_outdoor_airflow", "compressor_not_pumping"];
    for key in CAUSES.iter().map(|it| it.key).filter(|it| *it != "no_fault") {
        let sign = if less.contains(&key) { -1.0 } else { 1.0 };
        let it = truth(&json!({"cause": key, "severity": sign * 20.0}));
        assert_eq!(it.severity, Some(sign * 20.0), "{key}");
        let message = refused(&json!({"cause": key, "severity": sign * -20.0}));
        assert!(message.contains("truth.severity") && message.contains(key), "{message}");
    }
}

#[test]
fn a_truth_that_is_none_is_refused_with_field_given_and_accepted() {
    for (value, sentence) in [
        (json!("lowcharge"), "truth: \"lowcharge\" can't stand here; accepted: the word"),
        (json!({}), "truth.cause: nothing can't stand here; accepted: the word"),
        (json!({"cause": ["low_charge"]}), "truth.cause: a list can't stand here"),
        (json!("no_fault+low_charge"), "truth: \"no_fault+low_charge\" can't stand here"),
        (
            json!({"cause": "low_charge", "severity": "much"}),
            "truth.severity: \"much\" can't stand here; accepted: a number below 0, % of charge",
        ),
        (
            json!({"cause": "low_charge", "capacity_ratio": 93}),
            "truth.capacity_ratio: 93 can't stand here; accepted: 0 to 2",
        ),
        (
            json!({"cause": "low_charge", "efficiency_ratio": "x"}),
            "truth.efficiency_ratio: \"x\" can't stand here",
        ),
        (json!({"cause": "low_charge", "conditions": "x".repeat(201)}), "truth.conditions: \"xxx"),
        (json!({"cause": "low_charge", "conditions": ""}), "truth.conditions: \"\""),
    ] {
        let message = refused(&value);
        assert!(message.starts_with(sentence), "{message}");
        assert!(message.chars().count() < 250, "{message}");
    }
}

#[test]
fn what_the_score_makes_no_use_of_is_named_and_not_fatal() {
    let mut it = truth(&json!({"cause": "low_charge", "simulator": "none", "row": 7}));
    it.unused.sort();
    assert_eq!(it.unused, ["row", "simulator"]);
}

#[test]
fn the_severity_of_two_at_once_or_of_none_is_not_used_unless_it_is_nothing() {
    for cause in ["low_charge+low_indoor_airflow", "no_fault"] {
        let it = truth(&json!({"cause": cause, "severity": -20}));
        assert_eq!((it.severity, it.unused.len()), (None, 1), "{cause}");
        assert!(truth(&json!({"cause": cause, "severity": 0})).unused.is_empty(), "{cause}");
    }
}
