//! This visit beside the last: every field once, and what moved much.

use fairweather::domain::last_visit::LastField;
use fairweather::domain::sheet::BLOCKS;
use fairweather::engine::assess;
use fairweather::engine::assessment::{Assessment, Outcome};
use fairweather::engine::limits::LimitBook;
use fairweather::review::side_by_side::{Fields, Line, side_by_side};

use crate::engine::nominal_case::{case, document};

fn fields(of: &[(&str, &str, Option<Outcome>)]) -> Fields {
    let field = |(name, text, outcome): &(&str, &str, Option<Outcome>)| {
        ((*name).to_owned(), LastField { text: (*text).to_owned(), outcome: *outcome })
    };
    of.iter().map(field).collect()
}

fn lines(last: &Fields, now: &Fields) -> Vec<Line> {
    side_by_side((last, None), (now, None)).into_iter().flat_map(|it| it.1).collect()
}

/// What moved in one field between two texts.
fn moved(key: &str, was: &str, is: &str) -> Vec<String> {
    let name = format!("as_found.{key}");
    let (last, now) = (fields(&[(&name, was, None)]), fields(&[(&name, is, None)]));
    let all = lines(&last, &now);
    all.into_iter().find(|it| it.field.key() == key).unwrap().moved
}

#[test]
fn every_field_stands_once_as_left_beside_as_found() {
    let last = fields(&[("as_found.capacitor_fan_uf", "4.1 µF", None)]);
    let now = fields(&[
        ("as_found.capacitor_fan_uf", "4.2 µF", None),
        ("as_left.capacitor_fan_uf", "5.0 µF", None),
    ]);
    let all = lines(&last, &now);
    let keys: std::collections::BTreeSet<String> =
        BLOCKS.iter().flat_map(|block| block.fields).map(|it| it.key()).collect();
    assert_eq!(all.len(), keys.len());
    let here: Vec<&Line> = all.iter().filter(|it| !it.is_empty()).collect();
    assert_eq!(here.len(), 1);
    let text = |field: &Option<LastField>| field.as_ref().map(|it| it.text.clone());
    assert_eq!(text(&here[0].last).as_deref(), Some("4.1 µF"));
    assert_eq!(text(&here[0].found).as_deref(), Some("4.2 µF"));
    assert_eq!(text(&here[0].left).as_deref(), Some("5.0 µF"));
    assert_eq!(text(&here[0].last_left), None);
}

#[test]
fn a_part_that_fades_moved_and_one_within_the_instruments_error_did_not() {
    assert_eq!(moved("capacitor_compressor_uf", "44.8 µF", "38.0 µF"), ["down 15 %"]);
    assert!(moved("capacitor_compressor_uf", "44.8 µF", "44.1 µF").is_empty());
    assert_eq!(moved("static_after_coil_inwc", "0.12 in. w.c.", "0.31 in. w.c."), ["up 158 %"]);
}

#[test]
fn what_follows_the_day_does_not_move_by_itself() {
    assert!(moved("outdoor_db_f", "88 °F", "71 °F").is_empty());
    assert!(moved("liquid_pressure_psig", "320 psig", "250 psig").is_empty());
}

#[test]
fn it_is_counted_from_how_it_was_left_behind() {
    let last = fields(&[
        ("as_found.capacitor_fan_uf", "3.9 µF", None),
        ("as_left.capacitor_fan_uf", "5.0 µF", None),
    ]);
    let now = fields(&[("as_found.capacitor_fan_uf", "4.0 µF", None)]);
    let all = lines(&last, &now);
    let line = all.iter().find(|it| it.field.key() == "capacitor_fan_uf").unwrap();
    assert_eq!(line.moved, ["down 20 %"]);
}

#[test]
fn an_observation_moves_when_it_comes_to_something_else_that_matters() {
    let moved = |was: &str, is: &str| moved("observe.coil_face", was, is);
    assert_eq!(moved("In order", "Needs attention"), ["was in order"]);
    assert_eq!(moved("Needs attention", "Needs attention"), ["needs attention again"]);
    assert_eq!(moved("Found bad and fixed", "Needs attention"), ["bad again since it was fixed"]);
    assert_eq!(moved("Needs attention", "In order"), ["in order now"]);
    assert!(moved("In order", "In order").is_empty());
    assert!(moved("In order", "Does not apply").is_empty());
}

#[test]
fn what_was_read_last_time_and_not_this_time_says_so() {
    let last = fields(&[("as_found.return_wb_f", "63 °F", None)]);
    let all = lines(&last, &fields(&[("as_found.return_db_f", "76 °F", None)]));
    let moved = |key: &str| &all.iter().find(|it| it.field.key() == key).unwrap().moved;
    assert_eq!(*moved("return_wb_f"), ["not looked at this time"]);
    assert!(moved("return_db_f").is_empty());
}

#[test]
fn a_verdict_that_turned_says_so() {
    let turned = |was: Outcome, is: Outcome| {
        let last = fields(&[("as_found.contactor_drop_mv", "80 mV", Some(was))]);
        let now = fields(&[("as_found.contactor_drop_mv", "81 mV", Some(is))]);
        let all = lines(&last, &now);
        all.into_iter().find(|it| it.field.key() == "contactor_drop_mv").unwrap().moved
    };
    assert_eq!(turned(Outcome::Within, Outcome::Outside), ["was within, is outside"]);
    assert_eq!(turned(Outcome::Outside, Outcome::Outside), ["outside again"]);
    assert_eq!(turned(Outcome::Outside, Outcome::Within), ["was outside, is within"]);
    assert!(turned(Outcome::Within, Outcome::TooClose).is_empty());
}

#[test]
fn a_measure_that_moved_a_third_of_its_band_is_named_at_its_reading() {
    let judged = |line: f64| -> Assessment {
        let mut document = document();
        document["as_found"]["suction_line_f"] = line.into();
        assess(&case(&document), &LimitBook::default())
    };
    let (cold, warm) = (judged(50.0), judged(64.0));
    let now = fields(&[
        ("as_found.suction_pressure_psig", "125 psig", None),
        ("as_found.suction_line_f", "64 °F", None),
    ]);
    let moved = |before: &Assessment| -> Vec<String> {
        let blocks = side_by_side((&now, Some(before)), (&now, Some(&warm)));
        let mut lines = blocks.into_iter().flat_map(|it| it.1);
        lines.find(|it| it.field.key() == "suction_line_f").unwrap().moved
    };
    assert!(
        moved(&cold).iter().any(|it| it.starts_with("Superheat: up by 14.0")),
        "{:?}",
        moved(&cold)
    );
    assert!(moved(&warm).is_empty());
}

#[test]
fn without_a_last_visit_nothing_moved() {
    let now = fields(&[("as_found.capacitor_fan_uf", "4.0 µF", Some(Outcome::Outside))]);
    assert!(lines(&Fields::new(), &now).iter().all(|it| it.moved.is_empty()));
}
