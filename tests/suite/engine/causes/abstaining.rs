//! Where nobody could know, no cause is named, and what is needed is said.

use fairweather::engine::assessment::StageAssessment;
use serde_json::{Value, json};

use super::{cause, changed, document, first, found, probability, visit_of, with, without};

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

/// A superheat that a valve may still have by itself, or for want of feed.
#[test]
fn several_causes_alike_are_told_as_such_with_the_reading_that_would_help() {
    let document = visit_of("txv", "meter_underfeed", 0.7);
    let document = changed(document, "/as_found/suction_line_f", 68.5);
    let why = why(&document);
    assert!(why.contains("several causes alike") && why.contains('%'), "{why}");
    assert!(why.contains("would tell most"), "{why}");
}

#[test]
fn fewer_readings_widen_the_answer_and_never_break_it() {
    let full = visit_of("txv", "undercharge", 0.75);
    let of_all = found(&full);
    for point in ["supply_db_f", "discharge_line_f", "suction_line_f", "condenser_leaving_f"] {
        let stage = found(&changed(full.clone(), &format!("/as_found/{point}"), Value::Null));
        assert_eq!(first(&stage), "low_charge", "{point}");
        assert!(stage.expected.len() < of_all.expected.len());
    }
    let without_liquid = found(&changed(full, "/as_found/liquid_line_f", Value::Null));
    assert!(probability(&without_liquid, "low_charge") < probability(&of_all, "low_charge"));
    let u = |it: &StageAssessment| cause(it, "low_charge").severity.clone().unwrap().u;
    if !without_liquid.causes.is_empty() {
        assert!(u(&of_all) < u(&without_liquid));
    }
}

#[test]
fn no_charge_is_told_from_air_alone() {
    let mut document = visit_of("txv", "undercharge", 0.7);
    for point in ["suction_pressure_psig", "liquid_pressure_psig"] {
        document = changed(document, &format!("/as_found/{point}"), Value::Null);
    }
    assert!(why(&document).contains("suction pressure"));
}

#[test]
fn where_nobody_noted_the_stage_it_is_asked_for() {
    let document = with("/system/compressor_stages", 2);
    let unknown = changed(document.clone(), "/system/running_stage", Value::Null);
    assert!(why(&unknown).contains("Note the stage"));
    assert_eq!(first(&found(&document)), "no_fault");
}

#[test]
fn one_hot_reading_condemns_no_compressor() {
    let mut document = visit_of("txv", "none", 0.0);
    let hot = document["as_found"]["discharge_line_f"].as_f64().unwrap() + 35.0;
    document["as_found"]["discharge_line_f"] = json!(hot);
    let why = why(&document);
    assert!(why.contains("stands alone") && why.contains("discharge line"), "{why}");
}

#[test]
fn swapped_clamps_are_no_lack_of_charge() {
    let mut document = document();
    let readings = &mut document["as_found"];
    let (suction, liquid) = (readings["suction_line_f"].clone(), readings["liquid_line_f"].clone());
    readings["suction_line_f"] = liquid;
    readings["liquid_line_f"] = suction;
    assert!(why(&document).contains("fit neither"));
}
