//! A system's own earlier visits say what it shows when nothing is wrong.

use serde_json::{Value, json};

use super::simulated::{self, Errors, GOOD, Row};
use super::{changed, document, first, found, probability, visit_of, with};

/// The healthy visit of a system that condenses 7 degF higher than its class.
fn hot_condenser() -> Value {
    with("/as_found/liquid_pressure_psig", 392.0)
}

fn hot_condenser_with_liquid() -> Value {
    changed(hot_condenser(), "/as_found/liquid_line_f", 105.0)
}

/// Earlier visits, each with an id of its own.
fn with_past(document: Value, past: &[Value]) -> Value {
    let numbered = past
        .iter()
        .enumerate()
        .map(|(index, it)| changed(it.clone(), "/id", format!("visit {index}")));
    changed(document, "/history", json!(numbered.collect::<Vec<_>>()))
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
    for (pointer, value, word) in [
        ("/system/refrigerant", json!("R-22"), "refrigerant"),
        ("/system/metering", json!("fixed_orifice"), "metering device"),
        ("/system/kind", json!("packaged_air_conditioner"), "kind"),
        ("/system/nominal_tons", json!(5.0), "size"),
        ("/system/target_subcooling_f", json!(14.0), "target subcooling"),
    ] {
        let past = confirmed(with(pointer, value), "no_fault");
        let stage = found(&with_past(document(), &[past]));
        assert_eq!(stage.history_used, 0, "{word}");
        assert!(stage.history_left_out[0].contains(word), "{:?}", stage.history_left_out);
    }
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

/// Who repairs something and writes down that nothing was wrong must not teach the fault.
#[test]
fn a_confirmation_that_the_readings_contradict_is_not_believed() {
    let ill = visit_of("txv", "undercharge", 0.7);
    let stage = found(&with_past(ill.clone(), &[confirmed(ill, "no_fault")]));
    assert_eq!(first(&stage), "low_charge");
    assert!(stage.history_left_out[0].contains("its readings say otherwise"));
}

#[test]
fn one_visit_teaches_once() {
    let past = confirmed(document(), "no_fault");
    let stage = found(&changed(document(), "/history", json!([past, past, past])));
    assert_eq!((stage.history_used, stage.history_left_out.len()), (1, 2));
    assert!(stage.history_left_out[0].contains("once more"));
}

#[test]
fn a_truth_that_nobody_knows_is_named() {
    let stage = found(&with_past(document(), &[confirmed(document(), "leak")]));
    assert_eq!(stage.history_used, 0);
    assert!(stage.history_left_out[0].contains("no cause that is known"));
}

/// A system that loses 4 % a year, judged by the program alone each year.
#[test]
fn a_slow_leak_is_no_habit_of_the_system() {
    let mut errors = Errors::new(GOOD, 21);
    let rows = simulated::rows();
    let row = |fault: &str, level: &str| {
        let is_it =
            |it: &&Row| it["device"] == "txv" && it["fault"] == fault && it["level"] == level;
        rows.iter().find(is_it).expect("a row")
    };
    let years = [("none", "0.0"), ("undercharge", "0.9"), ("undercharge", "0.85")];
    let mut past = Vec::new();
    for (fault, level) in years {
        let row = row(fault, level);
        past.insert(0, errors.visit(row, &simulated::readings(row)));
    }
    let row = row("undercharge", "0.8");
    let today = errors.visit(row, &simulated::readings(row));
    let stage = found(&with_past(today, &past));
    assert_eq!(first(&stage), "low_charge", "{:?}", stage.history_left_out);
}
