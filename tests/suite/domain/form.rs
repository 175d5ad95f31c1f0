//! What people type, and what it is taken for.

use fairweather::domain::form::{Form, date, minute_of_day, number};
use proptest::prelude::*;
use time::macros::date as day;

#[test]
fn numbers_are_taken_as_people_type_them() {
    for (text, value) in [
        ("12.5", Some(12.5)),
        ("12,5", Some(12.5)),
        (" -0.4 ", Some(-0.4)),
        ("−0.4", Some(-0.4)),
        ("+3", Some(3.0)),
        (".5", Some(0.5)),
        ("", None),
        ("12 5", None),
        ("1e3", None),
        ("inf", None),
        ("NaN", None),
        ("--1", None),
        ("1,234.5", None),
    ] {
        assert_eq!(number(text), value, "{text}");
    }
}

#[test]
fn days_and_times_are_taken_as_the_browser_sends_them() {
    assert_eq!(date("2026-05-14"), Some(day!(2026 - 05 - 14)));
    assert_eq!(date("2026-02-30"), None);
    assert_eq!(date("14.5.2026"), None);
    assert_eq!(minute_of_day("9:30"), Some(570));
    assert_eq!(minute_of_day("24:00"), None);
    assert_eq!(minute_of_day("9:60"), None);
}

#[test]
fn a_mail_address_needs_a_name_and_a_domain() {
    for (text, good) in [
        ("name@example.com", true),
        ("", true),
        ("name", false),
        ("@example.com", false),
        ("name@com", false),
        ("two words@example.com", false),
    ] {
        let mut form = Form::new([("email".to_owned(), text.to_owned())]);
        form.email("email", "Mail address");
        assert_eq!(form.is_good(), good, "{text}");
    }
}

proptest! {
    #[test]
    fn whatever_is_typed_is_a_finite_number_or_none(text in ".{0,30}") {
        prop_assert!(number(&text).is_none_or(f64::is_finite));
    }

    #[test]
    fn a_number_written_out_is_read_back(value in -9999.0..9999.0f64) {
        prop_assert_eq!(number(&format!("{value:?}")), Some(value));
    }
}
