//! What a repair found, by word and in plain words.

use fairweather::domain::confirmed_cause::{word, words};
use fairweather::domain::refusal::Refusal;
use fairweather::engine::causes::{CAUSES, CauseName};

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
