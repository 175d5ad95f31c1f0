//! Plates: from the form to the engine's facts, whole, and back to the form.

use fairweather::domain::form::Form;
use fairweather::domain::nameplate::{self, PLATE_FIELDS, Part, PlateKind};
use fairweather::engine::case::read_case;
use serde_json::{Value, json};

fn form(fields: &[(&str, &str)]) -> Form {
    Form::new(fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())))
}

/// A text that a field takes.
fn example(kind: &PlateKind) -> String {
    match kind {
        PlateKind::Number { bounds, whole: false, .. } => {
            f64::midpoint(bounds.0, bounds.1).to_string()
        }
        PlateKind::Number { .. } => "1".to_owned(),
        PlateKind::Choice(choices) => choices[0].0.to_owned(),
        PlateKind::Charge => "86".to_owned(),
        PlateKind::Text => "as printed".to_owned(),
        PlateKind::AirflowTable => "med high 0.5 820\nlow 0.3 700".to_owned(),
        PlateKind::SuperheatChart => "75 62 20\n95 62 9,5\n95 66 15".to_owned(),
    }
}

#[test]
fn every_field_of_every_plate_reaches_the_engine_or_is_kept_on_purpose() {
    let mut plates = Vec::new();
    for part in Part::ALL {
        let texts: Vec<(String, String)> = nameplate::fields_of(part)
            .map(|field| (field.key.to_owned(), example(&field.kind)))
            .collect();
        let mut form = Form::new(texts.clone());
        let plate = Value::Object(nameplate::read(&mut form, part));
        assert!(form.is_good(), "{:?}", form.faults());
        for (key, text) in &texts {
            let again = nameplate::typed_again(&plate[key]).replace(',', ".");
            assert_eq!(again, text.replace(',', "."), "{key} comes back as it was typed");
        }
        plates.push(plate);
    }
    let facts = nameplate::system_facts("split_air_conditioner", &plates);
    let document = json!({"id": "1", "mode": "cooling", "system": facts});
    let case = read_case(&document).expect("the engine takes the facts");
    assert_eq!(case.system.refrigerant, "R-410A");
    let chart = case.system.superheat_chart.expect("a chart");
    assert_eq!(chart.outdoor_db_f, [75.0, 95.0]);
    assert_eq!(chart.superheat_f, [vec![Some(20.0), None], vec![Some(9.5), Some(15.0)]]);
    assert_eq!(case.system.airflow_table.expect("a table").len(), 2);
}

#[test]
fn a_value_that_no_plate_has_is_refused_with_what_is_accepted() {
    for (key, text, part, word) in [
        ("nominal_tons", "200", Part::OutdoorUnit, "0.5 to 30"),
        ("compressor_rla", "ten", Part::OutdoorUnit, "not a number"),
        ("phases", "1.5", Part::OutdoorUnit, "whole number"),
        ("refrigerant", "R-9000", Part::OutdoorUnit, "choose one of"),
        ("airflow_table", "med 820", Part::AirMover, "One row a line"),
        ("superheat_chart", "95 62", Part::IndoorCoil, "One row a line"),
    ] {
        let mut form = form(&[(key, text)]);
        nameplate::read(&mut form, part);
        let sentence = form.fault(key).unwrap_or_else(|| panic!("{key} was taken"));
        assert!(sentence.contains(word), "{sentence}");
        assert_eq!(form.typed(key), text, "the typed text stays");
    }
}

#[test]
fn a_charge_is_read_as_plates_print_it() {
    for (text, ounces) in [
        ("86", Some(86.0)),
        ("86 oz", Some(86.0)),
        ("5 lb 6 oz", Some(86.0)),
        ("5lbs 6oz", Some(86.0)),
        ("5.5 lb", Some(88.0)),
        ("5 lb 6", None),
        ("a lot", None),
        ("0", None),
    ] {
        let mut form = form(&[("factory_charge_oz", text)]);
        let plate = nameplate::read(&mut form, Part::OutdoorUnit);
        let read = plate.get("factory_charge_oz").and_then(Value::as_f64);
        assert_eq!(read, ounces, "{text}");
        assert_eq!(form.is_good(), ounces.is_some(), "{text}");
    }
}

#[test]
fn no_field_stands_on_two_plates() {
    for (index, field) in PLATE_FIELDS.iter().enumerate() {
        let again = PLATE_FIELDS.iter().skip(index + 1).any(|other| other.key == field.key);
        assert!(!again, "{}", field.key);
    }
}

#[test]
fn every_refrigerant_of_the_plate_is_one_of_the_engine_and_the_other_way_round() {
    let field = PLATE_FIELDS.iter().find(|field| field.key == "refrigerant").unwrap();
    let PlateKind::Choice(choices) = field.kind else { panic!("a choice") };
    let mut mine: Vec<&str> = choices.iter().map(|choice| choice.0).collect();
    let mut engine: Vec<&str> = fairweather::engine::refrigerant::designations().collect();
    mine.sort_unstable();
    engine.sort_unstable();
    assert_eq!(mine, engine);
}
