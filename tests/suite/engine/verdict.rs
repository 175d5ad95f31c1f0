//! The five outcomes by probability of conformity.

use fairweather::engine::assessment::{Outcome, Verdict};
use proptest::prelude::*;

use super::nominal_case::{assert_near, assessed, changed, verdict, with, without};

fn subcooling(degrees: f64, u: f64) -> Verdict {
    let bubble = super::nominal_case::value(&super::nominal_case::document(), "saturated_liquid_f");
    let document = with("/as_found/liquid_line_f", bubble.unwrap() - degrees);
    let document = changed(document, "/instruments/liquid_line_f", u);
    verdict(&document, "subcooling_f")
}

#[test]
fn a_value_within_the_instruments_error_of_its_limit_is_too_close_to_call() {
    let verdict = subcooling(7.2, 0.7);
    assert_eq!(verdict.outcome, Outcome::TooClose);
    assert!(verdict.reason.contains("too close to 7.0 to call"), "{}", verdict.reason);
}

#[test]
fn the_probability_is_that_of_a_normal_value() {
    let verdict = subcooling(8.0, 0.7);
    let u = verdict.u.unwrap();
    // One sided near enough: the upper limit lies more than five deviations away.
    let expected = 1.0 - fairweather::engine::normal::upper_tail(1.0 / u);
    assert_near(verdict.p_within.unwrap(), expected, 1e-6);
}

#[test]
fn an_instrument_too_coarse_for_the_band_is_said_to_be_so() {
    let verdict = subcooling(10.0, 3.0);
    assert_eq!(verdict.outcome, Outcome::TooClose);
    assert!(verdict.reason.contains("this instrument can't decide"), "{}", verdict.reason);
}

#[test]
fn what_is_missing_is_named() {
    let verdict = verdict(&without("/as_found/liquid_line_f"), "subcooling_f");
    assert_eq!(verdict.outcome, Outcome::NotTaken);
    assert!(verdict.reason.contains("liquid line temperature"), "{}", verdict.reason);
}

#[test]
fn a_value_a_hair_beyond_its_limit_is_told_apart_from_it() {
    let document = with("/as_found/static_before_coil_inwc", 0.344);
    let document = changed(document, "/instruments/static_before_coil_inwc", 0.0005);
    let document = changed(document, "/instruments/static_after_filter_inwc", 0.0005);
    let verdict = verdict(&document, "external_static_inwc");
    assert_eq!(verdict.outcome, Outcome::Outside);
    assert_eq!(verdict.reason, "External static 0.504 in. w.c. is above 0.500.");
}

#[test]
fn every_verdict_has_a_source_and_a_short_sentence() {
    for document in [super::nominal_case::document(), with("/as_found", serde_json::json!({}))] {
        for verdict in assessed(&document).as_found.verdicts {
            assert!(!verdict.source.is_empty(), "{verdict:?}");
            assert!(verdict.reason.ends_with('.'), "{verdict:?}");
            assert!(verdict.reason.chars().count() < 140, "{verdict:?}");
        }
    }
}

#[test]
fn carbon_monoxide_above_its_limit_says_what_to_do_at_once() {
    let verdict = verdict(&with("/as_found/ambient_co_ppm", 40.0), "ambient_co_ppm");
    assert_eq!(verdict.outcome, Outcome::Outside);
    assert!(verdict.reason.contains("get everyone out"), "{}", verdict.reason);
}

proptest! {
    #[test]
    fn the_probability_falls_as_a_value_leaves_its_band(
        beyond in 0.0..8.0_f64, further in 0.01..4.0_f64
    ) {
        let near = subcooling(13.0 + beyond, 0.7).p_within.unwrap();
        let far = subcooling(13.0 + beyond + further, 0.7).p_within.unwrap();
        prop_assert!((0.0..=1.0).contains(&near) && (0.0..=1.0).contains(&far));
        prop_assert!(far <= near);
    }
}
