//! Two judgements side by side: what is a change, and what is none.

use fairweather::domain::visit::Stage;
use fairweather::engine::assess;
use fairweather::engine::assessment::{Assessment, Cause, Complaint, Condition, Outcome};
use fairweather::engine::limits::{LimitBook, LimitName};
use fairweather::review::rejudgement::{Differences, Tally, differences, other_limits};

use crate::engine::nominal_case::{case, document};

fn judged(book: &LimitBook) -> Assessment {
    assess(&case(&document()), book)
}

fn with(name: LimitName, value: f64) -> LimitBook {
    LimitBook::default().changed(name, value, "own").unwrap()
}

fn changed(change: fn(&mut Assessment)) -> Differences {
    let before = judged(&LimitBook::default());
    let mut after = before.clone();
    change(&mut after);
    differences(Some(&before), Some(&after))
}

#[test]
fn another_version_of_the_engine_or_the_rules_is_no_change() {
    let found = changed(|it| {
        "99".clone_into(&mut it.engine);
        "default-99+7".clone_into(&mut it.rules);
    });
    assert!(found.is_none(), "{found:?}");
}

#[test]
fn another_wording_of_a_source_is_no_change() {
    assert!(changed(|it| it.as_found.verdicts[0].source.push_str(", found since")).is_none());
}

#[test]
fn the_last_bits_of_a_value_are_no_change() {
    let found = changed(|it| {
        for verdict in &mut it.as_found.verdicts {
            verdict.value = verdict.value.map(|value| value * (1.0 + 1e-12));
        }
    });
    assert!(found.is_none(), "{found:?}");
}

#[test]
fn a_measure_that_the_older_program_did_not_know_and_nobody_read_is_no_change() {
    let mut unread = document();
    unread["as_found"].as_object_mut().unwrap().remove("contactor_drop_mv").unwrap();
    let after = assess(&case(&unread), &LimitBook::default());
    let mut before = after.clone();
    before.as_found.verdicts.retain(|it| it.measure != "contactor_drop_mv");
    assert_ne!(before, after);
    assert!(differences(Some(&before), Some(&after)).is_none());
    assert!(differences(Some(&after), Some(&before)).is_none());
}

#[test]
fn another_limit_is_a_change_even_where_the_outcome_stays() {
    let (before, after) = (LimitBook::default(), with(LimitName::MeteringSuperheatHigh, 30.0));
    let found = differences(Some(&judged(&before)), Some(&judged(&after)));
    assert_eq!(found.verdicts.len(), 1, "{found:?}");
    let change = &found.verdicts[0];
    assert_eq!((change.stage, change.measure.as_str()), (Stage::AsFound, "superheat_f"));
    assert_eq!(
        (change.outcome_before(), change.outcome_after()),
        (Outcome::Within, Outcome::Within)
    );
}

#[test]
fn a_doubt_that_comes_and_a_cause_that_is_named_are_changes() {
    let found = changed(|it| {
        it.as_found.doubts.push(fairweather::engine::assessment::Doubt {
            kind: fairweather::engine::assessment::DoubtKind::Suspicious,
            points: vec!["supply_db_f".to_owned()],
            reason: "the supply is warmer than the return".to_owned(),
            perhaps: None,
        });
        it.as_found.abstained = None;
        it.as_found.causes = vec![cause("low_charge", 0.82)];
    });
    assert!(found.doubts[0].comes);
    assert_eq!(found.causes[0].after[0], "low charge, 82 %");
    assert!(found.verdicts.is_empty());
}

#[test]
fn what_can_no_longer_be_judged_is_a_change() {
    let before = judged(&LimitBook::default());
    let found = differences(Some(&before), None);
    assert!(found.is_judged_otherwise);
    assert!(found.verdicts.iter().all(|it| it.outcome_after() == Outcome::NotTaken));
    assert!(differences(None, None).is_none());
}

#[test]
fn the_sum_counts_verdicts_by_measure_and_outcomes() {
    let (before, after) = (LimitBook::default(), with(LimitName::SubcoolingTolerance, 1.0));
    let found = differences(Some(&judged(&before)), Some(&judged(&after)));
    let mut tally = Tally::default();
    tally.add(&found);
    tally.add(&found);
    let rows = tally.rows();
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!((rows[0].measure.as_str(), rows[0].verdicts), ("subcooling_f", 2));
    assert_eq!((rows[0].before, rows[0].after), (Outcome::Within, Outcome::TooClose));
}

#[test]
fn the_limits_that_both_looked_up_with_another_number_are_named() {
    let (before, after) =
        (judged(&LimitBook::default()), judged(&with(LimitName::SubcoolingTolerance, 1.0)));
    let others = other_limits(Some(&before), Some(&after));
    assert_eq!(others.len(), 1, "{others:?}");
    assert_eq!(others[0].name, LimitName::SubcoolingTolerance);
    assert_eq!((others[0].before, others[0].after), (3.0, 1.0));
    assert_eq!(other_limits(Some(&before), None), []);
}

#[test]
fn another_condition_or_what_it_says_of_a_complaint_is_a_change() {
    let found = changed(|it| {
        it.as_found.conditions.push(Condition {
            condition: "dirty_filter".to_owned(),
            probability: 0.724,
            evidence_for: vec!["filter_drop_inwc".to_owned()],
            tell_apart: None,
        });
    });
    assert!(found.causes[0].after.contains(&"dirty filter, 72 %".to_owned()), "{found:?}");
    let found = changed(|it| {
        it.as_found.complaints.push(Complaint {
            complaint: "warm_room".to_owned(),
            explained_by: Vec::new(),
            reason: "Nothing that was found explains it.".to_owned(),
        });
    });
    assert!(found.causes[0].after.iter().any(|it| it.contains("explains it")), "{found:?}");
}

fn cause(word: &str, probability: f64) -> Cause {
    Cause {
        cause: word.to_owned(),
        probability,
        severity: None,
        evidence_for: Vec::new(),
        evidence_against: Vec::new(),
        tell_apart: None,
    }
}

fn condition(name: &str, probability: f64) -> Condition {
    Condition {
        condition: name.to_owned(),
        probability,
        evidence_for: Vec::new(),
        tell_apart: None,
    }
}

/// What the nominal visit says, with these causes and conditions as found.
fn explained(causes: &[(&str, f64)], conditions: &[(&str, f64)]) -> Assessment {
    let mut assessment = judged(&LimitBook::default());
    assessment.as_found.abstained = None;
    assessment.as_found.causes = causes.iter().map(|it| cause(it.0, it.1)).collect();
    assessment.as_found.conditions = conditions.iter().map(|it| condition(it.0, it.1)).collect();
    assessment
}

#[test]
fn other_shares_of_the_same_first_cause_are_no_change() {
    let before = explained(&[("low_charge", 0.82), ("no_fault", 0.1)], &[]);
    let mut after = explained(&[("low_charge", 0.7), ("feed_restriction", 0.2)], &[]);
    "priors-8".clone_into(&mut after.priors);
    let found = differences(Some(&before), Some(&after));
    assert!(found.is_none(), "{found:?}");
}

#[test]
fn another_first_cause_is_a_change_with_both_lists() {
    let before = explained(&[("low_charge", 0.5), ("no_fault", 0.4)], &[]);
    let after = explained(&[("no_fault", 0.5), ("low_charge", 0.4)], &[]);
    let found = differences(Some(&before), Some(&after));
    assert_eq!(found.causes.len(), 1, "{found:?}");
    assert_eq!(found.causes[0].before[0], "low charge, 50 %");
    assert_eq!(found.causes[0].after[0], "no fault, 50 %");
}

#[test]
fn a_condition_is_another_when_it_comes_to_hold_rather_than_not() {
    let with = |share| explained(&[("no_fault", 0.9)], &[("dirty_filter", share)]);
    let differ = |one, other| !differences(Some(&with(one)), Some(&with(other))).is_none();
    assert!(!differ(0.6, 0.9) && !differ(0.1, 0.4));
    assert!(differ(0.4, 0.6) && differ(0.6, 0.4));
}
