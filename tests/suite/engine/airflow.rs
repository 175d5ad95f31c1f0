//! Airflow by each method, its uncertainty, and what it is held against.

use fairweather::engine::airflow::{airflow_in_table, airflow_of_drop};
use fairweather::engine::assessment::{Outcome, Side};
use fairweather::engine::case::{AirflowRow, CoilReference};
use fairweather::units::InWc;
use serde_json::{Value, json};

use super::nominal_case::{
    assert_near, assessed, changed, document, value, verdict, with, without,
};

fn measure_u(document: &Value, measure: &str) -> f64 {
    let stage = assessed(document).as_found;
    stage.measures.iter().find(|it| it.measure == measure).expect("the measure").u
}

/// The static over the nominal cabinet is 0.25 + 0.16 = 0.41 in. w.c.
fn by_table() -> Value {
    let rows = json!([
        {"tap": "low", "static_inwc": 0.3, "cfm": 600}, {"tap": "low", "static_inwc": 0.5, "cfm": 500},
        {"tap": "med", "static_inwc": 0.5, "cfm": 780}, {"tap": "med", "static_inwc": 0.3, "cfm": 860}
    ]);
    let document = changed(without("/as_found/airflow_cfm"), "/system/airflow_table", rows);
    changed(document, "/system/blower_tap", "med")
}

fn by_coil() -> Value {
    let reference = json!({"cfm": 800, "drop_wet_inwc": 0.22});
    changed(without("/as_found/airflow_cfm"), "/system/coil_reference", reference)
}

#[test]
fn a_measured_airflow_is_taken_as_it_is() {
    assert_eq!(value(&document(), "airflow_cfm"), Some(800.0));
    assert_near(measure_u(&document(), "airflow_cfm"), 0.07 * 800.0, 1e-9);
    assert_eq!(value(&document(), "airflow_cfm_per_ton"), Some(400.0));
}

#[test]
fn the_makers_table_is_read_between_its_rows_for_the_tap_that_is_wired() {
    // 860 - 80 * 0.11 / 0.20
    assert_near(value(&by_table(), "airflow_cfm").unwrap(), 816.0, 1e-9);
    let low = changed(by_table(), "/system/blower_tap", "LOW");
    assert_near(value(&low, "airflow_cfm").unwrap(), 545.0, 1e-9);
    // 8 % of the table, and 400 cfm for each in. w.c. of two taps at 0.01.
    let expected = f64::hypot(0.08 * 816.0, 400.0 * 0.01 * std::f64::consts::SQRT_2);
    assert_near(measure_u(&by_table(), "airflow_cfm"), expected, 0.01);
    let judged = verdict(&by_table(), "airflow_cfm_per_ton");
    assert!(judged.source.starts_with("airflow from the maker's table"), "{}", judged.source);
}

#[test]
fn no_table_is_followed_beyond_its_rows() {
    let choked = changed(by_table(), "/as_found/static_before_coil_inwc", 0.60);
    let judged = verdict(&choked, "airflow_cfm_per_ton");
    assert_eq!((judged.outcome, judged.value), (Outcome::NotValid, None));
    assert!(judged.reason.contains("table ends"), "{}", judged.reason);
    // The coil's reference still answers.
    let reference = json!({"cfm": 800, "drop_wet_inwc": 0.22});
    let both = changed(choked, "/system/coil_reference", reference);
    assert!(value(&both, "airflow_cfm").is_some());
}

#[test]
fn a_table_of_two_taps_says_nothing_until_one_is_known() {
    let unknown = changed(by_table(), "/system/blower_tap", Value::Null);
    let judged = verdict(&unknown, "airflow_cfm_per_ton");
    assert_eq!(judged.outcome, Outcome::NotTaken);
    assert!(judged.reason.contains("blower tap"), "{}", judged.reason);
    let one_tap = json!([{"tap": "high", "static_inwc": 0.3, "cfm": 860},
        {"tap": "high", "static_inwc": 0.5, "cfm": 780}]);
    let clear = changed(unknown, "/system/airflow_table", one_tap);
    assert_near(value(&clear, "airflow_cfm").unwrap(), 816.0, 1e-9);
}

#[test]
fn airflow_rises_with_the_root_of_the_coils_drop() {
    // 800 * sqrt(0.19 / 0.22)
    assert_near(value(&by_coil(), "airflow_cfm").unwrap(), 743.456, 0.001);
    // 10 % of the reference, half of the drop's own 0.0141 / 0.19.
    let drop = 0.5 * 0.01 * std::f64::consts::SQRT_2 / 0.19;
    assert_near(measure_u(&by_coil(), "airflow_cfm"), 743.456 * drop.hypot(0.10), 0.2);
    let reference = CoilReference { cfm: 800.0, drop_wet_inwc: 0.22 };
    assert_eq!(airflow_of_drop(&reference, InWc(0.0)), None);
    assert_eq!(airflow_of_drop(&reference, InWc(f64::NAN)), None);
}

#[test]
fn a_table_of_one_row_answers_at_that_row_only() {
    let row = AirflowRow { tap: "med".into(), static_inwc: 0.5, cfm: 820.0 };
    assert_near(airflow_in_table([&row].into_iter(), InWc(0.5)).unwrap().number(), 820.0, 0.0);
    assert_eq!(airflow_in_table([&row].into_iter(), InWc(0.49)), None);
    assert_eq!(airflow_in_table([].into_iter(), InWc(0.5)), None);
}

#[test]
fn without_any_method_the_airflow_is_not_taken() {
    let judged = verdict(&without("/as_found/airflow_cfm"), "airflow_cfm_per_ton");
    assert_eq!(judged.outcome, Outcome::NotTaken);
    assert_eq!(judged.reason, "Not taken, missing: measured indoor airflow.");
}

#[test]
fn too_little_air_for_each_ton_is_outside() {
    let judged = verdict(&with("/as_found/airflow_cfm", 480), "airflow_cfm_per_ton");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::Low)));
    assert_eq!(judged.reason, "Airflow for each ton 240 cfm is below 300.");
    assert_eq!((judged.low, judged.high), (Some(300.0), None));
}

#[test]
fn a_design_airflow_is_kept_within_fifteen_percent() {
    let design = with("/system/design_airflow_cfm_per_ton", 350.0);
    let judged = verdict(&design, "airflow_cfm_per_ton");
    assert_eq!(judged.target, Some(350.0));
    assert_near(judged.low.unwrap(), 297.5, 1e-9);
    assert_near(judged.high.unwrap(), 402.5, 1e-9);
    assert_eq!(judged.outcome, Outcome::TooClose);
}

#[test]
fn standard_air_is_counted_by_its_mass() {
    // Property library: 76 and 63 degF at sea level is 13.711 ft3/lb, at 5,000 ft 16.53.
    let volume = value(&document(), "standard_airflow_cfm").unwrap();
    assert_near(volume, 800.0 / (13.711 * 0.075), 0.5);
    let high = with("/site/elevation_ft", 5000.0);
    assert!(value(&high, "standard_airflow_cfm").unwrap() < 0.84 * volume);
}

#[test]
fn a_blower_that_takes_much_power_for_its_air_is_outside() {
    let hungry = with("/as_found/blower_watts", 600.0);
    let judged = verdict(&hungry, "blower_w_per_cfm");
    assert_near(judged.value.unwrap(), 0.75, 1e-12);
    assert_eq!(judged.outcome, Outcome::Outside);
}
