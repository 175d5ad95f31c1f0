//! The score as tables.

use fairweather::scoring::text::score_text;
use serde_json::json;

use super::{marked, naming, rich_score, scored};

#[test]
fn no_line_is_wider_than_a_hundred_columns() {
    let text = score_text(&rich_score());
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{} columns: {line}", line.chars().count());
    }
}

#[test]
fn every_table_is_there_with_its_rows() {
    let text = score_text(&rich_score());
    for begin in [
        "Headline",
        "False alarm, of healthy cases",
        "healthy",
        "low_charge",
        "costs 5 to 10 %",
        "low_charge+low_indoor_airflow",
        "overfeeding_metering+compressor_not_pumping",
        "two faults",
        "95 to 100 %",
        "Expected calibration error",
        "Severity where right",
        "5 feed_restriction",
        "1+3",
    ] {
        assert!(text.lines().any(|it| it.starts_with(begin)), "no line {begin}");
    }
}

#[test]
fn a_share_of_one_condition_says_that_n_is_too_small() {
    let truth = json!({"cause": "low_charge", "capacity_ratio": 0.9});
    let text = score_text(&scored([marked(&truth, &naming(&[("low_charge", 0.9)]))]));
    let line = |begin| text.lines().find(|it: &&str| it.starts_with(begin)).expect("the line");
    assert!(line("Correct first").contains("n too small"), "{text}");
    assert!(line("low_charge").contains("100 (n small)"), "{text}");
}

#[test]
fn of_no_case_no_share_is_told() {
    let text = score_text(&scored([]));
    assert!(text.contains("no case") && !text.contains("NaN"), "{text}");
}
