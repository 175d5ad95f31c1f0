//! The assess document as text in and text out.

use fairweather::engine::limits::LimitBook;
use fairweather::formats::assess_file::{Answers, Causes, Unreadable, answer};
use serde_json::{Value, json};

use crate::engine::causes::simulated;

const FACTS: &str =
    r#""system": {"kind": "split_heat_pump", "refrigerant": "R-32", "metering": "capillary"}"#;

fn answered(text: &str) -> Answers {
    answer(text, &LimitBook::default(), Causes::Named).unwrap_or_else(|it| panic!("{it}"))
}

fn printed(text: &str) -> Value {
    serde_json::from_str(&answered(text).json().unwrap()).unwrap()
}

#[test]
fn a_document_gives_an_object_and_an_array_gives_an_array() {
    let one = format!(r#"{{"id": "a", {FACTS}}}"#);
    assert_eq!(printed(&one)["id"], "a");
    assert_eq!(printed(&format!(" [{one}, {one}]"))[1]["id"], "a");
    assert_eq!(printed("[]"), json!([]));
}

#[test]
fn one_bad_document_is_answered_in_its_place_and_the_rest_goes_on() {
    let good = format!(r#"{{"id": "good", {FACTS}}}"#);
    let bad = format!(r#"{{"id": "bad", {FACTS}, "as_found": {{"return_wb_f": 140}}}}"#);
    let text = format!("[{good}, {bad}, 7, {good}]");
    let answers = printed(&text);
    assert_eq!(answers[1]["id"], "bad");
    assert_eq!(answers[1]["error"]["field"], "as_found.return_wb_f");
    assert_eq!(answers[1]["error"]["given"], 140);
    assert_eq!(answers[2]["error"]["accepted"], "an object");
    assert_eq!(answers[3]["id"], "good");
    assert!(!answered(&text).are_complete());
    assert!(answered(&good).are_complete());
}

#[test]
fn a_number_beyond_all_range_is_refused_in_its_place() {
    let good = format!(r#"{{"id": "good", {FACTS}}}"#);
    let bad = format!("{{{FACTS},\n \"as_found\": {{\"return_wb_f\": 1e999}}}}");
    let answers = printed(&format!("[{bad}, {good}]"));
    assert_eq!(answers[0]["error"]["field"], "as_found.return_wb_f");
    assert_eq!(answers[0]["error"]["given"], "1e999");
    assert_eq!(answers[1]["id"], "good");
}

#[test]
fn text_that_is_no_document_is_refused_whole() {
    for text in ["", "nonsense", "{", "[{}", "{\"id\": NaN}"] {
        let refusal = answer(text, &LimitBook::default(), Causes::Named);
        assert!(matches!(refusal, Err(Unreadable::NotJson(_))), "{text}");
    }
    for text in ["7", "\"text\"", "null", "[7, 8]"] {
        let refusal = answer(text, &LimitBook::default(), Causes::Named);
        assert!(matches!(refusal, Err(Unreadable::NoDocument)), "{text}");
    }
}

#[test]
fn the_text_for_a_person_names_outcome_reason_and_caution() {
    let text = answered(&format!(r#"{{"id": "a", {FACTS}}}"#)).text();
    assert!(text.contains("Visit a") && text.contains("not taken"), "{text}");
    assert!(text.contains("qualified technician"), "{text}");
}

/// A simulated visit as found, and as left where another one is given.
fn simulated_visit(found: (&str, f64), left: Option<(&str, f64)>) -> Value {
    let mut errors = simulated::Errors::new(simulated::GOOD, 3);
    let mut visit_of = |(fault, level): (&str, f64)| {
        let mut rows = simulated::rows().into_iter();
        let row = rows.find(|it| {
            let is_level = (simulated::number(it, "level") - level).abs() < 1e-9;
            it["device"] == "txv" && it["fault"] == fault && is_level
        });
        let row = row.expect("a row");
        errors.visit(&row, &simulated::readings(&row))
    };
    let mut visit = visit_of(found);
    if let Some(left) = left {
        visit["as_left"] = visit_of(left)["as_found"].clone();
    }
    visit
}

#[test]
fn the_text_for_a_person_has_causes_severity_evidence_and_what_the_repair_did() {
    let visit = simulated_visit(("undercharge", 0.75), Some(("none", 0.0)));
    let text = answered(&visit.to_string()).text();
    for said in [
        "\n  very likely   Too little refrigerant (",
        " %): about 2",
        " % of the charge short, give or take ",
        "Speaks for it: Subcooling ",
        ", a healthy one would show 12 ± 2.\n",
        "\n  healthy       Return air over saturated suction ",
        "Compared with what a healthy system of its kind would show.\n",
        "\nDid it work\n  worked        Too little refrigerant: as good as all of it (",
        "Subcooling, from healthy: -1",
        ", limit book default-2, priors default-1.\nAdvice to a qualified technician. Leak search",
    ] {
        assert!(text.contains(said), "“{said}” is not in {text}");
    }
}

#[test]
fn the_text_for_a_person_says_what_looks_alike_and_the_next_reading_by_its_field() {
    let mut visit = simulated_visit(("overcharge", 1.3), None);
    visit["system"]["target_subcooling_f"] = Value::Null;
    let text = answered(&visit.to_string()).text();
    assert!(text.contains("look alike here"), "{text}");
    assert!(text.contains("Would settle it: Standing pressure, unit off and equalized."), "{text}");
    assert!(!text.contains("Did it work") && !text.contains("(0 %)"), "{text}");
}

#[test]
fn the_text_for_a_person_says_why_no_cause_is_named_and_which_earlier_visits_did_not_serve() {
    let mut visit = simulated_visit(("undercharge", 0.75), None);
    visit["history"] = json!([{"system": {"kind": "ductless"}}]);
    visit["as_found"]["outdoor_db_f"] = json!(50);
    let text = answered(&visit.to_string()).text();
    assert!(text.contains("  no causes     Can't tell: too few readings can be used."), "{text}");
    assert!(text.contains("  left out      1 visit back: "), "{text}");
}

#[test]
fn causes_left_out_are_said_to_be_left_out() {
    let text = format!(r#"{{"id": "a", {FACTS}}}"#);
    let answers = answer(&text, &LimitBook::default(), Causes::LeftOut).unwrap();
    let printed: Value = serde_json::from_str(&answers.json().unwrap()).unwrap();
    assert_eq!(printed["as_found"]["abstained"], "causes were left out, as asked");
    assert_eq!(printed["as_left"], json!({}));
}

#[test]
fn the_text_for_a_person_says_what_may_be_the_matter_and_what_would_settle_it() {
    let mut visit = crate::engine::nominal_case::document();
    visit["as_found"]["capacitor_compressor_uf"] = json!(38);
    visit["as_found"]["room_difference_f"] = json!(9);
    let text = answered(&visit.to_string()).text();
    let said = "  very likely   Weak capacitor (91 %). Speaks for it: Compressor capacitor.\n";
    assert!(text.contains(said), "{text}");
    assert!(text.contains("Would settle it: Start winding amps, running.\n"), "{text}");
    assert!(text.contains("  complaint     A room is too warm. Nothing that was found"), "{text}");
}

#[test]
fn conditions_and_complaints_are_left_out_with_the_causes() {
    let mut visit = crate::engine::nominal_case::document();
    visit["as_found"]["room_difference_f"] = json!(9);
    visit["observations"] = json!({"as_found": {"duct_gaps": "attention"}});
    let with = &printed(&visit.to_string())["as_found"];
    assert_eq!(with["conditions"][0]["condition"], "duct_leakage");
    assert_eq!(with["complaints"][0]["explained_by"], json!(["duct_leakage"]));
    let answers = answer(&visit.to_string(), &LimitBook::default(), Causes::LeftOut).unwrap();
    let without: Value = serde_json::from_str(&answers.json().unwrap()).unwrap();
    assert_eq!(without["as_found"]["conditions"], json!([]));
    assert!(without["as_found"].get("complaints").is_none());
}
