//! A visit to a healthy system on a warm day; each test changes one fact of it.

use fairweather::engine::assess;
use fairweather::engine::assessment::{Assessment, StageAssessment, Verdict};
use fairweather::engine::case::{Case, read_case};
use fairweather::engine::limits::LimitBook;
use serde_json::{Value, json};

/// The document of the healthy system: two tons, R-410A, expansion valve, furnace with cased coil.
pub fn document() -> Value {
    json!({
        "id": "nominal", "mode": "cooling",
        "system": {
            "kind": "split_air_conditioner",
            "cabinet": "furnace_with_cased_coil", "filter_location": "outside_cabinet",
            "refrigerant": "R-410A", "metering": "thermostatic_expansion",
            "liquid_port": "liquid", "suction_port": "vapor", "running_stage": "full",
            "blower_kind": "psc", "nominal_tons": 2.0, "rated_capacity_btuh": 24000,
            "rated_eer": 11.7, "seer": 14,
            "target_subcooling_f": 10.0, "max_external_static_inwc": 0.5,
            "volts_outdoor_rated": "208/230", "volts_indoor_rated": "120", "phases": 1,
            "minimum_circuit_amps": 14.5, "maximum_overcurrent_amps": 25, "breaker_amps": 25,
            "compressor_rla": 10.9, "condenser_fan_fla": 1.0, "blower_fla": 4.1,
            "capacitor_compressor_rated_uf": 45, "capacitor_fan_rated_uf": 5,
            "capacitor_blower_rated_uf": 7.5, "capacitor_tolerance_pct": 5
        },
        "site": { "elevation_ft": 0 },
        "as_found": {
            "outdoor_db_f": 88.0, "return_db_f": 76.0, "return_wb_f": 63.0,
            "supply_db_f": 56.8, "supply_wb_f": 53.0, "settled_min": 20, "airflow_cfm": 800,
            "thermostat_reading_f": 76.0, "thermostat_beside_f": 75.6,
            "unit_slope_side_in_per_ft": 0.1, "unit_slope_front_in_per_ft": 0.05,
            "suction_pressure_psig": 125.0, "liquid_pressure_psig": 360.0,
            "suction_line_f": 54.5, "liquid_line_f": 98.5,
            "static_return_inwc": -0.10, "static_after_filter_inwc": -0.16,
            "static_before_coil_inwc": 0.25, "static_after_coil_inwc": 0.06,
            "volts_outdoor_idle": 243.0, "volts_outdoor_running": 240.0, "volts_indoor": 121.0,
            "volts_control": 26.0, "contactor_drop_mv": 60.0,
            "compressor_amps": 8.1, "condenser_fan_amps": 0.8, "blower_amps": 3.1,
            "capacitor_compressor_uf": 45.2, "capacitor_fan_uf": 5.0, "capacitor_blower_uf": 7.5,
            "discharge_line_f": 165.0, "room_difference_f": 2.0, "ambient_co_ppm": 0.0
        }
    })
}

/// The document with one field set, by JSON pointer such as `/as_found/outdoor_db_f`.
pub(super) fn with(pointer: &str, value: impl Into<Value>) -> Value {
    changed(document(), pointer, value)
}

/// Another document with one field set.
pub(super) fn changed(mut document: Value, pointer: &str, value: impl Into<Value>) -> Value {
    let (parent, name) = pointer.rsplit_once('/').expect("a pointer");
    if document.pointer(parent).is_none() {
        document = changed(document, parent, json!({}));
    }
    let object = document.pointer_mut(parent).and_then(Value::as_object_mut).expect("an object");
    object.insert(name.to_owned(), value.into());
    document
}

/// The document without one field.
pub(super) fn without(pointer: &str) -> Value {
    with(pointer, Value::Null)
}

pub fn case(document: &Value) -> Case {
    read_case(document).unwrap_or_else(|it| panic!("{it}"))
}

pub(super) fn assessed(document: &Value) -> Assessment {
    assess(&case(document), &LimitBook::default())
}

/// The verdict of one measure as found; the test fails where there is none.
pub(super) fn verdict(document: &Value, measure: &str) -> Verdict {
    verdict_in(&assessed(document).as_found, measure)
        .unwrap_or_else(|| panic!("no verdict on {measure}"))
}

pub(super) fn verdict_in(stage: &StageAssessment, measure: &str) -> Option<Verdict> {
    stage.verdicts.iter().find(|it| it.measure == measure).cloned()
}

/// The value of one measure as found.
pub(super) fn value(document: &Value, measure: &str) -> Option<f64> {
    let stage = assessed(document).as_found;
    stage.measures.iter().find(|it| it.measure == measure).map(|it| it.value)
}

#[track_caller]
pub(super) fn assert_near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}
