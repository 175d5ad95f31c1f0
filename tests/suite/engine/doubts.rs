//! Impossible and suspicious readings.

use fairweather::engine::assessment::{Doubt, DoubtKind, Outcome};
use serde_json::Value;

use super::nominal_case::{assessed, changed, document, value, verdict, with};

fn doubts(document: &Value) -> Vec<Doubt> {
    assessed(document).as_found.doubts
}

#[test]
fn the_healthy_system_raises_no_doubt() {
    assert_eq!(doubts(&document()), []);
}

#[test]
fn a_wet_bulb_above_the_dry_bulb_is_impossible_and_never_judged() {
    let document = with("/as_found/return_wb_f", 78.0);
    let found = doubts(&document);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, DoubtKind::Impossible);
    assert_eq!(found[0].points, ["return_wb_f", "return_db_f"]);
    assert!(found[0].reason.contains("lies above the dry bulb"), "{}", found[0].reason);
    let split = verdict(&document, "temperature_split_f");
    assert_eq!((split.outcome, split.value), (Outcome::NotValid, None));
    assert_eq!(value(&document, "temperature_split_f"), None);
    assert_eq!(verdict(&document, "subcooling_f").outcome, Outcome::Within);
}

#[test]
fn a_wet_bulb_that_no_air_has_is_impossible() {
    let document = with("/as_found/return_wb_f", 38.0);
    assert_eq!(doubts(&document)[0].kind, DoubtKind::Impossible);
}

#[test]
fn a_supply_wet_bulb_above_its_dry_bulb_is_impossible() {
    let document = with("/as_found/supply_wb_f", 60.0);
    assert_eq!(doubts(&document)[0].points, ["supply_wb_f", "supply_db_f"]);
}

#[track_caller]
fn assert_suspicious(document: &Value, points: [&str; 2]) {
    let found = doubts(document);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].kind, DoubtKind::Suspicious);
    assert_eq!(found[0].points, points);
}

#[test]
fn pressures_nearly_alike_are_suspicious_and_still_judged() {
    let document = with("/as_found/liquid_pressure_psig", 140.0);
    let found = doubts(&document);
    assert!(found.iter().any(|it| it.points == ["suction_pressure_psig", "liquid_pressure_psig"]));
    assert_eq!(verdict(&document, "subcooling_f").outcome, Outcome::Outside);
}

#[test]
fn supply_warmer_than_return_is_suspicious() {
    let document = with("/as_found/supply_db_f", 90.0);
    assert_suspicious(&document, ["supply_db_f", "return_db_f"]);
}

#[test]
fn supply_warmer_by_the_thermometers_error_alone_is_not() {
    assert_eq!(doubts(&with("/as_found/supply_db_f", 77.0)), []);
}

#[test]
fn a_liquid_line_colder_than_outdoors_is_suspicious() {
    assert_suspicious(&with("/as_found/liquid_line_f", 80.0), ["liquid_line_f", "outdoor_db_f"]);
}

#[test]
fn swapped_capacitor_sections_are_suspicious() {
    let document = with("/as_found/capacitor_compressor_uf", 5.0);
    let document = changed(document, "/as_found/capacitor_fan_uf", 45.2);
    assert_suspicious(&document, ["capacitor_compressor_uf", "capacitor_fan_uf"]);
    let weak = with("/as_found/capacitor_compressor_uf", 20.0);
    assert_eq!(doubts(&weak), []);
}

#[test]
fn a_forgotten_minus_sign_never_passes_as_a_small_drop() {
    let document = with("/as_found/static_after_filter_inwc", 0.30);
    let found = doubts(&document);
    assert!(found.iter().any(|it| it.kind == DoubtKind::Impossible), "{found:?}");
    assert!(found[0].reason.contains("suction side"), "{}", found[0].reason);
    for measure in ["filter_drop_inwc", "external_static_inwc"] {
        let judged = verdict(&document, measure);
        assert_eq!((judged.outcome, judged.value), (Outcome::NotValid, None), "{measure}");
    }
}

#[test]
fn taps_swapped_over_the_coil_are_impossible() {
    let document = changed(
        with("/as_found/static_before_coil_inwc", 0.10),
        "/as_found/static_after_coil_inwc",
        0.30,
    );
    assert_eq!(verdict(&document, "coil_drop_inwc").outcome, Outcome::NotValid);
    assert!(doubts(&document)[0].reason.contains("gains no pressure"));
}

#[test]
fn a_static_pressure_within_the_gauges_error_of_nothing_is_not_impossible() {
    let document = with("/as_found/static_return_inwc", 0.01);
    let found = doubts(&document);
    assert!(found.iter().all(|it| it.points != ["static_return_inwc"]), "{found:?}");
}

fn perhaps(document: &Value, point: &str) -> String {
    let found = doubts(document);
    let doubt = found.iter().find(|it| it.points.iter().any(|of| of == point));
    doubt.unwrap_or_else(|| panic!("no doubt on {point}: {found:?}")).perhaps.clone().unwrap()
}

#[test]
fn hoses_on_the_wrong_ports_are_suspected_as_such() {
    let swapped = changed(
        with("/as_found/suction_pressure_psig", 360.0),
        "/as_found/liquid_pressure_psig",
        125.0,
    );
    assert!(perhaps(&swapped, "suction_pressure_psig").contains("hoses were swapped"));
}

/// What a system full of R-410A shows beside a plate that says R-22, and the reverse.
#[test]
fn another_refrigerant_contradicts_the_air_and_leaves_the_charge_unjudged() {
    let read_as_r22 = with("/system/refrigerant", "R-22");
    let told = perhaps(&read_as_r22, "suction_line_f");
    assert!(told.contains("another refrigerant") && told.contains("would fit"), "{told}");
    for measure in
        ["superheat_f", "subcooling_f", "saturated_suction_f", "condensing_over_ambient_f"]
    {
        let judged = verdict(&read_as_r22, measure);
        assert_eq!(judged.outcome, Outcome::NotValid, "{measure}");
        assert!(judged.reason.contains("which refrigerant is inside"), "{}", judged.reason);
    }
    assert_eq!(verdict(&read_as_r22, "temperature_split_f").outcome, Outcome::Within);

    let r22_inside = changed(
        with("/as_found/suction_pressure_psig", 70.0),
        "/as_found/liquid_pressure_psig",
        205.0,
    );
    assert!(perhaps(&r22_inside, "liquid_pressure_psig").contains("R-22"));
}

#[test]
fn an_ordinary_fault_is_no_other_refrigerant() {
    for (suction, liquid, line) in [(95.0, 320.0, 65.0), (140.0, 480.0, 51.0), (118.0, 300.0, 70.0)]
    {
        let fault = changed(
            with("/as_found/suction_pressure_psig", suction),
            "/as_found/liquid_pressure_psig",
            liquid,
        );
        let fault = changed(fault, "/as_found/suction_line_f", line);
        assert!(
            doubts(&fault).iter().all(|it| !it.perhaps.as_ref().unwrap().contains("refrigerant"))
        );
    }
}

#[test]
fn celsius_typed_for_fahrenheit_is_recognised_by_what_it_would_be() {
    for (point, typed, meant) in [
        ("outdoor_db_f", 31.0, "88 °F"),
        ("suction_line_f", 12.5, "54 °F"),
        ("liquid_line_f", 36.9, "98 °F"),
        ("discharge_line_f", 73.9, "165 °F"),
    ] {
        let told = perhaps(&with(&format!("/as_found/{point}"), typed), point);
        assert!(told.contains("°C was typed") && told.contains(meant), "{point}: {told}");
    }
}

#[test]
fn celsius_on_the_suction_line_is_no_other_refrigerant() {
    let slip = with("/as_found/suction_line_f", 12.5);
    assert!(doubts(&slip).iter().all(|it| !it.perhaps.as_ref().unwrap().contains("refrigerant")));
    assert_eq!(verdict(&slip, "superheat_f").outcome, Outcome::Outside, "judged, and suspicious");
}

#[test]
fn facts_typed_into_each_others_field_are_suspicious() {
    for (pointer, given, point) in [
        ("/system/compressor_rla", 25.0, "minimum_circuit_amps"),
        ("/system/maximum_overcurrent_amps", 14.0, "minimum_circuit_amps"),
        ("/system/condenser_fan_fla", 12.0, "compressor_rla"),
        ("/system/capacitor_fan_rated_uf", 50.0, "capacitor_compressor_rated_uf"),
        ("/system/nominal_tons", 24.0, "rated_capacity_btuh"),
        ("/system/seer", 9.0, "rated_eer"),
        ("/system/factory_charge_oz", 5.4, "factory_charge_oz"),
        ("/system/compressor_mcc", 8.0, "compressor_mcc"),
    ] {
        let told = perhaps(&with(pointer, given), point);
        assert!(told.contains("typed"), "{pointer}: {told}");
    }
    assert_eq!(doubts(&document()), []);
}

/// Wet vapour of R-407C at 66 psig lies anywhere from 32 to 42 degF.
#[test]
fn a_flooded_line_of_a_blend_is_no_other_refrigerant() {
    let flooded = with("/system/refrigerant", "R-407C");
    let flooded = changed(flooded, "/as_found/suction_pressure_psig", 66.0);
    let flooded = changed(flooded, "/as_found/liquid_pressure_psig", 240.0);
    let flooded = changed(flooded, "/as_found/suction_line_f", 33.5);
    assert_eq!(doubts(&flooded), []);
    assert_eq!(verdict(&flooded, "superheat_f").outcome, Outcome::Outside);
}

#[test]
fn nearly_saturated_supply_air_leaves_the_split_standing() {
    let humid = changed(with("/as_found/supply_db_f", 56.0), "/as_found/supply_wb_f", 56.2);
    let found = doubts(&humid);
    assert_eq!(found[0].kind, DoubtKind::Impossible);
    assert_eq!(found[0].points, ["supply_wb_f"]);
    assert_eq!(verdict(&humid, "temperature_split_f").outcome, Outcome::Within);
    assert_eq!(verdict(&humid, "capacity_ratio").outcome, Outcome::NotValid);
}

#[test]
fn suction_on_the_supply_side_is_impossible() {
    let slipped = with("/as_found/static_after_coil_inwc", -0.06);
    assert!(doubts(&slipped).iter().any(|it| it.reason.contains("on the supply side")));
    assert_eq!(verdict(&slipped, "coil_drop_inwc").outcome, Outcome::NotValid);
}

#[test]
fn more_air_than_blowers_move_and_more_cold_than_units_give_are_suspicious() {
    let windy = with("/as_found/airflow_cfm", 1300);
    assert!(perhaps(&windy, "airflow_cfm").contains("another tap"));
    let icy = with("/as_found/supply_wb_f", 44.0);
    assert!(perhaps(&icy, "supply_wb_f").contains("airflow is less than thought"));
}

#[test]
fn a_wet_bulb_and_a_humidity_that_disagree_are_suspicious() {
    assert_eq!(doubts(&with("/as_found/return_rh_pct", 48.0)), []);
    let apart = with("/as_found/return_rh_pct", 95.0);
    assert!(perhaps(&apart, "return_rh_pct").contains("one of the two"));
}

#[test]
fn a_standing_pressure_means_nothing_while_the_refrigerant_is_in_doubt() {
    let other = with("/system/refrigerant", "R-22");
    let other = changed(other, "/as_found/standing_pressure_psig", 260.0);
    assert_eq!(verdict(&other, "standing_over_ambient_f").outcome, Outcome::NotValid);
}
