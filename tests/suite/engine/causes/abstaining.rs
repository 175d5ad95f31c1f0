//! Where nobody could know, no cause is named, and what is needed is said.

use serde_json::{Value, json};

use super::{changed, document, first, found, probability, visit_of, with, without};

fn why(document: &Value) -> String {
    let stage = found(document);
    assert!(stage.causes.is_empty(), "{:?}", stage.causes);
    stage.abstained.unwrap()
}

#[test]
fn a_healthy_visit_is_called_healthy() {
    let stage = found(&document());
    assert_eq!(stage.abstained, None);
    assert_eq!(first(&stage), "no_fault");
}

#[test]
fn probabilities_are_sorted_and_make_one() {
    for document in [document(), with("/as_found/liquid_line_f", 108.0)] {
        let stage = found(&document);
        let sum: f64 = stage.causes.iter().map(|it| it.probability).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert!(stage.causes.is_sorted_by(|one, other| other.probability <= one.probability));
        assert!(stage.causes.len() >= 9);
    }
}

#[test]
fn on_a_cold_day_no_cause_is_named() {
    let why = why(&with("/as_found/outdoor_db_f", 50.0));
    assert!(why.contains("Can't tell") && why.contains("50 °F outdoors"), "{why}");
}

#[test]
fn before_it_has_settled_no_cause_is_named() {
    let why = why(&with("/as_found/settled_min", 4.0));
    assert!(why.contains("4 minutes"), "{why}");
}

#[test]
fn what_spoils_the_readings_is_said() {
    let why = why(&with("/circumstances", json!({"as_found": ["condenser_coil_wet"]})));
    assert!(why.contains("outdoor coil is wet"), "{why}");
}

#[test]
fn without_gauges_the_readings_that_are_needed_are_named() {
    let mut document = without("/as_found/suction_pressure_psig");
    for point in ["liquid_pressure_psig", "supply_db_f", "airflow_cfm"] {
        document = changed(document, &format!("/as_found/{point}"), Value::Null);
    }
    let why = why(&document);
    assert!(why.contains("suction pressure") && why.contains("liquid"), "{why}");
}

#[test]
fn a_ductless_unit_is_not_compared_with_what_nobody_publishes() {
    let document = with("/system/kind", "ductless");
    assert!(why(&document).contains("ductless"));
}

#[test]
fn another_refrigerant_inside_keeps_causes_back() {
    // Pressures of R-22 at the same temperatures on a plate that says R-410A.
    let document = with("/as_found/suction_pressure_psig", 72.0);
    let document = changed(document, "/as_found/liquid_pressure_psig", 215.0);
    let stage = found(&document);
    assert!(stage.causes.is_empty(), "{:?}", stage.causes);
}

#[test]
fn an_impossible_reading_takes_no_part() {
    // A wet bulb above the dry bulb.
    let document = with("/as_found/return_wb_f", 80.0);
    let stage = found(&document);
    let leaning = ["return_minus_saturation_f", "temperature_split_f"];
    assert!(stage.expected.iter().all(|it| !leaning.contains(&&*it.measure)));
}

#[test]
fn readings_that_fit_nothing_are_said_to_fit_nothing() {
    let document = with("/as_found/suction_line_f", 110.0);
    let document = changed(document, "/as_found/liquid_line_f", 60.0);
    let why = why(&document);
    assert!(why.contains("fit neither"), "{why}");
}

#[test]
fn several_causes_alike_are_told_as_such_with_the_reading_that_would_help() {
    let document = [
        "supply_db_f",
        "airflow_cfm",
        "discharge_line_f",
        "compressor_amps",
        "static_after_filter_inwc",
    ]
    .iter()
    .fold(document(), |document, point| {
        changed(document, &format!("/as_found/{point}"), Value::Null)
    });
    let document = changed(document, "/as_found/liquid_pressure_psig", 420.0);
    let document = changed(document, "/as_found/liquid_line_f", 103.0);
    let stage = found(&document);
    if stage.causes.is_empty() {
        let why = stage.abstained.unwrap();
        assert!(why.contains("several causes alike") && why.contains('%'), "{why}");
    } else {
        assert!(stage.causes[0].probability >= 0.4);
        assert!(stage.causes[0].tell_apart.is_some());
    }
}

#[test]
fn fewer_readings_widen_the_answer_and_never_break_it() {
    let full = visit_of("txv", "undercharge", 0.75);
    let of_all = found(&full);
    assert_eq!(first(&of_all), "low_charge");
    for point in ["supply_db_f", "discharge_line_f", "liquid_line_f", "suction_line_f"] {
        let fewer = changed(full.clone(), &format!("/as_found/{point}"), Value::Null);
        let stage = found(&fewer);
        assert!(stage.causes.iter().all(|it| it.probability.is_finite()));
        let severity = |it: &fairweather::engine::assessment::StageAssessment| {
            it.causes.iter().find(|it| it.cause == "low_charge").and_then(|it| it.severity.clone())
        };
        if let (Some(all), Some(part)) = (severity(&of_all), severity(&stage)) {
            assert!(all.u <= part.u + 0.5, "{point}: {all:?} {part:?}");
        }
    }
    let without_liquid = changed(full, "/as_found/liquid_line_f", Value::Null);
    assert!(
        probability(&found(&without_liquid), "low_charge") < probability(&of_all, "low_charge")
    );
}

#[test]
fn refrigerant_readings_never_speak_of_ducts() {
    let stage = found(&with("/as_found/suction_pressure_psig", 95.0));
    assert!(stage.causes.iter().all(|it| !it.cause.contains("duct")));
}
