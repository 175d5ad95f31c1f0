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
