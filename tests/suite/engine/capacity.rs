//! Capacity, condensate and what the curves expect, against worked examples.

use fairweather::engine::assessment::{Outcome, Side};
use serde_json::{Value, json};

use super::nominal_case::{
    assert_near, assessed, changed, document, value, verdict, verdict_in, with, without,
};

/// Three tons, 1,200 cfm: the conditions of the worked examples.
fn worked(return_air: (f64, f64), supply_air: (f64, f64), cfm: f64, feet: f64) -> Value {
    json!({
        "system": {"kind": "split_air_conditioner", "refrigerant": "R-410A",
            "metering": "thermostatic_expansion", "nominal_tons": 3, "rated_capacity_btuh": 36000,
            "rated_eer": 11.7},
        "site": {"elevation_ft": feet},
        "as_found": {
            "outdoor_db_f": 95, "return_db_f": return_air.0, "return_wb_f": return_air.1,
            "supply_db_f": supply_air.0, "supply_wb_f": supply_air.1, "airflow_cfm": cfm
        }
    })
}

/// Worked with a published library of moist air: 5,198.8 lb of dry air an hour. Reached: 0.5 Btu/h
/// of 36,503, the last digit that is printed.
#[test]
fn capacity_agrees_with_the_worked_example() {
    let example = worked((80.0, 67.0), (58.0, 57.0), 1200.0, 0.0);
    assert_near(value(&example, "total_capacity_btuh").unwrap(), 36_503.0, 1.0);
    assert_near(value(&example, "sensible_capacity_btuh").unwrap(), 28_017.0, 1.0);
    assert_near(value(&example, "latent_capacity_btuh").unwrap(), 36_503.0 - 28_017.0, 2.0);
    assert_near(value(&example, "sensible_heat_ratio").unwrap(), 28_017.0 / 36_503.0, 1e-4);
}

#[test]
fn the_same_readings_carry_less_heat_in_thin_air() {
    let high = worked((80.0, 67.0), (58.0, 57.0), 1200.0, 5000.0);
    assert_near(value(&high, "total_capacity_btuh").unwrap(), 34_525.0, 1.0);
}

/// Worked elsewhere in standard air (4.5 lb/h for each cfm); here the air has its own density, 4.33
/// at 80 and 67 degF, so the numbers lie 3.8 % lower.
#[test]
fn condensate_agrees_with_the_worked_examples() {
    for (return_air, supply_air, cfm, printed, tolerance) in [
        ((80.0, 67.0), (59.0, 57.0), 1200.0, 9.35, 0.05),
        ((75.0, 63.0), (56.0, 54.5), 1200.0, 4.6, 0.1),
        ((75.0, 60.0), (56.0, 52.5), 1000.0, 0.1, 0.05),
    ] {
        let example = worked(return_air, supply_air, cfm, 0.0);
        let ours = value(&example, "condensate_lb_h").unwrap();
        let standard = value(&example, "standard_airflow_cfm").unwrap();
        assert_near(ours * cfm / standard, printed, tolerance);
        assert_near(value(&example, "condensate_gal_h").unwrap(), ours / 8.34, 1e-12);
    }
}

/// Common practice, no source: up to 10 gallons on a hot day, here of nine hours' running.
#[test]
fn a_hot_day_makes_some_ten_gallons() {
    let example = worked((80.0, 67.0), (59.0, 57.0), 1200.0, 0.0);
    assert_near(9.0 * value(&example, "condensate_gal_h").unwrap(), 10.0, 0.5);
}

#[test]
fn a_dry_coil_makes_no_water_beyond_the_instruments_error() {
    let stage = assessed(&worked((75.0, 60.0), (56.0, 52.5), 1000.0, 0.0)).as_found;
    let water = stage.measures.iter().find(|it| it.measure == "condensate_lb_h").unwrap();
    assert!(water.value.abs() < 2.0 * water.u, "{water:?}");
}

/// At the conditions of the rating and the airflow of the curves the expected is the rated.
#[test]
fn at_rating_conditions_the_rated_capacity_and_power_are_expected() {
    // 386.1 standard cfm a ton at the density of 80 and 67 degF, 13.849 ft3/lb.
    let cfm = 3.0 * 386.1 * 13.849 * 0.075;
    let rated = changed(
        worked((80.0, 67.0), (58.0, 57.0), cfm, 0.0),
        "/as_found/blower_watts",
        0.365 * 3.0 * 386.1,
    );
    assert_near(value(&rated, "expected_capacity_btuh").unwrap(), 36_000.0, 3.0);
    assert_near(value(&rated, "expected_power_w").unwrap(), 36_000.0 / 11.7, 0.3);
}

/// Sample points of the curves' report: 1.0926 of the rated at 67 and 75 degF, 0.9939 at 95.
#[test]
fn a_mild_day_expects_more_capacity() {
    let at = |outdoor: f64| {
        let example = worked((80.0, 67.0), (58.0, 57.0), 3.0 * 386.1 * 1.038_7, 0.0);
        let example = changed(example, "/as_found/blower_watts", 0.0);
        value(&changed(example, "/as_found/outdoor_db_f", outdoor), "expected_capacity_btuh")
    };
    assert_near(at(75.0).unwrap() / at(95.0).unwrap(), 1.0926 / 0.9939, 1e-4);
    assert_eq!(at(74.0), None, "the curves begin at 75 degF");
}

#[test]
fn a_system_that_gives_far_less_than_expected_is_outside() {
    let weak = changed(with("/as_found/supply_db_f", 66.0), "/as_found/supply_wb_f", 59.0);
    let judged = verdict(&weak, "capacity_ratio");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::Low)));
    assert!(judged.value.unwrap() < 0.5, "{judged:?}");
}

#[test]
fn on_a_day_cooler_than_the_curves_capacity_is_measured_and_not_judged() {
    let cool = with("/as_found/outdoor_db_f", 70.0);
    let judged = verdict(&cool, "capacity_ratio");
    assert_eq!(judged.outcome, Outcome::NotValid);
    assert!(judged.reason.contains("75 to 115 °F"), "{}", judged.reason);
    assert!(value(&cool, "total_capacity_btuh").is_some());
}

#[test]
fn capacity_without_an_airflow_names_what_is_missing() {
    let judged = verdict(&without("/as_found/airflow_cfm"), "capacity_ratio");
    assert_eq!(judged.outcome, Outcome::NotTaken);
    assert!(judged.reason.contains("indoor airflow"), "{}", judged.reason);
}

#[test]
fn the_split_is_held_against_the_days_own_airflow_and_weather() {
    let judged = verdict(&document(), "temperature_split_f");
    assert!(judged.source.starts_with("published correlation"), "{}", judged.source);
    // Less air, a deeper split: the same 19.2 degF is now too little.
    let choked = verdict(&with("/as_found/airflow_cfm", 520), "temperature_split_f");
    assert!(judged.target.unwrap() + 2.0 < choked.target.unwrap(), "{choked:?}");
    assert_eq!(choked.side, Some(Side::Low));
}

/// Printed: 18.8 degF at 80, 67 and 95 degF, 400 standard cfm and a permanent split capacitor
/// blower of 500 Btu/h a ton; 18.3 at 75 and 63.
#[test]
fn the_target_split_agrees_with_the_printed_ones() {
    for (dry, wet, printed) in [(80.0, 67.0, 18.8), (75.0, 63.0, 18.3)] {
        let example = worked((dry, wet), (58.0, 56.0), 1200.0, 0.0);
        let standard = value(&example, "standard_airflow_cfm").unwrap();
        let example = changed(example, "/as_found/airflow_cfm", 1200.0 * 1200.0 / standard);
        let example = changed(example, "/as_found/blower_watts", 3.0 * 500.0 / 3.412_142);
        assert_near(value(&example, "target_split_f").unwrap(), printed, 0.06);
    }
}

#[test]
fn an_airflow_of_another_hour_is_no_airflow_of_this_split() {
    let apart = with(
        "/taken_min",
        json!({"as_found": {"airflow_cfm": 5, "return_db_f": 60, "return_wb_f": 60,
            "supply_db_f": 60, "outdoor_db_f": 60}}),
    );
    let judged = verdict(&apart, "temperature_split_f");
    assert!(judged.source.starts_with("published temperature split table"), "{}", judged.source);
    assert_eq!(verdict(&apart, "capacity_ratio").outcome, Outcome::NotValid);
}

#[test]
fn a_ductless_unit_has_no_capacity_verdict() {
    let stage = assessed(&with("/system/kind", "ductless")).as_found;
    assert_eq!(verdict_in(&stage, "capacity_ratio"), None);
}

/// At the edge of the correlation only one side of the return air has an answer.
#[test]
fn the_margin_of_a_split_does_not_jump_at_the_edge_of_the_correlation() {
    let margin = |return_f: f64| {
        let document = changed(document(), "/as_found/return_db_f", return_f);
        let document = changed(document, "/as_found/return_wb_f", 67.0);
        let document = changed(document, "/as_found/supply_db_f", return_f - 19.0);
        let document = changed(document, "/as_found/supply_wb_f", return_f - 21.0);
        verdict(&document, "temperature_split_f").u_margin.unwrap()
    };
    assert_near(margin(79.4), margin(79.9), 0.02);
}

#[test]
fn a_ductless_unit_runs_as_slowly_as_it_may_so_that_no_split_is_judged() {
    let stage = assessed(&with("/system/kind", "ductless")).as_found;
    assert_eq!(verdict_in(&stage, "temperature_split_f"), None);
}

#[test]
fn blower_watts_that_were_read_bring_their_error_into_the_split() {
    let read = with("/as_found/blower_watts", 292.0);
    let coarse = changed(read.clone(), "/instruments/blower_watts", 200.0);
    let margin = |document: &Value| verdict(document, "temperature_split_f").u_margin.unwrap();
    assert!(margin(&read) + 0.1 < margin(&coarse), "{} {}", margin(&read), margin(&coarse));
}
