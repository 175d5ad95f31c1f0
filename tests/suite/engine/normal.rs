//! The normal distribution against printed values.

use fairweather::engine::normal::{probability_between, upper_tail};

use super::nominal_case::assert_near;

/// Printed values: NIST/SEMATECH e-Handbook 1.3.6.7.1 and standard tables (from memory).
/// Reached: 1e-12.
#[test]
fn the_upper_tail_agrees_with_printed_values() {
    let printed = [
        (0.0, 0.5),
        (1.0, 0.158_655_253_931_457_05),
        (1.959_963_984_540_054, 0.025),
        (3.0, 0.001_349_898_031_630_094_6),
        (5.0, 2.866_515_718_791_939e-7),
        (-1.281_551_565_544_600_4, 0.9),
    ];
    for (z, tail) in printed {
        assert_near(upper_tail(z), tail, 1e-12);
    }
}

#[test]
fn the_tail_keeps_falling_where_nothing_is_left_of_it() {
    let tails: Vec<f64> = (0..400).map(|step| upper_tail(f64::from(step) * 0.1)).collect();
    assert!(tails.windows(2).all(|pair| pair[1] <= pair[0] && 0.0 <= pair[1]), "{tails:?}");
    assert_near(upper_tail(f64::INFINITY), 0.0, 0.0);
}

#[test]
fn without_spread_a_value_on_its_limit_is_inside() {
    assert_near(probability_between(5.0, 0.0, Some(5.0), None), 1.0, 0.0);
    assert_near(probability_between(4.9, 0.0, Some(5.0), None), 0.0, 0.0);
}

#[test]
fn a_value_on_its_only_limit_is_as_likely_inside_as_outside() {
    assert_near(probability_between(5.0, 0.3, None, Some(5.0)), 0.5, 1e-14);
}
