//! Capacitors, contactor, volts, motors, breaker, reversing valve.

use fairweather::engine::conditions::ConditionName::{
    DraggingMotor, LowLineVoltage, OversizedBreaker, ReversingValveLeak, WeakCapacitor,
    WornContactor, WrongCapacitor,
};
use serde_json::Value;

use super::super::nominal_case::{changed, with};
use super::{found, is_unsaid, share};

#[test]
fn a_capacitor_below_its_tolerance_is_weak_and_reading_it_under_load_would_settle_it() {
    let condition = found(&with("/as_found/capacitor_compressor_uf", 41.5), WeakCapacitor);
    assert_eq!(condition.evidence_for, ["capacitor_compressor_deviation_pct"]);
    assert_eq!(condition.tell_apart.as_deref(), Some("start_winding_amps"));
    assert!((0.4..0.8).contains(&condition.probability), "{condition:?}");
    assert!(found(&with("/as_found/capacitor_compressor_uf", 38), WeakCapacitor).probability > 0.9);
}

#[test]
fn a_reading_under_load_speaks_for_itself() {
    let weak = with("/as_found/capacitor_compressor_uf", 41.5);
    let load = |amps: f64| {
        let document = changed(weak.clone(), "/as_found/start_winding_amps", amps);
        share(&changed(document, "/as_found/capacitor_running_volts", 380), WeakCapacitor)
    };
    // 41 µF and 45 µF under load.
    let alone = share(&weak, WeakCapacitor);
    assert!(load(6.45) < alone && alone < load(5.6), "{alone}");
}

#[test]
fn one_sound_capacitor_says_nothing_of_another() {
    let fan = with("/as_found/capacitor_fan_uf", 4.2);
    let alone = share(&fan, WeakCapacitor);
    let unread = changed(fan, "/as_found/capacitor_compressor_uf", Value::Null);
    assert!((share(&unread, WeakCapacitor) - alone).abs() < 0.01, "{alone}");
    assert!(alone > 0.9, "{alone}");
}

#[test]
fn a_strong_capacitor_is_not_weak() {
    assert!(is_unsaid(&with("/as_found/capacitor_compressor_uf", 52), WeakCapacitor));
}

#[test]
fn sections_that_read_as_each_other_are_swapped_and_not_weak() {
    let swapped = with("/as_found/capacitor_compressor_uf", 5.0);
    let swapped = changed(swapped, "/as_found/capacitor_fan_uf", 45.0);
    assert!(is_unsaid(&swapped, WeakCapacitor));
}

#[test]
fn a_can_that_the_motor_does_not_ask_for_is_the_wrong_one() {
    let wrong = with("/system/capacitor_compressor_required_uf", 40);
    let condition = found(&wrong, WrongCapacitor);
    assert!(condition.probability > 0.9, "{condition:?}");
    assert_eq!(condition.evidence_for, ["capacitor_compressor_required_deviation_pct"]);
    assert!(is_unsaid(&wrong, WeakCapacitor));
    let unread = changed(wrong.clone(), "/as_found/capacitor_compressor_uf", Value::Null);
    let condition = found(&unread, WrongCapacitor);
    assert_eq!(condition.tell_apart.as_deref(), Some("capacitor_compressor_uf"));
    // The record is old: what reads as the motor asks is the right one.
    let replaced = changed(wrong, "/as_found/capacitor_compressor_uf", 40.1);
    assert!(share(&replaced, WrongCapacitor) < condition.probability);
    assert!(is_unsaid(&with("/system/capacitor_compressor_required_uf", 45), WrongCapacitor));
}

#[test]
fn a_contactor_that_drops_too_much_is_worn_the_more_so_where_its_points_are_pitted() {
    let high = with("/as_found/contactor_drop_mv", 420);
    let condition = found(&high, WornContactor);
    assert_eq!(condition.evidence_for, ["contactor_drop_mv"]);
    let pitted = changed(high, "/observations/as_found/contactor_points", "attention");
    assert!(share(&pitted, WornContactor) > 0.9);
    assert!(condition.probability < share(&pitted, WornContactor));
}

#[test]
fn volts_below_the_range_are_low_whether_at_rest_or_only_under_load() {
    let sagging = found(&with("/as_found/volts_outdoor_running", 182), LowLineVoltage);
    assert_eq!(sagging.evidence_for, ["volts_outdoor_deviation_pct", "volts_sag_pct"]);
    let low = with("/as_found/volts_outdoor_running", 182);
    let low = changed(low, "/as_found/volts_outdoor_idle", 184);
    assert_eq!(found(&low, LowLineVoltage).evidence_for, ["volts_outdoor_deviation_pct"]);
    assert!(found(&low, LowLineVoltage).probability > 0.8);
    let indoors = found(&with("/as_found/volts_indoor", 104), LowLineVoltage);
    assert_eq!(indoors.evidence_for, ["volts_indoor_deviation_pct"]);
}

#[test]
fn a_fan_that_draws_more_than_its_plate_drags_unless_low_volts_explain_it() {
    let high = with("/as_found/condenser_fan_amps", 1.35);
    let condition = found(&high, DraggingMotor);
    assert_eq!(condition.evidence_for, ["condenser_fan_amps_pct_of_fla"]);
    let low = changed(high.clone(), "/as_found/volts_outdoor_running", 178);
    assert!(is_unsaid(&low, DraggingMotor));
    let unread = changed(high, "/as_found/volts_outdoor_running", Value::Null);
    let unread = changed(unread, "/as_found/volts_outdoor_idle", Value::Null);
    let less = found(&unread, DraggingMotor);
    assert!(less.probability < condition.probability);
    assert_eq!(less.tell_apart.as_deref(), Some("volts_outdoor_running"));
}

#[test]
fn a_compressor_that_condenses_hot_works_hard_and_does_not_drag() {
    let high = with("/as_found/compressor_amps", 13.5);
    assert!(share(&high, DraggingMotor) > 0.3);
    assert!(is_unsaid(
        &changed(high.clone(), "/as_found/liquid_pressure_psig", 520),
        DraggingMotor
    ));
    let unread =
        found(&changed(high, "/as_found/liquid_pressure_psig", Value::Null), DraggingMotor);
    assert_eq!(unread.tell_apart.as_deref(), Some("liquid_pressure_psig"));
}

#[test]
fn a_blower_that_keeps_its_airflow_may_draw_more_against_closed_ducts() {
    let high = with("/as_found/blower_amps", 5.4);
    let tight = changed(high.clone(), "/as_found/static_before_coil_inwc", 0.7);
    assert!(share(&tight, DraggingMotor) > 0.3, "a permanent split capacitor blower draws less");
    let keeps = changed(tight, "/system/blower_kind", "constant_airflow");
    assert!(is_unsaid(&keeps, DraggingMotor));
    let keeps = changed(high, "/system/blower_kind", "constant_airflow");
    assert!(share(&keeps, DraggingMotor) > 0.3);
}

#[test]
fn a_breaker_above_the_plate_is_oversized_and_one_below_is_not() {
    let condition = found(&with("/system/breaker_amps", 30), OversizedBreaker);
    assert_eq!(condition.evidence_for, ["breaker_amps"]);
    assert_eq!(condition.tell_apart, None);
    assert!(condition.probability > 0.9);
    assert!(is_unsaid(&with("/system/breaker_amps", 10), OversizedBreaker));
}

#[test]
fn a_reversing_valve_leaks_on_heat_pumps_only() {
    let rise = with("/as_found/reversing_valve_rise_f", 12);
    assert!(is_unsaid(&rise, ReversingValveLeak));
    let pump = changed(rise, "/system/kind", "split_heat_pump");
    let condition = found(&pump, ReversingValveLeak);
    assert!(condition.probability > 0.5, "{condition:?}");
    let cold = changed(pump, "/as_found/outdoor_db_f", 45);
    assert!(is_unsaid(&cold, ReversingValveLeak), "not valid today");
}
