//! As found beside as left.

use fairweather::engine::assessment::{Assessment, Outcome};
use serde_json::json;

use super::nominal_case::{assert_near, assessed, changed, document, verdict_in, with};

#[test]
fn without_readings_as_left_that_stage_is_empty() {
    let assessment = assessed(&document());
    assert!(assessment.as_left.is_empty());
    assert_eq!(assessment.change, []);
    let printed = serde_json::to_value(&assessment).unwrap();
    assert_eq!(printed["as_left"], json!({}));
}

#[test]
fn as_left_uses_as_left_readings_alone() {
    let stage = assessed(&with("/as_left", json!({"static_after_filter_inwc": -0.12}))).as_left;
    let verdict = verdict_in(&stage, "filter_drop_inwc").unwrap();
    assert_eq!(verdict.outcome, Outcome::NotTaken);
}

#[test]
fn as_left_also_uses_what_nothing_touched() {
    let document = with("/as_left", json!({"static_after_filter_inwc": -0.12}));
    let document = changed(document, "/unchanged", json!(["static_return_inwc"]));
    let assessment = assessed(&document);
    let verdict = verdict_in(&assessment.as_left, "filter_drop_inwc").unwrap();
    assert_near(verdict.value.unwrap(), 0.02, 1e-12);
    assert_eq!(verdict.outcome, Outcome::Within);
    let change = assessment.change.iter().find(|it| it.measure == "filter_drop_inwc").unwrap();
    assert_near(change.as_found, 0.06, 1e-12);
    assert_near(change.as_left, 0.02, 1e-12);
    // The return tap was carried over: its error is the same before and after.
    assert_near(change.u, 0.01 * std::f64::consts::SQRT_2, 1e-9);
}

#[test]
fn an_assessment_comes_back_as_it_was_stored() {
    for left in [json!({}), json!({"static_after_filter_inwc": -0.12, "return_db_f": 75.5})] {
        let assessment = assessed(&with("/as_left", left));
        let stored = serde_json::to_string(&assessment).unwrap();
        assert_eq!(serde_json::from_str::<Assessment>(&stored).unwrap(), assessment);
    }
}

#[test]
fn a_reading_carried_over_is_no_better_than_when_it_was_taken() {
    let document = with("/as_left", json!({"static_after_filter_inwc": -0.12}));
    let document = changed(document, "/unchanged", json!(["static_return_inwc"]));
    for (pointer, what) in [
        ("/read_after_repair", json!({"as_found": ["static_return_inwc"]})),
        ("/circumstances", json!({"as_found": ["panels_off"]})),
    ] {
        let stage = assessed(&changed(document.clone(), pointer, what)).as_left;
        let verdict = verdict_in(&stage, "filter_drop_inwc").unwrap();
        assert_eq!(verdict.outcome, Outcome::NotValid, "{pointer}");
    }
}

#[test]
fn as_left_speaks_of_what_was_read_again_and_of_nothing_else() {
    let document = with("/as_left", json!({"capacitor_fan_uf": 5.0, "suction_line_f": 54.0}));
    let left = assessed(&document).as_left;
    let spoken: Vec<_> = left.verdicts.iter().map(|it| (&*it.measure, it.outcome)).collect();
    assert_eq!(
        spoken,
        [("superheat_f", Outcome::NotTaken), ("capacitor_fan_deviation_pct", Outcome::Within)]
    );
    assert_eq!(left.measures.len(), 1);
}
