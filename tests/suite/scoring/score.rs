//! The score of many cases.

use fairweather::scoring::marking::Mark;
use fairweather::scoring::outcome::Outcome;
use fairweather::scoring::score::{Line, Score};
use fairweather::stats::Share;
use serde_json::json;

use super::{marked, naming, rich_score, scored, silent, with_severity};

/// A case of a fault that costs 10 %, under a condition, and what was told first; nothing where
/// the engine kept silent.
fn case(truth: &str, told: &str, condition: u32) -> Mark {
    let stage = if told.is_empty() { silent() } else { naming(&[(told, 0.9)]) };
    let condition = format!("condition {condition}");
    marked(&json!({"cause": truth, "capacity_ratio": 0.9, "conditions": condition}), &stage)
}

fn count(share: Share) -> (u32, u32) {
    (share.count, share.of)
}

fn counts(line: &Line) -> Vec<u32> {
    line.outcomes.iter().map(|it| it.share.count).collect()
}

#[test]
fn silence_counts_in_every_denominator() {
    let score = scored([
        case("no_fault", "no_fault", 1),
        case("no_fault", "low_charge", 2),
        case("no_fault", "", 2),
        case("low_charge", "low_charge", 1),
        case("low_charge", "no_fault", 2),
        case("low_charge", "", 1),
        case("low_charge", "", 2),
    ]);
    assert_eq!(count(score.headline.false_alarm), (1, 3));
    assert_eq!(count(score.headline.correct), (1, 4));
    assert_eq!(count(score.headline.missed), (1, 4));
    assert_eq!(counts(&score.healthy), [1, 1, 1]);
    assert_eq!(counts(&score.one_fault), [1, 0, 0, 1, 2]);
}

#[test]
fn a_fault_that_costs_little_or_nobody_knows_what_is_not_in_the_headline() {
    let costing = |cost: serde_json::Value| {
        marked(&json!({"cause": "low_charge", "capacity_ratio": cost}), &silent())
    };
    let score = scored([costing(json!(0.96)), costing(json!(null)), costing(json!(0.95))]);
    assert_eq!(count(score.headline.correct), (0, 1));
    let names: Vec<&str> = score.by_impact.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names, ["costs below 5 %", "costs 5 to 10 %", "cost not given"]);
}

/// A tiny fault that was told to be none is hardly untrue; a healthy case always counts.
#[test]
fn calibration_is_told_with_and_without_what_costs_little() {
    let cheap = |told: &str| {
        marked(&json!({"cause": "low_charge", "capacity_ratio": 0.97}), &naming(&[(told, 0.9)]))
    };
    let score = scored([
        cheap("no_fault"),
        case("low_charge", "low_charge", 1),
        case("no_fault", "no_fault", 1),
    ]);
    assert_eq!((score.reliability.answers, score.reliability_of_costly.answers), (3, 2));
}

#[test]
fn the_outcomes_of_every_row_make_up_all_of_its_cases() {
    let score = rich_score();
    let all = [&score.healthy, &score.one_fault, &score.two_faults];
    let rows = score.by_cause.iter().chain(&score.by_impact).chain(&score.by_pair);
    for line in rows.chain(all) {
        assert_eq!(counts(line).iter().sum::<u32>(), line.cases, "{}", line.name);
        assert!(line.outcomes.iter().all(|it| it.share.of == line.cases), "{}", line.name);
    }
    assert_eq!(all.iter().map(|it| it.cases).sum::<u32>(), score.cases);
    assert_eq!(score.by_cause.iter().map(|it| it.cases).sum::<u32>(), score.one_fault.cases);
    assert_eq!(score.by_impact.iter().map(|it| it.cases).sum::<u32>(), score.one_fault.cases);
    assert_eq!(score.by_pair.iter().map(|it| it.cases).sum::<u32>(), score.two_faults.cases);
}

#[test]
fn two_faults_are_kept_apart_from_one() {
    let truth = "low_charge+low_indoor_airflow";
    let score = scored([
        case(truth, truth, 1),
        case(truth, "low_charge", 2),
        case(truth, "no_fault", 3),
        case("low_charge", "low_charge", 1),
    ]);
    assert_eq!(counts(&score.two_faults), [1, 0, 1, 0, 1, 0]);
    assert_eq!(count(score.headline.pair_first), (1, 3));
    assert_eq!(count(score.headline.correct), (1, 1));
    assert_eq!(score.by_pair[0].name, truth);
}

/// 20 cases a condition, of four conditions: all right in two of them, none in the others. By the
/// cases alone the interval would be 39 to 61 %.
#[test]
fn intervals_take_the_cases_of_one_condition_together() {
    let told = |condition| if condition < 2 { "low_charge" } else { "no_fault" };
    let score = scored((0..80).map(|it| case("low_charge", told(it % 4), it % 4)));
    let it = score.headline.correct;
    let interval = it.interval.expect("an interval");
    assert_eq!((count(it), it.clusters, score.conditions), ((40, 80), 4, 4));
    assert!(interval.low < 0.15 && interval.high > 0.85, "{interval:?}");
}

#[test]
fn one_condition_alone_has_no_interval() {
    let score = scored([case("low_charge", "low_charge", 1), case("low_charge", "", 1)]);
    assert_eq!(score.headline.correct.share, Some(0.5));
    assert_eq!(score.headline.correct.interval, None);
}

/// Errors −2, +1 and −20, of which the last lies beyond twice the uncertainty.
#[test]
fn severities_are_told_by_cause_in_its_unit() {
    let severity = |told: f64, truth: f64| {
        let stage = with_severity(naming(&[("low_charge", 0.9)]), told, 8.0);
        marked(&json!({"cause": "low_charge", "severity": truth}), &stage)
    };
    let score = scored([severity(-22.0, -20.0), severity(-9.0, -10.0), severity(-40.0, -20.0)]);
    let [it] = score.severity.as_slice() else { panic!("{:?}", score.severity) };
    assert_eq!((it.cause, it.unit, it.cases, it.within_2u), ("low_charge", "% of charge", 3, 2));
    assert!((it.mean_error + 7.0).abs() < 1e-12, "{it:?}");
    assert!((it.mean_absolute_error - 23.0 / 3.0).abs() < 1e-12, "{it:?}");
}

#[test]
fn probabilities_are_told_by_the_number_of_faults_and_together() {
    let score = rich_score();
    let names: Vec<&str> = score.probabilities.iter().map(|it| it.name).collect();
    assert_eq!(names, ["healthy", "one fault", "two faults", "all"]);
    let [parts @ .., all] = score.probabilities.as_slice() else { panic!("no lines") };
    let sum: f64 = parts.iter().map(|it| it.log * f64::from(it.cases)).sum();
    assert!((sum / f64::from(all.cases) - all.log).abs() < 1e-12);
}

#[test]
fn misdiagnoses_beside_another_are_counted_too() {
    let told = "low_charge+low_indoor_airflow";
    let score = scored([case("low_charge", told, 1), case("low_charge", "excess_charge", 1)]);
    let misdiagnosis = score.one_fault.outcomes[2];
    assert_eq!((misdiagnosis.outcome, misdiagnosis.share.count), (Outcome::Misdiagnosis, 2));
    assert_eq!(score.beside_another, 1);
}

#[test]
fn no_case_makes_a_score_without_a_number() {
    let score: Score = scored([]);
    assert_eq!((score.cases, score.headline.correct.share), (0, None));
    assert!(score.probabilities.is_empty() && score.by_cause.is_empty());
}
