//! The reliability curve, by hand-worked rows.

use fairweather::scoring::reliability::{BIN_ENDS, reliability};
use proptest::prelude::*;

use super::{row, silence};

fn assert_near(value: Option<f64>, expected: f64) {
    let value = value.expect("a number");
    assert!((value - expected).abs() < 1e-12, "{value} is not {expected}");
}

#[test]
fn an_answer_counts_in_the_bin_of_its_stated_probability() {
    for (stated, place) in
        [(0.0, 0), (0.499, 0), (0.5, 1), (0.69, 2), (0.8, 4), (0.9, 5), (0.95, 6), (1.0, 6)]
    {
        let curve = reliability(&[row("low_charge", stated, "low_charge")]);
        let counts: Vec<u32> = curve.bins.iter().map(|it| it.count).collect();
        let expected: Vec<u32> = (0..BIN_ENDS.len()).map(|it| u32::from(it == place)).collect();
        assert_eq!(counts, expected, "{stated}");
    }
}

#[test]
fn the_share_that_was_true_stands_beside_the_mean_that_was_stated() {
    let rows = [
        row("low_charge", 0.82, "low_charge"),
        row("low_charge", 0.84, "low_charge"),
        row("low_charge", 0.86, "low_charge"),
        row("low_charge", 0.88, "excess_charge"),
    ];
    let bin = reliability(&rows).bins[4];
    assert_near(bin.mean_stated, 0.85);
    assert_near(bin.share_true, 0.75);
    assert_eq!((bin.count, bin.right), (4, 3));
    let interval = bin.interval.expect("an interval");
    assert!(interval.low < 0.75 && interval.high > 0.75);
}

/// Four answers at 0.85 of which three are true, and one at 0.55 that is not:
/// (4 · |0.75 − 0.85| + 1 · |0 − 0.55|) / 5 = 0.19.
#[test]
fn the_calibration_error_weighs_each_bin_by_its_answers() {
    let mut rows = vec![row("low_charge", 0.55, "no_fault")];
    rows.extend(
        ["no_fault", "no_fault", "no_fault", "low_charge"]
            .map(|truth| row("no_fault", 0.85, truth)),
    );
    assert_near(reliability(&rows).expected_error, 0.19);
}

#[test]
fn of_two_causes_at_once_half_is_not_the_truth() {
    let truth = "low_charge+low_indoor_airflow";
    let rows = [row("low_charge", 0.7, truth), row("low_indoor_airflow+low_charge", 0.7, truth)];
    let curve = reliability(&rows);
    assert_eq!((curve.answers, curve.right), (2, 1));
}

#[test]
fn where_nothing_was_told_nothing_was_stated() {
    let curve = reliability(&[silence("low_charge")]);
    assert_eq!((curve.answers, curve.expected_error), (0, None));
    assert!(curve.bins.iter().all(|it| it.share_true.is_none() && it.interval.is_none()));
}

proptest! {
    #[test]
    fn whatever_was_stated_every_answer_counts_once(
        stated in prop::collection::vec(any::<f64>(), 0..50)
    ) {
        let rows: Vec<_> = stated.iter().map(|it| row("no_fault", *it, "no_fault")).collect();
        let curve = reliability(&rows);
        prop_assert_eq!(curve.bins.iter().map(|it| it.count).sum::<u32>() as usize, rows.len());
        prop_assert!(curve.expected_error.is_none_or(|it| (0.0..=1.0).contains(&it)));
    }
}
