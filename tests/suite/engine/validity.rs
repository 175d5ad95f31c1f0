//! The conditions of the procedures, each broken alone.

use fairweather::engine::assessment::Outcome;
use serde_json::{Value, json};

use super::nominal_case::{changed, document, verdict, with, without};

const CHARGE: [&str; 3] = ["superheat_f", "subcooling_f", "temperature_split_f"];

#[track_caller]
fn assert_not_valid(document: &Value, measure: &str, remedy: &str) {
    let verdict = verdict(document, measure);
    assert_eq!(verdict.outcome, Outcome::NotValid, "{measure}: {}", verdict.reason);
    assert!(verdict.reason.contains(remedy), "{measure}: {}", verdict.reason);
    assert_eq!(verdict.p_within, None);
}

#[test]
fn on_a_cold_day_neither_charge_nor_split_is_judged() {
    let cold = with("/as_found/outdoor_db_f", 47.0);
    let cold = changed(cold, "/as_found/supply_db_f", 61.0);
    for measure in CHARGE {
        assert_not_valid(&cold, measure, "warmer day");
    }
}

#[test]
fn fifty_five_degrees_are_warm_enough() {
    let just = with("/as_found/outdoor_db_f", 55.0);
    assert_eq!(verdict(&just, "subcooling_f").outcome, Outcome::Within);
}

#[test]
fn without_an_outdoor_temperature_nobody_knows_whether_the_charge_is_valid() {
    let verdict = verdict(&without("/as_found/outdoor_db_f"), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::NotTaken);
    assert!(verdict.reason.contains("outdoor air"), "{}", verdict.reason);
}

#[test]
fn a_short_run_is_not_valid() {
    for measure in CHARGE {
        assert_not_valid(&with("/as_found/settled_min", 6), measure, "wait for 15");
    }
}

#[test]
fn a_run_of_unknown_length_is_judged_and_said_to_be_unknown() {
    let verdict = verdict(&without("/as_found/settled_min"), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::Within);
    assert!(verdict.reason.ends_with("Not noted: how long it ran."), "{}", verdict.reason);
}

#[test]
fn cold_return_air_gives_no_target_superheat_and_no_split() {
    let cold = with("/as_found/return_db_f", 68.0);
    assert_not_valid(&cold, "temperature_split_f", "begins at 70");
    let orifice = changed(cold, "/system/metering", "fixed_orifice");
    let orifice = changed(orifice, "/as_found/outdoor_db_f", 70.0);
    assert_not_valid(&orifice, "superheat_f", "begins at 70");
}

#[test]
fn in_a_cool_house_no_charge_is_judged() {
    for measure in ["superheat_f", "subcooling_f"] {
        assert_not_valid(&with("/as_found/return_db_f", 68.0), measure, "begins at 70");
    }
}

#[test]
fn each_circumstance_spoils_what_it_touches() {
    for (circumstance, measure, remedy) in [
        ("condenser_coil_wet", "subcooling_f", "dry"),
        ("indoor_coil_wet_from_washing", "coil_drop_inwc", "dry"),
        ("panels_off", "external_static_inwc", "put them on"),
        ("stage_low", "compressor_amps_pct_of_rla", "full stage"),
        ("charge_just_changed", "superheat_f", "15 minutes"),
        ("strip_heat_on", "temperature_split_f", "switch it off"),
        ("defrost", "superheat_f", "cools again"),
    ] {
        let spoiled = with("/circumstances", json!({"as_found": [circumstance]}));
        assert_not_valid(&spoiled, measure, remedy);
    }
}

#[test]
fn no_circumstance_spoils_what_it_does_not_touch() {
    let wet = with("/circumstances", json!({"as_found": ["condenser_coil_wet"]}));
    for measure in ["external_static_inwc", "capacitor_fan_deviation_pct", "volts_control"] {
        assert_eq!(verdict(&wet, measure).outcome, Outcome::Within, "{measure}");
    }
}

#[test]
fn a_system_known_to_run_in_low_stage_is_not_valid() {
    assert_not_valid(&with("/system/running_stage", "low"), "subcooling_f", "full stage");
}

#[test]
fn readings_taken_far_apart_do_not_belong_together() {
    let apart = json!({"as_found": {"suction_pressure_psig": 12.0, "suction_line_f": 41.0}});
    let document = with("/taken_min", apart);
    assert_not_valid(&document, "superheat_f", "was read 29 min before suction line");
    assert_eq!(verdict(&document, "subcooling_f").outcome, Outcome::Within);
}

#[test]
fn readings_fifteen_minutes_apart_still_belong_together() {
    let apart = json!({"as_found": {"suction_pressure_psig": 12.0, "suction_line_f": 27.0}});
    assert_eq!(verdict(&with("/taken_min", apart), "superheat_f").outcome, Outcome::Within);
}

#[test]
fn a_reading_behind_a_known_defect_waits_for_the_repair() {
    let waits = with("/read_after_repair", json!({"as_found": ["static_after_coil_inwc"]}));
    assert_not_valid(&waits, "coil_drop_inwc", "after the repair");
    assert_eq!(verdict(&waits, "external_static_inwc").outcome, Outcome::Within);
}

#[test]
fn circumstances_of_the_other_stage_do_not_count() {
    let later = with("/circumstances", json!({"as_left": ["condenser_coil_wet"]}));
    assert_eq!(verdict(&later, "subcooling_f").outcome, Outcome::Within);
    assert_eq!(verdict(&document(), "subcooling_f").outcome, Outcome::Within);
}

#[test]
fn a_day_just_too_cold_is_not_told_as_warm_enough() {
    assert_not_valid(&with("/as_found/outdoor_db_f", 54.7), "subcooling_f", "54.7 °F outdoors");
}

#[test]
fn a_charge_that_can_not_be_judged_by_temperatures_may_be_weighed() {
    let cold = with("/as_found/outdoor_db_f", 47.0);
    for measure in ["superheat_f", "subcooling_f"] {
        assert_not_valid(&cold, measure, "by weighing it");
    }
    assert!(!verdict(&cold, "temperature_split_f").reason.contains("weighing"));
    assert_not_valid(&with("/as_found/return_db_f", 66.0), "subcooling_f", "by weighing it");
    assert_not_valid(&with("/as_found/settled_min", 6), "subcooling_f", "by weighing it");
    let wet = with("/circumstances", json!({"as_found": ["condenser_coil_wet"]}));
    assert_not_valid(&wet, "subcooling_f", "by weighing it");
}

#[test]
fn the_cycle_is_judged_under_the_conditions_of_the_charge() {
    for measure in ["saturated_suction_f", "condensing_over_ambient_f", "compression_ratio"] {
        assert_not_valid(&with("/as_found/outdoor_db_f", 47.0), measure, "warmer day");
        assert_not_valid(&with("/as_found/settled_min", 6), measure, "wait for 15");
    }
}

fn orifice() -> Value {
    let document = with("/system/metering", "fixed_orifice");
    let document = changed(document, "/as_found/return_wb_f", 66.0);
    let document = changed(document, "/as_found/supply_db_f", 58.5);
    let document = changed(document, "/as_found/supply_wb_f", 56.5);
    changed(document, "/as_found/outdoor_db_f", 90.0)
}

#[test]
fn a_charge_by_superheat_wants_its_airflow_first() {
    assert_eq!(verdict(&orifice(), "superheat_f").outcome, Outcome::Within);
    assert_not_valid(
        &changed(orifice(), "/as_found/airflow_cfm", 450),
        "superheat_f",
        "Airflow is 225 cfm per ton, 300 at least: put that right first",
    );
    let by_valve = changed(orifice(), "/system/metering", "thermostatic_expansion");
    let by_valve = changed(by_valve, "/as_found/airflow_cfm", 450);
    assert_ne!(verdict(&by_valve, "superheat_f").outcome, Outcome::NotValid);
}

#[test]
fn without_an_airflow_the_split_speaks_for_it() {
    let unknown = changed(orifice(), "/as_found/airflow_cfm", Value::Null);
    assert_eq!(verdict(&unknown, "superheat_f").outcome, Outcome::Within);
    let deep = changed(unknown.clone(), "/as_found/supply_db_f", 48.0);
    assert_not_valid(
        &changed(deep, "/as_found/supply_wb_f", 47.0),
        "superheat_f",
        "put the airflow right first",
    );
    let neither = changed(unknown, "/as_found/supply_db_f", Value::Null);
    assert_not_valid(&neither, "superheat_f", "airflow could not be checked");
}

#[test]
fn an_airflow_that_is_probably_low_bars_the_charge_too() {
    let near = changed(orifice(), "/as_found/airflow_cfm", 560);
    assert_eq!(verdict(&near, "airflow_cfm_per_ton").outcome, Outcome::TooClose);
    assert_not_valid(&near, "superheat_f", "Airflow is 280 cfm per ton, 300 at least");
}

#[test]
fn an_airflow_from_the_coils_own_drop_unlocks_no_charge() {
    let matted = changed(orifice(), "/as_found/airflow_cfm", Value::Null);
    let reference = json!({"cfm": 800, "drop_wet_inwc": 0.19});
    let matted = changed(matted, "/system/coil_reference", reference);
    let matted = changed(matted, "/as_found/static_before_coil_inwc", 0.45);
    assert!(super::nominal_case::value(&matted, "airflow_cfm_per_ton").unwrap() > 500.0);
    let deep = changed(matted, "/as_found/supply_db_f", 48.0);
    let deep = changed(deep, "/as_found/supply_wb_f", 47.0);
    assert_not_valid(&deep, "superheat_f", "put the airflow right first");
}

#[test]
fn what_nobody_noted_is_said() {
    let staged =
        changed(with("/system/compressor_stages", 2), "/system/running_stage", Value::Null);
    let reason = verdict(&staged, "subcooling_f").reason;
    assert!(reason.ends_with("Not noted: at which stage."), "{reason}");
    let reason = verdict(&without("/as_found/return_db_f"), "subcooling_f").reason;
    assert!(reason.ends_with("Not noted: return air."), "{reason}");
}

#[test]
fn electric_heat_that_draws_spoils_what_it_warms() {
    let heated = with("/as_found/strip_heat_amps", 20.0);
    assert_not_valid(&heated, "temperature_split_f", "switch it off");
}

#[test]
fn a_split_does_not_wait_for_the_repair_of_a_duct() {
    let waiting = json!({"as_found": ["airflow_cfm", "static_before_coil_inwc"]});
    let document = with("/read_after_repair", waiting);
    let judged = verdict(&document, "temperature_split_f");
    assert_eq!(judged.outcome, Outcome::Within);
    assert!(judged.source.starts_with("published temperature split table"), "{}", judged.source);
    assert_not_valid(&document, "airflow_cfm_per_ton", "waits for a repair");
    assert_eq!(super::nominal_case::value(&document, "external_static_inwc"), None);
}
