//! Reading a document: what is refused, and how.

use fairweather::engine::case::{CaseError, read_case};
use fairweather::engine::points::PointKey;
use serde_json::{Value, json};

use super::nominal_case::{changed, document, with};

#[track_caller]
fn refused(document: &Value) -> CaseError {
    read_case(document).expect_err("a refusal")
}

#[test]
fn a_reading_beyond_its_range_names_field_value_and_what_is_accepted() {
    let error = refused(&with("/as_found/return_wb_f", 140));
    assert_eq!(error.field, "as_found.return_wb_f");
    assert_eq!(*error.given, json!(140));
    assert_eq!(error.accepted, "32 to 90 degF");
}

#[test]
fn unknown_fields_are_refused_at_every_depth() {
    for (pointer, field) in [
        ("/colour", "colour"),
        ("/system/colour", "system.colour"),
        ("/site/colour", "site.colour"),
        ("/as_found/colour", "as_found.colour"),
        ("/instruments/colour", "instruments.colour"),
        ("/taken_min/colour", "taken_min.colour"),
    ] {
        assert_eq!(refused(&with(pointer, json!({}))).field, field);
    }
}

#[test]
fn wrong_types_are_refused() {
    for (pointer, value) in [
        ("/id", json!(7)),
        ("/mode", json!("heating")),
        ("/system", json!([])),
        ("/system/phases", json!(1.5)),
        ("/system/kind", json!("window")),
        ("/as_found/return_db_f", json!("76")),
        ("/as_found/return_db_f", json!(true)),
        ("/unchanged", json!("return_db_f")),
        ("/unchanged", json!(["colour"])),
        ("/circumstances", json!({"as_found": ["rain"]})),
        ("/observations", json!({"as_found": {"roof": "in_order"}})),
        ("/observations", json!({"as_found": {"duct_gaps": "yes"}})),
        ("/instruments/return_db_f", json!(-1)),
    ] {
        let error = refused(&with(pointer, value));
        assert!(!error.field.is_empty() && !error.accepted.is_empty(), "{error:?}");
    }
    assert_eq!(refused(&json!([])).accepted, "an object");
}

#[test]
fn an_unknown_refrigerant_is_refused_with_the_list_of_those_known() {
    let error = refused(&with("/system/refrigerant", "R-438A"));
    assert_eq!(error.field, "system.refrigerant");
    assert!(error.accepted.contains("R-454B") && error.accepted.contains("R-22"));
}

#[test]
fn only_kind_refrigerant_and_metering_are_required() {
    let facts = json!({"kind": "split_heat_pump", "refrigerant": "R-32", "metering": "capillary"});
    assert!(read_case(&json!({"system": facts})).is_ok());
    for name in ["kind", "refrigerant", "metering"] {
        let mut lacking = facts.clone();
        lacking.as_object_mut().unwrap().remove(name);
        assert_eq!(refused(&json!({"system": lacking})).field, format!("system.{name}"));
    }
    assert_eq!(refused(&json!({})).field, "system");
}

#[test]
fn a_null_is_a_fact_that_is_not_known() {
    let unknown = with("/system/seer2", Value::Null);
    let unknown = changed(unknown, "/as_found/supply_db_f", Value::Null);
    let case = read_case(&unknown).unwrap();
    assert_eq!(case.system.seer2, None);
    assert!(!case.as_found.contains_key(&PointKey::SupplyDbF));
}

#[test]
fn a_crooked_superheat_chart_is_refused() {
    for chart in [
        json!({"outdoor_db_f": [90, 80], "return_wb_f": [60, 70], "superheat_f": [[1, 2], [3, 4]]}),
        json!({"outdoor_db_f": [80, 90], "return_wb_f": [60, 70], "superheat_f": [[1, 2]]}),
        json!({"outdoor_db_f": [80], "return_wb_f": [60, 70], "superheat_f": [[1, 2]]}),
    ] {
        let error = refused(&with("/system/superheat_chart", chart));
        assert_eq!(error.field, "system.superheat_chart");
    }
}

#[test]
fn a_blank_cell_of_a_chart_is_read() {
    let chart = json!({"outdoor_db_f": [80, 90], "return_wb_f": [60, 70], "superheat_f": [[9, 12], [null, 8]]});
    let case = read_case(&with("/system/superheat_chart", chart)).unwrap();
    assert_eq!(case.system.superheat_chart.unwrap().superheat_f[1], [None, Some(8.0)]);
}

#[test]
fn unchanged_must_name_what_was_read_as_found_and_not_again() {
    assert_eq!(refused(&with("/unchanged", json!(["drier_in_f"]))).field, "unchanged");
    let twice = with("/unchanged", json!(["return_db_f"]));
    let twice = changed(twice, "/as_left", json!({"return_db_f": 75}));
    assert_eq!(refused(&twice).field, "unchanged");
}

#[test]
fn a_case_comes_back_as_it_was_stored() {
    let case = read_case(&document()).unwrap();
    let stored = serde_json::to_string(&case).unwrap();
    assert_eq!(serde_json::from_str::<fairweather::engine::case::Case>(&stored).unwrap(), case);
}

#[test]
fn an_observation_that_comes_to_nothing_known_names_what_is_accepted() {
    let error = refused(&with("/observations/as_found/duct_gaps", "bad"));
    assert_eq!(error.field, "observations.as_found.duct_gaps");
    assert_eq!(error.accepted, "in_order, fixed, attention, not_accessible, does_not_apply");
}
