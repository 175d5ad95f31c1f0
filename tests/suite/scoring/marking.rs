//! One case marked, by hand-built assessments.

use fairweather::engine::points::PointKey;
use fairweather::scoring::marking::{Mark, SeverityMark, mark};
use fairweather::scoring::outcome::Outcome;
use serde_json::json;

use super::{marked, naming, silent, truth, visit, with_severity};

#[track_caller]
fn assert_near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-12, "{value} is not {expected}");
}

#[test]
fn the_first_cause_stands_with_its_probability() {
    let it = marked(&json!("low_charge"), &naming(&[("low_charge", 0.8), ("no_fault", 0.2)]));
    let told = it.row.told.expect("a cause");
    assert_eq!((it.outcome, told.cause.word().as_str()), (Outcome::Correct, "low_charge"));
    assert_near(told.probability, 0.8);
}

#[test]
fn an_engine_that_abstains_gives_no_response_whatever_stands_beside_it() {
    let mut stage = naming(&[("low_charge", 0.8)]);
    stage.abstained = Some("nothing was valid".to_owned());
    for stage in [stage, silent(), naming(&[])] {
        let it = marked(&json!("low_charge"), &stage);
        assert_eq!((it.outcome, it.row.told), (Outcome::NoResponse, None));
    }
}

#[test]
fn the_plate_decides_whether_a_declared_group_counts() {
    let (truth, stage) = (truth(&json!("excess_charge")), naming(&[("non_condensables", 0.9)]));
    let mut case = visit();
    assert_eq!(mark(&case, &truth, &stage).outcome, Outcome::Misdiagnosis);
    case.system.target_subcooling_f = None;
    assert_eq!(mark(&case, &truth, &stage).outcome, Outcome::WithinGroup);
}

#[test]
fn a_misdiagnosis_may_have_named_the_fault_beside_another() {
    let beside = |told| marked(&json!("low_charge"), &naming(&[(told, 0.9)])).is_beside_another;
    assert!(beside("low_charge+low_indoor_airflow"));
    assert!(!beside("feed_restriction") && !beside("low_charge"));
}

/// The condition of a case of the nominal visit with another outdoor air and refrigerant.
fn condition(outdoor_f: Option<f64>, refrigerant: &str) -> String {
    let mut case = visit();
    case.as_found.remove(&PointKey::OutdoorDbF);
    case.as_found.extend(outdoor_f.map(|it| (PointKey::OutdoorDbF, it)));
    refrigerant.clone_into(&mut case.system.refrigerant);
    mark(&case, &truth(&json!("low_charge")), &silent()).condition
}

#[test]
fn cases_in_like_air_on_like_systems_make_one_condition() {
    let nominal = condition(Some(88.0), "R-410A");
    assert_eq!(nominal, "outdoor 90 degF, return 75 degF, R-410A, thermostatic_expansion");
    assert_eq!(condition(Some(91.9), "R-410A"), nominal);
    assert_ne!(condition(Some(92.6), "R-410A"), nominal);
    assert_ne!(condition(Some(88.0), "R-22"), nominal);
    assert!(condition(None, "R-410A").starts_with("outdoor not read, return 75 degF"));
}

#[test]
fn a_condition_of_its_own_name_goes_before() {
    let it = marked(&json!({"cause": "low_charge", "conditions": "chamber 4"}), &silent());
    assert_eq!(it.condition, "chamber 4");
}

/// −ln 0.2 = 1.6094…; (1 − 0.2)² + 0.7² + 0.1² = 1.14.
#[test]
fn probabilities_are_worth_what_they_gave_to_the_truth() {
    let causes = [("no_fault", 0.7), ("low_charge", 0.2), ("feed_restriction", 0.1)];
    let it = marked(&json!("low_charge"), &naming(&causes)).probabilities;
    assert_near(it.log, 1.609_437_912_434_100_3);
    assert_near(it.brier, 1.14);
}

/// Nine causes alike: ln 9, and 1 − 2/9 + 9/81. With 28 pairs beside them: ln 37.
#[test]
fn silence_is_worth_as_much_as_the_same_share_for_each() {
    let one = marked(&json!("low_charge"), &silent()).probabilities;
    assert_near(one.log, 2.197_224_577_336_219_6);
    assert_near(one.brier, 8.0 / 9.0);
    let two = marked(&json!("low_charge+low_indoor_airflow"), &silent()).probabilities;
    assert_near(two.log, 3.610_917_912_644_224_3);
    assert_near(two.brier, 36.0 / 37.0);
}

#[test]
fn a_truth_that_was_left_out_costs_much_but_not_everything() {
    let it = marked(&json!("low_charge"), &naming(&[("no_fault", 1.0)])).probabilities;
    assert_near(it.log, 13.815_510_557_964_274);
    assert_near(it.brier, 2.0);
}

#[test]
fn a_probability_that_is_no_number_states_nothing() {
    let it = marked(&json!("low_charge"), &naming(&[("low_charge", f64::NAN)]));
    assert_near(it.probabilities.log, 13.815_510_557_964_274);
    assert!(it.probabilities.brier.is_finite());
}

fn severity(told: &str, truth: &serde_json::Value) -> Mark {
    marked(truth, &with_severity(naming(&[(told, 0.9)]), -22.0, 8.0))
}

#[test]
fn a_severity_counts_only_where_the_cause_is_right_and_the_truth_gives_one() {
    let truth = json!({"cause": "low_charge", "severity": -20});
    let expected = SeverityMark { told: -22.0, u: 8.0, truth: -20.0 };
    assert_eq!(severity("low_charge", &truth).severity, Some(expected));
    assert_eq!(severity("feed_restriction", &truth).severity, None);
    assert_eq!(severity("low_charge", &json!("low_charge")).severity, None);
    let without = marked(&truth, &naming(&[("low_charge", 0.9)]));
    assert_eq!(without.severity, None);
}
