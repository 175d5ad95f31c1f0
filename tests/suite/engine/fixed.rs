//! Numbers for sentences, against the standard library's own.

use fairweather::engine::fixed::{look_alike, push};

#[track_caller]
fn assert_written(value: f64, decimals: usize) {
    let mut text = String::new();
    push(&mut text, value, decimals);
    let expected = format!("{value:.decimals$}");
    let is_nothing = expected.trim_start_matches(['-', '0', '.']).is_empty();
    let expected = if is_nothing { expected.trim_start_matches('-') } else { &expected };
    assert_eq!(text, expected, "{value} with {decimals}");
}

#[test]
fn numbers_are_written_as_the_library_writes_them() {
    for decimals in 0..=6 {
        for value in [0.0, -0.0, 0.05, 0.15, -0.049, 2.5, 3.5, -99.95, 1e11, -1e15, 123.456_789] {
            assert_written(value, decimals);
        }
        for step in -5000..5000_i32 {
            assert_written(f64::from(step) * 0.0173, decimals);
            assert_written(f64::from(step) * 0.005, decimals);
        }
    }
}

#[test]
fn numbers_look_alike_when_their_digits_do() {
    assert!(look_alike(0.501, 0.499, 1) && !look_alike(0.501, 0.499, 3));
    assert!(look_alike(0.251, 0.249, 2) && !look_alike(0.25, 0.24, 2));
}
