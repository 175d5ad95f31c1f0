//! External static by kind of cabinet, filter and coil drop, temperature split.

use fairweather::engine::assessment::{Outcome, Side};
use serde_json::{Value, json};

use super::nominal_case::{
    assert_near, assessed, changed, value, verdict, verdict_in, with, without,
};

/// After the filter -0.40, before the coil +0.39, after it +0.14 in. w.c.
fn strangled() -> Value {
    let document = with("/as_found/static_after_filter_inwc", -0.40);
    let document = changed(document, "/as_found/static_before_coil_inwc", 0.39);
    changed(document, "/as_found/static_after_coil_inwc", 0.14)
}

#[test]
fn a_furnace_with_cased_coil_counts_the_coil_as_external() {
    let verdict = verdict(&strangled(), "external_static_inwc");
    assert_near(verdict.value.unwrap(), 0.79, 1e-12);
    assert_near(verdict.u.unwrap(), 0.01 * std::f64::consts::SQRT_2, 1e-9);
    assert_eq!((verdict.outcome, verdict.side), (Outcome::Outside, Some(Side::High)));
    assert_eq!(verdict.reason, "External static 0.79 in. w.c. is above 0.50.");
}

#[test]
fn the_coil_drop_is_the_fall_over_the_coil() {
    assert_near(value(&strangled(), "coil_drop_inwc").unwrap(), 0.25, 1e-12);
}

#[test]
fn a_filter_inside_the_cabinet_does_not_count_as_external() {
    let inside = changed(strangled(), "/system/filter_location", "inside_cabinet");
    assert_near(value(&inside, "external_static_inwc").unwrap(), 0.39 + 0.10, 1e-12);
}

#[test]
fn each_kind_of_cabinet_has_its_own_two_taps() {
    let mut document = strangled();
    document["as_found"]["static_blower_inlet_inwc"] = json!(-0.55);
    for (cabinet, expected) in
        [("air_handler", 0.54), ("blower_with_upstream_coil", 0.69), ("packaged", 0.24)]
    {
        let other = changed(document.clone(), "/system/cabinet", cabinet);
        assert_near(value(&other, "external_static_inwc").unwrap(), expected, 1e-12);
    }
}

#[test]
fn an_unknown_cabinet_leaves_the_static_not_taken() {
    let verdict = verdict(&without("/system/cabinet"), "external_static_inwc");
    assert_eq!(verdict.outcome, Outcome::NotTaken);
    assert!(verdict.reason.contains("kind of cabinet"), "{}", verdict.reason);
}

#[test]
fn a_static_without_a_plate_is_measured_and_not_judged() {
    let unknown = without("/system/max_external_static_inwc");
    assert_eq!(verdict(&unknown, "external_static_inwc").outcome, Outcome::NotTaken);
    assert!(value(&unknown, "external_static_inwc").is_some());
}

#[test]
fn a_clogged_filter_is_outside() {
    let verdict = verdict(&strangled(), "filter_drop_inwc");
    assert_near(verdict.value.unwrap(), 0.30, 1e-12);
    assert_eq!(verdict.outcome, Outcome::Outside);
}

#[test]
fn without_ducts_there_is_no_static_to_judge() {
    let stage = assessed(&with("/system/kind", "ductless")).as_found;
    assert_eq!(verdict_in(&stage, "external_static_inwc"), None);
}

#[test]
fn a_split_far_above_its_target_is_outside_on_the_high_side() {
    let cold = changed(without("/as_found/airflow_cfm"), "/as_found/supply_db_f", 50.0);
    let cold = changed(cold, "/as_found/supply_wb_f", 48.0);
    let verdict = verdict(&cold, "temperature_split_f");
    // The recalled table prints 19.2 at 76 and 63 degF.
    assert_near(verdict.target.unwrap(), 19.2, 0.06);
    assert_eq!((verdict.outcome, verdict.side), (Outcome::Outside, Some(Side::High)));
    assert!(verdict.reason.ends_with("Airflow is probably low."), "{}", verdict.reason);
}

#[test]
fn return_air_that_split_and_target_share_is_counted_once() {
    let verdict = verdict(&without("/as_found/airflow_cfm"), "temperature_split_f");
    // Partial derivatives by hand: (1 - 0.544231) of the dry bulb, -(2.196898 - 2 * 0.02281992 *
    // 63) of the wet bulb, 1 of the supply.
    let (dry, wet) = (0.455_769 * 0.5, (2.196_898 - 0.045_639_84 * 63.0) * 0.7);
    let expected = f64::hypot(dry, f64::hypot(wet, 1.0));
    assert_near(verdict.u_margin.unwrap(), expected, 1e-9);
}

#[test]
fn duct_gain_and_loss_count_warming_as_positive() {
    let document = with("/as_found/return_grille_db_f", 74.5);
    let document = changed(document, "/as_found/supply_register_db_f", 60.0);
    assert_near(value(&document, "return_duct_gain_f").unwrap(), 1.5, 1e-12);
    assert_near(value(&document, "supply_duct_loss_f").unwrap(), 3.2, 1e-12);
}

#[test]
fn the_profile_tells_what_each_part_of_the_duct_system_takes() {
    let document = changed(strangled(), "/as_found/static_filter_out_inwc", -0.28);
    assert_near(value(&document, "return_static_inwc").unwrap(), 0.10, 1e-12);
    assert_near(value(&document, "supply_static_inwc").unwrap(), 0.14, 1e-12);
    assert_near(value(&document, "filter_out_gain_inwc").unwrap(), 0.12, 1e-12);
}

/// The drop rises with the square of the flow.
#[test]
fn a_coil_is_held_against_its_own_table_where_the_airflow_is_known_apart() {
    let reference = json!({"cfm": 800, "drop_wet_inwc": 0.19});
    let clean = with("/system/coil_reference", reference);
    let judged = verdict(&clean, "coil_drop_ratio");
    assert_near(judged.value.unwrap(), 1.0, 1e-12);
    assert_eq!(judged.outcome, Outcome::Within);
    assert_eq!(verdict_in(&assessed(&clean).as_found, "coil_drop_inwc"), None);
    let matted = verdict(&changed(clean.clone(), "/as_found/airflow_cfm", 560), "coil_drop_ratio");
    assert_near(matted.value.unwrap(), (800.0_f64 / 560.0).powi(2), 1e-9);
    assert_eq!(matted.outcome, Outcome::Outside);
    // An airflow that was worked out from the drop itself can say nothing of it.
    let circular = changed(clean, "/as_found/airflow_cfm", Value::Null);
    let stage = assessed(&circular).as_found;
    assert_eq!(verdict_in(&stage, "coil_drop_ratio"), None);
    assert!(verdict_in(&stage, "coil_drop_inwc").is_some());
}

#[test]
fn a_coil_is_held_against_the_budget_where_the_airflow_is_of_another_hour() {
    let reference = json!({"cfm": 800, "drop_wet_inwc": 0.19});
    let apart = json!({"as_found": {"airflow_cfm": 60, "static_before_coil_inwc": 10,
        "static_after_coil_inwc": 10}});
    let document = changed(with("/system/coil_reference", reference), "/taken_min", apart);
    let stage = assessed(&document).as_found;
    assert_eq!(verdict_in(&stage, "coil_drop_ratio"), None);
    assert_eq!(verdict_in(&stage, "coil_drop_inwc").unwrap().outcome, Outcome::Within);
}
