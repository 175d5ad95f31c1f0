//! Capacitors, volts and amps against arithmetic done by hand.

use fairweather::engine::assessment::{Outcome, Side};
use fairweather::engine::case::RatedVolts;
use fairweather::engine::electrical::volts_range;
use fairweather::units::Percent;

use super::nominal_case::{
    assert_near, assessed, changed, document, value, verdict, verdict_in, with, without,
};

#[test]
fn a_section_far_below_its_rating_is_outside() {
    let verdict = verdict(
        &with("/as_found/capacitor_compressor_uf", 38.3),
        "capacitor_compressor_deviation_pct",
    );
    assert_near(verdict.value.unwrap(), -14.9, 0.02);
    assert_eq!((verdict.outcome, verdict.side), (Outcome::Outside, Some(Side::Low)));
    assert_eq!(verdict.reason, "Compressor capacitor 38.3 µF is below 42.75.");
}

#[test]
fn a_section_within_the_meters_error_of_its_tolerance_is_too_close_to_call() {
    let verdict = verdict(&with("/as_found/capacitor_fan_uf", 4.8), "capacitor_fan_deviation_pct");
    assert_near(verdict.value.unwrap(), -4.0, 1e-9);
    assert_near(verdict.u.unwrap(), 1.92, 1e-9);
    assert_eq!((verdict.outcome, verdict.side), (Outcome::TooClose, Some(Side::Low)));
}

#[test]
fn a_can_without_printed_tolerance_takes_the_books() {
    let verdict =
        verdict(&without("/system/capacitor_tolerance_pct"), "capacitor_fan_deviation_pct");
    assert_eq!((verdict.low, verdict.high), (Some(-6.0), Some(6.0)));
}

#[test]
fn a_constant_torque_blower_has_no_capacitor_to_judge() {
    let document = with("/system/blower_kind", "constant_torque");
    let document = changed(document, "/system/capacitor_blower_rated_uf", serde_json::Value::Null);
    let document = changed(document, "/as_found/capacitor_blower_uf", serde_json::Value::Null);
    let stage = assessed(&document).as_found;
    assert_eq!(verdict_in(&stage, "capacitor_blower_deviation_pct"), None);
}

#[test]
fn the_capacitor_under_load_follows_from_amps_and_volts() {
    let document = with("/as_found/start_winding_amps", 6.1);
    let document = changed(document, "/as_found/capacitor_running_volts", 360.0);
    // 2652.58 * 6.1 / 360
    assert_near(value(&document, "capacitor_running_uf").unwrap(), 44.947, 0.001);
    assert_eq!(verdict(&document, "capacitor_running_uf").target, Some(45.0));
}

#[test]
fn a_dual_rating_runs_from_187_to_253_volts() {
    let rated = verdict(&document(), "volts_outdoor_deviation_pct");
    assert_near(rated.low.unwrap(), 100.0 * (187.0 - 230.0) / 230.0, 1e-9);
    assert_near(rated.high.unwrap(), 10.0, 1e-9);
    for (volts, outcome) in [
        (185.0, Outcome::Outside),
        (187.0, Outcome::TooClose),
        (189.0, Outcome::Within),
        (251.0, Outcome::Within),
        (256.0, Outcome::Outside),
    ] {
        let document = with("/as_found/volts_outdoor_running", volts);
        let verdict = verdict(&document, "volts_outdoor_deviation_pct");
        assert_eq!(verdict.outcome, outcome, "{volts}: {}", verdict.reason);
    }
}

#[test]
fn volts_of_124_on_nominal_120_are_within() {
    let verdict = verdict(&with("/as_found/volts_indoor", 124.0), "volts_indoor_deviation_pct");
    assert_near(verdict.value.unwrap(), 100.0 * 4.0 / 120.0, 1e-12);
    assert_eq!(verdict.outcome, Outcome::Within);
    assert_eq!(verdict.reason, "Indoor line voltage 124 V is within 108 to 132.");
}

#[test]
fn each_single_rating_has_ten_percent_to_either_side() {
    for (rated, reference) in [
        (RatedVolts::V115, 115.0),
        (RatedVolts::V208, 208.0),
        (RatedVolts::V240, 240.0),
        (RatedVolts::V460, 460.0),
    ] {
        let (low, high) = volts_range(rated, Percent(10.0));
        assert_near(low.number(), 0.9 * reference, 1e-9);
        assert_near(high.number(), 1.1 * reference, 1e-9);
    }
}

#[test]
fn volts_at_rest_serve_where_running_volts_were_not_read() {
    let document = without("/as_found/volts_outdoor_running");
    let deviation = value(&document, "volts_outdoor_deviation_pct").unwrap();
    assert_near(deviation, 100.0 * 13.0 / 230.0, 1e-12);
}

#[test]
fn amps_are_a_ceiling_without_a_floor() {
    let idle = verdict(&with("/as_found/compressor_amps", 1.0), "compressor_amps_pct_of_rla");
    assert_eq!((idle.outcome, idle.low), (Outcome::Within, None));
    let over = verdict(&with("/as_found/compressor_amps", 12.5), "compressor_amps_pct_of_rla");
    assert_eq!((over.outcome, over.side), (Outcome::Outside, Some(Side::High)));
}

#[test]
fn three_phases_are_judged_by_their_highest_leg_and_their_unbalance() {
    let mut document = with("/system/phases", 3);
    for (key, read) in [
        ("compressor_amps_l1", 8.0),
        ("compressor_amps_l2", 8.4),
        ("compressor_amps_l3", 8.1),
        ("volts_l1_l2", 203.0),
        ("volts_l2_l3", 210.0),
        ("volts_l3_l1", 212.0),
    ] {
        document = changed(document, &format!("/as_found/{key}"), read);
    }
    assert_near(value(&document, "compressor_amps_pct_of_rla").unwrap(), 840.0 / 10.9, 1e-9);
    // A published monitor's manual rounds this example to 2.5 %.
    assert_near(value(&document, "phase_unbalance_pct").unwrap(), 2.56, 0.005);
}

#[test]
fn one_phase_has_no_unbalance_to_judge() {
    let stage = assessed(&document()).as_found;
    assert_eq!(verdict_in(&stage, "phase_unbalance_pct"), None);
}

#[test]
fn a_capacitor_of_the_wrong_size_is_held_against_the_motors_plate_too() {
    let wrong = with("/system/capacitor_fan_required_uf", 7.5);
    let within = verdict(&wrong, "capacitor_fan_deviation_pct");
    assert_eq!(within.outcome, Outcome::Within, "as good as its own rating");
    let judged = verdict(&wrong, "capacitor_fan_required_deviation_pct");
    assert_near(judged.value.unwrap(), 100.0 * (5.0 - 7.5) / 7.5, 1e-12);
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::Low)));
    assert_eq!(judged.reason, "Fan capacitor against the motor 5.0 µF is below 7.1.");
}

#[test]
fn a_capacitor_of_the_right_size_is_judged_once() {
    let right = with("/system/capacitor_fan_required_uf", 5.0);
    let stage = assessed(&right).as_found;
    assert_eq!(verdict_in(&stage, "capacitor_fan_required_deviation_pct"), None);
}

#[test]
fn a_breaker_lies_between_what_the_wires_need_and_what_the_plate_allows() {
    for (amps, outcome) in [
        (14.0, Outcome::Outside),
        (15.0, Outcome::Within),
        (25.0, Outcome::Within),
        (40.0, Outcome::Outside),
    ] {
        let judged = verdict(&with("/system/breaker_amps", amps), "breaker_amps");
        assert_eq!(judged.outcome, outcome, "{amps}: {}", judged.reason);
    }
    let large = verdict(&with("/system/breaker_amps", 40.0), "breaker_amps");
    assert_eq!(
        large.reason,
        "Breaker or fuse 40 A is above 25. It is larger than the plate allows."
    );
}

#[test]
fn a_breaker_without_a_plate_is_not_judged() {
    let bare = changed(
        without("/system/minimum_circuit_amps"),
        "/system/maximum_overcurrent_amps",
        serde_json::Value::Null,
    );
    assert_eq!(verdict(&bare, "breaker_amps").outcome, Outcome::NotTaken);
}

#[test]
fn electric_heat_while_cooling_is_outside() {
    let judged = verdict(&with("/as_found/strip_heat_amps", 18.1), "strip_heat_amps");
    assert_eq!(judged.outcome, Outcome::Outside);
    assert!(judged.reason.contains("heats while it cools"), "{}", judged.reason);
}

#[test]
fn blower_amps_are_read_by_the_kind_of_blower() {
    let high = with("/as_found/blower_amps", 5.2);
    let psc = verdict(&high, "blower_amps_pct_of_fla").reason;
    assert!(psc.contains("Ducts don't raise it"), "{psc}");
    let steady = changed(high, "/system/blower_kind", "constant_airflow");
    let steady = verdict(&steady, "blower_amps_pct_of_fla").reason;
    assert!(steady.contains("Ducts raise it"), "{steady}");
}

#[test]
fn a_thermostat_is_held_against_the_thermometer_beside_it() {
    let judged = verdict(&with("/as_found/thermostat_beside_f", 71.0), "thermostat_error_f");
    assert_near(judged.value.unwrap(), 5.0, 1e-12);
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::High)));
}

#[test]
fn a_unit_that_leans_is_outside() {
    let judged =
        verdict(&with("/as_found/unit_slope_side_in_per_ft", 0.5), "unit_slope_side_in_per_ft");
    assert_eq!(judged.outcome, Outcome::Outside);
}

#[test]
fn volts_at_rest_are_judged_beside_the_running_ones() {
    let high = changed(
        with("/as_found/volts_outdoor_idle", 258.0),
        "/as_found/volts_outdoor_running",
        250.0,
    );
    assert_eq!(verdict(&high, "volts_outdoor_deviation_pct").outcome, Outcome::Within);
    let judged = verdict(&high, "volts_outdoor_idle_deviation_pct");
    assert_eq!((judged.outcome, judged.side), (Outcome::Outside, Some(Side::High)));
    let alone = without("/as_found/volts_outdoor_running");
    let stage = assessed(&alone).as_found;
    assert_eq!(verdict_in(&stage, "volts_outdoor_idle_deviation_pct"), None);
}

#[test]
fn three_phases_stand_for_the_line_voltage() {
    let phases = changed(without("/as_found/volts_outdoor_running"), "/system/phases", 3);
    let phases = changed(phases, "/as_found/volts_l1_l2", 228.0);
    let phases = changed(phases, "/as_found/volts_l2_l3", 230.0);
    let phases = changed(phases, "/as_found/volts_l3_l1", 232.0);
    assert_near(value(&phases, "volts_outdoor_deviation_pct").unwrap(), 0.0, 1e-12);
}

#[test]
fn a_current_over_the_continuous_one_is_said_to_be_so() {
    let hot = changed(with("/system/compressor_mcc", 16.0), "/as_found/compressor_amps", 17.5);
    let judged = verdict(&hot, "compressor_amps_pct_of_rla");
    assert!(judged.reason.ends_with("maximum continuous current too."), "{}", judged.reason);
    let warm = changed(hot, "/as_found/compressor_amps", 12.0);
    let judged = verdict(&warm, "compressor_amps_pct_of_rla");
    assert!(!judged.reason.contains("continuous"), "{}", judged.reason);
}

#[test]
fn a_limit_is_written_with_the_decimals_that_it_has() {
    let judged = verdict(&with("/as_found/volts_indoor", 119.0), "volts_indoor_deviation_pct");
    assert_eq!(judged.reason, "Indoor line voltage 119 V is within 108 to 132.");
    let nominal = with("/system/volts_indoor_rated", "115");
    let judged = verdict(&nominal, "volts_indoor_deviation_pct");
    assert_eq!(judged.reason, "Indoor line voltage 121 V is within 103.5 to 126.5.");
}

#[test]
fn a_tolerance_that_no_can_names_is_said_to_be_the_books() {
    let unnamed = without("/system/capacitor_tolerance_pct");
    let judged = verdict(&unnamed, "capacitor_fan_deviation_pct");
    assert!(judged.source.starts_with("the can's tolerance is not on record"), "{}", judged.source);
    assert_near(judged.high.unwrap(), 6.0, 1e-12);
}
