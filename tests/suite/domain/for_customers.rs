//! What a customer reads of causes and conditions.

use fairweather::domain::for_customers::{cause, causes, condition, could_not_be_told};
use fairweather::engine::causes::CAUSES;
use fairweather::engine::conditions::CONDITIONS;

/// Words that a customer need not know.
const JARGON: &[&str] = &[
    "subcool",
    "superheat",
    "saturat",
    "restriction",
    "txv",
    "condens",
    "evaporat",
    "charge",
    "metering device",
    "psi",
    "approach",
    "static",
    "residual",
    "compressor amps",
];

#[test]
fn every_cause_and_condition_is_told_calmly_and_without_jargon() {
    let causes = CAUSES.iter().map(|it| cause(it.name));
    for told in causes.chain(CONDITIONS.iter().map(|it| condition(it.name))) {
        let words = format!("{}. {}", told.what, told.means);
        let lower = words.to_lowercase();
        assert!(JARGON.iter().all(|it| !lower.contains(it)), "{words}");
        assert!(!words.contains('!') && told.means.ends_with('.'), "{words}");
        assert!(told.what.starts_with(char::is_lowercase) && !told.what.ends_with('.'), "{words}");
        assert!(words.len() < 200, "{words}");
    }
}

#[test]
fn two_causes_at_once_are_both_told() {
    let (what, means) = causes("low_charge+low_indoor_airflow").unwrap();
    assert!(what.contains("too little refrigerant") && what.contains(", and too little air"));
    assert!(means.contains("leak") && means.contains("ice up"));
    assert_eq!(causes("of_a_later_program"), None);
}

#[test]
fn a_customer_reads_why_nothing_can_be_told_and_not_what_to_read_next() {
    for (told, why) in [
        (
            "Can't tell: the readings fit neither a healthy system nor any cause; look at the doubts",
            "the readings fit neither a healthy system nor any cause",
        ),
        (
            "Can't tell: too few readings can be used. It is 50 °F outdoors: not judged below 55 °F.",
            "too few readings can be used. It is 50 °F outdoors: not judged below 55 °F",
        ),
        ("something else", "something else"),
    ] {
        assert_eq!(could_not_be_told(told), why);
    }
}
