//! The sheet has every measuring point, as found and as left, no field twice, and fits its system.

use std::collections::BTreeSet;

use fairweather::domain::finding;
use fairweather::domain::nameplate::SYSTEM_KINDS;
use fairweather::domain::sheet::{self, BLOCKS, Field};
use fairweather::domain::visit::Stage;
use fairweather::engine::assess;
use fairweather::engine::assessment::Outcome;
use fairweather::engine::case::read_case;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::points::{POINTS, Point};
use serde_json::{Map, Value, json};

#[test]
fn every_measuring_point_is_on_the_sheet_as_found_and_as_left() {
    let on_sheet: BTreeSet<(&str, Stage)> = BLOCKS
        .iter()
        .flat_map(|block| block.fields)
        .filter_map(|field| match field {
            Field::Reading(point, stage) => Some((*point, *stage)),
            _ => None,
        })
        .collect();
    let wanted: BTreeSet<(&str, Stage)> = POINTS
        .iter()
        .flat_map(|point| [(point.key, Stage::AsFound), (point.key, Stage::AsLeft)])
        .collect();
    let missing: Vec<_> = wanted.difference(&on_sheet).collect();
    let unknown: Vec<_> = on_sheet.difference(&wanted).collect();
    assert!(missing.is_empty() && unknown.is_empty(), "missing {missing:?}, unknown {unknown:?}");
}

#[test]
fn no_field_is_on_the_sheet_twice_and_the_blocks_are_numbered_in_order() {
    let mut names = BTreeSet::new();
    for (index, block) in BLOCKS.iter().enumerate() {
        assert_eq!(block.number, index + 1);
        for field in block.fields {
            assert!(names.insert(field.name()), "{} is there twice", field.name());
        }
    }
    assert_eq!(BLOCKS.len(), 14);
}

#[test]
fn every_observation_and_hazard_amounts_to_something_when_it_is_bad() {
    for field in BLOCKS.iter().flat_map(|block| block.fields) {
        if let Field::Observation(..) | Field::Hazard(..) = field {
            assert!(finding::of_field(&field.key()).is_some(), "{}", field.key());
        }
    }
}

/// Systems of every kind with what decides about their sheets.
fn systems() -> Vec<Value> {
    let mut all = Vec::new();
    for (kind, _) in SYSTEM_KINDS {
        let cabinets: &[&str] = match *kind {
            "ductless" => &[""],
            kind if kind.starts_with("packaged") => &["packaged"],
            _ => &["", "furnace_with_cased_coil", "air_handler", "blower_with_upstream_coil"],
        };
        for cabinet in cabinets {
            let with = |phases: i32, metering: &str| {
                let mut system = json!({
                    "kind": kind, "metering": metering, "refrigerant": "R-410A",
                    "nominal_tons": 3.0, "phases": phases, "target_subcooling_f": 10.0,
                    "volts_outdoor_rated": "208/230", "volts_indoor_rated": "115",
                    "filter_location": "outside_cabinet", "max_external_static_inwc": 0.5,
                });
                if !cabinet.is_empty() {
                    system["cabinet"] = json!(cabinet);
                }
                system
            };
            let valve = "thermostatic_expansion";
            all.extend([with(1, valve), with(3, valve), with(1, "fixed_orifice")]);
        }
    }
    all
}

/// The measures that nothing could be said of, with these points read.
fn not_taken(system: &Value, points: impl Iterator<Item = &'static Point>) -> BTreeSet<String> {
    let middle = |it: &'static Point| (it.key.to_owned(), json!(f64::midpoint(it.low, it.high)));
    let found: Map<String, Value> = points.map(middle).collect();
    let document = json!({
        "id": "1", "mode": "cooling", "system": system, "site": {"elevation_ft": 300.0},
        "as_found": found,
    });
    let case = read_case(&document).expect("the engine takes it");
    let verdicts = assess(&case, &LimitBook::default()).as_found.verdicts;
    let open = verdicts.into_iter().filter(|it| it.outcome == Outcome::NotTaken);
    open.map(|it| it.measure.to_string()).collect()
}

#[test]
fn what_a_sheet_leaves_out_would_not_have_been_judged_on_that_system() {
    for system in systems() {
        let fits =
            |it: &&'static Point| sheet::fits(Field::Reading(it.key, Stage::AsFound), &system);
        let whole = not_taken(&system, POINTS.iter());
        let fitted = not_taken(&system, POINTS.iter().filter(fits));
        // With all of them read, more is asked about: a capacitor that nobody should have read.
        assert!(fitted.is_subset(&whole), "{system}: {:?}", fitted.difference(&whole));
    }
}

#[test]
fn three_phase_rows_stand_only_on_three_phase_sheets() {
    let has = |point, phases: i32| {
        let system = json!({"kind": "split_air_conditioner", "phases": phases});
        sheet::fits(Field::Reading(point, Stage::AsFound), &system)
    };
    for point in ["volts_l1_l2", "compressor_amps_l3"] {
        assert!(has(point, 3) && !has(point, 1), "{point}");
    }
    for point in ["compressor_amps", "capacitor_compressor_uf"] {
        assert!(has(point, 1) && !has(point, 3), "{point}");
    }
}

#[test]
fn a_ductless_sheet_asks_for_no_ducts_and_an_air_handlers_for_no_flame() {
    let fits = |field, system: Value| sheet::fits(field, &system);
    let ductless = json!({"kind": "ductless"});
    let handler = json!({"kind": "split_heat_pump", "cabinet": "air_handler"});
    let furnace = json!({"kind": "split_air_conditioner", "cabinet": "furnace_with_cased_coil"});
    let statics = Field::Reading("static_return_inwc", Stage::AsFound);
    let exchanger = Field::Hazard("heat_exchanger", "");
    let strip = Field::Reading("strip_heat_amps", Stage::AsFound);
    assert!(!fits(statics, ductless) && fits(statics, furnace.clone()));
    assert!(!fits(exchanger, handler.clone()) && fits(exchanger, furnace.clone()));
    assert!(fits(strip, handler) && !fits(strip, furnace));
}

#[test]
fn every_defect_that_readings_stand_behind_is_on_the_sheet_and_so_are_they() {
    let fields: Vec<Field> = BLOCKS.iter().flat_map(|it| it.fields).copied().collect();
    let mut defects = 0;
    for field in &fields {
        let Field::Observation(key, _) = field else { continue };
        for point in sheet::behind(key) {
            let read = Field::Reading(point, Stage::AsFound);
            let again = Field::Reading(point, Stage::AsLeft);
            assert!(fields.contains(&read) && fields.contains(&again), "{key}: {point}");
        }
        defects += usize::from(!sheet::behind(key).is_empty());
    }
    assert!(defects >= 15, "{defects} of the table are on the sheet");
}
