//! What stands on a limits sheet.

use fairweather::domain::sheet::BLOCKS;
use fairweather::engine::air::{barometric_pressure, warmest_dry_bulb};
use fairweather::engine::case::{Case, Circumstance};
use fairweather::engine::limits::{LimitBook, LimitName};
use fairweather::engine::limits_sheet::{LimitsSheet, SheetMeasure, limits_sheet};
use fairweather::engine::points::PointKey;
use fairweather::units::{Fahrenheit, Feet};
use serde_json::{Value, json};

use super::cases::drawn;
use super::script;
use crate::engine::nominal_case::{case, document, with, without};

/// The most that one system's sheet may weigh, as JSON.
const BYTES_MAX: usize = 40_000;

fn sheet(document: &Value) -> LimitsSheet {
    limits_sheet(&case(document), &LimitBook::default())
}

fn measure(document: &Value, key: &str) -> SheetMeasure {
    found(document, key).unwrap_or_else(|| panic!("no {key} on the sheet"))
}

fn found(document: &Value, key: &str) -> Option<SheetMeasure> {
    sheet(document).measures.into_iter().find(|it| it.measure == key)
}

#[test]
fn limits_are_those_of_the_book_and_of_the_plate() {
    let superheat = measure(&document(), "superheat_f");
    assert_eq!((superheat.low, superheat.high), (Some(4.0), Some(25.0)));
    assert_eq!(superheat.allowed, "4.0 to 25.0");
    let subcooling = measure(&document(), "subcooling_f");
    assert_eq!((subcooling.low, subcooling.high), (Some(7.0), Some(13.0)));
    let book = LimitBook::default().changed(LimitName::MeteringSuperheatLow, 6.0, "own");
    let changed = limits_sheet(&case(&document()), &book.expect("a book"));
    let superheat = changed.measures.iter().find(|it| it.measure == "superheat_f");
    assert_eq!(superheat.expect("superheat").low, Some(6.0));
    assert_eq!(changed.rules, "own");
}

#[test]
fn limits_in_percent_are_told_as_people_read_them() {
    assert_eq!(
        measure(&document(), "capacitor_compressor_deviation_pct").allowed,
        "42.75 to 47.25"
    );
    assert_eq!(measure(&document(), "volts_outdoor_deviation_pct").allowed, "187 to 253");
    assert_eq!(measure(&document(), "contactor_drop_mv").allowed, "at most 300");
    assert_eq!(measure(&document(), "saturated_suction_f").allowed, "at least 32.0");
}

#[test]
fn readings_of_the_case_do_not_count() {
    let mut unread = document();
    unread["as_found"] = json!({});
    assert_eq!(sheet(&document()), sheet(&unread));
}

#[test]
fn a_charge_by_its_target_superheat_needs_the_network() {
    let orifice = measure(&with("/system/metering", "fixed_orifice"), "superheat_f");
    assert!(orifice.network && orifice.ways.is_empty());
    assert!(!measure(&document(), "superheat_f").network);
    assert!(measure(&with("/system/rated_eer", 11.7), "capacity_ratio").network);
}

#[test]
fn saturations_are_looked_up_at_the_pressure_of_the_site() {
    let high = sheet(&with("/site/elevation_ft", 5_280.0));
    let barometric = barometric_pressure(Feet(5_280.0)).expect("air").number();
    assert_eq!(high.tables["dew"].psi, Some(barometric));
    assert_eq!(high.tables["bubble"].psi, Some(barometric));
}

#[test]
fn the_instrument_on_record_stands_for_the_usual_one() {
    let u = |document: &Value, key: &str| json!(sheet(document).points[key].u);
    assert_eq!(u(&document(), "suction_line_f"), json!([0.0, 0.7]));
    assert_eq!(u(&document(), "capacitor_fan_uf"), json!([0.02, 0.0]));
    let better = with("/instruments/suction_line_f", 0.2);
    assert_eq!(u(&better, "suction_line_f"), json!([0.0, 0.2]));
}

#[test]
fn only_what_the_system_has_is_on_its_sheet() {
    assert!(found(&document(), "phase_unbalance_pct").is_none());
    assert!(found(&with("/system/phases", 3), "phase_unbalance_pct").is_some());
    assert!(found(&document(), "approach_f").is_none());
    assert!(found(&with("/system/kind", "ductless"), "external_static_inwc").is_none());
    let drier = measure(&document(), "drier_drop_f").only_with.expect("only where it was read");
    assert_eq!(drier, [[PointKey::DrierInF], [PointKey::DrierOutF]]);
}

#[test]
fn a_fact_that_is_missing_is_named() {
    let document = without("/system/target_subcooling_f");
    assert_eq!(measure(&document, "subcooling_f").lacks, Some("the plate's target subcooling"));
    let document = without("/system/compressor_rla");
    let amps = measure(&document, "compressor_amps_pct_of_rla");
    assert_eq!(amps.lacks, Some("the compressor's rated amps"));
}

#[test]
fn a_limit_that_is_no_number_is_left_to_the_engine() {
    let mut strange = case(&document());
    strange.system.target_subcooling_f = Some(f64::NAN);
    let sheet = limits_sheet(&strange, &LimitBook::default());
    let subcooling = sheet.measures.iter().find(|it| it.measure == "subcooling_f");
    assert!(subcooling.expect("subcooling").network);
}

#[test]
fn every_field_is_one_of_the_check_sheet() {
    for drawn in drawn(100) {
        for measure in limits_sheet(&drawn.case, &drawn.book).measures {
            let mut fields = BLOCKS.iter().flat_map(|it| it.fields);
            assert!(fields.any(|it| it.key() == measure.field), "{measure:?}");
        }
    }
}

#[test]
fn what_a_sheet_names_stands_on_it() {
    for drawn in drawn(100) {
        let sheet = limits_sheet(&drawn.case, &drawn.book);
        for measure in &sheet.measures {
            assert!(sheet.procedures.contains_key(measure.procedure), "{measure:?}");
            let target = measure.around.iter().map(|it| &it.way);
            for way in measure.ways.iter().chain(target) {
                let is_known = |it: &PointKey| sheet.points.contains_key(it.key());
                assert!(way.points.iter().all(is_known), "{measure:?}");
                assert!(way.tables.iter().all(|it| sheet.tables.contains_key(it)), "{measure:?}");
            }
            assert_eq!(measure.network, measure.lacks.is_none() && measure.ways.is_empty());
        }
        let spoilers = sheet.procedures.values().flat_map(|it| &it.spoiled_by);
        assert!(spoilers.into_iter().all(|it| sheet.remedies.contains_key(it)));
    }
    assert_eq!(sheet(&document()).remedies.len(), Circumstance::ALL.len());
}

#[test]
fn doubts_lean_on_instruments_that_err_alike_at_any_value() {
    // Their slack is worked out before anything is read.
    let sheet = sheet(&document());
    for point in sheet.impossible.iter().flat_map(|it| &it.points) {
        let [share, _] = sheet.points[point.key()].u;
        assert!(share <= 0.0, "{}", point.key());
    }
}

#[test]
fn the_driest_air_is_as_the_engine_has_it() {
    for elevation in [-1_000.0, 0.0, 5_280.0, 12_000.0] {
        let document = with("/site/elevation_ft", elevation);
        let wet: Vec<f64> = (200..=900).map(|it| f64::from(it) / 10.0).collect();
        let body = "output = input.wet.map((it) => look(input.sheet.tables.warmest, it));";
        let looked = script::run(body, &json!({"sheet": sheet(&document), "wet": wet}));
        let barometric = barometric_pressure(Feet(elevation)).expect("air");
        for (wet, looked) in wet.iter().zip(looked.as_array().expect("a list")) {
            let warmest = warmest_dry_bulb(Fahrenheit(*wet), barometric).expect("air").number();
            match looked.as_f64() {
                Some(looked) => assert!((looked - warmest).abs() < 1e-4, "{wet}: {looked}"),
                None => assert!(110.0 < warmest, "{wet}: beyond the table, yet {warmest}"),
            }
        }
    }
}

#[test]
fn a_sheet_is_small_enough_for_a_phone() {
    let visits = drawn(300);
    let weigh = |case: &Case| {
        serde_json::to_string(&limits_sheet(case, &LimitBook::default())).expect("JSON").len()
    };
    let heaviest = visits.iter().map(|it| weigh(&it.case)).max().expect("a sheet");
    println!("the heaviest sheet has {heaviest} bytes, the nominal {}", weigh(&case(&document())));
    assert!(heaviest <= BYTES_MAX, "{heaviest}");
}
