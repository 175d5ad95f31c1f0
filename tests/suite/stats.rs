//! Intervals of shares against printed ones.

use fairweather::stats::{Share, clustered_share, wilson};

fn assert_interval(count: u32, of: u32, low: f64, high: f64) {
    let it = wilson(count, of).expect("an interval");
    let near = |value: f64, expected: f64| (value - expected).abs() < 0.00006;
    assert!(near(it.low, low) && near(it.high, high), "{count} of {of}: {it:?}");
}

/// Newcombe, Statistics in Medicine 17 (1998) 857–872, table I, method 3 (from memory), to the
/// four digits that are printed.
#[test]
fn the_interval_of_a_share_is_the_printed_one() {
    assert_interval(81, 263, 0.2553, 0.3662);
    assert_interval(15, 148, 0.0624, 0.1605);
    assert_interval(0, 20, 0.0, 0.1611);
    assert_interval(1, 29, 0.0061, 0.1718);
}

#[test]
fn none_and_all_of_the_cases_end_exactly_at_the_edge() {
    for of in 1..300 {
        let (none, all) = (wilson(0, of).unwrap(), wilson(of, of).unwrap());
        assert!(none.low.to_bits() == 0.0_f64.to_bits() && none.high < 1.0, "{of}: {none:?}");
        assert!(all.high.to_bits() == 1.0_f64.to_bits() && all.low > 0.0, "{of}: {all:?}");
    }
}

#[test]
fn no_case_has_no_interval() {
    assert_eq!(wilson(0, 0), None);
}

fn clustered(clusters: &[(u32, u32)]) -> Share {
    clustered_share(clusters.iter().copied())
}

/// Worked out by statsmodels 0.14 (least squares on a constant with clustered errors, Wilson's
/// interval with the effective number of cases) and the t of `SciPy`: another way to the same numbers.
#[test]
fn the_interval_of_a_clustered_share_is_that_of_another_program() {
    let uneven = [(3, 10), (5, 10), (9, 10), (1, 5), (4, 5)];
    let mut rare = [(0, 20); 12];
    (rare[1], rare[4], rare[7], rare[10]) = ((1, 20), (2, 20), (1, 20), (5, 20));
    let mostly = [(1, 3), (40, 41)];
    for (clusters, low, high) in [
        (uneven.as_slice(), 0.231_767_306_824_502_08, 0.831_976_477_482_061),
        (&rare, 0.011_280_040_913_336_564, 0.117_428_516_999_439_68),
        (&[(0, 20); 12], 0.0, 0.019_785_369_596_521_85),
        (&[(10, 20); 3], 0.257_207_084_661_160_6, 0.742_792_915_338_839_4),
        (&mostly, 0.048_452_392_133_592_15, 0.999_727_453_182_070_6),
    ] {
        let it = clustered(clusters).interval.expect("an interval");
        // The quantiles of the two programs agree to nine digits.
        let near = |value: f64, expected: f64| (value - expected).abs() < 1e-8;
        assert!(near(it.low, low) && near(it.high, high), "{clusters:?}: {it:?}");
    }
}

#[test]
fn cases_that_hang_together_leave_more_open_than_cases_that_do_not() {
    let alike = clustered(&[(20, 20), (0, 20), (20, 20), (0, 20), (20, 20), (0, 20)]);
    let apart = clustered(&[(10, 20); 6]);
    let width = |it: Share| it.interval.map(|it| it.high - it.low).expect("an interval");
    assert!(width(alike) > 2.0 * width(apart), "{alike:?} {apart:?}");
}

#[test]
fn one_cluster_alone_says_nothing_of_its_spread() {
    let one = clustered(&[(3, 4), (0, 0)]);
    assert_eq!((one.clusters, one.share, one.interval), (1, Some(0.75), None));
    assert_eq!(clustered(&[]).share, None);
}

#[test]
fn the_interval_holds_the_share_and_never_leaves_0_to_1() {
    for clusters in 2..40 {
        for count in 0..=3 {
            let mut all = vec![(0, 3); clusters];
            all[0].0 = count;
            let it = clustered(&all);
            let (share, interval) = (it.share.unwrap(), it.interval.unwrap());
            let holds = interval.low <= share && share <= interval.high;
            assert!(holds && interval.low >= 0.0 && interval.high <= 1.0, "{it:?}");
        }
    }
}

#[test]
fn many_clusters_are_no_harder_than_few() {
    for clusters in [1000, 1001, 1002, 50_000] {
        let mut all = vec![(1, 2); clusters];
        all[0].0 = 0;
        let interval = clustered(&all).interval.expect("an interval");
        assert!(interval.low > 0.4 && interval.high < 0.6, "{clusters}: {interval:?}");
    }
}
