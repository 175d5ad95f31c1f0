//! Conditions: what is found of a system with one thing wrong, and what is not claimed.

mod air;
mod complaints;
mod electrical;
mod properties;
mod water;

use fairweather::engine::assessment::{Condition, StageAssessment};
use fairweather::engine::case::LookedAt;
use fairweather::engine::conditions::{CONDITIONS, ConditionName, LISTED_FROM};
use fairweather::engine::likely::{Likelihood, in_hundred, label};
use serde_json::{Value, json};

use super::nominal_case::{assert_near, assessed, changed, document, with};

/// What is found as found; the test fails where it is not.
#[track_caller]
fn found(document: &Value, name: ConditionName) -> Condition {
    let stage = assessed(document).as_found;
    found_in(&stage, name).unwrap_or_else(|| panic!("no {} in {:?}", name.key(), stage.conditions))
}

fn found_in(stage: &StageAssessment, name: ConditionName) -> Option<Condition> {
    stage.conditions.iter().find(|it| it.condition == name.key()).cloned()
}

/// How likely it is as found; nothing where it was not worth saying.
fn share(document: &Value, name: ConditionName) -> f64 {
    found_in(&assessed(document).as_found, name).map_or(0.0, |it| it.probability)
}

/// Whether it was not worth saying as found.
fn is_unsaid(document: &Value, name: ConditionName) -> bool {
    found_in(&assessed(document).as_found, name).is_none()
}

/// All that is found as found, by their words.
fn all_found(document: &Value) -> Vec<String> {
    assessed(document).as_found.conditions.into_iter().map(|it| it.condition).collect()
}

/// The nominal document with something that was looked at.
fn seen(at: LookedAt, came_to: &str) -> Value {
    with(&format!("/observations/as_found/{}", at.word()), came_to)
}

/// A document of which only the system is known.
fn unread() -> Value {
    let mut bare = document();
    bare["as_found"] = json!({});
    bare
}

#[test]
fn conditions_stand_in_the_order_of_their_names_and_say_where_their_prior_comes_from() {
    for (place, info) in CONDITIONS.iter().enumerate() {
        assert_eq!(info.name as usize, place);
        assert_eq!(ConditionName::of_key(info.key), Some(info.name));
        assert!((0.01..=0.5).contains(&info.prior), "{}", info.key);
        assert!(!info.source.is_empty() && !info.label.is_empty());
    }
}

#[test]
fn a_healthy_system_has_none() {
    assert_eq!(all_found(&document()), [""; 0]);
}

#[test]
fn what_nobody_read_or_looked_at_is_not_claimed() {
    assert_eq!(all_found(&unread()), [""; 0]);
}

#[test]
fn everything_that_is_looked_at_speaks_for_some_condition_when_it_is_bad_and_for_none_when_not() {
    for at in LookedAt::ALL {
        let pointer = format!("/observations/as_found/{}", at.word());
        let conditions = assessed(&changed(unread(), &pointer, "attention")).as_found.conditions;
        let [only] = conditions.as_slice() else { panic!("{at:?}: {conditions:?}") };
        assert_eq!(only.evidence_for, [at.word()]);
        for came_to in ["in_order", "not_accessible", "does_not_apply"] {
            assert_eq!(all_found(&changed(unread(), &pointer, came_to)), [""; 0], "{at:?}");
        }
    }
}

#[test]
fn they_may_hold_together_and_the_likeliest_comes_first() {
    let both = with("/as_found/static_after_filter_inwc", -0.35);
    let both = changed(both, "/as_found/capacitor_compressor_uf", 36);
    assert_eq!(all_found(&both), ["weak_capacitor", "dirty_filter"]);
}

#[test]
fn what_is_listed_is_likely_enough_and_has_something_that_speaks_for_it() {
    // A drop at its limit says nothing, and the prior alone is no finding.
    let at_limit = with("/as_found/static_after_filter_inwc", -0.20);
    assert_eq!(all_found(&at_limit), [""; 0]);
    let beyond = found(&with("/as_found/static_after_filter_inwc", -0.21), DIRTY_FILTER);
    assert!(LISTED_FROM < beyond.probability, "{beyond:?}");
}

#[test]
fn what_waits_for_a_repair_cant_be_or_is_not_valid_today_never_counts() {
    let bad = with("/as_found/static_after_filter_inwc", -0.35);
    assert!(share(&bad, DIRTY_FILTER) > 0.8);
    let waiting = json!({"as_found": ["static_after_filter_inwc"]});
    assert!(is_unsaid(&changed(bad.clone(), "/read_after_repair", waiting), DIRTY_FILTER));
    let panels = json!({"as_found": ["panels_off"]});
    assert!(is_unsaid(&changed(bad, "/circumstances", panels), DIRTY_FILTER));
    // Pressure on the suction side can't be.
    let impossible = with("/as_found/static_return_inwc", 0.3);
    assert!(is_unsaid(&impossible, DIRTY_FILTER));
    let apart = changed(
        with("/as_found/static_after_filter_inwc", -0.35),
        "/taken_min/as_found",
        json!({"static_return_inwc": 5, "static_after_filter_inwc": 60}),
    );
    assert!(is_unsaid(&apart, DIRTY_FILTER));
}

#[test]
fn as_left_goes_by_what_was_read_again_or_looked_at_again() {
    let bad = with("/as_found/static_after_filter_inwc", -0.35);
    let bad = changed(bad, "/observations/as_found/filter_condition", "fixed");
    let left = json!({"static_return_inwc": -0.10, "static_after_filter_inwc": -0.15});
    let assessment = assessed(&changed(bad.clone(), "/as_left", left));
    assert!(found_in(&assessment.as_found, DIRTY_FILTER).unwrap().probability > 0.9);
    assert_eq!(assessment.as_left.conditions, []);
    let seen_again = changed(bad, "/observations/as_left/filter_condition", "attention");
    let left = assessed(&seen_again).as_left;
    assert_eq!(found_in(&left, DIRTY_FILTER).unwrap().evidence_for, ["filter_condition"]);
    let mended = changed(seen_again, "/observations/as_left/filter_condition", "fixed");
    assert_eq!(assessed(&mended).as_left.conditions, []);
}

#[test]
fn a_probability_has_one_word_with_stated_borders() {
    for (probability, words) in [
        (1.0, "very likely"),
        (0.9, "very likely"),
        (0.89, "likely"),
        (0.5, "likely"),
        (0.49, "possible"),
        (LISTED_FROM, "possible"),
        (0.19, "unlikely"),
        (0.0, "unlikely"),
    ] {
        assert_eq!(Likelihood::of(probability).words(), words, "{probability}");
    }
}

#[test]
fn nearly_certain_is_not_certain_and_a_border_is_not_reached_by_rounding() {
    for (probability, hundred) in [(0.999, 99.0), (0.899, 89.0), (0.29, 29.0), (1.0, 100.0)] {
        assert_near(in_hundred(probability), hundred, 0.0);
    }
}

#[test]
fn measures_readings_and_what_was_looked_at_have_words() {
    assert_eq!(label("filter_drop_inwc"), Some("Filter drop"));
    assert_eq!(
        label("liquid_pressure_psig"),
        Some("Liquid (high side) pressure at the service port")
    );
    assert_eq!(label("duct_smoke_test"), Some("Smoke test at the joints"));
    assert_eq!(label("colour"), None);
}

const DIRTY_FILTER: ConditionName = ConditionName::DirtyFilter;
