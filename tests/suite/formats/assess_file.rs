//! The assess document as text in and text out.

use fairweather::engine::limits::LimitBook;
use fairweather::formats::assess_file::{Answers, Causes, Unreadable, answer};
use serde_json::{Value, json};

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

#[test]
fn causes_left_out_are_said_to_be_left_out() {
    let text = format!(r#"{{"id": "a", {FACTS}}}"#);
    let answers = answer(&text, &LimitBook::default(), Causes::LeftOut).unwrap();
    let printed: Value = serde_json::from_str(&answers.json().unwrap()).unwrap();
    assert_eq!(printed["as_found"]["abstained"], "causes were left out, as asked");
    assert_eq!(printed["as_left"], json!({}));
}
