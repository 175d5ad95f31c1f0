//! What speaks for a cause, and the next reading that would decide.

use serde_json::{Value, json};

use super::{cause, changed, document, first, found, probability, visit_of, with};

#[test]
fn low_charge_on_a_valve_rests_on_the_subcooling_that_is_gone() {
    let stage = found(&visit_of("txv", "undercharge", 0.75));
    assert_eq!(first(&stage), "low_charge");
    let low = cause(&stage, "low_charge");
    assert_eq!(low.evidence_for.first().map(String::as_str), Some("subcooling_f"), "{low:?}");
    let severity = low.severity.clone().unwrap();
    assert_eq!(severity.unit, "% of charge");
    assert!((severity.value + 25.0).abs() <= 2.0 * severity.u, "{severity:?}");
}

#[test]
fn each_severity_has_the_sign_of_what_is_missing_or_too_much() {
    let stage = found(&visit_of("txv", "overcharge", 1.3));
    for it in &stage.causes {
        let Some(severity) = &it.severity else { continue };
        let name = fairweather::engine::causes::CauseName::of_key(&it.cause).unwrap();
        let is_negative = severity.value < 0.0;
        assert_eq!(is_negative, name.is_a_lack(), "{it:?}");
        assert_eq!(severity.unit, name.info().unit);
        assert!(0.0 < severity.u);
    }
    assert!(stage.causes.iter().any(|it| it.cause == "no_fault" && it.severity.is_none()));
}

#[test]
fn the_standing_pressure_would_tell_a_foreign_gas_from_too_much_charge() {
    let stage = found(&visit_of("txv", "noncondensables", 300_000.0));
    let names: Vec<&str> = stage.causes.iter().take(2).map(|it| it.cause.as_str()).collect();
    assert!(names.contains(&"excess_charge") && names.contains(&"non_condensables"), "{names:?}");
    assert_eq!(stage.causes[0].tell_apart.as_deref(), Some("standing_pressure_psig"));
}

#[test]
fn a_standing_pressure_over_saturation_makes_the_foreign_gas_likelier() {
    let visit = visit_of("txv", "noncondensables", 300_000.0);
    let before = probability(&found(&visit), "non_condensables");
    // Saturation of R-410A at 82.4 degF is 245 psig; 20 psi above it.
    let high = changed(visit.clone(), "/as_found/standing_pressure_psig", 267.0);
    let right = changed(visit, "/as_found/standing_pressure_psig", 246.0);
    assert!(before + 0.2 < probability(&found(&high), "non_condensables"));
    assert!(probability(&found(&right), "non_condensables") < before);
}

#[test]
fn the_drier_would_tell_a_restriction_from_low_charge() {
    let stage = found(&visit_of("orifice", "liquid_line_restriction", 250_000.0));
    let two: Vec<&str> = stage.causes.iter().take(2).map(|it| it.cause.as_str()).collect();
    assert!(two.contains(&"feed_restriction"), "{two:?}");
    let next = cause(&stage, "feed_restriction").tell_apart.clone();
    assert_eq!(next.as_deref(), Some("drier_out_f"));
}

#[test]
fn cold_behind_the_drier_speaks_for_a_restriction() {
    let visit = visit_of("orifice", "liquid_line_restriction", 250_000.0);
    let before = probability(&found(&visit), "feed_restriction");
    let visit = changed(visit, "/as_found/drier_in_f", 90.0);
    let after = found(&changed(visit, "/as_found/drier_out_f", 83.0));
    assert!(before < probability(&after, "feed_restriction"));
    let restriction = cause(&after, "feed_restriction");
    assert!(restriction.evidence_for.iter().any(|it| it == "drier_drop_f"), "{restriction:?}");
}

#[test]
fn a_measured_airflow_settles_whether_air_is_short() {
    let visit = visit_of("txv", "low_indoor_airflow", 0.7);
    let before = probability(&found(&visit), "low_indoor_airflow");
    let short = found(&changed(visit.clone(), "/as_found/airflow_cfm", 840.0));
    let plenty = found(&changed(visit, "/as_found/airflow_cfm", 1200.0));
    assert!(before < probability(&short, "low_indoor_airflow"));
    assert!(probability(&plenty, "low_indoor_airflow") < before);
    assert!(
        cause(&short, "low_indoor_airflow")
            .evidence_for
            .iter()
            .any(|it| it == "airflow_cfm_per_ton")
    );
}

#[test]
fn no_reading_is_asked_for_that_was_taken() {
    for document in [document(), with("/as_found/liquid_line_f", 108.0)] {
        let stage = found(&document);
        let taken = document["as_found"].as_object().unwrap();
        for it in stage.causes.iter().filter_map(|it| it.tell_apart.as_ref()) {
            assert!(!taken.contains_key(it), "{it}");
        }
    }
}

#[test]
fn the_gauges_own_error_is_counted_once_for_all_that_lean_on_it() {
    // A suction gauge that reads 6 psi low: superheat and the coil's temperature move together, as
    // no fault moves them, so that a gauge known to be coarse makes no restriction of it.
    let coarse = with("/instruments/suction_pressure_psig", 6.0);
    let fine = with("/instruments/suction_pressure_psig", 0.3);
    let off = |it| changed(it, "/as_found/suction_pressure_psig", 113.0);
    let of_coarse = probability(&found(&off(coarse)), "no_fault");
    let of_fine = probability(&found(&off(fine)), "no_fault");
    assert!(of_fine < of_coarse, "{of_fine} {of_coarse}");
}

/// Once the valve is wide open, a leak looks to the coil as it does behind an orifice.
#[test]
fn a_great_leak_behind_a_valve_is_no_restriction_too() {
    let mut document = visit_of("txv", "undercharge", 0.7);
    // Coil 30 degF, superheat 38, subcooling none, condensing 10 over 95 degF.
    for (point, value) in [
        ("outdoor_db_f", 95.0),
        ("suction_pressure_psig", 97.0),
        ("suction_line_f", 68.0),
        ("liquid_pressure_psig", 341.0),
        ("liquid_line_f", 104.5),
        ("condenser_leaving_f", 102.0),
        ("supply_db_f", 68.0),
    ] {
        document = changed(document, &format!("/as_found/{point}"), value);
    }
    let document = changed(document, "/as_found/discharge_line_f", Value::Null);
    let stage = found(&document);
    assert_eq!(first(&stage), "low_charge", "{:?}", stage.causes);
    let severity = cause(&stage, "low_charge").severity.clone().unwrap();
    assert!(severity.value < -35.0, "{severity:?}");
}

/// Dirt on the coil raises its drop, which by itself would pass for more air.
#[test]
fn a_dirty_coil_does_not_hide_the_air_that_it_holds_back() {
    let visit = visit_of("txv", "low_indoor_airflow", 0.6);
    let before = probability(&found(&visit), "low_indoor_airflow");
    let reference = json!({"cfm": 1200, "drop_wet_inwc": 0.22});
    let visit = changed(visit, "/system/coil_reference", reference);
    let visit = changed(visit, "/as_found/static_before_coil_inwc", 0.9);
    let visit = changed(visit, "/as_found/static_after_coil_inwc", 0.3);
    assert!((probability(&found(&visit), "low_indoor_airflow") - before).abs() < 1e-12);
}

/// A drier that seems to warm the liquid is a clamp's error and no evidence of a restriction.
#[test]
fn a_residual_on_the_other_side_speaks_for_nothing() {
    let visit = visit_of("txv", "liquid_line_restriction", 800_000.0);
    let visit = changed(visit, "/as_found/drier_in_f", 90.0);
    let stage = found(&changed(visit, "/as_found/drier_out_f", 96.0));
    for it in stage.causes.iter().filter(|it| it.cause.contains("feed_restriction")) {
        assert!(!it.evidence_for.iter().any(|it| it == "drier_drop_f"), "{it:?}");
    }
}

#[test]
fn less_subcooling_never_makes_a_lack_of_charge_less_likely() {
    let of = |liquid_line: f64| {
        let visit = visit_of("txv", "undercharge", 0.75);
        probability(&found(&changed(visit, "/as_found/liquid_line_f", liquid_line)), "low_charge")
    };
    let all: Vec<f64> = (0..7).map(|it| of(82.0 + 2.0 * f64::from(it))).collect();
    assert!(all.is_sorted_by(|one, other| *one <= *other + 1e-9), "{all:?}");
}

/// Where nobody wrote the class down the unit may be old, and condense as high as that.
#[test]
fn an_old_unit_without_a_plate_is_not_blamed_for_its_age() {
    let mut visit = visit_of("txv", "none", 0.0);
    visit["system"]["seer"] = Value::Null;
    let pressure = visit["as_found"]["liquid_pressure_psig"].as_f64().unwrap();
    // Some 8 degF higher, liquid and leaving air with it.
    visit["as_found"]["liquid_pressure_psig"] = json!(pressure + 42.0);
    for (point, by) in [("liquid_line_f", 8.0), ("condenser_leaving_f", 5.0)] {
        let value = visit["as_found"][point].as_f64().unwrap();
        visit["as_found"][point] = json!(value + by);
    }
    let unknown = found(&visit);
    visit["system"]["seer"] = json!(16);
    let known = found(&visit);
    assert!(
        probability(&unknown, "low_outdoor_airflow") < probability(&known, "low_outdoor_airflow")
    );
}
