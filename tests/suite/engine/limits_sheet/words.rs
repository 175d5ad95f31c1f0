//! What the phone's script says, in the words that a technician reads.

use fairweather::domain::form;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::limits_sheet::limits_sheet;
use serde_json::{Value, json};

use super::script;
use crate::engine::nominal_case::{case, document, with, without};

const JUDGE: &str = "output = judge(input.sheet, input.readings, input.ticks, input.minutes);";

/// What the script says of one measure of a document as found.
fn said(document: &Value, measure: &str) -> Value {
    said_with(document, measure, &json!([]))
}

fn said_with(document: &Value, measure: &str, ticks: &Value) -> Value {
    let sheet = limits_sheet(&case(document), &LimitBook::default());
    let readings = &document["as_found"];
    let input = json!({"sheet": sheet, "readings": readings, "ticks": ticks, "minutes": {}});
    let all = script::run(JUDGE, &input);
    let mut all = all.as_array().expect("a list").iter();
    all.find(|it| it["measure"] == measure).unwrap_or_else(|| panic!("no {measure}")).clone()
}

#[track_caller]
fn assert_said(said: &Value, outcome: &str, words: &str) {
    assert_eq!((said["outcome"].as_str(), said["words"].as_str()), (Some(outcome), Some(words)));
}

#[test]
fn a_value_stands_beside_its_limits() {
    let said = said(&document(), "superheat_f");
    assert_said(&said, "within", "11.6 °F; 4.0 to 25.0 is allowed.");
    assert_eq!(said["field"], "suction_line_f");
    assert_eq!(said["label"], "Superheat");
}

#[test]
fn too_close_never_reads_as_a_pass() {
    let said = said(&with("/as_found/contactor_drop_mv", 300.0), "contactor_drop_mv");
    assert_said(&said, "too_close", "300 mV is too close to call; at most 300 is allowed.");
}

#[test]
fn what_is_outside_never_looks_like_its_limit() {
    let mut document = with("/as_found/room_difference_f", 6.04);
    document["instruments"] = json!({"room_difference_f": 0.01});
    assert_said(
        &said(&document, "room_difference_f"),
        "outside",
        "6.04 °F; at most 6.0 is allowed.",
    );
}

#[test]
fn percents_of_a_plate_are_told_in_its_own_unit() {
    let weak = said(
        &with("/as_found/capacitor_compressor_uf", 36.0),
        "capacitor_compressor_deviation_pct",
    );
    assert_said(&weak, "outside", "36.0 µF; 42.75 to 47.25 is allowed.");
}

#[test]
fn carbon_monoxide_is_a_hazard_unless_it_is_surely_within() {
    let good = said(&document(), "ambient_co_ppm");
    assert_eq!((good["outcome"].as_str(), good.get("hazard")), (Some("within"), None));
    for (ppm, outcome) in [(9.0, "too_close"), (40.0, "outside")] {
        let bad = said(&with("/as_found/ambient_co_ppm", ppm), "ambient_co_ppm");
        assert_eq!(bad["outcome"], outcome);
        assert_eq!(bad["hazard"], "carbon_monoxide");
        assert!(bad["words"].as_str().expect("words").contains("get everyone out"), "{bad}");
    }
}

#[test]
fn what_is_missing_is_named() {
    let unread = said(&without("/as_found/suction_line_f"), "superheat_f");
    assert_said(&unread, "not_taken", "Missing: Suction line temperature near the port.");
    let unknown = said(&without("/system/target_subcooling_f"), "subcooling_f");
    assert_said(&unknown, "not_taken", "Missing: the plate's target subcooling.");
}

#[test]
fn what_a_point_cannot_have_is_said_and_not_judged() {
    let mut document = document();
    let sheet = limits_sheet(&case(&document), &LimitBook::default());
    document["as_found"]["suction_line_f"] = json!(740.0);
    let input =
        json!({"sheet": sheet, "readings": document["as_found"], "ticks": [], "minutes": {}});
    let all = script::run(JUDGE, &input);
    let superheat =
        all.as_array().expect("a list").iter().find(|it| it["measure"] == "superheat_f");
    let words = "740 °F can’t be: -40 to 160 is accepted.";
    assert_said(superheat.expect("superheat"), "not_taken", words);
}

#[test]
fn a_wet_bulb_above_the_dry_bulb_takes_its_measures_along() {
    let split = said(&with("/as_found/return_wb_f", 80.0), "return_minus_saturation_f");
    assert_said(&split, "not_valid", "No wet bulb lies above its dry bulb; read both again.");
}

#[test]
fn conditions_of_the_procedure_come_first() {
    let cold = said(&with("/as_found/outdoor_db_f", 50.0), "subcooling_f");
    let words = "50 °F outdoors, at least 55 is needed, or check the charge by weighing it.";
    assert_said(&cold, "not_valid", words);
    let off = said_with(&document(), "filter_drop_inwc", &json!(["circumstance.panels_off"]));
    let words = "Panels are off; put them on, let it settle and read again.";
    assert_said(&off, "not_valid", words);
    let ticks = json!(["after_repair.static_after_filter_inwc"]);
    let waits = said_with(&document(), "filter_drop_inwc", &ticks);
    assert_eq!(waits["outcome"], "not_valid");
    assert_eq!(said(&document(), "filter_drop_inwc")["outcome"], "within");
}

#[test]
fn what_is_not_simple_says_that_it_needs_the_network() {
    let orifice = said(&with("/system/metering", "fixed_orifice"), "superheat_f");
    assert_said(&orifice, "needs_network", "This is judged with network.");
}

#[test]
fn nothing_read_is_nothing_judged() {
    let mut document = document();
    document["as_found"] = json!({});
    let sheet = limits_sheet(&case(&document), &LimitBook::default());
    let input = json!({"sheet": sheet, "readings": {}, "ticks": [], "minutes": {}});
    for said in script::run(JUDGE, &input).as_array().expect("a list") {
        let is_plate = said["measure"] == "breaker_amps";
        assert_eq!(said["outcome"] == "not_taken", !is_plate, "{said}");
    }
}

#[test]
fn typed_numbers_are_read_as_the_office_reads_them() {
    let typed = [
        "12.5",
        " 12,5 ",
        "−3",
        "+4",
        "+-4",
        "-+4",
        "--4",
        "",
        " ",
        ".",
        "-",
        "-.",
        ".5",
        "-.5",
        "5.",
        "5.,",
        "1.2.3",
        "1,2,3",
        "1e3",
        "0x10",
        "NaN",
        "inf",
        "Infinity",
        "12 5",
        "12\u{a0}",
        "\u{2003}7\u{2003}",
        "\u{85}7",
        "\u{feff}7",
        "७",
        "½",
        "1_000",
        "1'000",
        "+",
        "++4",
        "007",
        "-0",
        "4\n",
        "4\u{0}",
        "123456789012345678901234567890",
        "0.1000000000000000055511151231257827",
        "−−4",
        "–4",
    ];
    let long = "9".repeat(400);
    let typed: Vec<&str> = typed.into_iter().chain([long.as_str()]).collect();
    let read = script::run("output = input.map(number);", &json!(typed));
    for (text, read) in typed.iter().zip(read.as_array().expect("a list")) {
        assert_eq!(read.as_f64(), form::number(text), "{text:?}");
    }
}
