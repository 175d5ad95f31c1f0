//! Hazards: every kind of the sheet has its words.

use fairweather::domain::hazard::{HAZARDS, MEASURED_CO, hazard, is_told_by, what_to_do};
use fairweather::domain::sheet::{BLOCKS, Field};
use fairweather::engine::points;

#[test]
fn every_hazard_of_the_sheet_has_its_own_words() {
    for field in BLOCKS.iter().flat_map(|block| block.fields) {
        if let Field::Hazard(key, _) = field {
            assert_eq!(hazard(key).key, *key);
            assert_eq!(hazard(&field.key()), hazard(key));
            assert!(is_told_by(&field.key()));
        }
    }
    assert!(points::point(MEASURED_CO).is_some() && is_told_by(MEASURED_CO));
    assert!(!is_told_by("observe.coil_face") && !is_told_by("hazard.moon"));
}

#[test]
fn each_says_what_to_do_what_to_tell_the_customer_and_to_call_the_office() {
    for it in HAZARDS {
        let whole = what_to_do(it.key);
        assert!(whole.starts_with(it.act) && whole.contains(it.tell), "{whole}");
        assert!(whole.ends_with("Then call the office."), "{whole}");
        assert!(it.tell.starts_with("Tell the customer "), "{}", it.tell);
        assert!(it.short.chars().next().is_some_and(char::is_lowercase), "{}", it.short);
    }
    assert!(what_to_do("a kind of a later program").contains("Stop the work"));
}
