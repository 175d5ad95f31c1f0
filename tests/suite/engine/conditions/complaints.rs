//! Complaints that a reading bears out, and what would explain them.

use fairweather::engine::assessment::Complaint;
use fairweather::engine::causes::CauseName;
use fairweather::engine::conditions::{
    COMPLAINTS, ComplaintName, ConditionName, EXPLANATIONS, explains,
};
use fairweather::engine::measures::measure;
use serde_json::Value;

use super::super::nominal_case::{assessed, changed, document, with};

fn complaints(document: &Value) -> Vec<Complaint> {
    assessed(document).as_found.complaints
}

#[track_caller]
fn only(document: &Value) -> Complaint {
    let complaints = complaints(document);
    let [only] = complaints.as_slice() else { panic!("{complaints:?}") };
    only.clone()
}

#[test]
fn complaints_stand_in_the_order_of_their_names_and_explanations_name_what_is_weighed() {
    for (place, info) in COMPLAINTS.iter().enumerate() {
        assert_eq!(info.name as usize, place);
        assert_eq!(ComplaintName::of_key(info.key), Some(info.name));
        assert!(measure(info.measure).is_some(), "{}", info.measure);
        assert!(explains(info.name).next().is_some());
    }
    for it in EXPLANATIONS {
        let is_weighed =
            ConditionName::of_key(it.by).is_some() || CauseName::of_key(it.by).is_some();
        assert!(is_weighed && !it.how.is_empty(), "{}", it.by);
    }
}

#[test]
fn a_house_at_ease_has_none_and_the_field_is_left_out() {
    assert_eq!(complaints(&document()), []);
    let printed = serde_json::to_value(assessed(&document())).unwrap();
    assert!(printed["as_found"].get("complaints").is_none());
}

#[test]
fn a_warm_room_is_tied_to_what_was_found_likely() {
    let warm = with("/as_found/room_difference_f", 9);
    let warm = changed(warm, "/observations/as_found/duct_gaps", "attention");
    let warm = changed(warm, "/as_found/static_after_coil_inwc", 0.30);
    let complaint = only(&changed(warm, "/as_found/static_before_coil_inwc", 0.49));
    assert_eq!(complaint.complaint, "warm_room");
    assert_eq!(complaint.explained_by, ["duct_leakage", "closed_or_undersized_ducts"]);
    assert_eq!(
        complaint.reason,
        "It would fit that cooled air is lost from the ducts before it reaches the room, and that \
         too little air gets through the ducts to some rooms."
    );
}

#[test]
fn what_is_merely_possible_explains_nothing() {
    let warm = with("/as_found/room_difference_f", 9);
    let possible = changed(warm, "/as_found/static_after_filter_inwc", -0.21);
    assert!(super::share(&possible, ConditionName::DirtyFilter) > 0.2);
    assert_eq!(only(&possible).explained_by, [""; 0]);
}

#[test]
fn what_does_not_concern_a_room_explains_nothing_of_it() {
    let warm = with("/as_found/room_difference_f", 9);
    let weak = changed(warm, "/as_found/capacitor_fan_uf", 4.0);
    assert!(super::share(&weak, ConditionName::WeakCapacitor) > 0.9);
    assert_eq!(only(&weak).explained_by, [""; 0]);
}

#[test]
fn where_nothing_found_explains_it_that_is_said_with_the_reading_that_would_tell() {
    let warm = with("/as_found/room_difference_f", 9);
    let reason = only(&warm).reason;
    assert!(reason.starts_with("Nothing that was found explains it"), "{reason}");
    assert!(reason.ends_with("supply air at the far register."), "{reason}");
    let read = changed(warm, "/as_found/supply_register_db_f", 58.0);
    assert!(only(&read).reason.contains("closed registers"));
}

#[test]
fn a_thermostat_that_reads_off_is_said_to_and_what_to_look_at() {
    let off = only(&with("/as_found/thermostat_reading_f", 80));
    assert_eq!(off.complaint, "thermostat_off");
    assert!(off.reason.contains("draft"), "{off:?}");
}

#[test]
fn too_close_to_call_is_no_complaint_borne_out() {
    assert_eq!(complaints(&with("/as_found/room_difference_f", 6.2)), []);
}

#[test]
fn a_cause_that_was_found_likely_explains_it_too() {
    let starved = [
        ("suction_pressure_psig", 95.0),
        ("suction_line_f", 75.0),
        ("liquid_pressure_psig", 290.0),
        ("liquid_line_f", 96.0),
        ("supply_db_f", 66.0),
        ("supply_wb_f", 60.0),
    ];
    let warm = with("/as_found/room_difference_f", 9);
    let warm = changed(warm, "/as_found/discharge_line_f", Value::Null);
    let warm = changed(warm, "/as_found/compressor_amps", Value::Null);
    let starved = starved.iter().fold(warm, |document, (key, value)| {
        changed(document, &format!("/as_found/{key}"), *value)
    });
    let likely = assessed(&starved).as_found.causes.into_iter().next().unwrap();
    assert!(likely.probability > 0.5, "{likely:?}");
    assert_eq!(only(&starved).explained_by, [likely.cause]);
}
