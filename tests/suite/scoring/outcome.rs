//! What came of one case.

use fairweather::engine::causes::{CAUSES, CauseName, is_confusable};
use fairweather::scoring::NamedCause;
use fairweather::scoring::outcome::{Impact, Outcome};

use super::named;

#[track_caller]
fn assert_outcome(truth: &str, told: &[&str], expected: Outcome) {
    let told: Vec<NamedCause> = told.iter().map(|it| named(it)).collect();
    assert_eq!(Outcome::of(named(truth), &told, true), expected, "{truth}, told {told:?}");
}

#[test]
fn of_one_fault_the_first_cause_decides() {
    assert_outcome("low_charge", &["low_charge", "no_fault"], Outcome::Correct);
    assert_outcome("low_charge", &["feed_restriction", "low_charge"], Outcome::Misdiagnosis);
    assert_outcome("low_charge", &["no_fault", "low_charge"], Outcome::Missed);
    assert_outcome("low_charge", &[], Outcome::NoResponse);
}

#[test]
fn one_fault_beside_another_that_was_not_there_is_a_misdiagnosis() {
    assert_outcome("low_charge", &["low_charge+low_indoor_airflow"], Outcome::Misdiagnosis);
}

#[test]
fn of_no_fault_any_fault_is_a_false_alarm() {
    assert_outcome("no_fault", &["no_fault", "low_charge"], Outcome::Correct);
    assert_outcome("no_fault", &["low_charge", "no_fault"], Outcome::FalseAlarm);
    assert_outcome("no_fault", &["low_charge+low_indoor_airflow"], Outcome::FalseAlarm);
    assert_outcome("no_fault", &[], Outcome::NoResponse);
}

#[test]
fn of_two_faults_the_right_pair_may_stand_among_the_first_three() {
    let truth = "low_charge+low_indoor_airflow";
    let other = "excess_charge+low_outdoor_airflow";
    assert_outcome(truth, &["low_indoor_airflow+low_charge"], Outcome::Correct);
    assert_outcome(truth, &["low_charge", truth], Outcome::AmongThree);
    assert_outcome(truth, &["no_fault", other, truth], Outcome::AmongThree);
    assert_outcome(truth, &["low_charge", "no_fault", other, truth], Outcome::OneOfTwo);
    assert_outcome(truth, &["low_charge+low_outdoor_airflow"], Outcome::OneOfTwo);
    assert_outcome(truth, &[other], Outcome::Misdiagnosis);
    assert_outcome(truth, &["no_fault"], Outcome::Missed);
    assert_outcome(truth, &[], Outcome::NoResponse);
}

#[test]
fn without_the_plates_subcooling_two_causes_are_one_group() {
    let (excess, air) = (named("excess_charge"), named("non_condensables"));
    assert_eq!(Outcome::of(excess, &[air], false), Outcome::WithinGroup);
    assert_eq!(Outcome::of(air, &[excess], false), Outcome::WithinGroup);
    assert_eq!(Outcome::of(air, &[excess], true), Outcome::Misdiagnosis);
}

#[test]
fn no_other_causes_are_declared_alike() {
    let all = || CAUSES.iter().map(|it| it.name);
    let pairs = all().flat_map(|one| all().map(move |other| (one, other)));
    let alike: Vec<_> = pairs.clone().filter(|(a, b)| is_confusable(*a, *b, false)).collect();
    let (excess, air) = (CauseName::ExcessCharge, CauseName::NonCondensables);
    assert_eq!(alike, [(excess, air), (air, excess)]);
    assert!(!pairs.into_iter().any(|(a, b)| is_confusable(a, b, true)));
}

#[test]
fn a_fault_costs_what_it_takes_from_capacity_or_efficiency_whichever_is_more() {
    for (capacity, efficiency, impact) in [
        (None, None, Impact::NotGiven),
        (Some(1.02), None, Impact::Below5),
        (Some(0.96), Some(0.99), Impact::Below5),
        (Some(0.95), None, Impact::From5),
        (Some(0.97), Some(0.93), Impact::From5),
        (None, Some(0.9), Impact::From10),
        (Some(0.8), Some(1.0), Impact::From20),
        (Some(0.0), None, Impact::From20),
    ] {
        let it = Impact::of_ratios([capacity, efficiency]);
        assert_eq!(it, impact, "{capacity:?} {efficiency:?}");
        let is_dear = capacity.into_iter().chain(efficiency).any(|it| it <= 0.95);
        assert_eq!(it.is_worth_finding(), is_dear);
    }
}
