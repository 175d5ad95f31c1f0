//! A system's own earlier visits say what it shows when nothing is wrong.

use serde_json::{Value, json};

use super::{changed, document, first, found, probability, with};

/// The healthy visit of a system that condenses 7 degF higher than its class.
fn hot_condenser() -> Value {
    with("/as_found/liquid_pressure_psig", 392.0)
}

fn hot_condenser_with_liquid() -> Value {
    changed(hot_condenser(), "/as_found/liquid_line_f", 105.0)
}

fn with_past(document: Value, past: &[Value]) -> Value {
    changed(document, "/history", json!(past))
}

fn confirmed(mut document: Value, cause: &str) -> Value {
    document["truth"] = json!({"cause": cause});
    document
}

#[test]
fn what_a_system_always_showed_is_no_fault_of_it() {
    let today = hot_condenser_with_liquid();
    let alone = found(&today);
    let past = confirmed(today.clone(), "no_fault");
    let known = found(&with_past(today, &[past.clone(), past.clone(), past]));
    assert!(probability(&alone, "no_fault") < probability(&known, "no_fault"));
    assert_eq!(first(&known), "no_fault");
    assert_eq!(known.history_used, 3);
}

#[test]
fn what_it_never_showed_stands_out_the_more() {
    let past = confirmed(document(), "no_fault");
    let today = hot_condenser_with_liquid();
    let alone = found(&today);
    let known = found(&with_past(today, &[past.clone(), past.clone(), past]));
    assert!(probability(&known, "no_fault") < probability(&alone, "no_fault"));
}

#[test]
fn each_healthy_visit_narrows_the_expectation() {
    let past = confirmed(document(), "no_fault");
    let u = |count: usize| {
        let stage = found(&with_past(document(), &vec![past.clone(); count]));
        stage.expected.iter().find(|it| it.measure == "subcooling_f").unwrap().u
    };
    assert!(u(1) < u(0) && u(2) < u(1) && u(4) < u(2));
    assert!(1.0 < u(4), "what stays from day to day is never learnt away");
}

#[test]
fn a_visit_with_a_confirmed_fault_teaches_nothing_as_found() {
    let past = confirmed(document(), "low_charge");
    let stage = found(&with_past(document(), &[past]));
    assert_eq!(stage.history_used, 0);
    assert!(stage.history_left_out[0].contains("something was wrong as found"));
}

#[test]
fn what_was_read_after_the_repair_serves() {
    let mut past = confirmed(document(), "low_charge");
    past["as_left"] = past["as_found"].clone();
    let stage = found(&with_past(document(), &[past]));
    assert_eq!((stage.history_used, stage.history_left_out.len()), (1, 0));
}

#[test]
fn a_visit_that_nobody_confirmed_must_look_healthy_by_itself() {
    let ill = changed(document(), "/as_found/liquid_line_f", 109.0);
    let stage = found(&with_past(document(), &[ill, document()]));
    assert_eq!(stage.history_used, 1);
    assert!(stage.history_left_out[0].contains("history[0]"));
}

#[test]
fn another_refrigerant_or_device_is_another_system() {
    let past = confirmed(with("/system/refrigerant", "R-22"), "no_fault");
    let stage = found(&with_past(document(), &[past]));
    assert!(stage.history_left_out[0].contains("another refrigerant"), "{stage:?}");
}

#[test]
fn an_earlier_visit_that_is_no_document_is_named_and_left_out() {
    let stage =
        found(&with_past(document(), &[json!({"a": 1}), confirmed(document(), "no_fault")]));
    assert_eq!(stage.history_used, 1);
    assert!(stage.history_left_out[0].starts_with("history[0]"));
}

#[test]
fn an_earlier_visits_findings_and_own_past_may_stand_in_it() {
    let mut past = confirmed(document(), "no_fault");
    past["findings"] = json!(["weak_capacitor"]);
    past["history"] = json!([document()]);
    let stage = found(&with_past(document(), &[past]));
    assert_eq!((stage.history_used, stage.history_left_out.len()), (1, 0));
}

#[test]
fn the_truth_of_the_document_itself_is_never_looked_at() {
    for truth in [json!("low_charge"), json!({"cause": "no_fault"}), json!("nonsense")] {
        assert_eq!(found(&with("/truth", truth)), found(&document()));
    }
}
