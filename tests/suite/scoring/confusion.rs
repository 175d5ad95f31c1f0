//! The confusion table.

use fairweather::engine::causes::{CAUSES, CauseName};
use fairweather::scoring::confusion::{Column, confusion};

use super::{named, row, silence};

#[test]
fn each_case_counts_once_where_its_truth_meets_what_was_told() {
    let rows = [
        row("low_charge", 0.9, "low_charge"),
        row("low_charge", 0.6, "low_charge"),
        row("feed_restriction", 0.6, "low_charge"),
        row("low_charge+low_indoor_airflow", 0.5, "low_charge"),
        silence("low_charge"),
        row("no_fault", 0.9, "no_fault"),
    ];
    let table = confusion(&rows);
    let count = |truth, told| table.count(named(truth), told);
    assert_eq!(count("low_charge", Column::One(CauseName::LowCharge)), 2);
    assert_eq!(count("low_charge", Column::One(CauseName::FeedRestriction)), 1);
    assert_eq!(count("low_charge", Column::TwoAtOnce), 1);
    assert_eq!(count("low_charge", Column::NothingNamed), 1);
    assert_eq!(count("low_charge", Column::One(CauseName::NoFault)), 0);
    assert_eq!(count("no_fault", Column::One(CauseName::NoFault)), 1);
    let totals: Vec<u32> = table.rows.iter().map(|it| it.total).collect();
    assert_eq!(totals, [1, 5]);
}

#[test]
fn causes_alone_come_before_two_at_once_and_a_truth_that_never_was_has_no_row() {
    let rows = [
        silence("low_charge+excess_charge"),
        silence("compressor_not_pumping"),
        silence("excess_charge+low_charge"),
        silence("low_charge"),
    ];
    let truths: Vec<String> = confusion(&rows).rows.iter().map(|it| it.truth.word()).collect();
    assert_eq!(truths, ["low_charge", "compressor_not_pumping", "low_charge+excess_charge"]);
}

#[test]
fn every_cause_has_a_column_and_each_column_a_word_of_its_own() {
    let table = confusion(&[silence("low_charge")]);
    assert_eq!(table.columns.len(), CAUSES.len() + 2);
    assert_eq!(table.rows[0].counts.len(), table.columns.len());
    let mut words: Vec<&str> = table.columns.iter().map(|it| it.word()).collect();
    words.sort_unstable();
    words.dedup();
    assert_eq!(words.len(), table.columns.len());
}
