//! What stood in each field of a sheet, and what came of it.

use std::collections::BTreeMap;

use fairweather::domain::last_visit::{LastField, TypedField, fields_of};
use fairweather::domain::visit::Stage;
use fairweather::engine::assess;
use fairweather::engine::assessment::{Assessment, Outcome};
use fairweather::engine::limits::LimitBook;

use crate::engine::nominal_case::{case, document};

fn entry<'a>(field: &'a str, typed: &'a str) -> TypedField<'a> {
    TypedField { stage: Stage::AsFound, field, typed, is_refused: false }
}

fn judged(change: impl FnOnce(&mut serde_json::Value)) -> Assessment {
    let mut document = document();
    change(&mut document);
    assess(&case(&document), &LimitBook::default())
}

fn text(fields: &BTreeMap<String, LastField>, name: &str) -> String {
    fields.get(name).map_or_else(String::new, |it| it.text.clone())
}

#[test]
fn each_kind_of_field_says_itself_in_words() {
    let entries = [
        entry("return_wb_f", "63"),
        entry("observe.coil_face", "attention"),
        entry("remark.coil_face", "yes"),
        entry("work.filter_replaced", "yes"),
        entry("words.rooms", "The study"),
    ];
    let fields = fields_of(entries, None);
    assert_eq!(text(&fields, "as_found.return_wb_f"), "63 °F");
    assert_eq!(text(&fields, "as_found.observe.coil_face"), "Needs attention");
    assert_eq!(text(&fields, "as_found.remark.coil_face"), "yes", "a remark is text");
    assert_eq!(text(&fields, "as_found.work.filter_replaced"), "ticked");
    assert_eq!(text(&fields, "as_found.words.rooms"), "The study");
}

#[test]
fn the_newest_entry_counts_unless_it_was_taken_back_or_can_t_be() {
    let refused = TypedField { is_refused: true, ..entry("return_db_f", "760") };
    let left = TypedField { stage: Stage::AsLeft, ..entry("return_wb_f", "62") };
    let entries = [
        entry("return_wb_f", "63"),
        entry("return_wb_f", "64"),
        left,
        entry("supply_db_f", "57"),
        entry("supply_db_f", ""),
        entry("return_db_f", "76"),
        refused,
    ];
    let fields = fields_of(entries, None);
    let names: Vec<&str> = fields.keys().map(String::as_str).collect();
    assert_eq!(names, ["as_found.return_wb_f", "as_left.return_wb_f"]);
    assert_eq!(text(&fields, "as_found.return_wb_f"), "64 °F");
}

#[test]
fn a_measures_outcome_stands_at_the_last_of_its_readings() {
    let weak = judged(|it| it["as_found"]["capacitor_compressor_uf"] = 36.0.into());
    let entries = [entry("capacitor_compressor_uf", "36"), entry("suction_pressure_psig", "125")];
    let fields = fields_of(entries, Some(&weak));
    let outcome = |name: &str| fields[name].outcome;
    assert_eq!(outcome("as_found.capacitor_compressor_uf"), Some(Outcome::Outside));
    // The superheat needs the suction line too, but of the two only this was typed here.
    assert_eq!(outcome("as_found.suction_pressure_psig"), Some(Outcome::Within));
    let both = [entry("suction_pressure_psig", "125"), entry("suction_line_f", "56")];
    let both = fields_of(both, Some(&weak));
    assert!(both["as_found.suction_line_f"].outcome.is_some());
    assert!(weak.as_found.verdicts.iter().any(|it| it.measure == "superheat_f"));
}
