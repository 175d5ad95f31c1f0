//! The limit book: complete, sourced, changed under a new version.

use fairweather::engine::assess;
use fairweather::engine::assessment::Outcome;
use fairweather::engine::limits::{LIMITS, LimitBook, LimitName, Provenance};

use super::nominal_case::{assert_near, case, document, verdict_in};

#[test]
fn every_limit_has_a_default_in_range_and_a_source() {
    for limit in LIMITS {
        assert!((limit.low..=limit.high).contains(&limit.default), "{limit:?}");
        assert!(!limit.source.is_empty(), "{limit:?}");
        assert_eq!(limit.name.definition(), limit);
        let says_memory = limit.source.contains("from memory");
        assert_eq!(says_memory, limit.provenance == Provenance::FromMemory, "{limit:?}");
        let says_none = limit.source.contains("no source");
        assert_eq!(says_none, limit.provenance == Provenance::CommonPractice, "{limit:?}");
    }
}

#[test]
fn a_book_comes_back_as_it_was_stored() {
    let book = LimitBook::default();
    let stored = serde_json::to_string(&book).unwrap();
    assert_eq!(serde_json::from_str::<LimitBook>(&stored).unwrap(), book);
}

#[test]
fn a_stored_book_that_lacks_an_entry_is_refused() {
    let mut stored = serde_json::to_value(LimitBook::default()).unwrap();
    stored["limits"].as_object_mut().unwrap().remove("filter_drop_high").unwrap();
    let refusal = serde_json::from_value::<LimitBook>(stored).unwrap_err().to_string();
    assert!(refusal.contains("filter"), "{refusal}");
}

#[test]
fn a_changed_limit_judges_otherwise_and_names_the_company() {
    let book = LimitBook::default().changed(LimitName::SubcoolingTolerance, 1.0, "two").unwrap();
    let assessment = assess(&case(&document()), &book);
    assert_eq!(assessment.rules, "two");
    let verdict = verdict_in(&assessment.as_found, "subcooling_f").unwrap();
    assert_near(verdict.high.unwrap() - verdict.low.unwrap(), 2.0, 1e-12);
    assert_eq!(verdict.outcome, Outcome::TooClose);
    assert!(verdict.source.contains("company's own limit"));
}

#[test]
fn a_limit_beyond_reason_is_refused() {
    for value in [-1.0, 400.0, f64::NAN] {
        assert!(LimitBook::default().changed(LimitName::OutdoorLowest, value, "two").is_err());
    }
}

#[test]
fn the_table_stands_in_the_order_of_the_names() {
    for (index, limit) in LIMITS.iter().enumerate() {
        assert_eq!(limit.name as usize, index, "{limit:?}");
    }
    assert!(LIMITS.len() <= 64, "what was used is noted in 64 bits");
}

#[test]
fn an_assessment_carries_the_limits_that_it_used() {
    let book = LimitBook::default().changed(LimitName::FilterDropHigh, 0.15, "test-2").unwrap();
    let used = assess(&case(&document()), &book).limits;
    assert_near(used[&LimitName::FilterDropHigh], 0.15, 0.0);
    assert_near(used[&LimitName::OutdoorLowest], 55.0, 0.0);
    // Nothing of this system is read by it.
    for other in [LimitName::PhaseUnbalanceHigh, LimitName::TargetSuperheatLowest] {
        assert!(!used.contains_key(&other), "{other:?}");
    }
}

#[test]
fn every_name_is_found_by_its_key() {
    for limit in LIMITS {
        assert_eq!(LimitName::of_key(&limit.name.key()), Some(limit.name));
    }
    assert_eq!(LimitName::FilterDropHigh.key(), "filter_drop_high");
    assert_eq!(LimitName::of_key("filter_drop"), None);
}

#[test]
fn an_old_judgement_is_read_without_a_limit_that_was_dropped_since() {
    let assessment = assess(&case(&document()), &LimitBook::default());
    let mut stored = serde_json::to_value(&assessment).unwrap();
    stored["limits"]["dropped_since"] = 1.0.into();
    let read: fairweather::engine::assessment::Assessment = serde_json::from_value(stored).unwrap();
    assert_eq!(read, assessment);
}

#[test]
fn a_band_of_which_the_company_set_one_end_names_both_sources() {
    let changed = [
        (LimitName::DualVoltsHigh, 250.0, "volts_outdoor_deviation_pct"),
        (LimitName::MeteringSuperheatHigh, 20.0, "superheat_f"),
    ];
    for (name, value, measure) in changed {
        let book = LimitBook::default().changed(name, value, "test-3").unwrap();
        let stage = assess(&case(&document()), &book).as_found;
        let source = verdict_in(&stage, measure).unwrap().source;
        assert!(source.contains("; high: the company's own limit"), "{source}");
    }
}
