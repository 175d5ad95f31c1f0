//! Intervals of shares against printed ones.

use fairweather::stats::wilson;

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
