//! What a repair found, by word and in plain words.

use fairweather::domain::confirmed_cause::{Prediction, word, words};
use fairweather::domain::refusal::Refusal;
use fairweather::engine::causes::{CAUSES, CauseName};
use serde_json::{Value, json};

#[test]
fn two_causes_have_one_word_whichever_was_named_first() {
    let both = [CauseName::LowIndoorAirflow, CauseName::LowCharge];
    for (first, second) in [(both[0], both[1]), (both[1], both[0])] {
        assert_eq!(word(first, Some(second)), Ok("low_charge+low_indoor_airflow".to_owned()));
    }
    assert_eq!(word(CauseName::LowCharge, None), Ok("low_charge".to_owned()));
}

#[test]
fn nothing_wrong_beside_something_wrong_is_refused() {
    let (none, low) = (CauseName::NoFault, CauseName::LowCharge);
    for (first, second) in [(none, low), (low, none), (low, low), (none, none)] {
        assert_eq!(word(first, Some(second)), Err(Refusal::CausesDontPair));
    }
}

#[test]
fn every_cause_has_plain_words() {
    for cause in &CAUSES {
        let plain = words(cause.key);
        assert!(!plain.contains('_'), "{plain}");
    }
    assert_eq!(words("no_fault"), "Nothing was wrong");
    let both = "Too little refrigerant, and too little air over the indoor coil";
    assert_eq!(words("low_charge+low_indoor_airflow"), both);
    assert_eq!(words("cracked_bracket"), "cracked bracket", "of a later program");
}

/// A judgement that named a cause.
fn named() -> Value {
    json!({"engine": "0.9.0", "priors": "priors-4", "as_found": {"abstained": null, "causes": [
        {"cause": "low_charge", "probability": 0.8, "severity": null, "for": []}]}})
}

#[test]
fn a_prediction_is_what_was_said_of_the_system_as_it_was_found() {
    let input = json!({"system": {"target_subcooling_f": 10.0}});
    let predicted = Prediction::of(&input, &named());
    assert_eq!((predicted.engine.as_str(), predicted.priors.as_str()), ("0.9.0", "priors-4"));
    assert!(predicted.knows_plate_subcooling);
    let kept = serde_json::to_value(&predicted).unwrap();
    assert_eq!(kept["causes"], json!([{"cause": "low_charge", "probability": 0.8}]));
    let unknown = Prediction::of(&json!({"system": {"target_subcooling_f": null}}), &named());
    assert!(!unknown.knows_plate_subcooling);
}

#[test]
fn an_abstention_and_a_judgement_of_before_there_were_causes_predicted_nothing() {
    let mut abstained = named();
    abstained["as_found"]["abstained"] = json!("too few readings");
    let mut silent = named();
    silent["as_found"]["causes"] = json!([]);
    for output in [abstained, silent, json!({"engine": "0.1.0", "as_found": {}}), json!(null)] {
        let predicted = Prediction::of(&json!({}), &output);
        assert_eq!(predicted.causes, None, "{output}");
        assert!(serde_json::to_value(&predicted).unwrap()["causes"].is_null());
    }
}
