//! Filter, coil and ducts.

use fairweather::engine::case::LookedAt;
use fairweather::engine::conditions::ConditionName::{
    ClosedOrUndersizedDucts, DirtyFilter, DuctLeakage, RestrictedCoil,
};
use serde_json::{Value, json};

use super::super::nominal_case::{changed, document, with};
use super::{found, is_unsaid, seen, share};

fn with_all(fields: &[(&str, f64)]) -> Value {
    fields.iter().fold(document(), |document, (key, value)| {
        changed(document, &format!("/as_found/{key}"), *value)
    })
}

#[test]
fn a_filter_that_takes_too_much_is_probably_dirty_and_taking_it_out_would_settle_it() {
    let condition = found(&with("/as_found/static_after_filter_inwc", -0.28), DirtyFilter);
    assert!(condition.probability > 0.7, "{condition:?}");
    assert_eq!(condition.evidence_for, ["filter_drop_inwc"]);
    assert_eq!(condition.tell_apart.as_deref(), Some("static_filter_out_inwc"));
}

#[test]
fn a_filter_that_was_replaced_cant_be_read_as_it_was_any_more() {
    let drop = with("/as_found/static_after_filter_inwc", -0.28);
    let replaced = changed(drop, "/observations/as_found/filter_condition", "fixed");
    assert_eq!(found(&replaced, DirtyFilter).tell_apart, None);
}

#[test]
fn what_is_relieved_without_the_filter_and_its_drop_count_once() {
    // Both lean on the static behind the filter: the second says nearly the same again.
    let drop = with("/as_found/static_after_filter_inwc", -0.35);
    let alone = found(&drop, DirtyFilter);
    let out = changed(drop, "/as_found/static_filter_out_inwc", -0.12);
    let both = found(&out, DirtyFilter);
    assert!((both.probability - alone.probability).abs() < 0.05, "{alone:?} {both:?}");
    assert_eq!(both.tell_apart, None);
}

#[test]
fn without_a_tap_before_the_filter_taking_it_out_tells_alone() {
    let document =
        with_all(&[("static_after_filter_inwc", -0.40), ("static_filter_out_inwc", -0.14)]);
    let document = changed(document, "/as_found/static_return_inwc", Value::Null);
    let condition = found(&document, DirtyFilter);
    assert_eq!(condition.evidence_for, ["filter_out_gain_inwc"]);
    assert!(condition.probability > 0.8, "{condition:?}");
}

#[test]
fn eyes_and_manometer_on_a_filter_are_two_witnesses() {
    let drop = with("/as_found/static_after_filter_inwc", -0.28);
    let alone = share(&drop, DirtyFilter);
    let dirty = changed(drop.clone(), "/observations/as_found/filter_condition", "fixed");
    let clean = changed(drop, "/observations/as_found/filter_condition", "in_order");
    assert!(share(&clean, DirtyFilter) < alone && alone < share(&dirty, DirtyFilter));
}

#[test]
fn the_owners_own_limit_of_the_filter_counts() {
    use fairweather::engine::assess;
    use fairweather::engine::limits::{LimitBook, LimitName};
    let case = super::super::nominal_case::case(&with("/as_found/static_after_filter_inwc", -0.28));
    let wide = LimitBook::default().changed(LimitName::FilterDropHigh, 0.3, "own").unwrap();
    assert_eq!(super::found_in(&assess(&case, &wide).as_found, DirtyFilter), None);
}

/// A coil with a table of its own, at a measured airflow of 800 cfm.
fn coil_of_drop(drop: f64) -> Value {
    let table = json!({"cfm": 800, "drop_wet_inwc": 0.2});
    let after = 0.06;
    changed(
        with("/system/coil_reference", table),
        "/as_found/static_before_coil_inwc",
        after + drop,
    )
}

#[test]
fn a_coil_is_held_against_its_own_table_at_the_airflow_of_the_day() {
    let condition = found(&coil_of_drop(0.40), RestrictedCoil);
    assert_eq!(condition.evidence_for, ["coil_drop_ratio"]);
    assert!(is_unsaid(&coil_of_drop(0.20), RestrictedCoil));
    // The same drop at more air is the air's.
    let more_air = changed(coil_of_drop(0.40), "/as_found/airflow_cfm", 1130);
    assert!(is_unsaid(&more_air, RestrictedCoil));
}

/// A coil without a table; only its past tells what it drops clean.
fn coil_with_a_past(drop: f64, then: f64, airflow_then: f64) -> Value {
    let mut before = document();
    before["as_found"]["static_before_coil_inwc"] = json!(0.06 + then);
    before["as_found"]["airflow_cfm"] = json!(airflow_then);
    let now = with("/as_found/static_before_coil_inwc", 0.06 + drop);
    let now = changed(now, "/instruments/airflow_cfm", 20);
    changed(now, "/history", json!([before]))
}

#[test]
fn a_coil_that_drops_more_than_it_once_did_at_like_air_is_probably_restricted() {
    // Under the budget of 0.25 and yet thrice what it was.
    let condition = found(&coil_with_a_past(0.24, 0.08, 800.0), RestrictedCoil);
    assert_eq!(condition.evidence_for, ["coil_drop_inwc"]);
    assert!(condition.probability > 0.4, "{condition:?}");
    assert!(is_unsaid(&coil_with_a_past(0.24, 0.22, 800.0), RestrictedCoil));
    // It dropped less because there was less air.
    assert!(is_unsaid(&coil_with_a_past(0.24, 0.11, 540.0), RestrictedCoil));
}

#[test]
fn where_no_airflow_was_read_the_static_of_the_supply_ducts_tells_like_air() {
    let strip = |mut document: Value| {
        document["as_found"].as_object_mut().unwrap().remove("airflow_cfm");
        document["history"][0]["as_found"].as_object_mut().unwrap().remove("airflow_cfm");
        document["as_found"]["static_after_coil_inwc"] = json!(0.20);
        document["as_found"]["static_before_coil_inwc"] = json!(0.44);
        document["history"][0]["as_found"]["static_after_coil_inwc"] = json!(0.20);
        document["history"][0]["as_found"]["static_before_coil_inwc"] = json!(0.28);
        document
    };
    let grown = strip(coil_with_a_past(0.24, 0.08, 800.0));
    assert!(found(&grown, RestrictedCoil).probability > 0.3);
    // A past that waits for a repair is no past.
    let waiting = json!({"as_found": ["static_after_coil_inwc"]});
    let no_past = changed(grown, "/history/0/read_after_repair", waiting);
    assert!(is_unsaid(&no_past, RestrictedCoil));
}

#[test]
fn of_a_long_past_the_newest_visits_are_looked_at_and_those_come_first() {
    let mut document = coil_with_a_past(0.24, 0.08, 800.0);
    let clean = document["history"][0].clone();
    let as_now = coil_with_a_past(0.24, 0.24, 800.0)["history"][0].clone();
    let mut past = vec![as_now; 40];
    past.insert(0, clean);
    document["history"] = json!(past);
    assert!(found(&document, RestrictedCoil).probability > 0.4);
    past.rotate_left(1);
    document["history"] = json!(past);
    assert!(is_unsaid(&document, RestrictedCoil), "forty visits ago is too long ago");
}

#[test]
fn an_odd_history_says_nothing_and_harms_nothing() {
    for past in [
        json!({}),
        json!({"as_found": 7, "as_left": []}),
        json!({"as_found": {"static_before_coil_inwc": "0.3", "static_after_coil_inwc": null}}),
        json!({"as_found": {"static_before_coil_inwc": 1e300, "static_after_coil_inwc": -1e300}}),
        json!({"as_found": {"static_before_coil_inwc": 0.1, "static_after_coil_inwc": 0.1}}),
    ] {
        assert_eq!(super::all_found(&with("/history", json!([past]))), [""; 0], "{past}");
    }
}

#[test]
fn ducts_that_take_too_much_are_told_by_the_side_that_takes_it() {
    let supply = with_all(&[("static_after_coil_inwc", 0.30), ("static_before_coil_inwc", 0.49)]);
    let condition = found(&supply, ClosedOrUndersizedDucts);
    assert_eq!(condition.evidence_for, ["supply_static_inwc", "external_static_inwc"]);
    assert!(condition.probability > 0.6, "{condition:?}");
    let back = with_all(&[("static_return_inwc", -0.30), ("static_after_filter_inwc", -0.36)]);
    let condition = found(&back, ClosedOrUndersizedDucts);
    assert_eq!(condition.evidence_for, ["return_static_inwc", "external_static_inwc"]);
}

#[test]
fn a_high_external_static_that_filter_or_coil_explains_is_no_matter_of_the_ducts() {
    for field in [("static_after_filter_inwc", -0.45), ("static_before_coil_inwc", 0.55)] {
        assert!(is_unsaid(&with_all(&[field]), ClosedOrUndersizedDucts), "{field:?}");
    }
}

#[test]
fn what_the_cabinet_is_rated_with_leaves_the_ducts_more() {
    let supply = |cabinet: &str| {
        let document = with_all(&[("static_after_coil_inwc", 0.18)]);
        is_unsaid(&changed(document, "/system/cabinet", cabinet), ClosedOrUndersizedDucts)
    };
    assert!(!supply("furnace_with_cased_coil"));
    assert!(supply("air_handler"));
}

#[test]
fn warm_air_between_grille_and_plenum_speaks_for_a_leak_and_its_absence_says_little() {
    let warm = found(&with("/as_found/return_grille_db_f", 68), DuctLeakage);
    assert_eq!(warm.evidence_for, ["return_duct_gain_f"]);
    let smoke = seen(LookedAt::DuctSmokeTest, "attention");
    let alone = share(&smoke, DuctLeakage);
    let no_gain = changed(smoke, "/as_found/return_grille_db_f", 76);
    assert!(share(&no_gain, DuctLeakage) > 0.7 * alone);
}

#[test]
fn cold_air_that_comes_out_warm_speaks_for_a_leak() {
    let loss = found(&with("/as_found/supply_register_db_f", 65), DuctLeakage);
    assert_eq!(loss.evidence_for, ["supply_duct_loss_f"]);
    assert_eq!(loss.tell_apart.as_deref(), Some("return_grille_db_f"));
}

#[test]
fn air_that_is_colder_at_the_register_than_at_the_coil_is_no_leak() {
    assert!(is_unsaid(&with("/as_found/supply_register_db_f", 48), DuctLeakage));
}

#[test]
fn temperatures_along_a_duct_say_nothing_before_the_system_has_settled() {
    let gain = with("/as_found/return_grille_db_f", 66);
    assert!(!is_unsaid(&gain, DuctLeakage));
    assert!(is_unsaid(&changed(gain, "/as_found/settled_min", 4), DuctLeakage));
}

#[test]
fn a_smoke_test_tells_more_than_temperatures() {
    let smoke = found(&seen(LookedAt::DuctSmokeTest, "attention"), DuctLeakage);
    assert!(smoke.probability > 0.8, "{smoke:?}");
    let sound = with("/as_found/return_grille_db_f", 71);
    let sound = changed(sound, "/observations/as_found/duct_smoke_test", "in_order");
    assert!(is_unsaid(&sound, DuctLeakage));
}

#[test]
fn eyes_and_smoke_at_the_joints_count_once() {
    let smoke = seen(LookedAt::DuctSmokeTest, "attention");
    let alone = share(&smoke, DuctLeakage);
    let both = changed(smoke, "/observations/as_found/duct_gaps", "attention");
    assert!((share(&both, DuctLeakage) - alone).abs() < 1e-9);
}

#[test]
fn a_ductless_unit_has_no_ducts() {
    let document = seen(LookedAt::DuctGaps, "attention");
    let ductless = changed(document, "/system/kind", "ductless");
    assert!(is_unsaid(&ductless, DuctLeakage));
}
